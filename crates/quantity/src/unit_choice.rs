//! Which units can be written, for those who offer a choice.

use crate::Dimension;
use crate::unit_table::{PREFIXES, UNITS};

/// The units of a dimension in plain letters, with every prefix that they take, small to large; units without prefixes
/// follow. Nothing for a dimension that has no unit of its own.
pub fn units_of(dimension: Dimension) -> impl Iterator<Item = String> {
    all_units().filter(move |(each, _)| *each == dimension).map(|(_, symbol)| symbol)
}

/// Every unit in plain letters with its dimension, those of a dimension as [`units_of`] lists them.
pub fn all_units() -> impl Iterator<Item = (Dimension, String)> {
    UNITS.iter().filter(|unit| unit.symbol.is_ascii()).flat_map(|unit| {
        let prefixes = PREFIXES.iter().filter(|(prefix, _)| prefix.is_ascii() && unit.prefixes);
        let prefixed = |exponents: fn(i32) -> bool| {
            let chosen = prefixes.clone().filter(move |(_, exponent)| exponents(*exponent));
            chosen.map(|(prefix, _)| format!("{prefix}{}", unit.symbol)).collect::<Vec<_>>()
        };
        let small = prefixed(|exponent| exponent < 0);
        let large = prefixed(|exponent| exponent > 0);
        let symbols = small.into_iter().chain([unit.symbol.to_owned()]).chain(large);
        symbols.map(|symbol| (unit.dimension, symbol)).collect::<Vec<_>>()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_unit;

    #[test]
    fn every_unit_that_is_offered_is_read_as_its_dimension() {
        for (dimension, symbol) in all_units() {
            let unit = parse_unit(&symbol).unwrap_or_else(|error| panic!("{symbol}: {error}"));
            assert_eq!(unit.dimension, dimension, "{symbol}");
        }
        let mut plain = UNITS.iter().filter(|unit| unit.symbol.is_ascii());
        assert!(plain.all(|unit| units_of(unit.dimension).any(|symbol| symbol == unit.symbol)));
    }

    #[test]
    fn capacitances_go_from_femtofarad_to_gigafarad() {
        let units: Vec<String> = units_of(Dimension::CAPACITANCE).collect();
        assert_eq!(units, ["fF", "pF", "nF", "uF", "mF", "F", "kF", "MF", "GF"]);
        assert_eq!(units_of(Dimension::GAUGE).collect::<Vec<_>>(), ["AWG"]);
    }
}

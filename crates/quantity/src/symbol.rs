//! From the symbol of a dimension back to it.

use crate::Dimension;
use crate::unit_table::UNITS;

/// The dimension whose symbol [`crate::unit_symbol`] prints so; nothing where there is none.
#[must_use]
pub fn dimension_of_symbol(symbol: &str) -> Option<Dimension> {
    match symbol {
        "1" => return Some(Dimension::NONE),
        "kg" => return Some(Dimension::MASS),
        _ => {}
    }
    let named = UNITS.iter().find(|unit| unit.symbol == symbol && unit.denominator == 1.0);
    named.map(|unit| unit.dimension).or_else(|| product(symbol))
}

/// `m2 kg s-3`.
fn product(symbol: &str) -> Option<Dimension> {
    let mut dimension = Dimension::NONE;
    for factor in symbol.split(' ') {
        let end = factor.find(|one: char| !one.is_ascii_alphabetic()).unwrap_or(factor.len());
        let (base, exponent) = factor.split_at(end);
        let place = match base {
            "m" => &mut dimension.metre,
            "kg" => &mut dimension.kilogram,
            "s" => &mut dimension.second,
            "A" => &mut dimension.ampere,
            "K" => &mut dimension.kelvin,
            "dB" => &mut dimension.decibel,
            "AWG" => &mut dimension.gauge,
            _ => return None,
        };
        *place = if exponent.is_empty() { 1 } else { exponent.parse().ok()? };
    }
    Some(dimension)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit_symbol;

    #[test]
    fn every_symbol_leads_back_to_its_dimension() {
        let mut all: Vec<Dimension> = UNITS.iter().map(|unit| unit.dimension).collect();
        let slope = Dimension { metre: 2, kilogram: 1, second: -4, ampere: -1, ..Dimension::NONE };
        all.extend([Dimension::NONE, slope, Dimension { second: -2, decibel: 1, ..Dimension::NONE }]);
        for dimension in all {
            assert_eq!(dimension_of_symbol(&unit_symbol(dimension)), Some(dimension), "{dimension:?}");
        }
        assert_eq!(dimension_of_symbol("furlong"), None);
        assert_eq!(dimension_of_symbol(""), None);
    }
}

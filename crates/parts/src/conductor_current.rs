//! How much current a copper conductor carries, and at how much it melts. Rules of thumb and old laws: none of them stands in
//! place of the installation code that applies.

/// Diameter in metre of one mil, a thousandth of an inch.
const MIL: f64 = 25.4e-6;
/// Circular mils for each ampere of continuous current: rule of thumb of wire tables, as published on public pages.
const CONTINUOUS: f64 = 750.0;
/// Circular mils for each ampere at most: the same tables.
const MOST: f64 = 500.0;
/// Preece's constant of copper, ampere by diameter in inch to the power 1.5: Preece, Proceedings of the Royal Society (1884 to 1888).
const PREECE: f64 = 10_244.0;
/// Melting point of copper in °C, as Onderdonk's formula has it.
const MELTING: f64 = 1083.0;
/// Onderdonk's formula leaves out what flows off; from some ten seconds on that is most of the heat (from memory).
pub const LONGEST_SHORT_TIME: f64 = 10.0;

/// Area in circular mils (squared mils of diameter) of a round conductor that has `area` in square metre.
#[must_use]
pub fn circular_mils(area: f64) -> f64 {
    4.0 * area / std::f64::consts::PI / (MIL * MIL)
}

/// Continuous current in ampere by the rule of thumb of 750 circular mils an ampere.
#[must_use]
pub fn continuous(area: f64) -> f64 {
    circular_mils(area) / CONTINUOUS
}

/// Greatest current in ampere by the rule of thumb of 500 circular mils an ampere.
#[must_use]
pub fn most(area: f64) -> f64 {
    circular_mils(area) / MOST
}

/// Current in ampere that melts a solid copper wire of that `area` in square metre in free air, in the long run.
///
/// Preece: `10244 d^1.5`, d in inch. Found with wires of some tenths of a millimetre and more.
#[must_use]
pub fn fusing(area: f64) -> f64 {
    PREECE * (circular_mils(area).sqrt() * 1e-3).powf(1.5)
}

/// Current in ampere that melts a copper conductor of `area` in square metre within `time` in seconds, from a `temperature` in
/// kelvin on; no heat flows off, so it is meant for up to [`LONGEST_SHORT_TIME`].
///
/// Onderdonk, published by Stauffacher, General Electric Review (1928): `A sqrt(log10((Tm - Ta)/(234 + Ta) + 1)/(33 t))`, A in
/// circular mils. (A public page that works it out has 234 - Ta by mistake.)
#[must_use]
pub fn fusing_within(area: f64, time: f64, temperature: f64) -> f64 {
    let ambient = temperature - 273.15;
    let rise = ((MELTING - ambient) / (234.0 + ambient) + 1.0).log10();
    circular_mils(area) * (rise / (33.0 * time)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::{area, gauge_diameter};

    fn close(found: f64, expected: f64, tolerance: f64) {
        assert!((found / expected - 1.0).abs() < tolerance, "{found} is not {expected}");
    }

    #[test]
    fn rule_of_thumb_of_wire_tables() {
        // A public wire table: 4/0 AWG 282.12 A and 423.18 A, 6 AWG 35.0 A and 52.5 A; 14 and 20 AWG from the formula.
        for (gauge, rule, at_most) in
            [(-3.0, 282.13, 423.2), (6.0, 35.002, 52.503), (14.0, 5.4756, 8.2134), (20.0, 1.362, 2.0431)]
        {
            let area = area(gauge_diameter(gauge));
            close(continuous(area), rule, 1e-3);
            close(most(area), at_most, 1e-3);
        }
    }

    #[test]
    fn fusing_of_preece() {
        // Public pages: 123 A at 0.0524 in; a table's row of 100 A at 0.0457 in.
        close(fusing(area(0.0524 * 25.4e-3)), 122.9, 5e-3);
        close(fusing(area(1e-3)), 80.02, 5e-3);
        close(fusing(area(0.0457 * 25.4e-3)), 100.0, 5e-3);
    }

    #[test]
    fn short_time_fusing_of_onderdonk() {
        for (gauge, time, ampere) in [(16.0, 5.0, 169.0), (20.0, 1.0, 149.4), (24.0, 0.1, 186.9)] {
            close(fusing_within(area(gauge_diameter(gauge)), time, 298.15), ampere, 5e-3);
        }
    }
}

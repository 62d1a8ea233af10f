//! What cold does to cells, and what their resistance says of their condition.

use super::Said;
use crate::chemistry::Chemistry;
use crate::mistake::{shown, with_unit};
use crate::remark::Remark;

/// Temperature in kelvin at which cells' resistances are stated: about 22 degC, as hobby guides do.
pub(super) const REFERENCE_TEMPERATURE: f64 = 295.15;
/// Temperatures in kelvin within which the factor is meant, -20 degC to 60 degC: what cells may be discharged at (from memory).
const TEMPERATURES: (f64, f64) = (253.15, 333.15);
/// Capacities in ampere-hour of the pouch cells for which the guides give ranges.
const POUCH_CAPACITIES: (f64, f64) = (1.0, 5.0);

/// Times by which a cell's resistance differs from that at [`REFERENCE_TEMPERATURE`], at a temperature in kelvin.
///
/// `exp(B (1/T - 1/T0))`, the law of a thermally activated process. B is from memory, to a third: with 2500 K a lithium cell has
/// twice its resistance at 0 degC and four times at -20 degC.
pub(super) fn temperature_factor(chemistry: Chemistry, temperature: f64, said: &mut Said) -> f64 {
    let activation = match chemistry {
        Chemistry::LithiumIon
        | Chemistry::LithiumPolymer
        | Chemistry::LithiumIronPhosphate
        | Chemistry::Alkaline => 2500.0,
        Chemistry::NickelMetalHydride => 1500.0,
        Chemistry::LeadAcid => 1000.0,
    };
    let celsius = |kelvin: f64| shown(kelvin - 273.15);
    let (low, high) = TEMPERATURES;
    if temperature < low - 1e-9 || temperature > high + 1e-9 {
        said.remarks.push(Remark::new(
            "outside_battery_temperature",
            format!(
                "{} degC is outside of {} degC to {} degC, what cells may be discharged at; the resistance at the nearer end is taken",
                celsius(temperature),
                celsius(low),
                celsius(high)
            ),
        ));
    }
    (activation * (1.0 / temperature.clamp(low, high) - 1.0 / REFERENCE_TEMPERATURE)).exp()
}

/// Resistances in ohm from which a cell is worn and from which it is to be retired, at about 22 degC.
///
/// Pouch cells of 1 to 5 Ah: two public hobby guides (below 5 mohm new, 5 to 8 good, 8 to 12 ageing, 12 to 18 worn). Cans of the
/// size 18650: a public electronics note (75 to 150 mohm excellent, 150 to 250 good, 250 to 350 marginal).
fn thresholds(chemistry: Chemistry) -> Option<(f64, f64)> {
    match chemistry {
        Chemistry::LithiumPolymer => Some((12e-3, 18e-3)),
        Chemistry::LithiumIon => Some((250e-3, 350e-3)),
        _ => None,
    }
}

/// Resistance in ohm above which no wear is the reason but a wrong prefix, which is told elsewhere: common practice, no source.
const NO_CELL: f64 = 10.0;

/// Tells of a cell whose resistance in ohm is that of a worn one.
pub(super) fn tell(chemistry: Chemistry, resistance: f64, capacity: Option<f64>, said: &mut Said) {
    let Some((worn, retire)) = thresholds(chemistry) else { return };
    let (least, greatest) = POUCH_CAPACITIES;
    let fits = chemistry != Chemistry::LithiumPolymer
        || capacity.is_none_or(|capacity| (least..=greatest).contains(&capacity));
    if !fits || resistance <= worn || resistance > NO_CELL {
        return;
    }
    let verdict = if resistance >= retire { "to be retired" } else { "worn" };
    said.remarks.push(Remark::new(
        "worn_cell",
        format!(
            "{} a cell: at room temperature a {} cell of that resistance is {verdict} (above {}); if it was measured in the cold, give the value at 22 degC and `temperature`",
            with_unit(resistance, "ohm"),
            chemistry.word(),
            with_unit(if resistance >= retire { retire } else { worn }, "ohm")
        ),
    ));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cold_doubles_the_resistance_of_a_lithium_cell_at_freezing() {
        let factor = |celsius: f64| {
            temperature_factor(Chemistry::LithiumPolymer, celsius + 273.15, &mut Said::default())
        };
        assert!((factor(22.0) - 1.0).abs() < 1e-12);
        // exp(2500 (1/273.15 - 1/295.15)) by hand: the bracket is 2.7288e-4, the factor 1.978.
        assert!((factor(0.0) - 1.978).abs() < 1e-3);
        assert!((-20..60).all(|celsius| factor(f64::from(celsius)) > factor(f64::from(celsius) + 1.0)));
        // Held, and told, beyond.
        let mut said = Said::default();
        assert_eq!(temperature_factor(Chemistry::LithiumPolymer, 243.15, &mut said), factor(-20.0));
        assert_eq!(said.remarks[0].code, "outside_battery_temperature");
    }

    /// The ranges of the guides and of the note.
    #[test]
    fn worn_cells_are_told_by_the_published_ranges() {
        let words = |chemistry: Chemistry, milliohm: f64, capacity: Option<f64>| {
            let mut said = Said::default();
            tell(chemistry, milliohm * 1e-3, capacity, &mut said);
            said.remarks.first().map(|remark| remark.text.clone()).unwrap_or_default()
        };
        for milliohm in [3.0, 5.0, 8.0, 12.0] {
            assert_eq!(words(Chemistry::LithiumPolymer, milliohm, None), "");
        }
        assert!(words(Chemistry::LithiumPolymer, 15.0, None).contains("is worn"));
        for milliohm in [18.0, 25.0, 40.0] {
            assert!(words(Chemistry::LithiumPolymer, milliohm, Some(2.2)).contains("retired"));
        }
        // A cell of 450 mAh has more when new.
        assert_eq!(words(Chemistry::LithiumPolymer, 18.0, Some(0.45)), "");
        assert_eq!(words(Chemistry::LithiumIon, 200.0, None), "");
        assert!(words(Chemistry::LithiumIon, 300.0, None).contains("is worn"));
        assert!(words(Chemistry::LithiumIon, 400.0, None).contains("retired"));
    }
}

//! A coil from its making: turns of wire on a ring core.

use crate::conductor::{MU_0, area};
use crate::copper;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::remark::Remark;
use std::f64::consts::PI;

/// What is said of a ring and its winding. Lengths in metre.
///
/// The inductance takes `al` and `turns`, or `permeability`, the ring and `turns`; saturation takes `flux_density_limit`, the
/// ring and `turns`; resistance takes `wire_diameter`, the ring and `turns`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ring {
    /// Outer diameter of the core.
    pub outer: Option<f64>,
    /// Inner diameter of the core.
    pub inner: Option<f64>,
    /// Height of the core.
    pub height: Option<f64>,
    /// Inductance factor in henry a turn squared; stands before `permeability`.
    pub al: Option<f64>,
    /// Relative initial permeability.
    pub permeability: Option<f64>,
    /// Number of turns.
    pub turns: Option<f64>,
    /// Diameter of the wire's copper.
    pub wire_diameter: Option<f64>,
    /// Flux density in tesla at which the core saturates.
    pub flux_density_limit: Option<f64>,
}

/// Effective parameters of a ring of rectangular cross-section (IEC 60205, clause 5.1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effective {
    /// Core factor C1 in 1/m.
    pub c1: f64,
    /// Core factor C2 in 1/m³.
    pub c2: f64,
}

/// What follows for the coil.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Inductance at zero current in henry, where `al` or `permeability` is given.
    pub inductance: Option<f64>,
    /// Flux linkage of the saturated core in weber, where a flux density limit is given.
    pub saturation_flux: Option<f64>,
    /// Resistance of the winding at 20 °C in ohm, where the wire is given.
    pub dcr: Option<f64>,
    /// Length of wire in metre without the ends, where the wire is given.
    pub wire_length: Option<f64>,
    /// Turns that one layer holds, where the wire is given.
    pub turns_in_one_layer: Option<f64>,
    /// Remarks on a winding that is hard to make.
    pub remarks: Vec<Remark>,
    /// What follows from the making, as sentences.
    pub assumptions: Vec<String>,
}

impl Effective {
    /// The parameters of a ring with `outer` and `inner` diameter and `height`, in metre.
    #[must_use]
    pub fn of_ring(outer: f64, inner: f64, height: f64) -> Self {
        let ln = (outer / inner).ln();
        Self {
            c1: 2.0 * PI / (height * ln),
            c2: 4.0 * PI * (1.0 / inner - 1.0 / outer) / (height * height * ln.powi(3)),
        }
    }

    /// Effective length of the magnetic path in metre.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.c1 * self.c1 / self.c2
    }

    /// Effective cross-section in square metre.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.c1 / self.c2
    }

    /// Effective volume in cubic metre.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.length() * self.area()
    }
}

impl Ring {
    /// Whether anything of a ring is said.
    #[must_use]
    pub fn is_given(&self) -> bool {
        *self != Self::default()
    }

    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("outer", self.outer);
        checks.positive("inner", self.inner);
        checks.positive("height", self.height);
        checks.positive("al", self.al);
        checks.positive("permeability", self.permeability);
        checks.positive("wire_diameter", self.wire_diameter);
        checks.positive("flux_density_limit", self.flux_density_limit);
        checks.whole("turns", self.turns);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        self.check_complete(&mut checks);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let turns = self.turns.unwrap_or(1.0);
        let mut equivalent = Equivalent {
            inductance: self.al.map(|factor| factor * turns * turns),
            saturation_flux: None,
            dcr: None,
            wire_length: None,
            turns_in_one_layer: None,
            remarks: Vec::new(),
            assumptions: Vec::new(),
        };
        if let (Some(outer), Some(inner), Some(height)) = (self.outer, self.inner, self.height) {
            let effective = Effective::of_ring(outer, inner, height);
            let by_material =
                self.permeability.map(|permeability| MU_0 * permeability / effective.c1 * turns * turns);
            equivalent.inductance = equivalent.inductance.or(by_material);
            equivalent.saturation_flux =
                self.flux_density_limit.map(|limit| turns * limit * effective.area());
            if let Some(copper_diameter) = self.wire_diameter {
                wind(&mut equivalent, [outer, inner, height], turns, copper_diameter)
                    .map_err(|mistake| vec![mistake])?;
            }
        }
        equivalent.assumptions.extend(made(&equivalent));
        Ok(equivalent)
    }

    fn check_complete(&self, checks: &mut Checks) {
        let uses = [
            (self.al.is_some(), "al"),
            (self.permeability.is_some(), "permeability"),
            (self.flux_density_limit.is_some(), "flux_density_limit"),
            (self.wire_diameter.is_some(), "wire_diameter"),
        ];
        let wants_turns = uses.iter().find(|given| given.0);
        if let Some((_, property)) = wants_turns.filter(|_| self.turns.is_none()) {
            checks.add(
                "turns",
                format!("`{property}` needs the number of turns"),
                "add `turns`, the times that the wire goes through the ring",
            );
        }
        let ring = [(self.outer, "outer"), (self.inner, "inner"), (self.height, "height")];
        let partly = ring.iter().any(|size| size.0.is_some());
        let wants_ring = uses[1..].iter().any(|given| given.0);
        for (_, property) in ring.into_iter().filter(|size| size.0.is_none() && (partly || wants_ring)) {
            checks.add(
                property,
                format!("the ring's size is not complete without `{property}`"),
                "give `outer` and `inner` diameter and `height`",
            );
        }
        if self.outer.zip(self.inner).is_some_and(|(outer, inner)| inner >= outer) {
            checks.add("inner", "the inner diameter is not below the outer one", "swap `inner` and `outer`");
        }
    }
}

/// What the making gives, in one sentence.
fn made(equivalent: &Equivalent) -> Option<String> {
    let inductance = equivalent.inductance.map(|henry| with_unit(henry, "H"));
    let resistance = equivalent.dcr.map(|ohm| with_unit(ohm, "ohm"));
    let wire = equivalent.wire_length.map(|metre| format!("{} of wire", with_unit(metre, "m")));
    let given: Vec<String> = [inductance, resistance, wire].into_iter().flatten().collect();
    (!given.is_empty()).then(|| format!("from the ring and its winding: {}", given.join(", ")))
}

/// Adds what follows from the wire.
fn wind(
    equivalent: &mut Equivalent,
    ring: [f64; 3],
    turns: f64,
    copper_diameter: f64,
) -> Result<(), Mistake> {
    let [outer, inner, height] = ring;
    let overall = enamelled_diameter(copper_diameter);
    if overall >= inner {
        return Err(Mistake::new(
            "wire_diameter",
            "the wire is thicker than the hole of the ring",
            "take a thinner wire or a larger ring",
        ));
    }
    let one_layer = turns_in_one_layer(inner, overall);
    if turns > one_layer {
        let text = format!(
            "{} turns need more than one layer, which holds {}: the real winding has more resistance and capacitance",
            shown(turns),
            shown(one_layer)
        );
        equivalent.remarks.push(Remark::new("more_than_one_layer", text));
    }
    let length = turns * turn_length(outer, inner, height, overall);
    equivalent.dcr = Some(copper::resistance(length, area(copper_diameter), copper::REFERENCE_TEMPERATURE));
    equivalent.wire_length = Some(length);
    equivalent.turns_in_one_layer = Some(one_layer);
    Ok(())
}

/// Turns that lie side by side on the bore of a ring: circles of `wire` diameter touching a circle of `inner` diameter.
#[must_use]
pub fn turns_in_one_layer(inner: f64, wire: f64) -> f64 {
    if wire >= inner - wire {
        return 1.0;
    }
    (PI / (wire / (inner - wire)).asin()).floor()
}

/// Length in metre of a turn of the first layer, along the wire's centre line with rounded corners.
#[must_use]
pub fn turn_length(outer: f64, inner: f64, height: f64, wire: f64) -> f64 {
    (outer - inner) + 2.0 * height + PI * wire
}

/// Bare and greatest overall diameter in metre of enamelled wire, grade 1 (IEC 60317-0-1, as quoted in public code).
const ENAMELLED: [(f64, f64); 6] = [
    (0.2e-3, 0.226e-3),
    (0.315e-3, 0.349e-3),
    (0.5e-3, 0.544e-3),
    (0.8e-3, 0.855e-3),
    (1e-3, 1.062e-3),
    (1.6e-3, 1.67e-3),
];

/// Greatest overall diameter in metre of enamelled wire, grade 1, of `bare` diameter: straight lines between the standard's
/// sizes, the same share of enamel as the nearest size outside.
#[must_use]
pub fn enamelled_diameter(bare: f64) -> f64 {
    let after = ENAMELLED.partition_point(|size| size.0 < bare);
    let ends = after.checked_sub(1).and_then(|before| Some((ENAMELLED[before], *ENAMELLED.get(after)?)));
    match ends {
        Some(((left, from), (right, to))) => from + (to - from) * (bare - left) / (right - left),
        None => {
            let (size, overall) = ENAMELLED[after.min(ENAMELLED.len() - 1)];
            bare * overall / size
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring() -> Ring {
        Ring {
            outer: Some(25.3e-3),
            inner: Some(14.8e-3),
            height: Some(10e-3),
            permeability: Some(2200.0),
            turns: Some(10.0),
            ..Ring::default()
        }
    }

    #[test]
    fn effective_parameters_of_catalogue_rings() {
        // IEC 60205 clause 5.1; catalogue rows in mm, mm², mm³.
        let rows = [
            ([10.0, 6.0, 4.0], [3.075, 24.07, 7.828, 188.44]),
            ([16.0, 9.6, 6.3], [1.952, 38.52, 19.73, 759.8]),
            ([20.0, 10.0, 7.0], [1.295, 43.55, 33.63, 1464.7]),
            ([25.3, 14.8, 10.0], [1.172, 60.07, 51.26, 3079.1]),
            ([34.0, 20.5, 12.5], [0.9935, 82.06, 82.6, 6778.2]),
            ([25.0, 15.0, 10.0], [1.23, 60.18, 48.93, 2944.4]),
        ];
        for ([outer, inner, height], expected) in rows {
            let found = Effective::of_ring(outer * 1e-3, inner * 1e-3, height * 1e-3);
            let found = [found.c1 * 1e-3, found.length() * 1e3, found.area() * 1e6, found.volume() * 1e9];
            for (found, expected) in found.into_iter().zip(expected) {
                assert!((found / expected - 1.0).abs() < 1e-3, "{found} is not {expected}");
            }
        }
    }

    #[test]
    fn inductance_grows_with_turns_squared() {
        // IEC 60205: A_L = mu0 mu_i / C1 = 2359.2 nH for R25.3 with mu_i = 2200.
        assert!((ring().equivalent().unwrap().inductance.unwrap() / 235.92e-6 - 1.0).abs() < 1e-3);
        let by_factor = Ring { al: Some(523e-9), turns: Some(14.0), ..ring() };
        assert!((by_factor.equivalent().unwrap().inductance.unwrap() - 523e-9 * 196.0).abs() < 1e-12);
    }

    #[test]
    fn saturation_flux_is_turns_times_density_times_area() {
        let equivalent = Ring { flux_density_limit: Some(0.385), ..ring() }.equivalent().unwrap();
        assert!((equivalent.saturation_flux.unwrap() / (10.0 * 0.385 * 51.26e-6) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn turns_of_one_layer_by_circles_on_a_circle() {
        for (inner, wire, turns) in [(14.8, 0.544, 82.0), (14.8, 1.062, 40.0), (7.6, 0.544, 40.0)] {
            assert_eq!(turns_in_one_layer(inner * 1e-3, wire * 1e-3), turns);
        }
    }

    #[test]
    fn wire_of_a_turn() {
        let rows = [
            ([25.3, 14.8, 10.0, 0.544], 32.209),
            ([16.0, 9.6, 6.3, 0.855], 21.686),
            ([34.0, 20.5, 12.5, 1.316], 42.634),
        ];
        for ([outer, inner, height, wire], millimetre) in rows {
            assert!((turn_length(outer, inner, height, wire) / millimetre - 1.0).abs() < 1e-3);
        }
    }

    #[test]
    fn enamel_of_iec_60317() {
        assert!((enamelled_diameter(0.5e-3) - 0.544e-3).abs() < 1e-9);
        // Gauges 26, 28 and 30 by a maker's table citing IEC 60317-0-1, within its rounding and ours of sizes.
        for (bare, overall) in [(0.404e-3, 0.443e-3), (0.32e-3, 0.354e-3), (0.254e-3, 0.285e-3)] {
            assert!((enamelled_diameter(bare) / overall - 1.0).abs() < 5e-3);
        }
        assert!(enamelled_diameter(5e-3) > 5e-3 && enamelled_diameter(0.05e-3) > 0.05e-3);
    }

    #[test]
    fn winding_resistance_is_that_of_its_copper() {
        let equivalent = Ring { wire_diameter: Some(0.5e-3), ..ring() }.equivalent().unwrap();
        // 10 turns of 32.209 mm of 0.5 mm copper at 1/58 ohm mm²/m.
        let expected = 10.0 * 32.209e-3 / 58.0 / (PI / 4.0 * 0.25);
        assert!((equivalent.dcr.unwrap() / expected - 1.0).abs() < 1e-3);
        assert!(equivalent.remarks.is_empty());
        let crowded = Ring { wire_diameter: Some(0.5e-3), turns: Some(100.0), ..ring() };
        assert_eq!(crowded.equivalent().unwrap().remarks.len(), 1);
    }

    #[test]
    fn a_factor_and_turns_are_enough_for_the_inductance() {
        let bought = Ring { al: Some(100e-9), turns: Some(10.0), ..Ring::default() };
        let equivalent = bought.equivalent().unwrap();
        assert!((equivalent.inductance.unwrap() - 10e-6).abs() < 1e-15);
        assert_eq!((equivalent.saturation_flux, equivalent.dcr), (None, None));
    }

    #[test]
    fn what_a_ring_lacks_is_all_told() {
        let bare = Ring { permeability: Some(2000.0), outer: Some(25e-3), ..Ring::default() };
        let properties: Vec<_> =
            bare.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(properties, ["turns", "inner", "height"]);
        let inverted = Ring { inner: Some(30e-3), ..ring() };
        assert_eq!(inverted.equivalent().unwrap_err()[0].property, "inner");
        let thick = Ring { wire_diameter: Some(15e-3), ..ring() };
        assert_eq!(thick.equivalent().unwrap_err()[0].property, "wire_diameter");
    }
}

//! What must stand together for a ring and its winding.

use super::Ring;
use crate::mistake::{Checks, Mistake};

impl Ring {
    /// Every mistake of a value alone, or else of values together.
    pub(super) fn check(&self) -> Result<(), Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("outer", self.outer);
        checks.positive("inner", self.inner);
        checks.positive("height", self.height);
        checks.not_negative("gap", self.gap);
        checks.positive("al", self.al);
        checks.whole("test_turns", self.test_turns);
        checks.positive("test_inductance", self.test_inductance);
        checks.positive("permeability", self.permeability);
        checks.positive("inductance", self.inductance);
        checks.positive("wire_diameter", self.wire_diameter);
        checks.positive("flux_density_limit", self.flux_density_limit);
        checks.positive("temperature", self.temperature);
        checks.positive("loss_frequency", self.loss_frequency);
        checks.positive("loss_flux_density", self.loss_flux_density);
        checks.whole("turns", self.turns);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        self.check_complete(&mut checks);
        checks.finish(|| ())
    }

    fn check_complete(&self, checks: &mut Checks) {
        let uses = [
            (self.al.is_some(), "al"),
            (self.test_inductance.is_some(), "test_inductance"),
            (self.permeability.is_some(), "permeability"),
            (self.flux_density_limit.is_some(), "flux_density_limit"),
            (self.wire_diameter.is_some(), "wire_diameter"),
            (self.loss_frequency.is_some(), "loss_frequency"),
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
        // A measured inductance needs no ring.
        let wants_ring = uses[2..].iter().any(|given| given.0);
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
        if self.test_turns.is_some() != self.test_inductance.is_some() {
            let missing = if self.test_turns.is_some() { "test_inductance" } else { "test_turns" };
            checks.add(
                missing,
                format!("a test winding needs `{missing}` too"),
                "wind ten turns through the ring and measure them: `test_turns 10, test_inductance 236 uH`",
            );
        }
        let around = self.inner.map_or(f64::INFINITY, |inner| std::f64::consts::PI * inner);
        if self.gap.is_some_and(|gap| gap >= around) {
            checks.add(
                "gap",
                "the gap is longer than the ring is around",
                "check its unit: gaps are tenths of a millimetre",
            );
        }
        if self.loss_frequency.is_some() && self.material.is_none() {
            checks.add(
                "material",
                "core losses need the class of the core",
                "add `material ferrite_mnzn`, `ferrite_nizn` or `powder`",
            );
        }
    }
}

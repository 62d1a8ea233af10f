//! Two windings on one core: what they have in common, and what each keeps for itself.

use crate::coil::{self, Coil};
use crate::fact::Fact;
use crate::flux_law::FluxLaw;
use crate::mistake::{Checks, Mistake};
use crate::remark::Remark;

/// Coupling where nothing is said: two wires wound together on a ring (from memory: 0.98 to 0.998).
const DEFAULT_COUPLING: f64 = 0.99;

/// What is said of a coupled pair.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Coupled {
    /// Inductance `L` of the first winding in henry, the second one open.
    pub inductance: f64,
    /// Coupling `k`, between 0 and 1.
    pub coupling: Option<f64>,
    /// Turns `n` of the second winding over those of the first.
    pub turns_ratio: Option<f64>,
    /// Resistance of each winding in ohm.
    pub dcr: Option<f64>,
    /// Sum of currents in ampere at which the common inductance has fallen by `drop`.
    pub saturation_current: Option<f64>,
    /// That drop as a fraction.
    pub drop: Option<f64>,
    /// Common inductance in henry left in saturation.
    pub residual: Option<f64>,
    /// Flux linkage of the first winding in weber that the core adds at most.
    pub saturation_flux: Option<f64>,
}

/// The electrical equivalent.
///
/// Each winding is its leakage, its share of the core and its resistance in series. The core's flux follows from `i1 + n i2`, and the
/// second winding links it `n` times as often. With the leakages `(1 - k) L` and `(1 - k) n² L` and `k L` on the core, the windings
/// have `L` and `n² L`, and between them `M = n k L = k sqrt(L1 L2)`: the definition of the coupling.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Leakage inductances of the first and the second winding in henry.
    pub leakages: [f64; 2],
    /// Turns of the windings, those of the first being 1.
    pub turns: [f64; 2],
    /// Flux linkage of the first winding by the sum of currents times turns.
    pub law: FluxLaw,
    /// Resistance of each winding in ohm; 0 is none.
    pub dcr: f64,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values that have no effect.
    pub remarks: Vec<Remark>,
    /// What follows, as figures.
    pub facts: Vec<Fact>,
}

impl Coupled {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("inductance", Some(self.inductance));
        checks.positive("turns_ratio", self.turns_ratio);
        if let Some(coupling) = self.coupling.filter(|&coupling| !(coupling > 0.0 && coupling < 1.0)) {
            checks.add(
                "coupling",
                format!("`coupling` is {coupling}, but it must lie between 0 and 1"),
                "windings wound together have 0.98 to 0.998; two that have nothing in common are two coils",
            );
        }
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let coupling = self.coupling.unwrap_or_else(|| {
            assumptions.push(format!("coupling {DEFAULT_COUPLING}, as of windings wound together"));
            DEFAULT_COUPLING
        });
        let turns = self.turns_ratio.unwrap_or(1.0);
        let core = Coil {
            inductance: coupling * self.inductance,
            residual: self.residual,
            saturation_current: self.saturation_current,
            drop: self.drop,
            saturation_flux: self.saturation_flux,
            dcr: self.dcr,
            ..Coil::default()
        };
        let coil::Equivalent { law, dcr, assumptions: of_core, remarks, facts, .. } = core.equivalent()?;
        assumptions.extend(of_core);
        let leakage = (1.0 - coupling) * self.inductance;
        Ok(Equivalent {
            leakages: [leakage, leakage * turns * turns],
            turns: [1.0, turns],
            law,
            dcr,
            assumptions,
            remarks,
            facts,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bird, Electrical Circuit Theory and Technology (2nd ed.), examples 43.5 and 43.7: in series, L1 + L2 +- 2 M.
    #[test]
    fn windings_in_series_aid_and_oppose() {
        let series = |pair: Coupled, sense: f64| {
            // One current through both: each leakage, and the core by what it sees, (1 +- n)² times.
            let Equivalent { leakages, turns, law, .. } = pair.equivalent().unwrap();
            let sum = turns[0] + sense * turns[1];
            leakages[0] + leakages[1] + law.initial_inductance() * sum * sum
        };
        // 40 mH and 10 mH with k = 0.25: 60 mH aiding, so that M = 5 mH.
        let pair =
            Coupled { inductance: 40e-3, coupling: Some(0.25), turns_ratio: Some(0.5), ..Coupled::default() };
        assert!((series(pair, 1.0) - 60e-3).abs() < 1e-15, "{}", series(pair, 1.0));
        assert!((series(pair, -1.0) - 40e-3).abs() < 1e-15);
        // 15 mH aiding and 10 mH opposing with k = 0.7: M = 1.25 mH, which leaves L1 + L2 = 12.5 mH and L1 L2 = (M / k)².
        let (sum, product) = (12.5e-3f64, (1.25e-3f64 / 0.7).powi(2));
        let larger = f64::midpoint(sum, (sum * sum - 4.0 * product).sqrt());
        let ratio = ((sum - larger) / larger).sqrt();
        let pair = Coupled {
            inductance: larger,
            coupling: Some(0.7),
            turns_ratio: Some(ratio),
            ..Coupled::default()
        };
        assert!((series(pair, 1.0) - 15e-3).abs() < 1e-15 && (series(pair, -1.0) - 10e-3).abs() < 1e-15);
    }

    #[test]
    fn the_core_saturates_by_the_sum_of_currents() {
        let pair = Coupled {
            inductance: 1e-3,
            saturation_current: Some(0.5),
            drop: Some(0.2),
            residual: Some(10e-6),
            dcr: Some(0.1),
            ..Coupled::default()
        };
        let equivalent = pair.equivalent().unwrap();
        assert!((equivalent.law.inductance(0.5) / (0.8 * 0.99e-3) - 1.0).abs() < 1e-12);
        assert_eq!(equivalent.assumptions, ["coupling 0.99, as of windings wound together"]);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |pair: Coupled| pair.equivalent().unwrap_err()[0].property;
        let pair = Coupled { inductance: 1e-3, ..Coupled::default() };
        assert_eq!(property(Coupled { coupling: Some(1.0), ..pair }), "coupling");
        assert_eq!(property(Coupled { coupling: Some(f64::NAN), ..pair }), "coupling");
        assert_eq!(property(Coupled { turns_ratio: Some(0.0), ..pair }), "turns_ratio");
        assert_eq!(property(Coupled { inductance: 0.0, ..pair }), "inductance");
        assert_eq!(property(Coupled { dcr: Some(-1.0), ..pair }), "dcr");
        let saturating = Coupled { saturation_current: Some(1.0), ..pair };
        assert_eq!(property(Coupled { residual: Some(2e-3), ..saturating }), "residual");
    }
}

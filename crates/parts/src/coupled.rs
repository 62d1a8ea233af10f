//! Two windings on one core: what they have in common, and what each keeps for itself.

use crate::coil::{self, Coil};
use crate::fact::Fact;
use crate::flux_law::FluxLaw;
use crate::mistake::{Checks, Mistake};
use crate::remark::Remark;

mod measured;

/// Coupling where nothing is said: two wires wound together on a ring (from memory: 0.98 to 0.998).
const DEFAULT_COUPLING: f64 = 0.99;

/// What is said of a coupled pair.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Coupled {
    /// Inductance `L` of the first winding in henry, the second one open.
    pub inductance: f64,
    /// Coupling `k`, between 0 and 1.
    pub coupling: Option<f64>,
    /// What a meter shows in henry at the first winding while the second one is shorted.
    pub leakage: Option<f64>,
    /// What it shows in henry across both windings in series, their fields adding up …
    pub series_aiding: Option<f64>,
    /// … or working against each other.
    pub series_opposing: Option<f64>,
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
        checks.positive("leakage", self.leakage);
        checks.positive("series_aiding", self.series_aiding);
        checks.positive("series_opposing", self.series_opposing);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let measured = self.measured().map_err(|mistake| vec![mistake])?;
        let turns = measured.turns_ratio;
        let coupling = measured.coupling.unwrap_or_else(|| {
            assumptions.push(format!("coupling {DEFAULT_COUPLING}, as of windings wound together"));
            DEFAULT_COUPLING
        });
        let core = Coil {
            inductance: coupling * self.inductance,
            residual: self.residual,
            saturation_current: self.saturation_current,
            drop: self.drop,
            saturation_flux: self.saturation_flux,
            dcr: self.dcr,
            ..Coil::default()
        };
        let coil::Equivalent { law, dcr, assumptions: of_core, remarks, facts: of_law, .. } =
            core.equivalent()?;
        let facts = self.facts(coupling, turns).into_iter().chain(of_law).collect();
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
    fn measurements_in_series_tell_the_coupling() {
        let k_and_n = |pair: Coupled| {
            let measured = pair.measured().unwrap();
            (measured.coupling.unwrap(), measured.turns_ratio)
        };
        // Bird, example 43.5: 40 mH and 10 mH, 60 mH in series: M = 5 mH, k = 0.25. The other way round they have 40 mH.
        let first = Coupled { inductance: 40e-3, ..Coupled::default() };
        let aiding = Coupled { series_aiding: Some(60e-3), turns_ratio: Some(0.5), ..first };
        let opposing = Coupled { series_opposing: Some(40e-3), turns_ratio: Some(0.5), ..first };
        let both = Coupled { series_aiding: Some(60e-3), series_opposing: Some(40e-3), ..first };
        for pair in [aiding, opposing, both] {
            let (coupling, turns) = k_and_n(pair);
            assert!((coupling - 0.25).abs() < 1e-12 && (turns - 0.5).abs() < 1e-12, "{pair:?}");
        }
        // Example 43.7: 15 mH aiding and 10 mH opposing: M = 1.25 mH.
        let pair =
            Coupled { inductance: 10e-3, series_aiding: Some(15e-3), series_opposing: Some(10e-3), ..first };
        let facts = pair.equivalent().unwrap().facts;
        let mutual = facts.iter().find(|fact| fact.name == "mutual_inductance").unwrap().value;
        assert!((mutual - 1.25e-3).abs() < 1e-15);
        // A choke of 1 mH and k = 0.99: with the second winding shorted (1 - 0.99²) of it are seen.
        let shorted = Coupled { inductance: 1e-3, leakage: Some(19.9e-6), ..Coupled::default() };
        assert!((k_and_n(shorted).0 - 0.99).abs() < 1e-12);
    }

    #[test]
    fn impossible_measurements_are_mistakes() {
        let property = |pair: Coupled| pair.equivalent().unwrap_err()[0].property;
        let pair = Coupled { inductance: 1e-3, ..Coupled::default() };
        assert_eq!(property(Coupled { leakage: Some(1e-3), ..pair }), "leakage");
        assert_eq!(property(Coupled { series_aiding: Some(5e-3), ..pair }), "series_aiding");
        assert_eq!(property(Coupled { series_opposing: Some(3e-3), ..pair }), "series_opposing");
        let both = Coupled { series_aiding: Some(1e-3), series_opposing: Some(0.5e-3), ..pair };
        assert_eq!(property(both), "series_aiding");
        let settled = Coupled {
            series_aiding: Some(3.9e-3),
            series_opposing: Some(0.1e-3),
            turns_ratio: Some(2.0),
            ..pair
        };
        assert_eq!(property(settled), "turns_ratio");
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

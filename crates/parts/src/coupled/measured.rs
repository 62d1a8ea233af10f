//! Coupling and turns of a pair by what a meter shows of it.

use super::Coupled;
use crate::fact::Fact;
use crate::mistake::{Mistake, with_unit};
use quantity::Dimension;

/// What measurements say.
pub(super) struct Measured {
    /// Coupling, where anything tells it.
    pub(super) coupling: Option<f64>,
    /// Turns of the second winding over those of the first.
    pub(super) turns_ratio: f64,
}

impl Coupled {
    /// Windings in series have L1 + L2 + 2 M or L1 + L2 - 2 M (Bird, Electrical Circuit Theory and Technology, ch. 43); a winding has (1 - k²)
    /// of its inductance left while the other one is shorted (the same chapter: the secondary's short reflects (w M)² / (w L2)).
    pub(super) fn measured(&self) -> Result<Measured, Mistake> {
        let first = self.inductance;
        let turns_ratio = self.turns_ratio.unwrap_or(1.0);
        let second = turns_ratio * turns_ratio * first;
        let (property, coupling, turns_ratio) = match (self.leakage, self.series_aiding, self.series_opposing)
        {
            (None, None, None) => ("coupling", self.coupling, turns_ratio),
            (Some(leakage), ..) => ("leakage", Some((1.0 - leakage / first).max(0.0).sqrt()), turns_ratio),
            (None, Some(aiding), Some(opposing)) => {
                if self.turns_ratio.is_some() {
                    return Err(Mistake::new(
                        "turns_ratio",
                        "both measurements in series give the second winding's inductance already",
                        "leave `turns_ratio` out, or one of the measurements",
                    ));
                }
                let second = f64::midpoint(aiding, opposing) - first;
                if second <= 0.0 {
                    return Err(Mistake::new(
                        "series_aiding",
                        format!(
                            "both measurements in series leave {} for the second winding",
                            with_unit(second, "H")
                        ),
                        "their mean is the sum of both inductances, more than the first one's",
                    ));
                }
                let mutual = (aiding - opposing) / 4.0;
                ("series_aiding", Some(mutual / (first * second).sqrt()), (second / first).sqrt())
            }
            (None, Some(aiding), None) => {
                let mutual = (aiding - first - second) / 2.0;
                ("series_aiding", Some(mutual / (turns_ratio * first)), turns_ratio)
            }
            (None, None, Some(opposing)) => {
                let mutual = (first + second - opposing) / 2.0;
                ("series_opposing", Some(mutual / (turns_ratio * first)), turns_ratio)
            }
        };
        if let Some(coupling) = coupling.filter(|&coupling| !(coupling > 0.0 && coupling < 1.0)) {
            let message = if property == "coupling" {
                format!("`coupling` is {coupling}, but it must lie between 0 and 1")
            } else {
                format!("`{property}` makes a coupling of {coupling}, but it must lie between 0 and 1")
            };
            return Err(Mistake::new(
                property,
                message,
                "windings wound together have 0.98 to 0.998; two that have nothing in common are two coils",
            ));
        }
        Ok(Measured { coupling, turns_ratio })
    }

    /// What a meter will show.
    pub(super) fn facts(&self, coupling: f64, turns_ratio: f64) -> Vec<Fact> {
        let first = self.inductance;
        let (second, mutual) = (turns_ratio * turns_ratio * first, coupling * turns_ratio * first);
        let henry = |name, value| Fact::new(name, value, Dimension::INDUCTANCE);
        vec![
            Fact::plain("coupling", coupling),
            henry("second_inductance", second),
            henry("mutual_inductance", mutual),
            henry("leakage", (1.0 - coupling * coupling) * first),
            henry("series_aiding", first + second + 2.0 * mutual),
            henry("series_opposing", first + second - 2.0 * mutual),
        ]
    }
}

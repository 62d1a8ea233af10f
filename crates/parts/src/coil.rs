//! A coil by its electrical values: an inductance that may saturate, with its parasitics.

use crate::fact::Fact;
use crate::flux_law::FluxLaw;
use crate::flux_table::FluxTable;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::remark::Remark;
use crate::saturation_curve::SaturationCurve;
use quantity::Dimension;
use std::f64::consts::TAU;
use std::sync::Arc;

/// Share of the inductance that is left in saturation where nothing is said: a ring of ferrite or powder keeps about the
/// inductance of its winding in air (from memory: effective permeabilities of 50 to 100 fall to 1 or 2).
pub const DEFAULT_RESIDUAL_SHARE: f64 = 0.02;

/// Drop of inductance at the stated saturation current; data sheets use 10 %, 20 % or 30 % (from memory: IEC 62024-2
/// leaves the choice to the maker).
pub const DEFAULT_DROP: f64 = 0.3;

const NO_EFFECT: &str =
    "no saturation current or flux is given, so the coil is linear and `residual` and `drop` have no effect";

/// How saturation is stated.
enum Saturation {
    /// Current in ampere at the drop.
    Current(f64),
    /// Flux linkage of the core in weber.
    Flux(f64),
}

/// What is said of a coil.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Coil {
    /// Inductance at zero current, `L0`, in henry.
    pub inductance: f64,
    /// The whole law by measured points, which then settles inductance and saturation.
    pub table: Option<Arc<FluxTable>>,
    /// Shape of the saturation; a hyperbolic tangent where nothing is said.
    pub curve: Option<SaturationCurve>,
    /// Share of the inductance that is left in saturation where `residual` is not given; [`DEFAULT_RESIDUAL_SHARE`] at least.
    pub air_share: Option<f64>,
    /// Inductance left in saturation, `Lr`, in henry.
    pub residual: Option<f64>,
    /// Current in ampere at which the differential inductance has fallen by `drop`.
    pub saturation_current: Option<f64>,
    /// That drop as a fraction of `L0`.
    pub drop: Option<f64>,
    /// Flux linkage `ls` in weber that the core adds at most.
    pub saturation_flux: Option<f64>,
    /// Capacitance of the winding in farad, in parallel with the inductance.
    pub winding_capacitance: Option<f64>,
    /// What that capacitance is by an estimate, for the self-resonance where nothing else is said.
    pub estimated_capacitance: Option<f64>,
    /// Resistance of the losses in ohm, in parallel with the inductance.
    pub loss_resistance: Option<f64>,
    /// Resistance of the winding in ohm, in series.
    pub dcr: Option<f64>,
}

/// The electrical equivalent: (inductance ‖ winding capacitance ‖ loss resistance) in series with `dcr`.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Law of the inductance.
    pub law: FluxLaw,
    /// Capacitance in parallel with it in farad; 0 is none.
    pub winding_capacitance: f64,
    /// Resistance in parallel with it in ohm; `None` is none.
    pub loss_resistance: Option<f64>,
    /// Series resistance in ohm; 0 is none.
    pub dcr: f64,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values that have no effect or look odd.
    pub remarks: Vec<Remark>,
    /// What follows, as figures: where the inductance is down by a tenth and by three, and where it resonates with its own capacitance.
    pub facts: Vec<Fact>,
}

impl Coil {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("inductance", Some(self.inductance));
        checks.not_negative("residual", self.residual);
        checks.positive("saturation_current", self.saturation_current);
        checks.positive("saturation_flux", self.saturation_flux);
        checks.not_negative("winding_capacitance", self.winding_capacitance);
        checks.positive("loss_resistance", self.loss_resistance);
        checks.not_negative("dcr", self.dcr);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let mut remarks = Vec::new();
        let law = self.law(&mut assumptions, &mut remarks).map_err(|mistake| vec![mistake])?;
        if self.dcr.is_none() {
            assumptions.push("no `dcr` given, so its wire costs no voltage".to_owned());
        }
        let facts = self.facts(&law);
        Ok(Equivalent {
            law,
            facts,
            winding_capacitance: self.winding_capacitance.unwrap_or(0.0),
            loss_resistance: self.loss_resistance,
            dcr: self.dcr.unwrap_or(0.0),
            assumptions,
            remarks,
        })
    }

    fn facts(&self, law: &FluxLaw) -> Vec<Fact> {
        let at = |name, drop| Some(Fact::new(name, law.current_at_drop(drop)?, Dimension::CURRENT));
        let estimate = self.estimated_capacitance.filter(|_| {
            self.winding_capacitance.is_none_or(|stated| Some(stated) == self.estimated_capacitance)
        });
        let capacitance = self.winding_capacitance.or(estimate).filter(|&farad| farad > 0.0);
        let resonance = capacitance.map(|farad| self_resonance(law.initial_inductance(), farad));
        let by_table = self.table.as_ref().map(|table| table.inductance(0.0));
        [
            by_table.map(|henry| Fact::new("inductance", henry, Dimension::INDUCTANCE)),
            at("current_at_10_percent_loss", 0.1),
            at("current_at_30_percent_loss", 0.3),
            estimate.map(|farad| Fact::new("winding_capacitance", farad, Dimension::CAPACITANCE)),
            resonance.map(|hertz| Fact::new("self_resonance", hertz, Dimension::FREQUENCY)),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn law(&self, assumptions: &mut Vec<String>, remarks: &mut Vec<Remark>) -> Result<FluxLaw, Mistake> {
        if let Some(table) = &self.table {
            return Ok(FluxLaw::Table(Arc::clone(table)));
        }
        let initial = self.inductance;
        let stated = match (self.saturation_current, self.saturation_flux) {
            (None, None) => {
                if self.residual.is_some() || self.drop.is_some() {
                    remarks.push(Remark::new("saturation_without_effect", NO_EFFECT));
                }
                assumptions.push(
                    "never saturates, for neither a saturation current nor a flux limit is given; ferrite rings do at tenths of an ampere"
                        .to_owned(),
                );
                return Ok(FluxLaw::Linear { inductance: initial });
            }
            (Some(_), Some(_)) => {
                return Err(Mistake::new(
                    "saturation_flux",
                    "both `saturation_current` and `saturation_flux` are given, and each fixes the other",
                    "keep the one that the data sheet states",
                ));
            }
            (Some(current), None) => Saturation::Current(current),
            (None, Some(flux)) => Saturation::Flux(flux),
        };
        if self.residual == Some(0.0) {
            return Err(Mistake::new(
                "residual",
                "`residual` is 0 H, an inductance of nothing far in saturation: the winding in air keeps some",
                "give at least some nanohenry per turn, or leave `residual` out for 2 % of the inductance",
            ));
        }
        let residual = self.residual.unwrap_or_else(|| {
            let share = DEFAULT_RESIDUAL_SHARE.max(self.air_share.unwrap_or(0.0).min(0.5));
            assumptions.push(format!(
                "in saturation {} are left, {} % of the inductance",
                with_unit(share * initial, "H"),
                shown(share * 100.0)
            ));
            share * initial
        });
        if residual >= initial {
            return Err(Mistake::new(
                "residual",
                format!(
                    "`residual` {} is not below `inductance` {}",
                    with_unit(residual, "H"),
                    with_unit(initial, "H")
                ),
                "the residual inductance is what is left in saturation, a few per cent; leave saturation out for an air coil",
            ));
        }
        let saturation_flux = match stated {
            Saturation::Flux(flux) => flux,
            Saturation::Current(current) => self.flux_from_current(current, residual, assumptions)?,
        };
        let curve = self.curve.unwrap_or_default();
        Ok(FluxLaw::Saturable { curve, initial, residual, saturation_flux })
    }

    fn flux_from_current(
        &self,
        current: f64,
        residual: f64,
        assumptions: &mut Vec<String>,
    ) -> Result<f64, Mistake> {
        let drop = self.drop.unwrap_or_else(|| {
            assumptions.push(format!(
                "at the saturation current the inductance is down by {} %",
                shown(DEFAULT_DROP * 100.0)
            ));
            DEFAULT_DROP
        });
        if !(drop > 0.0 && drop < 1.0) {
            return Err(Mistake::new(
                "drop",
                format!("`drop` is {} %, but it must lie between 0 % and 100 %", shown(drop * 100.0)),
                "data sheets state the saturation current at a drop of 10 %, 20 % or 30 %",
            ));
        }
        saturation_flux(self.curve.unwrap_or_default(), [self.inductance, residual], current, drop)
            .ok_or_else(|| {
                Mistake::new(
                    if self.residual.is_some() { "residual" } else { "drop" },
                    format!(
                        "at the saturation current {} are left, which is not above the `residual` {}",
                        with_unit((1.0 - drop) * self.inductance, "H"),
                        with_unit(residual, "H")
                    ),
                    "give a smaller `residual` or a smaller `drop`",
                )
            })
    }
}

/// Frequency in hertz at which an inductance in henry resonates with the capacitance in farad of its winding: 1/(2 pi sqrt(L C)).
#[must_use]
pub fn self_resonance(inductance: f64, capacitance: f64) -> f64 {
    1.0 / (TAU * (inductance * capacitance).sqrt())
}

/// Flux `ls` in weber with which `Lr i + ls s((L0 - Lr) i / ls)` has lost the fraction `drop` of its differential inductance `L0` at
/// `current`, for inductances `[L0, Lr]` in henry.
///
/// From df/di = Lr + (L0 - Lr) s'(x) with x = (L0 - Lr) i / ls: s'(x) = ((1 - drop) L0 - Lr) / (L0 - Lr). `None` where (1 - drop) L0
/// is not above Lr.
#[must_use]
pub fn saturation_flux(
    curve: SaturationCurve,
    [initial, residual]: [f64; 2],
    current: f64,
    drop: f64,
) -> Option<f64> {
    let left = (1.0 - drop) * initial - residual;
    if left <= 0.0 {
        return None;
    }
    let core = initial - residual;
    Some(core * current / curve.at_slope(left / core))
}

#[cfg(test)]
mod tests;

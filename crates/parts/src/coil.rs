//! A coil by its electrical values: an inductance that may saturate, with its parasitics.

use crate::flux_law::FluxLaw;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::remark::Remark;

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
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Coil {
    /// Inductance at zero current, `L0`, in henry.
    pub inductance: f64,
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
        Ok(Equivalent {
            law,
            winding_capacitance: self.winding_capacitance.unwrap_or(0.0),
            loss_resistance: self.loss_resistance,
            dcr: self.dcr.unwrap_or(0.0),
            assumptions,
            remarks,
        })
    }

    fn law(&self, assumptions: &mut Vec<String>, remarks: &mut Vec<Remark>) -> Result<FluxLaw, Mistake> {
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
            let residual = DEFAULT_RESIDUAL_SHARE * initial;
            assumptions.push(format!(
                "in saturation {} are left, {} % of the inductance",
                with_unit(residual, "H"),
                shown(DEFAULT_RESIDUAL_SHARE * 100.0)
            ));
            residual
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
        Ok(FluxLaw::tanh(initial, residual, saturation_flux))
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
        saturation_flux(self.inductance, residual, current, drop).ok_or_else(|| {
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

/// Flux `ls` in weber with which `Lr i + ls tanh((L0 - Lr) i / ls)` has lost the fraction `drop` of its differential
/// inductance `L0` at `current`.
///
/// From df/di = Lr + (L0 - Lr) / cosh²(x) with x = (L0 - Lr) i / ls: x = acosh sqrt((L0 - Lr) / ((1 - drop) L0 - Lr)).
/// `None` where (1 - drop) L0 is not above Lr.
#[must_use]
pub fn saturation_flux(initial: f64, residual: f64, current: f64, drop: f64) -> Option<f64> {
    let left = (1.0 - drop) * initial - residual;
    if left <= 0.0 {
        return None;
    }
    let core = initial - residual;
    let argument = (core / left).sqrt().acosh();
    Some(core * current / argument)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choke() -> Coil {
        Coil {
            inductance: 330e-6,
            residual: Some(9e-6),
            saturation_current: Some(0.35),
            dcr: Some(0.35),
            ..Coil::default()
        }
    }

    #[test]
    fn scale_current_of_the_hyperbolic_tangent() {
        // IEC 62024-2's drops for tanh: the current in units of the curve's scale is acosh(1 / sqrt(1 - p)).
        for (drop, scaled) in [(0.1, 0.327_45), (0.2, 0.481_212), (0.3, 0.615_122)] {
            // L0 = 1, Lr = 0, Is = 1: the scale is I0 = ls / L0.
            let scale = saturation_flux(1.0, 0.0, 1.0, drop).unwrap();
            assert!((1.0 / scale - scaled).abs() < 1e-5, "{}", 1.0 / scale);
        }
    }

    #[test]
    fn the_stated_drop_is_met_at_the_stated_current() {
        for drop in [None, Some(0.1), Some(0.5)] {
            let law = Coil { drop, ..choke() }.equivalent().unwrap().law;
            let left = law.inductance(0.35) / 330e-6;
            assert!((left - (1.0 - drop.unwrap_or(0.3))).abs() < 1e-12, "{left}");
            assert!((law.inductance(0.0) / 330e-6 - 1.0).abs() < 1e-15);
        }
    }

    #[test]
    fn without_saturation_a_coil_is_linear() {
        let equivalent = Coil { saturation_current: None, ..choke() }.equivalent().unwrap();
        assert_eq!(equivalent.law, FluxLaw::Linear { inductance: 330e-6 });
        assert_eq!(equivalent.remarks.len(), 1);
    }

    #[test]
    fn residual_defaults_to_two_per_cent_and_says_so() {
        let equivalent = Coil { residual: None, drop: Some(0.2), ..choke() }.equivalent().unwrap();
        assert!((equivalent.law.inductance(1e3) / 6.6e-6 - 1.0).abs() < 1e-12);
        assert_eq!(equivalent.assumptions, ["in saturation 6.6 uH are left, 2 % of the inductance"]);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |coil: Coil| coil.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Coil { residual: Some(250e-6), ..choke() }), "residual");
        assert_eq!(property(Coil { residual: Some(231e-6), ..choke() }), "residual");
        assert_eq!(property(Coil { residual: Some(400e-6), ..choke() }), "residual");
        assert_eq!(property(Coil { residual: Some(0.0), ..choke() }), "residual");
        let by_flux = Coil { saturation_current: None, saturation_flux: Some(1e-4), ..choke() };
        assert_eq!(property(Coil { residual: Some(0.0), ..by_flux }), "residual");
        assert_eq!(property(Coil { residual: None, drop: Some(0.99), ..choke() }), "drop");
        assert_eq!(property(Coil { saturation_flux: Some(1e-4), ..choke() }), "saturation_flux");
        assert_eq!(property(Coil { drop: Some(1.0), ..choke() }), "drop");
        assert_eq!(property(Coil { inductance: 0.0, ..choke() }), "inductance");
        assert_eq!(property(Coil { loss_resistance: Some(0.0), ..choke() }), "loss_resistance");
    }
}

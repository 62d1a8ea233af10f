//! Flux linkage of an inductor as a function of its current.

use crate::flux_table::FluxTable;
use crate::saturation_curve::SaturationCurve;
use std::sync::Arc;

/// Flux linkage law, in weber and ampere; odd and strictly increasing.
#[derive(Clone, Debug, PartialEq)]
pub enum FluxLaw {
    /// `L i`.
    Linear {
        /// Inductance in henry.
        inductance: f64,
    },
    /// `Lr i + ls s((L0 - Lr) i / ls)`: inductance `L0` at zero current, `Lr` far in saturation.
    Saturable {
        /// Shape `s` of the curve between the two.
        curve: SaturationCurve,
        /// Inductance at zero current, `L0`, in henry.
        initial: f64,
        /// Inductance left when saturated, `Lr`, in henry.
        residual: f64,
        /// Flux linkage `ls` that the core adds at most, in weber.
        saturation_flux: f64,
    },
    /// Through measured points.
    Table(Arc<FluxTable>),
}

impl FluxLaw {
    /// A core that saturates along a hyperbolic tangent: inductances in henry at no current and far in saturation, and the flux
    /// linkage in weber that the core adds at most.
    #[must_use]
    pub const fn tanh(initial: f64, residual: f64, saturation_flux: f64) -> Self {
        Self::Saturable { curve: SaturationCurve::Tanh, initial, residual, saturation_flux }
    }

    /// Flux linkage in weber at `current` in ampere.
    #[must_use]
    pub fn flux(&self, current: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance * current,
            Self::Saturable { curve, initial, residual, saturation_flux } => {
                residual * current
                    + saturation_flux * curve.flux((initial - residual) * current / saturation_flux)
            }
            Self::Table(ref table) => table.flux(current),
        }
    }

    /// Differential inductance dflux/dcurrent in henry at `current` in ampere.
    #[must_use]
    pub fn inductance(&self, current: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance,
            Self::Saturable { curve, initial, residual, saturation_flux } => {
                let core = initial - residual;
                residual + core * curve.slope(core * current / saturation_flux)
            }
            Self::Table(ref table) => table.inductance(current),
        }
    }

    /// Both, where one leads to the other at the price of one.
    #[must_use]
    pub fn flux_and_inductance(&self, current: f64) -> (f64, f64) {
        match *self {
            Self::Saturable { curve, initial, residual, saturation_flux } => {
                let core = initial - residual;
                let (flux, slope) = curve.flux_and_slope(core * current / saturation_flux);
                (residual * current + saturation_flux * flux, residual + core * slope)
            }
            _ => (self.flux(current), self.inductance(current)),
        }
    }

    /// Whether flux is proportional to current.
    #[must_use]
    pub fn is_linear(&self) -> bool {
        matches!(self, Self::Linear { .. })
    }

    /// Inductance at zero current in henry.
    #[must_use]
    pub fn initial_inductance(&self) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance,
            Self::Saturable { initial, .. } => initial,
            Self::Table(ref table) => table.inductance(0.0),
        }
    }

    /// Stored energy in joule at `current` in ampere: the integral of current over flux.
    ///
    /// The core's share is `ls^2 / (L0 - Lr)` times that of the curve; for tanh `x tanh x - ln cosh x`.
    #[must_use]
    pub fn energy(&self, current: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance * current * current / 2.0,
            Self::Saturable { curve, initial, residual, saturation_flux } => {
                let core = initial - residual;
                let by_core = curve.energy(core * current / saturation_flux);
                residual * current * current / 2.0 + saturation_flux * saturation_flux / core * by_core
            }
            Self::Table(ref table) => table.energy(current),
        }
    }

    /// The least current in ampere at which the inductance has lost the fraction `drop` of that at no current; `None` where it never
    /// does.
    #[must_use]
    pub fn current_at_drop(&self, drop: f64) -> Option<f64> {
        match *self {
            Self::Linear { .. } => None,
            Self::Saturable { curve, initial, residual, saturation_flux } => {
                let core = initial - residual;
                let left = (1.0 - drop) * initial - residual;
                (left > 0.0).then(|| saturation_flux / core * curve.at_slope(left / core))
            }
            Self::Table(ref table) => table.current_at_inductance((1.0 - drop) * table.inductance(0.0)),
        }
    }

    /// Current in ampere at `flux` in weber: the inverse of [`Self::flux`]. The residual inductance must be above 0.
    #[must_use]
    pub fn current(&self, flux: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => flux / inductance,
            Self::Saturable { initial, residual, saturation_flux, .. } => {
                // The current lies between that of the unsaturated coil and that of a core saturated throughout.
                let size = flux.abs();
                let mut low = (size / initial).max((size - saturation_flux) / residual);
                let mut high = size / residual;
                let mut guess = low;
                for _ in 0..200 {
                    let miss = self.flux(guess) - size;
                    if miss < 0.0 {
                        low = guess;
                    } else {
                        high = guess;
                    }
                    let newton = guess - miss / self.inductance(guess);
                    let next = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
                    if (next - guess).abs() <= 1e-15 * guess {
                        break;
                    }
                    guess = next;
                }
                guess.copysign(flux)
            }
            Self::Table(ref table) => table.current(flux),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COIL: FluxLaw = FluxLaw::tanh(330e-6, 9e-6, 1.5e-4);

    /// 1 mWb-turn and 5 A without residual: psi = Ps tanh(i / I0).
    fn textbook() -> FluxLaw {
        FluxLaw::tanh(1e-3 / 5.0, 0.0, 1e-3)
    }

    #[test]
    fn energy_of_the_hyperbolic_tangent() {
        // i psi - Ps I0 ln cosh(i / I0), the thermodynamic identity.
        for (current, millijoule) in [(1.0, 0.098_035), (5.0, 1.639_07), (15.0, 3.379_18)] {
            let found = textbook().energy(current) * 1e3;
            assert!((found / millijoule - 1.0).abs() < 1e-5, "{found}");
        }
    }

    #[test]
    fn inverse_of_the_hyperbolic_tangent() {
        // h = atanh(b), checked far from the residual's share.
        let law = FluxLaw::tanh(1.0 + 1e-9, 1e-9, 1.0);
        for (share, field) in [(0.25, 0.255_413), (0.5, 0.549_306), (0.9, 1.472_22)] {
            assert!((law.current(share) - field).abs() < 1e-5);
        }
    }

    #[test]
    fn inverse_undoes_the_law() {
        for current in [0.0, 1e-6, 0.2, -0.35, 1.0, 30.0, -400.0, 1e6] {
            let back = COIL.current(COIL.flux(current));
            assert!((back - current).abs() <= 1e-12 * current.abs(), "{current} came back as {back}");
        }
    }

    #[test]
    fn inductance_is_the_derivative_of_flux_and_current_that_of_energy_over_flux() {
        for current in [-2.0, -0.3, 0.0, 0.1, 0.4, 0.9] {
            let step = 1e-5;
            let (low, high) = (current - step, current + step);
            let slope = (COIL.flux(high) - COIL.flux(low)) / (2.0 * step);
            assert!((slope / COIL.inductance(current) - 1.0).abs() < 1e-6);
            let work = (COIL.energy(high) - COIL.energy(low)) / (COIL.flux(high) - COIL.flux(low));
            assert!((work - current).abs() < 1e-6, "{work} {current}");
        }
    }

    #[test]
    fn nothing_overflows() {
        for current in [1e6, -1e300] {
            assert!(COIL.flux(current).is_finite());
            assert_eq!(COIL.inductance(current), 9e-6);
        }
        assert!(COIL.energy(1e9).is_finite());
    }
}

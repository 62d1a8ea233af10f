//! What a run says of a coil: its currents, and the inductance that they leave.

use crate::meter::Meter;
use crate::result::CoilState;
use network::lowered::Magnetised;
use parts::flux_law::FluxLaw;

/// Points of a curve a decade of current: a knee then bends by less than a pixel between two of them.
const PER_DECADE: f64 = 24.0;
/// A curve begins and ends at these multiples of the current at which three tenths of the inductance are gone: level long
/// before, and left with what is left long after.
const FROM: f64 = 1e-3;
const TO: f64 = 100.0;
/// Three tenths gone is how data sheets say that a coil saturates: common practice.
const SATURATED: f64 = 0.3;
/// The curve goes on beyond the greatest current by this factor.
const BEYOND: f64 = 1.5;

/// The state of the coil with this name and core, whose current was metered.
pub(crate) fn state(part: &str, core: &Magnetised, current: &Meter, with_curve: bool) -> CoilState {
    let peak_current = current.peak();
    let range = (current.least, current.greatest);
    CoilState {
        part: part.to_owned(),
        peak_current,
        inductance_left: core.inductance_left(peak_current),
        inductance: core.law.inductance(peak_current),
        range,
        curve: if with_curve { curve(&core.law, peak_current) } else { Vec::new() },
    }
}

fn curve(law: &FluxLaw, peak: f64) -> Vec<(f64, f64)> {
    let Some(knee) = law.current_at_drop(SATURATED).filter(|_| !law.is_linear()) else { return Vec::new() };
    let (low, high) = (FROM * knee, (TO * knee).max(BEYOND * peak));
    let steps = (PER_DECADE * (high / low).log10()).ceil();
    let current = |step: usize| low * (high / low).powf(step as f64 / steps);
    (0..=steps as usize).map(current).map(|current| (current, law.inductance(current))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// df/di of Lr i + ls tanh((L0 - Lr) i / ls): Lr + (L0 - Lr) / cosh^2 of that argument.
    #[test]
    fn the_curve_is_the_law_s_own() {
        let (initial, residual, flux) = (330e-6_f64, 9e-6_f64, 60e-6_f64);
        let law = FluxLaw::tanh(initial, residual, flux);
        let curve = curve(&law, 0.1);
        for (current, inductance) in &curve {
            let argument = (initial - residual) * current / flux;
            let exact = residual + (initial - residual) / argument.cosh().powi(2);
            assert!((inductance / exact - 1.0).abs() < 1e-9, "{current}");
        }
        assert!(curve[0].1 > 0.99 * initial && curve[curve.len() - 1].1 < 0.1 * initial);
        assert!(curve.windows(2).all(|pair| pair[0].0 < pair[1].0));
    }
}

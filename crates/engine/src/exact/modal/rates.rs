//! The rates of a leg's waveforms, and what their modes do over all of it: the same for every probe and every leg of one duration.

use nalgebra::Complex;
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

/// Below this product of rate and duration a mode is summed as a series of powers of time, above it as an exponential, which then loses
/// no digit against its constant.
const SLOW: f64 = 0.35;
/// Below this product the gap between an exponential and its chord cancels in closed form; what the second derivative allows is no more than 1 % above
/// it.
const SHORT: f64 = 1e-2;

/// The rates of a leg's waveforms.
#[derive(Debug, Default)]
pub(super) struct Rates {
    pub(super) duration: f64,
    /// Those of the modes, then those of the low-passes.
    pub(super) rates: Vec<Complex<f64>>,
    /// Their magnitudes.
    pub(super) speeds: Vec<f64>,
    /// Whether a rate is so low that its mode is a short series of powers.
    pub(super) slow: Vec<bool>,
    /// e^(r T) of each, real and imaginary part and magnitude.
    pub(super) over: Vec<[f64; 3]>,
    reaches: OnceCell<Vec<f64>>,
    /// Factors over times that were asked for.
    known: RefCell<Vec<Known>>,
}

/// A time in seconds, and e^(r t) of each mode.
type Known = (f64, Rc<[[f64; 3]]>);

/// Times that are remembered: legs of one duration are cut at the same ones again and again.
const MOST_KNOWN: usize = 16;

impl Rates {
    pub(super) fn new(rates: Vec<Complex<f64>>, duration: f64) -> Self {
        let speeds: Vec<f64> = rates.iter().map(|rate| rate.norm()).collect();
        let slow: Vec<bool> = speeds.iter().map(|speed| speed * duration < SLOW).collect();
        let over = rates.iter().zip(&slow);
        let over = over.map(|(rate, slow)| if *slow { [0.0; 3] } else { factor(*rate, duration) }).collect();
        Self { duration, rates, speeds, slow, over, ..Self::default() }
    }

    /// e^(r t) of each mode, real and imaginary part and magnitude; a slow one's is not asked for.
    pub(super) fn factors(&self, time: f64) -> Rc<[[f64; 3]]> {
        let mut known = self.known.borrow_mut();
        if let Some((_, factors)) = known.iter().find(|(known, _)| *known == time) {
            return Rc::clone(factors);
        }
        let each = self.rates.iter().zip(&self.slow);
        let factors: Rc<[[f64; 3]]> =
            each.map(|(rate, slow)| if *slow { [0.0; 3] } else { factor(*rate, time) }).collect();
        if known.len() < MOST_KNOWN {
            known.push((time, Rc::clone(&factors)));
        }
        factors
    }

    /// How far each mode of unit height at the start is from what lies between its ends.
    pub(super) fn reaches(&self) -> &[f64] {
        self.reaches.get_or_init(|| {
            let modes = self.rates.iter().zip(&self.speeds);
            modes.map(|(rate, speed)| reach(*rate, *speed, self.duration)).collect()
        })
    }
}

/// e^(r t), real and imaginary part and magnitude.
pub(super) fn factor(rate: Complex<f64>, time: f64) -> [f64; 3] {
    let decay = (rate.re * time).exp();
    if rate.im == 0.0 {
        return [decay, 0.0, decay];
    }
    let (sine, cosine) = (rate.im * time).sin_cos();
    [decay * cosine, decay * sine, decay]
}

/// How far a mode is from its chord over a length or, being so fast that this says nothing, from anything between its ends.
fn reach(rate: Complex<f64>, speed: f64, length: f64) -> f64 {
    let x = speed * length;
    let greatest = if rate.re > 0.0 { (rate.re * length).exp() } else { 1.0 };
    // A chord errs by h^2 / 8 of the second derivative.
    let chord = 0.125 * x * x;
    if rate.im == 0.0 { gap(rate.re * length, chord * greatest) } else { greatest * chord.min(2.0) }
}

/// Greatest distance between e^x over 0 .. `end` and its chord, which is where it is as steep: 1 + D ln D - D with D = (e^end - 1) / end.
fn gap(end: f64, at_most: f64) -> f64 {
    if end.abs() < SHORT {
        return at_most;
    }
    let steepness = end.exp_m1() / end;
    (1.0 + steepness * (steepness.ln() - 1.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against a thousand points of each mode.
    #[test]
    fn reaches_hold() {
        for rate in
            [(-3e4, 0.0), (-1e6, 0.0), (2e5, 0.0), (-2e4, 5e4), (-1e3, 4e6), (3e4, 2e5), (-100.0, 0.0)]
        {
            let rate = Complex::new(rate.0, rate.1);
            for length in [1e-7, 3e-6, 2e-5] {
                let reach = reach(rate, rate.norm(), length);
                let value = |share: f64| (rate * (share * length)).exp().re;
                let (first, last) = (value(0.0), value(1.0));
                let mut apart = 0.0f64;
                for share in (0..=1000).map(|k| f64::from(k) / 1000.0) {
                    let line = first + share * (last - first);
                    let beyond = (value(share) - first.max(last)).max(first.min(last) - value(share));
                    let from_line = (value(share) - line).abs();
                    apart = apart.max(if rate.im == 0.0 { from_line } else { beyond });
                }
                assert!(apart <= reach * (1.0 + 1e-9) + 1e-15, "{rate} {length}: {apart} beyond {reach}");
                if rate.im == 0.0 {
                    // Near the identity the points miss the widest place by little.
                    assert!(apart >= reach * 0.99, "{rate} {length}: {apart} far within {reach}");
                }
            }
        }
    }
}

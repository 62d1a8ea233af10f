//! What halving a leg again and again does to modes: the same for every probe and every leg of one duration, so that no exponential is
//! taken twice.

use super::leg::{PARABOLA, PARABOLA_AT_MOST};
use nalgebra::Complex;
use std::cell::OnceCell;

/// Halvings after which a stretch counts as looked at: a millionth of a millionth of its leg.
pub(super) const MOST_HALVINGS: usize = 40;
/// Below this product of rate and duration a mode is summed as a series of powers of time, above it as an exponential, which then loses
/// no digit against its constant.
const SLOW: f64 = 0.35;
/// Below this product the gap between an exponential and its chord cancels in closed form; what the second derivative allows is no more than 1 % above
/// it.
const SHORT: f64 = 1e-2;
/// Below this an exponential's root is taken no more.
const LEAST: f64 = 1e-280;

/// The rates of a leg's waveforms, and what is known of all halvings of its duration.
pub(super) struct Levels {
    pub(super) duration: f64,
    /// Those of the modes, then those of the low-passes.
    pub(super) rates: Vec<Complex<f64>>,
    /// Their magnitudes.
    speeds: Vec<f64>,
    /// Whether a rate is so low that its mode is a short series of powers.
    pub(super) slow: Vec<bool>,
    /// e^(r T) of each, real and imaginary part and magnitude.
    pub(super) over: Vec<[f64; 3]>,
    levels: [OnceCell<Level>; MOST_HALVINGS + 1],
}

/// Stretches of one length. Factors are per unit of a mode's height at the start of a stretch; those of slow modes are 0.
pub(super) struct Level {
    /// Length in seconds.
    pub(super) length: f64,
    pub(super) modes: Vec<Halved>,
}

/// What one mode does over a stretch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Halved {
    /// e^(r h / 2), real and imaginary part and magnitude: to the middle.
    pub(super) half: [f64; 3],
    pub(super) reach: Reach,
}

/// How far one mode is from simpler things over a stretch.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Reach {
    pub(super) form: Form,
    /// Greatest distance from the chord, or greatest height.
    pub(super) apart: f64,
    /// Greatest distance from the parabola through start, middle and end.
    pub(super) parabola: f64,
}

/// How a mode's reach is told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Form {
    /// On one side of its chord, by its sign.
    #[default]
    OneSided,
    /// On either side of its chord.
    Swings,
    /// So fast that it is on either side of nothing.
    Rings,
}

impl Levels {
    pub(super) fn new(rates: Vec<Complex<f64>>, duration: f64) -> Self {
        let speeds: Vec<f64> = rates.iter().map(|rate| rate.norm()).collect();
        let slow: Vec<bool> = speeds.iter().map(|speed| speed * duration < SLOW).collect();
        let over = rates.iter().zip(&slow).map(|(rate, slow)| factor(*rate, duration, *slow)).collect();
        Self { duration, rates, speeds, slow, over, levels: std::array::from_fn(|_| OnceCell::new()) }
    }

    pub(super) fn at(&self, depth: usize) -> &Level {
        self.levels[depth].get_or_init(|| {
            let before = depth.checked_sub(1).map(|depth| self.at(depth));
            let length = before.map_or(self.duration, |before| 0.5 * before.length);
            let halved = |index: usize| {
                let (rate, slow) = (self.rates[index], self.slow[index]);
                if slow {
                    return Halved { half: [0.0; 3], reach: Reach::default() };
                }
                let half = before
                    .and_then(|before| root(before.modes[index].half, rate.im * length))
                    .unwrap_or_else(|| factor(rate, 0.5 * length, slow));
                Halved { half, reach: Reach::of(rate, self.speeds[index], length) }
            };
            Level { length, modes: (0..self.rates.len()).map(halved).collect() }
        })
    }
}

/// e^(r t), real and imaginary part and magnitude; a slow mode's is not asked for.
fn factor(rate: Complex<f64>, time: f64, slow: bool) -> [f64; 3] {
    if slow {
        return [0.0; 3];
    }
    let decay = (rate.re * time).exp();
    if rate.im == 0.0 {
        return [decay, 0.0, decay];
    }
    let (sine, cosine) = (rate.im * time).sin_cos();
    [decay * cosine, decay * sine, decay]
}

/// The root of e^z, z having the given imaginary part; a root halves what rounding there is. `None` where half the angle could not be told by
/// it, or digits are lost near 0.
fn root([real, imaginary, magnitude]: [f64; 3], angle: f64) -> Option<[f64; 3]> {
    if magnitude < LEAST || angle.abs() > 1.0 {
        return None;
    }
    let decay = magnitude.sqrt();
    if angle == 0.0 {
        return Some([decay, 0.0, decay]);
    }
    // cos^2 (a / 2) = (1 + cos a) / 2, sin a = 2 sin (a / 2) cos (a / 2).
    let half_real = (0.5 * (magnitude + real)).sqrt();
    Some([half_real, 0.5 * imaginary / half_real, decay])
}

impl Reach {
    /// Of a rate, its magnitude, over a length.
    fn of(rate: Complex<f64>, speed: f64, length: f64) -> Self {
        let x = speed * length;
        let greatest = if rate.re > 0.0 { (rate.re * length).exp() } else { 1.0 };
        let parabola = greatest * (PARABOLA * x * x * x).min(PARABOLA_AT_MOST);
        // A chord errs by h^2 / 8 of the second derivative.
        let chord = 0.125 * x * x;
        if rate.im == 0.0 {
            Self { form: Form::OneSided, apart: gap(rate.re * length, chord * greatest), parabola }
        } else if chord < 1.0 {
            Self { form: Form::Swings, apart: greatest * chord, parabola }
        } else {
            Self { form: Form::Rings, apart: greatest, parabola }
        }
    }
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

    /// Against a thousand points of each mode's stretch.
    #[test]
    fn reaches_hold() {
        for rate in
            [(-3e4, 0.0), (-1e6, 0.0), (2e5, 0.0), (-2e4, 5e4), (-1e3, 4e6), (3e4, 2e5), (-100.0, 0.0)]
        {
            let rate = Complex::new(rate.0, rate.1);
            for length in [1e-7, 3e-6, 2e-5] {
                let reach = Reach::of(rate, rate.norm(), length);
                let value = |share: f64| (rate * (share * length)).exp();
                let (mut chord, mut height, mut parabola) = (0.0f64, 0.0f64, 0.0f64);
                let [first, middle, last] = [0.0, 0.5, 1.0].map(|share| value(share).re);
                for share in (0..=1000).map(|k| f64::from(k) / 1000.0) {
                    let now = value(share).re;
                    let line = first + share * (last - first);
                    let bend = 2.0 * (first + last - 2.0 * middle);
                    let curve = first + share * (4.0 * middle - 3.0 * first - last + share * bend);
                    chord = chord.max((now - line).abs());
                    height = height.max(now.abs());
                    parabola = parabola.max((now - curve).abs());
                    if reach.form == Form::OneSided {
                        assert!(now <= line + 1e-12 * first.max(last), "{rate} bent upwards");
                    }
                }
                let apart = if reach.form == Form::Rings { height } else { chord };
                let slack = 1.0 + 1e-9;
                assert!(apart <= reach.apart * slack + 1e-15, "{rate} {length}: {apart} beyond {reach:?}");
                assert!(
                    parabola <= reach.parabola * slack + 1e-15,
                    "{rate} {length}: {parabola} beyond {reach:?}"
                );
                if reach.form == Form::OneSided {
                    // Near the identity the points miss the widest place by little.
                    assert!(apart >= reach.apart * 0.99, "{rate} {length}: {apart} far within {reach:?}");
                }
            }
        }
    }
}

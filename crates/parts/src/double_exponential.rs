//! Surges that rise quickly and fall slowly: the difference of two exponentials.

/// `k U (e^(-t alpha) - e^(-t beta))`, with k so that its greatest value is U: the shape that ISO 7637-2 gives its pulses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleExponential {
    /// Rate in 1/s at which it falls.
    pub alpha: f64,
    /// Rate in 1/s at which it rises.
    pub beta: f64,
    /// The factor k.
    pub gain: f64,
}

/// Ratio of the rates between which a pulse is sought: nearly equal, and a rise of a billionth of the length.
const RATIOS: (f64, f64) = (1.0 + 1e-6, 1e10);
/// Halvings of an interval; 200 leave nothing of any.
const HALVINGS: usize = 200;
/// Step of the corners as a fraction of a time constant: chords lie its square over 8 off, 1.3e-5 of the height.
const STEP: f64 = 0.01;
/// Time constants after which an exponential counts as gone (e^-14 is 1e-6).
const GONE: f64 = 14.0;

/// A pulse of fall rate 1 and rise rate `ratio`, as a share of its peak.
struct Normal {
    ratio: f64,
    peak_time: f64,
    gain: f64,
}

impl Normal {
    fn new(ratio: f64) -> Self {
        // Where the slope is 0: e^-t = ratio e^(-ratio t).
        let peak_time = ratio.ln() / (ratio - 1.0);
        let gain = 1.0 / ((-peak_time).exp() - (-ratio * peak_time).exp());
        Self { ratio, peak_time, gain }
    }

    fn value(&self, time: f64) -> f64 {
        self.gain * ((-time).exp() - (-self.ratio * time).exp())
    }

    /// When it goes through `share` of its peak, on the way up and on the way down.
    fn up(&self, share: f64) -> f64 {
        halve(0.0, self.peak_time, |time| self.value(time) < share)
    }

    fn down(&self, share: f64) -> f64 {
        halve(self.peak_time, self.peak_time + 60.0, |time| self.value(time) > share)
    }

    /// Rise from 10 % to 90 % and length from 10 % to 10 %, in time constants of the fall.
    fn rise_and_length(&self) -> (f64, f64) {
        let start = self.up(0.1);
        (self.up(0.9) - start, self.down(0.1) - start)
    }
}

/// The place between two where a condition that holds at first holds no more.
fn halve(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

impl DoubleExponential {
    /// The pulse with a rise from 10 % to 90 % and a length from 10 % to 10 %, both in seconds. `None` where the rise is too long for
    /// the length (more than 12 % of it) or beyond counting.
    #[must_use]
    pub fn new(rise: f64, length: f64) -> Option<Self> {
        let wanted = rise / length;
        let share = |ratio: f64| {
            let (rise, length) = Normal::new(ratio).rise_and_length();
            rise / length
        };
        if !(wanted < share(RATIOS.0) && wanted > share(RATIOS.1)) {
            return None;
        }
        let ratio = halve(RATIOS.0.ln(), RATIOS.1.ln(), |logarithm| share(logarithm.exp()) > wanted).exp();
        let normal = Normal::new(ratio);
        let alpha = normal.rise_and_length().1 / length;
        Some(Self { alpha, beta: ratio * alpha, gain: normal.gain })
    }

    /// Time in seconds of its greatest value.
    #[must_use]
    pub fn peak_time(&self) -> f64 {
        (self.beta / self.alpha).ln() / (self.beta - self.alpha)
    }

    /// The pulse as a share of its greatest value.
    #[must_use]
    pub fn value(&self, time: f64) -> f64 {
        self.gain * ((-self.alpha * time).exp() - (-self.beta * time).exp())
    }

    /// Corners of straight lines that follow it to 2e-5 of its height, from 0 until it is gone; its greatest value is one of them.
    #[must_use]
    pub fn corners(&self) -> Vec<(f64, f64)> {
        let (fast, slow) = (STEP / self.beta, STEP / self.alpha);
        let risen = GONE / self.beta;
        let gone = (GONE / self.alpha).max(risen);
        let mut times: Vec<f64> = (0..=(GONE / STEP) as u32).map(|k| f64::from(k) * fast).collect();
        let rest = ((gone - risen) / slow).ceil().max(0.0) as u32;
        times.extend((1..=rest).map(|k| risen + f64::from(k) * slow));
        times.push(self.peak_time());
        times.sort_by(f64::total_cmp);
        // A corner beside the greatest value would make a leg of no length.
        times.dedup_by(|later, earlier| *later - *earlier < 1e-3 * fast);
        let last = times.last().copied().unwrap_or(0.0);
        let corners = times.into_iter().map(|time| (time, self.value(time)));
        corners.chain([(last + slow, 0.0)]).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check 5.07: ISO 7637-2 pulse 1 (1 us, 2 ms) and pulses 3a and 3b (5 ns, 150 ns).
    #[test]
    fn pulses_of_the_standard_have_their_rates() {
        for (rise, length, alpha, beta, gain, peak) in [
            (1e-6, 2e-3, 1153.5, 2.1694e6, 1.0046, 3.477e-6),
            (5e-9, 150e-9, 1.6807e7, 3.0911e8, 1.2502, 9.962e-9),
        ] {
            let pulse = DoubleExponential::new(rise, length).unwrap();
            for (found, expected) in
                [(pulse.alpha, alpha), (pulse.beta, beta), (pulse.gain, gain), (pulse.peak_time(), peak)]
            {
                assert!((found / expected - 1.0).abs() < 1e-3, "{found}, expected {expected}");
            }
            assert!((pulse.value(pulse.peak_time()) - 1.0).abs() < 1e-12);
        }
        assert_eq!(DoubleExponential::new(1e-6, 5e-6), None);
        assert_eq!(DoubleExponential::new(1e-18, 1.0), None);
    }

    #[test]
    fn corners_follow_it() {
        let pulse = DoubleExponential::new(1e-6, 50e-6).unwrap();
        let corners = pulse.corners();
        for pair in corners.windows(2) {
            let ((t0, u0), (t1, u1)) = (pair[0], pair[1]);
            assert!(t1 > t0);
            let middle = pulse.value(0.5 * (t0 + t1));
            // (0.01)^2 / 8 of the faster exponential, whose height is `gain`.
            assert!((0.5 * (u0 + u1) - middle).abs() < 2e-5 * pulse.gain, "{t0}");
        }
        assert!(corners.iter().any(|corner| (corner.1 - 1.0).abs() < 1e-12));
    }
}

//! Fourier coefficients of a waveform from its stretches: exact integrals of parabolas, no sampling, no window function.

use crate::meter::Parabola;

/// Five-point Gauss-Legendre quadrature on -1 .. 1 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];
/// Below this phase over a stretch quadrature is used: the closed form would cancel, and quadrature errs by less than 1e-12.
const SMALL_PHASE: f64 = 0.5;

/// Running integrals of s(t) e^(-j 2 pi f t) for a list of frequencies.
#[derive(Clone, Debug)]
pub(crate) struct Fourier {
    /// Start and end in seconds of what is taken.
    window: (f64, f64),
    frequencies: Vec<f64>,
    sums: Vec<(f64, f64)>,
    origin: Option<f64>,
    duration: f64,
}

impl Fourier {
    /// Over a window that holds a whole number of periods of each frequency to be added.
    pub(crate) fn new(window: (f64, f64)) -> Self {
        let (frequencies, sums) = (Vec::new(), Vec::new());
        Self { window, frequencies, sums, origin: None, duration: 0.0 }
    }

    pub(crate) fn window(&self) -> (f64, f64) {
        self.window
    }

    /// Adds a frequency in hertz, above 0.
    pub(crate) fn add(&mut self, frequency: f64) {
        if !self.frequencies.contains(&frequency) {
            self.frequencies.push(frequency);
            self.sums.push((0.0, 0.0));
        }
    }

    /// Takes the next stretch.
    pub(crate) fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        let (from, to) = (start.max(self.window.0), end.min(self.window.1));
        if from >= to {
            return;
        }
        let parabola = Parabola::through(values);
        let clipped = [from, 0.5 * (from + to), to].map(|time| parabola.at((time - start) / (end - start)));
        let values = if (from, to) == (start, end) { values } else { clipped };
        let (start, length) = (from, to - from);
        let origin = *self.origin.get_or_insert(values[0]);
        let values = values.map(|value| value - origin);
        for (frequency, sum) in self.frequencies.iter().zip(&mut self.sums) {
            let omega = std::f64::consts::TAU * frequency;
            let (re, im) = integral(values, length, omega);
            let (sin, cos) = (-omega * start).sin_cos();
            sum.0 += re * cos - im * sin;
            sum.1 += re * sin + im * cos;
        }
        self.duration += length;
    }

    /// Peak amplitude at a frequency that was added.
    pub(crate) fn amplitude(&self, frequency: f64) -> Option<f64> {
        let index = self.frequencies.iter().position(|known| *known == frequency)?;
        let (re, im) = self.sums[index];
        (self.duration > 0.0).then(|| 2.0 / self.duration * re.hypot(im))
    }
}

/// Integral of the parabola times e^(-j omega t), t from the start of the stretch.
fn integral(values: [f64; 3], length: f64, omega: f64) -> (f64, f64) {
    let parabola = Parabola::through(values);
    let phase = omega * length;
    if phase < SMALL_PHASE {
        return GAUSS.iter().fold((0.0, 0.0), |(re, im), (place, weight)| {
            let x = 0.5 + 0.5 * place;
            let value = 0.5 * weight * length * parabola.at(x);
            let (sin, cos) = (phase * x).sin_cos();
            (re + value * cos, im - value * sin)
        });
    }
    // By parts, twice, on 0 .. 1: [-(p / j w) - (p' / (j w)^2) - (p'' / (j w)^3)] e^(-j w x).
    let primitive = |value: f64, slope: f64, curvature: f64, (cos, sin): (f64, f64)| {
        let re = slope / (phase * phase);
        let im = value / phase - curvature / (phase * phase * phase);
        (re * cos - im * sin, re * sin + im * cos)
    };
    let [start, middle, end] = values;
    let curvature = 4.0 * (start + end - 2.0 * middle);
    let first_slope = 4.0 * middle - 3.0 * start - end;
    let (sin, cos) = (-phase).sin_cos();
    let upper = primitive(end, first_slope + curvature, curvature, (cos, sin));
    let lower = primitive(start, first_slope, curvature, (1.0, 0.0));
    (length * (upper.0 - lower.0), length * (upper.1 - lower.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Spectrum of a trapezoid pulse train: 2 A D |sinc(n D)| |sinc(n tr / T)| with D at half height (Paul, Introduction to EMC,
    /// ch. 3): A = 10 A, D = 0.3, tr/T = 0.01, n = 1, 2, 3, 11: 5.14951, 3.02532, 0.654784, 0.458951 A, and a null at n = 10.
    #[test]
    fn trapezoid_train() {
        let frequencies = [1.0, 2.0, 3.0, 11.0, 10.0];
        let mut fourier = Fourier::new((0.0, 1.0));
        frequencies.iter().for_each(|frequency| fourier.add(*frequency));
        fourier.take(0.0, 0.01, [0.0, 5.0, 10.0]);
        fourier.take(0.01, 0.30, [10.0; 3]);
        fourier.take(0.30, 0.31, [10.0, 5.0, 0.0]);
        fourier.take(0.31, 1.0, [0.0; 3]);
        let expected = [5.14951, 3.02532, 0.654784, 0.458951, 0.0];
        for (frequency, expected) in frequencies.into_iter().zip(expected) {
            let seen = fourier.amplitude(frequency).expect("an amplitude");
            assert!((seen - expected).abs() < 1e-5, "{seen} {expected}");
        }
    }

    /// Both forms of the integral agree where one takes over from the other.
    #[test]
    fn forms_meet() {
        let values = [0.3, -1.2, 2.0];
        let below = integral(values, 1.0, SMALL_PHASE * (1.0 - 1e-13));
        let above = integral(values, 1.0, SMALL_PHASE);
        assert!(
            (below.0 - above.0).abs() < 1e-11 && (below.1 - above.1).abs() < 1e-11,
            "{below:?} {above:?}"
        );
    }
}

//! Statistics of a waveform inside a window of time, from its stretches, in constant memory.

use engine::observe::Totals;

/// Abscissae of three-point Gauss-Legendre quadrature on -1 .. 1, exact to degree 5 (Abramowitz and Stegun, table 25.4).
const ABSCISSA: f64 = 0.774_596_669_241_483_4;
/// Weights of the outer and the middle point there.
const WEIGHTS: (f64, f64) = (5.0 / 9.0, 8.0 / 9.0);

/// Rounding of a waveform as a fraction of its greatest value: a few thousand operations in double precision.
const ROUNDING: f64 = 1e-12;

/// A parabola through the values at the start, the middle and the end of a stretch, on 0 .. 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parabola {
    a: f64,
    b: f64,
    c: f64,
}

impl Parabola {
    pub(crate) fn through([start, middle, end]: [f64; 3]) -> Self {
        Self { a: start, b: 4.0 * middle - 3.0 * start - end, c: 2.0 * (start + end - 2.0 * middle) }
    }

    pub(crate) fn at(self, x: f64) -> f64 {
        self.a + x * (self.b + x * self.c)
    }

    /// Its integral from 0 to a place.
    pub(crate) fn integral(self, x: f64) -> f64 {
        x * (self.a + x * (self.b / 2.0 + x * self.c / 3.0))
    }

    /// Where it turns, if that lies strictly between two places.
    fn turn(self, from: f64, to: f64) -> Option<f64> {
        let x = -self.b / (2.0 * self.c);
        (x > from && x < to).then_some(x)
    }
}

/// Statistics over a window.
#[derive(Clone, Debug)]
pub(crate) struct Meter {
    /// Where it looks: start and end in seconds.
    windows: Vec<(f64, f64)>,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) time_of_greatest: f64,
    /// Integrals are taken of the departure from the first value, so that a small ripple on a high voltage keeps its digits.
    origin: Option<f64>,
    duration: f64,
    integral: f64,
    square: f64,
}

impl Meter {
    /// Looks at these stretches of time alone.
    pub(crate) fn new(windows: Vec<(f64, f64)>) -> Self {
        Self {
            windows,
            least: f64::INFINITY,
            greatest: f64::NEG_INFINITY,
            time_of_greatest: f64::NAN,
            origin: None,
            duration: 0.0,
            integral: 0.0,
            square: 0.0,
        }
    }

    /// Takes what the whole of a run came to, in the place of its stretches.
    pub(crate) fn take_totals(&mut self, totals: &Totals) {
        self.least = totals.least;
        self.greatest = totals.greatest;
        self.time_of_greatest = totals.time_of_greatest;
        self.origin = Some(totals.first);
        self.duration = totals.duration;
        self.integral = totals.integral;
        self.square = totals.square;
    }

    /// Takes the next stretch.
    pub(crate) fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        let length = end - start;
        for index in 0..self.windows.len() {
            let (first, last) = self.windows[index];
            let from = ((first - start) / length).max(0.0);
            let to = ((last - start) / length).min(1.0);
            if from < to {
                self.take_share(start, length, values, (from, to));
            }
        }
    }

    /// Takes the part of a stretch between two shares of its length.
    fn take_share(&mut self, start: f64, length: f64, values: [f64; 3], (from, to): (f64, f64)) {
        let parabola = Parabola::through(values);
        // The given values stay as they are where the window takes the whole stretch.
        let first = if from == 0.0 { values[0] } else { parabola.at(from) };
        let last = if to == 1.0 { values[2] } else { parabola.at(to) };
        self.see(start + from * length, first);
        self.see(start + to * length, last);
        if let Some(turn) = parabola.turn(from, to) {
            self.see(start + turn * length, parabola.at(turn));
        }
        let origin = *self.origin.get_or_insert(first);
        let (centre, half) = (0.5 * (from + to), 0.5 * (to - from));
        let weight = half * length;
        for (place, share) in [(-ABSCISSA, WEIGHTS.0), (0.0, WEIGHTS.1), (ABSCISSA, WEIGHTS.0)] {
            let departure = parabola.at(centre + half * place) - origin;
            self.integral += weight * share * departure;
            self.square += weight * share * departure * departure;
        }
        self.duration += (to - from) * length;
    }

    fn see(&mut self, time: f64, value: f64) {
        self.least = self.least.min(value);
        if value > self.greatest {
            self.greatest = value;
            self.time_of_greatest = time;
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.duration <= 0.0
    }

    pub(crate) fn mean(&self) -> f64 {
        self.origin.unwrap_or(f64::NAN) + self.integral / self.duration
    }

    pub(crate) fn peak(&self) -> f64 {
        self.least.abs().max(self.greatest.abs())
    }

    /// Greatest less least value; what is left of it by rounding alone counts as nothing.
    pub(crate) fn peak_to_peak(&self) -> f64 {
        let swing = self.greatest - self.least;
        if swing <= ROUNDING * self.peak() { 0.0 } else { swing }
    }

    /// Root of the mean square departure from the mean.
    pub(crate) fn rms_ac(&self) -> f64 {
        let mean = self.integral / self.duration;
        let rms = (self.square / self.duration - mean * mean).max(0.0).sqrt();
        if rms <= ROUNDING * self.peak() { 0.0 } else { rms }
    }

    pub(crate) fn rms(&self) -> f64 {
        self.rms_ac().hypot(self.mean())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A trapezoid of 10 A at 30 % duty with 1 % edges: mean I D, and the mean square less the edges' thirds.
    #[test]
    fn trapezoid() {
        let mut meter = Meter::new(vec![(0.0, 1e9)]);
        meter.take(0.0, 0.01, [0.0, 5.0, 10.0]);
        meter.take(0.01, 0.30, [10.0; 3]);
        meter.take(0.30, 0.31, [10.0, 5.0, 0.0]);
        meter.take(0.31, 1.0, [0.0; 3]);
        assert!((meter.mean() - 3.0).abs() < 1e-14);
        // Each edge carries I^2 t / 3.
        let square: f64 = 100.0 * (0.29 + 2.0 * 0.01 / 3.0);
        assert!((meter.rms() - square.sqrt()).abs() < 1e-13);
        assert!((meter.rms_ac() - (square - 9.0).sqrt()).abs() < 1e-13);
        assert_eq!((meter.least, meter.greatest), (0.0, 10.0));
    }

    #[test]
    fn turns_and_windows() {
        let mut meter = Meter::new(vec![(0.25, 2.0)]);
        // 4 x (1 - x): its top is 1 at one half.
        meter.take(0.0, 1.0, [0.0, 1.0, 0.0]);
        assert!((meter.greatest - 1.0).abs() < 1e-15);
        assert!((meter.time_of_greatest - 0.5).abs() < 1e-15);
        assert_eq!(meter.least, 0.0);
        // Integral over 0.25 .. 1 is 2/3 - (1/8 - 1/48) = 9/16.
        assert!((meter.mean() - (9.0 / 16.0) / 0.75).abs() < 1e-14);
    }

    /// A ripple of 1 uV on 15 V keeps its digits.
    #[test]
    fn small_ripple_on_high_voltage() {
        let mut meter = Meter::new(vec![(0.0, 1e9)]);
        for k in 0..1000 {
            let start = f64::from(k);
            meter.take(start, start + 0.5, [15.0, 15.0, 15.0]);
            meter.take(start + 0.5, start + 1.0, [15.0 + 1e-6; 3]);
        }
        assert!((meter.rms_ac() - 0.5e-6).abs() < 1e-14);
    }
}

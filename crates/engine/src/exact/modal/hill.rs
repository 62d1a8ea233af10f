//! How high a waveform can rise between two points of its course, and where.
//!
//! Modes that turn many times between the points are taken for their envelopes. What is left has a second derivative that stays between
//! known bounds, since that of a mode is a mode: it lies below its chord by no less, and above it by no more, than these allow.

use super::course::{Course, Height};

/// A mode whose angle moves by more than this, the root of 8, is an envelope: its chord would be no better.
const RINGS: f64 = 8.0;
/// A mode that dies away by more than this power of e is told by where it comes to: its chord would say more than its height.
const FADES: f64 = 2.0;
/// Slopes count where rounding moves a line along them by no more than this share of what is allowed.
const UNMOVED: f64 = 0.1;
/// The nearest to an end, as a share of the length, that a summit is looked for.
const NEAREST: f64 = 1.0 / 1024.0;

/// One side of a stretch: as seen from above, or from below with all signs turned.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hill {
    /// No value is above.
    pub(super) most: f64,
    /// Seconds from the stretch's start to where it is about as high as it gets, if that is inside and bent one way all along.
    pub(super) summit: Option<f64>,
    /// Seconds from the stretch's start to where the mode has faded that says least about it.
    pub(super) faded: Option<f64>,
}

/// Sums over all modes.
struct Sums {
    length: f64,
    /// Value, slope and second derivative at both ends.
    first: [f64; 3],
    last: [f64; 3],
    /// What the second derivative stays below.
    high: f64,
    /// At both ends of a chord above which the waveform bends by no more than `low` allows: modes that fade left out, but for where they come to.
    chord: [f64; 2],
    low: f64,
    /// How far rounding moves a line along the slopes.
    noise: f64,
    /// Height and rate of the highest mode that the chord leaves out.
    left_out: (f64, f64),
}

impl Hill {
    /// Between two points, to some tolerance; `sign` is -1 for the view from below.
    pub(super) fn between(course: &Course, sign: f64, ends: [usize; 2], tolerance: f64) -> Self {
        let [from, to] = ends.map(|end| course.point(end));
        let length = to.time - from.time;
        let [first, last] = [from, to].map(|point| point.polynomial.map(|value| sign * value));
        let departure = 0.5 * course.third * length;
        let mut sums = Sums {
            length,
            first,
            last,
            high: first[2].max(last[2]) + departure,
            chord: [first[0], last[0]],
            low: first[2].min(last[2]) - departure,
            noise: 0.0,
            left_out: (0.0, 0.0),
        };
        let [start, end] = ends.map(|end| course.heights(end));
        let rates = &*course.rates;
        for (mode, (start, end)) in start.iter().zip(end).enumerate() {
            let (rate, turn) = (rates.rates[mode], rates.speeds[mode] * length);
            if rate.im == 0.0 {
                sums.noise += turn * (start.real.abs() - start.magnitude);
                sums.add_fading(rate.re, [sign * start.real, sign * end.real]);
            } else if turn * turn >= RINGS {
                sums.add_fading(rate.re, [start.magnitude, end.magnitude]);
            } else {
                let speed = rates.speeds[mode];
                let most = 0.125 * turn * turn * speed * speed * start.magnitude.max(end.magnitude);
                sums.add_turning((rate.re, rate.im), sign, [start, end], most);
            }
        }
        sums.hill(tolerance)
    }

    /// How far the modes that ring between two points reach at a point, and the place among the modes of the one that does most.
    pub(super) fn ringing(course: &Course, length: f64, point: usize) -> (f64, Option<usize>) {
        let rates = &*course.rates;
        let (mut sum, mut most) = (0.0, None);
        for (mode, height) in course.heights(point).iter().enumerate() {
            let turn = rates.speeds[mode] * length;
            if rates.rates[mode].im != 0.0 && turn * turn >= RINGS {
                sum += height.magnitude;
                if most.is_none_or(|(_, magnitude)| height.magnitude > magnitude) {
                    most = Some((mode, height.magnitude));
                }
            }
        }
        (sum, most.map(|(mode, _)| mode))
    }
}

impl Sums {
    /// A mode of a real rate, by its height at both ends.
    fn add_fading(&mut self, rate: f64, heights: [f64; 2]) {
        let (mut first, mut last) = (heights[0], heights[1]);
        for power in 0..3 {
            self.first[power] += first;
            self.last[power] += last;
            if power < 2 {
                (first, last) = (rate * first, rate * last);
            }
        }
        self.high += first.max(last);
        if heights[0] < 0.0 && (rate * self.length).abs() > FADES {
            let most = heights[0].max(heights[1]);
            self.chord = self.chord.map(|value| value + most);
            if heights[0] < self.left_out.0 {
                self.left_out = (heights[0], rate);
            }
        } else {
            self.chord = [self.chord[0] + heights[0], self.chord[1] + heights[1]];
            self.low += first.min(last);
        }
    }

    /// A mode that swings, whose second derivative departs from its chord by so much at most.
    fn add_turning(&mut self, (fading, turning): (f64, f64), sign: f64, ends: [&Height; 2], most: f64) {
        let [mut first, mut last] = ends.map(|end| (sign * end.real, sign * end.imaginary));
        self.chord = [self.chord[0] + first.0, self.chord[1] + last.0];
        let slope = |(real, imaginary): (f64, f64)| {
            (fading * real - turning * imaginary, fading * imaginary + turning * real)
        };
        for power in 0..3 {
            self.first[power] += first.0;
            self.last[power] += last.0;
            if power < 2 {
                (first, last) = (slope(first), slope(last));
            }
        }
        self.low += first.0.min(last.0) - most;
        self.high += first.0.max(last.0) + most;
    }

    fn hill(&self, tolerance: f64) -> Hill {
        let mut most = self.chord[0].max(self.chord[1]);
        if self.low < 0.0 {
            // The chord and a parabola of the greatest bend on it: a + d s / h + k s (h - s) / 2.
            let rise = self.chord[1] - self.chord[0];
            let bow = -0.5 * self.low * self.length * self.length;
            if rise.abs() < bow {
                let share = 0.5 * (1.0 + rise / bow);
                most = self.chord[0] + bow * share * share;
            }
        }
        let faded = FADES / -self.left_out.1;
        let faded = (faded > 0.0 && faded < 0.5 * self.length).then_some(faded);
        if self.noise > UNMOVED * tolerance || self.high >= 0.0 {
            return Hill { most, summit: None, faded };
        }
        let ([first, slope, bend], [last, last_slope, last_bend]) = (self.first, self.last);
        // From either end it goes on falling, or turns at the latest where the least bend turns it.
        let turned = |value: f64, slope: f64| {
            if slope <= 0.0 { value } else { value + 0.5 * slope * slope / -self.high }
        };
        most = most.min(turned(first, slope)).min(turned(last, -last_slope));
        let inside = slope > 0.0 && last_slope < 0.0;
        let summit = inside.then(|| summit(self.length, [slope, last_slope], [bend, last_bend]));
        Hill { most, summit, faded }
    }
}

/// Where a slope that falls from above to below 0 passes it, told by Newton's method from the nearer end or, if that leads nowhere, by the chord.
fn summit(length: f64, [first, last]: [f64; 2], [bend, last_bend]: [f64; 2]) -> f64 {
    let newton = if first < -last { -first / bend } else { length - last / last_bend };
    let inside = |time: f64| time > 0.0 && time < length;
    let time = if inside(newton) { newton } else { length * first / (first - last) };
    time.clamp(NEAREST * length, (1.0 - NEAREST) * length)
}

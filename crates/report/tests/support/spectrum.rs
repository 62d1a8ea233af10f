//! The Fourier series of a pulsed current through lumped impedances.

use std::f64::consts::PI;
use std::ops::{Add, Div, Mul};

/// A complex number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Complex {
    /// Real part.
    pub(crate) re: f64,
    /// Imaginary part.
    pub(crate) im: f64,
}

impl Add for Complex {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        (self.re + other.re, self.im + other.im).into()
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        (self.re * other.re - self.im * other.im, self.re * other.im + self.im * other.re).into()
    }
}

impl Div for Complex {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let square = other.re * other.re + other.im * other.im;
        let conjugate: Self = (other.re / square, -other.im / square).into();
        self * conjugate
    }
}

fn parallel(a: Complex, b: Complex) -> Complex {
    a * b / (a + b)
}

/// A series resistance and inductance, then a capacitor with its series resistance across the camera.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Filter {
    /// Ohm.
    pub(crate) resistance: f64,
    /// Henry.
    pub(crate) inductance: f64,
    /// Farad; 0 for none.
    pub(crate) capacitance: f64,
    /// Ohm.
    pub(crate) esr: f64,
}

/// A pulsed current.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Motor {
    /// Ampere while on.
    pub(crate) current: f64,
    /// Share of the period that it is on.
    pub(crate) duty: f64,
}

/// One period of a waveform without its mean, evenly sampled.
#[derive(Clone, Debug)]
pub(crate) struct Waveform {
    period: f64,
    samples: Vec<f64>,
    /// Where it is greatest, in seconds.
    pub(crate) time_of_maximum: f64,
    /// Where it is least, in seconds.
    pub(crate) time_of_minimum: f64,
}

const SAMPLES: usize = 500;
const HARMONICS: usize = 150;

impl Waveform {
    fn new(period: f64, samples: Vec<f64>) -> Self {
        let place = |better: fn(f64, f64) -> bool| {
            let mut best = 0;
            for at in 0..samples.len() {
                if better(samples[at], samples[best]) {
                    best = at;
                }
            }
            period * best as f64 / samples.len() as f64
        };
        let (time_of_maximum, time_of_minimum) = (place(|a, b| a > b), place(|a, b| a < b));
        Self { period, samples, time_of_maximum, time_of_minimum }
    }

    /// The value at `time`, straight between samples.
    pub(crate) fn at(&self, time: f64) -> f64 {
        let place = (time / self.period).rem_euclid(1.0) * self.samples.len() as f64;
        let (low, share) = (place.floor() as usize % self.samples.len(), place.fract());
        self.samples[low] * (1.0 - share) + self.samples[(low + 1) % self.samples.len()] * share
    }

    /// Frequency and amplitude of its first hundred lines.
    pub(crate) fn lines(&self) -> Vec<(f64, f64)> {
        let count = self.samples.len() as f64;
        let line = |order: usize| {
            let turn = |at: usize| 2.0 * PI * (order * at) as f64 / count;
            let each = || self.samples.iter().enumerate();
            let re: f64 = each().map(|(at, value)| value * turn(at).cos()).sum();
            let im: f64 = each().map(|(at, value)| value * turn(at).sin()).sum();
            (order as f64 / self.period, 2.0 / count * re.hypot(im))
        };
        (1..=100).map(line).collect()
    }

    /// A current with the shape of the rail's ripple, of a size that the choke would let through.
    pub(crate) fn choke_current(rail: &Self, filter: Filter) -> Self {
        let impedance = 2.0 * PI / rail.period * filter.inductance.max(1e-9);
        Self::new(rail.period, rail.samples.iter().map(|value| 20.0 * value / impedance).collect())
    }
}

/// 1 at 0.5, 0 at 0 and 1 and outside.
pub(crate) fn triangle(x: f64) -> f64 {
    (1.0 - (2.0 * x - 1.0).abs()).max(0.0)
}

fn divider(filter: Filter, omega: f64) -> Complex {
    let camera: Complex = (0.2, -1.0 / (omega * 10e-6)).into();
    let shunt = if filter.capacitance > 0.0 {
        let store: Complex = (filter.esr, -1.0 / (omega * filter.capacitance) + omega * 12e-9).into();
        parallel(store, camera)
    } else {
        camera
    };
    let series: Complex = (filter.resistance + 0.06, omega * (filter.inductance + 0.3e-6)).into();
    shunt / (series + shunt)
}

/// Magnitude of the filter's transfer at a frequency in hertz.
pub(crate) fn gain(filter: Filter, frequency: f64) -> f64 {
    let transfer = divider(filter, 2.0 * PI * frequency);
    transfer.re.hypot(transfer.im)
}

/// Ripple at the camera behind `filter`, the motor's pulses drawn through the pack and shared with a bulk capacitor.
pub(crate) fn camera_rail(filter: Filter, motor: Motor, resistance: f64, period: f64) -> Waveform {
    let samples = |at: usize| {
        let time = at as f64 / SAMPLES as f64;
        let mut sum = 0.0;
        for harmonic in 1..=HARMONICS {
            let order = harmonic as f64;
            let omega = 2.0 * PI * order / period;
            // Fourier series of a pulse of width `duty`, its edges softened over 200 ns.
            let pulse = 2.0 * motor.current * (PI * order * motor.duty).sin() / (PI * order);
            let edge = PI * order * 200e-9 / period;
            let source = parallel(
                (resistance, omega * 0.9e-6).into(),
                (0.14, -1.0 / (omega * 220e-6) + omega * 15e-9).into(),
            );
            let transfer = source * divider(filter, omega);
            let phase = 2.0 * PI * order * (time - motor.duty / 2.0);
            sum -= pulse * edge.sin() / edge * (transfer.re * phase.cos() - transfer.im * phase.sin());
        }
        sum
    };
    Waveform::new(period, (0..SAMPLES).map(samples).collect())
}

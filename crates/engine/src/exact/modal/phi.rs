//! The first phi functions of a complex number: phi0 = e^z, phi(k) = (phi(k-1) - 1/(k-1)!) / z.

use nalgebra::Complex;

/// Below this magnitude the series is summed; above it the closed form loses at most five digits of phi3.
const SMALL: f64 = 0.35;
/// Terms of the series: 0.35^11 / 14! is below 1e-16.
const TERMS: i32 = 11;

/// phi1, phi2 and phi3.
pub(super) fn phi(z: Complex<f64>) -> [Complex<f64>; 3] {
    let one = Complex::new(1.0, 0.0);
    if z.norm_sqr() < SMALL * SMALL {
        let mut phi3 = Complex::new(0.0, 0.0);
        // Horner's rule on 1/3! (1 + z/4 (1 + z/5 (…))).
        for k in (4..4 + TERMS).rev() {
            phi3 = (one + phi3) * (z / f64::from(k));
        }
        let phi3 = (one + phi3) / 6.0;
        let phi2 = z * phi3 + 0.5;
        return [z * phi2 + one, phi2, phi3];
    }
    let inverse = z.inv();
    let phi1 = (z.exp() - one) * inverse;
    let phi2 = (phi1 - one) * inverse;
    [phi1, phi2, (phi2 - 0.5) * inverse]
}

/// t phi1(r t) and t^2 phi2(r t).
pub(super) fn grown(rate: f64, time: f64) -> (f64, f64) {
    let x = rate * time;
    if x.abs() < SMALL {
        let mut phi2 = 0.0;
        for factor in INVERSES.iter().rev() {
            phi2 = (1.0 + phi2) * (x * factor);
        }
        let phi2 = 0.5 * (1.0 + phi2);
        let phi1 = 1.0 + x * phi2;
        (phi1 * time, phi2 * time * time)
    } else {
        let first = (x.exp() - 1.0) / rate;
        (first, (first - time) / rate)
    }
}

/// 1/3 and on: quotients of neighbouring terms of phi2.
const INVERSES: [f64; 11] = [
    1.0 / 3.0,
    1.0 / 4.0,
    1.0 / 5.0,
    1.0 / 6.0,
    1.0 / 7.0,
    1.0 / 8.0,
    1.0 / 9.0,
    1.0 / 10.0,
    1.0 / 11.0,
    1.0 / 12.0,
    1.0 / 13.0,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// phi(k)(1) = e - sum of the first k inverse factorials, and at j pi: e^z = -1; both forms where they meet.
    #[test]
    fn known_values() {
        let [one, two, three] = phi(Complex::new(1.0, 0.0));
        let e = std::f64::consts::E;
        for (found, known) in [(one, e - 1.0), (two, e - 2.0), (three, e - 2.5)] {
            assert!((found.re - known).abs() < 1e-15 && found.im == 0.0);
        }
        let half_turn = Complex::new(0.0, std::f64::consts::PI);
        assert!((phi(half_turn)[0] + Complex::new(2.0, 0.0) / half_turn).norm() < 1e-15);
        for direction in [Complex::new(1.0, 0.0), Complex::new(-0.6, 0.8)] {
            let (below, above) = (phi(direction * (SMALL * (1.0 - 1e-12))), phi(direction * SMALL));
            for (below, above) in below.into_iter().zip(above) {
                assert!((below - above).norm() < 2e-12, "{below} {above}");
            }
        }
    }

    /// The quick form is the same as the phi functions.
    #[test]
    fn quick_form() {
        for rate in [-1e6, -1e5, -3.0, 0.0, 2e3] {
            let time = 3e-6;
            let (first, second) = grown(rate, time);
            let [one, two, _] = phi(Complex::new(rate * time, 0.0));
            assert!((first - one.re * time).abs() < 1e-14 * time, "{rate}: {first}");
            assert!((second - two.re * time * time).abs() < 1e-13 * time * time, "{rate}: {second}");
        }
    }
}

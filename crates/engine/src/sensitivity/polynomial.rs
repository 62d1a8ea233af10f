//! What is read between the stages of a step: the polynomial through them and, where it is known, the start of the step.

use super::radau::abscissae;

/// A waveform over one step, as a polynomial of `place`, which runs from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Polynomial {
    /// Start of the step in seconds.
    pub start: f64,
    /// Length of the step in seconds.
    pub length: f64,
    /// Value at the start, where the waveform is known not to jump there, then at the stages.
    pub values: [f64; 4],
    /// Whether the value at the start counts.
    pub continuous: bool,
}

/// Places of the start and the stages.
fn places() -> [f64; 4] {
    let [first, second, last] = abscissae();
    [0.0, first, second, last]
}

impl Polynomial {
    fn used(&self) -> std::ops::Range<usize> {
        usize::from(!self.continuous)..4
    }

    /// What each of the four values weighs in the value at a place (Lagrange's polynomials).
    #[must_use]
    pub fn weights(&self, place: f64) -> [f64; 4] {
        let nodes = places();
        let mut weights = [0.0; 4];
        for index in self.used() {
            let others = self.used().filter(|other| *other != index);
            weights[index] =
                others.map(|other| (place - nodes[other]) / (nodes[index] - nodes[other])).product();
        }
        weights
    }

    /// Value at a place.
    #[must_use]
    pub fn at(&self, place: f64) -> f64 {
        self.weights(place).iter().zip(&self.values).map(|(weight, value)| weight * value).sum()
    }

    /// Coefficients of 1, place, place^2 and place^3.
    fn coefficients(&self) -> [f64; 4] {
        // Newton's divided differences, multiplied out.
        let nodes = places();
        let used: Vec<usize> = self.used().collect();
        let mut differences: Vec<f64> = used.iter().map(|index| self.values[*index]).collect();
        for order in 1..used.len() {
            for index in (order..used.len()).rev() {
                differences[index] = (differences[index] - differences[index - 1])
                    / (nodes[used[index]] - nodes[used[index - order]]);
            }
        }
        let mut polynomial = [0.0; 4];
        for index in (0..used.len()).rev() {
            let node = nodes[used[index]];
            for power in (0..4).rev() {
                let lower = if power > 0 { polynomial[power - 1] } else { 0.0 };
                polynomial[power] = lower - node * polynomial[power];
            }
            polynomial[0] += differences[index];
        }
        polynomial
    }

    /// Slope per second at a place.
    #[must_use]
    pub fn slope(&self, place: f64) -> f64 {
        let [_, first, second, third] = self.coefficients();
        (first + place * (2.0 * second + place * 3.0 * third)) / self.length
    }

    /// Places strictly inside the step at which it turns.
    #[must_use]
    pub fn turns(&self) -> Vec<f64> {
        let [_, c, b, a] = self.coefficients();
        let (a, b) = (3.0 * a, 2.0 * b);
        let discriminant = b * b - 4.0 * a * c;
        if discriminant < 0.0 {
            return Vec::new();
        }
        // The larger root first, the other by their product, so that nothing cancels.
        let larger = -0.5 * (b + b.signum() * discriminant.sqrt());
        let roots = [larger / a, c / larger];
        roots.into_iter().filter(|root| *root > 0.0 && *root < 1.0).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 - 2 x + 3 x^2 - 4/3 x^3, which turns where -2 + 6 x - 4 x^2 = 0: at 1/2 (and at the end, 1).
    #[test]
    fn a_cubic_is_met_exactly() {
        let cubic = |x: f64| 1.0 - 2.0 * x + 3.0 * x * x - 4.0 / 3.0 * x * x * x;
        let values = places().map(cubic);
        let polynomial = Polynomial { start: 0.0, length: 2.0, values, continuous: true };
        for place in [0.0, 0.1, 0.7, 1.0] {
            assert!((polynomial.at(place) - cubic(place)).abs() < 1e-14);
            let slope = (-2.0 + 6.0 * place - 4.0 * place * place) / 2.0;
            assert!((polynomial.slope(place) - slope).abs() < 1e-13, "{place}");
        }
        assert!(polynomial.turns().iter().any(|turn| (turn - 0.5).abs() < 1e-12), "{:?}", polynomial.turns());
        let parabola = Polynomial { values: places().map(|x| x * x), continuous: false, ..polynomial };
        assert!((parabola.at(0.0)).abs() < 1e-14 && (parabola.slope(0.5) - 0.5).abs() < 1e-13);
    }
}

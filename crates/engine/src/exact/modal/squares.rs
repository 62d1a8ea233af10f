//! Integrals of products of what modes add to a waveform over a leg: seven-point Gauss-Legendre quadrature over a stretch so short that no mode
//! turns far, and then that stretch doubled until it is the leg.
//!
//! With 1 and time beside them the functions after h + s seconds are sums of those after s seconds, so that the second half of a stretch is had
//! from the first by two products with a matrix that has three or four entries a row.

use super::phi::phi;
use nalgebra::Complex;

/// Abscissae and weights on -1 .. 1, exact to degree 13 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 7] = [
    (-0.949_107_912_342_758_5, 0.129_484_966_168_869_7),
    (-0.741_531_185_599_394_5, 0.279_705_391_489_276_64),
    (-0.405_845_151_377_397_2, 0.381_830_050_505_118_9),
    (0.0, 0.417_959_183_673_469_4),
    (0.405_845_151_377_397_2, 0.381_830_050_505_118_9),
    (0.741_531_185_599_394_5, 0.279_705_391_489_276_64),
    (0.949_107_912_342_758_5, 0.129_484_966_168_869_7),
];
/// Phase of the fastest mode over the stretch of that quadrature, which then errs by less than 1e-9 of its square.
const PHASE: f64 = 2.0;

/// Integrals over a leg of products of time, then what each mode adds for a slope of 1, then what each adds for a growth of 1; real and
/// imaginary part of a mode that swings.
pub(super) struct Squares {
    /// How many functions there are, and how many of them a leg without growths has.
    pub(super) size: usize,
    pub(super) plain: usize,
    /// Of each function with itself and those before it, row after row of `size`.
    pub(super) products: Vec<f64>,
}

impl Squares {
    /// Of modes of these rates, over a duration in seconds.
    pub(super) fn new(rates: &[Complex<f64>], duration: f64) -> Self {
        let half: usize = rates.iter().map(parts).sum();
        let size = 1 + 2 * half;
        let fastest = rates.iter().map(|rate| rate.norm()).fold(0.0, f64::max);
        let doublings = (fastest * duration / PHASE).log2().ceil().max(0.0) as i32;
        let mut length = duration * 0.5f64.powi(doublings);
        // Beside the functions themselves the first is 1.
        let mut doubling = Doubling::over(rates, length);
        for _ in 0..doublings {
            doubling.double(rates, length);
            length *= 2.0;
        }
        let all = &doubling.products;
        let products = (1..=size).flat_map(|row| all[row * (size + 1) + 1..(row + 1) * (size + 1)].to_vec());
        Self { size, plain: 1 + half, products: products.collect() }
    }
}

/// Products of all functions, 1 being the first of them, over a stretch.
struct Doubling {
    size: usize,
    products: Vec<f64>,
    /// What the functions later are made of: which of those before, and how much of it.
    later: Vec<[(usize, f64); 4]>,
    half: Vec<f64>,
}

impl Doubling {
    fn over(rates: &[Complex<f64>], length: f64) -> Self {
        let size = 2 + 2 * rates.iter().map(parts).sum::<usize>();
        let mut products = vec![0.0; size * size];
        let mut values = Vec::with_capacity(size);
        for (place, weight) in GAUSS {
            functions(rates, 0.5 * length * (1.0 + place), &mut values);
            let weight = 0.5 * length * weight;
            for (row, value) in products.chunks_exact_mut(size).zip(&values) {
                row.iter_mut().zip(&values).for_each(|(product, other)| *product += weight * value * other);
            }
        }
        Self { size, products, later: Vec::with_capacity(size), half: vec![0.0; size * size] }
    }

    /// From a stretch of some length to twice that.
    fn double(&mut self, rates: &[Complex<f64>], length: f64) {
        let Self { size, products, later, half } = self;
        shifted(rates, length, later);
        half.fill(0.0);
        for (row, made) in half.chunks_exact_mut(*size).zip(&*later) {
            for (of, factor) in made.iter().filter(|(_, factor)| *factor != 0.0) {
                let products = &products[of * *size..(of + 1) * *size];
                row.iter_mut().zip(products).for_each(|(sum, product)| *sum += factor * product);
            }
        }
        for (row, half) in products.chunks_exact_mut(*size).zip(half.chunks_exact(*size)) {
            for (product, made) in row.iter_mut().zip(&*later) {
                *product += made.iter().map(|(of, factor)| factor * half[*of]).sum::<f64>();
            }
        }
    }
}

/// Numbers that a mode's height takes.
fn parts(rate: &Complex<f64>) -> usize {
    if rate.im == 0.0 { 1 } else { 2 }
}

/// 1, time, what each mode adds for a slope of 1, what each adds for a growth of 1.
fn functions(rates: &[Complex<f64>], time: f64, out: &mut Vec<f64>) {
    out.clear();
    out.extend([1.0, time]);
    let phis: Vec<_> = rates.iter().map(|rate| (rate, phi(rate * time))).collect();
    for (power, factor) in [time, time * time].into_iter().enumerate() {
        for (rate, phis) in &phis {
            let value = phis[power] * factor;
            out.push(value.re);
            if rate.im != 0.0 {
                out.push(value.im);
            }
        }
    }
}

/// What each function after h and some more seconds is made of, told by the functions after these. With a = (e^(r t) - 1) / r of a mode and
/// b its integral: a(h + s) = a(h) + e^(r h) a(s), b(h + s) = b(h) + a(h) s + e^(r h) b(s).
fn shifted(rates: &[Complex<f64>], h: f64, out: &mut Vec<[(usize, f64); 4]>) {
    const NOTHING: (usize, f64) = (0, 0.0);
    const ONE: usize = 0;
    const TIME: usize = 1;
    out.clear();
    out.push([(ONE, 1.0), NOTHING, NOTHING, NOTHING]);
    out.push([(ONE, h), (TIME, 1.0), NOTHING, NOTHING]);
    let known: Vec<_> = rates
        .iter()
        .map(|rate| {
            let [one, two, _] = phi(rate * h);
            (one * h, two * (h * h), (rate * h).exp())
        })
        .collect();
    for grows in [false, true] {
        for (rate, (a, b, turn)) in rates.iter().zip(&known) {
            let place = out.len();
            let (constant, linear) = if grows { (*b, *a) } else { (*a, Complex::new(0.0, 0.0)) };
            if rate.im == 0.0 {
                out.push([(ONE, constant.re), (TIME, linear.re), (place, turn.re), NOTHING]);
                continue;
            }
            let (real, imaginary) = (place, place + 1);
            out.push([(ONE, constant.re), (TIME, linear.re), (real, turn.re), (imaginary, -turn.im)]);
            out.push([(ONE, constant.im), (TIME, linear.im), (real, turn.im), (imaginary, turn.re)]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of one mode in closed form: the integral of ((e^(rt) - 1) / r)^2 is ((e^(2rT) - 1) / 2r - 2 (e^(rT) - 1) / r + T) / r^2, that of it times t
    /// ((T - 1/r) e^(rT) + 1/r) / r^2 - T^2 / 2r. A mode that has all but died away, one that hardly moves, one that swings thousands of times.
    #[test]
    fn known_integrals() {
        let duration = 3e-5;
        for rate in [-1e7, -2e5, -3e4] {
            let squares = Squares::new(&[Complex::new(rate, 0.0)], duration);
            assert_eq!((squares.size, squares.plain), (3, 2));
            let (once, twice) = ((rate * duration).exp(), (2.0 * rate * duration).exp());
            let square =
                ((twice - 1.0) / (2.0 * rate) - 2.0 * (once - 1.0) / rate + duration) / (rate * rate);
            let with_time = ((duration - 1.0 / rate) * once + 1.0 / rate) / (rate * rate)
                - duration * duration / (2.0 * rate);
            for (found, known) in [
                (squares.products[0], duration * duration * duration / 3.0),
                (squares.products[3], with_time),
                (squares.products[4], square),
            ] {
                assert!((found / known - 1.0).abs() < 1e-9, "{rate}: {found} {known}");
            }
        }
        // With r = (0, w) the imaginary part of what is added is (1 - cos wt) / w: its square has the mean 3/2 over whole turns.
        let rate = Complex::new(0.0, std::f64::consts::TAU * 1000.0 / duration);
        let squares = Squares::new(&[rate], duration);
        let known = 1.5 * duration / (rate.im * rate.im);
        assert!((squares.products[2 * 5 + 2] / known - 1.0).abs() < 1e-9, "{}", squares.products[12]);
        let known = 0.5 * duration / (rate.im * rate.im);
        assert!((squares.products[5 + 1] / known - 1.0).abs() < 1e-9, "{}", squares.products[6]);
    }
}

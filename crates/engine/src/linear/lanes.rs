//! Complex numbers of several systems side by side: one instruction works on more than one of them.
//!
//! Each lane does what a single complex number does, in the same order and rounded the same way, whatever instructions the machine has:
//! nothing is fused, so that a lane gives the same bits as a system of its own.

use super::number::{Number, greater};
use nalgebra::Complex;

/// Real and imaginary parts of `W` numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lanes<const W: usize> {
    pub(crate) re: [f64; W],
    pub(crate) im: [f64; W],
}

impl<const W: usize> Lanes<W> {
    /// One lane of them.
    pub(crate) fn lane(&self, lane: usize) -> Complex<f64> {
        Complex::new(self.re[lane], self.im[lane])
    }

    #[inline(always)]
    fn each(mut lane: impl FnMut(usize) -> (f64, f64)) -> Self {
        let (mut re, mut im) = ([0.0; W], [0.0; W]);
        for k in 0..W {
            (re[k], im[k]) = lane(k);
        }
        Self { re, im }
    }

    #[inline(always)]
    fn size(&self, lane: usize) -> f64 {
        self.re[lane].abs() + self.im[lane].abs()
    }
}

impl<const W: usize> Number for Lanes<W> {
    type Size = [f64; W];

    #[inline(always)]
    fn zero() -> Self {
        Self { re: [0.0; W], im: [0.0; W] }
    }

    #[inline(always)]
    fn no_size() -> [f64; W] {
        [0.0; W]
    }

    #[inline(always)]
    fn minus_product(self, a: Self, b: Self) -> Self {
        Self::each(|k| {
            let re = a.re[k] * b.re[k] - a.im[k] * b.im[k];
            let im = a.re[k] * b.im[k] + a.im[k] * b.re[k];
            (self.re[k] - re, self.im[k] - im)
        })
    }

    #[inline(always)]
    fn minus(self, other: Self) -> Self {
        Self::each(|k| (self.re[k] - other.re[k], self.im[k] - other.im[k]))
    }

    #[inline(always)]
    fn times(self, other: Self) -> Self {
        Self::each(|k| {
            let re = self.re[k] * other.re[k] - self.im[k] * other.im[k];
            let im = self.re[k] * other.im[k] + self.im[k] * other.re[k];
            (re, im)
        })
    }

    #[inline(always)]
    fn over(self, pivot: Self) -> Self {
        Self::each(|k| {
            let square = pivot.re[k] * pivot.re[k] + pivot.im[k] * pivot.im[k];
            let re = self.re[k] * pivot.re[k] + self.im[k] * pivot.im[k];
            let im = self.im[k] * pivot.re[k] - self.re[k] * pivot.im[k];
            (re / square, im / square)
        })
    }

    #[inline(always)]
    fn inverse(self) -> Self {
        Self::each(|k| {
            let square = self.re[k] * self.re[k] + self.im[k] * self.im[k];
            (self.re[k] / square, -self.im[k] / square)
        })
    }

    #[inline(always)]
    fn is_zero(self) -> bool {
        self == Self::zero()
    }

    #[inline(always)]
    fn note(self, greatest: &mut [f64; W]) {
        for (k, greatest) in greatest.iter_mut().enumerate() {
            *greatest = greater(*greatest, self.size(k));
        }
    }

    #[inline(always)]
    fn note_infinite(self, greatest: &mut [f64; W]) {
        for (k, greatest) in greatest.iter_mut().enumerate() {
            *greatest = greater(*greatest, 0.0 * self.size(k));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every operation in a lane is that of one complex number (num-complex), to the last bit.
    #[test]
    fn lanes_are_complex_numbers() {
        let number = |k: usize| Complex::new((k as f64 * 1.7).sin(), (k as f64 * 0.9).cos() * 1e-3);
        let lanes = |from: usize| Lanes::<4>::each(|k| (number(from + k).re, number(from + k).im));
        for from in 0..100 {
            let (a, b, c) = (lanes(from), lanes(from + 3), lanes(from + 7));
            let mut sizes = Lanes::<4>::no_size();
            a.note(&mut sizes);
            for (k, size) in sizes.iter().enumerate() {
                let [x, y, z] = [a.lane(k), b.lane(k), c.lane(k)];
                assert_eq!(a.minus_product(b, c).lane(k), x - y * z);
                assert_eq!(a.times(b).lane(k), x * y);
                assert_eq!(a.over(b).lane(k), x / y);
                assert_eq!(a.inverse().lane(k), x.inv());
                assert_eq!(*size, x.l1_norm());
            }
        }
    }

    /// What is no number in one lane stays noted there, and only there.
    #[test]
    fn what_is_no_number_stays() {
        let mut greatest = Lanes::<2>::no_size();
        Lanes { re: [f64::NAN, 1.0], im: [0.0, 0.0] }.note(&mut greatest);
        Lanes { re: [3.0, 2.0], im: [0.0, -1.0] }.note(&mut greatest);
        assert!(greatest[0].is_nan() && greatest[1] == 3.0, "{greatest:?}");
        Lanes { re: [0.0, f64::INFINITY], im: [0.0, 0.0] }.note_infinite(&mut greatest);
        assert!(greatest[1].is_nan(), "{greatest:?}");
    }
}

//! Effective parameters of a ring: the length and section that stand for it in formulas of a straight core.

use std::f64::consts::PI;

/// Effective parameters of a ring of rectangular cross-section (IEC 60205, clause 5.1).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effective {
    /// Core factor C1 in 1/m.
    pub c1: f64,
    /// Core factor C2 in 1/m³.
    pub c2: f64,
}

impl Effective {
    /// The parameters of a ring with `outer` and `inner` diameter and `height`, in metre.
    #[must_use]
    pub fn of_ring(outer: f64, inner: f64, height: f64) -> Self {
        let ln = (outer / inner).ln();
        Self {
            c1: 2.0 * PI / (height * ln),
            c2: 4.0 * PI * (1.0 / inner - 1.0 / outer) / (height * height * ln.powi(3)),
        }
    }

    /// Effective length of the magnetic path in metre.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.c1 * self.c1 / self.c2
    }

    /// Effective cross-section in square metre.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.c1 / self.c2
    }

    /// Effective volume in cubic metre.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.length() * self.area()
    }

    /// Permeability that a core of `permeability` appears to have with a `gap` in metre across it: the reluctances of core and gap in
    /// series, without the field that bulges out of the gap (textbook).
    #[must_use]
    pub fn gapped(&self, permeability: f64, gap: f64) -> f64 {
        permeability / (1.0 + (permeability - 1.0) * gap / self.length())
    }
}

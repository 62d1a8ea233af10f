//! Flux linkage of an inductor as a function of its current.

/// Flux linkage law, in weber and ampere; odd and strictly increasing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FluxLaw {
    /// `L i`.
    Linear {
        /// Inductance in henry.
        inductance: f64,
    },
    /// `Lr i + ls tanh((L0 - Lr) i / ls)`: inductance `L0` at zero current, `Lr` far in saturation.
    Saturable {
        /// Inductance at zero current, `L0`, in henry.
        initial: f64,
        /// Inductance left when saturated, `Lr`, in henry.
        residual: f64,
        /// Flux linkage `ls` that the core adds at most, in weber.
        saturation_flux: f64,
    },
}

impl FluxLaw {
    /// Flux linkage in weber at `current` in ampere.
    #[must_use]
    pub fn flux(&self, current: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance * current,
            Self::Saturable { initial, residual, saturation_flux } => {
                residual * current
                    + saturation_flux * ((initial - residual) * current / saturation_flux).tanh()
            }
        }
    }

    /// Differential inductance dflux/dcurrent in henry at `current` in ampere.
    #[must_use]
    pub fn inductance(&self, current: f64) -> f64 {
        match *self {
            Self::Linear { inductance } => inductance,
            Self::Saturable { initial, residual, saturation_flux } => {
                let core = initial - residual;
                let cosh = (core * current / saturation_flux).cosh();
                residual + core / (cosh * cosh)
            }
        }
    }

    /// Whether flux is proportional to current.
    #[must_use]
    pub fn is_linear(&self) -> bool {
        matches!(self, Self::Linear { .. })
    }
}

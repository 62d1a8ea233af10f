//! The pass element of a linear regulator.

/// The pass element of a linear regulator as seen beside a plain resistance between its input and output.
///
/// The output without load is `f(v)`: nothing below the dropout voltage `d`, `v - d` up to regulation, and `U + r (v - U - d)` from
/// there, with the output voltage `U` and the supply ripple ratio `r`. With its output resistance `R` the current from input
/// to output is `(f(v) - v_out) / R = (v - v_out) / R - (v - f(v)) / R`; this law is the last term.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pass {
    /// Output voltage `U` in volt, above 0.
    pub output: f64,
    /// Dropout voltage `d` in volt, 0 or above.
    pub dropout: f64,
    /// Share `r` of the input's ripple that gets through, 0 to 1.
    pub ripple_ratio: f64,
    /// Reciprocal of the output resistance `R` in siemens.
    pub conductance: f64,
}

impl Pass {
    /// Conductance in siemens and current in ampere at 0 V of the straight stretch at input `voltage` in volt.
    pub(crate) fn straight(&self, voltage: f64) -> (f64, f64) {
        let Self { output, dropout, ripple_ratio, conductance } = *self;
        match voltage {
            v if v <= dropout => (conductance, 0.0),
            v if v <= output + dropout => (0.0, conductance * dropout),
            _ => (
                conductance * (1.0 - ripple_ratio),
                conductance * (ripple_ratio * (output + dropout) - output),
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::current_law::CurrentLaw;

    #[test]
    fn a_regulator_passes_its_ratio_of_ripple() {
        let pass = Pass { output: 5.0, dropout: 0.7, ripple_ratio: 1e-3, conductance: 20.0 };
        let open = |v: f64| v - CurrentLaw::Pass(pass).current(v) / pass.conductance;
        assert!((open(8.0) - open(7.0) - 1e-3).abs() < 1e-12);
        assert!(
            (open(5.7) - 5.0).abs() < 1e-12 && (open(4.0) - 3.3).abs() < 1e-12 && open(0.3).abs() < 1e-12
        );
    }
}

//! A semiconductor junction.

/// A semiconductor junction after Shockley: `i = I_s (e^(v / V_t) - 1)`, and `-I_s e^(-(v + V_b) / V_t)` more where it breaks down.
///
/// Beyond the voltage where its current reaches [`Junction::STRAIGHT_FROM`] the law goes on as its tangent: no part of a harness
/// carries more, and an exponential overflows. A leakage of [`Junction::LEAKAGE`] lies across it, below that of any real one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Junction {
    /// Saturation current `I_s` in ampere, above 0.
    pub saturation: f64,
    /// Emission coefficient times thermal voltage `V_t = n k T / q` in volt, above 0.
    pub thermal_voltage: f64,
    /// Breakdown voltage `V_b` in volt, above 0; `None` where it never breaks down.
    pub breakdown: Option<f64>,
}

impl Junction {
    /// Current in ampere from which on the law is straight.
    pub const STRAIGHT_FROM: f64 = 1e4;
    /// Conductance in siemens across every junction.
    pub const LEAKAGE: f64 = 1e-12;

    /// `I_s e^(v / V_t)` with its slope, straight beyond the greatest current.
    fn rise(&self, voltage: f64) -> (f64, f64) {
        let highest = self.thermal_voltage * (Self::STRAIGHT_FROM / self.saturation).ln();
        let bent = voltage.min(highest);
        let current = self.saturation * (bent / self.thermal_voltage).exp();
        let slope = current / self.thermal_voltage;
        (current + slope * (voltage - bent), slope)
    }

    /// Current in ampere and differential conductance in siemens at `voltage` in volt.
    pub(crate) fn current_and_slope(&self, voltage: f64) -> (f64, f64) {
        let (forward, slope) = self.rise(voltage);
        let (mut current, mut conductance) =
            (forward - self.saturation + Self::LEAKAGE * voltage, slope + Self::LEAKAGE);
        if let Some(breakdown) = self.breakdown {
            let (reverse, slope) = self.rise(-(voltage + breakdown));
            current -= reverse;
            conductance += slope;
        }
        (current, conductance)
    }

    /// Where the curve, drawn in volt and ampere, bends most (least radius of curvature): `V_t ln(V_t / (sqrt(2) I_s))`. Beyond it
    /// an update of Newton's method overshoots.
    fn critical_voltage(&self) -> f64 {
        self.thermal_voltage * (self.thermal_voltage / (std::f64::consts::SQRT_2 * self.saturation)).ln()
    }

    /// How far from `now` a step towards `next` may go, in volt.
    pub(crate) fn limited(&self, now: f64, next: f64) -> f64 {
        let forward = |now: f64, next: f64| {
            let step = next - now;
            if next <= self.critical_voltage() || step <= 2.0 * self.thermal_voltage {
                return next;
            }
            // The voltage at which the true law carries what the tangent promised at `next`.
            let base = now.max(self.critical_voltage());
            if now < self.critical_voltage() {
                return base;
            }
            base + self.thermal_voltage * (step / self.thermal_voltage).ln_1p()
        };
        let limited = forward(now, next);
        match self.breakdown {
            Some(breakdown) if limited < now => {
                let (from, to) = (-(now + breakdown), -(limited + breakdown));
                let mirrored = forward(from, to);
                // What is not shortened must come back as it was: there and back through the breakdown voltage it is rounded.
                if mirrored == to { limited } else { -mirrored - breakdown }
            }
            _ => limited,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::current_law::CurrentLaw;

    #[test]
    fn a_junction_follows_shockley() {
        // Neamen, Electronic Circuit Analysis and Design, example 1.5: 1e-14 A, 26 mV, 0.7 V: 4.927 mA.
        let law =
            CurrentLaw::Junction(Junction { saturation: 1e-14, thermal_voltage: 0.026, breakdown: None });
        assert!((law.current(0.7) / 4.927e-3 - 1.0).abs() < 1e-4, "{}", law.current(0.7));
        // Straight, and finite, where the exponential would overflow.
        assert!(law.current(1e3).is_finite() && law.conductance(1e3) > 0.0);
        assert!((law.current(-1.0) + 1e-14 + 1e-12).abs() < 1e-18);
    }

    #[test]
    fn steps_into_a_junction_are_limited() {
        let law =
            CurrentLaw::Junction(Junction { saturation: 1e-14, thermal_voltage: 0.026, breakdown: None });
        assert_eq!(law.limited(0.2, 0.3), 0.3);
        assert!(law.limited(0.0, 12.0) < 1.0 && law.limited(0.75, 12.0) < 1.0);
        assert_eq!(law.limited(0.75, -30.0), -30.0);
        let junction = Junction { saturation: 1e-9, thermal_voltage: 0.026, breakdown: Some(5.1) };
        let law = CurrentLaw::Junction(junction);
        assert!(law.limited(0.0, -12.0) > -6.0);
        // A small step back is left as it is, to the last digit.
        for step in [1e-3, 1e-9, 1e-15] {
            assert_eq!(law.limited(-5.56, -5.56 - step), -5.56 - step);
        }
    }
}

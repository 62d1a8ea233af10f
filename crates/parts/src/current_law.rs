//! Current of an electronic load as a function of its voltage.

/// Current law, in ampere and volt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurrentLaw {
    /// `I min(1, v / V)`, nothing for a negative voltage.
    Constant {
        /// Current `I` in ampere above the threshold.
        current: f64,
        /// Threshold `V` in volt.
        threshold: f64,
    },
    /// `P / v` above the threshold `V`, `v P / V^2` under it, for a negative voltage too.
    Power {
        /// Power `P` in watt.
        power: f64,
        /// Threshold `V` in volt.
        threshold: f64,
    },
}

impl CurrentLaw {
    /// Current in ampere at `voltage` in volt.
    #[must_use]
    pub fn current(&self, voltage: f64) -> f64 {
        match *self {
            Self::Constant { current, threshold } => current * (voltage / threshold).clamp(0.0, 1.0),
            Self::Power { power, threshold } => {
                if voltage > threshold {
                    power / voltage
                } else {
                    voltage * power / (threshold * threshold)
                }
            }
        }
    }

    /// Differential conductance dcurrent/dvoltage in siemens at `voltage` in volt.
    #[must_use]
    pub fn conductance(&self, voltage: f64) -> f64 {
        match *self {
            Self::Constant { current, threshold } => {
                if voltage > 0.0 && voltage < threshold {
                    current / threshold
                } else {
                    0.0
                }
            }
            Self::Power { power, threshold } => {
                if voltage > threshold {
                    -power / (voltage * voltage)
                } else {
                    power / (threshold * threshold)
                }
            }
        }
    }

    /// Highest voltage in volt of the stretch where current rises with voltage.
    #[must_use]
    pub fn threshold(&self) -> f64 {
        match *self {
            Self::Constant { threshold, .. } | Self::Power { threshold, .. } => threshold,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_constant_current_load_lets_go_below_its_threshold() {
        let law = CurrentLaw::Constant { current: 0.16, threshold: 9.0 };
        assert_eq!([-5.0, 0.0, 4.5, 9.0, 18.0].map(|v| law.current(v)), [0.0, 0.0, 0.08, 0.16, 0.16]);
    }

    #[test]
    fn a_power_load_has_the_negative_resistance_of_middlebrook() {
        // Middlebrook, IEEE IAS 1976: Rn = -V^2/P; 20 W at 12 V is -7.2 ohm.
        let law = CurrentLaw::Power { power: 20.0, threshold: 6.0 };
        assert!((law.conductance(12.0) + 1.0 / 7.2).abs() < 1e-15);
        assert!((law.current(12.0) * 12.0 - 20.0).abs() < 1e-12);
        assert_eq!(law.current(-3.0), -law.current(3.0));
        assert_eq!(law.current(6.0), 20.0 / 6.0);
    }

    #[test]
    fn conductance_is_the_derivative_of_current() {
        for law in [
            CurrentLaw::Constant { current: 0.16, threshold: 9.0 },
            CurrentLaw::Power { power: 20.0, threshold: 6.0 },
        ] {
            for voltage in [-4.0, 0.5, 3.0, 8.0, 12.0] {
                let slope = (law.current(voltage + 1e-5) - law.current(voltage - 1e-5)) / 2e-5;
                assert!((slope - law.conductance(voltage)).abs() < 1e-7, "{law:?} at {voltage}");
            }
        }
    }
}

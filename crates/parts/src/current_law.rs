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
                if voltage > 0.0 && voltage < threshold { current / threshold } else { 0.0 }
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
}

//! Charge of a capacitor as a function of its voltage.

/// Charge law, in coulomb and volt; odd and strictly increasing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ChargeLaw {
    /// `C v`.
    Linear {
        /// Capacitance in farad.
        capacitance: f64,
    },
    /// Class-2 ceramic: `C(v) = C0 (floor + (1 - floor) / (1 + (v / half_voltage)^2))`; charge is its integral.
    Ceramic {
        /// Capacitance at zero voltage in farad.
        capacitance: f64,
        /// Voltage in volt at which half of what can be lost is lost.
        half_voltage: f64,
        /// Fraction of the capacitance that is never lost.
        floor: f64,
    },
}

impl ChargeLaw {
    /// Charge in coulomb at `voltage` in volt.
    #[must_use]
    pub fn charge(&self, voltage: f64) -> f64 {
        match *self {
            Self::Linear { capacitance } => capacitance * voltage,
            Self::Ceramic { capacitance, half_voltage, floor } => {
                capacitance
                    * (floor * voltage + (1.0 - floor) * half_voltage * (voltage / half_voltage).atan())
            }
        }
    }

    /// Differential capacitance in farad at `voltage` in volt.
    #[must_use]
    pub fn capacitance(&self, voltage: f64) -> f64 {
        match *self {
            Self::Linear { capacitance } => capacitance,
            Self::Ceramic { capacitance, half_voltage, floor } => {
                let ratio = voltage / half_voltage;
                capacitance * (floor + (1.0 - floor) / (1.0 + ratio * ratio))
            }
        }
    }

    /// Whether charge is proportional to voltage.
    #[must_use]
    pub fn is_linear(&self) -> bool {
        matches!(self, Self::Linear { .. })
    }
}

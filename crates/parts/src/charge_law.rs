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

    /// Stored energy in joule at `voltage` in volt: the integral of voltage over charge.
    ///
    /// For the share that is lost it is `C0 (1 - floor) (half_voltage^2 / 2) ln(1 + (v / half_voltage)^2)`.
    #[must_use]
    pub fn energy(&self, voltage: f64) -> f64 {
        match *self {
            Self::Linear { capacitance } => capacitance * voltage * voltage / 2.0,
            Self::Ceramic { capacitance, half_voltage, floor } => {
                let ratio = voltage / half_voltage;
                let lost = half_voltage * half_voltage * (ratio * ratio).ln_1p();
                capacitance / 2.0 * (floor * voltage * voltage + (1.0 - floor) * lost)
            }
        }
    }

    /// Voltage in volt at `charge` in coulomb: the inverse of [`Self::charge`]. The floor must be above 0.
    #[must_use]
    pub fn voltage(&self, charge: f64) -> f64 {
        match *self {
            Self::Linear { capacitance } => charge / capacitance,
            Self::Ceramic { capacitance, floor, .. } => {
                let size = charge.abs();
                let (mut low, mut high) = (size / capacitance, size / (capacitance * floor));
                let mut guess = low;
                for _ in 0..200 {
                    let miss = self.charge(guess) - size;
                    if miss < 0.0 {
                        low = guess;
                    } else {
                        high = guess;
                    }
                    let newton = guess - miss / self.capacitance(guess);
                    let next = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
                    if (next - guess).abs() <= 1e-15 * guess {
                        break;
                    }
                    guess = next;
                }
                guess.copysign(charge)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CERAMIC: ChargeLaw = ChargeLaw::Ceramic { capacitance: 10e-6, half_voltage: 4.0, floor: 0.1 };

    #[test]
    fn half_voltage_and_floor_mean_what_they_say() {
        assert_eq!(CERAMIC.capacitance(0.0), 10e-6);
        assert!((CERAMIC.capacitance(4.0) - 10e-6 * 0.55).abs() < 1e-18);
        assert!((CERAMIC.capacitance(1e6) - 1e-6).abs() < 1e-15);
    }

    #[test]
    fn a_small_ceramic_at_5_volt_loses_what_such_parts_lose() {
        // 10 uF 6.3 V class-2 parts lose 50 to 70 % at 5 V (two public engineering notes).
        let lost = 1.0 - CERAMIC.capacitance(5.0) / 10e-6;
        assert!((0.5..0.7).contains(&lost), "{lost}");
    }

    #[test]
    fn capacitance_is_the_derivative_of_charge_and_voltage_that_of_energy_over_charge() {
        for voltage in [-7.0, -1.0, 0.0, 0.5, 3.0, 20.0] {
            let (low, high) = (voltage - 1e-4, voltage + 1e-4);
            let slope = (CERAMIC.charge(high) - CERAMIC.charge(low)) / 2e-4;
            assert!((slope / CERAMIC.capacitance(voltage) - 1.0).abs() < 1e-6);
            let work =
                (CERAMIC.energy(high) - CERAMIC.energy(low)) / (CERAMIC.charge(high) - CERAMIC.charge(low));
            assert!((work - voltage).abs() < 1e-6);
        }
    }

    #[test]
    fn inverse_undoes_the_law() {
        for voltage in [0.0, 1e-6, -0.5, 4.0, 25.0, -1000.0] {
            let back = CERAMIC.voltage(CERAMIC.charge(voltage));
            assert!((back - voltage).abs() <= 1e-12 * voltage.abs(), "{voltage} came back as {back}");
        }
    }

    #[test]
    fn linear_is_linear() {
        let law = ChargeLaw::Linear { capacitance: 2e-6 };
        assert_eq!((law.charge(3.0), law.energy(3.0), law.voltage(6e-6)), (6e-6, 9e-6, 3.0));
    }
}

//! Charge of a capacitor as a function of its voltage.

use crate::monotone_curve::MonotoneCurve;
use std::sync::Arc;

/// Charge law, in coulomb and volt; odd and strictly increasing.
#[derive(Clone, Debug, PartialEq)]
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
    /// Capacitance in farad, all above 0, by the size of the voltage in volt, from 0 V on.
    Table(Arc<MonotoneCurve>),
}

impl ChargeLaw {
    /// The law of a capacitance in farad that is known at some voltages in volt: even in the voltage, smooth, and level beyond
    /// the last. `None` unless voltages rise from 0 V and all capacitances are above 0.
    #[must_use]
    pub fn table(points: &[(f64, f64)]) -> Option<Self> {
        let fits = points.first().is_some_and(|(voltage, _)| *voltage == 0.0)
            && points.iter().all(|(_, capacitance)| *capacitance > 0.0);
        let curve = MonotoneCurve::through(points, Some(0.0)).filter(|_| fits)?;
        Some(Self::Table(Arc::new(curve)))
    }

    /// Charge in coulomb at `voltage` in volt.
    #[must_use]
    pub fn charge(&self, voltage: f64) -> f64 {
        match *self {
            Self::Table(ref curve) => curve.integral(voltage.abs()).copysign(voltage),
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
            Self::Table(ref curve) => curve.value(voltage.abs()),
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
            Self::Table(ref curve) => curve.moment(voltage.abs()),
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
                self.inverse(charge, capacitance * floor, capacitance)
            }
            Self::Table(ref curve) => {
                let (least, greatest) = curve.range();
                self.inverse(charge, least, greatest)
            }
        }
    }

    /// The inverse of a law whose capacitance lies between two values in farad: Newton's method kept between bounds.
    fn inverse(&self, charge: f64, least: f64, greatest: f64) -> f64 {
        let size = charge.abs();
        let (mut low, mut high) = (size / greatest, size / least);
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

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

    /// Two points fix one cubic: level at 0 V, with the slope of the secant at the end. With x = v / 5 V it is
    /// C = 10 - 5 (2 x^2 - x^3) uF by these four conditions; its integral and first moment follow by hand.
    #[test]
    fn a_table_of_two_points_is_the_cubic_by_hand() {
        let law = ChargeLaw::table(&[(0.0, 10e-6), (5.0, 5e-6)]).unwrap();
        for x in [0.0_f64, 0.2, 0.5, 1.0] {
            let voltage = 5.0 * x;
            let capacitance = 10.0 - 5.0 * (2.0 * x * x - x * x * x);
            let charge = 5.0 * (10.0 * x - 5.0 * (2.0 * x.powi(3) / 3.0 - x.powi(4) / 4.0));
            let energy = 25.0 * (5.0 * x * x - 5.0 * (2.0 * x.powi(4) / 4.0 - x.powi(5) / 5.0));
            assert!((law.capacitance(voltage) * 1e6 - capacitance).abs() < 1e-12);
            assert!((law.charge(-voltage) * 1e6 + charge).abs() < 1e-12);
            assert!((law.energy(voltage) * 1e6 - energy).abs() < 1e-12);
        }
        // Level beyond: 5 uF more for each volt.
        assert!((law.charge(7.0) - law.charge(5.0) - 10e-6).abs() < 1e-18);
    }

    #[test]
    fn a_table_needs_rising_voltages_from_zero_and_capacitances_above_it() {
        assert_eq!(ChargeLaw::table(&[(1.0, 1e-6), (2.0, 1e-6)]), None);
        assert_eq!(ChargeLaw::table(&[(0.0, 1e-6), (2.0, 0.0)]), None);
        assert_eq!(ChargeLaw::table(&[(0.0, 1e-6), (0.0, 1e-6)]), None);
    }

    /// Any table that can be written: up to eight points of any capacitances within two decades.
    fn tables() -> impl Strategy<Value = ChargeLaw> {
        let points = prop::collection::vec((0.05..5.0_f64, 0.1..10.0_f64), 1..8);
        (points, 0.1..10.0_f64).prop_map(|(points, first)| {
            let mut voltage = 0.0;
            let rising = points.into_iter().map(|(step, microfarad)| {
                voltage += step;
                (voltage, microfarad * 1e-6)
            });
            let all: Vec<_> = std::iter::once((0.0, first * 1e-6)).chain(rising).collect();
            ChargeLaw::table(&all).expect("voltages rise from 0 V")
        })
    }

    proptest! {
        #[test]
        fn tables_are_consistent(law in tables(), voltage in -50.0..50.0_f64) {
            // Odd, even, even.
            prop_assert_eq!(law.charge(-voltage), -law.charge(voltage));
            prop_assert_eq!(law.capacitance(-voltage), law.capacitance(voltage));
            prop_assert_eq!(law.energy(-voltage), law.energy(voltage));
            // Charge rises by at least the least capacitance times the voltage.
            prop_assert!(law.charge(voltage + 0.01) - law.charge(voltage) > 0.01 * 0.0999e-6);
            // Newton's method ends where rounding of the charge does: some 1e-16 of it over the capacitance, which is a hundredth
            // of the greatest at worst.
            let back = law.voltage(law.charge(voltage));
            prop_assert!((back - voltage).abs() <= 1e-12 * voltage.abs(), "{voltage} came back as {back}");
            // Simpson's rule on quarters of a short stretch is exact for the cubic within a piece; across a point the slope jumps
            // by at most 1e-5 F / 0.05 V x 2, which a stretch of 1e-4 V weighs with its square.
            let h = 1e-4;
            let within = |f: &dyn Fn(f64) -> f64| {
                h / 6.0 * (f(voltage) + 4.0 * f(voltage + h / 2.0) + f(voltage + h))
            };
            let charge = law.charge(voltage + h) - law.charge(voltage);
            let rounding = 1e-15 * law.charge(voltage).abs();
            prop_assert!((charge - within(&|v| law.capacitance(v))).abs() < 4e-4 * h * h + rounding);
            let energy = law.energy(voltage + h) - law.energy(voltage);
            let rounding = 1e-15 * law.energy(voltage);
            let expected = within(&|v| v * law.capacitance(v));
            prop_assert!((energy - expected).abs() < (voltage.abs() + 1.0) * 4e-4 * h * h + rounding);
        }
    }

    #[test]
    fn linear_is_linear() {
        let law = ChargeLaw::Linear { capacitance: 2e-6 };
        assert_eq!((law.charge(3.0), law.energy(3.0), law.voltage(6e-6)), (6e-6, 9e-6, 3.0));
    }
}

//! Current of a branch as a function of a voltage: its own, or one elsewhere.

use crate::junction::Junction;
use crate::pass::Pass;

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
    /// What a switching regulator takes: nothing up to a tenth below its lockout voltage `V`, a straight line from there to `P / V` at
    /// `V`, `P / v` above.
    Lockout {
        /// Power `P` in watt.
        power: f64,
        /// Lockout voltage `V` in volt.
        lockout: f64,
    },
    /// A semiconductor junction.
    Junction(Junction),
    /// A straight line through 0: a resistance.
    Conductance(f64),
    /// A straight line up to a voltage and a steeper one from there: a diode or a clamp in its ideal form.
    Knee {
        /// Voltage in volt at which it begins to conduct.
        voltage: f64,
        /// Conductance in siemens beyond it.
        conductance: f64,
        /// Conductance in siemens before it.
        leakage: f64,
    },
    /// What the pass element of a linear regulator takes away, as a function of its input voltage; see [`Pass`].
    Pass(Pass),
}

/// Share of the lockout voltage up to which nothing is drawn: a tenth below it, about the hysteresis of such circuits (from memory).
const WAKING: f64 = 0.9;

/// A straight stretch of a law: `conductance v + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Straight {
    /// Conductance in siemens.
    pub conductance: f64,
    /// Current in ampere that the line has at 0 V.
    pub offset: f64,
}

impl CurrentLaw {
    /// Current in ampere at `voltage` in volt.
    #[must_use]
    pub fn current(&self, voltage: f64) -> f64 {
        match *self {
            Self::Constant { current, threshold } => current * (voltage / threshold).clamp(0.0, 1.0),
            Self::Power { power, threshold: least } | Self::Lockout { power, lockout: least }
                if voltage > least =>
            {
                power / voltage
            }
            Self::Junction(junction) => junction.current_and_slope(voltage).0,
            _ => self.straight(voltage).map_or(0.0, |line| line.conductance * voltage + line.offset),
        }
    }

    /// Differential conductance dcurrent/dvoltage in siemens at `voltage` in volt.
    #[must_use]
    pub fn conductance(&self, voltage: f64) -> f64 {
        match *self {
            Self::Power { power, threshold: least } | Self::Lockout { power, lockout: least }
                if voltage > least =>
            {
                -power / (voltage * voltage)
            }
            Self::Junction(junction) => junction.current_and_slope(voltage).1,
            _ => self.straight(voltage).map_or(0.0, |line| line.conductance),
        }
    }

    /// The straight stretch that holds at `voltage`; `None` where the law is bent there.
    #[must_use]
    pub fn straight(&self, voltage: f64) -> Option<Straight> {
        let (conductance, offset) = match *self {
            Self::Constant { current, threshold } => match voltage {
                v if v >= threshold => (0.0, current),
                // 0 V belongs to the stretch that can take a current: there an inductance may feed the load from rest.
                v if v >= 0.0 => (current / threshold, 0.0),
                _ => (0.0, 0.0),
            },
            Self::Power { threshold, .. } if voltage > threshold => return None,
            Self::Power { power, threshold } => (power / (threshold * threshold), 0.0),
            Self::Lockout { lockout, .. } if voltage > lockout => return None,
            Self::Lockout { lockout, .. } if voltage <= WAKING * lockout => (0.0, 0.0),
            Self::Lockout { power, lockout } => {
                let slope = power / (lockout * lockout * (1.0 - WAKING));
                (slope, -slope * WAKING * lockout)
            }
            Self::Junction(_) => return None,
            Self::Conductance(conductance) => (conductance, 0.0),
            Self::Knee { voltage: knee, leakage, .. } if voltage <= knee => (leakage, 0.0),
            Self::Knee { voltage: knee, conductance, leakage } => {
                (conductance, (leakage - conductance) * knee)
            }
            Self::Pass(pass) => pass.straight(voltage),
        };
        Some(Straight { conductance, offset })
    }

    /// From which voltage to which, in volt, the straight stretch of a given line holds; nothing where the law has no such stretch.
    #[must_use]
    pub fn range(&self, line: Straight) -> Option<(f64, f64)> {
        let ends = match *self {
            Self::Constant { threshold, .. } => vec![0.0, threshold],
            Self::Power { threshold, .. } => vec![threshold],
            Self::Lockout { lockout, .. } => vec![WAKING * lockout, lockout],
            Self::Junction(_) | Self::Conductance(_) => Vec::new(),
            Self::Knee { voltage, .. } => vec![voltage],
            Self::Pass(Pass { output, dropout, .. }) => vec![dropout, output + dropout],
        };
        let below = std::iter::once(f64::NEG_INFINITY).chain(ends.iter().copied());
        let above = ends.iter().copied().chain(std::iter::once(f64::INFINITY));
        // A law that draws nothing anywhere has one line on all its stretches.
        let holding = below.zip(above).filter(|(low, high)| {
            let inside = match (low.is_finite(), high.is_finite()) {
                (true, true) => 0.5 * (low + high),
                (true, false) => low + 1.0,
                (false, true) => high - 1.0,
                (false, false) => 0.0,
            };
            self.straight(inside) == Some(line)
        });
        holding.reduce(|(low, _), (_, high)| (low, high))
    }

    /// How far an update of Newton's method from voltage `now` to `next` may go; `next` where the law is not steep.
    #[must_use]
    pub fn limited(&self, now: f64, next: f64) -> f64 {
        match self {
            Self::Junction(junction) => junction.limited(now, next),
            _ => next,
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
        let junction = Junction { saturation: 1e-9, thermal_voltage: 0.05, breakdown: Some(5.0) };
        let pass = Pass { output: 5.0, dropout: 0.7, ripple_ratio: 1e-3, conductance: 20.0 };
        for law in [
            CurrentLaw::Constant { current: 0.16, threshold: 9.0 },
            CurrentLaw::Power { power: 20.0, threshold: 6.0 },
            CurrentLaw::Lockout { power: 20.0, lockout: 5.0 },
            CurrentLaw::Junction(junction),
            CurrentLaw::Conductance(0.3),
            CurrentLaw::Knee { voltage: 0.7, conductance: 10.0, leakage: 1e-6 },
            CurrentLaw::Pass(pass),
        ] {
            for voltage in [-5.2, -4.0, 0.5, 0.8, 3.0, 8.0, 12.0] {
                let slope = (law.current(voltage + 1e-6) - law.current(voltage - 1e-6)) / 2e-6;
                let conductance = law.conductance(voltage);
                // Half the square of the step times the third derivative, i / V_t^3; and rounding of the difference.
                let bend = 1e-12 * law.current(voltage).abs() / 0.05f64.powi(3);
                let rounding = 1e-9 * law.current(voltage).abs() + 1e-12;
                assert!((slope - conductance).abs() <= bend + rounding, "{law:?} at {voltage}");
            }
        }
    }

    #[test]
    fn stretches_have_their_ends() {
        let law = CurrentLaw::Constant { current: 0.16, threshold: 9.0 };
        let range = |law: CurrentLaw, voltage: f64| law.straight(voltage).and_then(|line| law.range(line));
        assert_eq!(range(law, -1.0), Some((f64::NEG_INFINITY, 0.0)));
        assert_eq!(range(law, 4.0), Some((0.0, 9.0)));
        assert_eq!(range(law, 12.0), Some((9.0, f64::INFINITY)));
        let pass = Pass { output: 5.0, dropout: 0.7, ripple_ratio: 1e-3, conductance: 20.0 };
        assert_eq!(range(CurrentLaw::Pass(pass), 3.0), Some((0.7, 5.7)));
        let all = (f64::NEG_INFINITY, f64::INFINITY);
        assert_eq!(range(CurrentLaw::Constant { current: 0.0, threshold: 9.0 }, 12.0), Some(all));
        assert_eq!(range(CurrentLaw::Conductance(2.0), 3.0), Some(all));
        assert_eq!(law.range(Straight { conductance: 7.0, offset: 0.0 }), None);
    }

    #[test]
    fn laws_do_not_jump() {
        let pass = Pass { output: 5.0, dropout: 0.7, ripple_ratio: 1e-3, conductance: 20.0 };
        for (law, knees) in [
            (CurrentLaw::Constant { current: 0.16, threshold: 9.0 }, vec![0.0, 9.0]),
            (CurrentLaw::Power { power: 20.0, threshold: 6.0 }, vec![6.0]),
            (CurrentLaw::Lockout { power: 20.0, lockout: 5.0 }, vec![4.5, 5.0]),
            (CurrentLaw::Knee { voltage: 0.7, conductance: 10.0, leakage: 1e-6 }, vec![0.7]),
            (CurrentLaw::Pass(pass), vec![0.7, 5.7]),
        ] {
            for knee in knees {
                let step = law.current(knee + 1e-9) - law.current(knee - 1e-9);
                assert!(step.abs() < 1e-9 * 100.0, "{law:?} at {knee}: {step}");
            }
        }
    }
}

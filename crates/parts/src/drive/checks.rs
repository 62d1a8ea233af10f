//! Values of a drive that contradict each other or physics.

use super::Drive;
use crate::mistake::{Checks, shown, with_unit};

/// Greatest jitter as a fraction of the period: beyond a quarter, pulses would change their order.
const MOST_JITTER: f64 = 0.25;

/// Share of the current that may flow back: the roundings of durations that were meant to be equal.
const BACKWARD: f64 = 1e-9;

impl Drive {
    pub(super) fn check_differences(&self, checks: &mut Checks) {
        checks.fraction("imbalance", self.imbalance);
        let deepest = self.imbalance.unwrap_or(0.0) + self.commutation_depth.unwrap_or(0.0);
        if self.imbalance.is_some() && deepest > 1.0 {
            checks.add(
                "imbalance",
                format!("the deepest dip takes {} % of the current away", shown(deepest * 100.0)),
                "`imbalance` adds to `commutation_depth`, and together they can be 100 % at most",
            );
        }
        if let Some(spread) = self.spread.filter(|spread| !(0.0..=2.0).contains(spread)) {
            checks.add(
                "spread",
                format!("`spread` is {} %, but it must be 0 % to 200 %", shown(spread * 100.0)),
                "it is the difference between the last and the first motor, as a share of `current`",
            );
        }
        checks.whole("stalled", self.stalled);
        checks.not_negative("stall_current", self.stall_current);
        let motors = self.motors.unwrap_or(1.0);
        if let Some(stalled) = self.stalled.filter(|&stalled| stalled > motors) {
            checks.add(
                "stalled",
                format!("{} motors are stalled, but there are only {}", shown(stalled), shown(motors)),
                "`stalled` counts among `motors`",
            );
        }
        if let Some(jitter) = self.jitter.filter(|jitter| !(0.0..=MOST_JITTER).contains(jitter)) {
            checks.add(
                "jitter",
                format!("`jitter` is {} %, but it must be 0 % to 25 %", shown(jitter * 100.0)),
                "it is by how much of a period a pulse comes early or late at most",
            );
        }
    }

    pub(super) fn check_ripple(&self, checks: &mut Checks) {
        if let Some(ripple) = self.ripple.filter(|ripple| !(0.0..=2.0).contains(ripple)) {
            checks.add(
                "ripple",
                format!("`ripple` is {} %, but it must be 0 % to 200 %", shown(ripple * 100.0)),
                "it is the rise of the current over the on-time, as a share of its mean",
            );
        }
    }

    pub(super) fn check_commutation(&self, checks: &mut Checks) {
        let alone = self.windings().is_some() && self.speed.is_none() && self.commutation.is_none();
        if alone || (self.speed.is_some() && self.windings().is_none()) {
            checks.add(
                "rpm",
                "`rpm` goes together with `pole_pairs`, or with `bars` of a brushed motor",
                "give both, or the commutation frequency as `commutation`",
            );
        }
        if self.pole_pairs.is_some() && self.bars.is_some() {
            checks.add(
                "bars",
                "both `pole_pairs` and `bars` are given, and a motor has a commutator or none",
                "keep `bars` for a motor with brushes, `pole_pairs` for one without",
            );
        }
        if self.commutation.is_some() && self.speed.is_some() {
            checks.add(
                "commutation",
                "both `commutation` and `rpm` are given, and each fixes the commutation frequency",
                "keep one of them",
            );
        }
    }

    pub(super) fn check_throttle(&self, checks: &mut Checks) {
        for &(time, factor) in self.throttle.iter().flatten() {
            if !(factor.is_finite() && factor >= 0.0 && factor * self.duty <= 1.0 + 1e-12) {
                checks.add(
                    "throttle",
                    format!(
                        "`throttle` at {} makes a duty of {} %",
                        with_unit(time, "s"),
                        shown(factor * self.duty * 100.0)
                    ),
                    "throttle multiplies `duty`, and the product must be 0 % to 100 %",
                );
            }
        }
    }

    pub(super) fn check_edge(&self, property: &'static str, edge: f64, checks: &mut Checks) {
        let period = 1.0 / self.pwm;
        if edge > period {
            checks.add(
                property,
                format!(
                    "an edge of {} doesn't fit into a period of {}",
                    with_unit(edge, "s"),
                    with_unit(period, "s")
                ),
                "edges of motor drivers last some 50 ns to 1 us; check the unit, or lower `pwm`",
            );
        }
    }

    /// Refuses a pulse whose fall ends before its rise does.
    ///
    /// `clamp(t / rise, 0, 1) - clamp((t - on) / fall, 0, 1)` is least at `t = on + fall`, where it is
    /// `(on + fall) / rise - 1` while the rise still goes on. As no edge is longer than the period, no other pulse makes
    /// up for it. The ripple has come to its end by then.
    pub(super) fn check_direction(&self, rise: f64, fall: f64, checks: &mut Checks) {
        let Some(duty) = self.least_duty() else { return };
        let on = duty / self.pwm;
        let share = (1.0 - (on + fall) / rise) * (1.0 + self.ripple.unwrap_or(0.0) / 2.0);
        let current = self.current * duty.powf(self.current_exponent.unwrap_or(0.0));
        // A current of 0 has no direction; a rise of 0 makes the share minus infinity.
        if share > BACKWARD && self.current > 0.0 {
            let pulse =
                if self.throttle.is_some() { "the shortest pulse under the throttle" } else { "a pulse" };
            checks.add(
                "rise",
                format!(
                    "the `rise` of {} goes on after {pulse} is over ({} on and {} of `fall`), so that a motor would \
                     draw {}",
                    with_unit(rise, "s"),
                    with_unit(on, "s"),
                    with_unit(fall, "s"),
                    with_unit(-share * current, "A")
                ),
                "a drive draws current and gives none back: make `rise` no longer than the on-time and `fall` together",
            );
        }
    }

    /// Least on-time of a pulse as a fraction of the period, or what it comes near to; `None` where no pulse comes.
    fn least_duty(&self) -> Option<f64> {
        let Some(throttle) = &self.throttle else { return Some(self.duty) };
        let factors = || throttle.iter().map(|point| point.1);
        let opens = self.duty > 0.0 && factors().any(|factor| factor > 0.0);
        opens.then(|| self.duty * factors().fold(f64::INFINITY, f64::min))
    }
}

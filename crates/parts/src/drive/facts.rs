//! What the values of a drive come to, and which lie outside its model's range.

use super::Drive;
use crate::fact::Fact;
use crate::range::Ranges;
use crate::remark::Remark;
use quantity::Dimension;

/// Mean of a commutation's dip over its period as a share of its depth: a triangle of 10 % down and 10 % up.
const DIP: f64 = 0.1;

impl Drive {
    /// Currents at full throttle, edges and ripple aside, which change no mean where they are alike; and how often windings switch over.
    pub(super) fn facts(&self) -> Vec<Fact> {
        let motors = self.motors.unwrap_or(1.0);
        let standing = self.stalled.unwrap_or(0.0);
        let first = 1.0 - self.spread.unwrap_or(0.0) / 2.0;
        let step = if motors > 1.0 { self.spread.unwrap_or(0.0) / (motors - 1.0) } else { 0.0 };
        let turning = (motors - standing).max(0.0);
        // A rising series of currents from the first motor on.
        let shares = if motors > 1.0 { turning * (first + step * (turning - 1.0) / 2.0) } else { turning };
        let level = self.duty.powf(self.current_exponent.unwrap_or(0.0));
        let commutation = self.commutation();
        let dips = commutation.map_or(0.0, |(_, depth)| {
            let extra = self.imbalance().map_or(0.0, |(every, extra)| extra / f64::from(every));
            (depth + extra) * DIP
        });
        let turning_current = self.current * shares * level;
        let standing_current = standing * self.stall_current.unwrap_or(0.0) * level;
        let mean = (turning_current * (1.0 - dips) + standing_current) * self.duty;
        let mut facts = vec![
            Fact::new("on_current", turning_current + standing_current, Dimension::CURRENT),
            Fact::new("mean_current", mean, Dimension::CURRENT),
        ];
        let frequency = commutation.map(|(frequency, _)| frequency);
        facts.extend(frequency.map(|hertz| Fact::new("commutation", hertz, Dimension::FREQUENCY)));
        facts
    }

    /// Values at which real drives do what the model does not.
    pub(super) fn outside_range(&self) -> Vec<Remark> {
        let mut ranges = Ranges::default();
        let fast = "wiring and half bridges then ring and lose in ways that straight edges don't show";
        ranges.at_most("pwm", Some(self.pwm), 1e6, "Hz", fast);
        let slow =
            "below it the current of small motors comes to rest within the period, and is no trapezoid";
        ranges.at_least("pwm", Some(self.pwm), 50.0, "Hz", slow);
        let turns = "no motor of such a vehicle turns faster; check the unit, which is rpm or Hz";
        ranges.at_most("rpm", self.speed.map(|speed| speed * 60.0), 200e3, "rpm", turns);
        let exponent = "a fan or propeller takes a current between the square and the cube of its duty";
        ranges.at_most("current_exponent", self.current_exponent, 3.0, "", exponent);
        let dip = "a deeper dip is a winding that loses its current, and then the motors brake between steps";
        ranges.at_most(
            "commutation_depth",
            self.commutation_depth.map(|depth| depth * 100.0),
            80.0,
            "%",
            dip,
        );
        ranges.into_remarks()
    }
}

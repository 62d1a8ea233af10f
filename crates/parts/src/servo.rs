//! A servo: electronics that draw a little all the time, and a motor that is driven in bursts.

use crate::fact::Fact;
use crate::load::{Input, Load};
use crate::mistake::{Checks, Mistake, with_unit};
use crate::range::Ranges;
use crate::remark::Remark;
use quantity::Dimension;

/// Idle current in ampere where nothing is said (from memory: small servos state 5 mA to 10 mA at rest).
const DEFAULT_IDLE: f64 = 8e-3;
/// Length in seconds of a burst where nothing is said: slow movement under light load, common practice, no source.
const DEFAULT_PULSE: f64 = 3e-3;
/// Frames a second where nothing is said: 20 ms from one control pulse to the next, common practice.
const DEFAULT_RATE: f64 = 50.0;
/// Edge in seconds where nothing is said (from memory: electrical time constants of small motors, 10 us to 100 us).
const DEFAULT_EDGE: f64 = 50e-6;

/// What a servo is doing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Motion {
    /// Its motor is driven for a while in every frame.
    #[default]
    Moving,
    /// Its motor rests.
    Holding,
    /// Its motor is driven all the time and does not turn.
    Stalled,
}

/// What is said of a servo.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Servo {
    /// All that it draws in ampere while its motor is on.
    pub peak_current: f64,
    /// What its electronics draw in ampere.
    pub idle_current: Option<f64>,
    /// What it is doing.
    pub motion: Option<Motion>,
    /// How long in seconds its motor is on in every frame.
    pub pulse_length: Option<f64>,
    /// Frames a second in hertz.
    pub frame_rate: Option<f64>,
    /// All that it draws in ampere while stalled.
    pub stall_current: Option<f64>,
    /// Duration of a rising edge in seconds.
    pub rise: Option<f64>,
    /// Duration of a falling edge in seconds.
    pub fall: Option<f64>,
    /// Capacitor across its input.
    pub input: Input,
}

/// A steady load, and a motor's current in ampere for a share of every frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// What draws steadily.
    pub steady: crate::load::Equivalent,
    /// Current of the motor in ampere while it is on.
    pub burst: f64,
    /// Share of a frame for which it is on; 0 where it rests, 1 where it is stalled.
    pub duty: f64,
    /// Frames a second in hertz.
    pub frame_rate: f64,
    /// Duration of a rising edge in seconds.
    pub rise: f64,
    /// Duration of a falling edge in seconds.
    pub fall: f64,
    /// What the values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values outside the model's range.
    pub remarks: Vec<Remark>,
}

impl Servo {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("peak_current", Some(self.peak_current));
        checks.not_negative("idle_current", self.idle_current);
        checks.not_negative("stall_current", self.stall_current);
        checks.not_negative("pulse_length", self.pulse_length);
        checks.positive("frame_rate", self.frame_rate);
        checks.edge("rise", self.rise);
        checks.edge("fall", self.fall);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let mut default = |given: Option<f64>, taken: f64, unit: &str, what: &str| {
            given.unwrap_or_else(|| {
                assumptions.push(format!("{what} {}", with_unit(taken, unit)));
                taken
            })
        };
        let motion = self.motion.unwrap_or_default();
        let idle = default(self.idle_current, DEFAULT_IDLE.min(self.peak_current), "A", "idle current");
        let moving = motion == Motion::Moving;
        let (mut pulse, mut rate, mut edges) = (0.0, DEFAULT_RATE, (DEFAULT_EDGE, DEFAULT_EDGE));
        if moving {
            pulse = default(self.pulse_length, DEFAULT_PULSE, "s", "its motor is on in every frame for");
            rate = default(self.frame_rate, DEFAULT_RATE, "Hz", "frames come at");
            edges.0 = default(self.rise, DEFAULT_EDGE, "s", "rise");
            edges.1 = default(self.fall, DEFAULT_EDGE, "s", "fall");
        }
        let peak = match motion {
            Motion::Stalled => default(self.stall_current, self.peak_current, "A", "stalled it draws"),
            _ => self.peak_current,
        };
        if idle > peak {
            let peak = with_unit(peak, "A");
            checks.add(
                "idle_current",
                format!("`idle_current` is {}, more than the {peak} at its peak", with_unit(idle, "A")),
                "`peak_current` and `stall_current` are all that it draws, its electronics included",
            );
        }
        let frame = 1.0 / rate;
        if moving && pulse + edges.1 > frame {
            checks.add(
                "pulse_length",
                format!(
                    "a burst of {} with its fall of {} doesn't fit into a frame of {}",
                    with_unit(pulse, "s"),
                    with_unit(edges.1, "s"),
                    with_unit(frame, "s")
                ),
                "shorten `pulse_length`, lower `frame_rate`, or say `motion stalled` of a motor that is on all the time",
            );
        }
        if moving && edges.0 > pulse + edges.1 {
            checks.add(
                "rise",
                format!(
                    "the `rise` of {} goes on after the burst of {} is over",
                    with_unit(edges.0, "s"),
                    with_unit(pulse, "s")
                ),
                "make `rise` no longer than `pulse_length` and `fall` together",
            );
        }
        let duty = match motion {
            Motion::Moving => pulse * rate,
            Motion::Holding => 0.0,
            Motion::Stalled => 1.0,
        };
        let burst = peak - idle;
        let steady = Load { current: Some(idle), input: self.input, ..Load::default() }.equivalent()?;
        let mut ranges = Ranges::default();
        let fast = "no servo takes control pulses faster";
        ranges.at_most("frame_rate", self.frame_rate, 1e3, "Hz", fast);
        let remarks = ranges.into_remarks();
        let facts = vec![
            Fact::new("mean_current", idle + burst * duty, Dimension::CURRENT),
            Fact::new("frame_period", frame, Dimension::TIME),
        ];
        let (rise, fall) = edges;
        checks.finish(|| Equivalent {
            steady,
            burst,
            duty,
            frame_rate: rate,
            rise,
            fall,
            facts,
            assumptions,
            remarks,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arm() -> Servo {
        Servo { peak_current: 0.7, ..Servo::default() }
    }

    #[test]
    fn what_it_does_decides_what_it_draws() {
        let duty = |motion| {
            let found =
                Servo { motion: Some(motion), idle_current: Some(0.01), ..arm() }.equivalent().unwrap();
            (found.duty, found.burst + 0.01)
        };
        assert_eq!(duty(Motion::Moving), (3e-3 * 50.0, 0.7));
        assert_eq!(duty(Motion::Holding), (0.0, 0.7));
        assert_eq!(duty(Motion::Stalled), (1.0, 0.7));
        let hard = Servo { motion: Some(Motion::Stalled), stall_current: Some(2.0), ..arm() };
        assert_eq!(hard.equivalent().unwrap().burst, 2.0 - 8e-3);
    }

    #[test]
    fn defaults_are_told() {
        let told = arm().equivalent().unwrap().assumptions;
        let expected = [
            "idle current 8 mA",
            "its motor is on in every frame for 3 ms",
            "frames come at 50 Hz",
            "rise 50 us",
            "fall 50 us",
        ];
        assert_eq!(told, expected);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |servo: Servo| servo.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Servo { idle_current: Some(0.8), ..arm() }), "idle_current");
        assert_eq!(property(Servo { pulse_length: Some(20e-3), ..arm() }), "pulse_length");
        assert_eq!(property(Servo { rise: Some(4e-3), ..arm() }), "rise");
        assert_eq!(property(Servo { frame_rate: Some(0.0), ..arm() }), "frame_rate");
    }
}

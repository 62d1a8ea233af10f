//! A transmitter: a mean current and steps around it.

use crate::fact::Fact;
use crate::load::{Input, Load};
use crate::mistake::{Checks, Mistake, with_unit};
use crate::video::Video;
use quantity::Dimension;

/// Edge in seconds where nothing is said: common practice, no source.
const DEFAULT_EDGE: f64 = 5e-6;
/// Share of the time with the high current where nothing is said.
const DEFAULT_DUTY: f64 = 0.5;

/// What is said of a transmitter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Transmitter {
    /// Mean current in ampere.
    pub current: f64,
    /// Difference in ampere between the high and the low current.
    pub step: Option<f64>,
    /// Steps up a second in hertz.
    pub rate: Option<f64>,
    /// The picture at whose field rate it steps.
    pub video: Option<Video>,
    /// Share of the time with the high current.
    pub step_duty: Option<f64>,
    /// Duration of the step up in seconds.
    pub rise: Option<f64>,
    /// Duration of the step down in seconds.
    pub fall: Option<f64>,
    /// Voltage in volt under which it draws in proportion to the voltage.
    pub below: Option<f64>,
    /// Capacitor across its input.
    pub input: Input,
}

/// Steps of current in ampere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Height in ampere.
    pub height: f64,
    /// Steps up a second in hertz.
    pub rate: f64,
    /// Share of the time with the high current.
    pub duty: f64,
    /// Duration of the step up in seconds.
    pub rise: f64,
    /// Duration of the step down in seconds.
    pub fall: f64,
}

/// A steady load and steps on top of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// The load of the low current.
    pub steady: crate::load::Equivalent,
    /// What comes on top; `None` where it has no steps.
    pub steps: Option<Steps>,
    /// What the values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Transmitter {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("current", Some(self.current));
        checks.not_negative("step", self.step);
        checks.positive("rate", self.rate);
        checks.fraction("step_duty", self.step_duty);
        checks.edge("rise", self.rise);
        checks.edge("fall", self.fall);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let rate = self.rate.or(self.video.map(Video::field_rate));
        let steps = self.step.filter(|&step| step > 0.0).zip(rate).map(|(height, rate)| {
            let mut edge = |name: &str, given: Option<f64>| {
                given.unwrap_or_else(|| {
                    assumptions.push(format!("{name} {}", with_unit(DEFAULT_EDGE, "s")));
                    DEFAULT_EDGE
                })
            };
            let (rise, fall) = (edge("rise", self.rise), edge("fall", self.fall));
            Steps { height, rate, duty: self.step_duty.unwrap_or(DEFAULT_DUTY), rise, fall }
        });
        let mut low = self.current;
        let mut facts = Vec::new();
        if let Some(Steps { height, rate, duty, rise, fall }) = steps {
            if self.step_duty.is_none() {
                assumptions.push("as long up as down".to_owned());
            }
            low -= height * duty;
            if low < 0.0 {
                checks.add(
                    "step",
                    format!(
                        "steps of {} around a mean of {} would draw {}",
                        with_unit(height, "A"),
                        with_unit(self.current, "A"),
                        with_unit(low, "A")
                    ),
                    "`current` is the mean; its low current, current - step x step_duty, can't be negative",
                );
            }
            let (up, down) = (duty / rate, (1.0 - duty) / rate);
            if rise > up || fall > down {
                checks.add(
                    "rise",
                    format!(
                        "steps of {} up and {} down have no room for edges of {} and {}",
                        with_unit(up, "s"),
                        with_unit(down, "s"),
                        with_unit(rise, "s"),
                        with_unit(fall, "s")
                    ),
                    "shorten the edges or lower `rate`",
                );
            }
            facts.push(Fact::new("low_current", low, Dimension::CURRENT));
            facts.push(Fact::new("high_current", low + height, Dimension::CURRENT));
            facts.push(Fact::new("step_rate", rate, Dimension::FREQUENCY));
        }
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let low = Load { current: Some(low), below: self.below, input: self.input, ..Load::default() };
        let steady = low.equivalent()?;
        checks.finish(|| Equivalent { steady, steps, facts, assumptions })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::Draw;

    #[test]
    fn steps_stand_around_the_mean() {
        let vtx = Transmitter {
            current: 0.3,
            step: Some(0.04),
            video: Some(Video::Pal),
            step_duty: Some(0.25),
            ..Transmitter::default()
        };
        let found = vtx.equivalent().unwrap();
        let Draw::Law(law) = found.steady.draw else { panic!("{found:?}") };
        assert!((law.current(12.0) - 0.29).abs() < 1e-15);
        let steps = found.steps.unwrap();
        assert_eq!((steps.height, steps.rate, steps.duty), (0.04, 50.0, 0.25));
        assert_eq!(found.assumptions, ["rise 5 us", "fall 5 us"]);
        let high = Transmitter { step: Some(1.3), ..vtx };
        assert_eq!(high.equivalent().unwrap_err()[0].property, "step");
        assert_eq!(Transmitter { fall: Some(0.1), ..vtx }.equivalent().unwrap_err()[0].property, "rise");
        assert_eq!(Transmitter { step: None, ..vtx }.equivalent().unwrap().steps, None);
    }
}

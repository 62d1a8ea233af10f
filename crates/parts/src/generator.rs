//! A pulse generator behind its source resistance.

use crate::double_exponential::DoubleExponential;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use quantity::Dimension;

/// What is said of a generator.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Generator {
    /// Open-circuit height of its pulses in volt.
    pub level: f64,
    /// Width in seconds from the start of the rise to the start of the fall.
    pub width: Option<f64>,
    /// Time in seconds from pulse to pulse; a single pulse where there is none.
    pub period: Option<f64>,
    /// Duration of the rise in seconds.
    pub rise: Option<f64>,
    /// Duration of the fall in seconds.
    pub fall: Option<f64>,
    /// Series resistance in ohm.
    pub resistance: Option<f64>,
    /// Time in seconds of its first rise.
    pub starts: Option<f64>,
    /// Whether it gives a surge, the difference of two exponentials, instead of trapezoids.
    pub is_surge: bool,
}

/// The shape of its open-circuit voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// One level: neither width nor period are given.
    Level,
    /// A single pulse of this width in seconds.
    Single(f64),
    /// Pulses of this width, one each period, both in seconds.
    Train(f64, f64),
    /// A single surge.
    Surge(DoubleExponential),
}

/// The electrical equivalent: a voltage source and a resistance in series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equivalent {
    /// Shape of the voltage.
    pub shape: Shape,
    /// Duration of the rise in seconds; 0 is a jump.
    pub rise: f64,
    /// Duration of the fall in seconds; 0 is a jump.
    pub fall: f64,
    /// Series resistance in ohm; 0 is none.
    pub resistance: f64,
}

impl Equivalent {
    /// What a surge's rise and width come to.
    #[must_use]
    pub fn facts(&self) -> Vec<Fact> {
        match self.shape {
            Shape::Surge(pulse) => vec![
                Fact::new("fall_time_constant", 1.0 / pulse.alpha, Dimension::TIME),
                Fact::new("rise_time_constant", 1.0 / pulse.beta, Dimension::TIME),
                Fact::plain("gain", pulse.gain),
                Fact::new("peak_time", pulse.peak_time(), Dimension::TIME),
            ],
            _ => Vec::new(),
        }
    }
}

impl Generator {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("width", self.width);
        checks.positive("period", self.period);
        checks.edge("rise", self.rise);
        checks.edge("fall", self.fall);
        checks.not_negative("resistance", self.resistance);
        checks.not_negative("starts", self.starts);
        let (rise, fall) = (self.rise.unwrap_or(0.0), self.fall.unwrap_or(0.0));
        if self.is_surge {
            return self.surge(checks);
        }
        let shape = match (self.width, self.period) {
            (None, None) => Shape::Level,
            (Some(width), None) => {
                if rise > width {
                    checks.add(
                        "rise",
                        format!(
                            "the pulse of {} ends before its rise of {}",
                            with_unit(width, "s"),
                            with_unit(rise, "s")
                        ),
                        "`width` counts from the start of the rise to the start of the fall",
                    );
                }
                Shape::Single(width)
            }
            (None, Some(period)) => {
                checks.add(
                    "width",
                    "a generator with a `period` needs the `width` of its pulses",
                    format!("add `width {}` for half the time on", with_unit(period / 2.0, "s")),
                );
                Shape::Level
            }
            (Some(width), Some(period)) => {
                self.check_period(width.max(rise).max(fall), period, &mut checks);
                Shape::Train(width, period)
            }
        };
        checks.finish(|| Equivalent { shape, rise, fall, resistance: self.resistance.unwrap_or(0.0) })
    }

    /// A surge as ISO 7637-2 states its pulses: `rise` from 10 % to 90 %, `width` from 10 % to 10 % of its greatest value.
    fn surge(&self, mut checks: Checks) -> Result<Equivalent, Vec<Mistake>> {
        for (property, value) in [("period", self.period), ("fall", self.fall)] {
            if value.is_some() {
                checks.add(
                    property,
                    format!("a double exponential has no `{property}`: it is one pulse that fades away"),
                    "leave it out; `rise` and `width` are its whole shape",
                );
            }
        }
        let (Some(rise), Some(width)) = (self.rise, self.width) else {
            checks.add(
                if self.rise.is_none() { "rise" } else { "width" },
                "a double exponential needs its `rise` and its `width`",
                "`rise` is from 10 % to 90 %, `width` from 10 % to 10 % of its greatest value",
            );
            return Err(checks.into_mistakes());
        };
        let Some(pulse) = DoubleExponential::new(rise, width) else {
            checks.add(
                "rise",
                format!(
                    "no double exponential rises within {} and lasts {}",
                    with_unit(rise, "s"),
                    with_unit(width, "s")
                ),
                "the rise must be shorter than 11 % of the width, and not a billionth of it",
            );
            return Err(checks.into_mistakes());
        };
        let shape = Shape::Surge(pulse);
        checks.finish(|| Equivalent { shape, rise, fall: 0.0, resistance: self.resistance.unwrap_or(0.0) })
    }

    fn check_period(&self, longest: f64, period: f64, checks: &mut Checks) {
        if longest > period {
            checks.add(
                "period",
                format!(
                    "a pulse or edge of {} doesn't fit into a period of {}",
                    with_unit(longest, "s"),
                    with_unit(period, "s")
                ),
                "make `width`, `rise` and `fall` shorter than `period`",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shape_follows_from_width_and_period() {
        let level = Generator { level: 5.0, ..Generator::default() };
        let single = Generator { width: Some(1e-6), ..level };
        let train = Generator { period: Some(1e-5), ..single };
        assert_eq!(level.equivalent().unwrap().shape, Shape::Level);
        assert_eq!(single.equivalent().unwrap().shape, Shape::Single(1e-6));
        assert_eq!(train.equivalent().unwrap().shape, Shape::Train(1e-6, 1e-5));
    }

    #[test]
    fn what_does_not_fit_is_told() {
        let property = |generator: Generator| generator.equivalent().unwrap_err()[0].property;
        let base = Generator { level: 5.0, ..Generator::default() };
        assert_eq!(property(Generator { period: Some(1.0), ..base }), "width");
        assert_eq!(property(Generator { period: Some(1.0), width: Some(2.0), ..base }), "period");
        assert_eq!(property(Generator { width: Some(1e-6), rise: Some(1e-3), ..base }), "rise");
        assert_eq!(property(Generator { rise: Some(1e-13), ..base }), "rise");
        assert_eq!(property(Generator { fall: Some(1e-300), ..base }), "fall");
    }
}

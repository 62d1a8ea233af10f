//! Values that are possible and yet outside what a model was made for.

use crate::mistake::with_unit;
use crate::remark::Remark;

/// Collects remarks on values outside a model's range.
#[derive(Debug, Default)]
pub(crate) struct Ranges(Vec<Remark>);

impl Ranges {
    /// Remarks on a value above `most`, with the reason why the model ends there.
    pub(crate) fn at_most(&mut self, property: &str, value: Option<f64>, most: f64, unit: &str, why: &str) {
        if let Some(value) = value.filter(|&value| value > most * (1.0 + 1e-9)) {
            let (value, most) = (with_unit(value, unit), with_unit(most, unit));
            self.tell(property, value.trim(), &format!("up to {}", most.trim()), why);
        }
    }

    /// Remarks on a value below `least`, with the reason why the model begins there.
    pub(crate) fn at_least(&mut self, property: &str, value: Option<f64>, least: f64, unit: &str, why: &str) {
        if let Some(value) = value.filter(|&value| value < least * (1.0 - 1e-9)) {
            let (value, least) = (with_unit(value, unit), with_unit(least, unit));
            self.tell(property, value.trim(), &format!("from {} on", least.trim()), why);
        }
    }

    fn tell(&mut self, property: &str, value: &str, range: &str, why: &str) {
        let text = format!("`{property}` is {value}, and the model is good {range}: {why}");
        self.0.push(Remark::new("outside_model_range", text));
    }

    pub(crate) fn into_remarks(self) -> Vec<Remark> {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_lies_outside_is_told() {
        let mut ranges = Ranges::default();
        ranges.at_most("pwm", Some(2e6), 1e6, "Hz", "it ends there");
        ranges.at_most("pwm", Some(1e6), 1e6, "Hz", "it ends there");
        ranges.at_least("pwm", Some(20.0), 50.0, "Hz", "it begins there");
        ranges.at_least("pwm", Some(50.0), 50.0, "Hz", "it begins there");
        ranges.at_most("pwm", None, 1e6, "Hz", "it ends there");
        let texts: Vec<String> = ranges.into_remarks().into_iter().map(|remark| remark.text).collect();
        assert_eq!(
            texts,
            [
                "`pwm` is 2 MHz, and the model is good up to 1 MHz: it ends there",
                "`pwm` is 20 Hz, and the model is good from 50 Hz on: it begins there",
            ]
        );
    }
}

//! What is wrong with a part's values, in plain words.

/// A value that contradicts another one or physics.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Stable code, words joined by `_`; [`IMPOSSIBLE_VALUE`] where nothing says more.
    pub code: &'static str,
    /// The property at fault, as the harness language names it.
    pub property: &'static str,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to try.
    pub help: String,
}

/// Code of a value that contradicts another one or physics.
pub const IMPOSSIBLE_VALUE: &str = "impossible_value";

impl Mistake {
    /// A mistake with the code [`IMPOSSIBLE_VALUE`].
    #[must_use]
    pub fn new(property: &'static str, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { code: IMPOSSIBLE_VALUE, property, message: message.into(), help: help.into() }
    }

    /// The same under a code of its own.
    #[must_use]
    pub fn coded(self, code: &'static str) -> Self {
        Self { code, ..self }
    }
}

/// Shortest edge in seconds that is told from a jump: faster than any switch, and long against the roundings of time.
const SHORTEST_EDGE: f64 = 1e-12;

/// Collects mistakes, so that all of a part are told at once.
#[derive(Debug, Default)]
pub(crate) struct Checks(Vec<Mistake>);

impl Checks {
    pub(crate) fn add(
        &mut self,
        property: &'static str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.0.push(Mistake::new(property, message, help));
    }

    pub(crate) fn positive(&mut self, property: &'static str, value: Option<f64>) {
        if let Some(value) = value.filter(|&value| !(value.is_finite() && value > 0.0)) {
            self.add(
                property,
                format!("`{property}` is {value}, but it must be greater than 0"),
                format!("give `{property}` a value above 0"),
            );
        }
    }

    pub(crate) fn not_negative(&mut self, property: &'static str, value: Option<f64>) {
        if let Some(value) = value.filter(|&value| !(value.is_finite() && value >= 0.0)) {
            self.add(
                property,
                format!("`{property}` is {value}, but it can't be negative"),
                format!("give `{property}` a value of 0 or more, or leave it out"),
            );
        }
    }

    /// Duration in seconds of an edge: 0 for a jump, or long enough to be told from one.
    pub(crate) fn edge(&mut self, property: &'static str, value: Option<f64>) {
        self.not_negative(property, value);
        if let Some(value) = value.filter(|&value| value > 0.0 && value < SHORTEST_EDGE) {
            self.add(
                property,
                format!(
                    "`{property}` is {value:e} s, shorter than {}: nothing switches so fast",
                    with_unit(SHORTEST_EDGE, "s")
                ),
                format!("check the unit of `{property}` (edges last nanoseconds), or give 0 s for a jump"),
            );
        }
    }

    pub(crate) fn fraction(&mut self, property: &'static str, value: Option<f64>) {
        if let Some(value) = value.filter(|value| !(0.0..=1.0).contains(value)) {
            self.add(
                property,
                format!("`{property}` is {} %, but it must be 0 % to 100 %", shown(value * 100.0)),
                format!("give `{property}` a value from 0 % to 100 %"),
            );
        }
    }

    pub(crate) fn whole(&mut self, property: &'static str, value: Option<f64>) {
        if let Some(value) = value.filter(|&value| !(value >= 1.0 && value.fract() == 0.0 && value <= 1e6)) {
            self.add(
                property,
                format!("`{property}` is {}, but it must be a whole number from 1", shown(value)),
                format!("give `{property}` as 1, 2, 3 and so on"),
            );
        }
    }

    pub(crate) fn finish<T>(self, value: impl FnOnce() -> T) -> Result<T, Vec<Mistake>> {
        if self.0.is_empty() { Ok(value()) } else { Err(self.0) }
    }

    pub(crate) fn failed(&self) -> bool {
        !self.0.is_empty()
    }

    pub(crate) fn into_mistakes(self) -> Vec<Mistake> {
        self.0
    }
}

/// A number with four significant digits, without trailing zeros, for sentences.
pub(crate) fn shown(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let decimals = (3 - value.abs().log10().floor() as i32).max(0);
    let text = format!("{value:.0$}", decimals as usize);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A number with an SI prefix and a unit, for sentences; tenths of the unit itself stay as they are (`0.2 ohm`).
pub(crate) fn with_unit(value: f64, unit: &str) -> String {
    /// Prefix, scale, and the least size that takes it.
    const PREFIXES: [(&str, f64, f64); 8] = [
        ("M", 1e6, 1e6),
        ("k", 1e3, 1e3),
        ("", 1.0, 0.1),
        ("m", 1e-3, 1e-3),
        ("u", 1e-6, 1e-6),
        ("n", 1e-9, 1e-9),
        ("p", 1e-12, 1e-12),
        ("f", 1e-15, 1e-15),
    ];
    // A billionth covers products such as 200 x 1e-9 that fall short of their size by a rounding.
    let size = value.abs() * (1.0 + 1e-9);
    let found = PREFIXES.into_iter().find(|&(_, _, least)| size >= least);
    let (prefix, scale) = found.map_or(("", 1.0), |(prefix, scale, _)| (prefix, scale));
    format!("{} {prefix}{unit}", shown(value / scale))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_well_in_sentences() {
        assert_eq!(with_unit(10e-6, "F"), "10 uF");
        assert_eq!(with_unit(0.2, "ohm"), "0.2 ohm");
        assert_eq!(with_unit(0.022, "ohm"), "22 mohm");
        assert_eq!(with_unit(1.2345e4, "Hz"), "12.35 kHz");
        assert_eq!(with_unit(0.0, "H"), "0 H");
        assert_eq!(shown(-0.5), "-0.5");
    }
}

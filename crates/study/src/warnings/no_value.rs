//! A reading whose parts are all there and that has no value all the same.

use super::show;
use language::description::Measure;
use network::lowered::Warning;
use quantity::Dimension;

/// Says of a reading or requirement (`about`, as the file names it) that it has no value, and why.
pub(crate) fn no_value(about: &str, reason: &str) -> Warning {
    Warning {
        code: "no_value",
        about: about.to_owned(),
        weight: 0.0,
        text: format!("{about} has no value: {reason}"),
    }
}

/// What a run offers to the measures of its readings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Offer<'a> {
    /// Drives that switch.
    pub(crate) switching: &'a [(String, f64)],
    /// Whether all sources have a common period that could be waited for.
    pub(crate) periodic: bool,
    /// Greatest number of harmonics that a band may hold.
    pub(crate) most_harmonics: usize,
}

/// Why a measure gave nothing, and what to do about it.
pub(crate) fn reason(measure: &Measure, offer: Offer<'_>) -> String {
    match measure {
        Measure::Harmonic { drive: Some(drive), .. }
            if offer.switching.iter().all(|(name, _)| name != drive) =>
        {
            format!(
                "{drive} does not switch here (its duty is 0 or 100 %), so it has no harmonics; name a number of the common period instead, or read it where the drive switches"
            )
        }
        Measure::Harmonic { .. } | Measure::Band(..) if !offer.periodic => {
            "the sources have no common period that can be waited for, so there are no harmonics; choose frequencies with a common divisor".to_owned()
        }
        Measure::Band(..) => format!(
            "its band holds more than {} harmonics of the common period; narrow it",
            offer.most_harmonics
        ),
        Measure::At(_, time) => format!(
            "{} lies outside what is read; choose a time inside the span (of one period, where the run repeats)",
            show(*time, Dimension::TIME)
        ),
        Measure::Attenuation(first, second) => {
            format!("{first} or {second} has no ripple at all, so their ratio says nothing")
        }
        _ => "its window lies outside what is read; choose times inside the span (of one period, where the run repeats)".to_owned(),
    }
}

/// Where every measure has its value and only the arithmetic fails.
pub(crate) const ARITHMETIC: &str = "its arithmetic gives no finite number, as a division by zero does";
/// Where there is nothing to read it in.
pub(crate) const NO_TRANSIENT: &str =
    "the file has no transient to read it in; add a line like `transient ripple span 1 ms, start steady`";

#[cfg(test)]
mod tests {
    use crate::{Options, compare};
    use language::Source;

    /// The warnings of every run in the steady state, as (code, about).
    fn warnings(readings: &str, duty: &str) -> Vec<(&'static str, String)> {
        warnings_from(readings, duty, "steady")
    }

    fn warnings_from(readings: &str, duty: &str, start: &str) -> Vec<(&'static str, String)> {
        let text = format!(
            "harness \"Bench\"\n\
             battery pack gnd -> bus emf 12 V, resistance 100 mohm\n\
             drive motor bus -> gnd motors 1, current 1 A, pwm 20 kHz, duty {duty}\n\
             capacitor store bus -> gnd capacitance 10 uF, esr 10 mohm\n\
             testpoint rail = voltage(bus)\n\
             {readings}\n\
             transient ripple span 1 ms, start {start}\n"
        );
        let source = Source { name: "bench.harness".to_owned(), text };
        let description = language::read(&source, &[]).expect("the file is in order");
        let comparison = compare(&description, &Options::default()).expect("no option is unknown");
        let runs = comparison.runs.iter();
        runs.flat_map(|run| &run.warnings).map(|one| (one.code, one.about.clone())).collect()
    }

    fn no_value(about: &str) -> Vec<(&'static str, String)> {
        vec![("no_value", about.to_owned())]
    }

    #[test]
    fn a_value_that_is_there_needs_no_warning() {
        assert_eq!(warnings("reading first = harmonic(rail, motor, 1)", "50 %"), []);
    }

    #[test]
    fn a_value_that_cannot_be_had_is_warned_of() {
        assert_eq!(warnings("reading first = harmonic(rail, motor, 1)", "100 %"), no_value("first"));
        assert_eq!(warnings_from("reading late = at(rail, 5 ms)", "50 %", "operating"), no_value("late"));
        // What repeats has a value at all times.
        assert_eq!(warnings("reading late = at(rail, 5 ms)", "50 %"), []);
        let divided = "reading ratio = mean(rail) / (mean(rail) - mean(rail))";
        assert_eq!(warnings(divided, "50 %"), no_value("ratio"));
    }

    #[test]
    fn a_requirement_is_warned_of_by_its_reading_or_by_itself() {
        let named = "reading late = at(rail, 5 ms)\nrequire late > 9 V \"low\"";
        assert_eq!(warnings_from(named, "50 %", "operating"), no_value("late"));
        let direct = "require at(rail, 5 ms) > 9 V \"low\"";
        assert_eq!(warnings_from(direct, "50 %", "operating"), no_value("at(rail, 5 ms) > 9 V"));
    }
}

//! The words of a sweep's summary.

use crate::sweep::{PickSummary, Summary};
use crate::text::count;

/// Over what drives each reading.
pub(crate) const DRIVERS: &str = "What drives the spread (rank correlation with each drawn value)";
/// Under yields.
pub(crate) const INTERVAL: &str = "The yield stands with its interval of 95 % confidence.";

/// The first line of the summary.
pub(crate) fn answer(summary: &Summary, rows: usize) -> String {
    if summary.outline.requirements.is_empty() {
        return format!("{rows} points; nothing is required of them.");
    }
    let whole: Vec<&str> =
        summary.picks.iter().filter(|pick| pick.met == pick.rows).map(|pick| pick.label.as_str()).collect();
    match whole.as_slice() {
        [] => {
            let best = summary.picks.iter().max_by(|one, other| {
                let share = |pick: &PickSummary| pick.met as f64 / pick.rows as f64;
                share(one).total_cmp(&share(other))
            });
            match best.filter(|best| best.met > 0) {
                Some(best) => format!(
                    "No option meets every requirement at all of {rows} points; {} does most often, at {} of its {}.",
                    best.label, best.met, best.rows
                ),
                None => format!("No option meets every requirement at any of {rows} points."),
            }
        }
        [one] => format!("{one} meets every requirement at all its points ({rows} in all)."),
        several => {
            format!("{} meet every requirement at all their points ({rows} in all).", several.join(", "))
        }
    }
}

/// What was run where not all corners were.
pub(crate) fn signed(summary: &Summary) -> Option<String> {
    let (values, aims) = (summary.variables(), summary.aims());
    let text = format!(
        "{values} values have a tolerance, too many to run all combinations of their ends. For each of {aims} requirements and readings two were run: every value at the end that raises it, and at the other, as one value after the other showed. `--draws 1000` looks between them.",
    );
    (aims > 0).then_some(text)
}

/// Points without a result.
pub(crate) fn failures(summary: &Summary) -> Option<String> {
    let failed = summary.failed();
    let verb = if failed == 1 { "has" } else { "have" };
    (failed > 0).then(|| format!("{} {verb} no result: the column `error` says why.", count(failed, "point")))
}

/// `rises with pack.resistance (0.87)`.
pub(crate) fn driver(variable: &str, correlation: f64) -> String {
    let way = if correlation > 0.0 { "rises" } else { "falls" };
    format!("{way} with {variable} ({:.2})", correlation.abs())
}

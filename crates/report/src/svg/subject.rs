//! What a page shows, before any geometry: the condition chosen, a row for each pick, the words beside it.

use crate::options::{Outcome, Pick, baseline_of, condition_in_words, condition_label, picks};
use crate::text;
use crate::verdict::facts::{Facts, facts, peak_to_peak};
use quantity::Dimension;
use study::result::{Comparison, Run, TestpointInfo, TestpointResult};

/// One page.
pub(super) struct Subject {
    pub(super) testpoint: String,
    pub(super) title: String,
    /// What is looked at and through which bandwidth; then which condition and why this one.
    pub(super) subtitles: Vec<String>,
    /// For readers who cannot see the curves.
    pub(super) description: String,
    pub(super) dimension: Dimension,
    pub(super) rows: Vec<Row>,
    /// Index of the row whose waveform stands behind the others.
    pub(super) before: Option<usize>,
}

/// One pick.
pub(super) struct Row {
    pub(super) name: String,
    /// Whether the others are compared with it.
    pub(super) baseline: bool,
    /// Figures: peak-to-peak, change, mean.
    pub(super) figures: String,
    /// Whether requirements are met.
    pub(super) verdict: String,
    /// The waveforms, or why there are none.
    pub(super) seen: Result<Waveforms, String>,
}

/// Waveforms without their mean, in SI units.
pub(super) struct Waveforms {
    pub(super) detail: Vec<(f64, f64)>,
    pub(super) overview: Vec<(f64, f64)>,
    /// Least and greatest departure from the mean over the whole span.
    pub(super) extremes: (f64, f64),
}

impl Waveforms {
    fn new(seen: &TestpointResult) -> Option<Self> {
        // What is only rounding must not be magnified into a waveform.
        let size = seen.maximum.abs().max(seen.minimum.abs());
        let departure = |value: f64| text::without_rounding(value - seen.mean, size);
        let centred = |points: &[(f64, f64)]| -> Vec<(f64, f64)> {
            let finite = points.iter().filter(|(time, value)| time.is_finite() && value.is_finite());
            finite.map(|(time, value)| (*time, departure(*value))).collect()
        };
        let extremes = (departure(seen.minimum), departure(seen.maximum));
        let (detail, overview) = (centred(&seen.detail.points), centred(&seen.overview.points));
        let usable =
            extremes.0.is_finite() && extremes.1.is_finite() && !(detail.is_empty() && overview.is_empty());
        usable.then_some(Self { detail, overview, extremes })
    }

    pub(super) fn peak_to_peak(&self) -> f64 {
        self.extremes.1 - self.extremes.0
    }
}

/// Chooses what to show for the test point with this index; nothing where it was never seen.
pub(super) fn subject(comparison: &Comparison, testpoint: usize) -> Option<Subject> {
    let picks = picks(comparison);
    let worst = worst_run(&picks, testpoint)?;
    let condition = condition_label(comparison, worst);
    let info = &comparison.testpoints[testpoint];
    let rows: Vec<Row> = picks.iter().map(|pick| row(comparison, pick, testpoint, &condition)).collect();
    let before = picks.iter().zip(&rows).position(|(pick, row)| pick.baseline && row.seen.is_ok());
    Some(Subject {
        testpoint: info.name.clone(),
        title: format!("{}: {} before and after", comparison.harness, info.name),
        subtitles: subtitles(
            info,
            &condition_in_words(comparison, worst),
            before.map(|at| picks[at].label.as_str()),
        ),
        description: description(&rows),
        dimension: info.dimension,
        rows,
        before,
    })
}

/// The run whose condition is drawn: where the baseline has its largest peak-to-peak; any option where the baseline
/// was not seen.
fn worst_run<'a>(picks: &[Pick<'a>], testpoint: usize) -> Option<&'a Run> {
    let largest = |baseline_only: bool| {
        let picks = picks.iter().filter(|pick| pick.baseline || !baseline_only);
        let spans =
            picks.flat_map(|pick| &pick.runs).filter_map(|run| Some((*run, peak_to_peak(run, testpoint)?)));
        spans.max_by(|(_, a), (_, b)| a.total_cmp(b)).map(|(run, _)| run)
    };
    largest(true).or_else(|| largest(false))
}

fn subtitles(info: &TestpointInfo, condition: &str, before: Option<&str>) -> Vec<String> {
    let bandwidth = info.bandwidth.map_or_else(String::new, |bandwidth| {
        format!(" through a bandwidth of {}", text::value(bandwidth, Dimension::FREQUENCY))
    });
    let mut lines = vec![format!("{}{bandwidth}, drawn as its departure from the mean", info.signal)];
    if !condition.is_empty() {
        let whose = before.map_or_else(|| "of all options".to_owned(), |before| format!("of {before}"));
        lines.push(format!("Worst condition, with the largest peak-to-peak {whose}: {condition}"));
    }
    lines
}

fn description(rows: &[Row]) -> String {
    let words: Vec<String> = rows
        .iter()
        .map(|row| match &row.seen {
            Ok(_) => format!("{}: {}; {}", row.name, row.figures, row.verdict),
            Err(reason) => format!("{}: {reason}", row.name),
        })
        .collect();
    format!(
        "Waveforms of each option on a common scale, magnified, and over the whole span. {}.",
        words.join(". ")
    )
}

fn row(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize, condition: &str) -> Row {
    let verdict = verdict(&facts(comparison, pick));
    let run = pick.runs.iter().find(|run| condition_label(comparison, run) == condition);
    let name = if pick.baseline { format!("{} (before)", pick.label) } else { pick.label.clone() };
    let seen = run.and_then(|run| run.testpoints.get(testpoint)?.as_ref());
    let waveforms = seen.and_then(Waveforms::new);
    let (Some(run), Some(seen), Some(waveforms)) = (run, seen, waveforms) else {
        return Row {
            name,
            baseline: pick.baseline,
            figures: String::new(),
            verdict,
            seen: Err(absence(run.copied())),
        };
    };
    let before = if pick.baseline { None } else { baseline_of(comparison, run) };
    let before = before.and_then(|before| before.testpoints.get(testpoint)?.as_ref());
    let figures = figures(
        &waveforms,
        seen.mean,
        before.and_then(Waveforms::new),
        comparison.testpoints[testpoint].dimension,
    );
    Row { name, baseline: pick.baseline, figures, verdict, seen: Ok(waveforms) }
}

fn absence(run: Option<&Run>) -> String {
    match run.map(|run| run.error.as_deref()) {
        None => "not run under this condition".to_owned(),
        Some(Some(error)) => format!("no result: {error}"),
        Some(None) => "nothing to see: this option lacks the part that is looked at".to_owned(),
    }
}

fn figures(seen: &Waveforms, mean: f64, before: Option<Waveforms>, dimension: Dimension) -> String {
    let span = seen.peak_to_peak();
    let mut words = vec![format!("{} peak to peak", text::value(span, dimension))];
    if let Some(before) = before {
        let level = 20.0 * (before.peak_to_peak() / span).log10();
        if level.is_finite() {
            let direction = if level < 0.0 { "more" } else { "less" };
            words.push(format!("{} {direction}", text::decibel(level.abs())));
        }
    }
    words.push(format!("mean {}", text::value(mean, dimension)));
    words.join(", ")
}

fn verdict(facts: &Facts) -> String {
    // The row shows one condition, the verdict holds for all of them.
    let (everywhere, somewhere) =
        if facts.conditions > 1 { ("always ", "not always met") } else { ("", "not met") };
    match (&facts.miss, facts.outcome) {
        (Some((miss, 0)), _) => format!("{somewhere}: {}", miss.text),
        (Some((miss, others)), _) => format!("{somewhere}: {} and {others} more", miss.text),
        (None, Outcome::Meets) => format!("every requirement {everywhere}met"),
        (None, _) => "not fully judged".to_owned(),
    }
}

//! What a page shows, before any geometry: the condition chosen, a row for each pick, the words beside it.

use crate::options::{Pick, baseline_of, condition_in_words, condition_label, picks};
use crate::text;
use crate::verdict::facts::{facts, peak_to_peak};
use crate::verdict::{figures, figures_from_rest, short};
use language::description::{Comparison as Comparator, Measure, Start};
use quantity::Dimension;
use study::result::{Comparison, RequirementResult, Run, TestpointInfo, TestpointResult};

/// One page.
pub(super) struct Subject {
    pub(super) testpoint: String,
    pub(super) title: String,
    /// What is looked at and through which bandwidth; then which condition and why this one.
    pub(super) subtitles: Vec<String>,
    /// For readers who cannot see the curves.
    pub(super) description: String,
    pub(super) dimension: Dimension,
    /// Whether the run starts from rest: then values are drawn as they are, otherwise as departures from the mean.
    pub(super) from_rest: bool,
    pub(super) rows: Vec<Row>,
    /// What requirements allow at this test point.
    pub(super) limits: Vec<Limit>,
    /// Index of the first row that others are compared with.
    pub(super) before: Option<usize>,
}

impl Subject {
    /// Rows whose waveforms stand behind others, each with its name among the ids.
    pub(super) fn behind(&self) -> Vec<(usize, String)> {
        let mut rows: Vec<usize> = self.rows.iter().filter_map(|row| row.before).collect();
        rows.sort_unstable();
        rows.dedup();
        rows.into_iter().map(|row| (row, before_id(row))).collect()
    }
}

/// What the waveform of a row is called where it stands behind others.
pub(super) fn before_id(row: usize) -> String {
    if row == 0 { "before".to_owned() } else { format!("before-{row}") }
}

/// A requirement that can be drawn.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Limit {
    /// As written.
    pub(crate) text: String,
    pub(crate) bound: Bound,
}

/// What a waveform must keep to, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Bound {
    /// Greatest less least value at most this.
    Height(f64),
    /// No value below this.
    Least(f64),
    /// No value above this.
    Greatest(f64),
}

/// One pick.
pub(super) struct Row {
    pub(super) name: String,
    /// Whether the others are compared with it.
    pub(super) baseline: bool,
    /// Index of the row that it is compared with: the baseline with the same other choices.
    pub(super) before: Option<usize>,
    /// Figures: peak-to-peak, change, mean.
    pub(super) figures: String,
    /// Whether requirements are met.
    pub(super) verdict: String,
    /// The waveforms, or why there are none.
    pub(super) seen: Result<Waveforms, String>,
}

/// Waveforms in SI units, without their mean unless they start from rest.
pub(crate) struct Waveforms {
    pub(crate) detail: Vec<(f64, f64)>,
    pub(crate) overview: Vec<(f64, f64)>,
    /// Least and greatest value, drawn like the waveforms, over the whole span.
    pub(crate) extremes: (f64, f64),
}

impl Waveforms {
    pub(crate) fn new(seen: &TestpointResult, from_rest: bool) -> Option<Self> {
        // What is only rounding must not be magnified into a waveform.
        let size = seen.maximum.abs().max(seen.minimum.abs());
        let origin = if from_rest { 0.0 } else { seen.mean };
        let departure = |value: f64| text::without_rounding(value - origin, size);
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

    pub(crate) fn peak_to_peak(&self) -> f64 {
        self.extremes.1 - self.extremes.0
    }
}

/// Chooses what to show for the test point with this index; nothing where it was never seen.
pub(super) fn subject(comparison: &Comparison, testpoint: usize) -> Option<Subject> {
    let picks = picks(comparison);
    let worst = worst_run(&picks, testpoint)?;
    let condition = condition_label(comparison, worst);
    let info = &comparison.testpoints[testpoint];
    let from_rest = comparison.start == Some(Start::Rest);
    let mut rows: Vec<Row> = picks.iter().map(|pick| row(comparison, pick, testpoint, &condition)).collect();
    for (at, pick) in picks.iter().enumerate().filter(|(_, pick)| !pick.baseline) {
        let baseline = pick.runs.first().and_then(|run| baseline_of(comparison, run));
        let of_it = |other: &Pick<'_>| {
            baseline.is_some_and(|baseline| other.runs.iter().any(|run| std::ptr::eq(*run, baseline)))
        };
        let drawn = |row: &Row| matches!(&row.seen, Ok(seen) if !seen.detail.is_empty());
        rows[at].before = picks.iter().position(of_it).filter(|row| drawn(&rows[*row]));
    }
    let before = picks.iter().zip(&rows).position(|(pick, row)| pick.baseline && row.seen.is_ok());
    let label = before.map(|at| picks[at].label.as_str());
    let conditions = picks.iter().map(|pick| pick.runs.len()).max().unwrap_or(0);
    Some(Subject {
        testpoint: info.name.clone(),
        title: if picks.len() > 1 {
            format!("{}: {} before and after", comparison.harness, info.name)
        } else {
            format!("{}: {}", comparison.harness, info.name)
        },
        subtitles: subtitles(info, from_rest, &condition_in_words(comparison, worst), (label, conditions)),
        description: description(&rows),
        dimension: info.dimension,
        from_rest,
        rows,
        limits: limits(comparison, &info.name, from_rest),
        before,
    })
}

/// The condition that pictures of a test point show, and the run of each pick there.
pub(in crate::svg) struct Chosen<'a> {
    /// In words; empty where there are no conditions.
    pub(in crate::svg) condition: String,
    pub(in crate::svg) rows: Vec<(Pick<'a>, Option<&'a Run>)>,
}

/// Chooses the condition for the test point with this index; nothing where it was never seen.
pub(in crate::svg) fn chosen(comparison: &Comparison, testpoint: usize) -> Option<Chosen<'_>> {
    let picks = picks(comparison);
    let worst = worst_run(&picks, testpoint)?;
    let (condition, label) = (condition_in_words(comparison, worst), condition_label(comparison, worst));
    let there = |run: &&&Run| condition_label(comparison, run) == label;
    let runs: Vec<Option<&Run>> = picks.iter().map(|pick| pick.runs.iter().find(there).copied()).collect();
    Some(Chosen { condition, rows: picks.into_iter().zip(runs).collect() })
}

/// The requirements that a picture of this test point can show, of several of one kind the strictest.
pub(crate) fn limits(comparison: &Comparison, testpoint: &str, from_rest: bool) -> Vec<Limit> {
    let mut limits: Vec<Limit> = Vec::new();
    for requirement in comparison.runs.iter().flat_map(|run| &run.requirements) {
        let Some(bound) = bound(requirement, testpoint, from_rest) else { continue };
        let limit = Limit { text: requirement.text.clone(), bound };
        match limits
            .iter_mut()
            .find(|known| std::mem::discriminant(&known.bound) == std::mem::discriminant(&limit.bound))
        {
            Some(known) if stricter(limit.bound, known.bound) => *known = limit,
            Some(_) => {}
            None => limits.push(limit),
        }
    }
    limits
}

fn bound(requirement: &RequirementResult, testpoint: &str, from_rest: bool) -> Option<Bound> {
    let limit = Some(requirement.limit).filter(|limit| limit.is_finite())?;
    let upper = matches!(requirement.comparison, Comparator::Less | Comparator::LessOrEqual);
    let here = |name: &String| name == testpoint;
    match requirement.measure.as_ref()? {
        // The height of what is left after the rise says nothing where the rise itself is drawn.
        Measure::PeakToPeak(name) if here(name) && upper && !from_rest && limit > 0.0 => {
            Some(Bound::Height(limit))
        }
        // A departure from the mean has no place for a limit of the value itself.
        Measure::Maximum(name) | Measure::Peak(name) if here(name) && upper && from_rest => {
            Some(Bound::Greatest(limit))
        }
        Measure::Minimum(name) if here(name) && !upper && from_rest => Some(Bound::Least(limit)),
        _ => None,
    }
}

fn stricter(one: Bound, other: Bound) -> bool {
    match (one, other) {
        (Bound::Height(one), Bound::Height(other)) | (Bound::Greatest(one), Bound::Greatest(other)) => {
            one < other
        }
        (Bound::Least(one), Bound::Least(other)) => one > other,
        _ => false,
    }
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

fn subtitles(
    info: &TestpointInfo,
    from_rest: bool,
    condition: &str,
    (before, conditions): (Option<&str>, usize),
) -> Vec<String> {
    let bandwidth = info.bandwidth.map_or_else(String::new, |bandwidth| {
        format!(" through a bandwidth of {}", text::value(bandwidth, Dimension::FREQUENCY))
    });
    let drawn = if from_rest { "from rest" } else { "drawn as its departure from the mean" };
    let mut lines = vec![format!("{}{bandwidth}, {drawn}", info.signal)];
    if !condition.is_empty() {
        let whose = before.map_or_else(|| "of all options".to_owned(), |before| format!("of {before}"));
        let verdicts = match conditions {
            0 | 1 => String::new(),
            2 => "; verdicts hold for both conditions".to_owned(),
            more => format!("; verdicts hold for all {more} conditions"),
        };
        lines.push(format!("Worst condition {whose}: {condition}{verdicts}"));
    }
    lines
}

fn description(rows: &[Row]) -> String {
    let words: Vec<String> = rows
        .iter()
        .map(|row| match &row.seen {
            Ok(_) if row.verdict.is_empty() => format!("{}: {}", row.name, row.figures),
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
    let verdict = short(&facts(comparison, pick), condition);
    let from_rest = comparison.start == Some(Start::Rest);
    let run = pick.runs.iter().find(|run| condition_label(comparison, run) == condition);
    let alone = picks(comparison).len() < 2;
    let name = if pick.baseline && !alone { format!("{} (before)", pick.label) } else { pick.label.clone() };
    let seen = run.and_then(|run| run.testpoints.get(testpoint)?.as_ref());
    let waveforms = seen.and_then(|seen| Waveforms::new(seen, from_rest));
    let (Some(run), Some(seen), Some(waveforms)) = (run, seen, waveforms) else {
        return Row {
            name,
            baseline: pick.baseline,
            before: None,
            figures: String::new(),
            verdict,
            seen: Err(absence(run.copied())),
        };
    };
    let before = if pick.baseline { None } else { baseline_of(comparison, run) };
    let before = before.and_then(|before| before.testpoints.get(testpoint)?.as_ref());
    let before = before.and_then(|before| Waveforms::new(before, from_rest));
    let dimension = comparison.testpoints[testpoint].dimension;
    let figures = if from_rest {
        figures_from_rest(waveforms.extremes, before.map(|before| before.extremes), dimension)
    } else {
        let span = before.map(|before| before.peak_to_peak());
        figures(waveforms.peak_to_peak(), span, seen.mean, dimension)
    };
    Row { name, baseline: pick.baseline, before: None, figures, verdict, seen: Ok(waveforms) }
}

fn absence(run: Option<&Run>) -> String {
    match run.map(|run| run.error.as_deref()) {
        None => "not run under this condition".to_owned(),
        Some(Some(error)) => format!("no result: {error}"),
        Some(None) => "nothing to see: this option lacks the part that is looked at".to_owned(),
    }
}

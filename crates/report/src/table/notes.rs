//! What stands under the tables: failures, warnings, assumptions, cautions.

use super::WARNINGS;
use crate::options::{Pick, condition_label, picks};
use crate::text;
use network::lowered::Warning;
use std::collections::HashMap;
use study::result::{Comparison, Run};

/// Points without a result, the same reason told once; nothing where all went well.
pub(super) fn failures(comparison: &Comparison, width: usize) -> Option<String> {
    let remarks = |run: &'_ Run| -> Option<Remark> {
        run.error.as_ref().map(|error| Remark { key: ("", error.clone()), weight: 0.0, text: error.clone() })
    };
    let told = grouped(comparison, |run| remarks(run).into_iter().collect());
    (!told.is_empty()).then(|| format!("No result at some points\n{}", lines(&told, width)))
}

/// Warnings of all points: of those that speak of the same thing the worst one, with its point and the others' named;
/// nothing where there are none.
pub(super) fn warnings(comparison: &Comparison, width: usize) -> Option<String> {
    let told = noted(comparison);
    (!told.is_empty()).then(|| format!("{WARNINGS}\n{}", lines(&told, width)))
}

/// A warning, told once for all points that have it.
pub(crate) struct Noted {
    /// Its code.
    pub(crate) code: &'static str,
    /// Its words at the point where it is worst.
    pub(crate) text: String,
    /// Where: `worst at coil (soft, cruise); also at coil (fresh, idle)`; nothing where there is one point only.
    pub(crate) place: Option<String>,
}

/// The same as a list.
pub(crate) fn noted(comparison: &Comparison) -> Vec<Noted> {
    grouped(comparison, |run| run.warnings.iter().map(Remark::of_warning).collect())
}

fn lines(told: &[Noted], width: usize) -> String {
    let line = |noted: &Noted| {
        let place = noted.place.as_ref().map_or_else(String::new, |place| format!(" [{place}]"));
        text::wrap(&format!("{}{place}", noted.text), "  - ", width)
    };
    told.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Sentences under a heading; nothing where there are none.
pub(super) fn plain(heading: &str, sentences: &[String], width: usize) -> Option<String> {
    let lines: Vec<String> = sentences.iter().map(|sentence| text::wrap(sentence, "  - ", width)).collect();
    (!lines.is_empty()).then(|| format!("{heading}\n{}", lines.join("\n")))
}

/// Parts of which the same is assumed that are named one by one.
const FEW: usize = 3;

/// Assumptions (`PART: what is assumed`) under a heading; what is assumed of more than a few parts alike is told once.
pub(super) fn assumed(heading: &str, sentences: &[String], width: usize) -> Option<String> {
    let mut parts: HashMap<&str, Vec<&str>> = HashMap::new();
    let split: Vec<Option<(&str, &str)>> =
        sentences.iter().map(|sentence| sentence.split_once(": ")).collect();
    for (part, what) in split.iter().flatten() {
        parts.entry(what).or_default().push(part);
    }
    let mut told: Vec<String> = Vec::new();
    for (sentence, split) in sentences.iter().zip(split) {
        let alike = split.and_then(|(part, what)| Some((part, what, parts.get(what)?)));
        match alike.filter(|(_, _, parts)| parts.len() > FEW) {
            Some((part, what, parts)) if part == parts[0] => {
                let (named, more) = (parts[..FEW].join(", "), parts.len() - FEW);
                told.push(format!("{named} and {more} more: {what}"));
            }
            Some(_) => {}
            None => told.push(sentence.clone()),
        }
    }
    plain(heading, &told, width)
}

/// Something said of a run.
struct Remark {
    /// Remarks of one key are told as one.
    key: (&'static str, String),
    /// The heaviest of them is the one told.
    weight: f64,
    text: String,
}

impl Remark {
    fn of_warning(warning: &Warning) -> Self {
        // A warning about the harness as a whole stands with others of the same words alone.
        let about = if warning.about.is_empty() { &warning.text } else { &warning.about };
        Self { key: (warning.code, about.clone()), weight: warning.weight, text: warning.text.clone() }
    }
}

/// A remark with the runs that made it.
struct Group<'a> {
    worst: Remark,
    /// Runs with the text of the worst.
    same: Vec<&'a Run>,
    /// Runs with other figures.
    others: Vec<&'a Run>,
}

fn grouped<'a>(comparison: &'a Comparison, remarks: impl Fn(&'a Run) -> Vec<Remark>) -> Vec<Noted> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for run in &comparison.runs {
        for remark in remarks(run) {
            match groups.iter_mut().find(|group| group.worst.key == remark.key) {
                Some(group) => group.add(remark, run),
                None => groups.push(Group { worst: remark, same: vec![run], others: Vec::new() }),
            }
        }
    }
    groups.iter().map(|group| tell(comparison, group)).collect()
}

impl<'a> Group<'a> {
    fn add(&mut self, remark: Remark, run: &'a Run) {
        // Two transients of one run may say the same with other figures; the run counts once.
        self.others.retain(|known| !std::ptr::eq(*known, run));
        if remark.text == self.worst.text {
            self.same.push(run);
        } else if remark.weight > self.worst.weight {
            self.others.append(&mut self.same);
            self.same.push(run);
            self.worst = remark;
        } else {
            self.others.push(run);
        }
    }
}

fn tell(comparison: &Comparison, group: &Group<'_>) -> Noted {
    let place = if group.others.is_empty() {
        points(comparison, &group.same)
    } else {
        let word = if group.worst.weight > 0.0 { "worst at " } else { "" };
        format!("{word}{}; also at {}", points(comparison, &group.same), points(comparison, &group.others))
    };
    let Remark { key: (code, _), text, .. } = &group.worst;
    Noted { code, text: text.clone(), place: (comparison.runs.len() > 1).then_some(place) }
}

/// `everywhere`, `every option at soft, full`, `coil, cap`, `coil (soft, full; soft, cruise)`.
fn points(comparison: &Comparison, runs: &[&Run]) -> String {
    if runs.len() == comparison.runs.len() {
        return "everywhere".to_owned();
    }
    if let Some(conditions) = shared_conditions(comparison, runs) {
        return format!("every option at {}", conditions.join("; "));
    }
    let named = picks(comparison).into_iter().filter_map(|pick| {
        let here: Vec<&&Run> =
            pick.runs.iter().filter(|run| runs.iter().any(|one| std::ptr::eq(*one, **run))).collect();
        if here.is_empty() {
            None
        } else if here.len() == pick.runs.len() {
            Some(pick.label)
        } else {
            let conditions: Vec<String> = here.iter().map(|run| condition_label(comparison, run)).collect();
            Some(format!("{} ({})", pick.label, conditions.join("; ")))
        }
    });
    named.collect::<Vec<_>>().join(", ")
}

/// The conditions of `runs`, where every option is among them under the same ones.
fn shared_conditions(comparison: &Comparison, runs: &[&Run]) -> Option<Vec<String>> {
    let picks = picks(comparison);
    let here = |pick: &Pick<'_>| -> Vec<String> {
        let found = pick.runs.iter().filter(|run| runs.iter().any(|one| std::ptr::eq(*one, **run)));
        found.map(|run| condition_label(comparison, run)).collect()
    };
    let first = here(picks.first()?);
    (picks.len() > 1 && !first.is_empty() && picks.iter().all(|pick| here(pick) == first)).then_some(first)
}

//! What stands under the tables: failures, warnings, assumptions, cautions.

use super::{WARNINGS, WIDTH};
use crate::options::{Pick, condition_label, picks};
use crate::text;
use study::result::{Comparison, Run};

/// Points without a result, the same reason told once; nothing where all went well.
pub(super) fn failures(comparison: &Comparison) -> Option<String> {
    let told = grouped(comparison, |run| run.error.iter().map(|error| ("", error.as_str())).collect());
    (!told.is_empty()).then(|| format!("No result at some points\n{}", told.join("\n")))
}

/// Warnings of all points, the same one told once with its points named; nothing where there are none.
pub(super) fn warnings(comparison: &Comparison) -> Option<String> {
    let told = grouped(comparison, |run| {
        run.warnings.iter().map(|warning| (warning.code, warning.text.as_str())).collect()
    });
    (!told.is_empty()).then(|| format!("{WARNINGS}\n{}", told.join("\n")))
}

/// Sentences under a heading; nothing where there are none.
pub(super) fn plain(heading: &str, sentences: &[String]) -> Option<String> {
    let lines: Vec<String> = sentences.iter().map(|sentence| text::wrap(sentence, "  - ", WIDTH)).collect();
    (!lines.is_empty()).then(|| format!("{heading}\n{}", lines.join("\n")))
}

/// A remark with the runs that made it; runs whose remark differs in its figures alone stand apart.
struct Group<'a> {
    key: (&'a str, String),
    text: &'a str,
    same: Vec<&'a Run>,
    other_figures: Vec<&'a Run>,
}

fn grouped<'a>(
    comparison: &'a Comparison,
    remarks: impl Fn(&'a Run) -> Vec<(&'a str, &'a str)>,
) -> Vec<String> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for run in &comparison.runs {
        for (code, text) in remarks(run) {
            let key = (code, without_figures(text));
            match groups.iter_mut().find(|group| group.key == key) {
                Some(group) if group.text == text => group.same.push(run),
                Some(group) => group.other_figures.push(run),
                None => groups.push(Group { key, text, same: vec![run], other_figures: Vec::new() }),
            }
        }
    }
    groups.iter().map(|group| tell(comparison, group)).collect()
}

fn tell(comparison: &Comparison, group: &Group<'_>) -> String {
    let same = points(comparison, &group.same);
    let others = if group.other_figures.is_empty() {
        String::new()
    } else {
        format!("; alike with other figures: {}", points(comparison, &group.other_figures))
    };
    text::wrap(&format!("{} [{same}{others}]", group.text), "  - ", WIDTH)
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

/// The text with every number and SI prefix that follows it folded away, to see which remarks differ in figures alone.
fn without_figures(text: &str) -> String {
    let figure =
        |word: &str| word.trim_start_matches(['(', '[', '-', '+']).starts_with(|c: char| c.is_ascii_digit());
    let words = text.split_whitespace().map(|word| if figure(word) { "0" } else { word });
    let mut kept: Vec<&str> = Vec::new();
    for word in words {
        // The word after a number may be a unit whose prefix moves with the value.
        let unit = kept.last() == Some(&"0") && word.chars().count() <= 4;
        kept.push(if unit { "unit" } else { word });
    }
    kept.join(" ")
}

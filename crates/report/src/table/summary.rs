//! What is required, and a row per option with its worst case over the conditions.

use super::grid::{Column, draw, fits};
use super::mark;
use crate::options::{Pick, picks};
use crate::text;
use crate::worst_case::worst_case;
use study::result::{Comparison, RequirementResult};

/// The requirements, numbered; nothing where there are none.
pub(super) fn requirements(comparison: &Comparison, width: usize) -> Option<String> {
    let first = comparison.runs.iter().find(|run| !run.requirements.is_empty())?;
    let longest = first.requirements.iter().map(|one| one.text.chars().count()).max().unwrap_or(0);
    let line = |(at, requirement): (usize, &RequirementResult)| {
        let why = requirement.why.as_ref().map_or_else(String::new, |why| format!("  or else: {why}"));
        let head = format!("  {}  {:longest$}", at + 1, requirement.text);
        let line = format!("{head}{why}");
        if line.chars().count() <= width {
            line.trim_end().to_owned()
        } else {
            text::wrap(&format!("{}{why}", requirement.text), &format!("  {}  ", at + 1), width)
        }
    };
    let lines: Vec<String> = first.requirements.iter().enumerate().map(line).collect();
    Some(format!("Required\n{}", lines.join("\n")))
}

/// The summary; nothing where nothing is required.
pub(super) fn table(comparison: &Comparison, width: usize) -> Option<String> {
    let picks = picks(comparison);
    let known = comparison.runs.iter().map(|run| &run.requirements).find(|list| !list.is_empty())?;
    let names: Vec<String> = picks.iter().map(name).collect();
    let title = if picks.iter().any(|pick| pick.runs.len() > 1) {
        "Worst case over the conditions"
    } else {
        "Result"
    };
    let columns = |heading: &dyn Fn(usize, &RequirementResult) -> String| {
        let mut columns = vec![Column::left("option", names.clone())];
        columns.extend(known.iter().enumerate().map(|(at, requirement)| {
            let cells = picks.iter().map(|pick| worst(comparison, pick, at)).collect();
            Column::left(&heading(at, requirement), cells)
        }));
        columns
    };
    let full = columns(&|at, requirement| format!("{}: {}", at + 1, requirement.text));
    let chosen = if fits(&full, width) { full } else { columns(&|at, _| format!("requirement {}", at + 1)) };
    Some(format!("{title}\n{}", draw(&chosen, width)))
}

/// `coil_cap`, `none (baseline)`.
pub(super) fn name(pick: &Pick<'_>) -> String {
    if pick.baseline { format!("{} (baseline)", pick.label) } else { pick.label.clone() }
}

/// `91.2 mV ✗ not met`: the value nearest to the wrong side of the limit.
fn worst(comparison: &Comparison, pick: &Pick<'_>, at: usize) -> String {
    match worst_case(comparison, pick, at) {
        None => mark::NOT_APPLICABLE.to_owned(),
        Some(worst) => {
            let value = text::value_or_missing(worst.value, worst.dimension);
            format!("{value} {}", mark::verdict(worst.met))
        }
    }
}

//! The noise of every option under every condition, a row for each condition.

use super::values::{short_verdict, value};
use super::{Section, Subject};
use crate::options::{condition_axes, condition_names, met, picks};
use crate::verdict::facts::{judged_testpoint, peak_to_peak};
use crate::words::marks::NOT_APPLICABLE;
use crate::words::page::POINTS;
use maud::{Markup, html};
use study::result::Run;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let comparison = subject.comparison;
    let picks = picks(comparison);
    let conditions = picks.iter().map(|pick| pick.runs.len()).max().unwrap_or(0);
    if conditions < 2 {
        return None;
    }
    let columns = columns(subject);
    let body = html! {
        @for column in &columns {
            div class="wide" tabindex="0" role="group" aria-label={ (column.heading) " under every condition" } {
                table class="points" {
                    caption { (column.heading) }
                    thead { tr {
                        th scope="col" { (condition_axes(comparison)) }
                        @for pick in &picks { th scope="col" class="number" { (pick.label) } }
                    } }
                    tbody {
                        @for at in 0..conditions {
                            tr {
                                @let name = picks.iter().find_map(|pick| pick.runs.get(at));
                                th scope="row" { (name.map(|run| condition_names(comparison, run)).unwrap_or_default()) }
                                @for pick in &picks {
                                    td class="number" { @if let Some(run) = pick.runs.get(at) { ((column.cell)(run)) } }
                                }
                            }
                        }
                    }
                }
            }
        }
    };
    (!columns.is_empty()).then(|| Section::new("conditions", POINTS, body))
}

/// Something to tell of every run.
struct Column<'a> {
    heading: String,
    cell: Box<dyn Fn(&Run) -> Markup + 'a>,
}

/// The left sides of all requirements and the readings; the peak-to-peak at the first test point where there is neither.
fn columns<'a>(subject: &Subject<'a>) -> Vec<Column<'a>> {
    let comparison = subject.comparison;
    let mut columns: Vec<Column<'a>> = Vec::new();
    let known = comparison.runs.iter().map(|run| &run.requirements).find(|list| !list.is_empty());
    for (at, requirement) in known.into_iter().flatten().enumerate() {
        columns.push(Column {
            heading: requirement.text.clone(),
            cell: Box::new(move |run| match run.requirements.get(at).filter(|one| one.applies) {
                None => html! { (NOT_APPLICABLE) },
                Some(one) => html! {
                    (value(one.value, one.dimension)) " "
                    (short_verdict(met(one)))
                },
            }),
        });
    }
    let named =
        |name: &str| known.into_iter().flatten().any(|one| one.text.split_whitespace().next() == Some(name));
    let readings = comparison.runs.iter().map(|run| run.readings.as_slice()).max_by_key(|list| list.len());
    for (at, reading) in readings.unwrap_or_default().iter().enumerate() {
        if !named(&reading.name) {
            columns.push(Column {
                heading: reading.name.clone(),
                cell: Box::new(move |run| match run.readings.get(at) {
                    Some(reading) => html! { (value(reading.value, reading.dimension)) },
                    None => html! { (NOT_APPLICABLE) },
                }),
            });
        }
    }
    if columns.is_empty()
        && let Some(at) = judged_testpoint(comparison)
    {
        let info = &comparison.testpoints[at];
        columns.push(Column {
            heading: format!("{}, peak to peak", info.name),
            cell: Box::new(move |run| html! { (value(peak_to_peak(run, at), info.dimension)) }),
        });
    }
    columns
}

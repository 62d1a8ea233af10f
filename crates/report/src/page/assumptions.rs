//! What was assumed, and what the file itself holds for uncertain.

use super::prose::prose;
use super::values::{stated, tolerated};
use super::{Section, Subject};
use crate::words::page::{ASSUMPTIONS, TOLERANCES};
use crate::words::ranges::range;
use language::description::{Harness, Value};
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let assumptions = &subject.comparison.assumptions;
    let tolerances = tolerances(subject);
    let body = html! {
        @if !assumptions.is_empty() {
            div class="wide" tabindex="0" role="group" aria-label="What was assumed" {
                table {
                    thead { tr {
                        th scope="col" { "Part" } th scope="col" { "Assumed" } th scope="col" { "Usually" }
                    } }
                    tbody {
                        @for assumption in assumptions {
                            @let (part, what) = assumption.split_once(": ").unwrap_or(("", assumption));
                            tr {
                                th scope="row" { (part) }
                                td { (prose(what)) }
                                td { (prose(range(what).unwrap_or("–"))) }
                            }
                        }
                    }
                }
            }
        }
        @if !tolerances.is_empty() {
            p { (TOLERANCES) }
            ul { @for (name, value) in &tolerances { li { strong { (name) ":" } " " (value) } } }
        }
    };
    (!assumptions.is_empty() || !tolerances.is_empty())
        .then(|| Section::new("assumptions", ASSUMPTIONS, body))
}

/// Names and values that carry a tolerance, of every point, each once.
fn tolerances(subject: &Subject<'_>) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    for run in &subject.comparison.runs {
        let harness = subject.description.at(&run.at);
        for pair in of_harness(&harness) {
            if !found.contains(&pair) {
                found.push(pair);
            }
        }
    }
    found
}

fn of_harness(harness: &Harness) -> Vec<(String, String)> {
    let lets = harness.lets.iter().filter_map(|each| {
        let tolerance = tolerated(each.tolerance?, each.value.dimension);
        Some((each.name.clone(), format!("{} {tolerance}", stated(&Value::Number(each.value, None)))))
    });
    let properties = harness.parts.iter().flat_map(|part| {
        let uncertain =
            part.properties.iter().filter(|(_, value)| matches!(value, Value::Number(_, Some(_))));
        uncertain.map(|(property, value)| {
            (format!("{}, {}", part.name, property.replace('_', " ")), stated(value))
        })
    });
    lets.chain(properties).collect()
}

//! What to measure next: the doubtful values that move a verdict, the gravest first.

use super::values::value;
use super::{Section, Subject};
use crate::measure::{Effect, effects};
use crate::options::{condition_label, picks};
use crate::text;
use crate::words::measure::how;
use crate::words::page::{MEASURE, MEASURE_STATED, MEASURE_USUAL, NOTHING_TURNS};
use maud::{Markup, html};

/// Rows told at most.
const MOST: usize = 6;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let influences = subject.influences.filter(|all| !all.is_empty())?;
    let effects = effects(subject.comparison, influences);
    let body = html! {
        @if !effects.iter().any(|effect| effect.turns) { p { (NOTHING_TURNS) } }
        @if !effects.is_empty() {
            div class="wide" tabindex="0" role="group" aria-label="What to measure next" {
                table {
                    thead { tr {
                        th scope="col" { "Measure" } th scope="col" { "It may be" }
                        th scope="col" { "What that does" } th scope="col" { "How" }
                    } }
                    tbody { @for effect in effects.iter().take(MOST) { (row(subject, effect)) } }
                }
            }
        }
    };
    Some(Section::new("measure", MEASURE, body))
}

fn row(subject: &Subject<'_>, effect: &Effect<'_>) -> Markup {
    let influence = effect.influence;
    let shown = |number: f64| value(Some(number), influence.dimension);
    let outcome = |number: f64| value(Some(number), effect.requirement.dimension);
    let label = picks(subject.comparison)
        .into_iter()
        .find(|pick| pick.runs.iter().any(|run| std::ptr::eq(*run, effect.run)))
        .map(|pick| pick.label);
    let condition = condition_label(subject.comparison, effect.run);
    html! {
        tr {
            th scope="row" {
                (influence.part) ", " (influence.property.replace('_', " "))
                br; span class="kind" { (shown(influence.value)) " in the file" }
            }
            td {
                (shown(influence.ends.0)) " to " (shown(influence.ends.1))
                br; span class="place" { (if influence.stated { MEASURE_STATED } else { MEASURE_USUAL }) }
            }
            td {
                code { (text::keep_units(&effect.requirement.text)) } " of " (label.unwrap_or_default())
                @if !condition.is_empty() { " (" (condition) ")" }
                ": " (outcome(effect.values.0)) " to " (outcome(effect.values.1)) ". "
                @if effect.turns {
                    span class="mark bad" { "✗ turns the verdict" }
                } @else {
                    span class="mark good" { "✓ the verdict stays" }
                }
            }
            td { (how(influence.kind, &influence.property)) }
        }
    }
}

//! What to measure next: the doubtful values that move a verdict, the gravest first.

use super::prose::prose;
use super::{Section, Subject};
use crate::measure::{Row, closing, opening, rows};
use crate::text::{keep_units, with_micro};
use crate::words::measure::{MEASURE, turned};
use maud::{Markup, html};

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let influences = subject.influences.filter(|all| !all.is_empty())?;
    let rows = rows(subject.comparison, influences);
    let body = html! {
        @if let Some(words) = opening(subject.comparison, influences) { p { (words) } }
        @if !rows.is_empty() {
            div class="wide" tabindex="0" role="group" aria-label=(MEASURE.0) {
                table {
                    thead { tr {
                        th scope="col" { "Measure" } th scope="col" { "It may be" }
                        th scope="col" { "What that does" } th scope="col" { "How" }
                    } }
                    tbody { @for row in &rows { (shown(row)) } }
                }
            }
        }
        @for words in closing(subject.comparison, influences) { p { (prose(&words)) } }
    };
    Some(Section::new("measure", MEASURE, body))
}

fn shown(row: &Row<'_>) -> Markup {
    let kept = |words: &str| keep_units(&with_micro(words));
    let mark = match (row.holds, row.turns) {
        (true, true) => "mark bad",
        (true, false) => "mark good",
        (false, _) => "mark unsure",
    };
    html! {
        tr {
            th scope="row" {
                (row.name)
                br; span class="kind" { (kept(&row.in_file)) }
            }
            td {
                (kept(&row.range))
                br; span class="place" { (kept(&row.whence)) }
            }
            td {
                code { (keep_units(&row.requirement.text)) } " of " (row.place) ": " (kept(&row.outcome)) ". "
                span class=(mark) { (turned(row.holds, row.turns)) }
            }
            td { (row.how) }
        }
    }
}

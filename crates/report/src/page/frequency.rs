//! Curves over frequency, what resonates, and how near that is to what the drives repeat.

use super::curves::{Curves, response_name};
use super::values::value;
use super::waveforms::controls;
use super::{Section, Subject, pictures};
use crate::options::picks;
use crate::responses::rows;
use crate::svg;
use crate::text;
use crate::words::frequency::{nearest, sharpness};
use crate::words::page::FREQUENCY;
use maud::{Markup, html};
use quantity::Dimension;
use study::result::{ListedResonance, Responses};

/// Most resonances told of an option, the highest first: the others are stray inductance and capacitance.
const MOST: usize = 3;

pub(super) fn section(subject: &Subject<'_>, curves: &Curves) -> Option<Section> {
    let responses = subject.responses?;
    let baselines: Vec<bool> = picks(&responses.points).iter().map(|pick| pick.baseline).collect();
    let still = svg::response_pictures(responses);
    let body = html! {
        @for info in &responses.responses {
            @let name = response_name(&info.name);
            @if responses.responses.len() > 1 { h3 { (info.name) } }
            p { code { (info.words) } }
            @if let Some(picture) = still.iter().find(|one| one.file_name == format!("{name}.svg")) {
                (pictures::inline(&picture.text, &name))
            }
            @if let Some((number, chart)) = curves.chart(&name) { (controls(number, chart, &baselines)) }
        }
        (lines(responses))
        (resonances(responses))
    };
    (!still.is_empty()).then(|| Section::new("frequency", FREQUENCY, body))
}

/// What the drives repeat.
fn lines(responses: &Responses) -> Markup {
    html! {
        @if !responses.lines.is_empty() {
            p {
                "The drives repeat: "
                @for (at, line) in responses.lines.iter().enumerate() {
                    @if at > 0 { ", " }
                    (line.drive) " " (line.what.word()) " " (value(Some(line.frequency), Dimension::FREQUENCY))
                }
                "."
            }
        }
    }
}

fn resonances(responses: &Responses) -> Markup {
    let mut told: Vec<(String, Vec<ListedResonance>)> = Vec::new();
    for row in rows(responses, 0).0 {
        let index = responses.points.runs.iter().position(|run| std::ptr::eq(run, row.run));
        let mut list = index.and_then(|at| responses.resonances.get(at)).cloned().unwrap_or_default();
        let height = |one: &ListedResonance| one.height.unwrap_or(f64::NEG_INFINITY);
        list.sort_by(|one, other| height(other).total_cmp(&height(one)));
        list.truncate(MOST);
        let condition =
            if row.condition.is_empty() { String::new() } else { format!(" ({})", row.condition) };
        if !list.is_empty() {
            told.push((format!("{}{condition}", row.option), list));
        }
    }
    html! {
        @if !told.is_empty() {
            h3 { "What resonates" }
            div class="wide" tabindex="0" role="group" aria-label="What resonates" {
                table {
                    thead { tr {
                        th scope="col" { "Option" } th scope="col" class="number" { "At" }
                        th scope="col" class="number" { "Sharpness Q" } th scope="col" { "Parts that swing" }
                        th scope="col" { "Nearest rhythm of a drive" }
                    } }
                    tbody {
                        @for (name, list) in &told {
                            @for (at, one) in list.iter().enumerate() {
                                tr {
                                    @if at == 0 { th scope="rowgroup" rowspan=(list.len()) { (name) } }
                                    td class="number" { (value(Some(one.frequency), Dimension::FREQUENCY)) }
                                    td class="number" { (sharpness(one.quality)) }
                                    td { (text::list(&one.parts)) }
                                    td { (with_units(nearest(&responses.lines, one.frequency, one.quality))) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn with_units(words: Option<String>) -> String {
    words.map_or_else(|| "–".to_owned(), |words| text::keep_units(&text::with_micro(&words)))
}

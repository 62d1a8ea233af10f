//! The options as rows: what they meet, what they change, what they cost.

use super::parts::{Fitted, fitted};
use super::values::{outcome, value, verdict};
use super::{Section, Subject};
use crate::options::{Pick, picks};
use crate::text;
use crate::verdict::facts::{Facts, facts};
use crate::words::marks::NOT_APPLICABLE;
use crate::words::page::OPTIONS;
use crate::worst_case::worst_case;
use maud::{Markup, html};
use quantity::Dimension;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let comparison = subject.comparison;
    let picks = picks(comparison);
    let fitted = fitted(subject);
    let facts: Vec<Facts> = picks.iter().map(|pick| facts(comparison, pick)).collect();
    let texts: Vec<&str> = comparison
        .runs
        .iter()
        .map(|run| &run.requirements)
        .find(|list| !list.is_empty())
        .into_iter()
        .flatten()
        .map(|one| one.text.as_str())
        .collect();
    let coils = facts.iter().any(|facts| !facts.coils.is_empty());
    let body = html! {
        div class="wide" tabindex="0" role="group" aria-label="Options side by side" {
            table class="options" {
                thead { tr {
                    th scope="col" { "Option" }
                    @if !texts.is_empty() { th scope="col" { "Verdict" } }
                    @for text in &texts { th scope="col" { (text::keep_units(text)) } }
                    @if picks.len() > 1 {
                        th scope="col" class="number" { "Noise against " (baseline(&picks)) }
                        th scope="col" class="number" { "Volts lost" }
                    }
                    @if coils { th scope="col" { "Coil keeps" } }
                    th scope="col" { "Grams added" }
                } }
                tbody {
                    @for ((pick, facts), fitted) in picks.iter().zip(&facts).zip(&fitted) {
                        tr {
                            th scope="row" { (pick.label) @if pick.baseline { " " span class="kind" { "baseline" } } }
                            @if !texts.is_empty() { td { (outcome(facts.outcome)) } }
                            @for at in 0..texts.len() { td { (requirement(subject, pick, at)) } }
                            @if picks.len() > 1 {
                                td class="number" { (change(facts)) }
                                td class="number" { (facts.cost.map_or_else(|| "–".to_owned(), volts)) }
                            }
                            @if coils { td { (kept(facts)) } }
                            td { (grams(fitted)) }
                        }
                    }
                }
            }
        }
    };
    (!picks.is_empty()).then(|| Section::new("options", OPTIONS, body))
}

fn baseline<'a>(picks: &'a [Pick<'_>]) -> &'a str {
    picks.iter().find(|pick| pick.baseline).map_or("the baseline", |pick| pick.label.as_str())
}

fn requirement(subject: &Subject<'_>, pick: &Pick<'_>, at: usize) -> Markup {
    let Some(worst) = worst_case(subject.comparison, pick, at) else { return html! { (NOT_APPLICABLE) } };
    html! {
        span class="figure" { (value(worst.value, worst.dimension)) }
        " " (verdict(worst.met))
        @if !worst.condition.is_empty() { br; span class="place" { (worst.condition) } }
    }
}

/// `28.7 dB less`; a dash for the baseline itself.
fn change(facts: &Facts) -> String {
    let Some(level) = facts.level.as_ref().filter(|level| level.before.is_some()) else {
        return "–".to_owned();
    };
    match level.reduction() {
        Some(reduction) if reduction.abs() < 0.05 => "same".to_owned(),
        Some(reduction) if reduction < 0.0 => format!("{} more", text::decibel(-reduction)),
        Some(reduction) => format!("{} less", text::decibel(reduction)),
        None => "n/a".to_owned(),
    }
}

/// Below a tenth of a millivolt a cost has no meaning on a supply of volts.
fn volts(cost: f64) -> String {
    if cost.abs() < 1e-4 { "none".to_owned() } else { value(Some(cost), Dimension::VOLTAGE) }
}

fn kept(facts: &Facts) -> Markup {
    html! {
        @for coil in &facts.coils {
            @let class = if coil.inductance_left < 0.7 { "bad" } else { "good" };
            span class={ "mark " (class) } { (text::percent(coil.inductance_left)) }
            " of " (coil.part) " at " (value(Some(coil.peak_current), Dimension::CURRENT)) br;
        }
        @if facts.coils.is_empty() { "–" }
    }
}

/// `12.3 g`, `12.3 g and store`, `choke, store: not known`.
fn grams(fitted: &Fitted) -> String {
    let (mass, unknown) = fitted.mass();
    let known = value(Some(mass), Dimension::MASS);
    match (mass > 0.0, unknown.is_empty()) {
        (_, true) if fitted.own.is_empty() => "–".to_owned(),
        (_, true) => known,
        (true, false) => format!("{known} without {}", unknown.join(", ")),
        (false, false) => format!("{}: not stated", unknown.join(", ")),
    }
}

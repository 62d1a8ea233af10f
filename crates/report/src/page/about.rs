//! What the report does not cover, what made it, and how to make it again.

use super::document::UPLOT_LICENCE;
use super::{Section, Subject};
use crate::words::page::{ABOUT, LIMITS, NO_SEED, SEEDED};
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let file = subject.sources.first().map_or("FILE", |source| source.name.as_str());
    let asked = subject.asked.join(" ");
    let seeds = seeds(subject);
    let body = html! {
        h3 { "What it does not tell" }
        ul { @for limit in LIMITS { li { (limit) } } }
        h3 { "How it was made" }
        p {
            "quietrail " (subject.version) ": "
            code { "quietrail report " (file) @if !asked.is_empty() { " " (asked) } }
            ". "
            @if seeds.is_empty() { (NO_SEED) } @else { (SEEDED) " Seeds: " (seeds.join(", ")) "." }
        }
        @if !subject.remarks.is_empty() {
            p { "Remarks on the text:" }
            ul { @for remark in subject.remarks { li { (remark) } } }
        }
        details {
            summary { "Licence of the chart library in this page" }
            p { "The charts that can be moved are drawn by uPlot 1.6.32." }
            pre tabindex="0" aria-label="Licence of uPlot" { (UPLOT_LICENCE) }
        }
    };
    Some(Section::new("about", ABOUT, body))
}

/// The seeds that the file states: `tracks 7`.
fn seeds(subject: &Subject<'_>) -> Vec<String> {
    let harness = subject.description.baseline();
    let seeded = harness.parts.iter().filter_map(|part| Some((&part.name, part.number("seed")?)));
    seeded.map(|(name, seed)| format!("{name} {seed}")).collect()
}

//! Waveforms: a still picture of every option on one scale, and a chart to look closer.

use super::curves::{Chart, Curves, styles};
use super::{Section, Subject, pictures};
use crate::options::picks;
use crate::svg;
use crate::words::page::{WAVEFORMS, WAVEFORMS_FROM_REST};
use language::description::Start;
use maud::{Markup, html};

pub(super) fn section(subject: &Subject<'_>, curves: &Curves) -> Option<Section> {
    let all = svg::pictures(subject.comparison);
    let baselines: Vec<bool> = picks(subject.comparison).iter().map(|pick| pick.baseline).collect();
    let body = html! {
        @for picture in &all {
            @if all.len() > 1 { h3 { (picture.subject) } }
            (pictures::inline(&picture.text, &picture.subject))
            @if let Some((number, chart)) = curves.chart(&picture.subject) {
                (controls(number, chart, &baselines))
            }
        }
    };
    let from_rest = subject.comparison.start == Some(Start::Rest);
    let words = if from_rest { WAVEFORMS_FROM_REST } else { WAVEFORMS };
    (!all.is_empty()).then(|| Section::new("waveforms", words, body))
}

/// A chart that a script fills, with what moves it; not to be seen without the script.
pub(super) fn controls(number: usize, chart: &Chart, baselines: &[bool]) -> Markup {
    let condition = format!("condition-{number}");
    let kind = if chart.over_frequency { "frequency" } else { "time" };
    html! {
        figure class="chart" data-chart=(number) data-kind=(kind) hidden {
            figcaption { "Look closer: drag over the chart to zoom, double-click for all of it."
                @if chart.height_limited {
                    " The tinted band is as high as a requirement lets a curve swing: its height counts, not where it lies."
                }
            }
            @if chart.conditions.len() > 1 {
                p {
                    label for=(condition) { "Condition " }
                    select id=(condition) data-control="condition" {
                        @for (at, name) in chart.conditions.iter().enumerate() {
                            option value=(at) selected[at == chart.first] { (name) }
                        }
                    }
                }
            }
            div class="bar" role="group" aria-label="What part is shown" {
                button type="button" data-control="in" { "Zoom in" }
                button type="button" data-control="out" { "Zoom out" }
                button type="button" data-control="back" { @if chart.over_frequency { "Lower" } @else { "Earlier" } }
                button type="button" data-control="forth" { @if chart.over_frequency { "Higher" } @else { "Later" } }
                button type="button" data-control="all" { "All" }
                @if chart.over_frequency {
                    button type="button" data-control="decibel" aria-pressed="true" {
                        "dB" @if !chart.unit.is_empty() { " above 1 " (chart.unit) }
                    }
                } @else {
                    button type="button" data-control="detail" { "A few pulses" }
                }
            }
            p class="extent" { "Shown: " output data-shown="" {} }
            div class="plot" tabindex="0" role="group" aria-label=(chart.description)
                aria-roledescription="chart" aria-keyshortcuts="ArrowLeft ArrowRight + - 0" {}
            fieldset class="toggles" {
                legend { "Options, with the values at the pointer " output data-pointer="" {} }
                @for (at, (name, (colour, dash))) in chart.series.iter().zip(styles(baselines)).enumerate() {
                    label {
                        input type="checkbox" data-series=(at) checked autocomplete="off";
                        svg class="picture sample" viewBox="0 0 36 10" aria-hidden="true" {
                            line x1="1" y1="5" x2="35" y2="5" class={ "qr-curve qr-" (colour) } stroke-dasharray=[dashes(dash)] {}
                        }
                        span { (name) } " " output data-value=(at) {}
                    }
                }
            }
            p class="hidden" aria-live="polite" data-told="" {}
        }
    }
}

fn dashes(dash: &[u8]) -> Option<String> {
    let lengths: Vec<String> = dash.iter().map(ToString::to_string).collect();
    (!lengths.is_empty()).then(|| lengths.join(" "))
}

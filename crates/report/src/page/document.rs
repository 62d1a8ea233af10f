//! The document around the sections: head, contents, style, scripts.

use super::curves::Curves;
use super::{Section, Subject};
use crate::theme;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const UPLOT: &str = include_str!("../../vendor/uplot/uPlot.iife.min.js");
const UPLOT_STYLE: &str = include_str!("../../vendor/uplot/uPlot.min.css");
pub(super) const UPLOT_LICENCE: &str = include_str!("../../vendor/uplot/LICENSE");
const STYLE: &str = include_str!("style.css");
const SCRIPTS: &[&str] = &[
    include_str!("script/theme.js"),
    include_str!("script/figures.js"),
    include_str!("script/curves.js"),
    include_str!("script/chart.js"),
    include_str!("script/start.js"),
];

/// Nothing may be fetched: the page holds all that it needs.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";

pub(super) fn document(
    subject: &Subject<'_>,
    answer: &Markup,
    sections: &[Section],
    curves: &Curves,
) -> String {
    let title = &subject.comparison.harness;
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "quietrail " (subject.version) };
                title { (title) ": quietrail report" }
                style { (PreEscaped(UPLOT_STYLE)) }
                style { (PreEscaped(theme::variables())) (PreEscaped(theme::PAGE_RULES)) "\n" (PreEscaped(STYLE)) }
            }
            body {
                a class="skip" href="#answer" { "To the answer" }
                header {
                    h1 { (title) }
                    div class="bar screen" role="group" aria-label="Colours of this page" hidden data-themes="" {
                        button type="button" data-theme-choice="auto" aria-pressed="true" { "As the system" }
                        button type="button" data-theme-choice="light" aria-pressed="false" { "Light" }
                        button type="button" data-theme-choice="dark" aria-pressed="false" { "Dark" }
                    }
                }
                main {
                    (answer)
                    nav aria-label="Contents" {
                        ul { @for section in sections { li { a href={ "#" (section.id) } { (section.heading) } } } }
                    }
                    @for section in sections {
                        section id=(section.id) aria-labelledby={ "heading-" (section.id) } {
                            h2 id={ "heading-" (section.id) } { (section.heading) }
                            @if !section.intro.is_empty() { p class="intro" { (section.intro) } }
                            (section.body)
                        }
                    }
                }
                script type="application/json" id="curves" { (PreEscaped(curves.json())) }
                script { (PreEscaped(format!("/*\n{UPLOT_LICENCE}\n*/\n{UPLOT}"))) }
                script { (PreEscaped("\"use strict\";\n")) @for script in SCRIPTS { (PreEscaped(script)) } }
            }
        }
    }
    .into_string()
}

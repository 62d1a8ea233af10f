//! The document around the sections: head, contents, style, scripts.

use super::prose::prose;
use super::{Live, Section};
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
    include_str!("script/rhythms.js"),
    include_str!("script/tops.js"),
    include_str!("script/chart.js"),
    include_str!("script/start.js"),
];

/// Nothing may be fetched: the page holds all that it needs.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";
/// A page that follows a file asks for the script that tells of it, from the disk as the page itself.
const LIVE_POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline' file:; img-src data:";
const LIVE_SCRIPT: &str = include_str!("script/live.js");

/// What a document has besides its sections.
pub(super) struct Document<'a> {
    pub(super) title: &'a str,
    pub(super) version: &'a str,
    pub(super) live: Option<Live<'a>>,
}

impl Document<'_> {
    /// The whole document; `curves` is the JSON that the charts read.
    pub(super) fn draw(&self, answer: &Markup, sections: &[Section], curves: &str) -> String {
        html! {
            (DOCTYPE)
            html lang="en" {
                (self.head())
                body {
                    a class="skip" href="#answer" { "To the answer" }
                    header {
                        h1 { (self.title) }
                        div class="bar screen" role="group" aria-label="Colours of this page" hidden data-themes="" {
                            button type="button" data-theme-choice="auto" aria-pressed="true" { "As the system" }
                            button type="button" data-theme-choice="light" aria-pressed="false" { "Light" }
                            button type="button" data-theme-choice="dark" aria-pressed="false" { "Dark" }
                        }
                    }
                    main id="answer" {
                        (answer)
                        @if !sections.is_empty() { (contents(sections)) }
                        @for section in sections { (drawn(section)) }
                    }
                    script type="application/json" id="curves" { (PreEscaped(curves)) }
                    script { (PreEscaped(format!("/*\n{UPLOT_LICENCE}\n*/\n{UPLOT}"))) }
                    script { (PreEscaped("\"use strict\";\n")) @for script in SCRIPTS { (PreEscaped(script)) } }
                    @if let Some(live) = &self.live {
                        div hidden data-state=(live.state) data-script=(live.script) {}
                        script { (PreEscaped(LIVE_SCRIPT)) }
                    }
                }
            }
        }
        .into_string()
    }

    fn head(&self) -> Markup {
        let policy = if self.live.is_some() { LIVE_POLICY } else { POLICY };
        html! {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "quietrail " (self.version) };
                title { (self.title) ": quietrail report" }
                style { (PreEscaped(UPLOT_STYLE)) }
                style { (PreEscaped(theme::variables())) (PreEscaped(theme::PAGE_RULES)) "\n" (PreEscaped(STYLE)) }
            }
        }
    }
}

fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul { @for section in sections { li { a href={ "#" (section.id) } { (section.heading) } } } }
        }
    }
}

fn drawn(section: &Section) -> Markup {
    html! {
        section id=(section.id) aria-labelledby={ "heading-" (section.id) } {
            h2 id={ "heading-" (section.id) } { (section.heading) }
            @if !section.intro.is_empty() { p class="intro" { (prose(&section.intro)) } }
            (section.body)
        }
    }
}

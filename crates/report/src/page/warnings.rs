//! Warnings, each with where it was found and what to do.

use super::prose::prose;
use super::{Section, Subject};
use crate::table::noted;
use crate::words::page::WARNINGS;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let noted = noted(subject.comparison);
    let body = html! {
        ul class="warnings" {
            @for one in &noted {
                li {
                    p {
                        strong class="mark unsure" { "! " }
                        (prose(&one.text)) "."
                        @if let Some(place) = &one.place { br; span class="place" { "Where: " (place) "." } }
                    }
                    @if let Some(page) = study::pages::page(one.code) {
                        p { (prose(page.text)) }
                    }
                }
            }
        }
    };
    (!noted.is_empty()).then(|| Section::new("warnings", WARNINGS, body))
}

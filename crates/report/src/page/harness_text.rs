//! The text itself.

use super::{Section, Subject};
use crate::words::page::HARNESS_TEXT;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let body = html! {
        @for source in subject.sources {
            h3 { (source.name) }
            pre tabindex="0" aria-label={ "Text of " (source.name) } { code { (source.text) } }
        }
    };
    (!subject.sources.is_empty()).then(|| Section::new("harness", HARNESS_TEXT, body))
}

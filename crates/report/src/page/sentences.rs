//! A sentence for each option.

use super::prose::prose;
use super::{Section, Subject};
use crate::verdict;
use crate::words::page::SENTENCES;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let sentences = verdict::sentences(subject.comparison);
    let body = html! {
        ul class="sentences" {
            @for sentence in &sentences {
                @match sentence.split_once(": ") {
                    Some((option, rest)) => li { strong { (option) ":" } " " (prose(rest)) },
                    None => li { (sentence) },
                }
            }
        }
    };
    (!sentences.is_empty()).then(|| Section::new("words", SENTENCES, body))
}

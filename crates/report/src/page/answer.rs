//! The verdict, first of all: a sentence in large letters, then what is required and why.

use super::Subject;
use super::values::value;
use crate::options::{Outcome, picks};
use crate::text;
use crate::verdict;
use crate::words::page::{REFUSED, STALE};
use maud::{Markup, html};

/// What stands above all sections.
pub(super) fn answer(subject: &Subject<'_>) -> Markup {
    let comparison = subject.comparison;
    let met = picks(comparison).iter().any(|pick| pick.outcome() == Outcome::Meets);
    let required = comparison.runs.iter().map(|run| &run.requirements).find(|list| !list.is_empty());
    html! {
        div class={ "answer " (if met { "good" } else { "bad" }) } {
            p { (text::keep_units(&verdict::answer(comparison))) }
        }
        @if let Some(required) = required {
            h2 class="small" { "Required" }
            ol class="required" {
                @for requirement in required {
                    li {
                        code { (requirement.text) }
                        @if let Some(why) = &requirement.why { ", or else: " (why) }
                        @if !requirement.text.chars().any(|one| one.is_ascii_digit()) {
                            " (" (value(Some(requirement.limit), requirement.dimension)) ")"
                        }
                    }
                }
            }
        }
        @let failed: Vec<&str> = failures(subject);
        @if !failed.is_empty() {
            div class="failed" role="alert" {
                p { strong { "No result at some points." } }
                ul { @for reason in failed { li { (reason) } } }
            }
        }
    }
}

/// What is wrong with a file; `below` where the result of its last good state follows.
pub(super) fn mistakes(text: &str, below: bool) -> Markup {
    html! {
        div class="failed" role="alert" id="mistakes" {
            p { strong { (if below { STALE } else { REFUSED }) } }
            pre tabindex="0" aria-label="Mistakes" { (text) }
        }
    }
}

/// Why points have no result, each reason once.
fn failures<'a>(subject: &Subject<'a>) -> Vec<&'a str> {
    let mut reasons: Vec<&str> = Vec::new();
    for reason in subject.comparison.runs.iter().filter_map(|run| run.error.as_deref()) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    reasons
}

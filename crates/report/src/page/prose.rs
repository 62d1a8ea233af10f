//! Running words as the page sets them.

use crate::text::{keep_units, with_micro};
use maud::{Markup, html};

/// Numbers stay with their units, and what stands between backticks is set as text to be typed.
pub(super) fn prose(words: &str) -> Markup {
    let words = keep_units(&with_micro(words));
    let pieces: Vec<&str> = words.split('`').collect();
    // An odd one is no pair.
    if pieces.len().is_multiple_of(2) {
        return html! { (words) };
    }
    html! {
        @for (at, piece) in pieces.iter().enumerate() {
            @if at % 2 == 1 { code { (piece) } } @else { (piece) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_set_apart() {
        assert_eq!(prose("add `esr` of 5 uF").into_string(), "add <code>esr</code> of 5\u{a0}µF");
        assert_eq!(prose("a ` alone < b").into_string(), "a ` alone &lt; b");
    }
}

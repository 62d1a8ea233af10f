//! Pictures of files of their own, set into the page: their style is the page's, their anchors are told apart.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};

/// A picture's document as a part of the page; `name` tells its anchors from those of others.
///
/// The picture scrolls sideways where the screen is narrower than it can be read.
pub(super) fn inline(document: &str, name: &str) -> Markup {
    let without_style = match (document.find("<style>"), document.find("</style>")) {
        (Some(from), Some(to)) if from < to => {
            format!("{}{}", &document[..from], &document[to + "</style>".len()..])
        }
        _ => document.to_owned(),
    };
    let start = without_style.find("<svg").unwrap_or(0);
    let told = ["id=\"", "url(#", "href=\"#", "aria-labelledby=\""]
        .iter()
        .fold(without_style[start..].to_owned(), |text, opening| {
            text.replace(opening, &format!("{opening}{name}-"))
        })
        .replace(&format!("\"{name}-title description\""), &format!("\"{name}-title {name}-description\""))
        .replacen("<svg ", "<svg class=\"picture\" ", 1);
    html! { div class="wide still" tabindex="0" role="group" aria-label={ "Picture " (name) } { (PreEscaped(told)) } }
}

/// A picture that has a style of its own, kept apart from the page; `words` tell what it shows.
pub(super) fn image(document: &str, words: &str) -> Markup {
    html! {
        div class="wide still" tabindex="0" role="group" aria-label="Picture" {
            img class="sheet" alt=(words) src={ "data:image/svg+xml;base64," (STANDARD.encode(document)) };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A title that speaks of an anchor stays what it is, since quotation marks are escaped in it.
    #[test]
    fn anchors_are_told_apart_and_text_is_left_alone() {
        let document = "<svg aria-labelledby=\"title description\"><title id=\"title\">id=&quot;x&quot;</title><style>text{}</style><use href=\"#before\"/><g clip-path=\"url(#common)\"/></svg>";
        let inlined = inline(document, "rail").into_string();
        for wanted in [
            "aria-labelledby=\"rail-title rail-description\"",
            "<title id=\"rail-title\">id=&quot;x&quot;</title>",
            "href=\"#rail-before\"",
            "url(#rail-common)",
            "class=\"picture\"",
        ] {
            assert!(inlined.contains(wanted), "{wanted} in {inlined}");
        }
        assert!(!inlined.contains("<style>"), "{inlined}");
    }
}

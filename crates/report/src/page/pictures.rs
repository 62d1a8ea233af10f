//! Pictures of files of their own, set into the page, which has their style already.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};

/// A picture's document as a part of the page, by this name for screen readers. Ids and classes are the picture's own already.
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
    let told = without_style[start..].replacen("class=\"qr-chart\"", "class=\"picture qr-chart\"", 1);
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

/// A picture of pixels; `words` tell what it shows.
pub(super) fn png(bytes: &[u8], (width, height): (usize, usize), words: &str) -> Markup {
    html! { img width=(width) height=(height) alt=(words) src={ "data:image/png;base64," (STANDARD.encode(bytes)) }; }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_has_the_style_and_the_picture_its_own_anchors() {
        let document = "<svg class=\"qr-chart\" aria-labelledby=\"qr-rail-title\"><title id=\"qr-rail-title\">id=&quot;x&quot;</title><style>.qr-tick{}</style><use href=\"#qr-rail-before\"/></svg>";
        let inlined = inline(document, "rail").into_string();
        for wanted in [
            "<title id=\"qr-rail-title\">id=&quot;x&quot;",
            "href=\"#qr-rail-before\"",
            "class=\"picture qr-chart\"",
        ] {
            assert!(inlined.contains(wanted), "{wanted} in {inlined}");
        }
        assert!(!inlined.contains("<style>"), "{inlined}");
    }
}

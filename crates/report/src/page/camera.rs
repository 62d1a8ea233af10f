//! What the cameras show: a test card for each pick of the builder and each rejection.

use super::{Section, Subject, pictures};
use crate::picture::{Image, explained, images, is_anything_seen};
use crate::words::page::CAMERA;
use maud::{Markup, html};
use study::picture::Seen;

/// Nothing where no pick shows anything: cards without a pattern tell nobody anything.
pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let found = subject.cameras.filter(|found| is_anything_seen(found))?;
    let images = images(found);
    let body = html! {
        @for seen in &found.seen {
            h3 { (heading(seen, found.seen.len() > 1)) }
            @match &seen.shown {
                Ok(_) => (cards(seen, &images)),
                Err(reason) => p { "No picture: " (reason) },
            }
        }
    };
    Some(Section::new("camera", CAMERA, body))
}

fn heading(seen: &Seen, several: bool) -> String {
    let before = if seen.baseline && several { " (before)" } else { "" };
    let option = if seen.option.is_empty() { &seen.camera } else { &seen.option };
    format!("{option}{before}")
}

fn cards(seen: &Seen, images: &[Image]) -> Markup {
    let own = images.iter().filter(|image| image.option == seen.option && image.camera == seen.camera);
    html! {
        div class="cards" {
            @for image in own {
                figure {
                    (pictures::png(&image.png, image.size, &image.caption))
                    figcaption { (image.caption) }
                }
            }
        }
        ul { @for line in explained(seen) { li { (line) } } }
    }
}

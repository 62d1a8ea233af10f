//! What the cameras show: a test card for each pick of the builder and each rejection.

use super::{Section, Subject, pictures};
use crate::picture::{Image, explained, heading, images, is_anything_seen, one_each};
use crate::text::with_micro;
use crate::words::page::CAMERA;
use maud::{Markup, html};
use study::picture::Seen;

/// Nothing where no pick shows anything: cards without a pattern tell nobody anything.
pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let found = subject.cameras.filter(|found| is_anything_seen(found))?;
    let images = images(found);
    let body = html! {
        @if one_each(found) {
            // Before and after side by side.
            (cards(images.iter()))
            @for seen in &found.seen {
                @let told = told(seen);
                @if !told.is_empty() {
                    h3 { (heading(found, seen)) }
                    (list(&told))
                }
            }
        } @else {
            @for seen in &found.seen {
                h3 { (heading(found, seen)) }
                @if seen.shown.is_ok() {
                    (cards(images.iter().filter(|image| image.option == seen.option && image.camera == seen.camera)))
                }
                (list(&told(seen)))
            }
        }
    };
    Some(Section::new("camera", CAMERA, body))
}

fn cards<'a>(images: impl Iterator<Item = &'a Image>) -> Markup {
    html! {
        div class="cards" {
            @for image in images {
                figure {
                    (pictures::png(&image.png, image.size, &image.caption))
                    figcaption { (image.caption) }
                }
            }
        }
    }
}

/// What a pattern is made of, or why there is none.
fn told(seen: &Seen) -> Vec<String> {
    match &seen.shown {
        Ok(_) => explained(seen).iter().map(|line| with_micro(line)).collect(),
        Err(reason) => vec![format!("No picture: {reason}")],
    }
}

fn list(lines: &[String]) -> Markup {
    html! { @if !lines.is_empty() { ul { @for line in lines { li { (line) } } } } }
}

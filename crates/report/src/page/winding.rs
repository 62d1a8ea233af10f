//! Winding sheets of the coils whose making the file gives, to print in true size.

use super::{Section, Subject, pictures};
use crate::winding::{drawings, text};
use crate::words::page::WINDING;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let found = subject.winding?;
    let drawings = drawings(&found.sheets);
    let body = html! {
        @for (sheet, drawing) in found.sheets.iter().zip(&drawings) {
            h3 { (drawing.part) }
            (pictures::image(&drawing.text, &text(sheet)))
        }
        @for (part, missing) in &found.without {
            p { strong { (part) ":" } " no sheet, for its making is not given. Add " (missing) " to its line." }
        }
    };
    (!found.sheets.is_empty() || !found.without.is_empty()).then(|| Section::new("winding", WINDING, body))
}

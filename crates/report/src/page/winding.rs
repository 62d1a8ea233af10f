//! Winding sheets of the coils whose making the file gives, to print in true size, and what meters should read of pairs of windings.

use super::{Section, Subject, pictures};
use crate::table::Style;
use crate::winding::{drawings, no_sheet, pair_text, text};
use crate::words::page::WINDING;
use maud::html;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let found = subject.winding?;
    let drawings = drawings(&found.sheets);
    let body = html! {
        @for (sheet, drawing) in found.sheets.iter().zip(&drawings) {
            h3 { (drawing.part) }
            (pictures::image(&drawing.text, &text(sheet, Style::default())))
        }
        @for pair in &found.pairs {
            h3 { (pair.part) }
            pre tabindex="0" { (pair_text(pair, Style::default())) }
        }
        @for (part, missing) in &found.without { p { (no_sheet(part, missing)) } }
    };
    let any = !found.sheets.is_empty() || !found.pairs.is_empty() || !found.without.is_empty();
    any.then(|| Section::new("winding", WINDING, body))
}

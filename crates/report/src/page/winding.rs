//! Winding sheets of the coils whose making the file gives, to print in true size, and what meters should read of pairs of windings.

use super::prose::prose;
use super::{Section, Subject, pictures};
use crate::table::Style;
use crate::winding::{drawings, no_sheet, pair_sections, text};
use crate::words::page::{WINDING, WINDING_NONE};
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
            h3 { (pair.part) ", two windings on one core" @if !pair.fitted_by.is_empty() { " (" (pair.fitted_by.join(", ")) ")" } }
            @for (heading, lines) in pair_sections(pair) {
                h4 { (heading) }
                ul { @for line in &lines { li { (prose(line)) } } }
            }
        }
        @for (part, missing) in &found.without { p { (prose(&no_sheet(part, missing))) } }
    };
    let any = !found.sheets.is_empty() || !found.pairs.is_empty() || !found.without.is_empty();
    any.then(|| Section::new("winding", if found.sheets.is_empty() { WINDING_NONE } else { WINDING }, body))
}

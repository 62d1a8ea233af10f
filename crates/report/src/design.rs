//! What a search for filters found: JSON, the options as harness text, and the sheets to wind by. The table is
//! [`crate::table::design`].

mod json;
mod picture;
mod sheet;
mod words;

pub use json::design as json;
pub use picture::pictures;
pub use sheet::sheet;
pub(crate) use words::{amount, parts_of, price};

use crate::table::Style;
use crate::text::wrap;
use study::design::Design;

/// The winners' options as text, with a comment above each: ready to be pasted into the choice.
#[must_use]
pub fn options(design: &Design) -> String {
    let mut text = format!(
        "# For the choice `{}` of \"{}\", found by `quietrail design`.\n",
        design.choice, design.harness
    );
    for winner in design.winners.iter().chain(design.nearest.iter().map(|(winner, _)| winner)) {
        text.push_str(&format!("    # {}; {}\n", parts_of(winner), amount(&winner.mass, design)));
        text.push_str(&winner.option);
    }
    text
}

/// What to do with the files that were written, as lines without an end.
#[must_use]
pub fn next(design: &Design, style: Style) -> String {
    let words = if design.winners.is_empty() {
        format!(
            "Next: the nearest miss stands in options.txt. Add parts to the stock, look at more with --turns 3, or say less of what is required; what binds is told above. An option goes into the choice `{}`.",
            design.choice
        )
    } else {
        format!(
            "Next: pick one, paste it from options.txt into the choice `{}` of the file, and run `quietrail compare` on that; then build and check it by its sheet in sheets.txt.",
            design.choice
        )
    };
    wrap(&words, "", style.prose())
}

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

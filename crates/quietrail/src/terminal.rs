//! How the terminal takes what is printed.

use report::table::{Style, WIDTH};

/// Colours, which are dropped again where nobody wants them, and the whole width where standard output is a terminal.
pub(crate) fn style() -> Style {
    let found = terminal_size::terminal_size_of(std::io::stdout());
    let width = found.map_or(WIDTH, |(width, _)| usize::from(width.0).max(WIDTH));
    Style { colour: true, width }
}

//! What to measure next, for a terminal.

use super::{Row, closing, opening, rows};
use crate::table::Style;
use crate::text::wrap;
use crate::words::measure::{MEASURE, turned};
use study::influence::Influence;
use study::result::Comparison;

/// A paragraph for each value that matters, the gravest first; nothing where nothing was tried.
#[must_use]
pub fn text(comparison: &Comparison, influences: &[Influence], style: Style) -> Option<String> {
    if influences.is_empty() {
        return None;
    }
    let (heading, intro) = MEASURE;
    let rows = rows(comparison, influences);
    let mut lines = vec![heading.to_owned(), wrap(intro, "", style.prose())];
    lines.extend(opening(comparison, influences).map(|words| wrap(words, "", style.prose())));
    lines.extend(rows.iter().map(|row| wrap(&told(row), "  - ", style.prose())));
    lines.extend(closing(comparison, influences).iter().map(|words| wrap(words, "", style.prose())));
    Some(lines.join("\n"))
}

fn told(row: &Row<'_>) -> String {
    format!(
        "{}: {}, may be {} ({}). `{}` of {} is then {}: {}. {}",
        row.name,
        row.in_file,
        row.range,
        row.whence,
        row.requirement.text,
        row.place,
        row.outcome,
        turned(row.holds, row.turns),
        row.how
    )
}

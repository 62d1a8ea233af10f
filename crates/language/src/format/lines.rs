//! Lines, and the comments at their ends.

use super::WIDTH;

#[derive(Debug)]
pub(super) struct Line<'a> {
    /// With its indentation; empty for a blank line.
    pub(super) text: String,
    /// A comment at its end.
    pub(super) comment: Option<&'a str>,
}

/// Spaces between a line and its comment, at least.
const GAP: usize = 2;

/// The lines as one text. Comments on adjacent lines begin in one column.
pub(super) fn text(lines: &[Line<'_>]) -> String {
    let mut text = String::new();
    for run in lines.chunk_by(|one, next| one.comment.is_some() == next.comment.is_some()) {
        let length = |line: &Line<'_>| line.text.trim_end().chars().count();
        // A line beyond the width pushes its own comment alone.
        let column = run.iter().map(length).filter(|length| *length <= WIDTH).max().unwrap_or(0);
        for line in run {
            text.push_str(line.text.trim_end());
            if let Some(comment) = line.comment {
                let gap = column.saturating_sub(length(line)) + GAP;
                text.extend(std::iter::repeat_n(' ', gap));
                text.push_str(comment);
            }
            text.push('\n');
        }
    }
    text
}

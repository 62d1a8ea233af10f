//! A table's text as cells with their places.

use crate::source::Span;

/// A cell: its text without quotes and outer spaces, and where that is.
#[derive(Clone, Debug)]
pub(super) struct Cell<'t> {
    pub(super) text: &'t str,
    pub(super) span: Span,
}

/// The lines that are neither empty nor comments, each as cells; the form is that of RFC 4180, with spaces around cells passed over.
/// A quoted cell keeps doubled quotes as they are: no value has any.
pub(super) fn lines(text: &str) -> Vec<Vec<Cell<'_>>> {
    let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let separator = separator(&text[start..]);
    let mut lines = Vec::new();
    let mut at = start;
    while at < text.len() {
        let line_end = text[at..].find('\n').map_or(text.len(), |end| at + end);
        let line = text[at..line_end].trim();
        if line.is_empty() || line.starts_with('#') {
            at = line_end + 1;
            continue;
        }
        let mut cells = Vec::new();
        loop {
            let (cell, end) = cell(text, at, separator);
            cells.push(cell);
            at = end + 1;
            if !text[end..].starts_with(separator) {
                break;
            }
        }
        if cells.iter().any(|cell| !cell.text.is_empty()) {
            lines.push(cells);
        }
    }
    lines
}

/// A comma, unless the heading has semicolons and none.
fn separator(text: &str) -> char {
    let plain = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let heading = text.lines().find(plain).unwrap_or_default();
    if heading.contains(';') && !heading.contains(',') { ';' } else { ',' }
}

/// The cell that begins at a byte, and the byte of what ends it.
fn cell(text: &str, start: usize, separator: char) -> (Cell<'_>, usize) {
    let rest = &text[start..];
    let blank = rest.len() - rest.trim_start_matches([' ', '\t']).len();
    let open = start + blank;
    if text[open..].starts_with('"') {
        let inner = open + 1;
        let mut close = inner;
        let closed = loop {
            match text[close..].find('"') {
                Some(found) if text[close + found + 1..].starts_with('"') => close += found + 2,
                Some(found) => break close + found,
                None => break text.len(),
            }
        };
        let after = (closed + 1).min(text.len());
        let end = text[after..].find([separator, '\n']).map_or(text.len(), |found| after + found);
        return (trimmed(text, inner, closed), end);
    }
    let end = rest.find([separator, '\n']).map_or(text.len(), |found| start + found);
    (trimmed(text, start, end), end)
}

fn trimmed(text: &str, start: usize, end: usize) -> Cell<'_> {
    let whole = &text[start..end];
    let inner = whole.trim();
    let start = start + (whole.len() - whole.trim_start().len());
    Cell { text: inner, span: Span { source: 0, start, end: start + inner.len() } }
}

#[cfg(test)]
mod tests {
    use super::lines;

    fn texts(text: &str) -> Vec<Vec<&str>> {
        lines(text).iter().map(|line| line.iter().map(|cell| cell.text).collect()).collect()
    }

    #[test]
    fn cells_by_commas_with_quotes_comments_and_empty_lines() {
        let text = "# mine\nname, kind\r\n\n\"a, b\",ring\nc,\n,,\n\"open";
        assert_eq!(texts(text), [vec!["name", "kind"], vec!["a, b", "ring"], vec!["c", ""], vec!["open"]]);
    }

    #[test]
    fn semicolons_where_the_heading_has_no_comma() {
        assert_eq!(texts("\u{feff}a;b\n1,5;2"), [vec!["a", "b"], vec!["1,5", "2"]]);
    }

    #[test]
    fn places_are_those_of_the_text_without_its_quotes() {
        let text = "a,\"x y\" , z ";
        let places: Vec<&str> =
            lines(text)[0].iter().map(|cell| &text[cell.span.start..cell.span.end]).collect();
        assert_eq!(places, ["a", "x y", "z"]);
    }
}

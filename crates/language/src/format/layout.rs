//! Items to lines: which rows share columns, which blocks stay on one line.

use super::columns::{Cells, Class, cells};
use super::lines::Line;
use super::tree::{Block, Item, Statement};
use super::{STEP, WIDTH, spacing, wrap};

/// A longer cell stands out by itself instead of moving the columns of all its neighbours.
const WIDEST: usize = 40;

/// The lines of a whole file.
pub(super) fn lines(items: Vec<Item<'_>>) -> Vec<Line<'_>> {
    let mut lines = Vec::new();
    block(items, 0, &mut lines);
    lines
}

/// What is aligned of one item.
struct Row {
    /// Each with the spaces after it.
    cells: Vec<(String, usize)>,
    kind: RowKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum RowKind {
    Statement(Class),
    /// An option or case; `part` where it is one part on one line.
    Option {
        part: bool,
    },
    /// The header of another block.
    Header,
    /// Comments and blank lines.
    Nothing {
        blank: bool,
    },
}

/// An item cut into cells, ready to be padded.
enum Laid<'a> {
    Blank,
    Comment(&'a str),
    Statement(Cells<'a>, Option<&'a str>),
    /// A block on one line: what follows its cells.
    Inline(String, Block<'a>),
    /// A block that is opened.
    Open(Cells<'a>, Block<'a>),
}

fn block<'a>(items: Vec<Item<'a>>, indent: usize, lines: &mut Vec<Line<'a>>) {
    let mut rows = Vec::new();
    let mut laid: Vec<Laid<'a>> = Vec::new();
    for item in items {
        let (row, one) = lay(item);
        rows.push(row);
        laid.push(one);
    }
    pad(&mut rows);
    // Opening a block only makes columns narrower, so that once is enough.
    let mut opened = false;
    for (row, one) in rows.iter_mut().zip(&mut laid) {
        let Laid::Inline(rest, _) = &one else { continue };
        if indent + length(&head(row)) + length(rest) > WIDTH
            && let Laid::Inline(_, mut block) = std::mem::replace(one, Laid::Blank)
        {
            block.one_line = false;
            (*row, *one) = lay(Item::Block(block));
            opened = true;
        }
    }
    if opened {
        rows.iter_mut().for_each(Row::unpad);
        pad(&mut rows);
    }
    for (row, one) in rows.into_iter().zip(laid) {
        draw(&row, one, indent, lines);
    }
}

impl Row {
    fn unpad(&mut self) {
        for (cell, _) in &mut self.cells {
            cell.truncate(cell.trim_end().len());
        }
    }
}

fn length(text: &str) -> usize {
    text.chars().count()
}

fn head(row: &Row) -> String {
    let mut text = String::new();
    for (cell, gap) in &row.cells {
        text.push_str(cell);
        text.extend(std::iter::repeat_n(' ', *gap));
    }
    text
}

fn lay(item: Item<'_>) -> (Row, Laid<'_>) {
    let nothing = |blank| Row { cells: Vec::new(), kind: RowKind::Nothing { blank } };
    match item {
        Item::Blank => (nothing(true), Laid::Blank),
        Item::Comment(text) => (nothing(false), Laid::Comment(text)),
        Item::Statement(Statement { pieces, comment }) => {
            let mut cells = cells(pieces);
            let kind = RowKind::Statement(cells.class);
            let row = Row { cells: std::mem::take(&mut cells.cells), kind };
            (row, Laid::Statement(cells, comment))
        }
        Item::Block(block) => lay_block(block),
    }
}

fn lay_block(mut block: Block<'_>) -> (Row, Laid<'_>) {
    let has_comments = block.header.pieces.iter().skip(1).any(|piece| !piece.comments.is_empty());
    let empty = block.items.is_empty() && block.header.comment.is_none();
    if (block.one_line || empty) && !has_comments {
        let (row, rest) = inline_row(&block);
        return (row, Laid::Inline(rest, block));
    }
    let mut cells = cells(std::mem::take(&mut block.header.pieces));
    let is_option = cells.cells.first().is_some_and(|(word, _)| is_option_word(word));
    let row = if is_option && !has_comments {
        // The brace alone is not aligned away from its header.
        let brace = cells.rest.split_off(cells.rest.len().saturating_sub(1));
        let mut header = head(&Row { cells: std::mem::take(&mut cells.cells), kind: RowKind::Header });
        header.push_str(&spacing::row(&cells.rest));
        cells.rest = brace;
        Row { cells: vec![(header.trim_end().to_owned(), 1)], kind: RowKind::Option { part: false } }
    } else {
        Row { cells: std::mem::take(&mut cells.cells), kind: RowKind::Header }
    };
    (row, Laid::Open(cells, block))
}

fn is_option_word(word: &str) -> bool {
    matches!(word, "option" | "case")
}

/// The cells of a block on one line, and what follows them.
fn inline_row(block: &Block<'_>) -> (Row, String) {
    let mut pieces = block.header.pieces.clone();
    pieces.pop();
    spacing::space(&mut pieces, None);
    let is_option = pieces.first().is_some_and(|first| is_option_word(first.text));
    let header = (spacing::row(&pieces), 1);
    if is_option
        && let [Item::Statement(statement)] = block.items.as_slice()
        && let mut part = cells(statement.pieces.clone())
        && part.class == Class::Part
        && let Some((kind, _)) = part.cells.first_mut()
    {
        kind.insert_str(0, "{ ");
        part.cells.insert(0, header);
        let rest = format!("{} }}", spacing::row(&part.rest));
        return (Row { cells: part.cells, kind: RowKind::Option { part: true } }, rest);
    }
    let kind = if is_option { RowKind::Option { part: false } } else { RowKind::Header };
    (Row { cells: vec![header], kind }, inside(&block.items))
}

/// `{ a; b }`
fn inside(items: &[Item<'_>]) -> String {
    let mut text = String::from("{ ");
    let mut separator = "";
    for item in items {
        text.push_str(separator);
        separator = match item {
            Item::Statement(statement) => {
                let cells = cells(statement.pieces.clone());
                let row = Row { cells: cells.cells, kind: RowKind::Header };
                text.push_str(&head(&row));
                text.push_str(&spacing::row(&cells.rest));
                "; "
            }
            Item::Block(block) => {
                let mut header = block.header.pieces.clone();
                header.pop();
                spacing::space(&mut header, None);
                text.push_str(&spacing::row(&header));
                text.push(' ');
                text.push_str(&inside(&block.items));
                " "
            }
            // Neither stands on one line with others.
            Item::Blank | Item::Comment(_) => "",
        };
    }
    text.push_str(if items.is_empty() { "}" } else { " }" });
    text
}

/// Gives rows that stand together the same columns.
fn pad(rows: &mut [Row]) {
    // Headers of options stay in line past the blocks that are opened between them; the parts inside do not.
    let options = |kind: RowKind| matches!(kind, RowKind::Option { .. }).then_some(Class::Other);
    pad_runs(rows, 0..1, options);
    pad_runs(rows, 1..usize::MAX, |kind| match kind {
        RowKind::Option { part: true } => Some(Class::Part),
        _ => None,
    });
    pad_runs(rows, 0..usize::MAX, |kind| match kind {
        RowKind::Statement(class) if class != Class::Other => Some(class),
        _ => None,
    });
}

fn pad_runs(rows: &mut [Row], columns: std::ops::Range<usize>, class: impl Fn(RowKind) -> Option<Class>) {
    let mut run: Vec<usize> = Vec::new();
    let mut of: Option<Class> = None;
    for index in 0..rows.len() {
        let kind = rows[index].kind;
        if kind == (RowKind::Nothing { blank: false }) {
            continue;
        }
        let here = class(kind);
        if here != of || here.is_none() {
            pad_run(rows, &run, &columns);
            run.clear();
            of = here;
        }
        if here.is_some() {
            run.push(index);
        }
    }
    pad_run(rows, &run, &columns);
}

fn pad_run(rows: &mut [Row], run: &[usize], columns: &std::ops::Range<usize>) {
    let most = run.iter().map(|index| rows[*index].cells.len()).max().unwrap_or(0);
    for column in columns.start..columns.end.min(most) {
        let lengths =
            run.iter().filter_map(|index| rows[*index].cells.get(column)).map(|cell| length(&cell.0));
        let Some(width) = lengths.filter(|length| *length <= WIDEST).max() else { continue };
        for index in run {
            if let Some((cell, _)) = rows[*index].cells.get_mut(column) {
                let short = width.saturating_sub(length(cell));
                cell.extend(std::iter::repeat_n(' ', short));
            }
        }
    }
}

fn draw<'a>(row: &Row, laid: Laid<'a>, indent: usize, lines: &mut Vec<Line<'a>>) {
    let start = format!("{}{}", " ".repeat(indent), head(row));
    let margin = || " ".repeat(indent);
    match laid {
        Laid::Blank => lines.push(Line { text: String::new(), comment: None }),
        Laid::Comment(text) => lines.push(Line { text: margin() + text, comment: None }),
        Laid::Statement(cells, comment) => {
            let first = lines.len();
            lines.extend(wrap::wrap(start, indent, &cells.rest, cells.class == Class::Part && !is_fit(row)));
            end_with(&mut lines[first..], comment);
        }
        Laid::Inline(rest, block) => {
            lines.push(Line { text: start + &rest, comment: block.comment });
        }
        Laid::Open(cells, inner) => {
            let first = lines.len();
            lines.extend(wrap::wrap(start, indent, &cells.rest, false));
            end_with(&mut lines[first..], inner.header.comment);
            block(inner.items, indent + STEP, lines);
            lines.push(Line { text: margin() + "}", comment: inner.comment });
        }
    }
}

/// The parameters of an assembly may be named like statements.
fn is_fit(row: &Row) -> bool {
    row.cells.first().is_some_and(|(cell, _)| cell.starts_with("fit "))
}

fn end_with<'a>(lines: &mut [Line<'a>], comment: Option<&'a str>) {
    if let Some(last) = lines.last_mut() {
        last.comment = last.comment.or(comment);
    }
}

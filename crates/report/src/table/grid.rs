//! Columns under headings, split into several tables where they are wider than the page.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Table, presets};

/// A column: its heading and a cell for every row. A cell may hold line ends.
pub(crate) struct Column {
    pub(super) heading: String,
    pub(super) cells: Vec<String>,
    pub(super) alignment: CellAlignment,
}

impl Column {
    pub(crate) fn left(heading: &str, cells: Vec<String>) -> Self {
        Self { heading: heading.to_owned(), cells, alignment: CellAlignment::Left }
    }

    pub(crate) fn right(heading: &str, cells: Vec<String>) -> Self {
        Self { heading: heading.to_owned(), cells, alignment: CellAlignment::Right }
    }

    /// Width in characters with the space on either side.
    fn width(&self) -> usize {
        let lines = self.cells.iter().flat_map(|cell| cell.lines()).chain(self.heading.lines());
        lines.map(|line| line.chars().count()).max().unwrap_or(0) + 2
    }
}

/// Whether the columns fit beside each other.
pub(super) fn fits(columns: &[Column], width: usize) -> bool {
    columns.iter().map(Column::width).sum::<usize>() <= width
}

/// The columns as one table, or as several that each repeat the first column.
pub(crate) fn draw(columns: &[Column], most: usize) -> String {
    let Some((first, others)) = columns.split_first() else { return String::new() };
    let mut tables: Vec<Vec<&Column>> = vec![vec![first]];
    let mut width = first.width();
    for column in others {
        if width + column.width() > most && tables.last().is_some_and(|table| table.len() > 1) {
            tables.push(vec![first]);
            width = first.width();
        }
        width += column.width();
        tables.last_mut().expect("starts with one table and only grows").push(column);
    }
    let tables: Vec<String> = tables.iter().map(|table| draw_one(table, most)).collect();
    tables.join("\n\n")
}

fn draw_one(columns: &[&Column], most: usize) -> String {
    let mut table = Table::new();
    table.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(most).unwrap_or(u16::MAX));
    table.set_header(columns.iter().map(|column| Cell::new(&column.heading).set_alignment(column.alignment)));
    let rows = columns.iter().map(|column| column.cells.len()).max().unwrap_or(0);
    for row in 0..rows {
        let cell = |column: &&Column| {
            let text = column.cells.get(row).map_or("", String::as_str);
            Cell::new(text).set_alignment(column.alignment)
        };
        table.add_row(columns.iter().map(cell));
    }
    let mut lines: Vec<String> = table.trim_fmt().lines().map(|line| line.trim_end().to_owned()).collect();
    let heading = columns.iter().map(|column| column.heading.lines().count().max(1)).max().unwrap_or(1);
    let width = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    lines.insert(heading.min(lines.len()), "─".repeat(width));
    lines.join("\n")
}

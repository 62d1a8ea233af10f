//! Responses for a terminal of 80 columns: where they stand at whole powers of ten, their peaks, and what the drives' rhythms meet.

use super::grid::{Column, draw};
use super::{ASSUMED, Style, mark, notes, swings};
use crate::responses::{Row, rows, shown};
use crate::text;
use quantity::Dimension;
use study::result::{Curve, Line, Responses};

/// The whole report as text, with a line end at its end.
#[must_use]
pub fn responses(responses: &Responses, style: Style) -> String {
    let points = &responses.points;
    let (width, prose) = (style.width, style.prose());
    let mut sections = vec![text::wrap(&points.harness, "", prose)];
    sections.extend(notes::failures(points, prose));
    for index in 0..responses.responses.len() {
        sections.push(response(responses, index, style));
        sections.extend(swings::in_place(responses, index, width));
    }
    sections.extend(swings::resonances(responses, width));
    sections.extend(swings::losses(responses, width));
    sections.extend(notes::warnings(points, prose));
    sections.extend(notes::assumed(ASSUMED, &points.assumptions, prose));
    let whole = format!("{}\n", sections.join("\n\n"));
    if style.colour { mark::paint(&whole) } else { whole }
}

fn response(responses: &Responses, index: usize, style: Style) -> String {
    let info = &responses.responses[index];
    let unit = if info.dimension.is_none() {
        "in dB".to_owned()
    } else {
        format!("in {}", quantity::unit_symbol(info.dimension))
    };
    let heading = text::wrap(&format!("{} = {}, {unit}", info.name, info.words), "", style.prose());
    let (rows, axes) = rows(responses, index);
    if rows.iter().all(|row| row.curve.is_none()) {
        let reason = if responses.points.runs.iter().all(|run| run.error.is_some()) {
            "No point has a result."
        } else {
            "No option has all the parts and nodes that it names."
        };
        return format!("{heading}\n{reason}");
    }
    let names = names(&rows, &axes);
    let mut tables = vec![format!(
        "{heading}\n{}",
        draw(&peaks(&rows, &names, info.dimension, &responses.lines), style.width)
    )];
    tables.push(draw(&decades(&rows, &names, info.dimension), style.width));
    tables.join("\n\n")
}

/// The first column with its heading: options, each with the conditions under it that change its curve.
pub(super) struct Names {
    pub(super) heading: String,
    pub(super) cells: Vec<String>,
    /// For each cell the row that it stands for; nothing for an option's own line above its conditions.
    pub(super) rows: Vec<Option<usize>>,
}

pub(super) fn names(rows: &[Row<'_>], axes: &str) -> Names {
    let heading = if axes.is_empty() { "option".to_owned() } else { format!("option\n  {axes}") };
    let mut names = Names { heading, cells: Vec::new(), rows: Vec::new() };
    for (at, row) in rows.iter().enumerate() {
        let name = if row.baseline { format!("{} (baseline)", row.option) } else { row.option.clone() };
        if axes.is_empty() {
            names.cells.push(name);
        } else {
            if at == 0 || rows[at - 1].option != row.option {
                names.cells.push(name);
                names.rows.push(None);
            }
            names.cells.push(format!("  {}", row.condition));
        }
        names.rows.push(Some(at));
    }
    names
}

impl Names {
    pub(super) fn column(&self) -> Column {
        Column::left(&self.heading, self.cells.clone())
    }

    /// A column with what `cell` tells of each curve; `n/a` where there is none.
    fn told(&self, rows: &[Row<'_>], heading: &str, cell: impl Fn(&Curve) -> String) -> Column {
        let told = |row: &Option<usize>| match row {
            None => String::new(),
            Some(row) => rows[*row].curve.map_or_else(|| "n/a".to_owned(), &cell),
        };
        Column::right(heading, self.rows.iter().map(told).collect())
    }
}

/// Peaks and lines, which answer what people ask.
fn peaks(rows: &[Row<'_>], names: &Names, dimension: Dimension, lines: &[Line]) -> Vec<Column> {
    let mut columns = vec![names.column()];
    columns.push(names.told(rows, "peak", |curve| match curve.peak {
        Some((_, magnitude)) => shown(Some(magnitude), dimension),
        None => "none".to_owned(),
    }));
    columns.push(names.told(rows, "at", |curve| match curve.peak {
        Some((frequency, _)) => text::value(frequency, Dimension::FREQUENCY),
        None => String::new(),
    }));
    columns.extend(lines.iter().enumerate().map(|(at, line)| {
        let frequency = text::value(line.frequency, Dimension::FREQUENCY);
        let heading = format!("{frequency}\n{}\n{}", line.drive, line.what.word());
        names.told(rows, &heading, |curve| shown(curve.at_lines.get(at).copied().flatten(), dimension))
    }));
    columns
}

fn decades(rows: &[Row<'_>], names: &Names, dimension: Dimension) -> Vec<Column> {
    let mut columns = vec![names.column()];
    let known = rows.iter().find_map(|row| row.curve).map(|curve| curve.decades.as_slice());
    columns.extend(known.unwrap_or_default().iter().enumerate().map(|(at, (frequency, _))| {
        let heading = text::value(*frequency, Dimension::FREQUENCY);
        names.told(rows, &heading, |curve| {
            shown(curve.decades.get(at).and_then(|(_, magnitude)| *magnitude), dimension)
        })
    }));
    columns
}

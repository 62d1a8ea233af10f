//! Lines of a stock as statements of a harness, and what is read of those.

use super::cells::{Cell, lines};
use super::{OWN_COLUMNS, Segment, StockItem, StockKind};
use crate::description::Description;
use crate::kinds::TABLES;
use crate::mistake::{Mistake, nearest};
use crate::source::{Source, Span};
use quantity::Dimension;
use std::collections::HashMap;

/// Lines that a stock may have; a workshop's drawers hold hundreds.
const MOST_ROWS: usize = 5000;

/// The harness made of a table.
pub(super) struct Made {
    pub(super) text: String,
    pub(super) map: Vec<Segment>,
    pub(super) rows: Vec<Row>,
}

/// A line as far as the table alone tells.
pub(super) struct Row {
    /// The name of its part in the made harness.
    identifier: String,
    name: String,
    kind: StockKind,
    place: Span,
    properties: Vec<(String, String)>,
    /// For each of the table's own columns with a value: its name and its cell.
    own: Vec<(&'static str, Span)>,
}

fn wrong(span: Span, message: impl Into<String>) -> Mistake {
    Mistake::new("wrong_stock", span, message)
}

/// Makes the harness; what is wrong with the table itself is told, and the rest made all the same.
pub(super) fn make(source: &Source, mistakes: &mut Vec<Mistake>) -> Made {
    let mut made = Made { text: String::new(), map: Vec::new(), rows: Vec::new() };
    let lines = lines(&source.text);
    let Some((heading, body)) = lines.split_first() else {
        let mistake = wrong(Span::default(), "the stock is empty");
        mistakes.push(
            mistake.help("its first line has the headings: `name, kind, quantity, mass, capacitance, …`"),
        );
        return made;
    };
    let columns: Vec<Option<&str>> =
        (0..heading.len()).map(|index| column(&heading[index], &heading[..index], mistakes)).collect();
    for needed in ["name", "kind"] {
        if !heading.iter().any(|cell| cell.text == needed) {
            let message = format!("the stock has no column `{needed}`");
            mistakes.push(wrong(heading[0].span, message).label("expected it among the headings"));
        }
    }
    let mut known: HashMap<&str, Span> = HashMap::new();
    for cells in body.iter().take(MOST_ROWS) {
        if let Some(more) = cells.get(columns.len()) {
            let mistake = wrong(more.span, "this line has more cells than there are headings");
            mistakes.push(
                mistake.label("one too many").help("a value with a comma in it stands in double quotes"),
            );
        }
        add(&columns, cells, &mut known, &mut made, mistakes);
    }
    if let Some(more) = body.get(MOST_ROWS) {
        mistakes.push(wrong(more[0].span, format!("a stock has at most {MOST_ROWS} lines")));
    }
    made.text.push_str("resistor stock_foot stock_out -> gnd resistance 1 ohm\n");
    made
}

/// What a heading means; `None` where that has been told.
fn column<'t>(cell: &Cell<'t>, before: &[Cell<'t>], mistakes: &mut Vec<Mistake>) -> Option<&'t str> {
    if before.iter().any(|known| known.text == cell.text && !cell.text.is_empty()) {
        mistakes.push(wrong(cell.span, format!("there is a column `{}` already", cell.text)).label("twice"));
        return None;
    }
    if cell.text.is_empty() {
        // A separator at the end of each line is a spreadsheet's habit.
        return Some("");
    }
    let own = OWN_COLUMNS.iter().map(|(name, _)| *name);
    let words: Vec<&str> = StockKind::ALL.iter().filter_map(|(kind, _)| kind.part()).collect();
    let tables = TABLES.iter().filter(|table| words.contains(&table.word));
    let properties = tables.flat_map(|table| table.properties).map(|property| property.name);
    let all: Vec<&'static str> = own.chain(properties).filter(|name| *name != "turns").collect();
    if all.contains(&cell.text) {
        return Some(cell.text);
    }
    let mistake =
        wrong(cell.span, format!("no part of a stock has `{}`", cell.text)).label("expected a property");
    let near = nearest(cell.text, all.iter().copied());
    mistakes.push(match (cell.text, near) {
        ("turns", _) => mistake.help("the turns on a ring are for `design` to find"),
        (_, Some(near)) => mistake.near(Some(near)),
        (_, None) => mistake.help(format!(
            "properties as in a harness (`quietrail explain capacitor` lists them), or {}",
            OWN_COLUMNS.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
        )),
    });
    None
}

fn add<'t>(
    columns: &[Option<&'t str>],
    cells: &[Cell<'t>],
    known: &mut HashMap<&'t str, Span>,
    made: &mut Made,
    mistakes: &mut Vec<Mistake>,
) {
    let cell = |name: &str| {
        let index = columns.iter().position(|column| *column == Some(name))?;
        cells.get(index).filter(|cell| !cell.text.is_empty())
    };
    let place = cells.first().map_or(Span::default(), |cell| cell.span);
    let Some(kind_cell) = cell("kind") else {
        mistakes
            .push(wrong(place, "this line does not say what it is").label("expected a `kind`").help(KINDS));
        return;
    };
    let Some(kind) = StockKind::from_word(kind_cell.text) else {
        let near = nearest(kind_cell.text, StockKind::ALL.iter().map(|(_, word)| *word));
        let mistake =
            wrong(kind_cell.span, format!("a stock holds no `{}`", kind_cell.text)).label("expected a kind");
        mistakes.push(if near.is_some() { mistake.near(near) } else { mistake.help(KINDS) });
        return;
    };
    let Some(name) = cell("name") else {
        mistakes.push(wrong(place, "this line has no name").label("expected a `name`"));
        return;
    };
    if let Some(first) = known.insert(name.text, name.span) {
        let mistake = wrong(name.span, format!("there is a line `{}` already", name.text));
        mistakes.push(
            mistake
                .label("expected another name")
                .help("say how many there are under `quantity`")
                .also(first, "the first one"),
        );
        return;
    }
    let needed: &[&str] = match kind {
        StockKind::Ring => &["outer", "inner", "height"],
        StockKind::WindingWire => &["wire_diameter"],
        _ => &[],
    };
    for needed in needed.iter().filter(|needed| cell(needed).is_none()) {
        let message = format!("the {} `{}` has no `{needed}`", kind.word().replace('_', " "), name.text);
        mistakes.push(wrong(name.span, message).label("expected it in this line"));
    }
    let identifier = format!("line_{}", made.rows.len() + 1);
    let mut row = Row {
        identifier,
        name: name.text.to_owned(),
        kind,
        place: name.span,
        properties: Vec::new(),
        own: Vec::new(),
    };
    let line = made.text.len();
    if let Some(part) = kind.part() {
        let out = if kind == StockKind::Regulator { "stock_out" } else { "gnd" };
        made.text.push_str(&format!("{part} {} stock_in -> {out} ", row.identifier));
        if kind == StockKind::Ring {
            made.text.push_str("turns 1, ");
        }
    }
    let mut separator = "";
    let mut lets = Vec::new();
    for (column, cell) in columns.iter().zip(cells).filter(|(_, cell)| !cell.text.is_empty()) {
        let Some(column) = column else { continue };
        let own = OWN_COLUMNS.iter().map(|(name, _)| *name).find(|own| own == column);
        let of_wire = kind == StockKind::WindingWire && *column == "wire_diameter";
        if own.is_some() || of_wire {
            let own = own.unwrap_or("wire_diameter");
            if !matches!(own, "name" | "kind") {
                lets.push((own, cell));
            }
            if of_wire {
                row.properties.push((own.to_owned(), cell.text.to_owned()));
            }
            continue;
        }
        if kind.part().is_none() {
            let message = format!("winding wire has no `{column}`");
            mistakes.push(wrong(cell.span, message).label("expected an empty cell"));
            continue;
        }
        made.text.push_str(separator);
        separator = ", ";
        let start = made.text.len();
        made.text.push_str(&format!("{column} "));
        let value = made.text.len();
        made.text.push_str(cell.text);
        let at = |start, end| Span { source: 0, start, end };
        made.map.push(Segment { made: at(start, value - 1), from: cell.span });
        made.map.push(Segment { made: at(value, made.text.len()), from: cell.span });
        row.properties.push(((*column).to_owned(), cell.text.to_owned()));
    }
    if separator.is_empty() && kind == StockKind::Ring {
        made.text.truncate(made.text.trim_end().trim_end_matches(',').len());
    }
    made.text.push('\n');
    for (own, cell) in lets {
        made.text.push_str(&format!("let {}_{own} = ", row.identifier));
        let value = made.text.len();
        made.text.push_str(cell.text);
        made.map
            .push(Segment { made: Span { source: 0, start: value, end: made.text.len() }, from: cell.span });
        made.text.push('\n');
        row.own.push((own, cell.span));
    }
    // What is said of the whole line is told at its name.
    made.map.push(Segment { made: Span { source: 0, start: line, end: made.text.len() }, from: row.place });
    made.rows.push(row);
}

const KINDS: &str = "a line is a ring, winding_wire, coil, capacitor, resistor, bead or regulator";

/// The lines with their values, once the made harness is in order.
pub(super) fn items(description: &Description, rows: Vec<Row>) -> Result<Vec<StockItem>, Vec<Mistake>> {
    let harness = description.baseline();
    let mut mistakes = Vec::new();
    let lets: HashMap<&str, _> = harness.lets.iter().map(|each| (each.name.as_str(), each.value)).collect();
    let parts: HashMap<&str, _> = harness.parts.iter().map(|part| (part.name.as_str(), part)).collect();
    let mut items = Vec::with_capacity(rows.len());
    for row in rows {
        let mut own = |name: &str, dimension: Dimension, unit: &str| {
            let span = row.own.iter().find(|(own, _)| *own == name)?.1;
            let value = lets.get(format!("{}_{name}", row.identifier).as_str())?;
            if value.dimension != dimension {
                let expected =
                    if unit.is_empty() { "a plain number".to_owned() } else { format!("a value in {unit}") };
                mistakes.push(wrong(span, format!("`{name}` is {expected}")).label("has another unit"));
                return None;
            }
            let least = if matches!(name, "mass" | "cost" | "quantity") { 0.0 } else { f64::MIN_POSITIVE };
            let whole = name != "quantity" || value.value.fract() == 0.0;
            if value.value < least || !whole {
                let expected =
                    if name == "quantity" { "counts whole parts" } else { "can't be less than nothing" };
                mistakes.push(wrong(span, format!("`{name}` {expected}")).label("out of range"));
                return None;
            }
            Some(value.value)
        };
        let quantity = own("quantity", Dimension::NONE, "").map_or(1, |count| count as usize);
        let mass = own("mass", Dimension::MASS, "g");
        let cost = own("cost", Dimension::NONE, "");
        let length = own("length", Dimension::LENGTH, "m");
        let wire_diameter = own("wire_diameter", Dimension::LENGTH, "mm").unwrap_or(0.0);
        if length.is_some() && row.kind != StockKind::WindingWire {
            mistakes.push(
                wrong(row.place, "only winding wire has a `length`").label("expected an empty cell there"),
            );
        }
        items.push(StockItem {
            part: parts.get(row.identifier.as_str()).map(|part| (*part).clone()),
            name: row.name,
            kind: row.kind,
            quantity,
            mass,
            cost,
            length,
            wire_diameter,
            properties: row.properties,
        });
    }
    if mistakes.is_empty() { Ok(items) } else { Err(mistakes) }
}

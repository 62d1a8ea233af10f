//! Winding sheets as columns for a spreadsheet: a line for each figure, in SI units.

use super::json::spread;
use crate::csv::{joined, number};
use quantity::{Dimension, unit_symbol};
use study::winding::{Expected, Pair, Sheet, Sheets};

/// The text with a heading line. `least` and `greatest` stand where a reading has a range that is still right.
#[must_use]
pub fn csv(found: &Sheets) -> String {
    let headings = ["part", "fitted_by", "figure", "value", "unit", "least", "greatest", "range_from"];
    let mut text = joined(&headings.map(str::to_owned));
    found.sheets.iter().for_each(|sheet| text.push_str(&of_sheet(sheet)));
    found.pairs.iter().for_each(|pair| text.push_str(&of_pair(pair)));
    text
}

/// The lines of one part.
struct Lines<'a> {
    part: &'a str,
    fitted_by: String,
    text: String,
}

impl<'a> Lines<'a> {
    fn of(part: &'a str, fitted_by: &[String]) -> Self {
        Self { part, fitted_by: fitted_by.join("; "), text: String::new() }
    }

    fn put(&mut self, figure: &str, value: Option<f64>, dimension: Dimension, range: [String; 3]) {
        let mut cells = vec![self.part.to_owned(), self.fitted_by.clone(), figure.to_owned(), number(value)];
        cells.push(unit_symbol(dimension));
        cells.extend(range);
        self.text.push_str(&joined(&cells));
    }

    fn figure(&mut self, figure: &str, value: f64, dimension: Dimension) {
        self.put(figure, Some(value), dimension, Default::default());
    }

    fn known(&mut self, figure: &str, value: Option<f64>, dimension: Dimension) {
        if value.is_some() {
            self.put(figure, value, dimension, Default::default());
        }
    }

    fn expected(&mut self, figure: &str, expected: &Expected, dimension: Dimension) {
        let (least, greatest) = expected.range;
        let range = [number(Some(least)), number(Some(greatest)), spread(expected.spread).to_owned()];
        self.put(figure, Some(expected.nominal), dimension, range);
    }

    fn lost(&mut self, lost: Option<(f64, f64)>) {
        self.known("a_tenth_lost_at", lost.map(|lost| lost.0), Dimension::CURRENT);
        self.known("three_tenths_lost_at", lost.map(|lost| lost.1), Dimension::CURRENT);
    }
}

fn of_sheet(sheet: &Sheet) -> String {
    let mut lines = Lines::of(&sheet.part, &sheet.fitted_by);
    let (core, wire) = (&sheet.core, &sheet.wire);
    for (figure, length) in [
        ("outer", core.outer),
        ("inner", core.inner),
        ("height", core.height),
        ("gap", core.gap),
        ("wire_bare", wire.bare),
        ("wire_overall", wire.overall),
        ("wire_length", wire.length),
        ("wire_cut", wire.cut),
    ] {
        lines.figure(figure, length, Dimension::LENGTH);
    }
    lines.figure("turns", sheet.turns, Dimension::NONE);
    for (at, turns) in sheet.layers.iter().enumerate() {
        lines.figure(&format!("turns_in_layer_{}", at + 1), *turns, Dimension::NONE);
    }
    lines.figure("one_layer", sheet.one_layer, Dimension::NONE);
    lines.figure("fill", sheet.fill, Dimension::NONE);
    lines.expected("inductance", &sheet.inductance, Dimension::INDUCTANCE);
    lines.figure("with_a_turn_less", sheet.miscounted.0, Dimension::INDUCTANCE);
    lines.figure("with_a_turn_more", sheet.miscounted.1, Dimension::INDUCTANCE);
    lines.expected("resistance", &sheet.resistance, Dimension::RESISTANCE);
    lines.lost(sheet.lost);
    lines.known("mass", sheet.mass, Dimension::MASS);
    for can in &sheet.cans {
        lines.figure(&format!("capacitance of {}", can.part), can.capacitance, Dimension::CAPACITANCE);
        lines.known(&format!("rated voltage of {}", can.part), can.rated, Dimension::VOLTAGE);
    }
    lines.figure("camera_current", sheet.camera_current, Dimension::CURRENT);
    lines.text
}

fn of_pair(pair: &Pair) -> String {
    let mut lines = Lines::of(&pair.part, &pair.fitted_by);
    lines.expected("inductance", &pair.inductance, Dimension::INDUCTANCE);
    for (figure, value) in [
        ("second_inductance", pair.second_inductance),
        ("second_shorted", pair.shorted),
        ("series_aiding", pair.series.0),
        ("series_opposing", pair.series.1),
    ] {
        lines.figure(figure, value, Dimension::INDUCTANCE);
    }
    lines.known("resistance", pair.resistance, Dimension::RESISTANCE);
    lines.lost(pair.lost);
    lines.figure("camera_current", pair.camera_current, Dimension::CURRENT);
    lines.text
}

//! Winding sheets as JSON.

use crate::json::measured;
use quantity::Dimension;
use serde_json::{Value, json};
use study::winding::{Can, Expected, Pair, Sheet, Sheets, Spread};

/// The text, indented: what is to be wound and what meters should read, of pairs of windings what meters should read, and what is missing
/// of other coils.
#[must_use]
pub fn json(harness: &str, found: &Sheets) -> String {
    let without = found.without.iter().map(|(part, missing)| json!({"part": part, "missing": missing}));
    let value = json!({
        "schema": 1,
        "harness": harness,
        "sheets": found.sheets.iter().map(sheet).collect::<Vec<_>>(),
        "pairs": found.pairs.iter().map(pair).collect::<Vec<_>>(),
        "without": without.collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

fn sheet(sheet: &Sheet) -> Value {
    let (core, wire) = (&sheet.core, &sheet.wire);
    let lengths = |of: &[(&str, f64)]| -> Value {
        of.iter()
            .map(|(name, length)| ((*name).to_owned(), measured(Some(*length), Dimension::LENGTH)))
            .collect()
    };
    let mut ring =
        lengths(&[("outer", core.outer), ("inner", core.inner), ("height", core.height), ("gap", core.gap)]);
    ring["material"] = json!(core.material);
    let (less, more) = sheet.miscounted;
    json!({
        "part": sheet.part,
        "fitted_by": sheet.fitted_by,
        "core": ring,
        "wire": lengths(&[
            ("bare", wire.bare),
            ("overall", wire.overall),
            ("length", wire.length),
            ("cut", wire.cut),
        ]),
        "turns": sheet.turns,
        "layers": sheet.layers,
        "one_layer": sheet.one_layer,
        "fill": measured(Some(sheet.fill), Dimension::NONE),
        "inductance": expected(&sheet.inductance, Dimension::INDUCTANCE),
        "miscounted": {
            "a_turn_less": measured(Some(less), Dimension::INDUCTANCE),
            "a_turn_more": measured(Some(more), Dimension::INDUCTANCE),
        },
        "resistance": expected(&sheet.resistance, Dimension::RESISTANCE),
        "lost": lost(sheet.lost),
        "mass": measured(sheet.mass, Dimension::MASS),
        "capacitors": sheet.cans.iter().map(can).collect::<Vec<_>>(),
        "camera_current": measured(Some(sheet.camera_current), Dimension::CURRENT),
    })
}

fn pair(pair: &Pair) -> Value {
    let henry = |value: f64| measured(Some(value), Dimension::INDUCTANCE);
    let windings = pair.windings.iter().map(|(start, end)| json!({"start": start, "end": end}));
    json!({
        "part": pair.part,
        "fitted_by": pair.fitted_by,
        "windings": windings.collect::<Vec<_>>(),
        "inductance": expected(&pair.inductance, Dimension::INDUCTANCE),
        "second_inductance": henry(pair.second_inductance),
        "second_shorted": henry(pair.shorted),
        "series_aiding": henry(pair.series.0),
        "series_opposing": henry(pair.series.1),
        "coupling_assumed": pair.assumed,
        "resistance": measured(pair.resistance, Dimension::RESISTANCE),
        "lost": lost(pair.lost),
        "camera_current": measured(Some(pair.camera_current), Dimension::CURRENT),
    })
}

fn expected(expected: &Expected, dimension: Dimension) -> Value {
    let mut value = measured(Some(expected.nominal), dimension);
    let (least, greatest) = expected.range;
    value["least"] = json!(least);
    value["greatest"] = json!(greatest);
    value["range_from"] = json!(spread(expected.spread));
    value
}

/// Where a range comes from, in a word.
pub(super) fn spread(spread: Spread) -> &'static str {
    match spread {
        Spread::Stated => "stated",
        Spread::Measured => "measured",
        Spread::Powder => "powder",
        Spread::Ferrite => "ferrite",
        Spread::Wire => "wire",
    }
}

/// Currents at which a tenth and three tenths of the inductance are gone.
fn lost(lost: Option<(f64, f64)>) -> Value {
    json!({
        "a_tenth_at": measured(lost.map(|lost| lost.0), Dimension::CURRENT),
        "three_tenths_at": measured(lost.map(|lost| lost.1), Dimension::CURRENT),
    })
}

fn can(can: &Can) -> Value {
    json!({
        "part": can.part,
        "capacitance": measured(Some(can.capacitance), Dimension::CAPACITANCE),
        "rated": measured(can.rated, Dimension::VOLTAGE),
        "plus": can.plus,
        "minus": can.minus,
    })
}

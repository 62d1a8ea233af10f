//! The JSON has exactly the form of schema 1, and says what the table says.

use crate::support::{CRAWLER, close};
use serde_json::Value;

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().expect("an object").keys().map(String::as_str).collect()
}

#[test]
fn every_key_is_there_in_its_order_and_no_other() {
    let result = &CRAWLER.json;
    assert_eq!(
        keys(result),
        ["schema", "harness", "axes", "runs", "work", "answer", "options", "assumptions", "cautions"]
    );
    assert_eq!(result["schema"], 1);
    assert_eq!(result["harness"], "Pipe crawler");
    let axes = result["axes"].as_array().unwrap();
    for axis in axes {
        assert_eq!(keys(axis), ["name", "kind", "points"]);
    }
    let described: Vec<_> = axes.iter().map(|axis| (axis["name"].as_str(), axis["kind"].as_str())).collect();
    let expected = [("filter", "choice"), ("battery_state", "condition"), ("throttle", "condition")];
    assert_eq!(described, expected.map(|(name, kind)| (Some(name), Some(kind))));
    for run in result["runs"].as_array().unwrap() {
        assert_eq!(keys(run), ["at", "readings", "requirements", "warnings", "error", "work", "parts"]);
        assert_eq!(keys(&run["at"]), ["filter", "battery_state", "throttle"]);
        assert_eq!(keys(&run["readings"]), ["noise", "level"]);
        for name in ["noise", "level"] {
            assert_eq!(keys(&run["readings"][name]), ["value", "unit"]);
            assert_eq!(run["readings"][name]["unit"], "V");
        }
        for requirement in run["requirements"].as_array().unwrap() {
            assert_eq!(keys(requirement), ["text", "why", "met", "value", "limit"]);
        }
        for warning in run["warnings"].as_array().unwrap() {
            assert_eq!(keys(warning), ["code", "text"]);
            assert!(warning["code"].is_string() && warning["text"].is_string());
        }
        assert!(run["error"].is_null());
    }
}

#[test]
fn every_point_of_every_axis_has_one_run() {
    let result = &CRAWLER.json;
    let points = |axis: usize| result["axes"][axis]["points"].as_array().unwrap();
    let mut expected = Vec::new();
    for filter in points(0) {
        for battery_state in points(1) {
            for throttle in points(2) {
                expected.push([filter, battery_state, throttle]);
            }
        }
    }
    let runs = result["runs"].as_array().unwrap();
    let at: Vec<_> =
        runs.iter().map(|run| ["filter", "battery_state", "throttle"].map(|axis| &run["at"][axis])).collect();
    assert_eq!(at, expected);
}

#[test]
fn a_requirement_is_met_where_its_value_keeps_its_limit() {
    for run in CRAWLER.json["runs"].as_array().unwrap() {
        let requirements = run["requirements"].as_array().unwrap();
        let stated: Vec<_> = requirements.iter().map(|one| (&one["text"], &one["why"])).collect();
        assert_eq!(stated[0], (&Value::from("noise < 60 mV"), &Value::from("lines in the picture")));
        assert_eq!(stated[1], (&Value::from("minimum(rail) > 9 V"), &Value::from("camera browns out")));
        let number = |at: usize, key: &str| requirements[at][key].as_f64().unwrap();
        assert_eq!((number(0, "limit"), number(1, "limit")), (0.06, 9.0));
        assert_eq!(requirements[0]["met"], number(0, "value") < 0.06);
        assert_eq!(requirements[1]["met"], number(1, "value") > 9.0);
        assert_eq!(requirements[0]["value"], run["readings"]["noise"]["value"]);
    }
}

#[test]
fn the_table_says_what_the_json_says() {
    let rows = table_rows(&CRAWLER.table);
    let runs = CRAWLER.json["runs"].as_array().unwrap();
    assert_eq!(rows.len(), runs.len(), "{}", CRAWLER.table);
    for run in runs {
        let at = ["filter", "battery_state", "throttle"].map(|axis| run["at"][axis].as_str().unwrap());
        let row = rows.iter().find(|row| row.option == at[0] && row.case == format!("{}, {}", at[1], at[2]));
        let row = row.unwrap_or_else(|| panic!("no row for {at:?} in\n{}", CRAWLER.table));
        for (shown, name) in row.values.iter().zip(["noise", "level"]) {
            let value = run["readings"][name]["value"].as_f64().unwrap();
            // Three digits are shown; less than a nanovolt is rounding, and shown as nothing.
            assert!(
                close(*shown, value, 5e-3) || (shown - value).abs() < 1e-9,
                "{at:?} {name}: {shown} {value}"
            );
        }
        let met = run["requirements"].as_array().unwrap().iter().all(|one| one["met"] == true);
        assert_eq!(row.met, met, "{at:?}");
    }
}

/// A row of the table of every point.
struct TableRow {
    option: String,
    case: String,
    values: Vec<f64>,
    met: bool,
}

/// The rows under `Every point`: an option on a line of its own, its cases under it, further in.
fn table_rows(table: &str) -> Vec<TableRow> {
    let lines =
        table.lines().skip_while(|line| *line != "Every point").skip_while(|line| !line.starts_with('─'));
    let mut option = String::new();
    let mut rows = Vec::new();
    for line in lines.skip(1).take_while(|line| !line.is_empty()) {
        let cells: Vec<&str> = line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).collect();
        if let [name] = cells[..] {
            name.trim_end_matches("(baseline)").trim().clone_into(&mut option);
            continue;
        }
        rows.push(TableRow {
            option: option.clone(),
            case: cells[0].to_owned(),
            values: cells[1..=2].iter().map(|cell| shown_value(cell)).collect(),
            met: cells[3].starts_with('✓'),
        });
    }
    rows
}

/// The value of `30.1 mV` in volts.
fn shown_value(cell: &str) -> f64 {
    let (number, unit) = cell.split_once(' ').unwrap_or_else(|| panic!("no value: {cell}"));
    let factor = match unit.strip_suffix('V').unwrap_or_else(|| panic!("no volts: {cell}")) {
        "" => 1.0,
        "m" => 1e-3,
        "u" | "µ" => 1e-6,
        "n" => 1e-9,
        other => panic!("unknown prefix {other}: {cell}"),
    };
    number.parse::<f64>().unwrap_or_else(|error| panic!("{cell}: {error}")) * factor
}

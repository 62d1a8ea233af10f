//! A swept value, from the file to table, JSON, curves and exit code.

use crate::support::{Folder, close};
use serde_json::{Value, json};

/// A divider: 10 V over 1 ohm and what is swept; in one option a second resistor is beside it.
const DIVIDER: &str = "\
harness \"Swept divider\"
let volts = 10 V
supply   s    gnd -> top  voltage volts, resistance 0 ohm
resistor r1   top -> mid  resistance 1 ohm
resistor r2   mid -> gnd  resistance 1 ohm
choice aid {
    option alone { resistor none mid -> gnd  resistance 1 Gohm }
    option pair  { resistor twin mid -> gnd  resistance 3 ohm }
}
sweep lower over r2.resistance 1 ohm .. 4 ohm step 1 ohm
testpoint middle = voltage(mid)
reading low = minimum(middle)
require low > 4.9 V \"too low\"
transient run span 1 ms, start operating
frequency [1 kHz]
response seen = impedance(mid)
";

fn folder() -> Folder {
    let folder = Folder::new();
    folder.write("divider.harness", DIVIDER);
    folder
}

fn ohms(value: f64) -> Value {
    json!({"value": value, "unit": "ohm"})
}

/// The reading of each run with the swept value and the option.
fn lows(result: &Value) -> Vec<(String, f64, f64)> {
    let runs = result["runs"].as_array().expect("runs");
    let each = |run: &Value| {
        let option = run["at"]["aid"].as_str().expect("an option").to_owned();
        let lower = run["at"]["lower"]["value"].as_f64().expect("a number");
        (option, lower, run["readings"]["low"]["value"].as_f64().expect("a number"))
    };
    runs.iter().map(each).collect()
}

#[test]
fn every_value_is_run_in_every_option() {
    let ran = folder().run(&["compare", "--json", "divider.harness"]);
    let result = ran.json();
    let points = [1.0, 2.0, 3.0, 4.0].map(ohms);
    assert_eq!(result["axes"][1], json!({"name": "lower", "kind": "sweep", "points": points}));
    assert_eq!(result["runs"][1]["at"], json!({"aid": "alone", "lower": {"value": 2.0, "unit": "ohm"}}));
    let lows = lows(&result);
    assert_eq!(lows.len(), 8);
    for (option, lower, low) in lows {
        // Ohm's law; the gigaohm takes a billionth.
        let below = if option == "pair" { lower * 3.0 / (lower + 3.0) } else { lower };
        assert!(close(low, 10.0 * below / (1.0 + below), 1e-8), "{option} {lower}: {low}");
    }
    // The pair at 1 ohm has 4.29 V; alone the least is 5 V.
    assert_eq!(ran.code, 0, "{}", ran.errors);
}

#[test]
fn the_worst_value_decides_and_the_table_names_it() {
    let folder = folder();
    let ran = folder.run(&["compare", "divider.harness", "--only", "aid=pair"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("at lower 1 ohm"), "{}", ran.out);
    // The axis in the heading, its values before each row.
    for start in ["lower", "3 ohm "] {
        assert!(ran.out.lines().any(|line| line.trim_start().starts_with(start)), "{start}:\n{}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let ran = folder.run(&["check", "divider.harness"]);
    assert!(ran.out.contains("sweep lower: 1 ohm, 2 ohm, 3 ohm, 4 ohm (4 values)"), "{}", ran.out);
}

#[test]
fn values_are_picked_by_name_or_amount() {
    let folder = folder();
    for pick in ["lower=2 ohm", "lower=2000 mohm", "lower=2R"] {
        let result = folder.run(&["compare", "--json", "divider.harness", "--only", pick]).json();
        assert_eq!(lows(&result).iter().map(|each| each.1).collect::<Vec<_>>(), [2.0, 2.0], "{pick}");
    }
    let ran = folder.run(&["compare", "--json", "divider.harness", "--only", "lower=5 ohm"]);
    assert_eq!(ran.code, 2);
    let words = "--only lower=5 ohm: no such value. There are 1 ohm, 2 ohm, 3 ohm, 4 ohm.";
    assert_eq!(ran.errors.trim(), words);
}

#[test]
fn a_setting_beats_the_sweep() {
    let ran = folder().run(&["compare", "--json", "divider.harness", "--set", "r2.resistance=9 ohm"]);
    let result = ran.json();
    assert_eq!(result["axes"][1]["points"], json!([ohms(9.0)]));
    let lows = lows(&result);
    assert!(lows.len() == 2 && close(lows[0].2, 9.0, 1e-8), "{lows:?}");
}

#[test]
fn curves_carry_the_swept_value_as_a_number() {
    let folder = folder();
    let ran = folder.run(&["response", "divider.harness", "--only", "aid=alone", "--out", "curves"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let csv = folder.read("curves/response.csv");
    let lines: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
    assert_eq!(lines[0][..3], ["aid", "lower", "response"]);
    for line in &lines[1..] {
        let number = |at: usize| line[at].parse::<f64>().expect("a number");
        // 1 ohm to the supply beside the swept one and the gigaohm.
        assert!(close(number(7), number(1) / (1.0 + number(1)), 1e-8), "{line:?}");
    }
    assert_eq!(lines.len(), 5);
}

/// Too many to be run at once is told before anything runs; a pick runs.
#[test]
fn many_values_are_told_and_some_can_be_picked() {
    let folder = Folder::new();
    folder.write("long.harness", &DIVIDER.replace("step 1 ohm", "steps 60000"));
    let ran = folder.run(&["compare", "--json", "long.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("make more than 100000 combinations"), "{}", ran.errors);
    let ran = folder.run(&["compare", "--json", "long.harness", "--only", "lower=4 ohm"]);
    assert_eq!(lows(&ran.json()).len(), 2, "{}", ran.errors);
}

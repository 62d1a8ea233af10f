//! What a source gives: values, points of a list or of a file, a sine.

use crate::common;

use common::source;
use quietrail_language::description::Value;
use quietrail_language::{read, read_with};

const SOURCE: &str = "\
source hum gnd -> a  voltage file \"traces/hum.csv\"
resistor r a -> gnd  resistance 1 kohm
testpoint out = voltage(a)
reading top = maximum(out)
transient run  span 1 ms, start rest
";

fn with_trace(trace: &'static str) -> impl Fn(&str) -> Result<String, String> {
    move |name: &str| {
        if name.ends_with("traces/hum.csv") {
            Ok(trace.to_owned())
        } else {
            Err("it is not there".to_owned())
        }
    }
}

#[test]
fn points_over_time_stand_in_a_file() {
    let text = with_trace("t,u\n0,1\n0.5e-3,3\n0.5e-3,-2\n");
    let read = read_with(&source(SOURCE), &[], &text);
    let harness = read.description.expect("in order").at(&[]);
    let Some(Value::Points(points)) = harness.parts[0].properties.get("voltage") else {
        panic!("no points: {:?}", harness.parts[0]);
    };
    let plain: Vec<(f64, f64)> = points.iter().map(|(time, level)| (time.value, level.value)).collect();
    assert_eq!(plain, [(0.0, 1.0), (0.5e-3, 3.0), (0.5e-3, -2.0)]);
}

#[test]
fn a_trace_that_cannot_be_had_is_told_at_its_path() {
    for (text, trace, code) in [
        (SOURCE.replace("hum.csv", "gone.csv"), "", "unreadable_file"),
        (SOURCE.to_owned(), "0,1\n1,high\n", "wrong_trace"),
    ] {
        let read = read_with(&source(&text), &[], &with_trace(trace));
        let mistakes = read.description.expect_err("a mistake");
        assert_eq!(mistakes.len(), 1, "{mistakes:?}");
        assert_eq!(mistakes[0].code, code);
        assert!(text[mistakes[0].span.start..].starts_with("\"traces/"), "{mistakes:?}");
    }
}

/// Codes of all mistakes of a source with these properties.
fn codes(properties: &str) -> Vec<&'static str> {
    let text = format!("source s gnd -> a  {properties}\nresistor r a -> gnd  resistance 1 kohm\n");
    read(&source(&text), &[]).err().unwrap_or_default().iter().map(|mistake| mistake.code).collect()
}

#[test]
fn a_sine_says_how_large_and_how_often() {
    let fine = "voltage sine, amplitude 2 V, frequency 1 kHz, offset 12 V, phase 25 %";
    assert_eq!(codes(fine), [""; 0]);
    assert_eq!(codes("current sine, amplitude 2 mA, frequency 1 kHz"), [""; 0]);
    assert_eq!(codes("voltage sine"), ["missing_property", "missing_property"]);
    assert_eq!(codes("voltage sine, amplitude 2 A, frequency 1 kHz"), ["wrong_dimension"]);
    assert_eq!(codes("voltage 5 V, amplitude 2 V"), ["property_needs_another"]);
    assert_eq!(codes("voltage sine, amplitude 2 ohm, frequency 1 kHz"), ["wrong_dimension"]);
}

#[test]
fn two_points_at_one_time_are_a_jump_and_three_a_mistake() {
    assert_eq!(codes("voltage points [0 s: 0 V, 1 ms: 0 V, 1 ms: 5 V]"), [""; 0]);
    assert_eq!(codes("voltage [0 s: 0 V, 1 ms: 0 V, 1 ms: 5 V, 1 ms: 6 V]"), ["points_not_rising"]);
    assert_eq!(codes("voltage [1 ms: 0 V, 0 ms: 5 V]"), ["points_not_rising"]);
}

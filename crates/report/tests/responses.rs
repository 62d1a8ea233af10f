//! Responses shown: JSON, columns, table and picture of one small study.

use language::Source;
use quietrail_report::{responses, table::Style};
use serde_json::Value;
use study::result::Responses;

const HARNESS: &str = "\
harness \"Bench\"
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive   motor bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rise 200 ns, fall 200 ns
load    eye   cam -> gnd  current 100 mA
choice filter {
    option none   { resistor link bus -> cam  resistance 1 mohm }
    option coil   {
        coil      choke bus -> cam  inductance 330 uH, dcr 0.3 ohm
        capacitor store cam -> far  capacitance 330 uF, esr 50 mohm
        resistor  shunt far -> gnd  resistance 1 mohm
    }
}
condition pack_state { case fresh { } case soft { set pack.resistance = 200 mohm } }
condition sky { case clear { } case grey { } }
frequency 10 Hz .. 100 kHz, points 10
response path = transfer(voltage(cam), motor)
response gain = path / transfer(voltage(bus), motor)
response inner = impedance(far)
";

fn found() -> Responses {
    let source = Source { name: "bench.harness".into(), text: HARNESS.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    study::responses(&description, &study::Options::default()).expect("every point is asked for")
}

#[test]
fn json_holds_each_curve_with_its_unit() {
    let found = found();
    let value: Value = serde_json::from_str(&responses::json(&found)).expect("JSON");
    let run = &value["runs"][4];
    let keys: Vec<&String> = run.as_object().expect("an object").keys().collect();
    assert_eq!(
        keys,
        [
            "at",
            "readings",
            "requirements",
            "responses",
            "warnings",
            "error",
            "parts",
            "resonances",
            "insertion_losses"
        ]
    );
    assert_eq!(run["resonances"].as_array().map(Vec::len), Some(found.resonances[4].len()));
    for (told, listed) in run["resonances"].as_array().unwrap().iter().zip(&found.resonances[4]) {
        assert_eq!(told["frequency"].as_f64(), Some(listed.frequency));
        assert_eq!(told["parts"].as_array().map(Vec::len), Some(listed.parts.len()));
    }
    let path = &run["responses"]["path"];
    let keys: Vec<&String> = path.as_object().expect("an object").keys().collect();
    assert_eq!(keys, ["unit", "frequency", "re", "im"]);
    assert_eq!((path["unit"].as_str(), run["responses"]["gain"]["unit"].as_str()), (Some("ohm"), Some("1")));
    for key in ["frequency", "re", "im"] {
        assert_eq!(path[key].as_array().map(Vec::len), Some(41), "{key}");
    }
    let curve = found.curves[4][0].as_ref().expect("a curve");
    assert_eq!(path["frequency"][40].as_f64(), Some(100e3));
    assert_eq!(path["re"][7].as_f64(), curve.values[7].map(|value| value.re));
    assert_eq!(path["im"][7].as_f64(), curve.values[7].map(|value| value.im));
    assert_eq!(value["runs"][0]["responses"]["inner"], Value::Null);
}

#[test]
fn columns_hold_every_value() {
    let found = found();
    let text = responses::csv(&found);
    let mut lines = text.lines();
    assert_eq!(
        lines.next(),
        Some("filter,pack_state,sky,response,unit,frequency_hertz,re,im,magnitude,phase_degree")
    );
    // Two responses at eight points, one more at the four where its node stands.
    assert_eq!(lines.clone().count(), (2 * 8 + 4) * 41);
    let first: Vec<&str> = lines.next().expect("a line").split(',').collect();
    assert_eq!(first[..6], ["none", "fresh", "clear", "path", "ohm", "10"]);
    let number = |at: usize| first[at].parse::<f64>().expect("a number");
    let value = found.curves[0][0].as_ref().expect("a curve").values[0].expect("a value");
    assert_eq!((number(6), number(7)), (value.re, value.im));
    assert!((number(8) - value.re.hypot(value.im)).abs() < 1e-15);
}

#[test]
fn the_table_keeps_to_the_page_and_to_conditions_that_matter() {
    let text = responses::table(&found(), Style::default());
    for line in text.lines() {
        assert!(line.chars().count() <= quietrail_report::table::WIDTH, "{line}");
    }
    assert!(text.contains("path = transfer(voltage(cam), motor), in ohm"), "{text}");
    assert!(text.contains("gain = path / transfer(voltage(bus), motor), in dB"), "{text}");
    assert!(text.contains("pack_state") && text.contains("soft"), "{text}");
    assert!(!text.contains("sky") && !text.contains("grey") && !text.contains("-0.0 dB"), "{text}");
    assert!(text.contains("n/a") && text.contains("20 kHz") && text.contains("PWM"), "{text}");
}

#[test]
fn the_picture_is_sound_and_marks_the_drives() {
    let pictures = responses::pictures(&found());
    let names: Vec<&str> = pictures.iter().map(|picture| picture.file_name.as_str()).collect();
    assert_eq!(names, ["response_path.svg", "response_gain.svg", "response_inner.svg"]);
    for picture in &pictures {
        let document = roxmltree::Document::parse(&picture.text).expect("well-formed");
        let words: Vec<&str> = document.descendants().filter_map(|node| node.text()).collect();
        assert!(words.contains(&"motor PWM 20 kHz"), "{words:?}");
        assert!(words.contains(&"none (baseline)") && words.contains(&"coil"), "{words:?}");
        assert!(words.contains(&"1 kHz"), "{words:?}");
    }
    let paths = |text: &str| text.matches("<path ").count();
    // Two options, each in two states of the pack; the gain sees no pack; one option lacks the inner node.
    assert_eq!(pictures.iter().map(|picture| paths(&picture.text)).collect::<Vec<_>>(), [4, 2, 1]);
}

/// Where nothing at all has a curve there is a sentence and no picture.
#[test]
fn nothing_to_show_is_said() {
    let source = Source { name: "bench.harness".into(), text: HARNESS.into() };
    let description = language::read(&source, &[]).expect("in order");
    let only = study::Options { only: vec![("filter".into(), "none".into())], ..study::Options::default() };
    let found = study::responses(&description, &only).expect("asked for");
    assert!(responses::table(&found, Style::default()).contains("No option has all the parts and nodes"));
    assert_eq!(responses::pictures(&found).len(), 2);
}

/// A fitted assembly brings its loss, what swings has its row, and every other option what it takes away against the baseline.
#[test]
fn losses_and_resonances_have_their_tables() {
    let text = "\
harness \"Bench\"
assembly section(l, c) in, out { coil choke in -> out inductance l, dcr 50 mohm
    capacitor store out -> gnd capacitance c, esr 30 mohm, esl 10 nH }
supply pack  gnd -> bus voltage 12 V, resistance 0.1 ohm
drive  motor bus -> gnd motors 1, current 1 A, pwm 20 kHz, duty 50 %
load   eye   cam -> gnd resistance 100 ohm
choice filter {
    option none { resistor link bus -> cam resistance 1 mohm }
    option fitted { fit section f bus, cam l 100 uH, c 470 uF }
}
frequency 1 kHz .. 100 kHz, points 5
response path = transfer(voltage(cam), motor)
";
    let source = Source { name: "bench.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let found = study::responses(&description, &study::Options::default()).expect("asked for");
    let text = responses::table(&found, Style::default());
    for line in text.lines() {
        assert!(line.chars().count() <= quietrail_report::table::WIDTH, "{line}");
    }
    // The published L section: 37.35, 55.02 and 62.50 dB.
    let row =
        text.lines().find(|line| line.trim_start().starts_with("50, 50")).unwrap_or_else(|| panic!("{text}"));
    for value in ["37.4 dB", "55.0 dB", "62.5 dB"] {
        assert!(row.contains(value), "{value}: {row}");
    }
    assert!(text.contains("0.1, 100") && text.contains("100, 0.1"), "{text}");
    // In place: the baseline's path over the option's, here at 1 kHz.
    let level = |run: usize| {
        let curve = found.curves[run][0].as_ref().expect("a curve");
        20.0 * curve.decades[0].1.expect("a value").log10()
    };
    let place = text.split("Loss in place").nth(1).unwrap_or_else(|| panic!("{text}"));
    assert!(place.contains(&format!("{:.1} dB", level(0) - level(1))), "{place}");
    let swings = found.resonances[1].first().expect("a resonance");
    assert!(text.contains("Resonances") && text.contains("f.choke and f.store"), "{swings:?} {text}");
}

//! What newcomers mix up and no rule of the language forbids: directions, prefixes, names of nodes.

use language::{Description, Source};
use network::lowered::Warning;
use study::{Options, compare, examine};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// A vehicle with these lines beside its pack.
fn vehicle(lines: &str) -> Description {
    read(&format!(
        "battery pack gnd -> pos  emf 12 V, resistance 40 mohm
        wire main pos -> bus  resistance 5 mohm
        testpoint rail = voltage(bus)
        reading level = mean(rail)
        transient run  span 1 ms, start steady
        {lines}"
    ))
}

/// What is told without a run.
fn drawn(lines: &str) -> Vec<Warning> {
    let examination = examine(&vehicle(lines));
    assert!(examination.errors.is_empty(), "{:#?}", examination.errors);
    examination.warnings.into_iter().map(|noted| noted.warning).collect()
}

/// What is told by a run, with what is told without.
fn run(lines: &str) -> Vec<Warning> {
    let mut compared = compare(&vehicle(lines), &Options::default()).expect("every point is asked for");
    let run = compared.runs.remove(0);
    assert_eq!(run.error, None, "{lines}");
    run.warnings
}

#[track_caller]
fn assert_told(warnings: &[Warning], code: &str, words: &[&str]) {
    let [warning] = warnings else { panic!("{code}: {warnings:#?}") };
    assert_eq!(warning.code, code);
    for word in words {
        assert!(warning.text.contains(word), "{word}: {}", warning.text);
    }
}

const DRIVE: &str = "current 3 A, pwm 20 kHz, duty 60 %, rise 200 ns, fall 200 ns";

#[test]
fn a_drive_turned_round_is_told_with_and_without_a_run() {
    let turned = format!("drive thruster gnd -> bus  {DRIVE}");
    let words = ["drawn from gnd to bus", "pushes current into bus", "write `bus -> gnd`"];
    assert_told(&drawn(&turned), "user_reversed", &words);
    assert_told(&run(&turned), "user_reversed", &words);
    assert!(run(&format!("drive thruster bus -> gnd  {DRIVE}")).is_empty());
}

#[test]
fn a_camera_turned_round_is_told_that_and_not_to_shorten_its_feed() {
    let turned = run("camera eye gnd -> bus  current 160 mA, supply 9 V .. 18 V");
    assert_told(&turned, "user_reversed", &["camera", "does not draw what it should", "write `bus -> gnd`"]);
}

#[test]
fn a_return_of_its_own_does_not_hide_a_direction() {
    let with_return = |nodes: &str| {
        drawn(&format!(
            "wire back minus -> gnd  resistance 5 mohm
            diode flyback minus -> bus  drop 0.4 V, resistance 20 mohm
            drive thruster {nodes}  {DRIVE}"
        ))
    };
    assert_told(&with_return("minus -> bus"), "user_reversed", &["from minus to bus"]);
    assert!(with_return("bus -> minus").is_empty());
}

/// Behind a resistor the drawing does not say which node is the higher one, but the run does: 12 V less 45 mohm x 0.1 A.
#[test]
fn where_the_drawing_does_not_tell_the_run_does() {
    let behind = |nodes: &str| {
        let lines = format!(
            "resistor dropper bus -> near  resistance 1 ohm
            resistor shunt far -> gnd  resistance 1 ohm
            load lamp {nodes}  current 100 mA"
        );
        (drawn(&lines), run(&lines))
    };
    let (without, with) = behind("far -> near");
    assert!(without.is_empty(), "{without:#?}");
    assert_told(&with, "user_reversed", &["far is 12 V below near on average", "write `near -> far`"]);
    assert!(behind("near -> far").1.is_empty());
}

#[test]
fn what_may_well_be_drawn_so_is_not_told() {
    // A resistance has no direction, a negative rail feeds from gnd, and so does a source that the drawing knows nothing of.
    for lines in [
        "load lamp gnd -> bus  resistance 100 ohm",
        "supply negative below -> gnd  voltage 5 V\nload lamp gnd -> below  current 100 mA",
        "supply negative gnd -> below  voltage -5 V\nload lamp gnd -> below  current 100 mA",
        "source negative gnd -> below  voltage -5 V\nload lamp gnd -> below  current 100 mA",
    ] {
        let told = run(lines);
        assert!(told.is_empty(), "{lines}: {told:#?}");
    }
}

#[test]
fn a_condition_that_turns_the_feed_is_told_there_alone() {
    let description = vehicle(
        "supply bench gnd -> far  voltage 5 V
        load lamp far -> gnd  current 100 mA
        condition state { case right { set bench.voltage = 5 V } case wrong { set bench.voltage = -5 V } }",
    );
    let compared = compare(&description, &Options::default()).expect("every point is asked for");
    let counts: Vec<usize> = compared.runs.iter().map(|run| run.warnings.len()).collect();
    assert_eq!(counts, [0, 1]);
    assert_told(&compared.runs[1].warnings, "user_reversed", &["from far to gnd"]);
}

/// The camera's own capacitor and a second one leave a node without any way for direct current.
#[test]
fn a_camera_that_nothing_feeds_is_told_that_first() {
    let lines = |node: &str| {
        format!(
            "wire feed bus -> tap  resistance 10 mohm
            resistor bleeder tap -> gnd  resistance 10 kohm
            camera eye {node} -> gnd  current 160 mA, supply 9 V .. 18 V, input_resistance 10 kohm
            capacitor store {node} -> gnd  capacitance 100 uF, esr 50 mohm"
        )
    };
    let told = run(&lines("tapp"));
    assert_told(&told, "camera_under_supply", &["nothing connects its node tapp to a source"]);
    assert!(!told[0].text.contains("shorten"), "{}", told[0].text);
    assert!(run(&lines("tap")).is_empty());
}

#[test]
fn a_prefix_that_is_off_is_told_with_what_was_meant() {
    let cells = "battery spare gnd -> far  cells 4, cell_resistance";
    let lamp = "load lamp far -> gnd  resistance 100 ohm";
    let store = "capacitor store bus -> gnd  capacitance";
    for (lines, words) in [
        (
            format!("{cells} 5 Mohm\n{lamp}"),
            ["`cell_resistance` is 5 Mohm, more than ten million times", "mean 5 mohm?"],
        ),
        (format!("{store} 220 uF, esr 80 ohm"), ["a loss factor of 13 at 120 Hz", "mean 80 mohm?"]),
        (
            format!("{store} 220 uF, esr 60 Mohm"),
            ["more than ten million times what a capacitor has", "mean 60 mohm?"],
        ),
        (format!("{store} 470 mF, esr 60 mohm"), ["only double-layer capacitors", "mean 470 uF?"]),
        (format!("{store} 220 uF, esr 60 mohm, esl 15 mH"), ["`esl` is 15 mH", "mean 15 nH?"]),
        ("camera eye bus -> gnd  current 160 A, supply 1 V .. 18 V".into(), ["ten times", "mean 160 mA?"]),
        (format!("{store} 220 uF, leakage 1 mohm"), ["less than a millionth", "mean 1 Mohm?"]),
        (
            "testpoint slow = voltage(bus), bandwidth 20 mHz".into(),
            ["slow: `bandwidth` is 20 mHz", "mean 20 MHz?"],
        ),
        (
            "wire w bus -> far  resistance 20 Mohm\nload l far -> gnd  resistance 1 kohm".into(),
            ["`resistance` is 20 Mohm", "mean 20 mohm?"],
        ),
    ] {
        assert_told(&drawn(&lines), "unlikely_value", &words);
    }
}

/// The ends of what is sold: a coin cell, a small electrolytic's esr by its loss factor of 0.12, double-layer capacitors.
#[test]
fn honest_values_are_not_remarked() {
    for lines in [
        "testpoint slow = voltage(bus), bandwidth 1 Hz",
        "battery spare gnd -> far  cells 1, chemistry alkaline, cell_resistance 5 ohm\nload lamp far -> gnd  resistance 1 kohm",
        "battery spare gnd -> far  cells 12, cell_resistance 0.2 mohm\nload lamp far -> gnd  resistance 1 kohm",
        "capacitor store bus -> gnd  capacitance 1 uF, esr 159 ohm",
        "capacitor store bus -> gnd  capacitance 58 F, esr 22 mohm",
        "capacitor store bus -> gnd  capacitance 1 F, esr 30 ohm",
        "capacitor store bus -> gnd  capacitance 1 pF",
        "capacitor store bus -> gnd  capacitance 1 F",
    ] {
        let told = drawn(lines);
        assert!(told.is_empty(), "{lines}: {told:#?}");
    }
}

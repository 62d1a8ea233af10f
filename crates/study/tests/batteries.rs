//! Batteries from the text of a harness on: cells, published models, limits, against published figures and by hand.

use language::{Description, Source};
use study::result::Run;
use study::{Options, compare, examine};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{text}\n{mistakes:#?}"))
}

fn run_text(text: &str) -> Run {
    let run = compare(&read(text), &Options::default()).expect("every point is asked for").runs.remove(0);
    assert_eq!(run.error, None, "{text}");
    run
}

/// A battery `it` with a constant current drawn from it.
fn run(part: &str, ampere: f64) -> Run {
    run_text(&format!(
        "battery it gnd -> bus  {part}\nload light bus -> gnd  current {ampere} A\ntestpoint rail = voltage(bus)\nreading volts = mean(rail)\ntransient run  span 1 ms, start steady\n"
    ))
}

fn fact(run: &Run, name: &str) -> f64 {
    let part = run.parts.iter().find(|part| part.name == "it").expect("a part with facts");
    let found = part.facts.iter().find(|fact| fact.name == name);
    found.unwrap_or_else(|| panic!("no {name} in {:?}", part.facts)).value
}

fn reading(run: &Run, name: &str) -> f64 {
    let found = run.readings.iter().find(|reading| reading.name == name);
    found.and_then(|reading| reading.value).expect("a reading with a value")
}

fn codes(run: &Run) -> Vec<&str> {
    run.warnings.iter().map(|warning| warning.code).collect()
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// Chen and Rincon-Mora, IEEE Transactions on Energy Conversion 21 (2006): open-circuit voltage of a cell (1e-5).
#[test]
fn open_circuit_voltage_by_charge() {
    for (charge, volt) in [(10, 3.67457), (30, 3.74769), (50, 3.80336), (80, 3.94598), (100, 4.1029)] {
        let found = run(&format!("cells 1, chemistry li_po, charge {charge} %"), 0.0);
        assert_close(fact(&found, "open_circuit_voltage"), volt, 1e-5);
        assert_close(reading(&found, "volts"), volt, 1e-5);
        let found = run(&format!("cells 4, parallel 2, chemistry li_ion, charge {charge} %"), 0.0);
        assert_close(fact(&found, "open_circuit_voltage"), 4.0 * volt, 1e-5);
        assert_close(fact(&found, "cell_voltage"), volt, 1e-5);
    }
}

/// The same paper's elements at 10 % and 50 % (1e-4), of its own cell and of packs.
#[test]
fn published_elements_by_charge() {
    let rows = [
        (10, [0.088_115, 0.064_096, 508.61, 0.049_841, 4072.9]),
        (50, [0.074_461, 0.046_69, 702.72, 0.049_84, 4475.0]),
    ];
    let names = [
        "resistance",
        "polarisation_resistance",
        "polarisation_capacitance",
        "polarisation_resistance_2",
        "polarisation_capacitance_2",
    ];
    for (charge, expected) in rows {
        let one = run(&format!("cells 1, chemistry li_po, charge {charge} %, cell_model published"), 0.0);
        // Three in series, two in parallel, of 1.7 Ah each: resistances times 3 / 2 / 2, capacitances the other way round.
        let pack = run(
            &format!(
                "cells 3, parallel 2, chemistry li_po, charge {charge} %, capacity 3400 mAh, cell_model published"
            ),
            0.0,
        );
        for (name, expected) in names.into_iter().zip(expected) {
            assert_close(fact(&one, name), expected, 1e-4);
            let scale = if name.contains("capacitance") { 4.0 / 3.0 } else { 0.75 };
            assert_close(fact(&pack, name), expected * scale, 1e-4);
        }
    }
}

/// After all pairs have settled the pack gives e - i (R0 + Rs + Rl): 1 A from one cell at half charge.
#[test]
fn slow_pairs_sag_in_the_end() {
    let part = "cells 1, chemistry li_po, charge 50 %, cell_model published";
    let settled = reading(&run(part, 1.0), "volts");
    assert!((settled - (3.80336 - 0.074_461 - 0.046_69 - 0.049_84)).abs() < 1e-5, "{settled}");
    // Right after a step only the series resistance counts; the pair of seconds has 1 - e^(-t/32.8 s) of its share after t.
    let text = format!(
        "battery it gnd -> bus  {part}, inductance 0 H
        source draw bus -> gnd  current [0 s: 0 A, 1 ms: 0 A, 1.001 ms: 1 A]
        testpoint rail = voltage(bus)
        reading early = at(rail, 1.01 ms)
        reading late  = at(rail, 32.81 s)
        transient run  span 33 s, start operating"
    );
    let found = run_text(&text);
    assert!((reading(&found, "early") - (3.80336 - 0.074_461)).abs() < 1e-5);
    let share = |seconds: f64| 1.0 - (-seconds).exp();
    let (short, long) =
        (0.046_69 * share(32.809 / (0.046_69 * 702.72)), 0.049_84 * share(32.809 / (0.049_84 * 4475.0)));
    let late = reading(&found, "late");
    assert!((late - (3.80336 - 0.074_461 - short - long)).abs() < 1e-5, "{late}");
}

/// Bird, Electrical and Electronic Principles and Technology, examples 4.1 to 4.3: V = E - I r; cells in series and in parallel.
#[test]
fn internal_resistance() {
    for (ampere, volt) in [(5.0, 1.9), (50.0, 1.0)] {
        assert_close(reading(&run("emf 2 V, resistance 0.02 ohm", ampere), "volts"), volt, 1e-9);
    }
    assert_close(reading(&run("emf 25 V, resistance 0.1 ohm", 10.0), "volts"), 24.0, 1e-9);
    let series = run("cells 8, chemistry ni_mh, cell_resistance 0.2 ohm", 0.0);
    let parallel = run("cells 1, parallel 8, chemistry ni_mh, cell_resistance 0.2 ohm", 0.0);
    assert_close(fact(&series, "resistance"), 1.6, 1e-9);
    assert_close(fact(&parallel, "resistance"), 0.025, 1e-9);
    assert_close(fact(&series, "open_circuit_voltage"), 8.0 * fact(&parallel, "open_circuit_voltage"), 1e-12);
    assert_close(fact(&parallel, "cell_resistance"), 0.2, 1e-9);
}

/// exp(2500 K (1/273.15 K - 1/295.15 K)) = 1.9783 at freezing; wear multiplies.
#[test]
fn cold_and_wear_multiply_the_resistance() {
    let resistance = |more: &str| {
        fact(
            &run(&format!("cells 2, chemistry li_po, charge 60 %, cell_resistance 5 mohm{more}"), 0.0),
            "resistance",
        )
    };
    assert_close(resistance(""), 10e-3, 1e-12);
    assert_close(resistance(", wear 1.5"), 15e-3, 1e-12);
    assert_close(resistance(", temperature 22 degC"), 10e-3, 1e-9);
    assert_close(resistance(", temperature 0 degC, wear 1.5"), 15e-3 * 1.9783, 1e-4);
    // By the published model the stated resistance is that at half charge.
    let at = |charge: u8| {
        let part = format!(
            "cells 1, chemistry li_po, charge {charge} %, cell_resistance 5 mohm, capacity 2 Ah, cell_model published"
        );
        fact(&run(&part, 0.0), "resistance")
    };
    assert_close(at(50), 5e-3, 1e-12);
    assert_close(at(10), 5e-3 * 0.088_115 / 0.074_461, 1e-4);
}

/// A usual resistance goes with the inverse of a cell's capacity; without a capacity it is what it was before.
#[test]
fn capacity_scales_the_usual_resistance() {
    let resistance = |more: &str| fact(&run(&format!("cells 1, chemistry li_po{more}"), 0.0), "resistance");
    assert_close(resistance(""), 6e-3, 1e-12);
    assert_close(resistance(", capacity 2200 mAh"), 6e-3, 1e-12);
    assert_close(resistance(", capacity 1100 mAh"), 12e-3, 1e-12);
    assert_close(resistance(", parallel 2, capacity 2200 mAh"), 6e-3, 1e-12);
    // 2.2 Ah x 3.7 V over 150 Wh/kg.
    assert_close(fact(&run("cells 1, chemistry li_po, capacity 2200 mAh", 0.0), "mass"), 0.054_27, 1e-3);
}

/// Two hobby guides on pouch cells, a public note on cans of the size 18650.
#[test]
fn worn_cells_are_told() {
    for (chemistry, milliohm, worn) in [
        ("li_po", 4, false),
        ("li_po", 7, false),
        ("li_po", 12, false),
        ("li_po", 15, true),
        ("li_po", 18, true),
        ("li_po", 30, true),
        ("li_ion", 22, false),
        ("li_ion", 200, false),
        ("li_ion", 300, true),
        ("li_ion", 400, true),
    ] {
        let found = run(&format!("cells 3, chemistry {chemistry}, cell_resistance {milliohm} mohm"), 0.0);
        assert_eq!(codes(&found).contains(&"worn_cell"), worn, "{chemistry} {milliohm} mohm");
    }
    // Grown to 18 mohm.
    let found = run("cells 3, chemistry li_po, cell_resistance 6 mohm, wear 3", 0.0);
    assert_eq!(codes(&found), ["worn_cell"]);
}

/// Usual limits of a cell: 4.20 V and 3.0 V (2.5 V of cans) with a layered oxide, 3.65 V and 2.5 V of iron phosphate.
#[test]
fn cells_outside_their_limits_are_told() {
    for (chemistry, limit, cutoff) in [("li_po", 4.2, 3.0), ("li_ion", 4.2, 2.5), ("li_fe", 3.65, 2.5)] {
        let at_rest =
            run(&format!("cells 4, chemistry {chemistry}, charge 50 %, cell_resistance 10 mohm"), 0.0);
        assert_close(fact(&at_rest, "full_pack_voltage"), 4.0 * limit, 1e-12);
        assert_close(fact(&at_rest, "cutoff_pack_voltage"), 4.0 * cutoff, 1e-12);
        let cell = fact(&at_rest, "cell_voltage");
        let codes_at = |ampere: f64| {
            let text = format!(
                "battery it gnd -> bus  cells 4, chemistry {chemistry}, charge 50 %, cell_resistance 10 mohm\nsource draw bus -> gnd  current {ampere} A\ntransient run  span 1 ms, start steady\n"
            );
            run_text(&text).warnings.iter().map(|warning| warning.code).collect::<Vec<_>>()
        };
        for (volt, code) in [(limit, "cell_above_charge_limit"), (cutoff, "cell_below_cutoff")] {
            let reaching = (cell - volt) / 10e-3;
            assert_eq!(codes_at(reaching * 0.99), [""; 0], "{chemistry}");
            assert_eq!(codes_at(reaching * 1.01), [code], "{chemistry}");
        }
    }
    // A stated limit stands before the chemistry's.
    let part = "cells 1, chemistry li_po, charge 5 %, cell_resistance 10 mohm";
    assert_eq!(codes(&run(part, 60.0)), ["cell_below_cutoff"]);
    assert_eq!(codes(&run(&format!("{part}, cutoff_voltage 2.5 V"), 60.0)), [""; 0]);
}

/// The curve's end is drawn to the stated voltage; at half charge 1/32 of the 97 mV are left.
#[test]
fn a_full_cell_from_the_charger() {
    let volts = |charge: u8| {
        fact(
            &run(&format!("cells 1, chemistry li_ion, charge {charge} %, full_voltage 4.2 V"), 0.0),
            "cell_voltage",
        )
    };
    assert_close(volts(100), 4.2, 1e-12);
    assert_close(volts(50), 3.803_36 + (4.2 - 4.1029) / 32.0, 1e-5);
    assert!((0..100).all(|charge| volts(charge + 1) > volts(charge)));
    let text =
        "battery it gnd -> bus  cells 4, full_voltage 16.8 V\nload light bus -> gnd  resistance 100 ohm\n";
    let errors = examine(&read(text)).errors;
    assert!(
        errors.len() == 1 && errors[0].message.contains("a full cell of li_ion has about 4.1"),
        "{errors:?}"
    );
}

/// 2.2 Ah at 10C are 22 A.
#[test]
fn more_than_the_rating_is_told() {
    let part = "cells 3, chemistry li_po, charge 80 %, capacity 2200 mAh, discharge_rating 10";
    assert_close(fact(&run(part, 1.0), "greatest_current"), 22.0, 1e-12);
    assert_eq!(codes(&run(part, 21.9)), [""; 0]);
    assert_eq!(codes(&run(part, 22.1)), ["battery_over_current"]);
}

/// Before any run, and for what lies behind feeds alone: not behind a regulator, a divider or in the feed itself.
#[test]
fn capacitors_rated_below_the_full_pack_are_told() {
    let told = |more: &str| {
        let text = format!(
            "battery pack gnd -> pos  cells 4, chemistry li_ion, charge 10 %\nwire main pos -> bus  resistance 10 mohm\nload light bus -> gnd  resistance 10 ohm\n{more}\n"
        );
        let warnings = examine(&read(&text)).warnings;
        warnings.iter().any(|warning| warning.warning.code == "capacitor_rated_below_pack")
    };
    let store = |node: &str, rated: &str| {
        format!("capacitor c {node} -> gnd  capacitance 10 uF, esr 10 mohm, rated {rated}")
    };
    assert!(told(&store("bus", "16 V")) && !told(&store("bus", "25 V")));
    let chain = "coil l bus -> a  inductance 1 uH, dcr 1 ohm\nresistor r a -> b  resistance 1 ohm\ndiode d b -> cam  drop 0.4 V\n";
    assert!(told(&format!("{chain}{}", store("cam", "16 V"))));
    // The cautions ask for a fuse in the feed: it must not hide this.
    for part in [
        "fuse f bus -> cam  rated 1 A",
        "connector j bus -> cam  rated 5 A",
        "bead z bus -> cam  peak_resistance 600 ohm, inductance 1 uH, capacitance 1 pF",
    ] {
        assert!(told(&format!("{part}\n{}", store("cam", "16 V"))), "{part}");
    }
    assert!(told(
        "wire back minus -> gnd  resistance 1 mohm\ncapacitor c minus -> bus  capacitance 10 uF, esr 10 mohm, rated 16 V"
    ));
    let regulated = "regulator five bus -> out  output 5 V\nload eye out -> gnd  resistance 100 ohm\n";
    assert!(!told(&format!("{regulated}{}", store("out", "10 V"))));
    let divided =
        "resistor upper bus -> mid  resistance 10 kohm\nresistor lower mid -> gnd  resistance 10 kohm\n";
    assert!(!told(&format!("{divided}{}", store("mid", "10 V"))));
    assert!(!told(
        "coil l bus -> cam  inductance 1 uH\nload eye cam -> gnd  resistance 10 ohm\ncapacitor c bus -> cam  capacitance 10 uF, esr 10 mohm, rated 6 V"
    ));
    let backwards = "diode d cam -> bus  drop 0.4 V\nload eye cam -> gnd  resistance 10 ohm\n";
    assert!(!told(&format!("{backwards}{}", store("cam", "6 V"))));
}

/// A camera that browns out is told with the charge at which it does.
#[test]
fn a_brown_out_says_at_which_charge() {
    let text = "battery pack gnd -> bus  cells 3, chemistry li_po, charge 5 %, cell_resistance 10 mohm
        camera eye bus -> gnd  current 100 mA, supply 11 V .. 18 V
        transient run  span 1 ms, start steady";
    let warnings = run_text(text).warnings;
    let told = warnings.iter().find(|warning| warning.code == "camera_under_supply").expect("told");
    assert!(told.text.contains("it needs 11 V, with pack at 5 % charge;"), "{}", told.text);
}

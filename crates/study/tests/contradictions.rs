//! Harnesses that contradict themselves, leave something open, or ask for what has no answer: each ends in a sentence that names
//! the part or the node. And their neighbours, which look as odd but have an answer.

use language::Source;
use study::result::Run;
use study::{Options, compare, examine};

/// A harness and what is said of it.
struct Case {
    name: &'static str,
    parts: &'static str,
    start: &'static str,
    said: &'static str,
}

/// What a user is told first: mistakes of the text, values that cannot be, why the run has no result, then warnings and remarks.
fn told(parts: &str, start: &str) -> (String, Option<Run>) {
    let text = format!("{parts}\ntransient span 1 ms, start {start}\n");
    let source = Source { name: "case.harness".to_owned(), text };
    let description = match language::read(&source, &[]) {
        Ok(description) => description,
        Err(mistakes) => return (sentences(mistakes.into_iter().map(|mistake| mistake.message)), None),
    };
    let errors = examine(&description).errors;
    if !errors.is_empty() {
        return (sentences(errors.into_iter().map(|error| error.message)), None);
    }
    let mut comparison = compare(&description, &Options::default()).expect("no option is unknown");
    let run = comparison.runs.remove(0);
    if let Some(error) = &run.error {
        return (error.clone(), Some(run));
    }
    let warnings = run.warnings.iter().map(|warning| warning.text.clone());
    let remarks = description.remarks().iter().map(|remark| remark.message.clone());
    (sentences(warnings.chain(remarks)), Some(run))
}

fn sentences(all: impl Iterator<Item = String>) -> String {
    all.collect::<Vec<_>>().join(" | ")
}

const CASES: &[Case] = &[
    Case {
        name: "two batteries without resistance side by side",
        parts: "
            battery first gnd -> bus emf 12 V
            battery second gnd -> bus emf 11 V
            load lamp bus -> gnd resistance 10 ohm",
        start: "steady",
        said: "first and second form a loop without resistance; give one of them a resistance",
    },
    Case {
        name: "a battery plugged straight onto a capacitor",
        parts: "
            battery pack gnd -> bus emf 12 V
            capacitor bulk bus -> gnd capacitance 100 uF
            load lamp bus -> gnd resistance 10 ohm",
        start: "rest",
        said: "the voltage of `pack` jumps, but across `bulk` it meets only capacitance, where a jump is impossible",
    },
    Case {
        name: "pulses that jump across a capacitor behind another source",
        parts: "
            generator pulses gnd -> hot level 2 V, width 5 us, period 100 us
            battery bias hot -> top emf 3 V
            capacitor store top -> gnd capacitance 10 uF
            load lamp top -> gnd resistance 10 ohm",
        start: "steady",
        said: "the voltage of `pulses` jumps, but across `store` it meets only capacitance, where a jump is impossible",
    },
    Case {
        name: "a constant power at the end of an inductance",
        parts: "
            battery pack gnd -> pos emf 12 V, resistance 10 mohm
            drive motor pos -> gnd current 1 A, pwm 20 kHz, duty 50 %, rise 1 us, fall 1 us
            coil choke pos -> out inductance 1 uH, dcr 10 mohm
            load unit out -> gnd power 14.4 W, below 6 V",
        start: "steady",
        said: "there is no steady state: choke run away, growing e-fold every 1.007e-7 s, because unit draws more current when its voltage falls; give it the capacitor at its input (`input_capacitance`), without which no inductance can feed it",
    },
    Case {
        name: "three sources in a ring",
        parts: "
            battery low gnd -> a emf 4 V
            battery high a -> b emf 8 V
            supply all gnd -> b voltage 10 V
            load lamp b -> gnd resistance 10 ohm",
        start: "operating",
        said: "low, high and all form a loop without resistance; give one of them a resistance",
    },
    Case {
        name: "an ideal coil across an ideal source",
        parts: "
            battery pack gnd -> bus emf 12 V
            coil choke bus -> gnd inductance 100 uH",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the current or charge of pack and choke; add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a node between two capacitors",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            capacitor upper bus -> mid capacitance 10 uF
            capacitor lower mid -> gnd capacitance 10 uF
            load lamp bus -> gnd resistance 10 ohm",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the voltage of mid; look for a misspelt node, or add a resistance or a leakage that fixes it",
    },
    Case {
        name: "an undamped tank on a pulse",
        parts: "
            generator pulses gnd -> hot level 2 V, width 5 us, period 100 us
            coil choke hot -> out inductance 100 uH
            capacitor store out -> gnd capacitance 10 uF",
        start: "steady",
        said: "there is no unique periodic steady state: nothing fixes the current or charge of choke and store; give the parts their resistance, or use `start operating`",
    },
    Case {
        name: "an undamped tank aside, not driven",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %
            capacitor bulk bus -> gnd capacitance 100 uF, esr 10 mohm
            coil ring aside -> gnd inductance 10 uH
            capacitor store aside -> gnd capacitance 1 uF",
        start: "steady",
        said: "there is no unique periodic steady state: nothing fixes the current or charge of ring and store; give the parts their resistance, or use `start operating`",
    },
    Case {
        name: "a drive fed through a capacitor only",
        parts: "
            battery pack gnd -> pos emf 12 V, resistance 10 mohm
            capacitor link pos -> bus capacitance 100 uF
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the voltage of bus; look for a misspelt node, or add a resistance or a leakage that fixes it",
    },
    Case {
        name: "two drives in series",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            drive upper bus -> mid current 1 A, pwm 20 kHz, duty 50 %
            drive lower mid -> gnd current 2 A, pwm 20 kHz, duty 30 %",
        start: "steady",
        said: "node mid is fed by fixed currents alone (upper and lower); give the current another path, such as a capacitor or a resistor to gnd",
    },
    Case {
        name: "two coils side by side without resistance",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            coil first bus -> tap inductance 100 uH
            coil second bus -> tap inductance 200 uH
            load lamp tap -> gnd resistance 10 ohm
            drive motor tap -> gnd current 1 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the current or charge of first and second; add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a throttle profile with a steady start",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, throttle [0 s: 20 %, 1 ms: 80 %]",
        start: "steady",
        said: "the throttle of drive `motor` changes with time, so nothing repeats and there is no steady state; use `start operating` or `start rest`",
    },
    Case {
        name: "a load of constant power that a bare filter cannot hold",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 5 mohm
            coil choke bus -> out inductance 100 uH
            capacitor store out -> gnd capacitance 10 uF
            load heater out -> gnd power 30 W, below 3 V",
        start: "steady",
        said: "there is no steady state: choke and store swing up at 4.7494e3 Hz, growing e-fold every 9.603e-5 s, because heater draws more current when its voltage falls; add series resistance or a lossy capacitor in front of it",
    },
    Case {
        name: "a drive with a step into inductance",
        parts: "
            battery pack gnd -> pos emf 12 V, resistance 10 mohm
            wire main pos -> bus inductance 300 nH
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, rise 0 s",
        start: "steady",
        said: "`rise` is 0, but the current of `motor` meets only inductance, where a jump is impossible",
    },
    Case {
        name: "a residual above what saturation leaves",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            coil choke bus -> out inductance 330 uH, saturation_current 350 mA, residual 300 uH
            load lamp out -> gnd resistance 10 ohm",
        start: "steady",
        said: "`choke`: at the saturation current 231 uH are left, which is not above the `residual` 300 uH",
    },
    Case {
        name: "a node that one part alone touches",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance 10 ohm
            resistor stub bus -> nowhere resistance 1 ohm",
        start: "steady",
        said: "only `stub` touches the node `nowhere`",
    },
    Case {
        name: "a battery shorted by a wire of no resistance",
        parts: "
            battery pack gnd -> bus emf 12 V
            wire slip bus -> gnd resistance 0 ohm",
        start: "steady",
        said: "pack and slip form a loop without resistance; give one of them a resistance",
    },
    Case {
        name: "everything open",
        parts: "
            capacitor first a -> b capacitance 10 uF
            capacitor second c -> d capacitance 10 uF",
        start: "steady",
        said: "`a` and another node have no path to gnd | `c` and another node have no path to gnd",
    },
    Case {
        name: "no part at all",
        parts: "
            testpoint rail = voltage(bus)",
        start: "steady",
        said: "no part touches a node `bus`",
    },
    Case {
        name: "a group of parts without a way to gnd",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance 10 ohm
            battery spare a -> b emf 12 V
            load bulb b -> a resistance 10 ohm",
        start: "steady",
        said: "`a` and another node have no path to gnd",
    },
    Case {
        name: "a camera fed by another camera",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            camera front bus -> mid current 100 mA, supply 9 V .. 18 V, input_capacitance 0 uF
            camera rear mid -> gnd current 120 mA, supply 9 V .. 18 V, input_capacitance 0 uF",
        start: "steady",
        said: "front: its supply falls to 6.55 V (20 MHz bandwidth), it needs 9 V; shorten or thicken the feed, take a coil of less resistance, or land with a fuller pack | rear: its supply falls to 5.45 V (20 MHz bandwidth), it needs 9 V; shorten or thicken the feed, take a coil of less resistance, or land with a fuller pack",
    },
    Case {
        name: "a ring of capacitors on an ideal pulse",
        parts: "
            generator pulses gnd -> hot level 2 V, width 5 us, period 100 us, rise 1 us, fall 1 us
            capacitor upper hot -> mid capacitance 10 uF
            capacitor lower mid -> gnd capacitance 10 uF",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the voltage of mid; look for a misspelt node, or add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a load of negative resistance",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance -10 ohm",
        start: "steady",
        said: "`resistance` of `lamp` must be above 0, not -10 ohm",
    },
    Case {
        name: "a pulse longer than its period",
        parts: "
            generator pulses gnd -> hot level 2 V, width 200 us, period 100 us, resistance 50 ohm
            load stand_in hot -> gnd resistance 100 ohm",
        start: "steady",
        said: "the pulse of `pulses` does not end before the next begins",
    },
    Case {
        name: "edges longer than the off-time",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, rise 1 us, fall 40 us",
        start: "steady",
        said: "motor: the edges (1 us and 40 us) are longer than the on or off time (25 us and 25 us) and overlap",
    },
    Case {
        name: "a coil alone in front of a drive",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            coil choke bus -> out inductance 330 uH
            camera eye out -> gnd current 100 mA, supply 9 V .. 18 V, input_capacitance 0 uF
            drive motor bus -> gnd current 5 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "choke: eye draws a constant current and has no capacitance, so the current in the coil never changes and the coil drops no ripple; put a capacitor from out to gnd, or state the input capacitance",
    },
    Case {
        name: "a part with both ends on one node",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance 10 ohm
            coil loop bus -> bus inductance 10 uH",
        start: "steady",
        said: "both ends of `loop` are on `bus`",
    },
    Case {
        name: "a battery with both ends on one node",
        parts: "
            battery pack gnd -> gnd emf 12 V
            battery other gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance 10 ohm",
        start: "steady",
        said: "both ends of `pack` are on `gnd`",
    },
    Case {
        name: "two cameras in series, each with its input capacitor",
        parts: "
            battery pack gnd -> bus emf 24 V, resistance 10 mohm
            camera front bus -> mid current 100 mA, supply 9 V .. 18 V
            camera rear mid -> gnd current 120 mA, supply 9 V .. 18 V",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the voltage of mid; look for a misspelt node, or add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a load of constant power behind a coil that saturates",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 5 mohm
            coil choke bus -> out inductance 100 uH, saturation_current 5 A
            capacitor store out -> gnd capacitance 10 uF
            load heater out -> gnd power 30 W, below 3 V
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "there is no steady state: choke and store swing up at 5.0043e3 Hz, growing e-fold every 9.601e-5 s, because heater draws more current when its voltage falls; add series resistance or a lossy capacitor in front of it",
    },
    Case {
        name: "two coils that saturate, side by side without resistance",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            coil first bus -> tap inductance 100 uH, saturation_current 1 A
            coil second bus -> tap inductance 200 uH, saturation_current 1 A
            load lamp tap -> gnd resistance 10 ohm
            drive motor tap -> gnd current 1 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the current or charge of first and second; add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a node between two ceramics",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            capacitor upper bus -> mid capacitance 10 uF, half_voltage 5 V
            capacitor lower mid -> gnd capacitance 10 uF, half_voltage 5 V
            drive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the voltage of mid; look for a misspelt node, or add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a coil on pulses without any resistance",
        parts: "
            generator pulses gnd -> hot level 2 V, width 5 us, period 100 us
            coil choke hot -> gnd inductance 100 uH",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the current or charge of pulses and choke; add a resistance or a leakage that fixes it",
    },
    Case {
        name: "a single pulse with a steady start",
        parts: "
            generator pulse gnd -> hot level 2 V, width 5 us, resistance 50 ohm
            load lamp hot -> gnd resistance 10 ohm",
        start: "steady",
        said: "generator `pulse` gives a single pulse, so nothing repeats and there is no steady state; use `start operating` or `start rest`",
    },
    Case {
        name: "a test point on a node that is not there",
        parts: "
            battery pack gnd -> bus emf 12 V, resistance 10 mohm
            load lamp bus -> gnd resistance 10 ohm
            testpoint rail = voltage(buss)",
        start: "steady",
        said: "no part touches a node `buss`",
    },
    Case {
        name: "a coil between two sources without resistance",
        parts: "
            generator pulses gnd -> hot level 2 V, width 5 us, period 100 us
            battery pack gnd -> bus emf 12 V
            coil choke hot -> bus inductance 100 uH",
        start: "steady",
        said: "there is no unique operating point: nothing fixes the current or charge of pulses, pack and choke; add a resistance or a leakage that fixes it",
    },
];

#[test]
fn contradictions_end_in_a_sentence_with_a_name() {
    assert!(CASES.len() >= 20);
    let wrong = CASES.iter().filter_map(|case| {
        let (told, _) = told(case.parts, case.start);
        (told != case.said).then(|| format!("{}:\n  expected {}\n  told     {told}", case.name, case.said))
    });
    let wrong: Vec<String> = wrong.collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The sentences of the table name a part or a node of their harness.
#[test]
fn every_sentence_names_a_part_or_a_node() {
    for case in CASES {
        let names: Vec<&str> = case.parts.lines().flat_map(names).collect();
        let mut words = case.said.split(|letter: char| !letter.is_alphanumeric() && letter != '_');
        assert!(words.any(|word| names.contains(&word)), "{}: {}", case.name, case.said);
    }
}

/// The part and its nodes (without gnd), or the node of a test point.
fn names(line: &str) -> Vec<&str> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let names = match words[..] {
        [_, part, left, "->", right, ..] => vec![part, left, right],
        ["testpoint", _, "=", signal] => vec![signal.trim_start_matches("voltage(").trim_end_matches(')')],
        _ => Vec::new(),
    };
    names.into_iter().filter(|name| *name != "gnd").collect()
}

#[test]
fn drives_without_a_common_period_are_named() {
    let (told, _) = told(
        "
        battery pack gnd -> bus emf 12 V, resistance 10 mohm, inductance 100 nH
        capacitor bulk bus -> gnd capacitance 100 uF, esr 10 mohm
        drive left bus -> gnd current 1 A, pwm 20 kHz, duty 50 %
        drive right bus -> gnd current 1 A, pwm 19.99937 kHz, duty 50 %",
        "steady",
    );
    let expected = "left and right have no common period of at most 1 s: the run settles first and readings then cover only 1 ms of a beat of 1.59 s, so the worst may be missed: make the span longer than a beat, or choose frequencies with a common divisor to have them exact";
    // 20 000 Hz less 19 999.37 Hz is 0.63 Hz.
    assert_eq!(told, expected);
}

/// Every capacitor's voltage is the generator's, so no state is left to look for.
#[test]
fn a_ceramic_across_an_ideal_pulse_has_an_answer() {
    let parts = "
        generator pulses gnd -> hot level 2 V, width 5 us, period 100 us, rise 1 us, fall 1 us
        capacitor ceramic hot -> gnd capacitance 10 uF, half_voltage 5 V
        testpoint pulse = voltage(hot)";
    let expected = 2.0 * 5e-6 / 100e-6;
    let found = mean(parts, "steady");
    assert!((found - expected).abs() < 1e-4 * expected, "{found} against {expected}");
}

fn mean(parts: &str, start: &str) -> f64 {
    let (told, run) = told(parts, start);
    let run = run.unwrap_or_else(|| panic!("{told}"));
    assert_eq!(run.error, None);
    run.testpoints[0].as_ref().expect("the test point is there").mean
}

/// 1 pohm beside 1 Gohm, in series with 10 ohm: the divider by hand.
#[test]
fn resistances_far_apart_divide_as_they_should() {
    let parts = "
        battery pack gnd -> bus emf 12 V
        resistor tiny bus -> tap resistance 1 pohm
        resistor huge bus -> tap resistance 1 Gohm
        load lamp tap -> gnd resistance 10 ohm
        testpoint lamp_voltage = voltage(tap)";
    let expected = 12.0 * 10.0 / (10.0 + 1e-12);
    let found = mean(parts, "steady");
    assert!((found - expected).abs() < 8.0 * f64::EPSILON * expected, "{found}");
}

/// What a start from the operating point cannot tell, a start from rest can: equal capacitors share the step equally.
#[test]
fn capacitors_in_series_share_a_step_from_rest() {
    let parts = "
        battery pack gnd -> bus emf 12 V, resistance 10 mohm
        capacitor upper bus -> mid capacitance 10 uF
        capacitor lower mid -> gnd capacitance 10 uF
        load lamp bus -> gnd resistance 10 ohm
        testpoint middle = voltage(mid)";
    // Half of the divided emf, less what the time constant R C takes of 1 ms: 10 mohm with 10 ohm beside it, 5 uF.
    let (divided, resistance) = (12.0 * 10.0 / 10.01, 0.01 * 10.0 / 10.01);
    let expected = 0.5 * divided * (1.0 - resistance * 5e-6 / 1e-3);
    let found = mean(parts, "rest");
    assert!((found - expected).abs() < 1e-4 * expected, "{found} against {expected}");
}

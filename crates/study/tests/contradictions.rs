//! Harnesses that contradict themselves, leave something open, or ask for what has no answer: each ends in a sentence that names
//! the part or the node.

use language::Source;
use study::{Options, compare, examine};

/// A harness and what is said of it.
struct Case {
    name: &'static str,
    text: &'static str,
    said: &'static str,
}

/// The first thing that is said, in the order in which a user meets it: mistakes of the text, values that cannot be, the failure of
/// a run, then warnings and remarks; nothing where all is well.
fn said(text: &str) -> String {
    let source = Source { name: "case.harness".to_owned(), text: text.to_owned() };
    let description = match language::read(&source, &[]) {
        Ok(description) => description,
        Err(mistakes) => return mistakes.iter().map(|m| m.message.clone()).collect::<Vec<_>>().join(" | "),
    };
    let errors = examine(&description).errors;
    if !errors.is_empty() {
        return errors
            .iter()
            .map(|one| format!("{}: {}; {}", one.subject, one.message, one.help))
            .collect::<Vec<_>>()
            .join(" | ");
    }
    let comparison = compare(&description, &Options::default()).expect("no option is unknown");
    let run = &comparison.runs[0];
    if let Some(error) = &run.error {
        return error.clone();
    }
    let warnings = run.warnings.iter().map(|warning| warning.text.clone());
    let remarks = description.remarks().iter().map(|remark| remark.message.clone());
    warnings.chain(remarks).collect::<Vec<_>>().join(" | ")
}

const CASES: &[Case] = &[
    Case {
        name: "two batteries without resistance side by side",
        text: "battery first gnd -> bus emf 12 V\nbattery second gnd -> bus emf 11 V\nload lamp bus -> gnd resistance 10 ohm\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "three sources in a ring",
        text: "battery low gnd -> a emf 4 V\nbattery high a -> b emf 8 V\nsupply all gnd -> b voltage 10 V\nload lamp b -> gnd resistance 10 ohm\ntestpoint rail = voltage(b)\ntransient run span 1 ms, start operating\n",
        said: "?",
    },
    Case {
        name: "an ideal coil across an ideal source",
        text: "battery pack gnd -> bus emf 12 V\ncoil choke bus -> gnd inductance 100 uH\ntestpoint rail = current(choke)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "an ideal coil across an ideal source, operating",
        text: "battery pack gnd -> bus emf 12 V\ncoil choke bus -> gnd inductance 100 uH\ntestpoint rail = current(choke)\ntransient run span 1 ms, start operating\n",
        said: "?",
    },
    Case {
        name: "a node between two capacitors",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncapacitor upper bus -> mid capacitance 10 uF\ncapacitor lower mid -> gnd capacitance 10 uF\nload lamp bus -> gnd resistance 10 ohm\ntestpoint rail = voltage(mid)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a node between two capacitors, operating",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncapacitor upper bus -> mid capacitance 10 uF\ncapacitor lower mid -> gnd capacitance 10 uF\nload lamp bus -> gnd resistance 10 ohm\ntestpoint rail = voltage(mid)\ntransient run span 1 ms, start operating\n",
        said: "?",
    },
    Case {
        name: "an undamped tank on a pulse",
        text: "generator pulses gnd -> hot level 2 V, width 5 us, period 100 us\ncoil choke hot -> out inductance 100 uH\ncapacitor store out -> gnd capacitance 10 uF\ntestpoint rail = voltage(out)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "an undamped tank aside, not driven",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ndrive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %\ncapacitor bulk bus -> gnd capacitance 100 uF, esr 10 mohm\ncoil ring aside -> gnd inductance 10 uH\ncapacitor store aside -> gnd capacitance 1 uF\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a drive fed through a capacitor only",
        text: "battery pack gnd -> pos emf 12 V, resistance 10 mohm\ncapacitor link pos -> bus capacitance 100 uF\ndrive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "two drives in series",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ndrive upper bus -> mid current 1 A, pwm 20 kHz, duty 50 %\ndrive lower mid -> gnd current 2 A, pwm 20 kHz, duty 30 %\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "two coils side by side without resistance",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncoil first bus -> tap inductance 100 uH\ncoil second bus -> tap inductance 200 uH\nload lamp tap -> gnd resistance 10 ohm\ndrive motor tap -> gnd current 1 A, pwm 20 kHz, duty 50 %\ntestpoint rail = voltage(tap)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "two coils side by side without resistance, operating",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncoil first bus -> tap inductance 100 uH\ncoil second bus -> tap inductance 200 uH\nload lamp tap -> gnd resistance 10 ohm\ndrive motor tap -> gnd current 1 A, pwm 20 kHz, duty 50 %\ntestpoint rail = voltage(tap)\ntransient run span 1 ms, start operating\n",
        said: "?",
    },
    Case {
        name: "a throttle profile with a steady start",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ndrive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, throttle [0 s: 20 %, 1 ms: 80 %]\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a load of constant power that a bare filter cannot hold",
        text: "battery pack gnd -> bus emf 12 V, resistance 5 mohm\ncoil choke bus -> out inductance 100 uH\ncapacitor store out -> gnd capacitance 10 uF\nload heater out -> gnd power 30 W, below 3 V\ntestpoint rail = voltage(out)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a load of constant power beyond what the battery gives",
        text: "battery pack gnd -> bus emf 12 V, resistance 1 ohm\nload heater bus -> gnd power 100 W, below 1 V\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a drive with a step into inductance",
        text: "battery pack gnd -> pos emf 12 V, resistance 10 mohm\nwire main pos -> bus inductance 300 nH\ndrive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, rise 0 s\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a residual above what saturation leaves",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncoil choke bus -> out inductance 330 uH, saturation_current 350 mA, residual 300 uH\nload lamp out -> gnd resistance 10 ohm\ntestpoint rail = voltage(out)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a node that one part alone touches",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\nload lamp bus -> gnd resistance 10 ohm\nresistor stub bus -> nowhere resistance 1 ohm\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a battery shorted by a wire of no resistance",
        text: "battery pack gnd -> bus emf 12 V\nwire slip bus -> gnd resistance 0 ohm\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "everything open",
        text: "capacitor first a -> b capacitance 10 uF\ncapacitor second c -> d capacitance 10 uF\ntestpoint rail = voltage(a)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "no part at all",
        text: "testpoint rail = voltage(a)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a group of parts without a way to gnd",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\nload lamp bus -> gnd resistance 10 ohm\nbattery spare a -> b emf 12 V\nload bulb b -> a resistance 10 ohm\ntestpoint rail = voltage(b)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a camera fed by another camera",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncamera front bus -> mid current 100 mA, supply 9 V .. 18 V, input_capacitance 0 uF\ncamera rear mid -> gnd current 120 mA, supply 9 V .. 18 V, input_capacitance 0 uF\ntestpoint rail = voltage(mid)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a ring of capacitors on an ideal pulse",
        text: "generator pulses gnd -> hot level 2 V, width 5 us, period 100 us\ncapacitor upper hot -> mid capacitance 10 uF\ncapacitor lower mid -> gnd capacitance 10 uF\ntestpoint rail = voltage(mid)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a load of negative resistance",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\nload lamp bus -> gnd resistance -10 ohm\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "frequencies without a common period",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm, inductance 100 nH\ncapacitor bulk bus -> gnd capacitance 100 uF, esr 10 mohm\ndrive left bus -> gnd current 1 A, pwm 20 kHz, duty 50 %\ndrive right bus -> gnd current 1 A, pwm 19.99937 kHz, duty 50 %\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a pulse longer than its period",
        text: "generator pulses gnd -> hot level 2 V, width 200 us, period 100 us, resistance 50 ohm\nload stand_in hot -> gnd resistance 100 ohm\ntestpoint rail = voltage(hot)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "edges longer than the off-time",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ndrive motor bus -> gnd current 1 A, pwm 20 kHz, duty 50 %, rise 1 us, fall 40 us\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a coil alone in front of a drive",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\ncoil choke bus -> out inductance 330 uH\ncamera eye out -> gnd current 100 mA, supply 9 V .. 18 V, input_capacitance 0 uF\ndrive motor bus -> gnd current 5 A, pwm 20 kHz, duty 50 %\ntestpoint rail = voltage(out)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a part with both ends on one node",
        text: "battery pack gnd -> bus emf 12 V, resistance 10 mohm\nload lamp bus -> gnd resistance 10 ohm\ncoil loop bus -> bus inductance 10 uH\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
    Case {
        name: "a battery with both ends on one node",
        text: "battery pack gnd -> gnd emf 12 V\nbattery other gnd -> bus emf 12 V, resistance 10 mohm\nload lamp bus -> gnd resistance 10 ohm\ntestpoint rail = voltage(bus)\ntransient run span 1 ms, start steady\n",
        said: "?",
    },
];

#[test]
fn print() {
    for case in CASES {
        let clock = std::time::Instant::now();
        let got = std::panic::catch_unwind(|| said(case.text)).unwrap_or_else(|_| "PANIC".into());
        println!("## {}\n   {} [{:?}]", case.name, got, clock.elapsed());
    }
}

//! Fuses, connectors, clamps and returns from the text of a harness on, against closed forms.

use language::{Description, Source};
use study::result::Run;
use study::{Options, compare, examine};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn run(text: &str) -> Run {
    let mut compared = compare(&read(text), &Options::default()).expect("every point is asked for");
    let run = compared.runs.remove(0);
    assert_eq!(run.error, None);
    run
}

fn value(run: &Run, name: &str) -> f64 {
    let reading = run.readings.iter().find(|reading| reading.name == name);
    reading.and_then(|reading| reading.value).expect("a reading of that name with a value")
}

fn codes(run: &Run) -> Vec<&str> {
    run.warnings.iter().map(|warning| warning.code).collect()
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// A plug with an anti-spark resistor: a capacitor charges through R1 = 10 ohm for 5 ms, then through the contacts; after each, what
/// is left is V e^(-t/RC). The open contacts' 1 Mohm charge it by 1 ms/(1 Mohm x 470 uF) = 2e-6 of V before.
#[test]
fn a_plug_charges_through_its_resistor_first() {
    let run = run("battery pack gnd -> bus  emf 12 V, resistance 40 mohm
        connector plug bus -> far  closes 1 ms, contact_resistance 10 mohm, anti_spark_resistance 10 ohm, anti_spark_time 5 ms
        capacitor bulk far -> gnd  capacitance 470 uF, esr 50 mohm
        testpoint inrush = current(plug)
        testpoint charged = voltage(bulk)
        reading first = at(inrush, 1.000001 ms)
        reading second = at(inrush, 6.000001 ms)
        reading end = at(charged, 9 ms)
        transient plugging  span 10 ms, start rest");
    let (first, contacts) = (0.04 + 10.0 + 0.05, 0.04 + 1.0 / (1.0 / 0.01 + 1.0 / 10.0) + 0.05);
    // A nanosecond after the moves: a thousandth part of each time constant (4.7 ms and 47 us) is 1e-3 x 4.7 ms.
    assert_close(value(&run, "first"), 12.0 / first, 1e-5);
    let left = 12.0 * (-5e-3_f64 / (first * 470e-6)).exp();
    assert_close(value(&run, "second"), left / contacts, 1e-4);
    assert_close(value(&run, "end"), 12.0, 1e-6);
}

/// Bounces: a constant load of 1 ohm sees 12 V while the contacts are together. One bounce of 2 ms: 1 ms together, 1 ms apart.
#[test]
fn bouncing_contacts_part_for_half_of_their_time() {
    let run = run("battery pack gnd -> bus  emf 12 V
        connector plug bus -> far  closes 1 ms, contact_resistance 1 uohm, bounces 1, bounce_time 2 ms
        resistor lamp far -> gnd  resistance 1 ohm
        testpoint rail = voltage(far)
        reading before = at(rail, 0.5 ms)
        reading together = at(rail, 1.5 ms)
        reading apart = at(rail, 2.5 ms)
        reading stays = mean(rail) over 3 ms .. 10 ms
        transient plugging  span 10 ms, start operating");
    // 1 Mohm while apart: 12 uV of 12 V.
    assert!(value(&run, "before").abs() < 13e-6 && value(&run, "apart").abs() < 13e-6);
    assert_close(value(&run, "together"), 12.0, 2e-6);
    assert_close(value(&run, "stays"), 12.0, 2e-6);
}

/// A mated connector repeats, so a steady state exists; it is a resistance: 2 A through 10 mohm.
#[test]
fn a_mated_connector_is_a_resistance() {
    let run = run("supply bench gnd -> bus  voltage 12 V
        connector plug bus -> far  contact_resistance 10 mohm, rated 1 A
        source sink far -> gnd  current 2 A
        testpoint across = voltage(plug)
        reading lost = mean(across)
        transient run  span 1 ms, start steady");
    assert_close(value(&run, "lost"), 20e-3, 1e-9);
    assert_eq!(codes(&run), ["connector_over_rating"]);
}

/// A surge of 60 V through 2 ohm: with the line through (21.06 V, 0 A) and (29.2 V, 20.5 A), R = 0.397 ohm, the current is
/// (60 - 21.06)/(2 + 0.397).
#[test]
fn a_clamp_holds_the_voltage() {
    let text = |polarity: &str, sign: &str| {
        format!(
            "source surge gnd -> far  voltage {sign}60 V
            resistor series far -> end  resistance 2 ohm
            clamp guard end -> gnd  standoff 18 V, clamping 29.2 V, peak_current 20.5 A, polarity {polarity}
            testpoint rail = voltage(end)
            testpoint through = current(guard)
            reading volts = mean(rail)
            reading amperes = mean(through)
            transient run  span 1 ms, start rest"
        )
    };
    let breakdown = 1.17 * 18.0;
    let slope = (29.2 - breakdown) / 20.5;
    let current = (60.0 - breakdown) / (2.0 + slope);
    // The leakage of 1 nS is 1e-9 of the conductances.
    for polarity in ["unidirectional", "bidirectional"] {
        let held = run(&text(polarity, ""));
        assert_close(value(&held, "amperes"), current, 1e-7);
        assert_close(value(&held, "volts"), breakdown + slope * current, 1e-7);
    }
    assert_close(value(&run(&text("bidirectional", "-")), "amperes"), -current, 1e-7);
    let forward = run(&text("unidirectional", "-"));
    assert_close(value(&forward, "amperes"), -(60.0 - 0.8) / (2.0 + slope), 1e-7);
    assert!(codes(&forward).contains(&"clamp_over_current"));
}

/// 3 A through a fuse of 2 A is told; the run goes on.
#[test]
fn a_fuse_is_told_of_and_stays() {
    let run = run("supply bench gnd -> bus  voltage 12 V
        fuse guard bus -> far  rated 2 A, resistance 50 mohm
        source sink far -> gnd  current 3 A
        testpoint across = voltage(guard)
        reading lost = mean(across)
        transient run  span 1 ms, start steady");
    assert_close(value(&run, "lost"), 0.15, 1e-9);
    assert_eq!(codes(&run), ["fuse_over_rating"]);
}

/// 10 A in front of a wire that the rule of thumb gives 2.04 A (20 AWG), which Preece melts at 58.5 A; one in front of a hair of
/// 0.1 mm melts at 80 x 0.1^1.5 = 2.5 A, before the fuse. Behind a fuse of its own a wire is protected.
#[test]
fn a_fuse_is_judged_by_the_wires_behind_it() {
    let said = |wire: &str| -> Vec<String> {
        let text = format!(
            "supply bench gnd -> bus  voltage 12 V
            fuse guard bus -> far  rated 10 A
            {wire}
            load light end -> gnd  current 0.1 A
            transient run  span 1 ms, start steady"
        );
        let found = examine(&read(&text));
        let told = found.warnings.into_iter().map(|noted| noted.warning);
        let about = told.filter(|warning| warning.code == "fuse_above_wire");
        about.map(|warning| warning.text).collect()
    };
    let thin = said("wire feed far -> end  length 300 mm, gauge 20 AWG, spacing 2 mm, return included");
    assert!(thin[0].contains("2.04 A") && thin[0].contains("melts at 58.5 A"), "{thin:?}");
    let hair = said("wire feed far -> end  length 300 mm, diameter 0.1 mm, spacing 2 mm, return included");
    assert!(hair[0].contains("melts at 2.53 A, before the fuse"), "{hair:?}");
    assert!(
        said("wire feed far -> end  length 300 mm, area 6 mm2, spacing 4 mm, return included").is_empty()
    );
    let own = "fuse own far -> mid  rated 1 A\nwire feed mid -> end  length 300 mm, gauge 20 AWG, spacing 2 mm, return included";
    assert!(said(own).is_empty());
}

const VEHICLE: &str = "battery pack gnd -> bus  emf 12 V, resistance 40 mohm
    drive tracks bus -> MOTORS  current 2 A, pwm 20 kHz, duty 50 %
    wire back star -> gnd  resistance 10 mohm
    camera eye bus -> CAMERA  current 100 mA, supply 9 V .. 15 V, input_capacitance 0 F
    transient run  span 1 ms, start steady";

/// 2 A through the 10 mohm that both share make 20 mV peak to peak, seen through the meter's single pole of 20 MHz.
#[test]
fn a_shared_return_is_told_with_its_voltage() {
    let vehicle = |motors: &str, camera: &str| {
        let own = if camera == "minus" { "wire own minus -> gnd  resistance 10 mohm\n" } else { "" };
        format!("{own}{}", VEHICLE.replace("MOTORS", motors).replace("CAMERA", camera))
    };
    let shared = run(&vehicle("star", "star"));
    let told: Vec<_> = shared.warnings.iter().filter(|warning| warning.code == "shared_return").collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!((told[0].weight / 20e-3 - 1.0).abs() < 1e-3, "{told:?}");
    assert!(told[0].text.contains("20 mV peak to peak") && told[0].about == "back", "{told:?}");
    assert_eq!(examine(&read(&vehicle("star", "star"))).warnings.len(), 1);
    for (motors, camera) in [("star", "minus"), ("star", "gnd"), ("gnd", "gnd")] {
        let found = run(&vehicle(motors, camera));
        assert!(!codes(&found).contains(&"shared_return"), "{motors} {camera}: {:?}", found.warnings);
    }
}

/// A Schottky diode of 0.4 V in the feed: the right way round it costs its drop; with the pack reversed it keeps the load from
/// everything but the gigaohm of its leakage, 12 V x 1 nS x 100 ohm = 1.2 uV.
#[test]
fn a_diode_protects_from_a_reversed_pack() {
    let text = |pack: &str| {
        format!(
            "battery pack {pack}  emf 12 V
            diode guard bus -> cam  drop 0.4 V, resistance 20 mohm
            load eye cam -> gnd  resistance 100 ohm
            testpoint rail = voltage(cam)
            reading volts = mean(rail)
            transient run  span 1 ms, start steady"
        )
    };
    let right = run(&text("gnd -> bus"));
    assert_close(value(&right, "volts"), (12.0 - 0.4) * 100.0 / 100.02, 1e-6);
    assert!(right.warnings.is_empty(), "{:?}", right.warnings);
    let wrong = run(&text("bus -> gnd"));
    assert!(value(&wrong, "volts").abs() < 1.3e-6);
    assert_eq!(codes(&wrong), ["pack_reversed"]);
}

/// 10 A through 24 AWG, which the rule of thumb gives 0.808 A at most; the rms counts, not the mean.
#[test]
fn a_wire_is_judged_by_its_rms_current() {
    let text = |amperes: f64| {
        format!(
            "supply bench gnd -> bus  voltage 12 V
            drive motor end -> gnd  current {amperes} A, pwm 20 kHz, duty 25 %
            wire feed bus -> end  length 300 mm, gauge 24 AWG, spacing 2 mm, return included
            transient run  span 1 ms, start steady"
        )
    };
    // The rms of pulses is I sqrt(duty): 0.85 A and 0.75 A, the means 0.43 A and 0.38 A.
    assert_eq!(codes(&run(&text(1.7))), ["wire_over_current"]);
    assert!(codes(&run(&text(1.5))).is_empty());
}

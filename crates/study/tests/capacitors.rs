//! Capacitors from the text of a harness on: loss factors, cold, codes, tables, ripple and life, against published figures.

use language::{Description, Source};
use study::result::Run;
use study::{Options, compare, examine, responses};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{text}\n{mistakes:#?}"))
}

/// A capacitor `it` on a supply, with readings behind.
fn run(part: &str, more: &str) -> Run {
    let text = format!(
        "supply bench gnd -> bus  voltage 5 V, resistance 1 ohm\ncapacitor it bus -> gnd  {part}\n{more}\ntransient run  span 1 ms, start steady\n"
    );
    let run = compare(&read(&text), &Options::default()).expect("every point is asked for").runs.remove(0);
    assert_eq!(run.error, None, "{part}");
    run
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

/// The size of a capacitor's impedance at some frequencies, with a direct voltage across it.
fn impedance(part: &str, bias: &str, frequencies: &str) -> Vec<f64> {
    let text = format!(
        "source bench gnd -> a  voltage {bias}\nresistor feed a -> x  resistance 1 Mohm\ncapacitor it x -> gnd  {part}\nfrequency [{frequencies}]\nresponse z = impedance(x)\n"
    );
    let found = responses(&read(&text), &Options::default()).expect("every point is asked for");
    let curve = found.curves[0][0].as_ref().expect("a curve");
    curve.values.iter().flatten().map(|value| value.re.hypot(value.im)).collect()
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// ESR = tan(delta) / (2 pi f C), the definition of IEC 60384-1, with the loss factors of a general-purpose catalogue at 120 Hz:
/// 1000 uF 25 V, 470 uF 35 V and 100 uF 50 V have 185.68, 338.63 and 1326.3 mohm (five digits). Stated, looked up, and inverted.
#[test]
fn esr_from_the_loss_factor() {
    for (values, loss, milliohm) in [
        ("capacitance 1000 uF, rated 25 V", 0.14, 185.68),
        ("capacitance 470 uF, rated 35 V", 0.12, 338.63),
        ("capacitance 100 uF, rated 50 V", 0.10, 1326.3),
    ] {
        let stated = run(&format!("{values}, loss_factor {loss}"), "");
        let looked_up = run(&format!("{values}, type electrolytic"), "");
        for found in [stated, looked_up] {
            assert_close(fact(&found, "esr"), milliohm * 1e-3, 1e-4);
            assert_close(fact(&found, "loss_factor"), loss, 1e-9);
        }
        let inverted = run(&format!("{values}, esr {milliohm} mohm"), "");
        assert_close(fact(&inverted, "loss_factor"), loss, 1e-4);
    }
    // At another frequency the same loss factor is another resistance: 0.001 at 1 kHz of 1 uF.
    let film = run("capacitance 1 uF, type film, loss_factor 0.1 %, loss_frequency 1 kHz", "");
    assert_close(fact(&film, "esr"), 0.159_155, 1e-5);
}

/// Bird, Electrical Circuit Theory and Technology, example 39.2: 20 W at 5 kV, 50 Hz and a loss angle of 0.025 rad. By hand with
/// P = w C V^2 tan(delta) that is C = 0.1018 uF and Rp = 1.25 Mohm (four and three digits).
#[test]
fn a_loss_factor_across_the_capacitance() {
    let text = "source mains gnd -> a  voltage sine, amplitude 7.071068 kV, frequency 50 Hz
        capacitor it a -> gnd  capacitance 0.1018 uF, loss_factor 0.0250052, loss_frequency 50 Hz, loss_model parallel
        testpoint into = power(it)
        reading loss = mean(into)
        transient run  span 20 ms, start steady";
    let run = compare(&read(text), &Options::default()).expect("every point is asked for").runs.remove(0);
    assert_eq!(run.error, None);
    assert_close(reading(&run, "loss"), 20.0, 1e-3);
    assert_close(fact(&run, "parallel_resistance"), 1.25e6, 1e-3);
}

/// |ESR + j w ESL + 1/(j w C)| of 470 uF, 30 mohm, 10 nH, and 1/(2 pi sqrt(ESL C)), from the definition (five digits).
#[test]
fn impedance_of_a_real_capacitor() {
    let part = "capacitance 470 uF, esr 30 mohm, esl 10 nH";
    let found = impedance(part, "0 V", "1 kHz, 10 kHz, 1 MHz");
    for (found, milliohm) in found.into_iter().zip([339.89, 44.772, 69.321]) {
        assert_close(found, milliohm * 1e-3, 1e-4);
    }
    assert_close(fact(&run(part, ""), "self_resonance"), 73.413e3, 1e-4);
}

/// Z(T)/Z(+20 degC) at 120 Hz by rated voltage: general-purpose catalogue limits, tests in the style of IEC 60384-4. The resistance
/// of 1 Mohm beside the capacitor takes less than a hundred-thousandth.
#[test]
fn cold_electrolytics_reach_the_catalogues_limit() {
    let rows = [
        (6.3, 4.0, 8.0),
        (10.0, 3.0, 6.0),
        (16.0, 2.0, 4.0),
        (25.0, 2.0, 4.0),
        (35.0, 2.0, 3.0),
        (50.0, 2.0, 3.0),
    ];
    for (rated, cool, cold) in rows {
        let at = |celsius: f64| {
            let part =
                format!("type electrolytic, capacitance 220 uF, rated {rated} V, temperature {celsius} degC");
            impedance(&part, "0 V", "120 Hz")[0]
        };
        assert_close(at(-25.0) / at(20.0), cool, 1e-4);
        assert_close(at(-40.0) / at(20.0), cold, 1e-4);
        assert!(at(-10.0) / at(20.0) > 1.0 && at(-10.0) < at(-25.0));
    }
}

/// Only what is said to be an electrolytic grows in the cold; age counts for all.
#[test]
fn cold_and_age_multiply_the_esr() {
    let esr = |part: &str| fact(&run(part, ""), "esr");
    let part = "capacitance 220 uF, esr 40 mohm, rated 25 V";
    assert_eq!(esr(&format!("{part}, temperature -25 degC")), 40e-3);
    assert_eq!(esr(&format!("{part}, type polymer, temperature -25 degC")), 40e-3);
    assert_close(esr(&format!("{part}, age 2")), 80e-3, 1e-12);
    // sqrt(2^2 (1 + 0.14^2) - 1) / 0.14, the factor that the impedance ratio of 2 allows.
    let factor = (4.0 * (1.0 + 0.14_f64.powi(2)) - 1.0).sqrt() / 0.14;
    let cold = esr(&format!("{part}, type electrolytic, age 2, temperature -25 degC"));
    assert_close(cold, 80e-3 * factor, 1e-9);
}

/// EIA RS-198 / IEC 60384-9.
#[test]
fn codes_of_class_2_ceramics() {
    for (code, low, high, loss, gain) in [
        ("X7R", -55.0, 125.0, -0.15, 0.15),
        ("X5R", -55.0, 85.0, -0.15, 0.15),
        ("Y5V", -30.0, 85.0, -0.82, 0.22),
        ("Z5U", 10.0, 85.0, -0.56, 0.22),
        ("X7S", -55.0, 125.0, -0.22, 0.22),
    ] {
        let found = run(&format!("capacitance 10 uF, half_voltage 8 V, dielectric {code}"), "");
        assert_close(fact(&found, "lowest_temperature"), low + 273.15, 1e-12);
        assert_close(fact(&found, "highest_temperature"), high + 273.15, 1e-12);
        assert_eq!((fact(&found, "least_change"), fact(&found, "greatest_change")), (loss, gain));
        assert_close(fact(&found, "least_capacitance"), 10e-6 * (1.0 + loss), 1e-12);
        for (celsius, outside) in [(low, false), (high, false), (low - 1.0, true), (high + 1.0, true)] {
            let part =
                format!("capacitance 10 uF, half_voltage 8 V, dielectric {code}, temperature {celsius} degC");
            assert_eq!(codes(&run(&part, "")).contains(&"outside_dielectric_temperature"), outside, "{part}");
        }
    }
}

/// Two public engineering notes: 10 uF 6.3 V parts lose 50 to 70 % at 5 V; 40 to 50 % are left at the rated voltage (both to
/// 15 points).
#[test]
fn a_ceramic_of_which_only_the_rating_is_known_falls_as_usual() {
    let part = "type ceramic_class_2, capacitance 10 uF, rated 6.3 V, leakage 1 Gohm";
    let left = fact(&run(part, ""), "capacitance_at_rated") / 10e-6;
    assert!((0.25..=0.65).contains(&left), "{left}");
    // At a thousandth of a hertz nothing but the capacitance counts; the leakage holds the bias.
    let at = |bias: &str| 1.0 / (std::f64::consts::TAU * 1e3 * impedance(part, bias, "1 kHz")[0]);
    let lost = 1.0 - at("5.005 V") / at("0 V");
    assert!((0.5..=0.7).contains(&lost), "{lost}");
}

/// A table's own points come back as small-signal capacitance, and a stated capacitance scales it.
#[test]
fn capacitance_by_table() {
    let table = "capacitance_table [0 V: 10 uF, 2 V: 8 uF, 5 V: 4 uF, 10 V: 2 uF], leakage 10 Gohm";
    for (part, scale) in [(table.to_owned(), 1.0), (format!("capacitance 20 uF, {table}"), 2.0)] {
        for (bias, microfarad) in [("0 V", 10.0), ("2 V", 8.0), ("5 V", 4.0), ("10 V", 2.0)] {
            let size = impedance(&part, bias, "1 kHz")[0];
            // The feed's megohm and the leakage divide the bias by a ten-thousandth.
            assert_close(1.0 / (std::f64::consts::TAU * 1e3 * size), scale * microfarad * 1e-6, 1e-3);
        }
    }
    // Charged with a constant current, its voltage follows the charge: 10 mA for 1 ms are 10 uC. Between the first points the cubic
    // through slopes 0 and m is known by the test of the law; here charge is conserved, so both ways agree at the end of the table.
    let text = "source push gnd -> x  current [0 s: 10 mA]
        capacitor it x -> gnd  capacitance_table [0 V: 10 uF, 5 V: 5 uF]
        testpoint across = voltage(it)
        reading end = at(across, 4.166666666666667 ms)
        transient fill  span 5 ms, start rest";
    let run = compare(&read(text), &Options::default()).expect("every point is asked for").runs.remove(0);
    assert_eq!(run.error, None);
    // The integral of 10 - 5 (2 x^2 - x^3) uF over 5 V is 5 (10 - 5 (2/3 - 1/4)) = 39.583 uC.
    let charge = 41.666_666_666_666_67e-6_f64;
    let beyond = (charge - 39.583_333_333e-6) / 5e-6;
    assert_close(reading(&run, "end"), 5.0 + beyond, 1e-4);
}

/// P = I^2 ESR and the ten-kelvin rule (from memory): 1.2 A in 80 mohm are 0.1152 W; 2000 h at 105 degC are 16000 h at 75 degC and
/// 39397 h at 62 degC (tolerance 1e-3).
#[test]
fn ripple_heats_and_life_halves_each_ten_kelvin() {
    for (celsius, hours) in [(105.0, 2000.0), (75.0, 16000.0), (62.0, 39397.0)] {
        let found = run(
            &format!(
                "capacitance 100 uF, esr 80 mohm, ripple_rating 1.2 A, temperature {celsius} degC, life 2000 h, life_temperature 105 degC"
            ),
            "",
        );
        assert_close(fact(&found, "life_without_ripple") / 3600.0, hours, 1e-3);
        assert_close(fact(&found, "heat_at_rated_ripple"), 0.1152, 1e-9);
    }
}

/// A sine of 1.2 A rms is twice a rating of 0.6 A, so the core is warmed by four times 5 K: 2000 h at 105 degC are 2000 h again at
/// 85 degC of air, and fewer above.
#[test]
fn a_run_tells_of_a_core_too_hot() {
    let at = |celsius: f64| {
        let text = format!(
            "source push gnd -> x  current sine, amplitude 1.697056 A, frequency 1 kHz
            capacitor it x -> gnd  capacitance 100 uF, esr 80 mohm, leakage 10 kohm, ripple_rating 1.3 A, core_rise 5.868056 K, temperature {celsius} degC, life 2000 h, life_temperature 105 degC
            testpoint through = current(it)
            reading heat = rms(through)^2 * 80 mohm
            transient run  span 1 ms, start steady"
        );
        compare(&read(&text), &Options::default()).expect("every point is asked for").runs.remove(0)
    };
    // 5.868056 K x (1.2/1.3)^2 = 5 K.
    let (cool, hot) = (at(99.9), at(101.0));
    assert_eq!(cool.error, None);
    assert_close(reading(&cool, "heat"), 0.1152, 1e-4);
    assert_eq!(codes(&cool), [""; 0]);
    assert_eq!(codes(&hot), ["capacitor_too_hot"]);
    // 1 K above: 2000 h x 2^-0.1 = 1866 h.
    assert!(hot.warnings[0].text.contains("1866 h"), "{}", hot.warnings[0].text);
    assert!(
        hot.warnings[0].text.contains("106 degC") && hot.warnings[0].text.contains("115 mW"),
        "{}",
        hot.warnings[0].text
    );
}

/// A film or ceramic capacitor has no stripe; what is not said to be one is judged as before.
#[test]
fn only_what_has_a_stripe_is_reversed() {
    let reversed = |part: &str| {
        let text = format!(
            "supply bench gnd -> bus  voltage 5 V, resistance 1 ohm\ncapacitor it gnd -> bus  capacitance 1 uF, esr 1 mohm, rated 16 V{part}\ntransient run  span 1 ms, start steady\n"
        );
        let run =
            compare(&read(&text), &Options::default()).expect("every point is asked for").runs.remove(0);
        codes(&run).contains(&"capacitor_reversed")
    };
    for part in ["", ", type electrolytic", ", type polymer", ", type tantalum"] {
        assert!(reversed(part), "{part}");
    }
    for part in [
        ", type film",
        ", type ceramic_class_1",
        ", type ceramic_class_2",
        ", half_voltage 5 V",
        ", dielectric X7R",
    ] {
        assert!(!reversed(part), "{part}");
    }
}

/// 1.15 times the rated voltage for seconds: IEC 60384-4.
#[test]
fn between_rated_and_surge_voltage() {
    let at = |rated: &str| {
        run(&format!("type electrolytic, capacitance 1 uF, esr 1 ohm, rated {rated}"), "").warnings
    };
    assert!(at("4.5 V")[0].text.contains("below its surge voltage of 5.17 V"), "{:?}", at("4.5 V"));
    assert!(at("4 V")[0].text.contains("may vent or burst"));
    assert!(at("5.1 V").is_empty());
}

/// What contradicts itself is told before any run.
#[test]
fn contradictions_are_told() {
    for (part, words) in [
        ("type film, capacitance 1 uF, half_voltage 5 V", "only class-2 ceramics"),
        ("capacitance_table [1 V: 10 uF, 2 V: 5 uF]", "nothing says what holds at 0 V"),
        ("capacitance 1 uF, rated 16 V, surge 10 V", "is below `rated`"),
    ] {
        let text = format!(
            "supply bench gnd -> bus  voltage 5 V, resistance 1 ohm\ncapacitor it bus -> gnd  {part}\n"
        );
        let errors = examine(&read(&text)).errors;
        assert!(errors.len() == 1 && errors[0].message.contains(words), "{part}: {errors:?}");
    }
}

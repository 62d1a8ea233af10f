//! `worst`: the true extreme between the points of a sweep.

use crate::support::Folder;

/// A pulsed current on a bare resistance: no capacitor and no inductance round the pulses.
const PULSES: &str = "\
harness \"Pulses\"
battery pack gnd -> bus  emf 12 V, resistance 50 mohm
drive motor bus -> gnd  current 10 A, pwm 20 kHz, duty 50 %, rise 0 s, fall 0 s, current_exponent EXPONENT
sweep duty over motor.duty  0 % .. 100 % step 10 %
condition state { case fresh { } case worn { set pack.resistance = 80 mohm } }
testpoint rail = voltage(bus)
reading noise = rms_ac(rail)
reading low = minimum(rail)
require low > 9 V \"brown-out\"
transient run  span 1 ms, start steady
";

fn worst(exponent: u32, reading: &str) -> serde_json::Value {
    let folder = Folder::new();
    folder.write("pulses.harness", &PULSES.replace("EXPONENT", &exponent.to_string()));
    let ran = folder.run(&["worst", "pulses.harness", reading, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    ran.json()["cases"][0].clone()
}

/// rms_ac = R I D^n sqrt(D (1 - D)) is greatest at D = (2n + 1)/(2n + 2): 50, 75 and 83.33 %, within 0.1 percentage point.
#[test]
fn the_duty_of_the_greatest_ripple() {
    for exponent in [0, 1, 2] {
        let case = worst(exponent, "noise");
        let n = f64::from(exponent);
        let exact = (2.0 * n + 1.0) / (2.0 * n + 2.0);
        let duty = case["at"]["duty"]["value"].as_f64().expect("a duty");
        assert!((duty - exact).abs() < 1e-3, "{exponent}: {duty}, not {exact}");
        let value = case["value"].as_f64().expect("a value");
        let height = 0.08 * 10.0 * exact.powf(n) * (exact * (1.0 - exact)).sqrt();
        // Flat at its top: what 0.1 point changes there is far below the accuracy of a run.
        assert!((value / height - 1.0).abs() < 1e-4, "{value}, not {height}");
        assert_eq!(case["at"]["state"], "worn");
        let of_points = case["of_points"]["value"].as_f64().expect("a value");
        assert!(of_points <= value);
    }
}

/// What must stay above its limit is worst where it is least: at any duty with pulses of full height 12 V - 10 A x 80 mohm.
#[test]
fn the_side_of_the_requirement_is_the_worst() {
    let case = worst(0, "low");
    assert!((case["value"].as_f64().expect("a value") - 11.2).abs() < 1e-3, "{case}");
}

#[test]
fn an_unknown_reading_or_sweep_is_told_with_what_there_is() {
    let folder = Folder::new();
    folder.write("pulses.harness", &PULSES.replace("EXPONENT", "0"));
    let reading = folder.run(&["worst", "pulses.harness", "nois"]);
    assert_eq!(reading.code, 2);
    assert!(reading.errors.contains("noise, low"), "{}", reading.errors);
    let sweep = folder.run(&["worst", "pulses.harness", "noise", "--over", "throttle"]);
    assert_eq!(sweep.code, 2);
    assert!(sweep.errors.contains("duty"), "{}", sweep.errors);
    let told = folder.run(&["worst", "pulses.harness", "noise"]);
    assert!(told.out.contains("duty 50 %, worn"), "{}", told.out);
}

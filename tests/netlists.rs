//! Every file under `netlists/` is in order, runs, and keeps what its comment promises.

use crate::support::{CRAWLER, Folder, close, netlist, reading, repository};
use std::fs;

/// The readme's main command covers the crawler; running it twice would double the time of the whole suite.
const RUN_ELSEWHERE: &str = "crawler.harness";

fn names() -> Vec<String> {
    let entries = fs::read_dir(repository().join("netlists")).expect("netlists/ can be read");
    let names = entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("UTF-8"));
    let mut names: Vec<String> = names.filter(|name| name.ends_with(".harness")).collect();
    names.sort();
    assert!(names.len() >= 3, "{names:?}");
    names
}

#[test]
fn each_opens_with_what_it_teaches() {
    for name in names() {
        let text = fs::read_to_string(netlist(&name)).expect("the file can be read");
        assert!(text.starts_with("# "), "{name}");
        assert!(text.contains("\n# What it teaches\n"), "{name}");
    }
}

#[test]
fn each_is_in_order_and_compares_without_an_error() {
    for name in names() {
        let folder = Folder::new();
        let checked = folder.run(&["check", &netlist(&name)]);
        assert_eq!(checked.code, 0, "{name}: {}", checked.errors);
        assert!(!checked.out.contains("Warnings"), "{name}: {}", checked.out);
        if name == RUN_ELSEWHERE {
            assert!(CRAWLER.json["runs"].as_array().unwrap().iter().all(|run| run["error"].is_null()));
            continue;
        }
        let ran = folder.run(&["compare", &netlist(&name), "--json"]);
        assert_eq!(ran.code, 0, "{name}: {}", ran.errors);
        assert!(ran.json()["runs"].as_array().unwrap().iter().all(|run| run["error"].is_null()), "{name}");
    }
}

#[test]
fn the_crawler_tells_its_story() {
    let noise = |filter: &str, state: &str, throttle: &str| {
        reading(
            &CRAWLER.json,
            &[("filter", filter), ("battery_state", state), ("throttle", throttle)],
            "noise",
        )
    };
    let full = |filter: &str| noise(filter, "soft", "full");
    assert!(full("coil_cap") > full("none"), "the resonance stands on the commutation");
    assert!(full("coil_cap_damped") < full("coil_cap") / 2.0, "an ohm takes it away");
    assert!(
        noise("cap", "soft", "cruise") > noise("none", "soft", "cruise") / 4.0,
        "a capacitor alone does little"
    );
    let runs = CRAWLER.json["runs"].as_array().unwrap();
    let saturated = |filter: &str| {
        let of_filter = runs.iter().filter(|run| run["at"]["filter"] == filter);
        let mut codes = of_filter.flat_map(|run| run["warnings"].as_array().unwrap()).map(|one| &one["code"]);
        codes.any(|code| code == "coil_saturated")
    };
    assert!(saturated("coil") && !saturated("coil_cap") && !saturated("coil_cap_damped"));
    let level = |filter: &str| {
        reading(
            &CRAWLER.json,
            &[("filter", filter), ("battery_state", "fresh"), ("throttle", "idle")],
            "level",
        )
    };
    // Ohm's law at the camera's 110 mA: 2.2 ohm; 0.12 ohm; 0.12 ohm and 1 ohm; each instead of a link of 1 mohm.
    for (filter, ohms) in [("resistor_cap", 2.2), ("coil", 0.12), ("coil_cap_damped", 1.12)] {
        let drop = level("none") - level(filter);
        assert!(close(drop, 0.11 * (ohms - 1e-3), 1e-3), "{filter}: {drop}");
    }
}

/// The overshoot of a series circuit of R, L and C is exp(-pi z / sqrt(1 - z^2)), z = R / (2 sqrt(L / C)): closed form. The camera's input
/// capacitor stands beside the store; of two capacitors, each with its ESR, the resistance is that of each times the square of its
/// share of the charge. What the camera draws takes off at most what a step of that current does to the circuit, I (R + sqrt(L / C)).
#[test]
fn a_coil_on_paper_overshoots_and_a_real_one_lets_the_current_rush() {
    let ran = Folder::new().run(&["compare", &netlist("plug_in.harness"), "--json"]);
    let result = ran.json();
    let [volts, amperes] = ["peak_voltage", "peak_current"].map(|name| {
        move |filter: &str, result: &serde_json::Value| reading(result, &[("filter", filter)], name)
    });
    // A full cell rests at 4.1029 V (Chen and Rincon-Mora, IEEE Trans. Energy Conversion 2006).
    let full = 4.0 * 4.1029;
    let (store, input, camera) = (330e-6, 10e-6, 0.11);
    let capacitance = store + input;
    let esr = 0.04 * f64::powi(store / capacitance, 2) + 0.2 * f64::powi(input / capacitance, 2);
    let resistance = 0.08 + 0.0674 + 0.12 + 0.001 + esr;
    // Coil, feed, pack.
    let inductance: f64 = 330e-6 + 0.37e-6 + 0.12e-6;
    let impedance = (inductance / capacitance).sqrt();
    let damping = 0.5 * resistance / impedance;
    let overshoot = (-std::f64::consts::PI * damping / (1.0_f64 - damping * damping).sqrt()).exp();
    let (top, drawn) = (full * (1.0 + overshoot), camera * (resistance + impedance));
    // On top of the charge's voltage, the ESR adds the square of ESR C / sqrt(L C), half of it of the swing.
    let esr_adds = 0.5 * full * f64::powi(0.04 / impedance, 2);
    let seen = volts("linear", &result);
    assert!(seen > top - drawn && seen < top + esr_adds, "{seen} V against {top} V");
    assert!(volts("saturating", &result) < full + 0.5, "{}", volts("saturating", &result));
    assert!(amperes("saturating", &result) > 2.0 * amperes("linear", &result));
    // Neither can pass what the resistances let through from a full pack.
    assert!(amperes("saturating", &result) < full / 0.307);
    assert!(amperes("saturating_damped", &result) < full / 1.306);
}

#[test]
fn the_guarded_camera_tells_its_story() {
    let ran = Folder::new().run(&["compare", &netlist("guarded_camera.harness"), "--json"]);
    let result = ran.json();
    let soft =
        |guard: &str, name: &str| reading(&result, &[("guard", guard), ("battery_state", "soft")], name);
    let noise = |guard: &str| soft(guard, "noise");
    assert!(noise("bead") > 0.9 * noise("none"), "a bead does next to nothing at 20 kHz");
    // All that the supply brings comes back through the return, so nothing magnetises the choke's core.
    assert!(soft("choke", "left") > 0.999 && noise("choke") > noise("none") / 10.0);
    // 50 dB of what is over 11 V (less than 6 V), and 50 mohm at 110 mA.
    let level = soft("regulator", "level");
    assert!((level - 10.0 + 0.0055).abs() < 6.0 / 316.0, "{level}");
    assert!(noise("regulator") < noise("none") / 316.0 * 1.1, "{}", noise("regulator"));
    assert!(noise("diode_cap") < noise("none") / 5.0);
}

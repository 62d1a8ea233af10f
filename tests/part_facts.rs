//! What parts come to is seen in `check --parts`, in `check --json` and in `compare --json`.

use crate::support::{Folder, close};
use serde_json::Value;

const WIRES: &str = "\
battery pack gnd -> bus  emf 12 V, resistance 10 mohm
wire    feed bus -> cam  length 1 m, gauge 20 AWG, spacing 1.6 mm
load    eye  cam -> gnd  resistance 100 ohm
condition weather {
    case mild {}
    case hot { set feed.temperature = 80 degC }
}
testpoint rail = voltage(cam)
transient run  span 1 ms, start steady
";

fn value(facts: &Value, name: &str, unit: &str) -> f64 {
    assert_eq!(facts[name]["unit"], unit, "{name} of {facts}");
    facts[name]["value"].as_f64().unwrap_or_else(|| panic!("no {name} in {facts}"))
}

/// ASTM B258 and IEC 60028 for 20 AWG at 20 and 80 degC (four digits, so 2e-4); 8.89 g/cm3 of IEC 60028 by the area that belongs
/// to the diameter of 0.81182 mm.
#[test]
fn each_point_has_its_own_figures() {
    let folder = Folder::new();
    folder.write("wires.harness", WIRES);
    let checked = folder.run(&["check", "--json", "wires.harness"]).json();
    let compared = folder.run(&["compare", "--json", "wires.harness"]).json();
    for (at, expected) in [("mild", 33.309e-3), ("hot", 41.163e-3)] {
        let words = if at == "mild" { String::new() } else { format!("weather {at}") };
        let known = checked["parts"]
            .as_array()
            .unwrap()
            .iter()
            .find(|part| part["name"] == "feed" && part["at"] == words);
        let known = known.unwrap_or_else(|| panic!("nothing at {at}: {checked}"));
        assert_eq!((&known["name"], &known["kind"]), (&Value::from("feed"), &Value::from("wire")));
        let run = compared["runs"].as_array().unwrap().iter().find(|run| run["at"]["weather"] == at);
        let part = &run.expect("a run at every case")["parts"]["feed"];
        assert_eq!((&part["kind"], &part["facts"]), (&known["kind"], &known["facts"]));
        assert!(close(value(&part["facts"], "resistance", "ohm"), expected, 2e-4), "{part}");
        assert!(close(value(&part["facts"], "mass", "kg"), 8890.0 * 0.517_62e-6, 2e-4), "{part}");
    }
}

#[test]
fn people_see_them_when_they_ask() {
    let folder = Folder::new();
    folder.write("wires.harness", WIRES);
    assert!(!folder.run(&["check", "wires.harness"]).out.contains("What parts come to"));
    let out = folder.run(&["check", "--parts", "wires.harness"]).out;
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("feed (wire): resistance 33.31 mohm, inductance 648.7 nH,"), "{out}");
    assert!(words.contains("area 0.5176 mm2,"), "{out}");
    assert!(words.contains("[at weather hot]"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
}

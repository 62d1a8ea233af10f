//! The document on coils: its table and its picture are what the program computes of `netlists/three_coils.harness`.
//!
//! `QUIETRAIL_REFRESH=1 cargo test -p quietrail --test end_to_end three_coils` writes the table anew.

use crate::support::{Folder, close, netlist, repository};
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;
use std::sync::LazyLock;

const COILS: [(&str, &str); 3] = [
    ("small_ferrite", "small ferrite ring"),
    ("large_ferrite", "large ferrite ring"),
    ("powder", "powder ring"),
];
const DOCUMENT: &str = "crates/quietrail/doc/coils.md";

static RESULT: LazyLock<Value> =
    LazyLock::new(|| Folder::new().run(&["compare", "--json", &netlist("three_coils.harness")]).json());

fn refresh() -> bool {
    std::env::var_os("QUIETRAIL_REFRESH").is_some()
}

/// The run of a coil at a current of the load in ampere.
fn run<'r>(result: &'r Value, coil: &str, ampere: f64) -> &'r Value {
    let runs = result["runs"].as_array().unwrap_or_else(|| panic!("{result}"));
    let found = runs
        .iter()
        .find(|run| run["at"]["coil"] == coil && run["at"]["load"]["value"].as_f64() == Some(ampere));
    found.unwrap_or_else(|| panic!("no run of {coil} at {ampere} A"))
}

fn reading(coil: &str, ampere: f64, name: &str) -> f64 {
    run(&RESULT, coil, ampere)["readings"][name]["value"].as_f64().unwrap_or_else(|| panic!("no {name}"))
}

fn fact(coil: &str, name: &str) -> f64 {
    let known = &run(&RESULT, coil, 0.1)["parts"]["choke"]["facts"][name]["value"];
    known.as_f64().unwrap_or_else(|| panic!("no {name} of {coil}"))
}

/// The rows as the document shows them: digits that a machine's last rounding does not move.
fn table() -> String {
    let mut text = String::from(
        "| coil | mass | load | inductance left | attenuation at 20 kHz | drop |\n|---|---|---|---|---|---|\n",
    );
    for (coil, name) in COILS {
        for ampere in [0.1, 0.5, 2.0] {
            let grams = fact(coil, "mass") * 1e3;
            let left = reading(coil, ampere, "left") * 100.0;
            let (quiet, drop) = (reading(coil, ampere, "quiet"), reading(coil, ampere, "drop") * 1e3);
            let _ = writeln!(
                text,
                "| {name} | {grams:.1} g | {ampere} A | {left:.0} % | {quiet:.0} dB | {drop:.0} mV |"
            );
        }
    }
    text
}

#[test]
fn the_table_of_the_document_is_what_comes_out() {
    let path = repository().join(DOCUMENT);
    let text = fs::read_to_string(&path).expect("the document can be read");
    let (before, rest) = text.split_once("<!-- table -->\n").expect("the table begins");
    let (shown, after) = rest.split_once("<!-- end of table -->").expect("the table ends");
    let computed = table();
    if refresh() {
        let new = format!("{before}<!-- table -->\n{computed}<!-- end of table -->{after}");
        fs::write(&path, new).expect("the document can be written");
        return;
    }
    assert_eq!(shown, computed, "QUIETRAIL_REFRESH=1 cargo test -p quietrail --test end_to_end three_coils");
}

/// The hand rules in the comment of the harness.
#[test]
fn the_three_coils_keep_what_their_comment_promises() {
    // Full at 58.7, 231 and 2307 uWb: turns x flux density x IEC 60205's area, in three digits.
    let rows = [
        ("small_ferrite", 15.0, 0.5, 7.828e-6),
        ("large_ferrite", 9.0, 0.5, 51.26e-6),
        ("powder", 45.0, 1.0, 51.26e-6),
    ];
    for (coil, turns, density, area) in rows {
        assert!(close(fact(coil, "inductance"), 202.5e-6, 1e-9), "{coil}");
        assert!(close(fact(coil, "effective_area"), area, 1e-3), "{coil}");
        assert!(close(fact(coil, "flux_density_limit"), density, 1e-9), "{coil}");
        // What is left at the mean current by the law's own form; the ripple moves the peak, so no more than that is left.
        let x = 0.98 * 202.5e-6 * 0.5 / (turns * density * area);
        let core = match coil {
            "powder" => 1.0 / (1.0 + (std::f64::consts::FRAC_PI_2 * x).powi(2)),
            _ => 1.0 / x.cosh().powi(2),
        };
        let left = reading(coil, 0.5, "left");
        assert!(left <= 0.02 + 0.98 * core + 1e-9, "{coil}: {left}");
        assert!(left > 0.35 * (0.02 + 0.98 * core), "{coil}: {left}");
    }
    // 25.4 ohm over 0.047 ohm at 20 kHz is 54.7 dB; the rail before the coil is loaded by both, so that a decibel is allowed.
    let reactance = std::f64::consts::TAU * 20e3 * 202.5e-6;
    let capacitor = (1.0 / (std::f64::consts::TAU * 20e3 * 220e-6)).hypot(0.03);
    let expected = 20.0 * (reactance / capacitor).log10();
    assert!((reading("powder", 0.1, "quiet") - expected).abs() < 1.0, "{expected}");
    // The drop is the copper's: resistance of 16.105, 32.209 mm a turn at 58 MS/m times 2 A.
    assert!(close(reading("powder", 2.0, "drop"), 2.0 * fact("powder", "dcr"), 1e-2));
    assert!(reading("small_ferrite", 2.0, "left") < 0.03 && reading("powder", 2.0, "left") > 0.9);
}

/// Inductance in microhenry over current in ampere, from the program: the same file without the motors' ripple, over many currents.
fn curves() -> Vec<(&'static str, Vec<(f64, f64)>)> {
    let text = fs::read_to_string(netlist("three_coils.harness")).expect("the harness can be read");
    let text = text.replace("[100 mA, 500 mA, 2 A]", "10 mA .. 10 A log 24");
    let folder = Folder::new();
    folder.write("curves.harness", &text);
    let result = folder.run(&["compare", "--json", "curves.harness", "--set", "motors.duty=0 %"]).json();
    let runs = result["runs"].as_array().unwrap_or_else(|| panic!("{result}"));
    let of = |coil: &str| {
        let of_coil = runs.iter().filter(|run| run["at"]["coil"] == coil);
        let point = |run: &Value| {
            let left = run["readings"]["left"]["value"].as_f64()?;
            Some((run["at"]["load"]["value"].as_f64()?, 202.5 * left))
        };
        of_coil.filter_map(point).collect::<Vec<_>>()
    };
    COILS.map(|(coil, name)| (name, of(coil))).to_vec()
}

/// A point of a picture in pixels.
type Pixels = (f64, f64);

/// Curves of the picture of inductances in their order, and the places of its axes' labels.
fn pictured(svg: &str) -> (Vec<Vec<Pixels>>, Vec<(String, Pixels)>) {
    let attribute = |tag: &str, name: &str| {
        let text = tag.split_once(&format!(" {name}=\""))?.1.split('"').next()?;
        Some(text.to_owned())
    };
    let curve = |data: &str| -> Vec<Pixels> {
        let pairs = data.split(['M', 'L']).filter_map(|pair| pair.split_once(' '));
        pairs.filter_map(|(x, y)| Some((x.parse().ok()?, y.parse().ok()?))).collect()
    };
    let tags = |name: &'static str| svg.split(name).skip(1);
    let paths = tags("<path").map(|rest| format!(" {rest}"));
    let curves = paths.filter(|tag| attribute(tag, "class").is_some_and(|class| class.contains("qr-curve")));
    let ticks = tags("<text").map(|rest| format!(" {rest}")).filter_map(|tag| {
        let place = (attribute(&tag, "x")?.parse().ok()?, attribute(&tag, "y")?.parse().ok()?);
        Some((tag.split_once('>')?.1.split_once('<')?.0.to_owned(), place))
    });
    (curves.filter_map(|tag| Some(curve(&attribute(&tag, "d")?))).collect(), ticks.collect())
}

/// What the picture draws from the laws of the coils is what `saturation()` reads of runs at direct currents.
#[test]
fn the_picture_of_inductances_is_what_runs_read() {
    let folder = Folder::new();
    folder.run(&["compare", &netlist("three_coils.harness"), "--out", "result"]);
    let svg = folder.read("result/inductance.svg");
    let (drawn, ticks) = pictured(&svg);
    let tick = |label: &str| {
        let found = ticks.iter().find(|tick| tick.0 == label);
        found.unwrap_or_else(|| panic!("no {label} among {ticks:?}")).1
    };
    let decade = tick("1 A").0 - tick("100 mA").0;
    // Labels stand under and beside their lines by equal amounts.
    let hundred = (tick("100 µH").1 - tick("200 µH").1) / 100.0;
    let mut compared = 0;
    // The coil that loses most stands first, and so it does in the list.
    for ((name, points), drawn) in curves().iter().zip(&drawn) {
        assert!(points.windows(2).all(|pair| pair[1].1 <= pair[0].1 + 1e-9), "{name} rises");
        for (ampere, microhenry) in points {
            let x = tick("100 mA").0 + decade * (ampere / 0.1).log10();
            let Some(pair) = drawn.windows(2).find(|pair| pair[0].0 <= x && x < pair[1].0) else { continue };
            let share = (x - pair[0].0) / (pair[1].0 - pair[0].0);
            let y = pair[0].1 + share * (pair[1].1 - pair[0].1);
            let expected = tick("100 µH").1 - 5.5 - hundred * (microhenry - 100.0);
            assert!((y - expected).abs() < 1.0, "{name} at {ampere} A: {y} {expected}");
            compared += 1;
        }
    }
    assert!(compared > 100, "{compared} points");
}

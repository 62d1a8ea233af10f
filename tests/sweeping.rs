//! `sweep` and `join`: a study that is killed, shared or run with more threads gives the same bytes; draws follow their law.

use crate::support::{Folder, Ran};
use serde_json::Value;
use std::fs;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Two options, three values, and tolerances of a let and of properties.
const STUDY: &str = "\
harness \"Low-pass\"
let c = 100 nF +- 10 %
generator s    gnd -> in   level 1 V, width 300 us, period 1 ms, rise 10 us, fall 10 us
resistor  r    in -> out   resistance 1.6 kohm +- 5 %
capacitor cap  out -> gnd  capacitance c
choice load {
    option none { resistor z out -> gnd  resistance 1 Mohm }
    option some { resistor z out -> gnd  resistance 10 kohm +- 20 % }
}
sweep level over s.level  [0.5 V, 1 V, 2 V]
testpoint o = voltage(out)
reading   size = peak_to_peak(o)
require size < 1.4 V \"too much\"
transient run  span 1 ms, start steady
";

const DRAWS: [&str; 4] = ["--draws", "64", "--seed", "5"];

fn study() -> Folder {
    let folder = Folder::new();
    folder.write("study.harness", STUDY);
    folder
}

fn sweep(folder: &Folder, out: &str, more: &[&str]) -> Ran {
    folder.run(&[&["sweep", "study.harness", "--out", out, "--quiet"], &DRAWS[..], more].concat())
}

fn files(folder: &Folder, out: &str) -> [String; 3] {
    ["sweep.csv", "sweep.jsonl", "sweep.json"].map(|name| folder.read(&format!("{out}/{name}")))
}

#[test]
fn killed_at_any_moment_it_goes_on_to_the_same_bytes() {
    let folder = study();
    let arguments = |out| ["sweep", "study.harness", "--quiet", "--draws", "512", "--out", out];
    let begin = Instant::now();
    folder.run(&arguments("whole"));
    let length = begin.elapsed();
    let whole = files(&folder, "whole");
    assert_eq!(whole[1].lines().count(), 2 * 3 * 512);
    let mut gone_on = 0;
    // Moments from a multiplicative generator (Park and Miller, Communications of the ACM 31, 1988).
    let mut moment: u64 = 20_261_125;
    for _ in 0..20 {
        moment = moment * 16_807 % 2_147_483_647;
        let mut child = Command::new(env!("CARGO_BIN_EXE_quietrail"))
            .args(arguments("killed"))
            .current_dir(&folder.0)
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        // Within the first half of what it takes, however fast the machine is.
        std::thread::sleep(length.mul_f64((moment % 1000) as f64 / 2000.0));
        // On Unix this is SIGKILL. It may have ended by itself.
        let _ = child.kill();
        child.wait().expect("it ends");
        let part = fs::read_to_string(folder.0.join("killed/sweep.jsonl.part")).unwrap_or_default();
        gone_on += usize::from(!part.is_empty());
    }
    assert!(gone_on > 0, "no kill has met a sweep in its midst");
    let ended = folder.run(&arguments("killed"));
    assert_eq!(ended.code, 1, "{}", ended.errors);
    assert_eq!(files(&folder, "killed"), whole);
}

/// A kill between the last row and its file's rename, and one between the two renames.
#[test]
fn killed_with_every_row_written_it_places_them() {
    let folder = study();
    sweep(&folder, "out", &[]);
    let whole = files(&folder, "out");
    for unplaced in [&["sweep.csv", "sweep.jsonl"][..], &["sweep.jsonl"]] {
        for name in unplaced {
            let place = folder.0.join("out").join(name);
            fs::rename(&place, place.with_file_name(format!("{name}.part"))).expect("it is there");
        }
        let again = sweep(&folder, "out", &[]);
        assert_eq!(again.code, 1, "{}", again.errors);
        assert_eq!(files(&folder, "out"), whole);
    }
    // More shares than points: some have no row, and no harm is done.
    let shares: Vec<String> = (1..=8).map(|share| format!("share-{share}")).collect();
    for (share, out) in (1..).zip(&shares) {
        let ran = folder.run(&[
            "sweep",
            "study.harness",
            "--quiet",
            "--out",
            out,
            "--share",
            &format!("{share}/8"),
        ]);
        assert!(ran.code <= 1, "{}", ran.errors);
    }
    let mut joining = vec!["join", "--out", "joined", "--quiet"];
    joining.extend(shares.iter().map(String::as_str));
    let joined = folder.run(&joining);
    assert_eq!(joined.code, 1, "{}", joined.errors);
    folder.run(&["sweep", "study.harness", "--quiet", "--out", "at_once"]);
    assert_eq!(files(&folder, "joined"), files(&folder, "at_once"));
}

#[test]
fn shares_joined_and_other_numbers_of_threads_give_the_whole() {
    let folder = study();
    let at_once =
        folder.run(&[&["sweep", "study.harness", "--out", "whole", "--threads", "1"], &DRAWS[..]].concat());
    let whole = files(&folder, "whole");
    sweep(&folder, "two", &["--threads", "2"]);
    assert_eq!(files(&folder, "two"), whole);
    for share in ["1", "2", "3"] {
        let ended = sweep(&folder, share, &["--share", &format!("{share}/3")]);
        assert!(ended.code <= 1, "{}", ended.errors);
    }
    let joined = folder.run(&["join", "3", "1", "2", "--out", "joined"]);
    assert_eq!(joined.code, at_once.code, "{}", joined.errors);
    assert_eq!(files(&folder, "joined"), whole);
    // Summary and pictures too, though nobody names the harness.
    assert_eq!(joined.out, at_once.out);
    assert!(joined.out.contains("meets every requirement"), "{}", joined.out);
    let names = |out: &str| -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder.0.join(out))
            .expect("it is there")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    };
    assert_eq!(names("joined"), names("whole"));
    for picture in names("whole").iter().filter(|name| name.ends_with(".svg")) {
        assert_eq!(folder.read(&format!("joined/{picture}")), folder.read(&format!("whole/{picture}")));
    }
    assert!(names("joined").contains(&"histogram_size.svg".to_owned()), "{:?}", names("joined"));
    assert!(!names("1").iter().any(|name| name.ends_with(".svg")), "a share alone is no picture");

    let missing = folder.run(&["join", "3", "1", "--out", "no"]);
    assert_eq!(missing.code, 2);
    assert!(missing.errors.contains("missing: 2"), "{}", missing.errors);
    let other = folder.run(&["sweep", "study.harness", "--out", "other", "--share", "2/3", "--draws", "64"]);
    assert!(other.code <= 1, "{}", other.errors);
    let mixed = folder.run(&["join", "1", "other", "3", "--out", "no"]);
    assert_eq!(mixed.code, 2);
    assert!(mixed.errors.contains("not of one sweep"), "{}", mixed.errors);
    assert!(!folder.0.join("no").exists());
}

#[test]
fn a_complete_sweep_is_told_and_another_replaces_it() {
    let folder = study();
    sweep(&folder, "out", &[]);
    let again = folder.run(&[&["sweep", "study.harness", "--out", "out"], &DRAWS[..]].concat());
    assert!(again.errors.contains("complete already"), "{}", again.errors);
    let plain = folder.run(&["sweep", "study.harness", "--out", "out"]);
    assert_eq!(plain.code, 1, "{}", plain.errors);
    assert_eq!(files(&folder, "out")[1].lines().count(), 6);
    assert!(plain.out.lines().all(|line| line.chars().count() <= 80), "{}", plain.out);
    let [csv, json] = ["out/sweep.csv", "out/sweep.jsonl"].map(|name| folder.0.join(name));
    fs::rename(&json, json.with_extension("jsonl.part")).expect("rows");
    fs::rename(&csv, csv.with_extension("csv.part")).expect("rows");
    let other = folder.run(&[&["sweep", "study.harness", "--out", "out"], &DRAWS[..]].concat());
    assert!(other.errors.contains("6 points of another sweep"), "{}", other.errors);
    assert_eq!(files(&folder, "out")[1].lines().count(), 2 * 3 * 64);
    let result = folder.run(&["sweep", "study.harness", "--json"]).json();
    assert_eq!(result["runs"].as_array().map(Vec::len), Some(6));
    assert_eq!(result["runs"][5]["at"]["level"]["value"], 2.0);
}

/// An option that meets everything everywhere, or nothing anywhere, is told at the point at which what is asked
/// first comes closest to its limit, or misses it by most.
#[test]
fn of_points_with_the_same_yield_the_tightest_is_told() {
    for limit in ["1.9 V", "3 V", "0.1 V"] {
        let folder = Folder::new();
        folder.write("study.harness", &STUDY.replace("1.4 V", limit));
        let ran = folder.run(&["sweep", "study.harness", "--draws", "16", "--out", "out"]);
        let told: Vec<&str> =
            ran.out.lines().filter(|line| line.contains("level ") && line.contains('%')).collect();
        assert_eq!(told.len(), 2, "{}", ran.out);
        assert!(told.iter().all(|line| line.contains("level 2 V")), "{limit}: {told:?}");
    }
}

#[test]
fn draws_without_a_tolerance_are_refused() {
    let folder = Folder::new();
    folder.write(
        "study.harness",
        &STUDY.replace(" +- 10 %", "").replace(" +- 5 %", "").replace(" +- 20 %", ""),
    );
    let refused = sweep(&folder, "out", &[]);
    assert_eq!(refused.code, 2);
    assert!(refused.errors.contains("tolerance"), "{}", refused.errors);
}

/// Values of the reading, rising, and the share that meets the requirement.
fn drawn(text: &str, more: &[&str]) -> (Vec<f64>, f64) {
    let folder = Folder::new();
    folder.write("study.harness", text);
    let result =
        folder.run(&[&["sweep", "study.harness", "--json", "--draws", "1024"], more].concat()).json();
    let runs = result["runs"].as_array().expect("runs");
    let mut values: Vec<f64> =
        runs.iter().map(|run| run["readings"]["size"]["value"].as_f64().expect("a value")).collect();
    values.sort_by(f64::total_cmp);
    let met = runs.iter().filter(|run| run["requirements"][0]["met"] == Value::Bool(true)).count();
    (values, met as f64 / runs.len() as f64)
}

/// The share of draws within 1.96 of its own standard deviations: the interval of 95 % confidence of a yield. Draws of a
/// low-discrepancy sequence lie closer.
#[track_caller]
fn within(found: f64, exact: f64) {
    let deviation = (exact * (1.0 - exact) / 1024.0).sqrt();
    assert!((found - exact).abs() < 1.96 * deviation, "{found}, not {exact}");
}

/// A divider's share q/(1 + q) of pulses of 1 V, q = r2/r1 even within 0.8 to 1.2: the value below which a share p lies is at q = 0.8 + 0.4 p.
#[test]
fn percentiles_and_yield_of_a_divider_under_an_even_tolerance() {
    let text = "\
        generator s gnd -> in  level 1 V, width 300 us, period 1 ms, rise 10 us, fall 10 us\n\
        resistor r1 in -> out  resistance 1 kohm\n\
        resistor r2 out -> gnd  resistance 1 kohm +- 20 %\n\
        testpoint o = voltage(out)\n\
        reading size = peak_to_peak(o)\n\
        require size < 0.52 V\n\
        transient run  span 1 ms, start steady\n";
    let (values, met) = drawn(text, &[]);
    let below = |size: f64| (size / (1.0 - size) - 0.8) / 0.4;
    within(met, below(0.52));
    for p in [0.05, 0.25, 0.5, 0.75, 0.95] {
        within(below(values[(p * 1024.0) as usize]), p);
    }
}

/// A low-pass whose corner is at the sine for R: 1/sqrt(1 + (R'/R)^2). R' is normal with a third of 10 % as deviation, so R' below
/// R (1 + 1/30) has the probability 0.841 345 of one standard deviation (Abramowitz and Stegun, table 26.1).
#[test]
fn yield_of_a_corner_under_a_normal_tolerance() {
    let corner = 1.0 / (std::f64::consts::TAU * 1e3 * 1e3);
    let limit = 1.0 / (1.0 + (1.0_f64 + 1.0 / 30.0).powi(2)).sqrt();
    let text = format!(
        "source s gnd -> in  voltage sine, amplitude 0.5 V, frequency 1 kHz\n\
         resistor r in -> out  resistance 1 kohm +- 10 %\n\
         capacitor c out -> gnd  capacitance {} nF\n\
         testpoint o = voltage(out)\n\
         reading size = peak_to_peak(o)\n\
         require size > {limit} V\n\
         transient run  span 1 ms, start steady\n",
        corner * 1e9
    );
    let (values, met) = drawn(&text, &["--normal"]);
    within(met, 0.841_345);
    let nominal = 0.5_f64.sqrt();
    within(values.iter().filter(|value| **value < nominal).count() as f64 / 1024.0, 0.5);
}

/// The extremes of a divider of two toleranced resistors lie at its corners: q from 0.8/1.1 to 1.2/0.9.
#[test]
fn corners_hold_the_extremes() {
    let folder = Folder::new();
    folder.write(
        "study.harness",
        "generator s gnd -> in  level 1 V, width 300 us, period 1 ms, rise 10 us, fall 10 us\n\
         resistor r1 in -> out  resistance 1 kohm +- 10 %\n\
         resistor r2 out -> gnd  resistance 1 kohm +- 20 %\n\
         testpoint o = voltage(out)\n\
         reading size = peak_to_peak(o)\n\
         require size < 0.52 V\n\
         transient run  span 1 ms, start steady\n",
    );
    let result = folder.run(&["sweep", "study.harness", "--json", "--corners"]).json();
    let runs = result["runs"].as_array().expect("runs");
    let values = runs.iter().map(|run| run["readings"]["size"]["value"].as_f64().expect("a value"));
    let (least, greatest) =
        values.clone().fold((f64::MAX, f64::MIN), |ends, value| (ends.0.min(value), ends.1.max(value)));
    let share = |q: f64| q / (1.0 + q);
    // Runs are good to 1e-4 of the swing.
    assert_eq!(runs.len(), 4);
    assert!((least - share(0.8 / 1.1)).abs() < 1e-4 && (greatest - share(1.2 / 0.9)).abs() < 1e-4);
    let told = folder.run(&["sweep", "study.harness", "--corners"]);
    assert!(told.out.contains("r1.resistance low, r2.resistance high"), "{}", told.out);
    assert!(told.out.lines().all(|line| line.chars().count() <= 80), "{}", told.out);
}

/// Thirteen resistors in a row, six of them below the middle: the middle has the most where those are at their upper and the others at
/// their lower ends.
#[test]
fn corners_of_many_tolerances_hold_the_extremes_too() {
    let folder = Folder::new();
    let resistors = (0..13).map(|number| {
        let node = |number: usize| if number == 13 { "gnd".to_owned() } else { format!("n{number}") };
        format!(
            "resistor r{number} {} -> {}  resistance 100 ohm +- {} %\n",
            node(number),
            node(number + 1),
            number + 5
        )
    });
    let text = format!(
        "generator s gnd -> n0  level 1 V, width 300 us, period 1 ms, rise 10 us, fall 10 us\n{}\
         testpoint o = voltage(n7)\n\
         reading size = peak_to_peak(o)\n\
         reading half = size / 2\n\
         require size < 0.52 V\n\
         transient run  span 1 ms, start steady\n",
        resistors.collect::<String>()
    );
    folder.write("study.harness", &text);
    let result = folder.run(&["sweep", "study.harness", "--json", "--corners"]).json();
    let runs = result["runs"].as_array().expect("runs");
    assert_eq!(result["draws"]["law"], "signed_corners");
    // What is required and the reading beside it, each at both ends.
    assert_eq!(runs.len(), 4);
    let values: Vec<f64> =
        runs.iter().map(|run| run["readings"]["size"]["value"].as_f64().expect("a value")).collect();
    let divided = |above: f64, below: f64| {
        let sum = |numbers: std::ops::Range<usize>, end: f64| {
            numbers.map(|number| 100.0 * (1.0 + end * (number + 5) as f64 / 100.0)).sum::<f64>()
        };
        let (upper, lower) = (sum(0..7, above), sum(7..13, below));
        lower / (upper + lower)
    };
    // Runs are good to 1e-4 of the swing.
    assert!((values[0] - divided(-1.0, 1.0)).abs() < 1e-4, "{values:?}");
    assert!((values[1] - divided(1.0, -1.0)).abs() < 1e-4, "{values:?}");
    assert_eq!(values[..2], values[2..]);
    let told = folder.run(&["sweep", "study.harness", "--corners"]);
    assert!(told.out.contains("13 values have a tolerance"), "{}", told.out);
    assert!(told.out.lines().all(|line| line.chars().count() <= 80), "{}", told.out);
}

#[test]
fn draws_of_the_file_are_those_of_the_command_line() {
    let folder = Folder::new();
    folder.write("study.harness", STUDY);
    folder.write("stated.harness", &format!("{STUDY}draws 64, seed 5, normal\n"));
    let run = |file: &str, more: &[&str]| folder.run(&[&["sweep", file, "--json"], more].concat()).json();
    let stated = run("stated.harness", &[]);
    let asked = run("study.harness", &["--draws", "64", "--seed", "5", "--normal"]);
    assert_eq!(stated["runs"], asked["runs"]);
    assert_eq!(run("stated.harness", &["--draws", "8"])["runs"].as_array().map(Vec::len), Some(48));
    assert_eq!(run("stated.harness", &["--nominal"])["runs"], run("study.harness", &[])["runs"]);
}

/// A resistance unknown from 1 kohm to 16 kohm against 4 kohm: as often below as above, by ratio; a quarter lies below 2 kohm.
#[test]
fn unknown_values_are_drawn_by_ratio() {
    let folder = Folder::new();
    let text = "generator s gnd -> in  level 1 V, width 300 us, period 1 ms, rise 10 us, fall 10 us\n\
         resistor r1 in -> out  resistance 4 kohm\n\
         resistor r2 out -> gnd  resistance unknown 1 kohm .. 16 kohm\n\
         testpoint o = voltage(out)\n\
         reading size = peak_to_peak(o)\n\
         require size < 0.7 V\n\
         transient run  span 1 ms, start steady\n\
         draws 1024\n";
    folder.write("study.harness", text);
    let nominal = folder.run(&["compare", "study.harness", "--json"]).json();
    let size = nominal["runs"][0]["readings"]["size"]["value"].as_f64().expect("a value");
    assert!((size - 0.5).abs() < 1e-4, "4 kohm is the middle: {size}");
    let told = folder.run(&["compare", "study.harness"]);
    let words = told.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("r2.resistance is unknown between 1 kohm and 16 kohm: 4 kohm is taken"),
        "{}",
        told.out
    );
    let drawn = folder.run(&["sweep", "study.harness", "--json"]).json();
    let runs = drawn["runs"].as_array().expect("runs");
    let values: Vec<f64> =
        runs.iter().map(|run| run["readings"]["size"]["value"].as_f64().expect("a value")).collect();
    let below = |limit: f64| values.iter().filter(|value| **value < limit).count() as f64 / 1024.0;
    within(below(2.0 / 6.0), 0.25);
    within(below(0.5), 0.5);
    within(below(8.0 / 12.0), 0.75);
}

/// Built without it, the program says so before it runs anything.
#[cfg(not(feature = "parquet"))]
#[test]
fn parquet_is_told_to_be_missing() {
    let folder = study();
    let ran = sweep(&folder, "out", &["--format", "parquet"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("--features parquet"), "{}", ran.errors);
    assert!(!folder.0.join("out").exists());
}

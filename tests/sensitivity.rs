//! `sensitivity`: what a little more of each value does to each reading.

use crate::support::{Folder, netlist};

/// 12 V across 1 ohm and 2 ohm: v = 12 R2 / (R1 + R2) = 8 V. One per cent more of either moves it by R1 / (R1 + R2) = a third of one
/// per cent, one per cent more of the source by one per cent.
const DIVIDER: &str = "\
harness \"Divider\"
let upper = 1 ohm
supply   bench gnd -> in   voltage 12 V
resistor r1    in -> out   resistance upper
resistor r2    out -> gnd  resistance 2 ohm
choice more { option no { } option twice { set r2.resistance = 5 ohm } }
testpoint v = voltage(out)
reading level = mean(v)
reading wave  = peak_to_peak(v)
require level > 7 V
transient run  span 1 ms, start steady
";

#[test]
fn a_divider_as_json() {
    let folder = Folder::new();
    folder.write("divider.harness", DIVIDER);
    let ran = folder.run(&["sensitivity", "divider.harness", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let found = ran.json();
    let point = &found["points"][0];
    let level = &point["readings"][0];
    assert_eq!((&level["name"], &level["worst_is"]), (&"level".into(), &"least".into()));
    let number = |by: &str, key: &str| level["by"][by][key].as_f64().unwrap_or(f64::NAN);
    // d v / d R2 = 12 R1 / (R1 + R2)^2 = 4/3 V per ohm, and R1 takes as much as R2 gives.
    let expected = [
        ("r2.resistance", 4.0 / 3.0),
        ("r1.resistance", -8.0 / 3.0),
        ("upper", -8.0 / 3.0),
        ("bench.voltage", 2.0 / 3.0),
    ];
    for (name, slope) in expected {
        assert!((number(name, "slope") / slope - 1.0).abs() < 1e-8, "{name}: {level:#}");
    }
    assert!((number("r2.resistance", "relative") - 0.01 / 3.0).abs() < 1e-11);
    assert!((number("r2.resistance", "change") - 0.08 / 3.0).abs() < 1e-10);
    assert_eq!(found["points"][1]["values"]["r2.resistance"]["value"].as_f64(), Some(5.0));
    assert!(folder.names().iter().all(|name| name == "divider.harness"), "{:?}", folder.names());
}

#[test]
fn the_table_tells_what_counts_most_first() {
    let folder = Folder::new();
    folder.write("divider.harness", DIVIDER);
    let ran = folder.run(&["sensitivity", "divider.harness", "--only", "more=no"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let place = |text: &str| ran.out.find(text).unwrap_or_else(|| panic!("{text}: {}", ran.out));
    assert!(place("bench.voltage") < place("r2.resistance"));
    assert!(ran.out.contains("+80 mV") && ran.out.contains("+0.33 %"), "{}", ran.out);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let out = folder.0.join("quietrail-out").join("divider");
    let csv = std::fs::read_to_string(out.join("sensitivity.csv")).expect("it is written");
    assert!(csv.lines().any(|line| line.starts_with("no,level,8e0,V,r2.resistance,2e0,ohm,2e-2,")), "{csv}");
    assert!(out.join("sensitivity.txt").exists() && out.join("sensitivity.json").exists());
}

#[test]
fn what_has_no_derivative_says_why() {
    let only = ["--only", "filter=none", "--only", "battery_state=soft", "--only", "throttle=idle"];
    let crawler = netlist("crawler.harness");
    let ran = Folder::new()
        .run(&[&["sensitivity", &crawler, "--json", "--set", "tracks.duty=100 %"][..], &only].concat());
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let point = &ran.json()["points"][0];
    let noise = &point["readings"][0]["by"];
    assert!(noise["tracks.duty"]["slope"].is_null() && noise["tracks.duty"]["reason"].is_string(), "{noise}");
    assert!(noise["tracks.current"]["slope"].is_f64(), "{noise}");
    let plug_in = netlist("plug_in.harness");
    let ran = Folder::new().run(&["sensitivity", &plug_in, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let reason = &ran.json()["points"][0]["readings"][0]["reason"];
    assert!(reason.as_str().is_some_and(|reason| reason.contains("start steady")), "{reason}");
}

#[test]
fn a_file_without_readings_is_told_what_to_add() {
    let folder = Folder::new();
    let bare: Vec<&str> =
        DIVIDER.lines().filter(|line| !line.starts_with("re") || line.starts_with("resistor")).collect();
    folder.write("bare.harness", &bare.join("\n"));
    let ran = folder.run(&["sensitivity", "bare.harness"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.errors.contains("reading noise"), "{}", ran.errors);
}

/// The values that could turn a verdict are the same here and on the report's page, in the same order.
#[test]
fn what_to_measure_next_is_what_the_page_says() {
    let folder = Folder::new();
    let crawler = netlist("crawler.harness");
    let pick = ["--only", "filter=coil_cap", "--only", "battery_state=soft"];
    let ran = folder.run(&[&["sensitivity", &crawler, "--out", "out"], &pick[..]].concat());
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let page = folder.run(&[&["report", &crawler, "--out", "out"], &pick[..]].concat());
    assert!(page.code <= 1, "{}", page.errors);
    let page = folder.read("out/report.html");
    let (_, section) = page.split_once("<section id=\"measure\"").expect("a section");
    let (section, _) = section.split_once("</section>").expect("its end");
    let names: Vec<String> = section
        .split("<th scope=\"row\">")
        .skip(1)
        .map(|row| row.split('<').next().unwrap_or_default().to_owned())
        .collect();
    assert!(names.len() >= 3, "{names:?}");
    let (_, told) = ran.out.split_once("What to measure next\n").expect("a heading");
    let places: Vec<usize> = names
        .iter()
        .map(|name| told.find(&format!("  - {name}:")).unwrap_or_else(|| panic!("{name}: {told}")))
        .collect();
    assert!(places.is_sorted(), "{told}");
    let json: serde_json::Value = serde_json::from_str(&folder.read("out/sensitivity.json")).expect("JSON");
    let rows: Vec<String> = json["measure"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|row| {
            let word = |key: &str| row[key].as_str().expect("a word").replace('_', " ");
            format!("{}, {}", word("part"), word("property"))
        })
        .collect();
    assert_eq!(rows, names);
    let csv = folder.read("out/measure.csv");
    assert_eq!(csv.lines().count(), 1 + names.len());
    // What turns a verdict lies on either side of the limit.
    let turning = json["measure"].as_array().expect("a list").iter().filter(|row| row["turns"] == true);
    for row in turning {
        let number = |key: &str| row[key]["value"].as_f64().expect("a number");
        let limit = row["limit"].as_f64().expect("a limit");
        assert!((number("with_low") - limit) * (number("with_high") - limit) < 0.0, "{row:#}");
    }
}

/// Of a reading that nothing is required of, nobody can say which value is the worst.
#[test]
fn only_what_is_required_has_a_worst_value() {
    let folder = Folder::new();
    let conditions = "condition state { case right { } case low { set bench.voltage = 11 V } }\n";
    let readings = "reading other = mean(v) * 2\nreading limited = mean(v) * 3\nrequire limited < 99 V\n";
    folder.write("divider.harness", &format!("{DIVIDER}{conditions}{readings}"));
    let ran = folder.run(&["sensitivity", "divider.harness", "--only", "more=no"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let told =
        ["level is 7.33 V, worst at state low", "limited is 24 V, worst at", "other is 16 V, greatest at"];
    for words in told {
        assert!(ran.out.contains(words), "{words}: {}", ran.out);
    }
}

//! `picture`, `bands` and `winding` as a user meets them.

use crate::support::{Folder, netlist, repository};
use serde_json::Value;
use std::fs;

const ROVER: &str = "\
harness \"My rover\"
battery pack   gnd -> bus  cells 3, chemistry li_po, charge 50 %, cell_resistance 12 mohm
drive   motors bus -> gnd  motors 2, current 6 A, pwm 16 kHz, duty 70 %
camera  eye    cam -> gnd  current 100 mA, supply 9 V .. 15 V
choice filter {
    option none     { wire link bus -> cam  resistance 1 mohm }
    option coil_cap {
        coil      choke bus -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25,
                                    wire_diameter 0.4 mm, flux_density_limit 300 mT
        capacitor store cam -> gnd  capacitance 470 uF, esr 60 mohm, rated 25 V
    }
}
";

/// A PNG file begins with eight bytes of its own, then the length of its head, its name, width and height (ISO/IEC 15948).
fn size(folder: &Folder, name: &str) -> (u32, u32) {
    let bytes = fs::read(folder.0.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n", "{name}");
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[test]
fn pictures_before_and_after_stand_on_a_page() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["picture", "rover.harness", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    for said in
        ["pattern, not level", "none: eye (625/50 lines and fields, assumed)", "16 kHz (PWM of motors)"]
    {
        assert!(ran.out.contains(said), "{said} is not in\n{}", ran.out);
    }
    for option in ["none", "coil_cap"] {
        for level in [20, 40, 60] {
            assert_eq!(size(&folder, &format!("out/picture_{option}_{level}dB.png")), (768, 576));
        }
    }
    let page = folder.read("out/picture.html");
    assert!(page.contains("none (before)") && page.contains("picture_coil_cap_60dB.png"));
    // What is asked for beats the three levels, and 525 lines have a frame of their own.
    let ran = folder.run(&[
        "picture",
        "rover.harness",
        "--out",
        "one",
        "--rejection",
        "30 dB",
        "--only",
        "filter=none",
        "--set",
        "eye.video=ntsc",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert_eq!(folder.names(), ["one", "out", "rover.harness"]);
    assert_eq!(size(&folder, "one/picture_none.png"), (640, 480));
}

#[test]
fn a_file_without_a_camera_is_told_what_to_add() {
    let folder = Folder::new();
    folder
        .write("dark.harness", "battery pack gnd -> bus emf 12 V\nload lamp bus -> gnd resistance 10 ohm\n");
    let ran = folder.run(&["picture", "dark.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("no camera") && ran.errors.contains("camera eye"), "{}", ran.errors);
    let ran = folder.run(&["winding", "dark.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("no coil") && ran.errors.contains("turns 25"), "{}", ran.errors);
    assert_eq!(folder.names(), ["dark.harness"]);
}

/// The demo's motors commutate at 480 Hz: 9.6 bands a field of 50, of which 287.5 of 312.5 lines show 8.8.
#[test]
fn bands_lead_to_the_rhythm_and_say_by_their_code_whether_one_fits() {
    let folder = Folder::new();
    let crawler = netlist("crawler.harness");
    let ran = folder.run(&["bands", &crawler, "--count", "9", "--slant", "0"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert!(ran.out.contains("tracks commutation = 480 Hz") && !ran.out.contains("PWM = 20"), "{}", ran.out);
    let ran = folder.run(&["bands", &crawler, "--count", "3", "--slant", "0"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("None of the file's rhythms"), "{}", ran.out);
    let ran = folder.run(&["bands", &crawler, "--count", "seven"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("as in 7"), "{}", ran.errors);
}

#[test]
fn a_winding_sheet_is_text_and_a_drawing() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["winding", "rover.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    for said in ["25 turns", "LC meter", "eye protection", "Lithium pack"] {
        assert!(ran.out.contains(said), "{said}");
    }
    let text = folder.read("quietrail-out/rover/winding.txt");
    assert!(ran.out.starts_with(&text));
    assert!(folder.read("quietrail-out/rover/winding_choke.svg").contains("mm\" height="));
    // A bought coil can't be wound: what its line lacks is told.
    let ran = folder.run(&["winding", &netlist("crawler.harness")]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("choke: no sheet") && ran.errors.contains("`turns`"), "{}", ran.errors);
}

/// The rows of a table with commas, by heading; no cell of these has a comma inside.
fn rows(text: &str) -> Vec<Vec<(String, String)>> {
    let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<_>>());
    let headings = lines.next().expect("a heading");
    lines
        .map(|cells| {
            assert_eq!(cells.len(), headings.len(), "{cells:?}");
            headings.iter().cloned().zip(cells).collect()
        })
        .collect()
}

fn cell<'a>(row: &'a [(String, String)], heading: &str) -> &'a str {
    row.iter()
        .find(|(name, _)| name == heading)
        .map_or_else(|| panic!("{heading}: {row:?}"), |(_, cell)| cell)
}

fn number(row: &[(String, String)], heading: &str) -> f64 {
    cell(row, heading).parse().unwrap_or_else(|_| panic!("{heading}: {row:?}"))
}

#[test]
fn pictures_for_programs_say_what_the_words_say() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["picture", "rover.harness", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert_eq!(folder.names(), ["rover.harness"], "--json alone writes no files");
    let found = ran.json();
    let [none, coil_cap] = [0, 1].map(|at| &found["pictures"][at]);
    assert_eq!((found["schema"].as_u64(), &found["axes"][0]["name"]), (Some(1), &"filter".into()));
    assert_eq!((&none["at"]["filter"], &coil_cap["at"]["filter"]), (&"none".into(), &"coil_cap".into()));
    assert_eq!((&none["baseline"], &coil_cap["baseline"]), (&true.into(), &false.into()));
    assert_eq!((&none["video"]["system"], &none["video"]["stated"]), (&"pal".into(), &false.into()));
    // Ten times the rejection in amplitude is a tenth of the swing, as far as the doubles go.
    let swing = |level: usize| none["levels"][level]["swing"]["value"].as_f64().expect("a swing");
    assert!((swing(0) / swing(1) - 10.0).abs() < 1e-9 && (swing(0) / swing(2) - 100.0).abs() < 1e-9);
    let line = &none["lines"][0];
    assert_eq!(
        (&line["part"], &line["what"], line["harmonic"].as_u64()),
        (&"motors".into(), &"PWM".into(), Some(1))
    );
    assert_eq!(line["pattern"]["frequency"]["value"].as_f64(), Some(16e3));
    // 16 kHz is one cycle a line and 375 Hz, which are 7.5 bands in a field of 1/50 s.
    assert_eq!(line["pattern"]["residual"]["value"].as_f64(), Some(375.0));
    assert_eq!(line["pattern"]["bands_a_field"].as_f64(), Some(7.5));

    let ran = folder.run(&["picture", "rover.harness", "--out", "out"]);
    let written: Value = serde_json::from_str(&folder.read("out/picture.json")).expect("JSON");
    assert_eq!(written, found);
    assert_eq!(folder.read("out/picture.txt"), ran.out.split("\nFiles\n").next().expect("a part"));
    let levels = rows(&folder.read("out/picture.csv"));
    assert_eq!(levels.len(), 6);
    for (row, at) in levels.iter().zip(0..) {
        let level = &found["pictures"][at / 3]["levels"][at % 3];
        assert_eq!(Some(number(row, "swing")), level["swing"]["value"].as_f64());
        assert_eq!(Some(number(row, "rejection (dB)")), level["rejection"]["value"].as_f64());
        assert_eq!(cell(row, "file"), level["file"].as_str().expect("a name"));
        assert!(folder.0.join("out").join(cell(row, "file")).is_file());
    }
    let lines = rows(&folder.read("out/picture_lines.csv"));
    assert_eq!(cell(&lines[0], "filter"), "none");
    assert_eq!(Some(number(&lines[0], "amplitude (V)")), line["amplitude"]["value"].as_f64());
    assert_eq!(
        lines.len(),
        [none, coil_cap].map(|one| one["lines"].as_array().map_or(0, Vec::len)).iter().sum::<usize>()
    );
}

#[test]
fn bands_for_programs_hold_every_rhythm() {
    let folder = Folder::new();
    let crawler = netlist("crawler.harness");
    let ran = folder.run(&["bands", &crawler, "--count", "9", "--slant", "0", "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let found = ran.json();
    // 9 bands in 287.5 lines of 64 us are 489.13 Hz.
    let nominal = found["if_level"]["nominal"]["value"].as_f64().expect("a frequency");
    assert!((nominal - 9.0 / (287.5 * 64e-6)).abs() < 1e-9, "{nominal}");
    let best = &found["candidates"][0];
    assert_eq!(
        (&best["part"], &best["what"], &best["fits"]),
        (&"tracks".into(), &"commutation".into(), &true.into())
    );
    assert_eq!(best["repeats"], serde_json::json!({"value": 480.0, "unit": "Hz"}));
    let fits = |of: Option<bool>| {
        let all = found["candidates"].as_array().expect("a list");
        all.iter().filter(|one| one["fits"].as_bool() == of).count()
    };
    assert!(fits(Some(true)) > 0 && fits(Some(false)) > 0 && fits(None) > 0, "{found:#}");
    assert_eq!(folder.run(&["bands", &crawler, "--count", "3", "--slant", "0", "--json"]).code, 1);
}

#[test]
fn winding_for_programs_says_what_the_sheet_says() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["winding", "rover.harness", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let found: Value = serde_json::from_str(&folder.read("out/winding.json")).expect("JSON");
    let sheet = &found["sheets"][0];
    assert_eq!((sheet["turns"].as_f64(), &sheet["part"]), (Some(25.0), &"choke".into()));
    assert_eq!(sheet["core"]["outer"], serde_json::json!({"value": 0.021, "unit": "m"}));
    assert_eq!(sheet["fitted_by"], serde_json::json!(["filter coil_cap"]));
    assert_eq!(sheet["capacitors"][0]["minus"], "gnd");
    let rows = rows(&folder.read("out/winding.csv"));
    let row = |figure: &str| {
        rows.iter().find(|row| cell(row, "figure") == figure).unwrap_or_else(|| panic!("{figure}"))
    };
    for (figure, value) in [
        ("inductance", &sheet["inductance"]),
        ("resistance", &sheet["resistance"]),
        ("wire_cut", &sheet["wire"]["cut"]),
        ("fill", &sheet["fill"]),
    ] {
        assert_eq!(Some(number(row(figure), "value")), value["value"].as_f64(), "{figure}");
        assert_eq!(cell(row(figure), "unit"), value["unit"].as_str().expect("a unit"));
    }
    assert_eq!(Some(number(row("inductance"), "least")), sheet["inductance"]["least"].as_f64());
}

/// A pair is told by what meters read: 1 mH twice and k = 0.99 are 2 (1 + k) L aiding, 2 (1 - k) L opposing, and (1 - k^2) L shorted.
#[test]
fn a_pair_of_windings_is_told_by_its_readings() {
    let folder = Folder::new();
    let guarded = netlist("guarded_camera.harness");
    let ran = folder.run(&["winding", &guarded, "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "no winding sheet",
        "3.98 mH",
        "20 uH",
        "19.9 uH",
        "tap to cam",
        "Starts to tap and gnd",
        "eye protection",
    ] {
        assert!(told.contains(said), "{said} is not in\n{}", ran.out);
    }
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    let found: Value = serde_json::from_str(&folder.read("out/winding.json")).expect("JSON");
    let pair = &found["pairs"][0];
    for (key, expected) in [
        ("inductance", 1e-3),
        ("second_inductance", 1e-3),
        ("series_aiding", 3.98e-3),
        ("series_opposing", 20e-6),
        ("second_shorted", 19.9e-6),
    ] {
        let value = pair[key]["value"].as_f64().expect("a value");
        assert!((value / expected - 1.0).abs() < 1e-9, "{key}: {value}");
    }
    assert_eq!(pair["coupling_assumed"], false);
    let report = folder.run(&["report", &guarded, "--out", "page", "--only", "guard=choke"]);
    assert!(report.code <= 1, "{}", report.errors);
    assert!(folder.read("page/report.html").contains("two windings on one core"));
}

/// Every key that these print stands in the document about JSON, as `key`.
#[test]
fn every_key_for_programs_is_documented() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let guarded = netlist("guarded_camera.harness");
    let document = fs::read_to_string(repository().join("crates/quietrail/doc/json.md")).expect("a document");
    // Names of axes are the file's; `value`, `unit` and the ends of an axis are of all results.
    let known =
        ["filter", "value", "unit", "name", "kind", "points", "axes", "at", "error", "harness", "schema"];
    fn keys(value: &Value, found: &mut Vec<String>) {
        match value {
            Value::Object(map) => map.iter().for_each(|(key, inner)| {
                found.push(key.clone());
                keys(inner, found);
            }),
            Value::Array(list) => list.iter().for_each(|inner| keys(inner, found)),
            _ => {}
        }
    }
    let commands: [&[&str]; 4] = [
        &["picture", "rover.harness", "--json"],
        &["bands", "rover.harness", "--count", "3", "--json"],
        &["winding", "rover.harness", "--json"],
        &["winding", &guarded, "--json"],
    ];
    for command in commands {
        let mut found = Vec::new();
        keys(&folder.run(command).json(), &mut found);
        assert!(found.len() > 20, "{command:?}");
        for key in found.iter().filter(|key| !known.contains(&key.as_str())) {
            assert!(document.contains(&format!("`{key}`")), "{command:?}: {key} is not told");
        }
    }
}

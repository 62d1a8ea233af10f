//! `design`: filters of a table of parts, as a user asks for them.

use crate::support::{Folder, Ran, netlist};
use std::fs;

const HARNESS: &str = "\
harness \"Rover\"
battery pack gnd -> bus  emf 12 V, resistance 60 mohm
drive motor bus -> gnd  current 4 A, pwm 20 kHz, duty 60 %
wire feed bus -> tap  resistance 50 mohm, inductance 200 nH
camera eye cam -> gnd  current 110 mA, supply 9 V .. 30 V
choice filter {
    place tap -> cam
    option none { wire link tap -> cam  resistance 1 mohm }
}
testpoint rail = voltage(cam), bandwidth 20 MHz
reading noise = peak_to_peak(rail)
require noise < LIMIT  \"lines\"
transient run  span 1 ms, start steady
";

const STOCK: &str = "\
name,kind,mass,inductance,dcr,capacitance,esr,rated,resistance,outer,inner,height,al,wire_diameter
coil,coil,2 g,220 uH,0.4 ohm,,,,,,,,,
ring,ring,1 g,,,,,,,12.7 mm,7.1 mm,4.8 mm,100 nH +- 20 %,
thin,winding_wire,,,,,,,,,,,,0.3 mm
can,capacitor,1 g,,,100 uF +- 20 %,0.2 ohm,25 V,,,,,,
ohm,resistor,,,,,,,1 ohm,,,,,
";

fn design(folder: &Folder, limit: &str, stock: &str, more: &[&str]) -> Ran {
    folder.write("rover.harness", &HARNESS.replace("LIMIT", limit));
    folder.write("stock.csv", stock);
    folder.run(&[&["design", "rover.harness", "--stock", "stock.csv", "--draws", "2"], more].concat())
}

#[test]
fn filters_that_hold_are_shown_written_out_and_can_be_pasted() {
    let folder = Folder::new();
    let ran = design(&folder, "50 mV", STOCK, &["--out", "result"]);
    assert_eq!(ran.code, 0, "{}\n{}", ran.out, ran.errors);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    assert!(!ran.out.contains("best filter"), "there is no best one");
    let folder_of_result = Folder(folder.0.join("result"));
    let names = folder_of_result.names();
    let texts = ["design.json", "design.txt", "options.txt", "sheets.txt"];
    assert!(texts.iter().all(|name| names.iter().any(|known| known == name)), "{names:?}");
    // Of two winners or more each thing that they are compared by is drawn against their mass.
    let pictures: Vec<&String> = names.iter().filter(|name| name.ends_with(".svg")).collect();
    assert_eq!(names.len(), texts.len() + pictures.len(), "{names:?}");
    assert!(pictures.is_empty() || pictures.iter().any(|name| *name == "pareto_noise.svg"), "{names:?}");
    let last = ran.out.trim_end().rsplit("\n\n").next().unwrap_or_default();
    assert!(
        last.starts_with("Next: ") && last.contains("options.txt") && last.contains("sheets.txt"),
        "{last}"
    );
    let sheets = folder.read("result/sheets.txt");
    for told in ["turns", "LC meter", "Before power", "stripe", "not a safety approval"] {
        assert!(sheets.contains(told), "{told} in {sheets}");
    }
    // What is written out goes into the choice as it is.
    let options = folder.read("result/options.txt");
    let text = HARNESS
        .replace("LIMIT", "50 mV")
        .replace("    place tap -> cam\n", &format!("    place tap -> cam\n{options}"));
    folder.write("filled.harness", &text);
    let compared = folder.run(&["compare", "filled.harness", "--json", "--only", "filter=coil_cap_1"]);
    assert_eq!(compared.code, 0, "{}", compared.errors);
    let whole: serde_json::Value = serde_json::from_str(&folder.read("result/design.json")).expect("JSON");
    let filters = whole["filters"].as_array().expect("a list");
    let one = filters.iter().find(|filter| filter["name"] == "coil_cap_1").expect("the filter is there");
    let told = one["nominal"]["requirements"][0]["value"].as_f64().expect("a noise");
    let noise = compared.json()["runs"][0]["readings"]["noise"]["value"].as_f64().expect("a noise");
    // Runs that keep pictures find extremes by drawing, others by modes: both to the accuracy of a run.
    assert!((noise / told - 1.0).abs() < 1e-4, "{noise}, {told}");
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let folder = Folder::new();
    let one = design(&folder, "50 mV", STOCK, &["--json", "--threads", "1"]);
    let two = design(&folder, "50 mV", STOCK, &["--json", "--threads", "2"]);
    assert_eq!(one.out, two.out);
}

#[test]
fn where_nothing_holds_the_exit_code_and_the_table_say_so() {
    let folder = Folder::new();
    let ran = design(&folder, "1 uV", STOCK, &[]);
    assert_eq!(ran.code, 1, "{}", ran.errors);
    assert!(ran.out.contains("noise < 1 uV binds") && ran.out.contains("The nearest miss"), "{}", ran.out);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
}

#[test]
fn a_wrong_stock_is_told_at_its_cells() {
    let folder = Folder::new();
    let ran = design(&folder, "50 mV", &STOCK.replace("220 uH", "220 uF").replace("0.2 ohm", "0.2 om"), &[]);
    assert_eq!(ran.code, 2);
    for told in ["stock.csv:2:", "stock.csv:5:", "wrong_dimension", "unknown_unit"] {
        assert!(ran.errors.contains(told), "{told}: {}", ran.errors);
    }
    let ran = folder.run(&["design", "rover.harness", "--stock", "missing.csv"]);
    assert_eq!(ran.code, 2, "{}", ran.errors);
}

#[test]
fn a_file_without_a_place_is_told_how_to_get_one() {
    let folder = Folder::new();
    folder.write("rover.harness", &HARNESS.replace("LIMIT", "50 mV").replace("    place tap -> cam\n", ""));
    folder.write("stock.csv", STOCK);
    let ran = folder.run(&["design", "rover.harness", "--stock", "stock.csv"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("place tap -> cam"), "{}", ran.errors);
}

/// The box that ships with the project is in order and has what it takes; a search of one form is quick.
#[test]
fn the_parts_box_is_large_and_in_order() {
    let text = fs::read_to_string(netlist("parts_box.csv")).expect("the box can be read");
    let lines = text.lines().filter(|line| !line.starts_with('#')).count() - 1;
    assert!(lines >= 40, "{lines}");
    let folder = Folder::new();
    let (harness, stock) = (netlist("design_crawler.harness"), netlist("parts_box.csv"));
    let picks = ["--form", "resistor_cap", "--draws", "2", "--out", "result"];
    let ran = folder.run(&[&["design", &harness, "--stock", &stock], &picks[..]].concat());
    assert_eq!(ran.code, 0, "{}\n{}", ran.out, ran.errors);

    // What less noise costs in grams: a disc for each winner, the axis in grams, and the line through those that no other beats in both.
    let whole: serde_json::Value = serde_json::from_str(&folder.read("result/design.json")).expect("JSON");
    let winners = whole["filters"].as_array().map_or(0, Vec::len);
    assert!(winners > 2, "{winners}");
    let picture = folder.read("result/pareto_noise.svg");
    assert!(picture.contains(&format!("{winners} candidates, which meet every requirement")));
    assert!(picture.contains(" g</text>") && picture.contains("limit: noise &lt; 60 mV"), "{picture}");
    assert!(picture.matches("<circle").count() <= winners);
    assert_eq!(
        picture.matches("class=\"qr-curve qr-strong qr-c0\"").count(),
        2,
        "in the field and in the legend"
    );
    for other in ["drop", "peak"] {
        assert!(folder.read(&format!("result/pareto_{other}.svg")).contains("against mass"), "{other}");
    }
}

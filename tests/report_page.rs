//! The report as one page: written for every netlist, whole, small, and with nothing left of half a file.

use crate::support::{Folder, netlist, repository};
use std::process::{Command, Stdio};
use std::time::Duration;

/// Bytes that the demo's page may have.
const MOST: usize = 1_500_000;

#[test]
fn the_demo_gets_a_small_page_of_its_own() {
    let folder = Folder::new();
    let ran = folder.run(&["report", &netlist("crawler.harness"), "--out", "pages"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert!(ran.out.starts_with("Pipe crawler\nresistor_cap and coil_cap_damped meet"), "{}", ran.out);
    let page = folder.read("pages/report.html");
    assert!(page.len() < MOST, "{} bytes", page.len());
    assert!(page.starts_with("<!DOCTYPE html>") && page.ends_with("</html>"), "a whole document");
    for told in ["Q 3.1", "28.7", "dB less", "coil_cap_damped", "annealed copper", "Lithium pack", "0.1.0"] {
        assert!(page.contains(told), "{told}");
    }
}

/// A page without the letters that its pictures are written in, among which any word may stand by chance.
fn without_pictures(page: &str) -> String {
    let mut pieces = page.split(";base64,");
    let first = pieces.next().unwrap_or_default().to_owned();
    pieces.fold(first, |told, piece| {
        told + piece.trim_start_matches(|one: char| one.is_ascii_alphanumeric() || "+/=".contains(one))
    })
}

#[test]
fn every_netlist_has_a_page() {
    for name in ["bench_rehearsal", "guarded_camera", "plug_in", "three_coils"] {
        let folder = Folder::new();
        let ran = folder.run(&["report", &netlist(&format!("{name}.harness")), "--quiet", "--out", "."]);
        assert!(
            ran.code <= 1 && ran.out.is_empty() && ran.errors.is_empty(),
            "{name}: {}{}",
            ran.out,
            ran.errors
        );
        let page = folder.read("report.html");
        assert!(page.len() < MOST && page.ends_with("</html>"), "{name}: {} bytes", page.len());
        let shown = without_pictures(page.split("<script").next().unwrap_or_default());
        assert!(!shown.contains("NaN") && !shown.contains(">inf"), "{name}");
        assert_eq!(folder.names(), ["report.html"]);
    }
}

#[test]
fn a_wrong_file_leaves_the_page_before_alone() {
    let folder = Folder::new();
    folder.write("report.html", "the page before");
    folder.write("wrong.harness", "coli choke a -> b");
    let ran = folder.run(&["report", "wrong.harness", "--out", "."]);
    assert_eq!(ran.code, 2);
    assert_eq!(folder.read("report.html"), "the page before");
}

#[test]
fn what_the_command_line_added_is_told() {
    let folder = Folder::new();
    let file = netlist("crawler.harness");
    let ran = folder.run(&[
        "report",
        &file,
        "--out",
        ".",
        "--quiet",
        "--only",
        "filter=coil",
        "--set",
        "pack.charge=30 %",
    ]);
    assert_eq!(ran.code, 1, "{}", ran.errors);
    let page = folder.read("report.html");
    assert!(page.contains("--only &quot;filter=coil&quot; --set &quot;pack.charge=30 %&quot;"));
}

/// The table of questions in the documents points at headings that the page has, and at figures that stand there.
#[test]
fn the_questions_are_answered_where_the_document_says() {
    let folder = Folder::new();
    let ran = folder.run(&["report", &netlist("crawler.harness"), "--out", ".", "--quiet"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    // Spaces that no line breaks at stand between numbers and units.
    let page = folder.read("report.html").replace('\u{a0}', " ");
    let text = std::fs::read_to_string(repository().join("crates/quietrail/doc/questions.md"))
        .expect("the document");
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| line.starts_with("| ") && !line.starts_with("| Question"))
        .map(|line| line.trim_matches('|').split(" | ").map(str::trim).collect())
        .collect();
    assert_eq!(rows.len(), 10);
    for row in rows {
        let headings = row[1].split('"').skip(1).step_by(2);
        headings.for_each(|heading| assert!(page.contains(heading), "{heading}: {}", row[0]));
        for figure in ["mV", "dB", "mA", "Hz", "%", "g"].iter().flat_map(|unit| figures(row[2], unit)) {
            assert!(page.contains(&figure), "{figure}: {}", row[0]);
        }
    }
}

/// `626 mV` of a text, each number that stands before a unit.
fn figures(text: &str, unit: &str) -> Vec<String> {
    let words: Vec<&str> = text.split(' ').collect();
    let unit = unit.trim();
    let pairs = words
        .windows(2)
        .filter(|pair| pair[0].parse::<f64>().is_ok() && pair[1].trim_matches([',', ';', '.', ':']) == unit);
    pairs.map(|pair| format!("{} {unit}", pair[0])).collect()
}

/// The page follows the file: a mistake stands over the last good result, and is gone once it is mended.
#[test]
fn watch_writes_the_page_at_every_save() {
    let folder = Folder::new();
    let good = "battery pack gnd -> bus  emf 12 V, resistance 100 mohm\nload eye bus -> gnd  resistance 6 ohm\ntestpoint rail = voltage(bus)\nrequire minimum(rail) > 11 V\ntransient run  span 1 ms, start steady\n";
    folder.write("mine.harness", good);
    let mut program = Command::new(env!("CARGO_BIN_EXE_quietrail"))
        .args(["watch", "mine.harness", "--out", "."])
        .current_dir(&folder.0)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let page = || std::fs::read_to_string(folder.0.join("report.html")).unwrap_or_default();
    // A page is replaced whole, so whatever is read is one; the test ends by the runner's patience where it never comes.
    let comes = |wanted: &dyn Fn(&str) -> bool| {
        while !wanted(&page()) {
            std::thread::sleep(Duration::from_millis(50));
        }
    };
    comes(&|page| page.contains("6\u{a0}ohm") && !page.contains("id=\"mistakes\""));
    folder.write("mine.harness", &good.replace("6 ohm", "6 uH"));
    comes(&|page| page.contains("id=\"mistakes\"") && page.contains("6\u{a0}ohm"));
    folder.write("mine.harness", &good.replace("6 ohm", "7 ohm"));
    comes(&|page| page.contains("7\u{a0}ohm") && !page.contains("id=\"mistakes\""));
    program.kill().and_then(|()| program.wait()).expect("the program is ended");
}

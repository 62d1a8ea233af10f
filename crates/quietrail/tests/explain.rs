//! `quietrail explain`: every word is told within 80 columns, an unknown one with the nearest, and the chapter is the committed one.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn explain(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
    command.arg("explain").args(arguments).output().expect("the program starts")
}

fn text(arguments: &[&str]) -> String {
    let output = explain(arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("the program writes UTF-8")
}

fn complaint(arguments: &[&str]) -> String {
    let output = explain(arguments);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    String::from_utf8(output.stderr).expect("the program writes UTF-8")
}

#[test]
fn the_committed_chapter_is_what_the_program_writes() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("doc/reference.md");
    let committed = fs::read_to_string(&path).unwrap_or_default();
    let written = text(&["--markdown"]);
    let differing = committed.lines().zip(written.lines()).position(|(one, other)| one != other);
    assert!(
        committed == written,
        "crates/quietrail/doc/reference.md differs from what the program writes, first at line {}. Refresh it with\n\
         cargo run -- explain --markdown > crates/quietrail/doc/reference.md",
        differing.map_or_else(|| committed.lines().count().min(written.lines().count()) + 1, |line| line + 1),
    );
}

#[test]
fn a_kind_is_told_with_its_equations_and_properties() {
    let told = text(&["coil"]);
    for words in ["coil: a kind of part", "flux = L i", "saturation_current", "Default: 30 %", "IEC 60205"] {
        assert!(told.contains(words), "{words}:\n{told}");
    }
}

#[test]
fn a_property_is_told_of_every_kind_or_of_one() {
    let all = text(&["dcr"]);
    assert!(all.contains("coil.dcr") && all.contains("bead.dcr") && all.contains("coupled.dcr"), "{all}");
    let one = text(&["bead.dcr"]);
    assert!(one.contains("bead.dcr") && !one.contains("coil.dcr"), "{one}");
}

#[test]
fn a_word_of_the_trade_leads_to_the_languages_own() {
    assert!(text(&["choke"]).starts_with("`choke` is called `coil` here.\n\ncoil: a kind"));
}

#[test]
fn an_unknown_word_is_told_with_the_nearest() {
    assert!(complaint(&["coli"]).contains("Perhaps `coil` was meant"));
    assert!(complaint(&["coil.dcrr"]).contains("Perhaps `coil.dcr` was meant"));
    assert!(complaint(&["flummery"]).contains("`quietrail explain` lists"));
}

/// The list without a word names all there is; every one of them can be explained, within the width of a terminal.
#[test]
fn everything_in_the_list_is_explained_within_80_columns() {
    let list = text(&[]);
    let indented = list.lines().filter(|line| line.starts_with("  "));
    let words: Vec<&str> =
        indented.flat_map(|line| line.split(',')).map(str::trim).filter(|word| !word.is_empty()).collect();
    assert!(words.len() > 250, "{}", words.len());
    let told: Vec<(&str, String)> =
        words.into_iter().map(|word| (word, text(&[word]))).chain([("", list.clone())]).collect();
    for (word, told) in told {
        // Examples are shown as they are written: a line too long there is a line too long in a file.
        let examples = told.find("\nWrong\n").unwrap_or(told.len());
        let longest = told[..examples].lines().map(|line| line.chars().count()).max();
        assert!(longest <= Some(80), "{word}: {longest:?}\n{told}");
    }
}

//! The gallery of wrong files: what `quietrail check` says of each, word for word.
//!
//! Beside every `tests/gallery/NAME.harness` lies `NAME.txt` with the exit code and everything that is printed. A text is judged by
//! whoever reads it: would it let a newcomer mend the file without the manual? After a change that was meant, write the texts anew
//! with `QUIETRAIL_REFRESH=1 cargo test -p quietrail --test gallery`, and read what has changed.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Codes of mistakes that only files too large for a gallery have, or that no file should have; the language's own tests make them.
const NOT_KEPT: &[&str] = &["too_large", "too_many", "not_formatted"];
/// Fewest files, so that a gallery that was moved away does not pass.
const FEWEST: usize = 60;

fn gallery() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/gallery")
}

/// The harness files by name.
fn files() -> Vec<String> {
    let entries = fs::read_dir(gallery()).expect("the gallery can be read");
    let names = entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned());
    let mut names: Vec<String> = names.filter(|name| name.ends_with(".harness")).collect();
    names.sort();
    assert!(names.len() >= FEWEST, "{}", names.len());
    names
}

/// What the program says of a file: its exit code, then both outputs. Where a stock of parts lies beside it, that is what is wrong.
fn said(name: &str) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
    let stock = name.replace(".harness", ".csv");
    if gallery().join(&stock).exists() {
        command.args(["design", name, "--stock", &stock]);
    } else {
        command.args(["check", name]);
    }
    let output = command.current_dir(gallery()).output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
    let code = output.status.code().expect("the program ends by itself");
    format!("exit code {code}\n\n{}{}", text(output.stdout), text(output.stderr))
}

/// The lines of two texts from the first to the last that differ, the expected ones with `-`, the found ones with `+`.
fn difference(expected: &str, found: &str) -> String {
    let (expected, found): (Vec<&str>, Vec<&str>) = (expected.lines().collect(), found.lines().collect());
    let same = |pairs: &mut dyn Iterator<Item = (&&str, &&str)>| {
        pairs.take_while(|(one, other)| one == other).count()
    };
    let before = same(&mut expected.iter().zip(&found));
    let after = same(&mut expected[before..].iter().rev().zip(found[before..].iter().rev()));
    let lines = |sign: char, texts: &[&str]| -> String {
        texts[before..texts.len() - after].iter().map(|line| format!("{sign} {line}\n")).collect()
    };
    format!("at line {}\n{}{}", before + 1, lines('-', &expected), lines('+', &found))
}

#[test]
fn every_wrong_file_is_told_as_the_gallery_shows() {
    let refresh = std::env::var_os("QUIETRAIL_REFRESH").is_some();
    let mut differing = Vec::new();
    for name in files() {
        let shown = gallery().join(&name).with_extension("txt");
        let found = said(&name);
        if refresh {
            fs::write(&shown, &found).expect("the gallery can be written");
        }
        let expected = fs::read_to_string(&shown).unwrap_or_default();
        if expected != found {
            differing.push(format!("tests/gallery/{name}, {}", difference(&expected, &found)));
        }
    }
    assert!(
        differing.is_empty(),
        "{}\nIf this is meant: QUIETRAIL_REFRESH=1 cargo test -p quietrail --test gallery",
        differing.join("\n")
    );
}

#[test]
fn every_code_of_a_mistake_is_in_the_gallery() {
    let mut shown = BTreeSet::new();
    for name in files() {
        let text = fs::read_to_string(gallery().join(&name).with_extension("txt")).unwrap_or_default();
        for start in ["mistake[", "remark["] {
            let codes = text.split(start).skip(1).filter_map(|after| after.split(']').next());
            shown.extend(codes.map(str::to_owned));
        }
    }
    let missing: Vec<&str> = language::pages::all()
        .chain(study::pages::mistakes())
        .map(|page| page.code)
        .filter(|code| !shown.contains(*code) && !NOT_KEPT.contains(code))
        .collect();
    assert!(missing.is_empty(), "add a file to tests/gallery for {missing:?}");
}

/// A mistake says what was expected at its place, or what to try.
#[test]
fn no_mistake_goes_without_what_was_expected() {
    for name in files() {
        let text = fs::read_to_string(gallery().join(&name).with_extension("txt")).unwrap_or_default();
        for told in text.split("mistake[").skip(1) {
            let told = told.split("\n\n").next().unwrap_or_default();
            let helps = told.contains("= help:") || told.contains("expected") || told.contains("= ");
            let labelled = told
                .lines()
                .any(|line| line.contains('^') && line.trim_end().ends_with(char::is_alphanumeric));
            assert!(helps || labelled, "{name}: {told}");
        }
    }
}

#[test]
fn every_text_has_its_file_and_no_line_is_too_long() {
    for entry in fs::read_dir(gallery()).expect("the gallery can be read") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|ending| ending == "txt") {
            assert!(path.with_extension("harness").is_file(), "{} shows no file", path.display());
            let text = fs::read_to_string(&path).expect("a text can be read");
            // Lines of the file itself, after their number and a bar, are as long as they were written.
            let own = text.lines().filter(|line| !line.contains(" | "));
            let longest = own.map(|line| line.chars().count()).max();
            assert!(longest <= Some(80), "{}: {longest:?}", path.display());
        }
    }
}

//! Files that include others: what is taken in, and every mistake on the way, with the chain that leads to it.

use crate::common;

use common::{CIRCUIT, source};
use quietrail_language::{Loader, Mistake, Read, Source, read, read_with, render};
use std::collections::BTreeMap;

/// Files by name, for a loader; a name that none bears is refused as a disk would.
fn files<'a>(files: &[(&'a str, &'a str)]) -> impl Fn(&str) -> Result<String, String> {
    let files: BTreeMap<String, String> =
        files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    move |name| files.get(name).cloned().ok_or_else(|| "no such file".to_owned())
}

fn read_files(text: &str, others: &[(&str, &str)]) -> Read {
    read_with(&source(text), &[], &files(others))
}

fn wrong(text: &str, others: &[(&str, &str)]) -> (Vec<Mistake>, Vec<Source>) {
    let Read { description, sources } = read_files(text, others);
    (description.expect_err("there is a mistake"), sources)
}

/// Code and message of the only mistake.
fn only<'a>(mistakes: &'a [Mistake], sources: &[Source]) -> (&'static str, &'a str) {
    let [mistake] = mistakes else { panic!("{}", render(mistakes, sources, false)) };
    (mistake.code, &mistake.message)
}

#[test]
fn the_statements_stand_where_the_file_is_named() {
    let parts = "let drawn = 160 mA\nload eye cam -> gnd current drawn\n";
    let whole = CIRCUIT.replace("load eye cam -> gnd current 160 mA\n", "include \"eye.harness\"\n");
    let found = read_files(&whole, &[("eye.harness", parts)]);
    let harness = found.description.expect("no mistake").at(&[]);
    let names: Vec<&str> = harness.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["pack", "link", "eye"]);
    assert_eq!(harness.parts[2].number("current"), Some(0.16));
    assert_eq!(
        found.sources.iter().map(|each| each.name.as_str()).collect::<Vec<_>>(),
        ["test.harness", "eye.harness"]
    );
}

#[test]
fn everything_can_be_included_and_lets_are_shared_both_ways() {
    let other = "\
assembly lc(c) in, out { coil l in -> out inductance 1 mH\ncapacitor store out -> gnd capacitance c }
choice filter { option none { wire short cam -> eye resistance 1 mohm }\noption lc { fit lc f cam, eye c farads } }
condition state { case new { } case worn { set pack.resistance = 1 ohm } }
reading low = minimum(rail)";
    let text = format!(
        "let farads = 10 uF\n{CIRCUIT}\ninclude \"filters.harness\"\nresistor burden eye -> gnd resistance 1 kohm\nrequire low > 9 V"
    );
    let text = text.replace("load eye cam", "load burn cam");
    let found = read_files(&text, &[("filters.harness", other)]);
    let description =
        found.description.unwrap_or_else(|mistakes| panic!("{}", render(&mistakes, &found.sources, false)));
    assert_eq!(
        description.axes().iter().map(|axis| axis.name.as_str()).collect::<Vec<_>>(),
        ["filter", "state"]
    );
    let harness = description.at(&[1, 1]);
    let store = harness.parts.iter().find(|part| part.name == "f.store").expect("the fitted capacitor");
    assert_eq!(store.number("capacitance"), Some(10e-6));
}

#[test]
fn paths_start_at_the_folder_of_the_file_that_they_stand_in() {
    let loader = files(&[
        ("lib/a.harness", "include \"inner/b.harness\"\ninclude \"/abs.harness\""),
        ("lib/inner/b.harness", "resistor b cam -> gnd resistance 1 ohm"),
        ("/abs.harness", "resistor c cam -> gnd resistance 1 ohm"),
    ]);
    let found = read_with(&source(&format!("{CIRCUIT}include \"lib/a.harness\"")), &[], &loader);
    assert_eq!(found.description.expect("no mistake").at(&[]).parts.len(), 5);
    assert_eq!(loader.name("../x", "lib/inner/b"), "lib/inner/../x");
}

#[test]
fn a_file_reached_by_two_ways_is_taken_in_once() {
    let common = "resistor shared cam -> gnd resistance 1 kohm";
    let others = [
        ("one.harness", "include \"common.harness\"\nresistor r1 cam -> gnd resistance 1 ohm"),
        ("two.harness", "include \"common.harness\"\nresistor r2 cam -> gnd resistance 1 ohm"),
        ("common.harness", common),
    ];
    let text =
        format!("{CIRCUIT}include \"one.harness\"\ninclude \"two.harness\"\ninclude \"common.harness\"");
    let harness = read_files(&text, &others).description.expect("no mistake").at(&[]);
    assert_eq!(harness.parts.len(), 6);
}

#[test]
fn the_title_of_the_outermost_file_holds() {
    let title = |text: &str, other: &str| {
        let text = format!("{text}\n{CIRCUIT}");
        read_files(&text, &[("o", other)]).description.expect("no mistake").title().to_owned()
    };
    assert_eq!(title("include \"o\"\nharness \"Mine\"", "harness \"Other\""), "Mine");
    assert_eq!(title("harness \"Mine\"\ninclude \"o\"", "harness \"Other\""), "Mine");
    assert_eq!(title("include \"o\"", "harness \"Other\""), "Other");
    let twice = [("o", "harness \"a\"\nharness \"b\"")];
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include \"o\""), &twice);
    assert_eq!(only(&mistakes, &sources), ("second_title", "the harness has a title already"));
}

#[test]
fn circles_are_told_with_their_chain() {
    let others = [("a.harness", "include \"b.harness\""), ("b.harness", "\ninclude \"a.harness\"")];
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include \"a.harness\""), &others);
    assert_eq!(
        only(&mistakes, &sources),
        ("include_in_itself", "`a.harness` would include itself: a.harness -> b.harness -> a.harness")
    );
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include \"test.harness\""), &[]);
    assert_eq!(
        only(&mistakes, &sources),
        ("include_in_itself", "`test.harness` would include itself: test.harness -> test.harness")
    );
}

#[test]
fn a_mistake_inside_is_shown_in_its_file_and_up_the_chain() {
    let others = [
        ("lib/mid.harness", "# first line\ninclude \"deep.harness\""),
        ("lib/deep.harness", "\n\nresistor r cam -> gnd resistance 1 uF"),
    ];
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include \"lib/mid.harness\""), &others);
    assert_eq!(only(&mistakes, &sources), ("wrong_dimension", "`resistance` must be in ohms, not farads"));
    let drawn = render(&mistakes, &sources, false);
    let expected = "\
mistake[wrong_dimension]: `resistance` must be in ohms, not farads
 --> lib/deep.harness:3:34
  |
3 | resistor r cam -> gnd resistance 1 uF
  |                                  ^^^^ expected ohms
  |
 ::: lib/mid.harness:2:9
  |
2 | include \"deep.harness\"
  |         -------------- included here
  |
 ::: test.harness:6:9
  |
6 | include \"lib/mid.harness\"
  |         ----------------- included here
  |
  = help: try 1 uohm
";
    assert_eq!(drawn, expected);
}

#[test]
fn two_files_that_claim_a_name_are_both_shown() {
    let others = [("o", "resistor link cam -> gnd resistance 1 ohm")];
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include \"o\""), &others);
    assert_eq!(only(&mistakes, &sources), ("duplicate_name", "the name `link` is taken"));
    assert_eq!(mistakes[0].span.source, 1);
    assert_eq!(mistakes[0].others.iter().map(|(span, _)| span.source).collect::<Vec<_>>(), [0, 0]);
}

/// What names a part or value of a file that is out of sight is no second mistake.
#[test]
fn an_unreadable_file_is_the_only_mistake() {
    let text = format!(
        "{CIRCUIT}include \"gone.harness\"\nresistor r cam -> away resistance burden\nfit filter f cam, away\n\
         testpoint far = voltage(elsewhere)\nreading x = maximum(nowhere)\nreading y = peak(rail) in late"
    );
    let (mistakes, sources) = wrong(&text, &[]);
    assert_eq!(only(&mistakes, &sources), ("unreadable_file", "`gone.harness` can't be read: no such file"));
    assert_eq!(
        mistakes[0].help.as_deref(),
        Some("looked for `gone.harness`: a path starts at the folder of the file that it stands in")
    );
    let alone = read(&source(&format!("{CIRCUIT}include \"gone.harness\"")), &[]).expect_err("no other file");
    assert_eq!(alone[0].message, "`gone.harness` can't be read: only this text is at hand, no other file");
}

#[test]
fn a_file_that_two_others_miss_is_told_once() {
    let others =
        [("one.harness", "include \"gone.harness\"\n"), ("two.harness", "include \"gone.harness\"\n")];
    let text = format!("{CIRCUIT}include \"one.harness\"\ninclude \"two.harness\"\n");
    let (mistakes, sources) = wrong(&text, &others);
    assert_eq!(only(&mistakes, &sources).0, "unreadable_file");
}

#[test]
fn what_is_wrong_beside_an_unreadable_file_is_told_all_the_same() {
    let (mistakes, _) =
        wrong(&format!("{CIRCUIT}include \"gone\"\nresistor r cam -> gnd resistance 1 uF"), &[]);
    assert_eq!(
        mistakes.iter().map(|each| each.code).collect::<Vec<_>>(),
        ["unreadable_file", "wrong_dimension"]
    );
}

#[test]
fn files_are_included_at_the_top_only() {
    let told = |text: &str| {
        let (mistakes, sources) = wrong(&format!("{CIRCUIT}{text}"), &[("o", "")]);
        only(&mistakes, &sources);
        (mistakes[0].message.clone(), mistakes[0].help.clone().unwrap_or_default())
    };
    let help = "include it outside the block; an assembly of that file can be fitted in here".to_owned();
    assert_eq!(
        told("choice c { option one { include \"o\" } }"),
        ("`include` can't stand inside an option or case".to_owned(), help.clone())
    );
    assert_eq!(
        told("assembly a x { include \"o\"\nresistor r x -> gnd resistance 1 ohm }\nfit a f cam"),
        ("`include` can't stand inside an assembly".to_owned(), help)
    );
    let (mistakes, sources) = wrong(&format!("{CIRCUIT}include o"), &[("o", "")]);
    assert_eq!(
        only(&mistakes, &sources),
        ("unexpected", "expected the other file's path in quotes, found `o`")
    );
}

#[test]
fn depth_and_size_are_limited() {
    // Each file includes the next, named by its number, without end.
    let endless = |name: &str| -> Result<String, String> {
        Ok(format!("include \"{}\"", name.parse::<usize>().map_err(|error| error.to_string())? + 1))
    };
    let found = read_with(&source(&format!("{CIRCUIT}include \"1\"")), &[], &endless);
    let mistakes = found.description.expect_err("too deep");
    assert_eq!(
        only(&mistakes, &found.sources),
        ("too_deep", "files include each other more than 50 levels deep")
    );
    assert_eq!(found.sources.len(), 51);
    assert_eq!(mistakes[0].others.len(), 50);
    // Two files of 40 MiB are within the limit each, and not together.
    let large = |_: &str| -> Result<String, String> { Ok(" ".repeat(40 << 20)) };
    let found = read_with(&source(&format!("{CIRCUIT}include \"1\"\ninclude \"2\"")), &[], &large);
    let mistakes = found.description.expect_err("too large");
    assert_eq!(
        only(&mistakes, &found.sources),
        ("too_large", "this file and all that it includes are larger than 64 MiB together")
    );
}

#[test]
fn settings_keep_their_places_beside_included_files() {
    let settings = ["pack.resistance=1 uF".to_owned()];
    let text = format!("{CIRCUIT}include \"o\"");
    let Read { description, sources } =
        read_with(&source(&text), &settings, &files(&[("o", "resistor r cam -> gnd resistance 1 uF")]));
    let places: Vec<&str> = description
        .expect_err("two mistakes")
        .iter()
        .map(|mistake| sources[mistake.span.source].name.as_str())
        .collect();
    assert_eq!(places, ["--set 1", "o"]);
    let settings = ["farads=2 uF".to_owned()];
    let other = "let farads = 1 uF\ncapacitor c cam -> gnd capacitance farads";
    let found = read_with(&source(&text), &settings, &files(&[("o", other)]));
    let harness = found.description.expect("no mistake").at(&[]);
    assert_eq!(harness.parts.last().and_then(|part| part.number("capacitance")), Some(2e-6));
}

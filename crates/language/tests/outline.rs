//! Where statements, blocks and names of a text are, of a half-written one too.

use crate::common;

use common::{CIRCUIT, right, source};
use quietrail_language::outline::{Outline, Role, outline};
use quietrail_language::{Source, words};

fn names(source: &Source, outline: &Outline) -> Vec<(Role, String)> {
    let definitions = outline.statements.iter().filter_map(|statement| statement.definition.as_ref());
    definitions.map(|each| (each.role, source.text[each.name.start..each.name.end].to_owned())).collect()
}

fn defined(text: &str) -> Vec<String> {
    let source = source(text);
    names(&source, &outline(&source)).into_iter().map(|(_, name)| name).collect()
}

const CRAWLER: &str = include_str!("crawler.harness");

#[test]
fn the_names_of_a_whole_file_are_found_in_order() {
    let expected = "run pack main bulk tracks feed eye filter none link coil choke coil_cap choke store \
                    battery_state fresh soft rail noise ripple path";
    assert_eq!(defined(CRAWLER).join(" "), expected);
}

#[test]
fn blocks_hold_their_statements() {
    let source = source(CRAWLER);
    let outline = outline(&source);
    let at = |text: &str| source.text.find(text).expect("it is there");
    let holders = |byte: usize| {
        let mut holder = outline.holder_at(byte);
        let mut words = Vec::new();
        while let Some(index) = holder {
            let statement = &outline.statements[index];
            let name = statement.definition.as_ref().expect("blocks have names").name;
            words.push(&source.text[name.start..name.end]);
            holder = statement.holder;
        }
        words
    };
    assert_eq!(holders(at("capacitor store")), ["coil_cap", "filter"]);
    assert_eq!(holders(at("set pack.charge = 15")), ["soft", "battery_state"]);
    assert!(holders(at("testpoint")).is_empty());
    let nodes = |text: &str| {
        let statement = outline.statements.iter().find(|each| each.span.start == at(text)).expect("one");
        let nodes = &statement.definition.as_ref().expect("a name").nodes;
        nodes.iter().map(|node| &source.text[node.start..node.end]).collect::<Vec<_>>()
    };
    assert_eq!(nodes("battery   pack"), ["gnd", "pos"]);
}

#[test]
fn terminals_parameters_and_the_nodes_of_a_fit_are_told_apart() {
    let source = source(
        "assembly lc(l, c) in, out { coil k in -> out inductance l }\nfit lc f tap, cam  l 2 uH, c 3 uF",
    );
    let outline = outline(&source);
    let text = |spans: &[quietrail_language::Span]| {
        spans.iter().map(|span| &source.text[span.start..span.end]).collect::<Vec<_>>().join(" ")
    };
    let definition = |at: usize| outline.statements[at].definition.as_ref().expect("a name");
    assert_eq!(text(&definition(0).parameters), "l c");
    assert_eq!(text(&definition(0).nodes), "in out");
    assert_eq!(text(&definition(2).nodes), "tap cam");
    assert_eq!(definition(2).assembly.map(|span| text(&[span])), Some("lc".to_owned()));
}

#[test]
fn a_half_written_statement_hides_none_of_its_neighbours() {
    let comma = "wire a b -> c length 1 m,\nresistor r c -> d resistance 1 ohm";
    assert_eq!(defined(comma), ["a", "r"]);
    // A property may bear a kind's word.
    assert_eq!(defined("camera eye a -> b current 1 A,\n  supply 9 V .. 12 V\nlet x = 1"), ["eye", "x"]);
    let brace =
        "choice f {\n option a {\n wire w b -> c resistance 1 ohm\n option b { }\ntestpoint t = voltage(b)";
    assert_eq!(defined(brace), ["f", "a", "w", "b", "t"]);
    let source = source(brace);
    let outline = outline(&source);
    assert_eq!(outline.holder_at(brace.len()), None);
    assert!(defined("wire\nlet\nfit f\nassembly (\n").is_empty());
}

/// The words that others are offered are words that reading takes.
#[test]
fn signals_and_starts_are_those_of_the_language() {
    for start in words::STARTS {
        right(&CIRCUIT.replace("start steady", &format!("start {start}")));
    }
    for signal in words::SIGNALS {
        let circuit = format!(
            "{CIRCUIT}coil choke cam -> gnd inductance 1 mH, dcr 1 ohm\ncamera front cam -> gnd current 1 A\n"
        );
        let part = if *signal == "picture" { "front" } else { "choke" };
        right(&format!("{circuit}testpoint seen = {signal}({part})"));
    }
    assert!(
        words::functions().any(|word| word == "sqrt") && words::readings().any(|(word, _)| word == "rms")
    );
    assert!(words::responses().any(|(word, _)| word == "impedance"));
}

#[test]
fn garbage_has_an_outline_too() {
    for text in [
        "}{",
        "{{{{",
        "\"",
        "fit fit fit",
        "->",
        "assembly a(",
        "a\u{fffd}b -> \u{1f600}",
        ",\nlet",
        "option {",
    ] {
        let found = outline(&source(text));
        assert!(found.statements.iter().all(|each| each.span.start <= each.span.end), "{text}");
    }
    let _ = outline(&source(&"assembly a {".repeat(50_000)));
}

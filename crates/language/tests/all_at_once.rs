//! One file with many mistakes: all are told in one go, sorted, with no consequences of theirs among them.

use crate::common;

use common::{source, wrong, wrong_with};
use quietrail_language::{Source, render};

const TEXT: &str = "\
harness \"All at once\"
let run = 240 mm
battery pack gnd -> bus emf 12 V, resistance 40 mohm
wire main bus -> tap length run, area 2.5 mm2
capacitor bulk bus -> gnd capacitance 220 uH, esr 40 mohm
coli choke tap -> cam inductance 330 uH
wire feed cam -> length 1 m, gauge 24 AWG
load eye cam -> gnd current 160 mA
load eye tap -> gnd current 10 mA
resistor left island -> shore resistance 4k7
choice filter {
    option none { wire link tap -> cam resistance 1 mohm }
    option some { wire link tap -> cam resistance 2 mohm }
testpoint rail = voltage(cam), bandwidth 20 MHz
testpoint flow = current(choke)
reading noise = peak_to_peak(rail)
require noise < 60 mA \"lines\"
transient run_1 span 1 ms, start steady
";

#[test]
fn every_mistake_once_and_in_order() {
    let told: Vec<_> = wrong(TEXT)
        .iter()
        .map(|mistake| (source(TEXT).line_and_column(mistake.span.start), mistake.code))
        .collect();
    assert_eq!(
        told,
        [
            ((5, 39), "wrong_dimension"),
            ((6, 1), "unknown_word"),
            ((7, 15), "missing_node"),
            ((9, 6), "duplicate_name"),
            ((10, 15), "floating_node"),
            ((11, 15), "unclosed_block"),
            ((17, 17), "wrong_dimension"),
        ]
    );
}

#[test]
fn drawn_within_eighty_columns() {
    let text = render(&wrong(TEXT), &Source::with_settings(&source(TEXT), &[]), false);
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let first = "\
mistake[wrong_dimension]: `capacitance` must be in farads, not henries
 --> test.harness:5:39
  |
5 | capacitor bulk bus -> gnd capacitance 220 uH, esr 40 mohm
  |                                       ^^^^^^ expected farads
  |
  = help: try 220 uF
";
    assert!(text.starts_with(first), "{text}");
}

#[test]
fn colour_changes_nothing_but_colour() {
    let sources = Source::with_settings(&source(TEXT), &[]);
    let (plain, coloured) = (render(&wrong(TEXT), &sources, false), render(&wrong(TEXT), &sources, true));
    let mut stripped = String::new();
    let mut rest = coloured.as_str();
    while let Some(at) = rest.find('\u{1b}') {
        stripped.push_str(&rest[..at]);
        let end = rest[at..].find('m').expect("an escape sequence ends with m");
        rest = &rest[at + end + 1..];
    }
    stripped.push_str(rest);
    assert_ne!(plain, coloured);
    assert_eq!(plain, stripped);
}

/// No part at all stands behind the unknown word here, so the floating node can still be told; and the block that ends
/// with the file takes nothing along.
#[test]
fn an_open_block_at_the_files_end_swallows_nothing() {
    let text = "\
frobnicate the thing
battery pack gnd -> bus emf 12 V
resistor r bus -> gnd resistance 220 uF
wire w bus -> resistance 1 ohm
resistor r bus -> gnd resistance 1 ohm
resistor far a -> b resistance 1 ohm
condition c {
    case x { set pack.emf = 11 A }
    case y { set pack.emf = 10 V
";
    let codes: Vec<_> = wrong(text).iter().map(|mistake| mistake.code).collect();
    assert_eq!(
        codes,
        [
            "unknown_word",
            "wrong_dimension",
            "missing_node",
            "duplicate_name",
            "floating_node",
            "unclosed_block",
            "wrong_dimension",
            "unclosed_block",
        ]
    );
}

#[test]
fn settings_of_the_command_line_are_numbered() {
    let settings = ["a=1".to_owned(), "b = 2".to_owned()];
    let text =
        render(&wrong_with(TEXT, &["a=1", "b = 2"]), &Source::with_settings(&source(TEXT), &settings), false);
    assert!(text.contains("--> --set 1:1:1"), "{text}");
    assert!(text.contains("--> --set 2:1:1"), "{text}");
}

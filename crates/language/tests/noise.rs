//! Texts that nobody would write: they are refused in bounded time and memory, without a panic or a deep stack.

use crate::common;

use common::{CIRCUIT, source};
use proptest::prelude::*;
use quietrail_language::{Source, format, read, render};

/// Reads and draws; what is told does not matter here.
fn survives(text: &str) -> usize {
    let source = source(text);
    let sources = Source::with_settings(&source, &[text.to_owned()]);
    let told = match read(&source, &[text.to_owned()]) {
        Ok(description) => description.remarks().to_vec(),
        Err(mistakes) => mistakes,
    };
    let drawn = render(&told, &sources, false);
    assert_eq!(drawn.is_empty(), told.is_empty());
    told.len()
}

/// What can be laid out stays as it is once it is.
fn stays(text: &str) {
    match format(&source(text)) {
        Ok(once) => assert_eq!(format(&source(&once)).as_ref(), Ok(&once), "{text}"),
        Err(mistakes) => assert!(mistakes.iter().all(|mistake| mistake.code != "not_formatted"), "{text}"),
    }
}

#[test]
fn monsters_are_laid_out_or_refused() {
    for text in ["{", "(", "[", "choice a { option b {"] {
        stays(&text.repeat(100_000));
    }
    // Long names in many rows would fill the memory if every row were padded to them.
    let rows = "resistor r a -> gnd  resistance 1 ohm\n".repeat(2_000);
    stays(&format!("resistor {} a -> gnd  resistance 1 ohm\n{rows}", "x".repeat(1_000_000)));
    stays(&format!("drive d a -> gnd  throttle [{}]", "0 s: 1 %, ".repeat(30_000)));
    stays(&"resistor r a -> gnd resistance 1 ohm;".repeat(10_000));
}

#[test]
fn ten_megabytes_of_garbage() {
    let pattern = "}{ $ wire ( \u{7}\u{fffd} 1e9 -> , \" [ ] .. += let \n";
    survives(&pattern.repeat(10_000_000 / pattern.len()));
}

#[test]
fn deep_nesting() {
    for (open, close) in
        [("(", ")"), ("{", "}"), ("[", "]"), ("choice a { option b {", "} }"), ("assembly a b {", "}")]
    {
        for text in [open.repeat(100_000), format!("{}{}", open.repeat(100_000), close.repeat(100_000))] {
            assert!(survives(&text) > 0);
            survives(&format!("let a = {text}"));
            survives(&format!("resistor r a -> gnd resistance {text}"));
        }
    }
}

#[test]
fn long_rows_of_operators() {
    for row in ["-", "+ 1 ", "^ 1 ", "* -", "- (", "/ max("] {
        survives(&format!("let a = 1 {}", row.repeat(100_000)));
    }
}

#[test]
fn one_long_line() {
    survives(&"a".repeat(5_000_000));
    survives(&"1".repeat(5_000_000));
    survives(&format!("let a = 1 {}", "+ 1 ".repeat(1_250_000)));
    survives(&format!("resistor r a -> gnd resistance 1 ohm{}", ", resistance 1 ohm".repeat(250_000)));
    survives(&format!("\"{}", "x".repeat(5_000_000)));
}

#[test]
fn many_statements() {
    let parts: String =
        (0..50_000).map(|n| format!("resistor r{n} n{n} -> n{} resistance 1 ohm\n", n + 1)).collect();
    let text = format!("{parts}resistor last n0 -> gnd resistance 1 ohm\n");
    let description = read(&source(&text), &[]).expect("a long chain is no mistake");
    assert_eq!(description.at(&[]).parts.len(), 50_001);
}

/// The codes of a file of assemblies, each of which holds what `inner` says of the next.
fn told_of_chain(length: usize, inner: impl Fn(usize) -> String) -> Vec<&'static str> {
    let chain: String = (0..length)
        .map(|n| format!("assembly a{n} x, y {{ resistor r x -> y resistance 1 ohm; {} }}\n", inner(n + 1)))
        .collect();
    let last = format!("assembly a{length} x, y {{ resistor r x -> y resistance 1 ohm }}\n");
    let text = format!("{CIRCUIT}{chain}{last}fit a0 one bus, cam\n");
    let source = source(&text);
    match read(&source, &[]) {
        Ok(description) => {
            assert_eq!(description.at(&[]).instances.len(), length + 1);
            Vec::new()
        }
        Err(mistakes) => {
            assert!(!render(&mistakes, &Source::with_settings(&source, &[]), false).is_empty());
            mistakes.iter().map(|mistake| mistake.code).collect()
        }
    }
}

#[test]
fn assemblies_that_grow_beyond_every_bound() {
    let one = |n: usize| format!("fit a{n} i x, y");
    assert_eq!(told_of_chain(40, one), [""; 0]);
    assert_eq!(told_of_chain(20_000, one), ["too_deep"]);
    assert_eq!(
        told_of_chain(20_000, |n| format!("fit a{} i x, y", n % 20_000)),
        ["too_deep", "assembly_in_itself"]
    );
    // Two to the power of 40 parts
    let two = |n: usize| format!("fit a{n} i x, y; fit a{n} j x, y");
    assert_eq!(told_of_chain(40, two), ["too_many_parts"]);
    // A long text again and again
    let long =
        format!("assembly a x, y {{ resistor r x -> y resistance 1 ohm{} }}\n", " + 1 ohm".repeat(150));
    let fits: String = (0..50_000).map(|n| format!("fit a f{n} bus, cam\n")).collect();
    let told = read(&source(&format!("{CIRCUIT}{long}{fits}")), &[]).expect_err("too many parts");
    assert!(told.iter().any(|mistake| mistake.code == "too_many_parts"));
}

#[test]
fn many_axes() {
    let axes: String = (0..60)
        .map(|n| {
            format!(
                "choice a{n} {{ option x {{ }} option y {{ resistor r{n} bus -> gnd resistance {n} ohm }} }}\n"
            )
        })
        .collect();
    let mistakes = read(&source(&format!("{CIRCUIT}{axes}")), &[]).expect_err("r0 has no resistance");
    assert_eq!(mistakes.iter().map(|mistake| mistake.code).collect::<Vec<_>>(), ["out_of_range"]);
    assert_eq!(mistakes[0].point.as_deref().map(|point| point.contains("a0 = y")), Some(true));
}

#[test]
fn any_point_gives_a_harness() {
    let axes = "choice a { option x { } option y { resistor r bus -> gnd resistance 1 ohm } }";
    let description = read(&source(&format!("{CIRCUIT}{axes}")), &[]).expect("right");
    assert_eq!(description.at(&[]).parts.len(), 3);
    assert_eq!(description.at(&[1]).parts.len(), 4);
    assert_eq!(description.at(&[usize::MAX, 7, 7]).parts.len(), 4);
}

/// Tokens in any order come closer to the parser's corners than letters in any order.
fn words() -> impl Strategy<Value = String> {
    let words = [
        "harness",
        "let",
        "choice",
        "condition",
        "option",
        "case",
        "set",
        "testpoint",
        "reading",
        "require",
        "transient",
        "frequency",
        "response",
        "transfer",
        "impedance",
        "points",
        "voltage",
        "sweep",
        "assembly",
        "fit",
        "fit a b bus",
        "assembly a(b) bus {",
        "insertion_loss",
        "resonances",
        "a.b",
        "baseline",
        "resistor",
        "coil",
        "wire",
        "battery",
        "drive",
        "camera",
        "diode",
        "a",
        "b",
        "gnd",
        "bus",
        "->",
        "{",
        "}",
        "(",
        ")",
        "[",
        "]",
        ",",
        ";",
        ":",
        ".",
        "..",
        "+-",
        "+",
        "-",
        "*",
        "/",
        "^",
        "=",
        "<",
        ">=",
        "%",
        "1",
        "2.5",
        "4k7",
        "10",
        "ohm",
        "uF",
        "mm",
        "degC",
        "points",
        "\"x\"",
        "\"",
        "#",
        "\n",
        "\n",
        "resistance",
        "inductance",
        "length",
        "gauge",
        "supply",
        "throttle",
        "video",
        "pal",
        "voltage",
        "current",
        "mean",
        "band",
        "harmonic",
        "max",
        "sqrt",
        "pi",
        "span",
        "start",
        "steady",
        "in",
        "over",
        "bandwidth",
        "µ",
        "°C",
    ];
    prop::collection::vec(prop::sample::select(words.to_vec()), 0..80).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn random_text(text in "\\PC*") {
        survives(&text);
        stays(&text);
    }

    #[test]
    fn random_words(text in words()) {
        survives(&text);
        survives(&text.replace(' ', ""));
        stays(&text);
    }

    #[test]
    fn right_assemblies_with_a_piece_cut_out(from in 0_usize..600, length in 0_usize..80) {
        let sample = format!(
            "{CIRCUIT}assembly filter(l, c) in, out {{\n    let half = l / 2\n    coil first in -> mid inductance half\n\
             \n    coil second mid -> out inductance half\n    capacitor store out -> gnd capacitance c\n}}\n\
             assembly double(l) in, out {{ fit filter a in, mid  l l, c 1 uF; fit filter b mid, out  l l, c 2 uF }}\n\
             choice c {{ option x {{ fit double f bus, cam  l 1 mH; set f.a.l = 2 mH }} option y {{ }} }}\n\
             testpoint t = voltage(f.a.mid)\nreading r = insertion_loss(f, 1 ohm, 2 ohm, 1 kHz)\n"
        );
        let (from, to) = (from.min(sample.len()), (from + length).min(sample.len()));
        survives(&format!("{}{}", &sample[..from], &sample[to..]));
    }

    #[test]
    fn a_right_file_with_a_piece_cut_out(from in 0_usize..2000, length in 0_usize..200) {
        let sample = include_str!("crawler.harness");
        let cut = |at: usize| (0..=at.min(sample.len())).rev().find(|at| sample.is_char_boundary(*at)).unwrap_or(0);
        let (from, to) = (cut(from), cut(from + length));
        survives(&format!("{}{}", &sample[..from], &sample[to.max(from)..]));
    }
}

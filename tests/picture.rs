//! The picture in the readme is the one that the main command draws.

use crate::support::{CRAWLER, repository};
use std::fs;

const COMMITTED: &str = "crates/quietrail/doc/crawler.svg";

/// What a picture is made of: its texts without figures in their order, and how often each kind of element occurs. Figures
/// and curves may differ in their last digits between machines.
fn structure(svg: &str) -> (Vec<String>, Vec<(&'static str, usize)>) {
    let texts = svg.split("<text ").skip(1).filter_map(|rest| {
        let text = rest.split_once('>')?.1.split_once("</text>")?.0;
        (!text.contains(|character: char| character.is_ascii_digit())).then(|| text.to_owned())
    });
    let elements = ["<svg", "<g", "<rect", "<title", "<desc"];
    (texts.collect(), elements.map(|element| (element, svg.matches(element).count())).to_vec())
}

#[test]
fn the_committed_picture_has_the_current_structure() {
    let path = repository().join(COMMITTED);
    let committed = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    assert_eq!(
        structure(&committed),
        structure(&CRAWLER.picture),
        "draw it anew: compare netlists/crawler.harness, then copy quietrail-out/crawler/rail.svg to {COMMITTED}",
    );
}

#[test]
fn the_picture_names_every_option_and_its_axes() {
    for text in ["none", "resistor_cap", "coil", "cap", "coil_cap", "coil_cap_damped", "peak to peak", "time"]
    {
        assert!(CRAWLER.picture.contains(text), "{text}");
    }
    assert!(CRAWLER.picture.contains("mV") && CRAWLER.picture.contains("ms"), "axes have units");
    assert!(!CRAWLER.picture.contains("NaN") && !CRAWLER.picture.contains("inf"));
}

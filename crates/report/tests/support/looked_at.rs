//! A picture as a test sees it: its elements by class, its texts with the room that they take.

use roxmltree::{Document, Node};

/// Elements of a class.
pub(crate) fn of_class<'a>(document: &'a Document<'a>, class: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document.descendants().filter(move |node| {
        node.attribute("class")
            .is_some_and(|classes| classes.split(' ').any(|one| one.strip_prefix("qr-") == Some(class)))
    })
}

/// Sum of the translations around a node.
fn origin(node: Node<'_, '_>) -> (f64, f64) {
    let shifts = node.ancestors().filter_map(|one| one.attribute("transform")).map(|transform| {
        let inner = transform.trim_start_matches("translate(").trim_end_matches(')');
        let (x, y) = inner.split_once(' ').unwrap();
        (x.parse::<f64>().unwrap(), y.parse::<f64>().unwrap())
    });
    shifts.fold((0.0, 0.0), |sum, shift| (sum.0 + shift.0, sum.1 + shift.1))
}

/// An attribute that is a number.
pub(crate) fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Width of a text set in Arial, whose advance widths (in thousandths of the size, from memory) fall into few groups.
fn set_width(words: &str, size: f64, bold: bool) -> f64 {
    let advance = |character: char| match character {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '|' | '\'' | '!' | 'I' | ' ' => 278.0,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '/' => 333.0,
        'm' | 'w' | 'M' | 'W' | '%' => 889.0,
        'A'..='Z' | '&' => 722.0,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' => 500.0,
        '<' | '>' | '=' | '+' | '\u{2212}' => 584.0,
        _ => 556.0,
    };
    let sum: f64 = words.chars().map(advance).sum();
    size * (sum + if bold { 50.0 * words.chars().count() as f64 } else { 0.0 }) / 1000.0
}

/// Left, right, top and bottom of a text.
pub(crate) struct Box<'a> {
    pub(crate) words: &'a str,
    pub(crate) sides: (f64, f64, f64, f64),
}

/// Every text of a document.
pub(crate) fn boxes<'a>(document: &'a Document<'a>) -> Vec<Box<'a>> {
    let texts = document.descendants().filter(|node| node.tag_name().name() == "text");
    let boxed = texts.map(|text| {
        let (left, top) = origin(text);
        let (x, y) = (left + number(text, "x"), top + number(text, "y"));
        let (size, bold) = match text.attribute("class").unwrap() {
            "qr-title" => (26.0, true),
            "qr-name" => (18.0, true),
            "qr-tick" => (16.0, false),
            "qr-head" | "qr-span" => (17.0, true),
            _ => (17.0, false),
        };
        let words = text.text().unwrap_or("");
        let width = set_width(words, size, bold);
        let (from, to) = match text.attribute("text-anchor") {
            Some("end") => (x - width, x),
            Some("middle") => (x - width / 2.0, x + width / 2.0),
            _ => (x, x + width),
        };
        Box { words, sides: (from, to, y - 0.75 * size, y + 0.22 * size) }
    });
    boxed.collect()
}

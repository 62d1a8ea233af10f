//! Winding sheets as text and as a drawing.

use quietrail_report::table::Style;
use quietrail_report::winding::{drawings, text};
use study::winding::{Can, Core, Expected, Sheet, Spread, Wire};

fn sheet() -> Sheet {
    let expected =
        |nominal: f64, spread| Expected { nominal, range: (0.75 * nominal, 1.25 * nominal), spread };
    Sheet {
        harness: "Rover <1>".into(),
        part: "choke".into(),
        fitted_by: vec!["filter coil_cap".into()],
        core: Core {
            outer: 20e-3,
            inner: 10e-3,
            height: 7e-3,
            gap: 0.0,
            material: Some("ferrite_mnzn".into()),
        },
        wire: Wire { bare: 0.5e-3, overall: 0.544e-3, length: 0.6, cut: 0.66 },
        turns: 20.0,
        layers: vec![20.0],
        one_layer: 54.0,
        fill: 0.06,
        inductance: expected(400e-6, Spread::Ferrite),
        miscounted: (361e-6, 441e-6),
        resistance: expected(53e-3, Spread::Wire),
        lost: Some((0.1, 0.2)),
        mass: Some(9e-3),
        cans: vec![Can {
            part: "store".into(),
            capacitance: 470e-6,
            rated: Some(25.0),
            plus: "cam".into(),
            minus: "gnd".into(),
            size: Some((10e-3, 16e-3)),
        }],
        camera_current: 0.11,
        cautions: vec!["Lithium pack: a short gives hundreds of amperes.".into()],
    }
}

#[test]
fn the_text_says_what_to_cut_to_read_and_to_fear_in_80_columns() {
    let folded = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = text(&sheet(), Style::default());
    for said in [
        "20 x 10 x 7 mm",
        "0.5 mm, 0.54 mm with its enamel",
        "cut 660 mm",
        "400 uH, right from 300 uH to 500 uH",
        "53 mohm",
        "stripe on gnd",
        "220 mA",
        "eye protection",
        "Lithium pack",
        "the meter cannot show a miscount",
    ] {
        assert!(folded(&told).contains(said), "{said} is not in\n{told}");
    }
    assert!(told.lines().all(|line| line.chars().count() <= 80));
    // Where the core is known better than a turn counts, the meter does show it.
    let known = Sheet {
        inductance: Expected { nominal: 400e-6, range: (370e-6, 430e-6), spread: Spread::Stated },
        ..sheet()
    };
    assert!(folded(&text(&known, Style::default())).contains("the meter shows a miscount"));
}

/// Four units are a millimetre of paper: of the ring that is 20 mm wide one circle has a radius of 40 units (true size), the other, at
/// the scale that is told, of that many times as much, and 20 wires lie across it.
#[test]
fn the_drawing_is_to_scale() {
    let drawing = &drawings(&[sheet()])[0];
    assert_eq!(drawing.file_name, "winding_choke.svg");
    let document = roxmltree::Document::parse(&drawing.text).unwrap();
    let root = document.root_element();
    let attribute = |node: &roxmltree::Node<'_, '_>, name: &str| -> f64 {
        node.attribute(name).unwrap().trim_end_matches("mm").parse().unwrap()
    };
    let units: Vec<f64> =
        root.attribute("viewBox").unwrap().split(' ').map(|number| number.parse().unwrap()).collect();
    assert!((attribute(&root, "width") * 4.0 - units[2]).abs() < 1e-9);
    assert!((attribute(&root, "height") * 4.0 - units[3]).abs() < 0.3, "rounded to a tenth of a millimetre");
    assert!(units[3] < 277.0 * 4.0, "a sheet is one page, not {} mm", units[3] / 4.0);
    let of_class = |class: &str| {
        document
            .descendants()
            .filter(|node| node.attribute("class").and_then(|one| one.strip_prefix("qr-")) == Some(class))
            .collect::<Vec<_>>()
    };
    let circles: Vec<f64> =
        of_class("outline").iter().filter_map(|node| node.attribute("r")?.parse().ok()).collect();
    assert_eq!(circles, [40.0, 20.0]);
    let words: String = document.descendants().filter_map(|node| node.text()).collect();
    let scale: f64 = words.split("Drawn ").nth(1).unwrap().split(':').next().unwrap().parse().unwrap();
    let can = &of_class("can")[0];
    assert_eq!((attribute(can, "width"), attribute(can, "height")), (40.0 * scale, 64.0 * scale));
    let wires: Vec<f64> = of_class("enamel")
        .iter()
        .filter(|node| node.has_tag_name("line"))
        .map(|node| attribute(node, "stroke-width"))
        .collect();
    assert_eq!(wires.len(), 20);
    assert!(wires.iter().all(|width| (width - 0.544 * 4.0 * scale).abs() < 0.01), "{wires:?}");
}

#[test]
fn sheets_of_one_name_are_told_apart_by_their_option() {
    let other = Sheet { fitted_by: vec!["filter thick, pack small".into()], turns: 30.0, ..sheet() };
    let names: Vec<String> = drawings(&[sheet(), other]).into_iter().map(|one| one.file_name).collect();
    assert_eq!(names, ["winding_choke_coil_cap.svg", "winding_choke_thick_small.svg"]);
}

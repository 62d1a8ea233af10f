//! The pictures as documents: well formed, complete, and with everything on the page.

mod support;

use quietrail_report::svg::{Picture, pictures};
use roxmltree::{Document, Node};
use study::result::Comparison;

const WIDEST: f64 = 0.6;

fn samples() -> Vec<Comparison> {
    vec![
        support::crawler(),
        support::crawler_with_gaps(),
        support::by_hand(2.0, 0.05, 0.93),
        flat(),
        long_names(),
    ]
}

/// Nothing moves at all.
fn flat() -> Comparison {
    support::by_hand(0.0, 0.0, 1.0)
}

fn long_names() -> Comparison {
    let mut comparison = support::crawler();
    comparison.harness =
        "A & B <crawler> with \"quotes\" and a title that goes on for much longer than any page is wide"
            .into();
    comparison.axes[0].points[3] = "a_capacitor_whose_name_tells_its_whole_history_in_every_detail".into();
    comparison.testpoints[0].signal =
        "voltage(camera_plug_at_the_far_end, return_of_the_camera_at_the_same_place)".into();
    comparison
}

fn rail(comparison: &Comparison) -> Picture {
    pictures(comparison).into_iter().find(|picture| picture.testpoint == "rail").unwrap()
}

fn of_class<'a>(document: &'a Document<'a>, class: &'a str) -> impl Iterator<Item = Node<'a, 'a>> {
    document.descendants().filter(move |node| {
        node.attribute("class").is_some_and(|classes| classes.split(' ').any(|one| one == class))
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

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

#[test]
fn every_picture_is_well_formed_titled_and_small() {
    for picture in samples().iter().flat_map(pictures) {
        let document = Document::parse(&picture.text).unwrap();
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        for name in ["title", "desc"] {
            let node = root.children().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", name)));
            assert!(!node.unwrap().text().unwrap().is_empty());
        }
        assert!(picture.text.len() < 200_000, "{} bytes", picture.text.len());
    }
}

#[test]
fn there_are_three_panels_for_each_option_that_was_seen() {
    let panels = |comparison: &Comparison| {
        let picture = rail(comparison);
        let document = Document::parse(&picture.text).unwrap();
        (of_class(&document, "row").count(), of_class(&document, "panel").count())
    };
    assert_eq!(panels(&support::crawler()), (6, 18));
    assert_eq!(panels(&support::by_hand(2.0, 0.05, 0.93)), (2, 6));
}

#[test]
fn a_test_point_that_some_options_lack_says_so() {
    let pictures = pictures(&support::crawler());
    let choke = pictures.iter().find(|picture| picture.testpoint == "choke_current").unwrap();
    let document = Document::parse(&choke.text).unwrap();
    assert_eq!(of_class(&document, "panel").count(), 9);
    assert_eq!(
        choke.text.matches("lacks the part").count(),
        2 * 3,
        "three rows, told in the picture and in its description"
    );
}

#[test]
fn the_waveform_before_stands_behind_every_other_option() {
    let picture = rail(&support::crawler());
    let document = Document::parse(&picture.text).unwrap();
    let uses = document.descendants().filter(|node| node.attribute("href") == Some("#before"));
    assert_eq!(uses.count(), 5);
    assert_eq!(document.descendants().filter(|node| node.attribute("id") == Some("before")).count(), 1);
}

#[test]
fn every_text_lies_inside_the_view_box() {
    for picture in samples().iter().flat_map(pictures) {
        let document = Document::parse(&picture.text).unwrap();
        let view: Vec<f64> = document
            .root_element()
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|one| one.parse().unwrap())
            .collect();
        for text in document.descendants().filter(|node| node.tag_name().name() == "text") {
            let (left, top) = origin(text);
            let (x, y) = (left + number(text, "x"), top + number(text, "y"));
            let size = match text.attribute("class").unwrap() {
                "title" => 24.0,
                "name" => 17.0,
                "tick" => 13.0,
                _ => 15.0,
            };
            let words = text.text().unwrap_or("");
            // Capitals and digits are wider than the mean; a line of running text is narrower.
            let mean = if words.chars().count() > 12 { 0.56 } else { WIDEST };
            let width = mean * size * words.chars().count() as f64;
            let (from, to) = match text.attribute("text-anchor") {
                Some("end") => (x - width, x),
                Some("middle") => (x - width / 2.0, x + width / 2.0),
                _ => (x, x + width),
            };
            assert!(from >= 0.0 && to <= view[2], "{words}: {from} to {to} of {}", view[2]);
            assert!(y >= size && y <= view[3] - 0.25 * size, "{words}: at {y} of {}", view[3]);
        }
    }
}

#[test]
fn coordinates_are_numbers_and_curves_stay_in_their_panels() {
    for picture in samples().iter().flat_map(pictures) {
        assert!(!picture.text.contains("NaN") && !picture.text.contains("inf"), "{}", picture.testpoint);
        let document = Document::parse(&picture.text).unwrap();
        for path in document.descendants().filter(|node| node.tag_name().name() == "path") {
            for pair in path.attribute("d").unwrap().split(['M', 'L']).filter(|pair| !pair.is_empty()) {
                let (x, y) = pair.split_once(' ').unwrap();
                let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                assert!((-0.1..=233.0).contains(&x) && (-0.1..=100.1).contains(&y), "{x} {y}");
            }
        }
    }
}

#[test]
fn the_peak_to_peak_is_written_beside_its_bracket() {
    let picture = rail(&support::by_hand(2.0, 0.05, 0.93));
    let document = Document::parse(&picture.text).unwrap();
    let spans: Vec<&str> = of_class(&document, "span").filter_map(|node| node.text()).collect();
    assert_eq!(spans, ["2 V", "50 mV"]);
    // The bracket spans the whole waveform: the field less the margin of 8 % at both ends, so 100 / 1.16 pixels.
    let upright = of_class(&document, "bracket").filter(|node| node.attribute("x1") == node.attribute("x2"));
    for line in upright {
        assert!((number(line, "y2") - number(line, "y1") - 100.0 / 1.16).abs() < 0.2);
    }
}

#[test]
fn the_condition_drawn_is_the_one_with_the_noisiest_baseline() {
    let comparison = support::crawler();
    let noisiest = comparison.runs[..6]
        .iter()
        .max_by(|a, b| a.readings[0].value.unwrap().total_cmp(&b.readings[0].value.unwrap()))
        .unwrap();
    let (state, throttle) =
        (&comparison.axes[1].points[noisiest.at[1]], &comparison.axes[2].points[noisiest.at[2]]);
    let told = format!("of none: battery_state {state}, throttle {throttle}");
    assert!(rail(&comparison).text.contains(&told), "{told}");
}

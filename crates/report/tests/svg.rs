//! The pictures as documents: well formed, complete, and with everything on the page.

use crate::support::{
    self,
    looked_at::{boxes, number, of_class},
};

use language::description::{Measure, Start};
use quietrail_report::svg::{Picture, pictures};
use roxmltree::{Document, Node};
use study::result::Comparison;

const LONG_REQUIREMENT: &str =
    "minimum(rail) - 0.5 * peak_to_peak(rail) - 0.25 * rms_ac(another_testpoint_far_away) > 9 V";

/// Comparisons that try a picture: gaps, nothing that moves, long names, runs from rest.
pub(crate) fn samples() -> Vec<Comparison> {
    vec![
        support::crawler(),
        support::crawler_with_gaps(),
        support::by_hand(2.0, 0.05, 0.93),
        flat(),
        long_names(),
        from_rest(),
    ]
}

/// Nothing moves at all.
fn flat() -> Comparison {
    support::by_hand(0.0, 0.0, 1.0)
}

/// Two runs from rest that rise to 26 V within 4 ms and to 17 V within 2 ms; 18 V are allowed.
fn from_rest() -> Comparison {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    comparison.start = Some(Start::Rest);
    for (run, (peak, rise)) in comparison.runs.iter_mut().zip([(26.0, 4e-3), (17.0, 2e-3)]) {
        let requirement = &mut run.requirements[0];
        requirement.text = "peak < 18 V".into();
        requirement.measure = Some(Measure::Maximum("rail".into()));
        (requirement.limit, requirement.value, requirement.met) = (18.0, Some(peak), Some(peak < 18.0));
        let seen = run.testpoints[0].as_mut().unwrap();
        (seen.minimum, seen.maximum, seen.mean) = (0.0, peak, 0.8 * peak);
        seen.detail.points = vec![(0.0, 0.0), (rise / 2.0, peak), (rise, 0.9 * peak)];
        seen.overview.points = vec![(0.0, 0.0), (rise / 2.0, peak), (rise, 0.9 * peak), (10e-3, 0.9 * peak)];
    }
    comparison
}

fn long_names() -> Comparison {
    let mut comparison = support::crawler();
    comparison.harness =
        "A & B <crawler> with \"quotes\" and a title that goes on for much longer than any page is wide"
            .into();
    comparison.axes[0].points[3] = "a_capacitor_whose_name_tells_its_whole_history_in_every_detail".into();
    comparison.axes[0].points[0] = "no_filter_at_all_as_drawn".into();
    comparison.axes[0].points[4] = "twenty_four_letters_long".into();
    comparison.axes[2].points[2] = "full_speed_ahead_up_the_slope_with_the_camera_turning".into();
    for run in &mut comparison.runs {
        run.requirements[1].text = LONG_REQUIREMENT.into();
        (run.requirements[1].met, run.requirements[1].value) = (Some(false), Some(-100.0));
    }
    comparison.testpoints[0].signal =
        "voltage(camera_plug_at_the_far_end, return_of_the_camera_at_the_same_place)".into();
    comparison
}

fn rail(comparison: &Comparison) -> Picture {
    pictures(comparison).into_iter().find(|picture| picture.subject == "rail").unwrap()
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
    let choke = pictures.iter().find(|picture| picture.subject == "choke_current").unwrap();
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
    let uses = document.descendants().filter(|node| node.attribute("href") == Some("#qr-rail-before"));
    assert_eq!(uses.count(), 5);
    assert_eq!(
        document.descendants().filter(|node| node.attribute("id") == Some("qr-rail-before")).count(),
        1
    );
}

#[test]
fn long_requirements_and_names_are_told_whole() {
    let picture = rail(&long_names());
    let document = Document::parse(&picture.text).unwrap();
    let told: String = boxes(&document)
        .iter()
        .map(|one| one.words)
        .collect::<String>()
        .chars()
        .filter(|c| *c != ' ')
        .collect();
    for whole in [LONG_REQUIREMENT, "a_capacitor_whose_name_tells_its_whole_history_in_every_detail"] {
        let whole: String = whole.chars().filter(|one| *one != ' ').collect();
        assert!(told.contains(&whole), "{whole}");
    }
}

#[test]
fn what_a_peak_to_peak_requirement_allows_is_a_band_around_the_middle() {
    let picture = rail(&support::by_hand(2.0, 0.05, 0.93));
    assert!(picture.text.contains("allowed: noise &lt; 60 mV"), "{}", picture.text);
    let document = Document::parse(&picture.text).unwrap();
    let bands: Vec<Node<'_, '_>> = of_class(&document, "allowed").skip(1).collect();
    // On the common scale 2 V and 16 % of margin take 100 pixels, so 60 mV take 100 x 0.06 / 2.32, coordinates to a tenth.
    let height = 100.0 * 0.06 / 2.32;
    for band in [bands[0], bands[1], bands[2]] {
        assert!((number(band, "height") - height).abs() <= 0.15, "{}", number(band, "height"));
        assert!((number(band, "y") - (50.0 - 0.5 * height)).abs() <= 0.15);
    }
    // The quiet row's own scale shows 50 mV and 16 %: all of it is allowed.
    assert!((number(bands[3], "height") - 100.0).abs() < 1e-9);
}

#[test]
fn a_run_from_rest_is_drawn_from_zero_with_its_limit() {
    let picture = rail(&from_rest());
    assert!(picture.text.contains("allowed: peak &lt; 18 V"));
    assert!(picture.text.contains("peak 26 V") && !picture.text.contains("departure"), "{}", picture.text);
    assert!(picture.text.contains("peak 17 V, 9 V less"));
    let document = Document::parse(&picture.text).unwrap();
    for panel in of_class(&document, "panel") {
        let curve = panel.descendants().find(|node| {
            node.tag_name().name() == "path"
                && node.attribute("class").is_some_and(|one| one.starts_with("qr-curve"))
        });
        assert!(curve.unwrap().attribute("d").unwrap().starts_with("M0 "));
    }
    // Own time axes: the second row's detail lasts half as long.
    let ticks: Vec<&str> = of_class(&document, "tick").filter_map(|node| node.text()).collect();
    assert!(ticks.contains(&"4 ms") && ticks.contains(&"1 ms"), "{ticks:?}");
}

#[test]
fn coordinates_are_numbers_and_curves_stay_in_their_panels() {
    for picture in samples().iter().flat_map(pictures) {
        assert!(!picture.text.contains("NaN") && !picture.text.contains("inf"), "{}", picture.subject);
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

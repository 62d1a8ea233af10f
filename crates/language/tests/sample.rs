//! The sample of the language's contract, word for word, down to its numbers.

use crate::common;

use common::{right, right_with};
use quantity::{Dimension, Quantity};
use quietrail_language::description::{
    AxisKind, Comparison, Expression, Measure, Signal, Start, Tolerance, Value,
};
use quietrail_language::{Description, Kind};

const SAMPLE: &str = include_str!("crawler.harness");

fn value_at(description: &Description, point: &[usize], part: &str, property: &str) -> f64 {
    let harness = description.at(point);
    let part = harness.parts.iter().find(|each| each.name == part).expect("the part stands here");
    part.number(property).expect("the property is a number")
}

#[test]
fn axes_and_title() {
    let description = right(SAMPLE);
    assert_eq!(description.title(), "Pipe crawler");
    let [filter, state] = description.axes() else { panic!("two axes") };
    assert_eq!((filter.name.as_str(), filter.kind, filter.baseline), ("filter", AxisKind::Choice, Some(0)));
    assert_eq!(filter.points, ["none", "coil", "coil_cap"]);
    assert_eq!(
        (state.name.as_str(), state.kind, state.baseline),
        ("battery_state", AxisKind::Condition, None)
    );
    assert_eq!(state.points, ["fresh", "soft"]);
    assert_eq!(description.remarks(), []);
    let remarks: Vec<_> =
        description.without_effect().iter().map(|remark| (remark.code, remark.span.start)).collect();
    let place = |text: &str| SAMPLE.find(text).unwrap();
    let expected = ["rejection 30 dB", "video pal"].map(|property| ("without_effect_yet", place(property)));
    assert_eq!(remarks, expected);
}

#[test]
fn parts_stand_in_the_files_order() {
    let description = right(SAMPLE);
    let names = |point: &[usize]| {
        let harness = description.at(point);
        harness.parts.iter().map(|part| part.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(names(&[0, 0]), ["pack", "main", "bulk", "tracks", "feed", "eye", "link"]);
    assert_eq!(names(&[2, 1]), ["pack", "main", "bulk", "tracks", "feed", "eye", "choke", "store"]);
}

#[test]
fn numbers_are_in_si_units() {
    let description = right(SAMPLE);
    for (part, property, value) in [
        ("pack", "cells", 4.0),
        ("pack", "cell_resistance", 22e-3),
        ("main", "length", 0.24),
        ("main", "area", 2.5e-6),
        ("main", "spacing", 4e-3),
        ("bulk", "capacitance", 220e-6),
        ("bulk", "esr", 40e-3),
        ("bulk", "esl", 15e-9),
        ("bulk", "rated", 35.0),
        ("tracks", "motors", 2.0),
        ("tracks", "current", 9.0),
        ("tracks", "pwm", 20e3),
        ("tracks", "duty", 0.6),
        ("tracks", "rise", 200e-9),
        ("tracks", "commutation", 480.0),
        ("tracks", "commutation_depth", 0.05),
        ("feed", "gauge", 24.0),
        ("eye", "current", 0.16),
        ("eye", "rejection", 30.0),
        ("choke", "inductance", 330e-6),
        ("choke", "saturation_current", 0.35),
        ("choke", "residual", 9e-6),
    ] {
        assert_eq!(value_at(&description, &[1, 0], part, property), value, "{part}.{property}");
    }
    let harness = description.at(&[1, 0]);
    let part = |name: &str| harness.parts.iter().find(|part| part.name == name).unwrap();
    assert_eq!((part("pack").left.as_str(), part("pack").right.as_str()), ("gnd", "pos"));
    assert_eq!(part("pack").word("chemistry"), Some("li_ion"));
    assert_eq!(part("main").word("return"), Some("included"));
    assert_eq!(part("eye").range("supply"), Some((9.0, 18.0)));
    assert_eq!(part("eye").kind, Kind::Camera);
    let capacitance = Quantity::new(220e-6, Dimension::CAPACITANCE);
    assert_eq!(
        part("bulk").properties["capacitance"],
        Value::Number(capacitance, Some(Tolerance::Relative(0.2)))
    );
}

#[test]
fn cases_set_their_values() {
    let description = right(SAMPLE);
    assert_eq!(value_at(&description, &[0, 0], "pack", "charge"), 0.95);
    assert_eq!(value_at(&description, &[0, 1], "pack", "charge"), 0.15);
    assert_eq!(value_at(&description, &[0, 0], "pack", "cell_resistance"), 22e-3);
    assert_eq!(value_at(&description, &[0, 1], "pack", "cell_resistance"), 45e-3);
}

#[test]
fn settings_beat_cases_and_reach_through_lets() {
    let description = right_with(SAMPLE, &["pack.charge=50 %", "run = 1 m", "choke.dcr=1 ohm"]);
    assert_eq!(value_at(&description, &[0, 1], "pack", "charge"), 0.5);
    assert_eq!(value_at(&description, &[0, 1], "main", "length"), 1.0);
    assert_eq!(value_at(&description, &[1, 0], "choke", "dcr"), 1.0);
    assert_eq!(value_at(&description, &[2, 0], "choke", "dcr"), 1.0);
}

#[test]
fn what_is_read_off() {
    let harness = right(SAMPLE).at(&[0, 0]);
    assert_eq!(harness.testpoints[0].signal, Signal::NodeVoltage("cam".to_owned(), None));
    assert_eq!(harness.testpoints[0].bandwidth, Some(20e6));
    let [noise] = harness.readings.as_slice() else { panic!("one reading") };
    assert!(matches!(&noise.expression, Expression::Measure(Measure::PeakToPeak(point)) if point == "rail"));
    assert_eq!((noise.name.as_str(), noise.dimension), ("noise", Dimension::VOLTAGE));
    let [lines, brown] = harness.requirements.as_slice() else { panic!("two requirements") };
    assert_eq!((lines.text.as_str(), lines.why.as_deref()), ("noise < 60 mV", Some("lines in the picture")));
    assert_eq!((lines.comparison, lines.limit.value), (Comparison::Less, 0.06));
    assert!(matches!(&lines.reading.expression, Expression::Reading(name) if name == "noise"));
    assert_eq!((brown.text.as_str(), brown.limit.value), ("minimum(rail) > 9 V", 9.0));
    assert!(
        matches!(&brown.reading.expression, Expression::Measure(Measure::Minimum(point)) if point == "rail")
    );
    let [run] = harness.transients.as_slice() else { panic!("one transient") };
    assert_eq!(
        (run.name.as_deref(), run.span, run.start, run.record),
        (Some("ripple"), 1e-3, Start::Steady, None)
    );
}

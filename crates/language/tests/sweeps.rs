//! Sweeps: their points, what they set, and every mistake in one.

use crate::common;

use common::{CIRCUIT, right, right_with, wrong, wrong_with};
use proptest::prelude::*;
use quantity::{Dimension, Quantity};
use quietrail_language::Description;
use quietrail_language::description::{Axis, AxisKind};

/// Statements beside a capacitor and a few values to sweep.
const BASE: &str = "\
let burden = 1 kohm
let cells = 3
let idle = 5 ohm
resistor r cam -> gnd resistance burden
capacitor store cam -> gnd capacitance 100 uF, esr 80 mohm +- 20 %
wire away cam -> far length 1 m, gauge 24 AWG, temperature 20 degC
battery second gnd -> far cells cells, chemistry li_ion, charge 50 %
";

fn with(statement: &str) -> String {
    format!("{CIRCUIT}{BASE}{statement}\n")
}

fn axis(statement: &str) -> Axis {
    right(&with(statement)).axes()[0].clone()
}

fn values(statement: &str) -> Vec<f64> {
    axis(statement).values.iter().map(|quantity| quantity.value).collect()
}

fn number(description: &Description, point: &[usize], part: &str, property: &str) -> f64 {
    let harness = description.at(point);
    let part = harness.parts.iter().find(|each| each.name == part).expect("the part stands here");
    part.number(property).expect("a number")
}

#[test]
fn a_sweep_is_an_axis_of_values() {
    let found = axis("sweep esr over store.esr 10 mohm .. 40 mohm step 10 mohm");
    assert_eq!((found.name.as_str(), found.kind, found.baseline), ("esr", AxisKind::Sweep, None));
    assert_eq!(found.points, ["10 mohm", "20 mohm", "30 mohm", "40 mohm"]);
    let expected = [0.01, 0.02, 0.03, 0.04].map(|value| Quantity::new(value, Dimension::RESISTANCE));
    assert_eq!(found.values, expected);
}

#[test]
fn each_point_has_its_value() {
    let description = right(&with(
        "sweep esr over store.esr [80 mohm, 20 mohm]\nsweep load over burden 1 kohm .. 3 kohm step 1 kohm",
    ));
    for (point, esr, burden) in [([0, 0], 0.08, 1e3), ([1, 0], 0.02, 1e3), ([1, 2], 0.02, 3e3)] {
        assert_eq!(number(&description, &point, "store", "esr"), esr);
        assert_eq!(number(&description, &point, "r", "resistance"), burden);
    }
    // No index stands for the first value.
    assert_eq!(number(&description, &[], "store", "esr"), 0.08);
}

/// The tolerance that the part states stays with the property, as with `set`.
#[test]
fn a_swept_property_keeps_its_tolerance() {
    use quietrail_language::description::{Tolerance, Value};
    let harness = right(&with("sweep esr over store.esr [80 mohm, 20 mohm]")).at(&[1]);
    let store = harness.parts.iter().find(|part| part.name == "store").expect("the part");
    let expected = Value::Number(Quantity::new(0.02, Dimension::RESISTANCE), Some(Tolerance::Relative(0.2)));
    assert_eq!(store.properties["esr"], expected);
}

#[test]
fn what_an_instance_takes_and_its_parts_can_be_swept() {
    let fitted =
        "assembly lc(c) in { capacitor s in -> gnd capacitance c, esr 1 ohm }\nfit lc f cam  c 1 uF\n";
    let description = right(&with(&format!(
        "{fitted}sweep c over f.c 1 uF .. 3 uF step 1 uF\nsweep e over f.s.esr [1 ohm, 2 ohm]"
    )));
    assert_eq!(number(&description, &[2, 1], "f.s", "capacitance"), 3e-6);
    assert_eq!(number(&description, &[2, 1], "f.s", "esr"), 2.0);
}

#[test]
fn ends_are_met_where_they_are_hit_to_a_billionth() {
    assert_eq!(values("sweep a over burden 1 ohm .. 2 ohm step 0.4 ohm"), [1.0, 1.4, 1.8]);
    // Three steps of a third miss the end by less than a billionth, those of 0.3333 by more.
    assert_eq!(values("sweep a over burden 1 ohm .. 2 ohm step 0.3333333333333 ohm").last(), Some(&2.0));
    assert_eq!(values("sweep a over burden 1 ohm .. 2 ohm step 0.33333 ohm").last(), Some(&1.99999));
    assert_eq!(values("sweep a over burden 3 ohm .. 1 ohm step -1 ohm"), [3.0, 2.0, 1.0]);
    assert_eq!(values("sweep a over burden 1 ohm .. 1.5 ohm step 1 ohm"), [1.0]);
    assert_eq!(values("sweep a over burden 1 ohm .. 2 ohm steps 4"), [1.0, 1.25, 1.5, 1.75, 2.0]);
    assert_eq!(values("sweep a over burden 2 ohm .. 1 ohm steps 2"), [2.0, 1.5, 1.0]);
}

/// Decimals in, decimals out: the very doubles that one would write.
#[test]
fn steps_in_decimals_give_decimals() {
    let found = values("sweep a over store.esr 0 ohm .. 10 ohm step 0.1 ohm");
    let expected: Vec<f64> =
        (0..=100).map(|tenths| format!("{}.{}", tenths / 10, tenths % 10).parse().unwrap()).collect();
    assert_eq!(found, expected);
    let found = values("sweep a over burden 10 mohm .. 200 mohm step 10 mohm");
    let expected: Vec<f64> =
        (1..=20).map(|hundredths| format!("0.{hundredths:02}").parse().unwrap()).collect();
    assert_eq!(found, expected);
}

#[test]
fn logarithmic_and_preferred_values() {
    // round(N x decades) + 1 points; whole decades to the last digit, since they are rounded to fifteen.
    assert_eq!(values("sweep a over burden 1 ohm .. 1 kohm log 1"), [1.0, 10.0, 100.0, 1000.0]);
    assert_eq!(values("sweep a over burden 1 kohm .. 1 ohm log 1"), [1000.0, 100.0, 10.0, 1.0]);
    assert_eq!(values("sweep a over burden 1 ohm .. 50 ohm log 10").len(), 18);
    assert_eq!(values("sweep a over burden 1 ohm .. 1.01 ohm log 1"), [1.0, 1.01]);
    // IEC 60063, E6
    assert_eq!(
        values("sweep a over store.capacitance 10 uF .. 47 uF series E6"),
        [10e-6, 15e-6, 22e-6, 33e-6, 47e-6]
    );
    assert_eq!(values("sweep a over burden 4k7 .. 1k series E3"), [4700.0, 2200.0, 1000.0]);
    assert_eq!(values("sweep a over burden [4k7, 1k, 0.5 * idle]"), [4700.0, 1000.0, 2.5]);
}

#[test]
fn points_are_named_as_they_are_written() {
    let names = |statement: &str| axis(statement).points;
    assert_eq!(names("sweep a over second.charge 10 % .. 30 % step 10 %"), ["10 %", "20 %", "30 %"]);
    assert_eq!(names("sweep a over second.cells [2, 3]"), ["2", "3"]);
    assert_eq!(names("sweep a over cells 2 .. 4 step 1"), ["2", "3", "4"]);
    assert_eq!(
        names("sweep a over away.temperature -20 degC .. 20 degC step 20 K"),
        ["-20 degC", "0 degC", "20 degC"]
    );
    assert_eq!(names("sweep a over away.gauge [24 AWG, 30 AWG]"), ["24 AWG", "30 AWG"]);
    // As many digits as tell them apart.
    assert_eq!(names("sweep a over burden [1 ohm, 1.00001 ohm]"), ["1 ohm", "1.00001 ohm"]);
}

#[test]
fn a_point_is_found_by_name_and_by_value() {
    let found = axis("sweep a over burden [1 kohm, 4.7 kohm]");
    for text in ["4.7 kohm", "4k7", "4700 ohm", "4.7kohm", " 0.0047 Mohm "] {
        assert_eq!(found.position(text), Some(1), "{text}");
    }
    for text in ["4.8 kohm", "4.7 kHz", "4.7", "", "ohm", "nan ohm"] {
        assert_eq!(found.position(text), None, "{text}");
    }
    let found = axis("sweep a over away.temperature [20 degC, 40 degC]");
    assert_eq!((found.position("40 degC"), found.position("293.15 K")), (Some(1), Some(0)));
    assert_eq!(axis("sweep a over second.charge [10 %, 20 %]").position("0.2"), Some(1));
}

#[test]
fn a_setting_of_the_command_line_leaves_the_axis_one_value() {
    let text =
        with("sweep esr over store.esr 10 mohm .. 40 mohm step 10 mohm\nsweep a over burden [1 ohm, 2 ohm]");
    let description = right_with(&text, &["store.esr=55 mohm", "burden=3 ohm"]);
    let points: Vec<&[String]> = description.axes().iter().map(|axis| axis.points.as_slice()).collect();
    assert_eq!(points, [["55 mohm"], ["3 ohm"]]);
    assert_eq!(number(&description, &[0, 0], "store", "esr"), 0.055);
    assert_eq!(number(&description, &[0, 0], "r", "resistance"), 3.0);
}

/// Values may be formulas of what no axis changes, settings of the command line included.
#[test]
fn values_follow_lets_that_stand_still() {
    let text = with("sweep a over burden idle .. 3 * idle step idle");
    let of = |settings: &[&str]| {
        right_with(&text, settings).axes()[0].values.iter().map(|each| each.value).collect::<Vec<_>>()
    };
    assert_eq!(of(&[]), [5.0, 10.0, 15.0]);
    assert_eq!(of(&["idle=1 ohm"]), [1.0, 2.0, 3.0]);
}

/// The statement without its marks, and what they mark.
fn told(statement: &str, code: &str, message: &str, help: Option<&str>) {
    let base = with("");
    let start = base.len() - 1 + statement.find('«').expect("a mark");
    let end = base.len() - 1 + statement.find('»').expect("a second mark") - '«'.len_utf8();
    let mistakes = wrong(&with(&statement.replace(['«', '»'], "")));
    let [mistake] = mistakes.as_slice() else { panic!("{statement}: {mistakes:#?}") };
    assert_eq!((mistake.code, mistake.message.as_str()), (code, message), "{statement}");
    assert_eq!(mistake.help.as_deref(), help, "{statement}");
    assert_eq!((mistake.span.start, mistake.span.end), (start, end), "{statement}");
}

const FORM: Option<&str> = Some(
    "write `sweep NAME over PART.PROPERTY A .. B step S`, or `steps N`, `log N` (N a decade) or `series E6` in place of the step, or a list `[A, B]` in place of the range",
);

#[test]
fn the_form_of_a_sweep() {
    told(
        "sweep a «burden» 1 ohm .. 2 ohm steps 1",
        "unexpected",
        "expected `over` and what is swept, found `burden`",
        FORM,
    );
    told("sweep a over burden 1 «ohm»", "unexpected", "expected `..`, found the end of the statement", FORM);
    told(
        "sweep a over burden 1 ohm .. 2 «ohm»",
        "unexpected",
        "expected `step`, `steps`, `log` or `series`, found the end of the statement",
        FORM,
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm «setp» 1 ohm",
        "unknown_division",
        "a range is not divided by `setp`",
        Some("perhaps `step` was meant"),
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm «by» 1 ohm",
        "unknown_division",
        "a range is not divided by `by`",
        FORM,
    );
    told(
        "sweep a over burden [1 ohm: «2 ohm»]",
        "wrong_shape",
        "a list of swept values has no `:`",
        Some("write `[A, B]`"),
    );
    told("sweep a over burden «[]»", "empty_list", "this list of swept values is empty", None);
    told(
        "sweep a over burden [1 ohm, «1000 mohm»]",
        "listed_twice",
        "this value is in the list already",
        None,
    );
    told(
        "assembly b x { resistor q x -> gnd resistance 1 ohm\n«sweep» a over q.resistance [1 ohm] }\nfit b f cam",
        "misplaced",
        "`sweep` can't stand inside an assembly",
        Some("move it out: the part `x` of an instance `f` is `f.x` there"),
    );
}

#[test]
fn what_is_swept() {
    told(
        "sweep a over «burdn» [1 ohm]",
        "unknown_let",
        "there is no `let burdn`",
        Some("perhaps `burden` was meant"),
    );
    told(
        "sweep a over «store» [1 ohm]",
        "set_without_property",
        "`store` is a part: say which property is set",
        None,
    );
    told(
        "sweep a over «stor».esr [1 ohm]",
        "unknown_part",
        "there is no part `stor`",
        Some("perhaps `store` was meant"),
    );
    told(
        "sweep a over store.«ers» [1 ohm]",
        "unknown_property",
        "`store` is a capacitor, which has no property `ers`",
        Some("perhaps `esr` was meant"),
    );
    told(
        "sweep a over second.«chemistry» [1]",
        "not_a_number",
        "`chemistry` of `second` is no single number and can't be swept",
        Some("use a `choice` or `condition` with a `set` for each value"),
    );
    told(
        "sweep a over «idle» [1 ohm, 2 ohm]",
        "swept_without_effect",
        "nothing uses `idle`, so that sweeping it changes nothing",
        None,
    );
    told(
        "let more = 2 * idle\nsweep a over «idle» [1 ohm, 2 ohm]",
        "swept_without_effect",
        "nothing uses `idle`, so that sweeping it changes nothing",
        None,
    );
    told(
        "sweep a over burden [1 ohm]\nsweep b over «burden» [2 ohm]",
        "swept_twice",
        "`burden` is swept already",
        None,
    );
    told(
        "sweep a over store.esr [1 ohm]\nsweep b over «store.esr» [2 ohm]",
        "swept_twice",
        "`store.esr` is swept already",
        None,
    );
    told(
        "sweep a over burden [1 ohm]\nchoice «a» { option one { } }",
        "duplicate_name",
        "there is an axis `a` already",
        None,
    );
    told(
        "condition c { case one { «set store.esr = 1 ohm» }\ncase two { } }\nsweep a over store.esr [1 ohm]",
        "set_twice",
        "`store.esr` is set and swept at one study point",
        None,
    );
}

#[test]
fn values_of_the_right_kind() {
    told(
        "sweep a over burden «1 uF» .. 2 ohm steps 1",
        "wrong_dimension",
        "`burden` must be in ohms, not farads",
        Some("try 1 uohm"),
    );
    told(
        "sweep a over store.esr [1 ohm, «2»]",
        "missing_unit",
        "`esr` needs a unit: it is in ohms",
        Some("try 2 mohm"),
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm step «1 V»",
        "wrong_dimension",
        "the step must be in ohms, not volts",
        Some("try 1 ohm"),
    );
    told(
        "sweep a over away.temperature 20 degC .. 40 degC step «5 degC»",
        "wrong_step",
        "a step between temperatures is in kelvin",
        Some("write `step 5 K`"),
    );
    told("sweep a over burden 1 ohm .. 2 ohm step «0 ohm»", "wrong_step", "a step of 0 leads nowhere", None);
    told(
        "sweep a over burden 1 ohm .. 2 ohm step «-1 ohm»",
        "wrong_step",
        "this step leads away from 2 ohm",
        None,
    );
    told(
        "sweep a over burden 2 ohm .. 1 ohm step «1 ohm»",
        "wrong_step",
        "this step leads away from 1 ohm",
        None,
    );
    told(
        "sweep a over burden «1 ohm .. 1 ohm» steps 4",
        "wrong_range",
        "a sweep goes from one value to another",
        None,
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm steps «1.5»",
        "not_a_count",
        "`steps` must be a whole number from 1",
        None,
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm log «0»",
        "not_a_count",
        "`log` must be a whole number from 1",
        None,
    );
    told(
        "sweep a over burden «0 ohm .. 2 ohm» log 3",
        "out_of_range",
        "both ends of a logarithmic sweep are above 0",
        None,
    );
    told(
        "sweep a over burden «-1 ohm .. 2 ohm» series E6",
        "out_of_range",
        "both ends of a series are above 0",
        None,
    );
    told("sweep a over burden 1 ohm .. 2 ohm series «E7»", "unknown_series", "there is no series `E7`", None);
    told(
        "sweep a over burden «1.1 ohm .. 2.1 ohm» series E3",
        "empty_sweep",
        "no value of E3 lies from 1.1 ohm to 2.1 ohm",
        None,
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm steps «1000000»",
        "too_many_points",
        "these are 1000001 points",
        None,
    );
    told(
        "sweep a over burden 1 ohm .. 2 ohm step «1 uohm»",
        "too_many_points",
        "these are 1000001 points",
        None,
    );
    told(
        "sweep a over burden «1 ohm .. 1.0000000000000004 ohm» steps 10",
        "points_too_close",
        "some of these values are so close that they are one",
        None,
    );
}

#[test]
fn values_must_hold_at_every_point() {
    let message = "`idle` differs from point to point, and a sweep's values must not";
    let help = Some("state the value itself, or name it by a `let` that no axis changes");
    told(
        "condition c { case one { set idle = 1 ohm }\ncase two { } }\nsweep a over burden «idle» .. 9 ohm steps 2",
        "varying_sweep",
        message,
        help,
    );
    told(
        "sweep a over burden burden .. 9 ohm steps 2".replace("burden ..", "«burden» ..").as_str(),
        "varying_sweep",
        "`burden` differs from point to point, and a sweep's values must not",
        help,
    );
    // By way of another let; the command line makes it stand still.
    let text = with(
        "let more = 2 * idle\ncondition c { case one { set idle = 1 ohm }\ncase two { } }\nsweep a over burden [more]",
    );
    assert_eq!(wrong(&text)[0].code, "varying_sweep");
    let fixed = right_with(&text, &["more=7 ohm"]);
    assert_eq!(fixed.axes()[1].values[0].value, 7.0);
}

/// As stated `inverse` divides by zero, which no study point does.
#[test]
fn what_is_swept_has_a_value_as_stated() {
    told(
        "let base = 1 ohm\nlet inverse = 1 V / (base - 1 ohm)\nresistor q cam -> gnd resistance 1 V / inverse\n\
         sweep a over base [2 ohm]\nsweep b over «inverse» [1 A]",
        "empty_sweep",
        "the values of this sweep can't be worked out",
        Some("state a value that holds without the other axes"),
    );
}

/// What a property does not take is told at the range, with the value that shows it.
#[test]
fn a_property_refuses_values_out_of_its_range() {
    told(
        "sweep a over store.esr «-1 ohm .. 1 ohm» steps 4",
        "out_of_range",
        "`esr` of `store` must be 0 or above, not -1 ohm",
        None,
    );
    told(
        "sweep a over second.cells «1 .. 2» steps 2",
        "not_a_count",
        "`cells` of `second` must be a whole number from 1",
        None,
    );
    // Too long to be looked at point by point: the end is looked at all the same.
    told(
        "sweep a over store.esr «1 ohm .. -1 mohm» steps 100000",
        "out_of_range",
        "`esr` of `store` must be 0 or above, not -1 mohm",
        None,
    );
}

#[test]
fn a_setting_that_is_wrong_is_told_once() {
    let text = with("sweep esr over store.esr 10 mohm .. 40 mohm step 10 mohm");
    let mistakes = wrong_with(&text, &["store.esr=1 uF"]);
    assert_eq!(
        mistakes.iter().map(|each| (each.code, each.span.source)).collect::<Vec<_>>(),
        [("wrong_dimension", 1)]
    );
}

proptest! {
    /// Whatever the range and the step: points rise, stay inside, are a step apart and as many as fit, and their names differ.
    #[test]
    fn steps_fill_the_range(from in -1e3..1e3f64, way in 1e-3..1e3f64, steps in 0.5..300.0f64) {
        let (to, step) = (from + way, way / steps);
        let found = axis(&format!("let free = 1 V\nsupply s gnd -> bus voltage 5 V + 0 * free\nsweep a over free {from} V .. {to} V step {step} V"));
        let values: Vec<f64> = found.values.iter().map(|value| value.value).collect();
        // Rounding of the ends and of the fifteenth digit.
        let slack = 1e-12 * (from.abs() + to.abs());
        prop_assert_eq!(values[0], from);
        prop_assert!(values.windows(2).all(|pair| (pair[1] - pair[0] - step).abs() <= 2.0 * slack + 2e-9 * step));
        prop_assert!(*values.last().unwrap() <= to + slack);
        prop_assert!(values.last().unwrap() + step > to - slack);
        let mut names = found.points.clone();
        names.sort();
        names.dedup();
        prop_assert_eq!(names.len(), values.len());
    }

    /// Every name leads back to its point.
    #[test]
    fn names_lead_back(from in 1e-9..1e9f64, ratio in 1.001..1e4f64, density in 1..40u32) {
        let to = from * ratio;
        let found = axis(&format!("sweep a over burden {from} ohm .. {to} ohm log {density}"));
        for (at, name) in found.points.iter().enumerate() {
            prop_assert_eq!(found.position(name), Some(at));
        }
    }
}

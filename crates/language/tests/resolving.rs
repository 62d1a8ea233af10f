//! From statements to numbers: precedence, lets, tolerances, codes, alternatives, narrowing.

use crate::common;

use common::{CIRCUIT, right, right_with, wrong};
use quantity::{Dimension, Quantity};
use quietrail_language::Kind;
use quietrail_language::description::{
    BinaryOperator, DrawsOfTolerances, Expression, Function, Harness, Measure, Part, Signal, Start,
    Tolerance, Value,
};

fn harness(statements: &str) -> Harness {
    right(&format!("{CIRCUIT}{statements}")).at(&[])
}

fn part(harness: &Harness, name: &str) -> Part {
    harness.parts.iter().find(|part| part.name == name).expect("the part stands here").clone()
}

/// The value of an expression as the resistance of a resistor.
fn ohms(expression: &str) -> f64 {
    let harness = harness(&format!("resistor r bus -> gnd resistance {expression}"));
    part(&harness, "r").number("resistance").expect("a number")
}

#[test]
fn precedence() {
    for (expression, value) in [
        ("1 ohm + 2 * 3 ohm", 7.0),
        ("(1 ohm + 2 ohm) * 3", 9.0),
        ("2 ^ 3 ^ 2 * 1 ohm", 512.0),
        ("-2 ^ 2 * -1 ohm", 4.0),
        ("2 ^ -1 * 1 ohm", 0.5),
        ("8 ohm / 4 / 2", 1.0),
        ("8 ohm - 4 ohm - 2 ohm", 2.0),
        ("sqrt(16 ohm * 1 ohm)", 4.0),
        ("(2 V) ^ 2 / 1 W", 4.0),
        ("6 V / 2 A", 3.0),
        ("max(1 ohm, 3 ohm, 2 ohm)", 3.0),
        ("abs(-3 ohm)", 3.0),
        ("1 ohm * (cos(0) + ln(exp(2)) + log10(1000) + sin(pi / 2))", 7.0),
        ("1 Wb / 1 H / 1 A * 5 ohm", 5.0),
        ("1 s / 2 F", 0.5),
        ("(3 ohm\n + 4 ohm)", 7.0),
    ] {
        let found = ohms(expression);
        // sin, exp and ln round to the last place.
        assert!((found - value).abs() < 1e-14 * value, "{expression} is {found}");
    }
}

#[test]
fn value_codes_stand_where_ohm_farad_or_henry_is_wanted() {
    for (text, value) in
        [("4k7", 4700.0), ("4K7", 4700.0), ("2R2", 2.2), ("R47", 0.47), ("1M", 1e6), ("2 * 4k7", 9400.0)]
    {
        assert_eq!(ohms(text), value, "{text}");
    }
    let harness = harness("capacitor c bus -> gnd capacitance 100n, esl n47, esr 10m +- 5 %");
    let capacitor = part(&harness, "c");
    assert_eq!(capacitor.number("capacitance"), Some(100e-9));
    assert_eq!(capacitor.number("esl"), Some(0.47e-9));
    assert_eq!(capacitor.number("esr"), Some(10e-3));
}

#[test]
fn lets_stand_for_values() {
    let text = "let n = 3; let r = 2 ohm\nlet both = n * r\nresistor x bus -> gnd resistance both + r";
    assert_eq!(part(&harness(text), "x").number("resistance"), Some(8.0));
    let text = format!("{CIRCUIT}{text}");
    let description = right_with(&text, &["r=5 ohm"]);
    assert_eq!(part(&description.at(&[]), "x").number("resistance"), Some(20.0));
    let cases = "\ncondition c { case a { set n = 1 } case b { } }";
    let description = right(&format!("{text}{cases}"));
    assert_eq!(part(&description.at(&[0]), "x").number("resistance"), Some(4.0));
    assert_eq!(part(&description.at(&[1]), "x").number("resistance"), Some(8.0));
}

#[test]
fn tolerances_apply_to_the_whole_expression() {
    let tolerance = |value: &str, property: &str| {
        let harness =
            harness(&format!("drive d bus -> gnd current 1 A, pwm 1 kHz, duty 10 %, {property} {value}"));
        match part(&harness, "d").properties[property] {
            Value::Number(_, tolerance) => tolerance,
            _ => None,
        }
    };
    assert_eq!(tolerance("1 us + 2 us +- 20 %", "rise"), Some(Tolerance::Relative(0.2)));
    assert_eq!(tolerance("1 us +- 5 ns", "rise"), Some(Tolerance::Absolute(5e-9)));
    assert_eq!(tolerance("50 % +- 3 points", "ripple"), Some(Tolerance::Absolute(0.03)));
    assert_eq!(tolerance("50 % +- 3 %", "ripple"), Some(Tolerance::Relative(0.03)));
    assert_eq!(tolerance("1 us", "rise"), None);
}

#[test]
fn set_keeps_the_old_tolerance_unless_it_gives_a_new_one() {
    let text = format!(
        "{CIRCUIT}resistor r bus -> gnd resistance 1 ohm +- 5 %\n\
         condition c {{ case a {{ set r.resistance = 2 ohm }} case b {{ set r.resistance = 2 ohm +- 1 mohm }} }}"
    );
    let description = right(&text);
    let value = |point: usize| part(&description.at(&[point]), "r").properties["resistance"].clone();
    let two = Quantity::new(2.0, Dimension::RESISTANCE);
    assert_eq!(value(0), Value::Number(two, Some(Tolerance::Relative(0.05))));
    assert_eq!(value(1), Value::Number(two, Some(Tolerance::Absolute(1e-3))));
}

#[test]
fn temperatures_below_zero() {
    let harness = harness("wire w bus -> cam length 1 m, gauge 24 AWG, temperature -20 degC");
    let temperature = part(&harness, "w").number("temperature").expect("a number");
    assert!((temperature - 253.15).abs() < 1e-12);
}

#[test]
fn lists_words_and_ranges() {
    let harness = harness(
        "drive d bus -> gnd current 1 A, pwm 1 kHz, duty 10 %, throttle [0 s: 20 %,\n 1 s: 1]\n\
         camera c cam -> gnd current 1 A, supply 5 V .. 4 V * 3, video ntsc",
    );
    let percent = |value| Quantity::ratio(value);
    let second = |value| Quantity::new(value, Dimension::TIME);
    let throttle = Value::Points(vec![(second(0.0), percent(0.2)), (second(1.0), percent(1.0))]);
    assert_eq!(part(&harness, "d").properties["throttle"], throttle);
    assert_eq!(part(&harness, "c").range("supply"), Some((5.0, 12.0)));
    assert_eq!(part(&harness, "c").word("video"), Some("ntsc"));
}

#[test]
fn coils_from_their_making() {
    let harness = harness(
        "coil c bus -> cam outer 12.7 mm, inner 7.1 mm, height 4.8 mm, permeability 2000, turns 20, wire_diameter 0.5 mm, \
         flux_density_limit 400 mT, winding_capacitance 12 pF, loss_resistance 4k7\n\
         coil d bus -> cam al 1000 nH, turns 20, dcr 0.1 ohm",
    );
    let coil = part(&harness, "c");
    assert_eq!(
        (coil.kind, coil.number("turns"), coil.number("outer")),
        (Kind::Coil, Some(20.0), Some(12.7e-3))
    );
    assert_eq!(
        (coil.number("flux_density_limit"), coil.number("loss_resistance")),
        (Some(0.4), Some(4700.0))
    );
    assert_eq!(part(&harness, "d").number("al"), Some(1e-6));
}

#[test]
fn alternatives_of_one_axis_share_a_name() {
    let text = format!(
        "{CIRCUIT}choice a {{ option x {{ resistor f bus -> cam resistance 1 ohm }} option y {{ coil f bus -> cam inductance 1 mH }} }}\n\
         condition c {{ case warm {{ }} case cold {{ set eye.current = 2 A }} }}\ntestpoint t = current(f)"
    );
    let description = right(&text);
    assert_eq!(part(&description.at(&[0, 1]), "f").kind, Kind::Resistor);
    assert_eq!(part(&description.at(&[1, 0]), "f").kind, Kind::Coil);
    assert_eq!(part(&description.at(&[1, 1]), "eye").number("current"), Some(2.0));
}

#[test]
fn settings_of_the_command_line_apply_where_the_part_stands() {
    let text = format!(
        "{CIRCUIT}choice a {{ option x {{ resistor f bus -> cam resistance 1 ohm }} option y {{ }} }}"
    );
    let description = right_with(&text, &["f.resistance = 3 ohm"]);
    assert_eq!(part(&description.at(&[0]), "f").number("resistance"), Some(3.0));
    assert_eq!(description.at(&[1]).parts.len(), 3);
}

#[test]
fn the_marked_option_is_the_baseline() {
    let text = format!(
        "{CIRCUIT}choice a {{ option x {{ }} }}\nchoice b {{ option y {{ }}\n option z baseline {{ }} }}"
    );
    let baselines: Vec<_> = right(&text).axes().iter().map(|axis| axis.baseline).collect();
    assert_eq!(baselines, [None, Some(1)]);
}

#[test]
fn testpoints_look_at_nodes_and_parts() {
    let harness = harness(
        "coil l bus -> cam inductance 1 mH\ntestpoint a = voltage(cam, bus)\ntestpoint b = voltage(eye)\n\
         testpoint c = current(eye)\ntestpoint d = power(eye), bandwidth 1 MHz\ntestpoint e = flux(l)",
    );
    let signals: Vec<_> =
        harness.testpoints.iter().skip(1).map(|testpoint| testpoint.signal.clone()).collect();
    let name = |text: &str| text.to_owned();
    assert_eq!(
        signals,
        [
            Signal::NodeVoltage(name("cam"), Some(name("bus"))),
            Signal::PartVoltage(name("eye")),
            Signal::PartCurrent(name("eye")),
            Signal::PartPower(name("eye")),
            Signal::PartFlux(name("l")),
        ]
    );
    assert_eq!(harness.testpoints[4].bandwidth, Some(1e6));
}

#[test]
fn readings_and_their_dimensions() {
    let harness = harness(
        "drive d bus -> gnd current 1 A, pwm 1 kHz, duty 10 %\ncoil l bus -> cam inductance 1 mH\n\
         let burden = 50 ohm\ntestpoint flow = current(eye)\n\
         reading a = at(rail, 2 us * 3)\nreading b = time_of_maximum(rail)\nreading c = harmonic(flow, d, 3)\n\
         reading e = band(rail, 1 kHz .. 20 kHz)\nreading f = attenuation(rail, rail)\nreading g = saturation(l)\n\
         reading h = mean(rail) * mean(flow) + rms(rail) ^ 2 / burden\nreading i = 2 * max(a, peak(rail)) - -a\n\
         reading j = mean(rail) in run over 0 s .. 0.5 ms\nreading k = sqrt(mean(rail) * 1 V) * 2 over 0 s .. 1 us",
    );
    let dimensions: Vec<_> = harness.readings.iter().map(|reading| reading.dimension).collect();
    assert_eq!(
        dimensions,
        [
            Dimension::VOLTAGE,
            Dimension::TIME,
            Dimension::CURRENT,
            Dimension::VOLTAGE,
            Dimension::LEVEL,
            Dimension::NONE,
            Dimension::POWER,
            Dimension::VOLTAGE,
            Dimension::VOLTAGE,
            Dimension::VOLTAGE,
        ]
    );
    let measure = |index: usize| match &harness.readings[index].expression {
        Expression::Measure(measure) => measure.clone(),
        other => panic!("{other:?}"),
    };
    assert!(matches!(measure(0), Measure::At(point, time) if point == "rail" && (time - 6e-6).abs() < 1e-20));
    let harmonic = Measure::Harmonic { testpoint: "flow".to_owned(), drive: Some("d".to_owned()), order: 3 };
    assert_eq!(measure(2), harmonic);
    assert_eq!(measure(3), Measure::Band("rail".to_owned(), 1e3, 20e3));
    assert_eq!(measure(5), Measure::Saturation("l".to_owned()));
    let Expression::Binary(BinaryOperator::Subtract, left, _) = &harness.readings[7].expression else {
        panic!()
    };
    let Expression::Binary(BinaryOperator::Multiply, _, max) = left.as_ref() else { panic!() };
    assert!(matches!(max.as_ref(), Expression::Call(Function::Max, arguments) if arguments.len() == 2));
    assert_eq!(
        (harness.readings[8].transient.as_deref(), harness.readings[8].window),
        (Some("run"), Some((0.0, 0.5e-3)))
    );
}

#[test]
fn several_transients() {
    let harness =
        harness("transient span 10 ms, start rest, record 1 us\ntransient plug span 2 s, start operating");
    let [run, unnamed, plug] = harness.transients.as_slice() else { panic!("three transients") };
    assert_eq!((run.start, unnamed.start, plug.start), (Start::Steady, Start::Rest, Start::Operating));
    assert_eq!((unnamed.name.as_deref(), unnamed.span, unnamed.record), (None, 10e-3, Some(1e-6)));
}

#[test]
fn line_ends_commas_and_comments() {
    let harness = harness(
        "resistor a bus -> gnd  resistance 1 ohm; resistor b bus -> gnd resistance 2 ohm # c\r\n\
         wire w bus -> cam length 1 m, # goes on\n\n   gauge 24 AWG,\n  spacing 2 mm",
    );
    assert_eq!(part(&harness, "w").properties.len(), 3);
    assert_eq!(harness.parts.len(), 6);
}

#[test]
fn a_node_used_once_is_a_remark() {
    let description = right(&format!("{CIRCUIT}resistor r bus -> cma resistance 1 ohm"));
    let [remark] = description.remarks() else { panic!("one remark") };
    assert_eq!((remark.code, remark.help.as_deref()), ("node_used_once", Some("perhaps `cam` was meant")));
}

#[test]
fn what_has_no_effect_yet_is_a_remark() {
    let text = CIRCUIT.replace("start steady", "start steady, record 1 us");
    let description = right(&format!("{text}camera c bus -> gnd current 1 A, rejection 40 dB, video pal\n"));
    assert_eq!(description.remarks(), []);
    let told: Vec<_> =
        description.without_effect().iter().map(|remark| (remark.code, &*remark.message)).collect();
    let [record, rejection, video] = told[..] else { panic!("{told:?}") };
    assert!([record, rejection, video].iter().all(|(code, _)| *code == "without_effect_yet"));
    assert!(record.1.starts_with("`record` has no effect"), "{}", record.1);
    assert!(rejection.1.starts_with("`rejection` of `c` has no effect"), "{}", rejection.1);
    assert!(video.1.starts_with("`video` of `c` has no effect"), "{}", video.1);
    assert_eq!(right(CIRCUIT).without_effect(), []);
}

#[test]
fn every_missing_property_is_told() {
    let mistakes = wrong(&format!("{CIRCUIT}drive d bus -> gnd motors 2"));
    let messages: Vec<_> = mistakes.iter().map(|mistake| mistake.message.as_str()).collect();
    assert_eq!(messages, ["a drive needs `current`", "a drive needs `pwm`", "a drive needs `duty`"]);
}

#[test]
fn without_a_title_the_file_names_the_harness() {
    assert_eq!(right(CIRCUIT).title(), "test");
}

/// Every value that has a name, and how far it may lie off: settings keep the old tolerance unless they give one.
#[test]
fn a_let_keeps_its_tolerance() {
    let text = format!(
        "{CIRCUIT}let henries = 10 mH +- 5 %\nlet twice = 2 * henries\nlet share = 50 % +- 3 points\n\
         coil l bus -> gnd inductance twice + henries +- 10 %\n\
         condition c {{ case as_stated {{ }}\ncase other {{ set henries = 20 mH; set share = 40 % +- 1 points }} }}"
    );
    let description = right(&text);
    let found = |point: usize, name: &str| {
        let lets = description.at(&[point]).lets;
        let value = lets.into_iter().find(|each| each.name == name).expect("the let");
        (value.value.value, value.tolerance)
    };
    assert_eq!(found(0, "henries"), (0.01, Some(Tolerance::Relative(0.05))));
    assert_eq!(found(0, "twice"), (0.02, None));
    assert_eq!(found(0, "share"), (0.5, Some(Tolerance::Absolute(0.03))));
    assert_eq!(found(1, "henries"), (0.02, Some(Tolerance::Relative(0.05))));
    assert_eq!(found(1, "share"), (0.4, Some(Tolerance::Absolute(0.01))));
    // A property's own tolerance is that of its whole expression.
    let coil = part(&description.at(&[0]), "l");
    let expected = Value::Number(Quantity::new(0.03, Dimension::INDUCTANCE), Some(Tolerance::Relative(0.1)));
    assert_eq!(coil.properties["inductance"], expected);
    // The command line gives a tolerance as well.
    let set = right_with(&text, &["henries=30 mH +- 1 mH"]).at(&[1]);
    assert_eq!((set.lets[0].value.value, set.lets[0].tolerance), (0.03, Some(Tolerance::Absolute(1e-3))));
}

/// What a fit hands over with a tolerance is drawn once for the instance, inner instances and all its users included; another
/// instance has a draw of its own.
#[test]
fn a_tolerance_handed_over_belongs_to_the_instance() {
    let description = right(&format!(
        "{CIRCUIT}assembly inner(z) p {{ resistor s p -> gnd resistance z }}\n\
         assembly outer(y) p {{ fit inner i p  z 2 * y +- 1 ohm\nresistor r p -> gnd resistance y\nresistor q p -> gnd resistance y }}\n\
         fit outer f bus  y 10 ohm +- 20 %\nfit outer g bus  y 10 ohm"
    ));
    let harness = description.at(&[]);
    let tolerance =
        |name: &str| harness.lets.iter().find(|each| each.name == name).expect("it is known").tolerance;
    assert_eq!(tolerance("f.y"), Some(Tolerance::Relative(0.2)));
    assert_eq!((tolerance("g.y"), tolerance("g.i.z")), (None, Some(Tolerance::Absolute(1.0))));
    let draws = [("f.y", 11.0), ("g.i.z", 21.0)].map(|(name, value)| (name.to_owned(), value)).into();
    let drawn = description.drawn(&[], &draws).expect("no mistake");
    let found =
        ["f.r", "f.q", "f.i.s", "g.r", "g.i.s"].map(|name| part(&drawn, name).number("resistance").unwrap());
    assert_eq!(found, [11.0, 11.0, 22.0, 10.0, 21.0]);
}

/// One draw holds for all that is worked out from the let, at whatever point.
#[test]
fn a_drawn_let_is_shared_by_its_users() {
    let description = right(&format!(
        "{CIRCUIT}let henries = 10 mH +- 5 %\nlet twice = 2 * henries\ncoil l bus -> gnd inductance henries\n\
         coil m bus -> gnd inductance twice\nassembly a(x) p {{ let y = x + 1 ohm\nresistor r p -> gnd resistance y }}\n\
         fit a f bus  x 1 ohm +- 10 %\ncondition c {{ case one {{ }}\ncase two {{ set henries = 20 mH }} }}"
    ));
    let draws =
        |list: &[(&str, f64)]| list.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect();
    let inductances =
        |harness: &Harness| ["l", "m"].map(|name| part(harness, name).number("inductance").unwrap());
    let nominal = description.drawn(&[0], &draws(&[])).expect("no mistake");
    assert_eq!(inductances(&nominal), [0.01, 0.02]);
    let drawn = description.drawn(&[0], &draws(&[("henries", 0.0104), ("f.x", 1.1)])).expect("no mistake");
    assert_eq!(inductances(&drawn), [0.0104, 0.0208]);
    assert_eq!(part(&drawn, "f.r").number("resistance"), Some(2.1));
    // What is drawn stands instead of what a case sets; the list keeps the nominal value.
    let drawn = description.drawn(&[1], &draws(&[("henries", 0.021)])).expect("no mistake");
    assert_eq!((inductances(&drawn)[0], drawn.lets[0].value.value), (0.021, 0.02));
    let tolerance = drawn.lets.iter().find(|each| each.name == "f.x").expect("the parameter").tolerance;
    assert_eq!(tolerance, Some(Tolerance::Relative(0.1)));
    // A draw that no coil can have is a mistake of that draw.
    let wrong = description.drawn(&[0], &draws(&[("henries", -0.01)])).expect_err("no coil");
    assert!(wrong.iter().all(|mistake| mistake.code == "out_of_range"), "{wrong:?}");
}

/// The middle by ratio is the geometric mean; by difference where the ends have not one sign.
#[test]
fn an_unknown_value_is_its_middle() {
    let unknown = |value: &str| {
        let harness = harness(&format!("resistor r bus -> gnd resistance {value}"));
        part(&harness, "r").properties["resistance"].clone()
    };
    let between = |ohms, low, high| {
        Value::Number(Quantity::new(ohms, Dimension::RESISTANCE), Some(Tolerance::Between(low, high)))
    };
    assert_eq!(unknown("unknown 4 ohm .. 9 ohm"), between(6.0, 4.0, 9.0));
    let text = format!(
        "{CIRCUIT}let x = unknown 1 ohm .. 4 ohm\nlet unknown_2 = 3 ohm\nlet cold = unknown -10 degC .. 30 degC\n\
         resistor r bus -> gnd resistance unknown x .. unknown_2 * 3 + 0.5 ohm"
    );
    let harness = right(&text).at(&[]);
    assert_eq!(
        (harness.lets[0].value.value, harness.lets[0].tolerance),
        (2.0, Some(Tolerance::Between(1.0, 4.0)))
    );
    let kelvin = harness.lets[2].value.value;
    assert!((kelvin - (263.15_f64 * 303.15).sqrt()).abs() < 1e-9, "{kelvin}");
    assert_eq!(part(&harness, "r").number("resistance"), Some((2.0_f64 * 9.5).sqrt()));
    let tolerance = Tolerance::Between(-2.0, 4.0);
    assert_eq!([-1.0, 0.0, 1.0].map(|end| tolerance.departed(1.0, end)), [-2.0, 1.0, 4.0]);
    let tolerance = Tolerance::Between(0.02, 0.2);
    let ends = [-1.0, 1.0].map(|end| tolerance.departed(f64::NAN, end));
    assert!((ends[0] - 0.02).abs() < 1e-17 && (ends[1] - 0.2).abs() < 1e-16);
}

#[test]
fn a_setting_makes_an_unknown_value_known() {
    let text = format!(
        "{CIRCUIT}let x = unknown 1 ohm .. 4 ohm\nresistor r bus -> gnd resistance unknown 1 ohm .. 4 ohm\n\
         condition c {{ case a {{ set r.resistance = 2 ohm; set x = 3 ohm }} case b {{ }} }}"
    );
    let description = right(&text);
    let tolerances = |point: usize| {
        let harness = description.at(&[point]);
        let Value::Number(_, tolerance) = part(&harness, "r").properties["resistance"] else { panic!() };
        (harness.lets[0].tolerance, tolerance)
    };
    assert_eq!(tolerances(0), (None, None));
    let both = Some(Tolerance::Between(1.0, 4.0));
    assert_eq!(tolerances(1), (both, both));
}

#[test]
fn what_is_wrong_with_unknown_values_is_told() {
    let code = |value: &str| {
        let mistakes = wrong(&format!("{CIRCUIT}resistor r bus -> gnd resistance {value}"));
        mistakes.iter().map(|mistake| mistake.code).collect::<Vec<_>>()
    };
    assert_eq!(code("unknown 4 ohm .. 2 ohm"), ["wrong_range"]);
    assert_eq!(code("unknown 4 ohm .. 4 ohm"), ["wrong_range"]);
    assert_eq!(code("unknown 4 ohm .. 9 V"), ["unlike_dimensions"]);
    assert_eq!(code("unknown 4 V .. 9 V"), ["wrong_dimension"]);
    assert_eq!(code("unknown -4 ohm .. 9 ohm"), ["out_of_range"]);
    assert_eq!(code("unknown 4 ohm"), ["unexpected"]);
}

#[test]
fn draws_of_the_file() {
    let draws = |text: &str| right(&format!("{CIRCUIT}{text}")).draws();
    let stated = |draws, seed, normal| Some(DrawsOfTolerances { draws, seed, normal });
    assert_eq!(draws(""), None);
    assert_eq!(draws("draws 500"), stated(500, 1, false));
    assert_eq!(draws("draws 20, normal, seed 7"), stated(20, 7, true));
    let codes = |text: &str| {
        let mistakes = wrong(&format!("{CIRCUIT}{text}"));
        mistakes.iter().map(|mistake| mistake.code).collect::<Vec<_>>()
    };
    assert_eq!(codes("draws 0"), ["not_a_count"]);
    assert_eq!(codes("draws 2.5"), ["not_a_count"]);
    assert_eq!(codes("draws 5, sed 2"), ["unknown_property"]);
    assert_eq!(codes("draws 5, seed 2, seed 3"), ["stated_twice"]);
    assert_eq!(codes("draws 5\ndraws 6"), ["stated_twice"]);
    assert_eq!(codes("draws many"), ["unexpected"]);
}

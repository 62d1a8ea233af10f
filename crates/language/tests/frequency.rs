//! Frequencies and responses: what they resolve to, and every mistake with its place and words.

use crate::common;

use common::{CIRCUIT, right, wrong};
use quantity::{Dimension, Quantity};
use quietrail_language::description::{BinaryOperator, Harness, ResponseExpression};

/// The circuit with something to drive it, at 1 kHz.
fn base() -> String {
    format!("{CIRCUIT}drive tracks bus -> gnd current 9 A, pwm 20 kHz, duty 60 %\nfrequency [1 kHz]\n")
}

fn harness(statements: &str) -> Harness {
    right(&format!("{}{statements}", base())).at(&[])
}

fn transfer(plus: &str, minus: Option<&str>, source: &str) -> ResponseExpression {
    ResponseExpression::Transfer {
        plus: plus.to_owned(),
        minus: minus.map(str::to_owned),
        source: source.to_owned(),
    }
}

fn impedance(plus: &str, minus: Option<&str>) -> ResponseExpression {
    ResponseExpression::Impedance { plus: plus.to_owned(), minus: minus.map(str::to_owned) }
}

fn told(text: &str, code: &str, words: &str, help: Option<&str>) {
    let start = text.find('«').expect("a mark");
    let end = text.find('»').expect("a second mark") - '«'.len_utf8();
    let text = text.replace(['«', '»'], "");
    let mistakes = wrong(&text);
    let [mistake] = mistakes.as_slice() else {
        panic!("one mistake expected in\n{text}\nfound {mistakes:#?}")
    };
    assert_eq!((mistake.code, mistake.span.start, mistake.span.end), (code, start, end), "{mistake:#?}");
    assert!(mistake.message.contains(words), "{}", mistake.message);
    if help.is_some() {
        assert_eq!(mistake.help.as_deref(), help, "{}", mistake.message);
    }
}

/// The mistake in statements added to the base.
fn added(statements: &str, code: &str, words: &str, help: Option<&str>) {
    told(&format!("{}{statements}", base()), code, words, help);
}

/// The mistake in a `frequency` statement.
fn stated(statement: &str, code: &str, words: &str, help: Option<&str>) {
    told(&format!("{CIRCUIT}{statement}"), code, words, help);
}

#[test]
fn frequencies_are_spaced_by_decades_with_exact_ends() {
    let at = |statement: &str| right(&format!("{CIRCUIT}{statement}")).at(&[]).frequencies;
    let wide = at("frequency 10 Hz .. 30 MHz, points 40");
    // 6.477 decades of 40 are 259.08 steps.
    assert_eq!(wide.len(), 260);
    assert_eq!((wide[0], wide[259]), (10.0, 30e6));
    let ratio = f64::powf(3e6, 1.0 / 259.0);
    for pair in wide.windows(2) {
        assert!((pair[1] / pair[0] / ratio - 1.0).abs() < 1e-13);
    }
    let decades = at("frequency 1 Hz .. 1 kHz, points 1");
    assert_eq!(decades.len(), 4);
    for (found, expected) in decades.iter().zip([1.0, 10.0, 100.0, 1000.0]) {
        assert!((found / expected - 1.0_f64).abs() < 1e-14, "{found}");
    }
    assert_eq!(at("frequency 1 kHz .. 1.01 kHz, points 3"), [1e3, 1.01e3]);
    assert_eq!(at("let f = 2 kHz\nfrequency [f, 1 kHz, 3 * f]"), [2e3, 1e3, 6e3]);
    assert_eq!(at(""), [] as [f64; 0]);
}

#[test]
fn responses_have_the_dimension_of_what_drives_them() {
    let found = harness(
        "response a = transfer(voltage(cam), tracks)\nresponse b = transfer(voltage(cam, bus), pack)\n\
         response c = impedance(cam)\nresponse d = impedance(cam, bus)",
    );
    let names: Vec<&str> = found.responses.iter().map(|response| response.name.as_str()).collect();
    assert_eq!(names, ["a", "b", "c", "d"]);
    let expected = [
        (transfer("cam", None, "tracks"), Dimension::RESISTANCE),
        (transfer("cam", Some("bus"), "pack"), Dimension::NONE),
        (impedance("cam", None), Dimension::RESISTANCE),
        (impedance("cam", Some("bus")), Dimension::RESISTANCE),
    ];
    for (response, (expression, dimension)) in found.responses.iter().zip(expected) {
        assert_eq!((&response.expression, response.dimension), (&expression, dimension));
    }
}

#[test]
fn quotients_of_curves_and_of_numbers() {
    let found = harness(
        "let reference = 50 ohm\nresponse z = impedance(cam)\n\
         response share = transfer(voltage(cam), tracks) / transfer(voltage(bus), tracks)\n\
         response relative = z / reference\nresponse opposite = -z",
    );
    let [_, share, relative, opposite] = found.responses.as_slice() else { panic!("four responses") };
    let quotient =
        |left, right| ResponseExpression::Binary(BinaryOperator::Divide, Box::new(left), Box::new(right));
    assert_eq!(share.expression, quotient(transfer("cam", None, "tracks"), transfer("bus", None, "tracks")));
    assert_eq!(share.dimension, Dimension::NONE);
    let fifty = ResponseExpression::Number(Quantity::new(50.0, Dimension::RESISTANCE));
    assert_eq!(relative.expression, quotient(ResponseExpression::Response("z".to_owned()), fifty));
    assert_eq!(relative.dimension, Dimension::NONE);
    assert_eq!(opposite.dimension, Dimension::RESISTANCE);
}

/// They may bear the name of a testpoint, which no one takes for a curve.
#[test]
fn names_of_responses_are_their_own() {
    assert_eq!(harness("response rail = impedance(cam)").responses.len(), 1);
    added(
        "response z = impedance(cam)\nresponse «z» = impedance(bus)",
        "duplicate_name",
        "there is a response `z` already",
        None,
    );
    added("let z = 1 ohm\nresponse «z» = impedance(cam)", "duplicate_name", "`z` is taken", None);
    added("response «coil» = impedance(cam)", "reserved_word", "`coil` is a kind of part", None);
}

#[test]
fn mistakes_in_frequencies() {
    stated("frequency «30 MHz .. 10 Hz», points 40", "wrong_range", "rise from the lower", None);
    stated("frequency «0 Hz» .. 1 MHz, points 40", "out_of_range", "above 0 Hz", None);
    stated("frequency [1 kHz, «-1 kHz»]", "out_of_range", "above 0 Hz", None);
    stated("frequency «10 ms» .. 1 MHz, points 40", "wrong_dimension", "a frequency must be in hertz", None);
    stated("frequency 10 Hz .. «30», points 40", "missing_unit", "a frequency needs a unit", None);
    stated("frequency 10 Hz .. 1 MHz, points «2.5»", "not_a_count", "counts frequencies a decade", None);
    stated("frequency 10 Hz .. 1 MHz, points «0»", "not_a_count", "counts frequencies a decade", None);
    stated("frequency 1 Hz .. 10 Hz, points «100000»", "too_many_points", "100001 frequencies", None);
    stated("«frequency» 10 Hz .. 30 MHz", "missing_property", "needs `points`", None);
    stated(
        "frequency 10 Hz .. 30 MHz, «point» 40",
        "unknown_property",
        "a frequency has no `point`",
        Some("perhaps `points` was meant"),
    );
    stated("frequency 10 «kHz»", "unexpected", "expected `..`", None);
    stated("frequency «[]»", "empty_list", "is empty", None);
    stated("frequency [1 kHz: «2 kHz»]", "wrong_shape", "has no `:`", None);
    stated("frequency [1 kHz]\n«frequency» [2 kHz]", "second_frequency", "stated already", None);
}

#[test]
fn mistakes_in_responses() {
    added(
        "response p = transfer(voltage(«camm»), tracks)",
        "unknown_node",
        "no part touches a node `camm`",
        Some("perhaps `cam` was meant"),
    );
    added(
        "response p = transfer(voltage(cam), «track»)",
        "unknown_part",
        "there is no part `track`",
        Some("perhaps `tracks` was meant"),
    );
    added(
        "response p = transfer(voltage(cam), «link»)",
        "wrong_kind",
        "`link` is a wire, which drives",
        None,
    );
    added(
        "response p = transfer(voltage(cam), «rail»)",
        "unknown_part",
        "is a testpoint, not a source",
        None,
    );
    added("response p = transfer(voltage(cam), «9 A»)", "not_a_part", "name of a source", None);
    added("response p = impedance(«eye»)", "unknown_node", "`eye` is a part, not a node", None);
    added("response p = impedance(cam, «cam»)", "same_node_twice", "against itself", None);
    added("response p = impedance(«gnd»)", "same_node_twice", "against itself", None);
    added("response p = impedance(«1 ohm»)", "not_a_node", "name of a node", None);
    added("response p = «impedance»()", "wrong_arguments", "takes a node or two nodes", None);
    added("response p = «transfer»(voltage(cam))", "wrong_arguments", "the voltage of a node", None);
    added("response p = transfer(«cam», tracks)", "not_a_voltage", "looks at the voltage of a node", None);
    added(
        "response p = «transfr»(voltage(cam), tracks)",
        "unknown_response",
        "can't be made of `transfr`",
        Some("perhaps `transfer` was meant"),
    );
    added(
        "response p = «voltage»(cam)",
        "unknown_response",
        "can't be made of `voltage`",
        Some("say what drives it: `transfer(voltage(NODE), DRIVE)`"),
    );
    added("response p = «2 * 5 ohm»", "constant_response", "same at every frequency", None);
    added("response p = impedance(cam) / «0»", "division_by_zero", "divides by zero", None);
    added("response p = impedance(cam) + «1 V»", "unlike_dimensions", "ohms and volts", None);
    added("response p = «q»; response q = impedance(cam)", "used_before_defined", "further down", None);
    added("response p = «p» / 2", "used_before_defined", "or right here", None);
    added("response p = «q» / 2", "unknown_name", "`q` is not known", None);
    added("response p «impedance»(cam)", "unexpected", "expected `=`", None);
}

#[test]
fn a_response_needs_frequencies() {
    told(
        &format!("{CIRCUIT}response p = «impedance(cam)»"),
        "no_frequency",
        "no `frequency` to compute this at",
        Some("add `frequency 10 Hz .. 30 MHz, points 40`"),
    );
}

/// A part that draws in one option and pushes in another has no unit to divide by.
#[test]
fn sources_of_two_kinds() {
    added(
        "choice c { option x { drive d cam -> gnd current 1 A, pwm 1 kHz, duty 50 % }\n\
         option y { supply d gnd -> cam voltage 12 V, resistance 1 ohm } }\n\
         response p = transfer(voltage(cam), «d»)",
        "wrong_kind",
        "draws a current in one option",
        None,
    );
}

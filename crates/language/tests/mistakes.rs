//! Every mistake: its code, the text it underlines (between « and »), and the words that matter.
//!
//! Each statement is added to a circuit without mistakes and must be the only thing that is told.

use crate::common;

use common::{CIRCUIT, wrong, wrong_with};
use quietrail_language::Mistake;

/// The text without its marks, and the bytes between them.
fn unmarked(text: &str) -> (String, std::ops::Range<usize>) {
    let start = text.find('«').expect("a mark");
    let end = text.find('»').expect("a second mark") - '«'.len_utf8();
    (text.replace(['«', '»'], ""), start..end)
}

fn only(mistakes: &[Mistake], code: &str, span: &std::ops::Range<usize>, text: &str) -> Mistake {
    let [mistake] = mistakes else { panic!("one mistake expected in\n{text}\nfound {mistakes:#?}") };
    assert_eq!(mistake.code, code, "{text}: {}", mistake.message);
    assert_eq!((mistake.span.start, mistake.span.end), (span.start, span.end), "{text}: {}", mistake.message);
    mistake.clone()
}

fn alone(text: &str, code: &str, message: &str) -> Mistake {
    let (text, span) = unmarked(text);
    let mistake = only(&wrong(&text), code, &span, &text);
    assert!(mistake.message.contains(message), "{text}\n{}", mistake.message);
    mistake
}

/// The mistake in `statements` added to the circuit.
fn added(statements: &str, code: &str, message: &str) -> Mistake {
    alone(&format!("{CIRCUIT}{statements}"), code, message)
}

fn helps(statements: &str, code: &str, message: &str, help: &str) {
    let mistake = added(statements, code, message);
    assert_eq!(mistake.help.as_deref(), Some(help), "{statements}");
}

#[test]
fn units() {
    let capacitor = |value: &str| format!("capacitor c bus -> gnd capacitance {value}");
    helps(&capacitor("«220 uH»"), "wrong_dimension", "must be in farads, not henries", "try 220 uF");
    helps(&capacitor("«220»"), "missing_unit", "`capacitance` needs a unit: it is in farads", "try 220 uF");
    helps(&capacitor("220 «u»"), "bare_prefix", "`u` is a prefix without a unit", "try 220 uF");
    helps(&capacitor("220 «UF»"), "unknown_unit", "`UF` is not a unit", "perhaps `uF` was meant");
    helps(&capacitor("220 «bananas»"), "unknown_unit", "`bananas` is not a unit", "try 220 uF");
    helps(&capacitor("«-220 mm2»"), "wrong_dimension", "not square metres", "try -220 mF");
    helps("resistor r bus -> gnd resistance 4.7«k»", "bare_prefix", "`k` is a prefix", "try 4.7 kohm");
    helps(
        "wire w bus -> cam length «24 AWG», gauge 24 AWG",
        "wrong_dimension",
        "metres, not AWG",
        "try 24 mm",
    );
    added(&capacitor("«4k7»"), "value_code", "`4k7` is a value code");
    added("let r = «4k7»", "value_code", "`4k7` is a value code");
    added("let r = 5 «k»", "bare_prefix", "`k` is a prefix");
    helps("let r = 5 «khz»", "unknown_unit", "`khz` is not a unit", "perhaps `kHz` was meant");
    added(&format!("let r = «{}»", "9".repeat(400)), "number_too_large", "too large");
}

#[test]
fn expressions() {
    added("let a = 1 V + «1 A»", "unlike_dimensions", "volts and amperes don't go together");
    added("let a = max(1 V, «1 A»)", "unlike_dimensions", "volts and amperes");
    added(
        "let a = 1 / «(2 - 2)»".replace("«(2 - 2)»", "(«2 - 2»)").as_str(),
        "division_by_zero",
        "divides by zero",
    );
    added("let a = sqrt(«1 V»)", "odd_power", "square root of volts");
    added("let a = ln(«1 V»)", "wrong_dimension", "takes a plain number, not volts");
    added("let a = 2 V ^ «0.3»", "wrong_exponent", "volts to this power");
    added("let a = 2 ^ «1 V»", "wrong_exponent", "plain number");
    added("let a = «(2 V) ^ 100»".replace("«(", "(«").as_str(), "wrong_exponent", "no meaningful unit");
    added("let a = «ln(0)»", "not_finite", "no finite value");
    added("let a = «sqrt»(1, 2)", "wrong_arguments", "`sqrt` takes one value");
    added("let a = max(«1 .. 2»)", "unexpected_range", "range can't stand here");
    helps(
        "let lenght = 1 m; let b = «length»",
        "unknown_name",
        "`length` is not known",
        "perhaps `lenght` was meant",
    );
    helps(
        "let a = «later»; let later = 1",
        "used_before_defined",
        "defined further down",
        "move `let later = …` above this line",
    );
    added("let a = «pack»", "not_a_number", "`pack` is a part, not a number");
    helps("let a = «sqr»(2)", "unknown_function", "no function `sqr`", "perhaps `sqrt` was meant");
    added("let a = «mean»(rail)", "reading_in_value", "known only after a run");
    added("let a = «3 points»", "points_without_tolerance", "tolerance of a % value");
    added("let a = 2 * «,»", "unexpected", "expected a value, found `,`");
    added("let a = «2 *»".replace("«2 *»", "2 «*»").as_str(), "unexpected", "found the end of the");
    added("let a «2»", "unexpected", "expected `=`, found `2`");
    added("let «7» = 2", "unexpected", "expected a name");
}

#[test]
fn tolerances() {
    let capacitor = |value: &str| format!("capacitor c bus -> gnd capacitance {value}");
    added(&capacitor("1 uF +- «5 mohm»"), "wrong_tolerance", "in % or farads");
    added(&capacitor("1 uF +- «3 points»"), "wrong_tolerance", "points are the tolerance of a % value");
    added(&capacitor("1 uF +- «120 %»"), "wrong_tolerance", "less than 100 %");
    added(&capacitor("1 uF +- «-1 nF»"), "wrong_tolerance", "can't be negative");
    added(
        "wire w bus -> cam length 1 m, gauge 24 AWG, temperature 20 degC +- «5 degC»",
        "wrong_tolerance",
        "% or kelvin",
    );
}

#[test]
fn statements() {
    helps(
        "«coli» x bus -> gnd inductance 1 uH",
        "unknown_word",
        "`coli` is no word",
        "perhaps `coil` was meant",
    );
    helps("«readin» x = 3", "unknown_word", "`readin` is no word", "perhaps `reading` was meant");
    added("«»".replace("«»", "«$»").as_str(), "unexpected", "expected a statement, found `$`");
    added("«}»", "unopened_block", "closes nothing");
    added("let a = 1 «let» b = 2", "unexpected", "expected the end of the statement, found `let`");
    added("coupled cm bus -> gnd «inductance» 1 mH", "missing_node", "`cm` lacks its second pair of nodes");
    added("coupled cm bus -> gnd, bus «gnd» inductance 1 mH", "missing_arrow", "expected `->`");
    added("coupled cm bus -> gnd, bus -> «bus» inductance 1 mH", "same_node_twice", "both ends of `cm`");
    added("coupled cm bus -> gnd, «far» -> away inductance 1 mH", "floating_node", "have no path to gnd");
    added(
        "coupled cm bus -> gnd, gnd -> cam inductance 1 mH, coupling «1»",
        "out_of_range",
        "`coupling` of `cm`",
    );
    added("«set» pack.emf = 11 V", "misplaced", "`set` can't stand here");
    added("«option» a { }", "misplaced", "`option` can't stand here");
    added("harness «\"open»", "unclosed_text", "no closing quote");
    added("harness \"one\"\n«harness» \"two\"", "second_title", "has a title already");
    added("harness «one»", "unexpected", "title in quotes, found `one`");
    added(&format!("let a = {}«(»", "(".repeat(101)), "too_deep", "nested too deeply");
}

#[test]
fn names() {
    added("let a = 1; let «a» = 2", "duplicate_name", "`a` is taken");
    added("let «cam» = 1", "duplicate_name", "`cam` is taken");
    added("testpoint «pack» = voltage(cam)", "duplicate_name", "`pack` is taken");
    added("resistor «eye» bus -> gnd resistance 1 ohm", "duplicate_name", "`eye` is taken");
    added("resistor cam2 «pack» -> gnd resistance 1 ohm", "duplicate_name", "`pack` is taken");
    added("let «coil» = 1", "reserved_word", "`coil` is a kind of part");
    added("let «pi» = 3", "reserved_word", "`pi` is a number");
    added("let «gnd» = 3", "reserved_word", "`gnd` is the reference node");
    added(
        "transient run span 1 s, start rest".replace("run", "«run»").as_str(),
        "duplicate_name",
        "transient `run`",
    );
    added("choice a { option x { } option «x» { } }", "duplicate_name", "an option `x` already");
    added("choice a { option x { } }\ncondition «a» { case y { } }", "duplicate_name", "an axis `a` already");
    added(
        "choice a { option x { resistor r bus -> gnd resistance 1 ohm } }\n\
         choice b { option y { resistor «r» bus -> gnd resistance 1 ohm } }",
        "duplicate_name",
        "`r` is taken",
    );
}

#[test]
fn parts() {
    added("wire w cam «->» length 1 m, gauge 24 AWG", "missing_node", "`w` lacks a node");
    added("wire w «->» cam length 1 m, gauge 24 AWG", "missing_node", "no node on the left");
    added("wire w cam -> «7» length 1 m, gauge 24 AWG", "missing_node", "found `7`");
    added("wire w cam «bus» length 1 m, gauge 24 AWG", "missing_arrow", "expected `->`");
    added("wire w cam «-» bus length 1 m, gauge 24 AWG", "missing_arrow", "expected `->`");
    added("resistor r bus -> «bus» resistance 1 ohm", "same_node_twice", "both ends of `r` are on `bus`");
    helps(
        "capacitor c bus -> gnd capacitance 1 uF, «ers» 1 ohm",
        "unknown_property",
        "a capacitor has no property `ers`",
        "perhaps `esr` was meant",
    );
    added("capacitor c bus -> gnd «capacitnce» 1 uF", "unknown_property", "no property `capacitnce`");
    added(
        "capacitor c bus -> gnd capacitance 1 uF, «colour» red",
        "unknown_property",
        "no property `colour`",
    );
    added("resistor r bus -> gnd resistance 1 ohm, «resistance 2 ohm»", "stated_twice", "stated twice");
    added("resistor r bus -> gnd «resistance»", "missing_value", "`resistance` has no value");
    added("wire w bus -> cam length 1 «m» gauge 24 AWG", "missing_comma", "expected a comma before `gauge`");
    added(
        "resistor r bus -> gnd resistance 1 ohm«,»\nlet a = 1",
        "comma_before_statement",
        "the comma makes `let` a part",
    );
    added("resistor r bus -> gnd resistance 1 ohm «=»", "unexpected", "`,` or the end of the statement");
}

#[test]
fn property_values() {
    added("resistor r bus -> gnd resistance «-1 ohm»", "out_of_range", "must be above 0, not -1 ohm");
    helps(
        "drive d bus -> gnd current 1 A, pwm 20 kHz, duty «60»",
        "out_of_range",
        "`duty` of `d` must be from 0 % to 100 %, not 6000 %",
        "try 60 %",
    );
    added(
        "drive d bus -> gnd motors «1.5», current 1 A, pwm 20 kHz, duty 60 %",
        "not_a_count",
        "whole number from 1",
    );
    added(
        "drive d bus -> gnd «motors 1000000», current 1 A, pwm 20 kHz, duty 60 %, stagger 10 %",
        "out_of_range",
        "`motors` of `d` must be a whole number from 1 to 64, not 1000000",
    );
    for pwm in ["1e-40 Hz", "0.9 mHz", "1.1 GHz", "1e40 Hz"] {
        added(
            &format!("drive d bus -> gnd current 1 A, pwm «{pwm}», duty 60 %"),
            "out_of_range",
            "`pwm` of `d` must be from 1 mHz to 1 GHz",
        );
    }
    added(
        "drive d bus -> gnd current 1 A, pwm 20 kHz, duty 60 %, commutation «1e40 Hz», commutation_depth 5 %",
        "out_of_range",
        "`commutation` of `d` must be from 1 mHz to 1 GHz",
    );
    added(
        "drive d bus -> gnd current 1 A, pwm 20 kHz, duty 60 %, rpm «0.01 rpm», pole_pairs 7, commutation_depth 5 %",
        "out_of_range",
        "`rpm` of `d` must be from 1 mHz to 1 GHz",
    );
    for period in ["0.9 ns", "1001 s"] {
        added(
            &format!("generator g gnd -> bus level 5 V, width 0.1 ns, period «{period}»"),
            "out_of_range",
            "`period` of `g` must be from 1 ns to 1 ks",
        );
    }
    added(
        "coil c bus -> cam inductance 100 uH, saturation_current 1 A, residual «0 H»",
        "out_of_range",
        "`residual` of `c` must be above 0, not 0 H",
    );
    helps(
        "camera c bus -> gnd current 1 A, video «pall»",
        "unknown_value",
        "can't be `pall`",
        "perhaps `pal` was meant",
    );
    helps(
        "camera c bus -> gnd current 1 A, supply «9 V»",
        "wrong_shape",
        "must be a range in volts",
        "write `supply A V .. B V`",
    );
    added("camera c bus -> gnd current 1 A, supply «18 V .. 9 V»", "wrong_range", "must rise");
    added("resistor r bus -> gnd resistance «\"much\"»", "wrong_shape", "must be one value in ohms");
    added(
        "drive d bus -> gnd current 1 A, pwm 20 kHz, duty 60 %, throttle [0 s: 20 %, «0 s»: 30 %]",
        "points_not_rising",
        "not later than the one before",
    );
    added(
        "drive d bus -> gnd current 1 A, pwm 20 kHz, duty 60 %, throttle [0 s: «120 %»]",
        "out_of_range",
        "`throttle`",
    );
}

#[test]
fn properties_together() {
    helps(
        "capacitor «c» bus -> gnd esr 1 ohm",
        "missing_property",
        "a capacitor needs `capacitance`",
        "add `capacitance … uF`",
    );
    added(
        "wire w bus -> cam resistance 1 ohm, «gauge 24 AWG»",
        "contradiction",
        "`w` takes `resistance` or `gauge`",
    );
    added(
        "coil c bus -> cam inductance 1 mH, saturation_current 1 A, «saturation_flux 1 uWb»",
        "contradiction",
        "`saturation_current` or `saturation_flux`",
    );
    added(
        "capacitor c bus -> gnd capacitance 1 uF, «floor 10 %»",
        "property_needs_another",
        "no effect without `half_voltage`",
    );
    added("wire «w» bus -> cam gauge 24 AWG", "missing_property", "a wire needs `length` or");
    added("wire w bus -> cam «length 1 m»", "property_needs_another", "`gauge` or `area` or `diameter`");
    added(
        "coil c bus -> cam permeability 2000, turns 10, outer 5 mm, «inner 5 mm», height 3 mm",
        "ring_without_core",
        "has no core",
    );
    added(
        "generator g gnd -> bus level 5 V, «width 2 us», period 1 us",
        "pulse_longer_than_period",
        "before the next begins",
    );
}

#[test]
fn axes() {
    added("choice «a» { }", "empty_axis", "`a` has no option");
    added("choice a «{»\noption x { }", "unclosed_block", "block of `a` is never closed");
    added("choice a { option x «{»\noption y { } }", "unclosed_block", "block of `x` is never closed");
    added("choice a { «case» x { } }", "wrong_option_word", "a choice has no `case`");
    added("condition a { «option» x { } }", "wrong_option_word", "a condition has no `option`");
    added("condition a { case x «baseline» { } }", "baseline_in_condition", "can't be the baseline");
    added(
        "choice a { option x baseline { } option y «baseline» { } }",
        "second_baseline",
        "a baseline already",
    );
    added("choice a { option x { «let» y = 1 } }", "misplaced", "`let` can't stand inside");
    added("choice «a»\n option x { }\n option y { }\n}", "unexpected", "expected `{`");
    added("choice a { «resistor» x bus -> gnd resistance 1 ohm }", "unexpected", "expected `option`");
    added("choice «{» option x { } }", "unexpected", "a name for the axis");
}

#[test]
fn settings() {
    let case = |set: &str| format!("condition c {{ case x {{ {set} }} }}");
    helps(&case("set «pck».emf = 1 V"), "unknown_part", "no part `pck`", "perhaps `pack` was meant");
    added(&case("set «bus».emf = 1 V"), "unknown_part", "`bus` is a node");
    helps(
        &case("set pack.«enf» = 1 V"),
        "unknown_property",
        "has no property `enf`",
        "perhaps `emf` was meant",
    );
    added(&case("set «pack» = 1 V"), "set_without_property", "say which property");
    added(&case("set «nothing» = 1 V"), "unknown_let", "no `let nothing`");
    helps(&case("set pack.emf = «1 A»"), "wrong_dimension", "must be in volts, not amperes", "try 1 V");
    added(&case("set pack.emf = 1 V; «set pack.emf = 2 V»"), "set_twice", "`pack.emf` is set twice");
    added(
        "choice a { option x { set pack.emf = 1 V } }\ncondition c { case y { «set pack.emf = 2 V» } }",
        "set_twice",
        "`pack.emf` is set twice",
    );
    added(
        "choice a { option x { resistor r bus -> gnd resistance 1 ohm } option y { set «r».resistance = 2 ohm } }",
        "part_in_other_option",
        "`r` does not stand in this option",
    );
    added("let v = 1 V\ncondition c { case y { set v = «2 A» } }", "wrong_dimension", "`v` must be in volts");
}

#[test]
fn settings_of_the_command_line() {
    let check = |setting: &str, code: &str| {
        let (setting, span) = unmarked(setting);
        let mistake = only(&wrong_with(CIRCUIT, &["eye.current=1 A", &setting]), code, &span, &setting);
        assert_eq!(mistake.span.source, 2);
    };
    check("«pck».emf=1 V", "unknown_part");
    check("pack.emf=«1 A»", "wrong_dimension");
    check("pack.emf «11» V", "unexpected");
    check("«eye.current=2 A»", "set_twice");
}

#[test]
fn testpoints() {
    helps("testpoint t = voltage(«cma»)", "unknown_node", "touches a node `cma`", "perhaps `cam` was meant");
    added("testpoint t = voltage(cam, «pack»)", "unknown_node", "`pack` is a part, not a node");
    helps("testpoint t = current(«eey»)", "unknown_part", "no part `eey`", "perhaps `eye` was meant");
    added("testpoint t = current(«cam»)", "unknown_part", "`cam` is a node");
    added("testpoint t = flux(«eye»)", "wrong_kind", "`eye` is no coil");
    helps(
        "testpoint t = «votlage»(cam)",
        "unknown_signal",
        "can't look at `votlage`",
        "perhaps `voltage` was meant",
    );
    added("testpoint t = «voltage»(cam, bus, gnd)", "wrong_arguments", "takes a node, two nodes or a part");
    added("testpoint t = current(eye, «link»)", "wrong_arguments", "takes one part");
    helps(
        "testpoint t = voltage(cam), bandwidth «20 s»",
        "wrong_dimension",
        "in hertz, not seconds",
        "try 20 MHz",
    );
    added("testpoint t = voltage(cam), bandwidth «0 Hz»", "out_of_range", "above 0 Hz");
}

#[test]
fn readings() {
    helps("reading r = mean(«rial»)", "unknown_testpoint", "no testpoint `rial`", "perhaps `rail` was meant");
    helps(
        "reading r = mean(«cam»)",
        "not_a_testpoint",
        "`cam` is a node",
        "declare one first: `testpoint NAME = voltage(cam)`",
    );
    added("reading r = mean(«2 + 2»)", "not_a_testpoint", "looks at a testpoint");
    helps(
        "reading r = «rail»",
        "waveform_as_number",
        "a waveform, not a number",
        "write `maximum(rail)` or another reading",
    );
    helps("reading r = «maen»(rail)", "unknown_function", "no function `maen`", "perhaps `mean` was meant");
    helps(
        "reading r = «voltage»(cam)",
        "unknown_function",
        "no function",
        "name the waveform first: `testpoint NAME = voltage(…)`",
    );
    added("reading r = «at»(rail)", "wrong_arguments", "a testpoint and a time");
    added("reading r = at(rail, «1 V»)", "wrong_dimension", "in seconds, not volts");
    added("reading r = band(rail, «1 kHz»)", "not_a_range", "a range of frequencies");
    added("reading r = band(rail, «2 kHz .. 1 kHz»)", "wrong_range", "rises");
    added("reading r = harmonic(rail, «1.5»)", "not_a_count", "1, 2, 3");
    added("reading r = harmonic(rail, «eye», 1)", "wrong_kind", "`eye` is no drive");
    added("reading r = saturation(«rail»)", "unknown_part", "no part `rail`");
    added("reading r = saturation(«2»)", "not_a_part", "name of a coil");
    added("reading r = mean(rail) + «1 A»", "unlike_dimensions", "volts and amperes");
    added(
        "testpoint t = current(eye); reading r = attenuation(rail, «t»)",
        "unlike_dimensions",
        "no ratio in dB",
    );
    helps(
        "reading r = mean(rail) in «rnu»",
        "unknown_transient",
        "no transient `rnu`",
        "perhaps `run` was meant",
    );
    added("reading r = mean(rail) over «2 us .. 1 us»", "wrong_range", "a window of time rises");
    added("reading r = mean(rail) over 0 s .. «2 ms»", "window_beyond_span", "ends before this, at 1 ms");
    added("reading a = «b»; reading b = mean(rail)", "used_before_defined", "further down");
}

#[test]
fn requirements_and_transients() {
    helps(
        "require mean(rail) < «60 mA»",
        "wrong_dimension",
        "the limit of `mean` must be in volts, not amperes",
        "try 60 mV",
    );
    helps(
        "require mean(rail) < «60»",
        "missing_unit",
        "the limit of `mean` needs a unit",
        "try 60 mV or 60 V",
    );
    helps("require mean(rail) < «0.06»", "missing_unit", "it is in volts", "try 0.06 V");
    helps("require mean(rail) < «60 dB»", "wrong_dimension", "not decibels", "try 60 mV or 60 V");
    added("require mean(rail) «=» 60 V", "unexpected", "`<`, `<=`, `>` or `>=`");
    helps(
        "transient t span 1 ms, start «stedy»",
        "unknown_start",
        "can't start `stedy`",
        "perhaps `steady` was meant",
    );
    added("«transient» t span 1 ms", "missing_property", "needs `start`");
    added("«transient» t start rest", "missing_property", "needs `span`");
    added("transient t span «0 s», start rest", "out_of_range", "must be above 0 s");
    added("transient t span 1 ms, «span» 2 ms, start rest", "stated_twice", "`span` is stated twice");
    added("transient t span 1 ms, «sart» rest", "unknown_property", "a transient has no `sart`");
    alone(
        "battery b gnd -> x emf 1 V\nload l x -> gnd current 1 A\ntestpoint t = voltage(x)\nreading r = «mean(t)»",
        "no_transient",
        "no `transient`",
    );
}

#[test]
fn floating_nodes() {
    let mistake = added(
        "resistor r «left» -> right resistance 1 ohm",
        "floating_node",
        "`left` and another node have no path",
    );
    assert!(mistake.label.contains("`r` touches it"));
    let mistake = added(
        "choice a { option x { resistor r «far» -> away resistance 1 ohm } option y { resistor r far -> gnd resistance 1 ohm } }",
        "floating_node",
        "no path to gnd",
    );
    assert_eq!(mistake.point.as_deref(), Some("a = x"));
    let mistake = added(
        "choice a { option x { resistor r bus -> gnd resistance 1 ohm } option y { } }\n\
         condition b { case w { } case z { resistor s «far» -> away resistance 1 ohm } }",
        "floating_node",
        "no path to gnd",
    );
    assert_eq!(mistake.point.as_deref(), Some("b = z"));
    let mistake = alone(
        "resistor r «a» -> b resistance 1 ohm\nresistor s a -> b resistance 1 ohm",
        "floating_node",
        "no path",
    );
    assert!(mistake.help.unwrap().contains("no part touches `gnd`"));
}

/// The remarks on a text without mistakes, as code, underlined text and message.
fn remarks(statements: &str) -> Vec<(String, String)> {
    let text = format!("{CIRCUIT}{statements}");
    let description = common::right(&text);
    let remarks = description.remarks().iter();
    remarks.map(|each| (text[each.span.start..each.span.end].to_owned(), each.message.clone())).collect()
}

#[test]
fn nodes_that_are_alone_where_they_stand() {
    let store = "capacitor store cma -> gnd capacitance 1 uF";
    let one = |name: &str, message: &str| vec![(name.to_owned(), message.to_owned())];
    let alone = one("cma", "only `store` touches the node `cma`");
    assert_eq!(remarks(store), alone);
    // Options of one axis never meet, so that two of them make no company.
    assert_eq!(remarks(&format!("choice a {{ option x {{ {store} }} option y {{ {store} }} }}")), alone);
    let fed = "resistor feed cam -> cma resistance 1 ohm";
    assert_eq!(remarks(&format!("choice a {{ option x {{ {store}; {fed} }} }}")), vec![]);
    assert_eq!(remarks(&format!("{fed}\nchoice a {{ option x {{ {store} }} }}")), vec![]);
    assert_eq!(
        remarks(&format!("{fed}\nchoice a {{ option x {{ {store} }} option y {{ }} }}")),
        one("cma", "only `feed` touches the node `cma` at a = y")
    );
}

#[test]
fn what_newcomers_write() {
    helps(
        "wire w bus -> cam length «6,4» m, gauge 24 AWG",
        "decimal_comma",
        "begins with a point",
        "write `6.4`",
    );
    helps(
        "let a = «2,200» uF",
        "decimal_comma",
        "point",
        "write `2.200`, or `2200` where thousands are meant",
    );
    common::right(&format!("{CIRCUIT}let a = max(6,4)"));
    helps("let a = 24 «in»", "unknown_unit", "`in` is not a unit", "1 in is 25.4 mm: try 609.6 mm");
    helps("let a = 24«\"»", "unknown_unit", "is not a unit", "1 in is 25.4 mm: try 609.6 mm");
    helps(
        "wire w bus -> cam length 1 m, area «2.5 mm^2»",
        "power_of_unit",
        "or the whole value",
        "write `2.5 mm2`, or `(2.5 mm) ^ 2` for the power of all",
    );
    helps(
        "coil c bus -> cam outer 5 mm, inner 3 mm, height 1 mm, permeability 2000, turns 9, saturation_flux «350 mT»",
        "wrong_dimension",
        "must be in webers, not teslas",
        "perhaps `flux_density_limit` was meant, which is in teslas",
    );
    helps("«motor» m bus -> gnd current 1 A", "unknown_word", "no word", "perhaps `drive` was meant");
    helps(
        "battery b gnd -> bus cells 4, chemistry «LiPo»",
        "unknown_value",
        "LiPo",
        "perhaps `li_po` was meant",
    );
    helps("load l bus -> gnd current «0.16»", "missing_unit", "in amperes", "try 0.16 A");
    helps(
        "load l bus -> gnd current «=» 1 A",
        "unexpected",
        "found `=`",
        "leave the `=` out: a property's value follows its word",
    );
    helps(
        "wire w bus -> cam length 1 m, gauge «AWG24»",
        "unknown_name",
        "not known",
        "a unit follows its number: write `24 AWG`",
    );
}

//! Every mistake that assemblies, fits and readings over frequency know: its code, the text it underlines (between « and »),
//! the whole sentence, and the help.

use crate::common;

use common::{CIRCUIT, wrong, wrong_with};

/// A circuit with an assembly that is fitted once.
const FITTED: &str = "\
assembly filter(l, c) in, out {
    coil choke in -> mid inductance l
    resistor burden mid -> out resistance 1 ohm
    capacitor store out -> gnd capacitance c
}
fit filter f bus, cam  l 330 uH, c 10 uF
drive tracks bus -> gnd current 9 A, pwm 20 kHz, duty 60 %
frequency [1 kHz]
response path = transfer(voltage(cam), tracks)
";

/// Statements added to that, without the marks, and what they mark.
fn told(statements: &str, code: &str, message: &str, help: Option<&str>) {
    let base = format!("{CIRCUIT}{FITTED}");
    let start = statements.find('«').expect("a mark");
    let end = statements.find('»').expect("a second mark") - '«'.len_utf8();
    let text = format!("{base}{}", statements.replace(['«', '»'], ""));
    let mistakes = wrong(&text);
    let [mistake] = mistakes.as_slice() else { panic!("{statements}: {mistakes:#?}") };
    assert_eq!((mistake.code, mistake.message.as_str()), (code, message), "{statements}");
    assert_eq!(mistake.help.as_deref(), help, "{statements}");
    let span = (mistake.span.start - base.len(), mistake.span.end - base.len());
    assert_eq!(span, (start, end), "{statements}");
}

#[test]
fn nodes_of_a_fit() {
    told(
        "fit filter g «bus»  l 1 mH, c 1 uF",
        "wrong_number_of_nodes",
        "`filter` has 2 terminals, `in`, `out`, and is given 1 node",
        Some("write `fit filter g in, out`"),
    );
    told(
        "fit filter g «bus, cam, gnd»  l 1 mH, c 1 uF",
        "wrong_number_of_nodes",
        "`filter` has 2 terminals, `in`, `out`, and is given 3 nodes",
        Some("write `fit filter g in, out`"),
    );
    told(
        "assembly a x, y { resistor r x -> y resistance 1 ohm }\nfit a one «bus» cam",
        "missing_comma",
        "expected a comma before `cam`",
        Some("a fit's nodes end at the first one without a comma after it"),
    );
    told(
        "fit filter g «bus» cam  l 1 mH, c 1 uF",
        "missing_comma",
        "expected a comma before `cam`",
        Some("a fit's nodes end at the first one without a comma after it"),
    );
    told(
        "fit filter g bus, cam«,» l 1 mH, c 1 uF",
        "comma_after_nodes",
        "the comma makes `l` a node",
        Some("remove the comma"),
    );
    told(
        "fit filter g bus, «f.mid»  l 1 mH, c 1 uF",
        "inner_node",
        "only the parts of an assembly itself can be on its inner nodes",
        Some("make the inner node a terminal of the assembly"),
    );
    told(
        "resistor r bus -> «f.mid» resistance 1 ohm",
        "inner_node",
        "only the parts of an assembly itself can be on its inner nodes",
        Some("make the inner node a terminal of the assembly"),
    );
    told(
        "fit filter g bus, cam  l 1 mH, c 1 uF«,»\nresistor r bus -> gnd resistance 1 ohm",
        "comma_before_statement",
        "the comma makes `resistor` a part of this statement",
        Some("remove the comma"),
    );
}

#[test]
fn a_fit_and_what_it_names() {
    told(
        "fit «filtre» g bus, cam  l 1 mH, c 1 uF",
        "unknown_assembly",
        "there is no assembly `filtre`",
        Some("perhaps `filter` was meant"),
    );
    told(
        "assembly a(burden) x, y { resistor r x -> y resistance burden }\nfit a one bus, cam  «burdn» 1 ohm",
        "unknown_parameter",
        "`a` has no parameter `burdn`",
        Some("perhaps `burden` was meant"),
    );
    told(
        "fit filter g bus, cam  l 1 mH, c 1 uF, «inductance» 1 uH",
        "unknown_parameter",
        "`filter` has no parameter `inductance`",
        Some("it has l, c"),
    );
    told(
        "fit filter «g» bus, cam  l 1 mH",
        "missing_parameter",
        "`filter` needs `c`",
        Some("add `c …` after the nodes"),
    );
    told(
        "fit filter «g» bus, cam",
        "missing_parameter",
        "`filter` needs `l` and `c`",
        Some("add `l …, c …` after the nodes"),
    );
    told(
        "fit filter g bus, cam  l 1 mH, c 1 uF, «c» 1 uF",
        "stated_twice",
        "`c` of `g` is stated twice",
        None,
    );
    told("fit filter g bus, cam  l 1 mH, «c»", "missing_value", "`c` has no value", None);
    told(
        "fit filter g bus, cam  l 1 mH «c» 1 uF",
        "unexpected",
        "expected `,` or the end of the statement, found `c`",
        Some("write `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`"),
    );
    told("fit filter «f» bus, cam  l 1 mH, c 1 uF", "duplicate_name", "the name `f` is taken", None);
    told(
        "fit filter «eye» bus, cam  l 1 mH, c 1 uF",
        "duplicate_name",
        "the name `eye` is taken",
        Some("parts, nodes, lets, testpoints, readings and fitted assemblies share one set of names"),
    );
}

/// Every wrong value of a fit is told, not the first alone.
#[test]
fn all_arguments_are_looked_at() {
    let text = format!("{CIRCUIT}{FITTED}fit filter g bus, cam  l 1 mHH, c = 3, cc 1 uF");
    let told: Vec<_> = wrong(&text).iter().map(|mistake| mistake.code).collect();
    assert_eq!(told, ["unknown_unit", "unexpected", "unknown_parameter"]);
}

#[test]
fn values_inside_say_where_they_were_fitted() {
    let text = format!("{CIRCUIT}{FITTED}fit filter g bus, cam  l 1 V, c 1 uF");
    let mistakes = wrong(&text);
    let [mistake] = mistakes.as_slice() else { panic!("{mistakes:#?}") };
    assert_eq!(
        (mistake.code, mistake.message.as_str()),
        ("wrong_dimension", "`inductance` must be in henries, not volts")
    );
    let (span, what) = &mistake.others[0];
    assert_eq!((&text[span.start..span.end], what.as_str()), ("g", "fitted here, as `g`"));
    told("fit filter g bus, cam  l «ll», c 1 uF", "unknown_name", "`ll` is not known", None);
}

#[test]
fn what_an_assembly_holds() {
    let inside = |statement: &str| {
        format!(
            "assembly a(p) x, y {{ resistor r x -> y resistance p\n{statement}\n}}\nfit a one bus, cam  p 1 ohm"
        )
    };
    let out = Some("move it out: the part `x` of an instance `f` is `f.x` there");
    for word in ["testpoint", "reading", "response"] {
        told(
            &inside(&format!("«{word}» t = voltage(x)")),
            "misplaced",
            &format!("`{word}` can't stand inside an assembly"),
            out,
        );
    }
    for statement in ["«set» r.resistance = 2 ohm", "«require» 1 < 2 \"so\""] {
        let word = statement.split(['«', '»']).nth(1).unwrap();
        told(&inside(statement), "misplaced", &format!("`{word}` can't stand inside an assembly"), out);
    }
    for statement in [
        "«choice» c { option d { } }",
        "«transient» other span 1 s, start rest",
        "«assembly» b u, v { resistor r u -> v resistance 1 ohm }",
    ] {
        let word = statement.split(['«', '»']).nth(1).unwrap();
        let message = format!("`{word}` can't stand inside an assembly");
        told(&inside(statement), "misplaced", &message, Some("move it out of the block"));
    }
    told(
        &inside("«nonsense»"),
        "unexpected",
        "expected a part, `let` or `fit`, found `nonsense`",
        Some("an assembly holds parts, `let` and `fit`"),
    );
    told(
        "choice c { option d { «assembly» a x, y { resistor r x -> y resistance 1 ohm } } }\nfit a one bus, cam",
        "misplaced",
        "`assembly` can't stand inside an option or case",
        Some("move it below the block, or close the block before it"),
    );
}

#[test]
fn an_open_assembly_takes_no_fit_of_itself_in() {
    told(
        "assembly a(p) x, y «{»\nresistor r x -> y resistance p\nfit a one bus, cam  p 1 ohm\ntestpoint t = current(one.r)",
        "unclosed_block",
        "the block of `a` is never closed",
        Some("add `}` after its last statement"),
    );
    told(
        "choice c { option d «{»\nfit filter g bus, cam  l 1 mH, c 1 uF\noption e { } }",
        "unclosed_block",
        "the block of `d` is never closed",
        Some("add `}` after its last statement"),
    );
}

#[test]
fn names_inside() {
    let fitted = "\nfit a one bus, cam  p 1 ohm";
    let body =
        |body: &str| format!("assembly a(p) x, y {{ resistor r x -> y resistance p\n{body} }}{fitted}");
    told(&body("resistor «r» x -> y resistance p"), "duplicate_name", "the name `r` is taken", None);
    told(&body("let «p» = 2"), "duplicate_name", "the name `p` is taken", None);
    told(
        &body("let q = «s»; let s = 2"),
        "used_before_defined",
        "`s` is defined further down",
        Some("move `let s = …` above this line"),
    );
    told(&body("let q = «r»"), "not_a_number", "`r` is a part, not a number", None);
    told(
        &body("let long_name = 2; let q = «long_nam»"),
        "unknown_name",
        "`long_nam` is not known",
        Some("perhaps `long_name` was meant"),
    );
    told(
        &body("fit filter i x, y  l 1 mH, c 1 uF\nfit filter «i» x, y  l 1 mH, c 1 uF"),
        "duplicate_name",
        "the name `i` is taken",
        None,
    );
    told(
        &format!(
            "assembly a(p) x, «gnd», y {{ resistor r x -> y resistance p }}\n{}",
            "fit a one bus, gnd, cam  p 1 ohm"
        ),
        "gnd_as_terminal",
        "`gnd` is shared by all and is no terminal",
        None,
    );
    told(
        &format!("assembly a(p) x, «x» {{ resistor r x -> gnd resistance p }}{fitted}"),
        "duplicate_name",
        "there is a terminal `x` already",
        None,
    );
    told(
        "assembly «filter» x, y { resistor r x -> y resistance 1 ohm }",
        "duplicate_name",
        "there is an assembly `filter` already",
        None,
    );
}

#[test]
fn an_assembly_never_holds_itself() {
    told(
        "assembly a x, y { resistor r x -> y resistance 1 ohm; fit «a» inner x, y }\nfit a one bus, cam",
        "assembly_in_itself",
        "`a` would hold itself: a -> a",
        None,
    );
    told(
        "assembly a x, y { resistor r x -> y resistance 1 ohm; fit b inner x, y }\n\
         assembly b x, y { fit d inner x, y }\nassembly d x, y { fit «a» inner x, y }\nfit b one bus, cam",
        "assembly_in_itself",
        "`a` would hold itself: a -> b -> d -> a",
        None,
    );
}

#[test]
fn an_unused_assembly_is_looked_into_all_the_same() {
    told(
        "assembly a(p) x, y { resistor r x -> y resistance p; resistor s x -> y resistance «2 V» }",
        "wrong_dimension",
        "`resistance` must be in ohms, not volts",
        Some("try 2 ohm"),
    );
    told(
        "assembly a(p) x, y { resistor «r» x -> y }",
        "missing_property",
        "a resistor needs `resistance`",
        Some("add `resistance … ohm`"),
    );
}

#[test]
fn sets_of_what_is_inside() {
    let case = |set: &str| format!("condition c {{ case x {{ {set} }} }}");
    told(
        &case("set «f.chock».dcr = 1 ohm"),
        "unknown_part",
        "there is no part `f.chock`",
        Some("perhaps `f.choke` was meant"),
    );
    told(
        &case("set f.choke.«dcrr» = 1 ohm"),
        "unknown_property",
        "`f.choke` is a coil, which has no property `dcrr`",
        Some("perhaps `dcr` was meant"),
    );
    told(
        &case("set «f.choke» = 1 ohm"),
        "set_without_property",
        "`f.choke` is a part: say which property is set",
        None,
    );
    told(
        &case("set f.«inductance» = 1 mH"),
        "unknown_parameter",
        "`filter` has no parameter or `let` `inductance`",
        Some("a property of a part inside is `f.PART.PROPERTY`"),
    );
    told(&case("set f.l = «1 V»"), "wrong_dimension", "`f.l` must be in henries, not volts", Some("try 1 H"));
    told(
        &case("set f.l = 1 mH; «set f.l = 2 mH»"),
        "set_twice",
        "`f.l` is set twice at one study point",
        None,
    );
    told(
        "choice a { option x { fit filter g bus, cam  l 1 mH, c 1 uF } option y { set «g».l = 1 mH } }",
        "part_in_other_option",
        "`g` does not stand in this option",
        Some("set the value in the option that fits it"),
    );
    told(
        "let a = «f.l»",
        "inner_value",
        "`f.l` is known only inside its assembly",
        Some("name the value with a `let` out here, and hand it over in the `fit`"),
    );
    let mistakes = wrong_with(&format!("{CIRCUIT}{FITTED}"), &["f.choke.dcrr=1 ohm"]);
    assert_eq!(mistakes[0].message, "`f.choke` is a coil, which has no property `dcrr`");
}

#[test]
fn looking_at_what_is_fitted() {
    let part = Some("one of its parts is `f.PART`");
    told("testpoint t = voltage(«f»)", "unknown_node", "`f` is a fitted assembly, not a node", part);
    let message = "`f` is a fitted assembly; `current` is of a part";
    told("testpoint t = current(«f»)", "unknown_part", message, part);
    told(
        "testpoint t = voltage(«f.mdi»)",
        "unknown_node",
        "no part touches a node `f.mdi`",
        Some("perhaps `f.mid` was meant"),
    );
    told("response r = impedance(«f.chok»)", "unknown_node", "no part touches a node `f.chok`", None);
}

#[test]
fn gain_and_resonances() {
    told(
        "reading r = peak_gain(«pth»)",
        "unknown_response",
        "there is no response `pth`",
        Some("perhaps `path` was meant"),
    );
    told("reading r = peak_gain(«rail»)", "unknown_response", "`rail` is a testpoint, not a response", None);
    told(
        "reading r = resonances(«2»)",
        "not_a_response",
        "this must be the name of a response",
        Some("name the curve first: `response NAME = transfer(voltage(NODE), DRIVE)`"),
    );
    told(
        "reading r = «peak_gain»()",
        "wrong_arguments",
        "`peak_gain` takes a response, and perhaps a range of frequencies",
        None,
    );
    told(
        "reading r = peak_gain(path, «1 kHz»)",
        "not_a_range",
        "a band is a range of frequencies",
        Some("write `peak_gain(RESPONSE, 1 kHz .. 20 kHz)`"),
    );
    told(
        "reading r = peak_gain(path, «0 Hz» .. 1 kHz)",
        "out_of_range",
        "a frequency must be above 0 Hz",
        None,
    );
    told(
        "reading r = peak_gain(path) over «0 s .. 1 us»",
        "not_in_time",
        "this is not read from a run in time",
        Some("a band of frequencies goes into the parentheses"),
    );
    told(
        "reading r = peak_gain(path) + «1 V»",
        "unlike_dimensions",
        "decibels and volts don't go together",
        None,
    );
    told(
        "require peak_gain(path) < «3 V»",
        "wrong_dimension",
        "the limit of `peak_gain` must be in decibels, not volts",
        Some("try 3 dB"),
    );
    told(
        "let a = «peak_gain»(path)",
        "reading_in_value",
        "`peak_gain` is a reading, which is known only after a run",
        None,
    );
    told("reading r = impedance_margin(«choke»)", "unknown_part", "there is no part `choke`", None);
    told(
        "reading r = impedance_margin(«f.choke»)",
        "wrong_kind",
        "`f.choke` is no load, camera or switching regulator",
        None,
    );
}

#[test]
fn insertion_loss() {
    told(
        "reading r = insertion_loss(«fliter», 1 ohm, 1 ohm)",
        "unknown_instance",
        "there is no fitted assembly `fliter`",
        Some("perhaps `filter` was meant"),
    );
    told(
        "response r = insertion_loss(«eye», 1 ohm, 1 ohm)",
        "unknown_instance",
        "`eye` is a part, not a fitted assembly",
        Some("put the part into an assembly, and fit that in its place"),
    );
    told(
        "reading r = insertion_loss(«2», 1 ohm, 1 ohm)",
        "not_an_assembly",
        "an insertion loss is of a fitted assembly",
        None,
    );
    told(
        "reading r = insertion_loss(f, «0 ohm», 1 ohm)",
        "out_of_range",
        "the source's resistance must be above 0 ohm",
        None,
    );
    told(
        "reading r = insertion_loss(f, 1 ohm, «50»)",
        "missing_unit",
        "the load's resistance needs a unit: it is in ohms",
        Some("try 50 ohm"),
    );
    told(
        "reading r = insertion_loss(f, 1 ohm, 1 ohm, «1 V»)",
        "wrong_dimension",
        "a frequency must be in hertz, not volts",
        Some("try 1 kHz"),
    );
    told(
        "reading r = «insertion_loss»(f)",
        "wrong_arguments",
        "`insertion_loss` takes a fitted assembly, the resistances of source and load, and perhaps a frequency or a range",
        None,
    );
    told(
        "response r = «insertion_loss»(f)",
        "wrong_arguments",
        "`insertion_loss` takes a fitted assembly and the resistances of source and load",
        None,
    );
    told(
        "fit filter g bus, cam  l 1 mH, c 1 uF\nreading r = insertion_loss(«filter», 1 ohm, 1 ohm)",
        "several_instances",
        "`filter` is fitted 2 times: as `f` and `g`",
        None,
    );
    told(
        "assembly a x, y { resistor r x -> y resistance 1 ohm }\nreading r = insertion_loss(«a», 1 ohm, 1 ohm)",
        "not_fitted",
        "`a` is not fitted anywhere",
        Some("write `fit a NAME NODE, NODE` first, and name that"),
    );
    told(
        "assembly a x { resistor r x -> gnd resistance 1 ohm }\nfit a one cam\nreading r = insertion_loss(«one», 1 ohm, 1 ohm)",
        "too_few_terminals",
        "`a` has one terminal: an insertion loss needs a way in and a way out",
        None,
    );
}

/// Without `frequency` and `response` in the file.
#[test]
fn what_readings_over_frequency_need() {
    let alone = |reading: &str| {
        let fitted: String = FITTED.lines().take(6).map(|line| format!("{line}\n")).collect();
        let mistakes = wrong(&format!("{CIRCUIT}{fitted}reading r = {reading}"));
        let [mistake] = mistakes.as_slice() else { panic!("{mistakes:#?}") };
        (mistake.code, mistake.message.clone())
    };
    let frequency = ("no_frequency", "there is no `frequency` to compute this at".to_owned());
    assert_eq!(alone("insertion_loss(f, 1 ohm, 1 ohm)"), frequency);
    assert_eq!(alone("impedance_margin(eye)"), frequency);
    let without = CIRCUIT.replace("transient run span 1 ms, start steady\n", "");
    let mistakes = wrong(&format!("{without}reading r = impedance_margin(eye) - 3 dB"));
    assert_eq!(mistakes.iter().map(|mistake| mistake.code).collect::<Vec<_>>(), ["no_frequency"]);
    let response = ("no_response", "there is no `response` to look for resonances in".to_owned());
    assert_eq!(alone("resonances"), response);
}

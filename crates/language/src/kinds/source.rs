//! A source of voltage or current.

use super::table::{Allowed, KindTable, Property, Rule, Shape, Stated, property};
use crate::description::Value;
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Source,
    word: "source",
    meaning: "An ideal source: a voltage, plus on the right, or a current, out at the right.",
    equations: &[
        (
            "u = V(t), plus on the right; or i = I(t), out at the right",
            "ideal: straight lines between the points of a list or of a file; two points at one time are a jump",
        ),
        (
            "of a sine: u = offset + amplitude sin(2 pi (frequency t + phase))",
            "drawn with 2000 straight lines a period, 1.2e-6 of the amplitude off it at most; its first harmonic is exact",
        ),
    ],
    sources: &[("offset", "a sine around 0"), ("phase", "a sine that rises through its offset at t = 0")],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["voltage", "current"]), Rule::NotBoth(&["voltage", "current"])],
    check,
};

const PROPERTIES: &[Property] = &[
    property(
        "voltage",
        Shape::Course(Dimension::VOLTAGE, "V"),
        Allowed::Any,
        "its voltage: constant, through points over time (level before the first and after the last), or `sine`",
        None,
    ),
    property(
        "current",
        Shape::Course(Dimension::CURRENT, "A"),
        Allowed::Any,
        "its current: constant, through points over time (level before the first and after the last), or `sine`",
        None,
    ),
    property(
        "amplitude",
        Shape::Level,
        Allowed::NotNegative,
        "of a sine: how far it swings to either side, half of peak to peak",
        None,
    ),
    property(
        "frequency",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        Allowed::Positive,
        "of a sine: how often it swings",
        None,
    ),
    property("offset", Shape::Level, Allowed::Any, "of a sine: what it swings around", Some("0")),
    property(
        "phase",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Any,
        "of a sine: fraction of a period that has passed at t = 0",
        Some("0 %"),
    ),
];

/// What only a sine has.
const OF_A_SINE: [&str; 4] = ["amplitude", "frequency", "offset", "phase"];

fn check(stated: &Stated<'_>, sink: &mut Sink) {
    let Some((course, value)) = ["voltage", "current"]
        .into_iter()
        .find_map(|name| Some((name, stated.values.get(name)?.value.as_ref()?)))
    else {
        return;
    };
    let is_sine = matches!(value, Value::Word(_));
    for name in OF_A_SINE {
        match stated.values.get(name) {
            None if is_sine && matches!(name, "amplitude" | "frequency") => {
                let example = match (name, course) {
                    ("frequency", _) => "frequency 1 kHz",
                    (_, "voltage") => "amplitude 1 V",
                    _ => "amplitude 1 A",
                };
                let message = format!("the sine of `{}` needs `{name}`", stated.name);
                let mistake = Mistake::new("missing_property", stated.place(course), message)
                    .about(name)
                    .label("a sine of what size, how often?")
                    .help(format!("add `{example}`"));
                sink.push(mistake);
            }
            Some(given) if !is_sine => {
                let message = format!("`{name}` of `{}` has no effect without a sine", stated.name);
                let mistake = Mistake::new("property_needs_another", given.span, message)
                    .about(course)
                    .label("only a sine has it")
                    .help(format!("write `{course} sine`, or leave `{name}` out"));
                sink.push(mistake);
            }
            Some(given) => check_level(stated, course, name, given.value.as_ref(), sink),
            None => {}
        }
    }
}

/// Amplitude and offset are in what the sine is of.
fn check_level(
    stated: &Stated<'_>,
    course: &'static str,
    name: &'static str,
    value: Option<&Value>,
    sink: &mut Sink,
) {
    let (dimension, unit) =
        if course == "voltage" { (Dimension::VOLTAGE, "volt") } else { (Dimension::CURRENT, "ampere") };
    let level = matches!(name, "amplitude" | "offset");
    if let Some(Value::Number(quantity, _)) = value.filter(|_| level)
        && quantity.dimension != dimension
    {
        let message = format!("`{name}` of `{}` must be in {unit}, as its `{course}` is", stated.name);
        sink.push(
            Mistake::new("wrong_dimension", stated.place(name), message).label(format!("expected {unit}")),
        );
    }
}

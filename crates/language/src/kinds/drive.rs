//! Motors behind a chopping drive, as the current they draw.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Drive,
    word: "drive",
    meaning: "Motors behind a chopping drive, as the current they draw.",
    equations: &[
        (
            "i of a motor = I d^n x sum over periods of (clamp((t - t1)/rise) - clamp((t - t2)/fall))",
            "a trapezoid; clamp to 0 .. 1, d the duty, n current_exponent",
        ),
        ("t1 = (k + phase + m stagger)/pwm, t2 = t1 + d/pwm", "period k, motor m from 0"),
        (
            "with ripple r: on-current = I (1 - r/2 + r (t - t1)/(t2 - t1))",
            "a straight line over the on-time, as an inductance under constant voltage gives",
        ),
        (
            "commutation = 6 x speed x pole_pairs, a dip by its depth over 10 % of its period, recovered over the next 10 %",
            "six steps of 60 electrical degrees; the dip's shape is an own choice",
        ),
        (
            "brushed: commutation = speed x least common multiple of bars and brushes",
            "brushes that change bars at the same moment count once: twice the bars where two brushes meet an odd number (from memory)",
        ),
        (
            "imbalance: depth = commutation_depth + imbalance for one commutation in three (a phase), six (a step) or brush by brush (a bar)",
            "lines at all multiples of commutation/3 or /6; the first of them at t = 0; shape as the other dips, an own choice",
        ),
        (
            "spread s: I of motor m of N = I (1 + s (m/(N - 1) - 1/2)); the last `stalled` ones draw stall_current, without commutation",
            "the sum of the motors stays; motors stand in the order of their stagger",
        ),
        (
            "jitter j: t1 = (k + phase + m stagger + x)/pwm, x evenly spread over -j .. j and at most half the gap to its neighbours",
            "harmonic n keeps |sin(2 pi n j)/(2 pi n j)| of its line in the mean; x from the generator SplitMix64 (Steele, Lea, Flood 2014) by seed, motor and pulse",
        ),
    ],
    sources: &[
        ("rise", "from memory: 50 to 500 ns for a driver with a gate resistor"),
        ("fall", "from memory: 50 to 500 ns for a driver with a gate resistor"),
        ("rpm", "six commutations for each pair of poles and turn: six-step commutation"),
        ("brushes", "from memory: small motors have a pair"),
        ("imbalance_of", "own choice: an odd winding is likelier than an odd transistor"),
        ("seed", "own choice: any number gives as good a sequence"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["current"]),
        Rule::OneOf(&["pwm"]),
        Rule::OneOf(&["duty"]),
        Rule::NotBoth(&["commutation", "rpm"]),
        Rule::Needs("commutation_depth", &["commutation", "rpm"]),
        Rule::Needs("commutation", &["commutation_depth"]),
        Rule::NotBoth(&["pole_pairs", "bars"]),
        Rule::Needs("rpm", &["pole_pairs", "bars"]),
        Rule::Needs("rpm", &["commutation_depth"]),
        Rule::Needs("pole_pairs", &["rpm", "commutation"]),
        Rule::Needs("bars", &["rpm", "commutation"]),
        Rule::Needs("brushes", &["bars"]),
        Rule::Needs("imbalance", &["commutation", "rpm"]),
        Rule::Needs("imbalance_of", &["imbalance"]),
        Rule::Either(&["imbalance_of"], &["bars"]),
        Rule::Needs("spread", &["motors"]),
        Rule::Needs("stalled", &["stall_current"]),
        Rule::Needs("stall_current", &["stalled"]),
        Rule::Needs("seed", &["jitter"]),
    ],
    check: no_relations,
};

/// Frequencies whose periods count exactly: no motor turns or is chopped faster or slower.
const FREQUENCIES: Allowed = Allowed::Between(1e-3, 1e9);

const PROPERTIES: &[Property] = &[
    property(
        "current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::NotNegative,
        "current that each motor draws while on",
        None,
    ),
    property("motors", Shape::Count, Allowed::Between(1.0, 64.0), "number of motors", Some("1")),
    property("pwm", Shape::Number(Dimension::FREQUENCY, "kHz"), FREQUENCIES, "chopping frequency", None),
    property(
        "duty",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the period that is on",
        None,
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the rising edge",
        Some("200 ns"),
    ),
    property(
        "fall",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the falling edge",
        Some("200 ns"),
    ),
    property(
        "phase",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a period by which the first motor is late",
        Some("0"),
    ),
    property(
        "stagger",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a period from one motor to the next",
        Some("0"),
    ),
    property(
        "current_exponent",
        Shape::Number(Dimension::NONE, ""),
        Allowed::NotNegative,
        "n in on-current = current x duty^n",
        Some("0"),
    ),
    property(
        "ripple",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 2.0),
        "rise of the current over the on-time, as a share of it",
        Some("0"),
    ),
    property(
        "commutation",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        FREQUENCIES,
        "commutation frequency",
        None,
    ),
    property(
        "commutation_depth",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the on-current that is lost at each commutation",
        None,
    ),
    property(
        "rpm",
        Shape::Number(Dimension::FREQUENCY, "rpm"),
        FREQUENCIES,
        "speed of the motor, for its commutation",
        None,
    ),
    property("pole_pairs", Shape::Count, Allowed::AtLeast(1.0), "pole pairs of the motor", None),
    property(
        "bars",
        Shape::Count,
        Allowed::Between(2.0, 1000.0),
        "bars of the commutator of a motor with brushes",
        None,
    ),
    property("brushes", Shape::Count, Allowed::Between(1.0, 64.0), "its brushes", Some("2 (an assumption)")),
    property(
        "imbalance",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the on-current by which the commutations of one phase, step or bar dip deeper",
        Some("0"),
    ),
    property(
        "imbalance_of",
        Shape::Words(&["phase", "step"]),
        Allowed::Any,
        "whether one of three phases or one of six steps is unlike the others",
        Some("phase"),
    ),
    property(
        "spread",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 2.0),
        "difference between the last and the first motor's current, as a share of `current`",
        Some("0"),
    ),
    property(
        "stalled",
        Shape::Count,
        Allowed::Between(1.0, 64.0),
        "how many of the motors, the last ones, stand still under power",
        Some("none"),
    ),
    property(
        "stall_current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::NotNegative,
        "current that each of those draws while on",
        None,
    ),
    property(
        "jitter",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 0.25),
        "share of a period by which a pulse comes early or late at most; excludes `start steady`",
        Some("0"),
    ),
    property("seed", Shape::Count, Allowed::AtLeast(1.0), "selects the sequence of shifts", Some("1")),
    property(
        "throttle",
        Shape::Points((Dimension::TIME, "s"), (Dimension::NONE, "%")),
        Allowed::Between(0.0, 1.0),
        "multiplies the duty over time, linear between points",
        Some("100 %"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time before which it draws nothing",
        Some("0 s"),
    ),
];

//! The units by name, as data.

use crate::Dimension;

/// A unit without its prefix.
pub(crate) struct NamedUnit {
    /// As written in a file.
    pub(crate) symbol: &'static str,
    pub(crate) dimension: Dimension,
    /// SI value of one unit is `numerator / denominator`, each of them exact in binary: the quotient of a number by a
    /// power of ten rounds once, its product with an inexact 1e-6 twice.
    pub(crate) numerator: f64,
    pub(crate) denominator: f64,
    /// SI value of the scale's zero.
    pub(crate) offset: f64,
    /// Whether SI prefixes may stand before it.
    pub(crate) prefixes: bool,
    /// Power to which a prefix is raised: a square millimetre is (mm)^2.
    pub(crate) power: i32,
}

const fn unit(symbol: &'static str, dimension: Dimension) -> NamedUnit {
    NamedUnit { symbol, dimension, numerator: 1.0, denominator: 1.0, offset: 0.0, prefixes: true, power: 1 }
}

const VOLUME: Dimension = Dimension { metre: 3, ..Dimension::NONE };

/// Every unit. The first of a dimension is the one that values are printed in.
pub(crate) const UNITS: &[NamedUnit] = &[
    unit("V", Dimension::VOLTAGE),
    unit("A", Dimension::CURRENT),
    unit("W", Dimension::POWER),
    unit("s", Dimension::TIME),
    unit("Hz", Dimension::FREQUENCY),
    unit("ohm", Dimension::RESISTANCE),
    unit("\u{3a9}", Dimension::RESISTANCE),
    unit("\u{2126}", Dimension::RESISTANCE),
    unit("H", Dimension::INDUCTANCE),
    unit("F", Dimension::CAPACITANCE),
    unit("Wb", Dimension::FLUX),
    unit("J", Dimension::ENERGY),
    unit("C", Dimension::CHARGE),
    unit("T", Dimension::FLUX_DENSITY),
    unit("K", Dimension::TEMPERATURE),
    unit("m", Dimension::LENGTH),
    // Centi stands before the metre alone: rulers and cable drums are marked so.
    NamedUnit { denominator: 1e2, prefixes: false, ..unit("cm", Dimension::LENGTH) },
    NamedUnit { power: 2, ..unit("m2", Dimension::AREA) },
    NamedUnit { power: 3, ..unit("m3", VOLUME) },
    NamedUnit { denominator: 1e3, ..unit("g", Dimension::MASS) },
    NamedUnit { numerator: 60.0, prefixes: false, ..unit("min", Dimension::TIME) },
    NamedUnit { numerator: 3600.0, prefixes: false, ..unit("h", Dimension::TIME) },
    NamedUnit { numerator: 3600.0, ..unit("Ah", Dimension::CHARGE) },
    NamedUnit { prefixes: false, ..unit("AWG", Dimension::GAUGE) },
    NamedUnit { denominator: 60.0, prefixes: false, ..unit("rpm", Dimension::FREQUENCY) },
    NamedUnit { offset: 273.15, prefixes: false, ..unit("degC", Dimension::TEMPERATURE) },
    NamedUnit { denominator: 1e2, prefixes: false, ..unit("%", Dimension::NONE) },
    NamedUnit { denominator: 1e2, prefixes: false, ..unit("points", Dimension::NONE) },
    NamedUnit { prefixes: false, ..unit("dB", Dimension::LEVEL) },
];

/// SI prefixes (SI brochure, 9th edition, table 7) with their powers of ten. The first of a power is the one printed.
pub(crate) const PREFIXES: &[(char, i32)] = &[
    ('f', -15),
    ('p', -12),
    ('n', -9),
    ('u', -6),
    ('\u{b5}', -6),
    ('\u{3bc}', -6),
    ('m', -3),
    ('k', 3),
    ('M', 6),
    ('G', 9),
];

/// What a dimension is counted in, in words for a sentence: `farads`, `square metres`; `None` for a dimension that has
/// no unit of its own.
#[must_use]
pub fn unit_name(dimension: Dimension) -> Option<&'static str> {
    const NAMES: &[(Dimension, &str)] = &[
        (Dimension::NONE, "a plain number or %"),
        (Dimension::LENGTH, "metres"),
        (Dimension::AREA, "square metres"),
        (VOLUME, "cubic metres"),
        (Dimension::TIME, "seconds"),
        (Dimension::FREQUENCY, "hertz"),
        (Dimension::MASS, "grams"),
        (Dimension::TEMPERATURE, "degC or kelvin"),
        (Dimension::CURRENT, "amperes"),
        (Dimension::CHARGE, "coulombs"),
        (Dimension::VOLTAGE, "volts"),
        (Dimension::RESISTANCE, "ohms"),
        (Dimension::CAPACITANCE, "farads"),
        (Dimension::INDUCTANCE, "henries"),
        (Dimension::FLUX, "webers"),
        (Dimension::FLUX_DENSITY, "teslas"),
        (Dimension::POWER, "watts"),
        (Dimension::ENERGY, "joules"),
        (Dimension::LEVEL, "decibels"),
        (Dimension::GAUGE, "AWG"),
    ];
    NAMES.iter().find(|(each, _)| *each == dimension).map(|(_, name)| *name)
}

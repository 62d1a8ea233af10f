//! Units and value codes against what the SI brochure and IEC 60062 say.

use quietrail_quantity::{
    Dimension, Unit, UnitError, looks_like_value_code, parse_unit, parse_value_code, unit_name,
};

fn unit(text: &str) -> Unit {
    parse_unit(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

#[test]
fn conversion_rounds_once() {
    let cases = [
        (330.0, "uH", 330e-6, Dimension::INDUCTANCE),
        (22.0, "mohm", 22e-3, Dimension::RESISTANCE),
        (4.7, "k\u{3a9}", 4700.0, Dimension::RESISTANCE),
        (4.7, "M\u{2126}", 4.7e6, Dimension::RESISTANCE),
        (2.5, "mm2", 2.5e-6, Dimension::AREA),
        (20.0, "kHz", 20e3, Dimension::FREQUENCY),
        (12.0, "nH", 12e-9, Dimension::INDUCTANCE),
        (0.3, "\u{b5}F", 0.3e-6, Dimension::CAPACITANCE),
        (0.3, "\u{3bc}F", 0.3e-6, Dimension::CAPACITANCE),
        (1.0, "pF", 1e-12, Dimension::CAPACITANCE),
        (1.0, "fF", 1e-15, Dimension::CAPACITANCE),
        (2.4, "GHz", 2.4e9, Dimension::FREQUENCY),
        (60.0, "%", 0.6, Dimension::NONE),
        (3.0, "points", 0.03, Dimension::NONE),
        (30.0, "dB", 30.0, Dimension::LEVEL),
        (24.0, "AWG", 24.0, Dimension::GAUGE),
        (6000.0, "rpm", 100.0, Dimension::FREQUENCY),
        (2.0, "h", 7200.0, Dimension::TIME),
        (2.0, "min", 120.0, Dimension::TIME),
        (2200.0, "mAh", 7920.0, Dimension::CHARGE),
        (1.5, "kg", 1.5, Dimension::MASS),
        (1.7, "g", 1.7e-3, Dimension::MASS),
        (400.0, "mT", 0.4, Dimension::FLUX_DENSITY),
        (25.0, "degC", 298.15, Dimension::TEMPERATURE),
        (5.0, "m", 5.0, Dimension::LENGTH),
        (5.0, "uWb", 5e-6, Dimension::FLUX),
    ];
    for (number, symbol, value, dimension) in cases {
        let quantity = unit(symbol).of(number);
        assert_eq!((quantity.value, quantity.dimension), (value, dimension), "{number} {symbol}");
    }
}

#[test]
fn prefix_is_applied_before_the_power() {
    assert_eq!(unit("mm3").of(1.0).value, 1e-9);
    assert_eq!(unit("mm2").of(1.0).value, 1e-6);
}

#[test]
fn case_matters_and_near_units_are_named() {
    let near = |text: &str| match parse_unit(text) {
        Err(UnitError::Unknown(near)) => near,
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(near("khz"), ["kHz"]);
    assert_eq!(near("mhz"), ["mHz", "MHz"]);
    assert_eq!(near("UF"), ["uF"]);
    assert_eq!(near("Ohm"), ["ohm"]);
    assert_eq!(near("kohms"), ["kohm"]);
    assert_eq!(near("mAmps"), ["mA"]);
    assert_eq!(near("db"), ["dB"]);
    assert_eq!(near("awg"), ["AWG"]);
    assert_eq!(near("volts"), ["V"]);
    assert!(near("kdB").is_empty());
    assert!(near("").is_empty());
    assert!(near(&"x".repeat(1_000_000)).is_empty());
}

#[test]
fn bare_prefix_is_told_apart() {
    for prefix in ["f", "p", "n", "u", "\u{b5}", "\u{3bc}", "k", "M", "G"] {
        assert_eq!(parse_unit(prefix), Err(UnitError::BarePrefix(prefix.chars().next().unwrap())));
    }
}

#[test]
fn value_codes() {
    let ohm = Dimension::RESISTANCE;
    let farad = Dimension::CAPACITANCE;
    let henry = Dimension::INDUCTANCE;
    for (text, dimension, value) in [
        ("4k7", ohm, 4700.0),
        ("4K7", ohm, 4700.0),
        ("2R2", ohm, 2.2),
        ("R47", ohm, 0.47),
        ("10R", ohm, 10.0),
        ("1M5", ohm, 1.5e6),
        ("100n", farad, 100e-9),
        ("n47", farad, 0.47e-9),
        ("6u8", farad, 6.8e-6),
        ("6\u{b5}8", henry, 6.8e-6),
        ("330p", farad, 330e-12),
        ("1m0", henry, 1e-3),
    ] {
        assert!(looks_like_value_code(text), "{text}");
        assert_eq!(parse_value_code(text, dimension), Some(value), "{text}");
    }
    for (text, dimension) in [
        ("4k7", farad),
        ("100n", ohm),
        ("2R2", henry),
        ("4k7", Dimension::LENGTH),
        ("4kk7", ohm),
        ("k", ohm),
        ("47", ohm),
        ("", ohm),
    ] {
        assert_eq!(parse_value_code(text, dimension), None, "{text}");
    }
}

#[test]
fn names_for_sentences() {
    assert_eq!(unit_name(Dimension::CAPACITANCE), Some("farads"));
    assert_eq!(unit_name(Dimension::INDUCTANCE), Some("henries"));
    assert_eq!(unit_name(Dimension { metre: 9, ..Dimension::NONE }), None);
}

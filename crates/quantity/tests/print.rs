//! Printing, and reading back what was printed.

use proptest::prelude::*;
use quietrail_quantity::{Dimension, Quantity, engineering, parse_unit, unit_symbol};

fn printed(value: f64, dimension: Dimension, digits: usize) -> String {
    engineering(Quantity::new(value, dimension), digits)
}

#[test]
fn engineering_notation() {
    for (value, dimension, digits, text) in [
        (330e-6, Dimension::INDUCTANCE, 3, "330 uH"),
        (2.68, Dimension::VOLTAGE, 3, "2.68 V"),
        (-0.0123, Dimension::VOLTAGE, 3, "-12.3 mV"),
        (0.0, Dimension::VOLTAGE, 3, "0 V"),
        (-0.0, Dimension::VOLTAGE, 3, "0 V"),
        (0.99996, Dimension::CURRENT, 3, "1 A"),
        (999.96e-6, Dimension::CURRENT, 4, "1 mA"),
        (0.6, Dimension::NONE, 3, "60 %"),
        (0.07, Dimension::NONE, 17, "7.0000000000000007 %"),
        (-23.456, Dimension::LEVEL, 3, "-23.5 dB"),
        (24.0, Dimension::GAUGE, 3, "24 AWG"),
        (2.5e-6, Dimension::AREA, 3, "2.5 mm2"),
        (2e4, Dimension::FREQUENCY, 3, "20 kHz"),
        (1.5e-3, Dimension::MASS, 3, "1.5 g"),
        (298.15, Dimension::TEMPERATURE, 5, "298.15 K"),
        (1.5e15, Dimension::RESISTANCE, 3, "1.5e15 ohm"),
        (1e-20, Dimension::TIME, 3, "1e-20 s"),
        (3.0, Dimension::VOLTAGE.multiply(Dimension::VOLTAGE).unwrap(), 3, "3 m4 kg2 s-6 A-2"),
        (f64::INFINITY, Dimension::VOLTAGE, 3, "infinite V"),
        (f64::NAN, Dimension::VOLTAGE, 3, "undefined V"),
    ] {
        assert_eq!(printed(value, dimension, digits), text);
    }
}

#[test]
fn symbols_of_dimensions() {
    for (dimension, symbol) in [
        (Dimension::NONE, "1"),
        (Dimension::LEVEL, "dB"),
        (Dimension::TEMPERATURE, "K"),
        (Dimension::MASS, "kg"),
        (Dimension::RESISTANCE, "ohm"),
        (Dimension::AREA, "m2"),
        (Dimension::FREQUENCY, "Hz"),
        (Dimension::CHARGE, "C"),
        (Dimension::FLUX, "Wb"),
    ] {
        assert_eq!(unit_symbol(dimension), symbol);
    }
}

#[test]
fn arithmetic_keeps_dimensions() {
    let volt = Quantity::new(6.0, Dimension::VOLTAGE);
    let ampere = Quantity::new(2.0, Dimension::CURRENT);
    assert_eq!(volt.divide(ampere), Some(Quantity::new(3.0, Dimension::RESISTANCE)));
    assert_eq!(volt.multiply(ampere), Some(Quantity::new(12.0, Dimension::POWER)));
    assert_eq!(volt.plus(ampere), None);
    assert_eq!(
        Quantity::new(9.0, Dimension::AREA).square_root(),
        Some(Quantity::new(3.0, Dimension::LENGTH))
    );
    assert_eq!(volt.square_root(), None);
    assert_eq!(Quantity::new(2.0, Dimension::LENGTH).power(2), Some(Quantity::new(4.0, Dimension::AREA)));
    assert_eq!(Dimension::VOLTAGE.power(1000), None);
    assert_eq!(
        Dimension::INDUCTANCE.multiply(Dimension::CAPACITANCE).unwrap().square_root(),
        Some(Dimension::TIME)
    );
}

fn named() -> impl Strategy<Value = Dimension> {
    prop::sample::select(vec![
        Dimension::NONE,
        Dimension::VOLTAGE,
        Dimension::CURRENT,
        Dimension::POWER,
        Dimension::TIME,
        Dimension::FREQUENCY,
        Dimension::RESISTANCE,
        Dimension::INDUCTANCE,
        Dimension::CAPACITANCE,
        Dimension::FLUX,
        Dimension::FLUX_DENSITY,
        Dimension::ENERGY,
        Dimension::CHARGE,
        Dimension::MASS,
        Dimension::TEMPERATURE,
        Dimension::LENGTH,
        Dimension::AREA,
        Dimension::LEVEL,
        Dimension::GAUGE,
    ])
}

proptest! {
    /// 17 significant digits identify a double; reading them back and scaling costs at most one more rounding.
    #[test]
    fn reading_back_what_was_printed(mantissa in -10.0..10.0_f64, exponent in -30..30_i32, dimension in named()) {
        let value = mantissa * 10_f64.powi(exponent);
        let text = printed(value, dimension, 17);
        let (number, symbol) = text.split_once(' ').unwrap();
        let number: f64 = number.parse().unwrap();
        let quantity = parse_unit(symbol).unwrap().of(number);
        prop_assert_eq!(quantity.dimension, dimension);
        prop_assert!((quantity.value - value).abs() <= 2.0 * f64::EPSILON * value.abs(), "{} read as {}", text, quantity.value);
    }

    #[test]
    fn any_text_is_a_unit_or_an_error(text in ".*") {
        let _ = parse_unit(&text);
    }
}

//! Annealed copper: IEC 60028 (1925), also quoted in annexes of IEC 60228.

/// Resistivity of annealed copper at 20 °C in ohm metre: 1/58 ohm mm²/m, 100 % IACS.
pub const RESISTIVITY: f64 = 1e-6 / 58.0;

/// Temperature coefficient of resistance at 20 °C, per kelvin, at constant mass.
pub const TEMPERATURE_COEFFICIENT: f64 = 0.003_93;

/// The temperature in kelvin at which [`RESISTIVITY`] holds.
pub const REFERENCE_TEMPERATURE: f64 = 293.15;

/// Density of annealed copper at 20 °C in kilogram per cubic metre (IEC 60028: 8.89 g/cm³).
pub const DENSITY: f64 = 8890.0;

/// Resistance in ohm of a conductor of `length` in metre and `area` in square metre at `temperature` in kelvin.
#[must_use]
pub fn resistance(length: f64, area: f64, temperature: f64) -> f64 {
    RESISTIVITY * length / area * (1.0 + TEMPERATURE_COEFFICIENT * (temperature - REFERENCE_TEMPERATURE))
}

/// Conductivity in siemens per metre at `temperature` in kelvin.
#[must_use]
pub fn conductivity(temperature: f64) -> f64 {
    1.0 / resistance(1.0, 1.0, temperature)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_metre_of_a_square_millimetre() {
        // IEC 60028 at 20 °C; the temperature law at 60 °C and -10 °C.
        for (celsius, milliohm) in [(20.0, 17.241), (60.0, 19.952), (-10.0, 15.209)] {
            let found = resistance(1.0, 1e-6, celsius + 273.15) * 1e3;
            assert!((found / milliohm - 1.0).abs() < 1e-4, "{found}");
        }
    }
}

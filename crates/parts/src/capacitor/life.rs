//! How warm a capacitor's core gets, and how long it lives.

/// Kelvins that halve the life of a capacitor with a liquid electrolyte: the ten-kelvin rule (from memory).
const HALVING: f64 = 10.0;

/// What is known of a capacitor's life.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Life {
    /// Temperature of the air around it in kelvin.
    pub surroundings: f64,
    /// Promised life in seconds, and its temperature in kelvin.
    pub promised: Option<(f64, f64)>,
    /// Kelvins by which 1 A rms warms the core; 0 where that is not known. Heating is `I^2 R`, so it goes with the square.
    pub rise_by_square_ampere: f64,
}

impl Life {
    /// Temperature of the core in kelvin at a ripple current in ampere rms.
    #[must_use]
    pub fn core(&self, current: f64) -> f64 {
        self.surroundings + self.rise_by_square_ampere * current * current
    }

    /// Life in seconds with the core at `temperature` in kelvin; `None` where nothing is promised.
    ///
    /// That of the data sheet with its temperature taken as the core's: a life that counts a permitted ripple current there is
    /// longer.
    #[must_use]
    pub fn at(&self, temperature: f64) -> Option<f64> {
        let (life, limit) = self.promised?;
        Some(life * ((limit - temperature) / HALVING).exp2())
    }
}

/// Power in watt that a ripple current in ampere rms turns to heat in an esr in ohm.
#[must_use]
pub fn heating(current: f64, esr: f64) -> f64 {
    current * current * esr
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The ten-kelvin rule: 2000 h at 105 degC are 16000 h at 75 degC and 39397 h at 62 degC (five digits).
    #[test]
    fn ten_kelvins_halve_the_life() {
        let life = Life { promised: Some((2000.0 * 3600.0, 378.15)), ..Life::default() };
        for (celsius, hours) in [(105.0, 2000.0), (75.0, 16000.0), (62.0, 39397.0)] {
            let found = life.at(celsius + 273.15).unwrap() / 3600.0;
            assert!((found / hours - 1.0).abs() < 2e-5, "{found}");
        }
        assert_eq!(Life::default().at(300.0), None);
    }

    /// 1.2 A rms in 80 mohm are 0.1152 W; 5 K at 2 A are 20 K at 4 A.
    #[test]
    fn ripple_heats_with_its_square() {
        assert!((heating(1.2, 80e-3) - 0.1152).abs() < 1e-15);
        let life = Life { surroundings: 300.0, rise_by_square_ampere: 5.0 / 4.0, ..Life::default() };
        assert!((life.core(4.0) - 320.0).abs() < 1e-12);
    }
}

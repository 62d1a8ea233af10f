//! Codes of class-2 ceramic dielectrics: three characters for the temperatures and what they change.

/// What a code says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dielectric {
    /// Lowest and highest temperature in kelvin.
    pub temperatures: (f64, f64),
    /// Greatest loss and gain of capacitance between them, as fractions; the loss is negative.
    pub change: (f64, f64),
}

impl Dielectric {
    /// Reads a code such as `X7R`: EIA RS-198 and IEC 60384-9 (from memory). `None` where it is none.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let mut characters = code.chars();
        let lowest = match characters.next()? {
            'X' => -55.0,
            'Y' => -30.0,
            'Z' => 10.0,
            _ => return None,
        };
        let highest = match characters.next()? {
            '4' => 65.0,
            '5' => 85.0,
            '6' => 105.0,
            '7' => 125.0,
            '8' => 150.0,
            '9' => 200.0,
            _ => return None,
        };
        let change = match characters.next()? {
            'P' => (-0.10, 0.10),
            'R' => (-0.15, 0.15),
            'S' => (-0.22, 0.22),
            'T' => (-0.33, 0.22),
            'U' => (-0.56, 0.22),
            'V' => (-0.82, 0.22),
            _ => return None,
        };
        let kelvin = |celsius: f64| celsius + 273.15;
        let found = Self { temperatures: (kelvin(lowest), kelvin(highest)), change };
        characters.next().is_none().then_some(found)
    }

    /// Whether a temperature in kelvin is within the code's.
    #[must_use]
    pub fn takes(&self, temperature: f64) -> bool {
        // Celsius and back costs a rounding.
        let rounding = 1e-9;
        (self.temperatures.0 - rounding..=self.temperatures.1 + rounding).contains(&temperature)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// EIA RS-198 / IEC 60384-9, exact but for the offset of the scale.
    #[test]
    fn codes_of_the_standard() {
        let rows = [
            ("X7R", -55.0, 125.0, -0.15, 0.15),
            ("X5R", -55.0, 85.0, -0.15, 0.15),
            ("Y5V", -30.0, 85.0, -0.82, 0.22),
            ("Z5U", 10.0, 85.0, -0.56, 0.22),
            ("X7S", -55.0, 125.0, -0.22, 0.22),
            ("X6S", -55.0, 105.0, -0.22, 0.22),
            ("X8R", -55.0, 150.0, -0.15, 0.15),
        ];
        for (code, low, high, loss, gain) in rows {
            let found = Dielectric::from_code(code).expect(code);
            assert!((found.temperatures.0 - 273.15 - low).abs() < 1e-9);
            assert!((found.temperatures.1 - 273.15 - high).abs() < 1e-9);
            assert_eq!(found.change, (loss, gain), "{code}");
            assert!(found.takes(low + 273.15) && found.takes(high + 273.15));
            assert!(!found.takes(low + 272.0) && !found.takes(high + 274.0));
        }
    }

    #[test]
    fn other_texts_are_no_codes() {
        for text in ["", "X7", "X7RR", "A7R", "XAR", "X7Q", "C0G"] {
            assert_eq!(Dielectric::from_code(text), None, "{text}");
        }
    }
}

//! Conductors as cable is sold: greatest resistance of each nominal size at 20 °C (IEC 60228).

/// How a conductor is built, as IEC 60228 classes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Solid.
    Solid,
    /// Stranded, for fixed wiring.
    Stranded,
    /// Flexible, of fine strands: most hook-up wire.
    Flexible,
    /// Flexible, of tinned strands.
    FlexibleTinned,
}

/// Nominal area in mm², then ohm/km at 20 °C of class 1, class 2, class 5 plain, class 5 tinned. Class 5 plain of 1 mm² to 10 mm²
/// as seen in a cable data table that quotes the standard; the rest from memory of IEC 60228:2004, tables 1 to 3.
const ROWS: &[(f64, [f64; 4])] = &[
    (0.5, [36.0, 36.0, 39.0, 40.1]),
    (0.75, [24.5, 24.5, 26.0, 26.7]),
    (1.0, [18.1, 18.1, 19.5, 20.0]),
    (1.5, [12.1, 12.1, 13.3, 13.7]),
    (2.5, [7.41, 7.41, 7.98, 8.21]),
    (4.0, [4.61, 4.61, 4.95, 5.09]),
    (6.0, [3.08, 3.08, 3.30, 3.39]),
    (10.0, [1.83, 1.83, 1.91, 1.95]),
    (16.0, [1.15, 1.15, 1.21, 1.24]),
    (25.0, [0.727, 0.727, 0.780, 0.795]),
    (35.0, [0.524, 0.524, 0.554, 0.565]),
    (50.0, [0.387, 0.387, 0.386, 0.393]),
    (70.0, [0.268, 0.268, 0.272, 0.277]),
    (95.0, [0.193, 0.193, 0.206, 0.210]),
    (120.0, [0.153, 0.153, 0.161, 0.164]),
];

impl Class {
    /// The class of a word of the language.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        match word {
            "class_1" => Some(Self::Solid),
            "class_2" => Some(Self::Stranded),
            "class_5" => Some(Self::Flexible),
            "class_5_tinned" => Some(Self::FlexibleTinned),
            _ => None,
        }
    }

    /// Greatest resistance in ohm per metre at 20 °C of a nominal area in square metre; `None` where the table has no such size.
    #[must_use]
    pub fn resistance_per_metre(self, area: f64) -> Option<f64> {
        let row = ROWS.iter().find(|(nominal, _)| (area * 1e6 / nominal - 1.0).abs() < 1e-6)?;
        Some(row.1[self as usize] * 1e-3)
    }

    /// Whether it is one solid wire.
    #[must_use]
    pub fn is_solid(self) -> bool {
        self == Self::Solid
    }
}

/// The nominal areas of the table in square millimetre, rising.
pub fn sizes() -> impl Iterator<Item = f64> {
    ROWS.iter().map(|row| row.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::copper;

    #[test]
    fn flexible_conductors_of_iec_60228() {
        for (area, ohm_per_km) in
            [(1.0, 19.5), (1.5, 13.3), (2.5, 7.98), (4.0, 4.95), (6.0, 3.30), (10.0, 1.91)]
        {
            assert_eq!(Class::Flexible.resistance_per_metre(area * 1e-6), Some(ohm_per_km * 1e-3));
        }
        assert_eq!(Class::Flexible.resistance_per_metre(2.6e-6), None);
    }

    /// A greatest resistance stands above that of the nominal area in pure copper, and the standard lets strands, twist and
    /// tin cost at most some 25 % of it: a slip of a digit in the table shows here.
    #[test]
    fn every_row_is_that_of_nearly_its_nominal_area() {
        for &(nominal, row) in ROWS {
            let copper = copper::resistance(1000.0, nominal * 1e-6, copper::REFERENCE_TEMPERATURE);
            for ohm_per_km in row {
                let ratio = ohm_per_km / copper;
                assert!((1.0..1.25).contains(&ratio), "{nominal} mm2: {ohm_per_km} is {ratio} of copper");
            }
            assert!(row[0] <= row[1] && row[2] < row[3], "{nominal}");
        }
        assert!(sizes().zip(sizes().skip(1)).all(|(less, more)| less < more));
    }
}

//! The size of an electrolytic can, for a drawing.

/// Diameter and length in metre, and the greatest charge in coulomb (capacitance times rated voltage), of cans with leads at one end:
/// general-purpose catalogues, from memory. Low-impedance cans are a size larger, polymer ones smaller.
const CANS: [(f64, f64, f64); 11] = [
    (5e-3, 11e-3, 1.2e-3),
    (6.3e-3, 11e-3, 2.6e-3),
    (8e-3, 11.5e-3, 5.6e-3),
    (10e-3, 12.5e-3, 8.5e-3),
    (10e-3, 16e-3, 12e-3),
    (10e-3, 20e-3, 17e-3),
    (12.5e-3, 20e-3, 26e-3),
    (12.5e-3, 25e-3, 36e-3),
    (16e-3, 25e-3, 56e-3),
    (16e-3, 31.5e-3, 80e-3),
    (18e-3, 35.5e-3, 120e-3),
];

/// Diameter and length in metre of a usual can for a capacitance in farad and a rated voltage in volt; `None` where it would be larger
/// than any of them.
#[must_use]
pub fn usual_size(capacitance: f64, rated: f64) -> Option<(f64, f64)> {
    let charge = capacitance * rated;
    CANS.iter().find(|can| charge <= can.2).map(|can| (can.0, can.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sizes as such cans lie in a drawer (from memory): 100 uF 25 V, 220 uF 25 V, 470 uF 25 V, 1000 uF 35 V.
    #[test]
    fn cans_of_the_drawer() {
        for (microfarad, rated, diameter, length) in [
            (100.0, 25.0, 6.3, 11.0),
            (220.0, 25.0, 8.0, 11.5),
            (470.0, 25.0, 10.0, 16.0),
            (1000.0, 35.0, 12.5, 25.0),
        ] {
            let (found, long) = usual_size(microfarad * 1e-6, rated).unwrap();
            assert!((found * 1e3 - diameter).abs() < 1e-9 && (long * 1e3 - length).abs() < 1e-9);
        }
        assert_eq!(usual_size(1.0, 16.0), None);
    }
}

//! What catalogues of general-purpose aluminium electrolytic capacitors allow: loss factors, and what cold does to them.

use crate::monotone_curve::MonotoneCurve;

/// Frequency in hertz at which IEC 60384-4 measures the loss factor (100 Hz or 120 Hz).
pub const LOSS_FREQUENCY: f64 = 120.0;

/// Rated voltage in volt and greatest loss factor at 120 Hz and 20 degC up to 1000 uF: maker's catalogue table quoted on a public
/// page, test method of IEC 60384-4.
const LOSS_FACTORS: [(f64, f64); 8] = [
    (6.3, 0.22),
    (10.0, 0.19),
    (16.0, 0.16),
    (25.0, 0.14),
    (35.0, 0.12),
    (50.0, 0.10),
    (63.0, 0.09),
    (100.0, 0.08),
];
/// Added for each further whole 1000 uF above 1000 uF (same table).
const FURTHER: f64 = 0.02;

/// Rated voltage in volt, greatest impedance at 120 Hz at -25 degC and at -40 degC over that at 20 degC (general-purpose
/// catalogue limits, tests as in IEC 60384-4; from memory).
const IMPEDANCE_RATIOS: [(f64, f64, f64); 6] = [
    (6.3, 4.0, 8.0),
    (10.0, 3.0, 6.0),
    (16.0, 2.0, 4.0),
    (25.0, 2.0, 4.0),
    (35.0, 2.0, 3.0),
    (50.0, 2.0, 3.0),
];

/// The esr at 105 degC over that at 20 degC (from memory: 0.4 to 0.6).
const HOT: f64 = 0.5;

/// Temperatures in kelvin between which the esr's factor is known.
pub const TEMPERATURES: (f64, f64) = (233.15, 378.15);

/// Rated voltage in volt that is taken where none is stated.
pub const USUAL_RATED: f64 = 25.0;

/// Greatest loss factor at 120 Hz and 20 degC of `capacitance` in farad rated for `rated` volt: straight lines between the rows of
/// the catalogue, level outside.
#[must_use]
pub fn loss_factor(capacitance: f64, rated: f64) -> f64 {
    // The billionth lets 2000 uF be two thousand although its quotient rounds down.
    let thousands = (capacitance / 1e-3 * (1.0 + 1e-9)).floor();
    interpolate(&LOSS_FACTORS, rated) + FURTHER * (thousands - 1.0).max(0.0)
}

/// Whether the catalogue has a row for a rated voltage in volt.
#[must_use]
pub fn is_a_row(rated: f64) -> bool {
    LOSS_FACTORS.iter().any(|(row, _)| (row - rated).abs() < 1e-9 * rated)
}

/// Whether a rated voltage in volt lies below or above all rows of the catalogue, so that the nearest one is taken.
#[must_use]
pub fn is_outside_rows(rated: f64) -> bool {
    let (first, last) = (LOSS_FACTORS[0].0, LOSS_FACTORS[LOSS_FACTORS.len() - 1].0);
    !(first..=last).contains(&rated)
}

/// Greatest impedance at 120 Hz at -25 degC and at -40 degC over that at 20 degC.
#[must_use]
pub fn impedance_ratios(rated: f64) -> (f64, f64) {
    let column = |pick: fn(&(f64, f64, f64)) -> f64| {
        let rows = IMPEDANCE_RATIOS.map(|row| (row.0, pick(&row)));
        interpolate(&rows, rated)
    };
    (column(|row| row.1), column(|row| row.2))
}

/// The esr at `temperature` in kelvin over that at 20 degC; held at the ends of [`TEMPERATURES`].
///
/// At -25 degC and -40 degC it is the esr that makes the impedance at 120 Hz as many times larger as catalogues allow, of a
/// capacitor with the catalogue's loss factor d whose capacitance stays: `|Z| = X sqrt(1 + d^2)` at 20 degC, so
/// `g d = sqrt(r^2 (1 + d^2) - 1)`. An upper bound: from memory, most parts grow by a third to a half of it. Its logarithm is a
/// smooth curve between.
#[must_use]
pub fn esr_factor(capacitance: f64, rated: f64, temperature: f64) -> f64 {
    let d = loss_factor(capacitance, rated);
    let allowed = |ratio: f64| (ratio * ratio * (1.0 + d * d) - 1.0).sqrt() / d;
    let (cool, cold) = impedance_ratios(rated);
    let points = [
        (TEMPERATURES.0, allowed(cold).ln()),
        (248.15, allowed(cool).ln()),
        (293.15, 0.0),
        (TEMPERATURES.1, HOT.ln()),
    ];
    MonotoneCurve::through(&points, None).map_or(1.0, |curve| curve.value(temperature).exp())
}

/// Straight lines between the points, level outside.
fn interpolate(points: &[(f64, f64)], at: f64) -> f64 {
    let after = points.partition_point(|point| point.0 <= at).clamp(1, points.len() - 1);
    let ((left, from), (right, to)) = (points[after - 1], points[after]);
    from + (to - from) * ((at - left) / (right - left)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Loss factor limits at 120 Hz and 20 degC of a general-purpose catalogue, exact.
    #[test]
    fn loss_factors_of_the_catalogue() {
        let rows = [
            (6.3, 0.22),
            (10.0, 0.19),
            (16.0, 0.16),
            (25.0, 0.14),
            (35.0, 0.12),
            (50.0, 0.10),
            (63.0, 0.09),
            (100.0, 0.08),
        ];
        for (rated, expected) in rows {
            for microfarad in [1.0, 470.0, 1000.0, 1999.0] {
                let found = loss_factor(microfarad * 1e-6, rated);
                assert!((found - expected).abs() < 1e-12, "{rated} V: {found}");
            }
        }
        // 0.02 for each further 1000 uF.
        for (microfarad, more) in
            [(2000.0, 0.02), (2200.0, 0.02), (3300.0, 0.04), (4700.0, 0.06), (10_000.0, 0.18)]
        {
            assert!((loss_factor(microfarad * 1e-6, 16.0) - 0.16 - more).abs() < 1e-12, "{microfarad} uF");
        }
        assert!((loss_factor(1e-4, 30.0) - 0.13).abs() < 1e-12);
        assert!((loss_factor(1e-4, 4.0) - 0.22).abs() < 1e-12);
    }

    /// Z(T) / Z(+20 degC) at 120 Hz by rated voltage, catalogue limits in the style of IEC 60384-4.
    #[test]
    fn cold_impedance_is_what_the_catalogue_allows() {
        let rows = [
            (6.3, 4.0, 8.0),
            (10.0, 3.0, 6.0),
            (16.0, 2.0, 4.0),
            (25.0, 2.0, 4.0),
            (35.0, 2.0, 3.0),
            (50.0, 2.0, 3.0),
        ];
        for (rated, cool, cold) in rows {
            let capacitance = 470e-6;
            let reactance = 1.0 / (2.0 * std::f64::consts::PI * LOSS_FREQUENCY * capacitance);
            let new = loss_factor(capacitance, rated) * reactance;
            for (celsius, expected) in [(-25.0, cool), (-40.0, cold), (20.0, 1.0)] {
                let esr = new * esr_factor(capacitance, rated, celsius + 273.15);
                let ratio = esr.hypot(reactance) / new.hypot(reactance);
                assert!((ratio / expected - 1.0).abs() < 1e-12, "{rated} V at {celsius}: {ratio}");
            }
        }
    }

    #[test]
    fn esr_falls_all_the_way_from_cold_to_hot() {
        let factors: Vec<f64> =
            (-40..=105).map(|celsius| esr_factor(100e-6, 35.0, f64::from(celsius) + 273.15)).collect();
        assert!(factors.windows(2).all(|pair| pair[1] < pair[0]));
        // Held outside.
        assert_eq!(esr_factor(100e-6, 35.0, 200.0), factors[0]);
        assert!((factors[145] - 0.5).abs() < 1e-12);
    }
}

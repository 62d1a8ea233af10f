//! Enamelled round wire: how thick it is with its enamel (IEC 60317-0-1).

/// Grade of the enamel: how thick it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grade {
    /// Grade 1, single.
    One,
    /// Grade 2, double.
    Two,
}

/// Bare diameter and greatest overall diameter in millimetre of grade 1 and grade 2: IEC 60317-0-1. Rows of 0.2, 0.315, 0.5, 0.8, 1
/// and 1.6 mm as seen in public code that quotes the standard; the others from memory.
const ROWS: &[(f64, [f64; 2])] = &[
    (0.050, [0.060, 0.066]),
    (0.056, [0.067, 0.074]),
    (0.063, [0.076, 0.083]),
    (0.071, [0.084, 0.091]),
    (0.080, [0.094, 0.101]),
    (0.090, [0.105, 0.113]),
    (0.100, [0.117, 0.125]),
    (0.112, [0.130, 0.139]),
    (0.125, [0.144, 0.154]),
    (0.140, [0.160, 0.171]),
    (0.160, [0.182, 0.194]),
    (0.180, [0.204, 0.217]),
    (0.200, [0.226, 0.239]),
    (0.224, [0.252, 0.266]),
    (0.250, [0.281, 0.297]),
    (0.280, [0.312, 0.329]),
    (0.315, [0.349, 0.367]),
    (0.355, [0.392, 0.411]),
    (0.400, [0.439, 0.459]),
    (0.450, [0.491, 0.513]),
    (0.500, [0.544, 0.566]),
    (0.560, [0.606, 0.630]),
    (0.630, [0.679, 0.704]),
    (0.710, [0.762, 0.789]),
    (0.800, [0.855, 0.884]),
    (0.900, [0.959, 0.989]),
    (1.000, [1.062, 1.094]),
    (1.120, [1.184, 1.217]),
    (1.250, [1.316, 1.349]),
    (1.400, [1.468, 1.502]),
    (1.600, [1.670, 1.706]),
    (1.800, [1.872, 1.909]),
    (2.000, [2.074, 2.112]),
    (2.240, [2.316, 2.355]),
    (2.500, [2.578, 2.618]),
    (2.800, [2.880, 2.922]),
    (3.150, [3.233, 3.276]),
    (3.550, [3.635, 3.679]),
    (4.000, [4.088, 4.133]),
    (4.500, [4.591, 4.637]),
    (5.000, [5.093, 5.141]),
];

/// Gauge and greatest overall diameter in millimetre of grade 1 and grade 2, as a maker's table lists them that cites the standard
/// (seen in public code). Makers round the bare diameter of a gauge before they look it up.
const GAUGES: [(f64, [f64; 2]); 3] = [(26.0, [0.443, 0.463]), (28.0, [0.354, 0.373]), (30.0, [0.285, 0.301])];

/// Greatest overall diameter in metre of a wire by its gauge: the maker's row where there is one, else that of its bare diameter.
#[must_use]
pub fn overall_diameter_of_gauge(gauge: f64, bare: f64, grade: Grade) -> Option<f64> {
    let row = GAUGES.iter().find(|row| (row.0 - gauge).abs() < 1e-9);
    row.map(|row| row.1[grade as usize] * 1e-3).or_else(|| overall_diameter(bare, grade))
}

/// Greatest overall diameter in metre of a wire of bare diameter `bare` in metre; what the enamel adds is drawn in straight lines
/// between the standard's sizes. `None` outside of them.
#[must_use]
pub fn overall_diameter(bare: f64, grade: Grade) -> Option<f64> {
    let column = grade as usize;
    let millimetre = bare * 1e3;
    // A rounding of the bare diameter must not lose the first or the last row.
    let near = |size: f64| (millimetre / size - 1.0).abs() < 1e-9;
    let added = |row: &(f64, [f64; 2])| row.1[column] - row.0;
    if let Some(row) = ROWS.iter().find(|row| near(row.0)) {
        return Some(bare + added(row) * 1e-3);
    }
    let above = ROWS.iter().position(|row| row.0 > millimetre).filter(|&above| above > 0)?;
    let (low, high) = (&ROWS[above - 1], &ROWS[above]);
    let share = (millimetre - low.0) / (high.0 - low.0);
    Some(bare + (added(low) + share * (added(high) - added(low))) * 1e-3)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a unit of the tables' last digit.
    fn is(found: Option<f64>, millimetre: f64) {
        let found = found.expect("a size of the standard") * 1e3;
        assert!((found - millimetre).abs() < 0.0005 + 1e-9, "{found} is not {millimetre}");
    }

    #[test]
    fn sizes_of_the_standard() {
        // IEC 60317-0-1, as seen in public code that quotes it.
        let rows = [
            (0.200, 0.226, 0.239),
            (0.315, 0.349, 0.367),
            (0.500, 0.544, 0.566),
            (0.800, 0.855, 0.884),
            (1.000, 1.062, 1.094),
            (1.600, 1.670, 1.706),
        ];
        for (bare, one, two) in rows {
            is(overall_diameter(bare * 1e-3, Grade::One), one);
            is(overall_diameter(bare * 1e-3, Grade::Two), two);
        }
    }

    #[test]
    fn gauges_between_the_sizes() {
        // A maker's table that cites the standard: 26, 28 and 30 AWG.
        for (bare, one, two) in [(0.404, 0.443, 0.463), (0.320, 0.354, 0.373), (0.254, 0.285, 0.301)] {
            is(overall_diameter(bare * 1e-3, Grade::One), one);
            is(overall_diameter(bare * 1e-3, Grade::Two), two);
        }
    }

    #[test]
    fn gauges_by_their_number() {
        // The same table, by gauge; 28 AWG is 0.3211 mm by ASTM B258.
        for (gauge, one, two) in [(26.0, 0.443, 0.463), (28.0, 0.354, 0.373), (30.0, 0.285, 0.301)] {
            let bare = crate::conductor::gauge_diameter(gauge);
            assert_eq!(overall_diameter_of_gauge(gauge, bare, Grade::One), Some(one * 1e-3));
            assert_eq!(overall_diameter_of_gauge(gauge, bare, Grade::Two), Some(two * 1e-3));
        }
        let bare = crate::conductor::gauge_diameter(24.0);
        assert_eq!(overall_diameter_of_gauge(24.0, bare, Grade::One), overall_diameter(bare, Grade::One));
    }

    /// Enamel grows with the wire, and grade 2 has more than grade 1 but less than twice as much: a slip of a digit shows here.
    #[test]
    fn rows_stand_in_line() {
        for pair in ROWS.windows(2) {
            for column in 0..2 {
                let (less, more) = (pair[0].1[column] - pair[0].0, pair[1].1[column] - pair[1].0);
                assert!(more >= less - 1e-9, "{pair:?}");
            }
        }
        assert!(ROWS.iter().all(|row| row.1[1] > row.1[0] && row.1[1] - row.0 < 2.0 * (row.1[0] - row.0)));
        assert_eq!(overall_diameter(10e-3, Grade::One), None);
        assert_eq!(overall_diameter(1e-6, Grade::One), None);
    }
}

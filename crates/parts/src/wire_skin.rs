//! Skin effect of a round conductor: the exact law, and a ladder of resistances and inductances that follows it.
//!
//! One ladder serves runs in time and responses over frequency, so both see the same wire.

use crate::conductor::MU_0;
use crate::copper;

/// Frequency in hertz up to which a ladder is meant to follow the law: the upper end of what is measured on supply leads.
pub const DESIGN_FREQUENCY: f64 = 30e6;

/// One resistance with an inductance across it: the share of the skin that fills at its own frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Resistance in ohm.
    pub resistance: f64,
    /// Inductance in henry.
    pub inductance: f64,
}

/// What stands in series with the direct-current resistance and the inductance outside the conductor.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// Inductance in henry in series: what is left of the inside at the greatest frequency.
    pub inductance: f64,
    /// The sections, in series.
    pub sections: Vec<Section>,
    /// Frequency in hertz up to which resistance and inductance are within 1 % of the law.
    pub up_to: f64,
}

/// Resistance and internal inductance at a frequency in hertz as multiples of those of direct current, for a conductor with
/// `resistance` in ohm for each metre.
///
/// `(z/2) I0(z)/I1(z)` with `z = sqrt(j w mu0 s) a`, which is the Kelvin-function result `(k a/2) J0(k a)/J1(k a)` with
/// `k = (1 - j)/delta` (Terman, Radio Engineers' Handbook, section 2). The ratio of the Bessel functions is Gauss' continued
/// fraction `z I0/I1 = 2 + z^2/(4 + z^2/(6 + ...))`, taken deep enough that the rest no longer counts. Conductivity and radius
/// enter as `mu0 s a^2 = mu0/(pi R')` alone.
#[must_use]
pub fn exact(resistance: f64, frequency: f64) -> (f64, f64) {
    // z^2 = j w; (a/delta)^2 = w/2.
    let w = 2.0 * std::f64::consts::PI * frequency * MU_0 / (std::f64::consts::PI * resistance);
    if w < 1e-6 {
        return (1.0, 1.0);
    }
    let depth = 40 + (2.0 * w.sqrt()) as u32;
    let (mut re, mut im) = (2.0 * f64::from(depth), 0.0);
    for k in (1..depth).rev() {
        // x <- 2k + j w/x
        let size = re * re + im * im;
        (re, im) = (2.0 * f64::from(k) + w * im / size, w * re / size);
    }
    (re / 2.0, im / 2.0 / (w / 8.0))
}

/// Skin depth in metre in copper at a temperature in kelvin and a frequency in hertz: `sqrt(1/(pi f mu0 s))`.
#[must_use]
pub fn skin_depth(temperature: f64, frequency: f64) -> f64 {
    1.0 / (std::f64::consts::PI * frequency * MU_0 * copper::conductivity(temperature)).sqrt()
}

/// A ladder for given multiples a/delta: pairs of time constant, in `mu0 s a^2`, and resistance, in that of direct current.
struct Fit {
    /// Radius over skin depth up to which it holds.
    up_to: f64,
    sections: &'static [(f64, f64)],
}

/// Found by minimising the greatest departure of resistance and internal inductance from the exact law over a/delta from 0.1 to
/// `up_to` (weights by linear programming, time constants by a simplex search), with no negative element and the inductance at
/// direct current kept exact. That all are within 1 % is measured in the tests.
const FITS: &[Fit] = &[
    Fit { up_to: 3.0, sections: &[(0.0589869, 1.41992)] },
    Fit { up_to: 7.5, sections: &[(0.0614476, 1.2613), (0.00893998, 3.60499)] },
    Fit { up_to: 17.0, sections: &[(0.0621119, 1.23312), (0.0104579, 2.66479), (0.00169124, 8.20418)] },
    Fit {
        up_to: 38.0,
        sections: &[(0.062448, 1.22012), (0.0107244, 2.59793), (0.00198255, 5.99835), (0.000331863, 18.3316)],
    },
    Fit {
        up_to: 85.0,
        sections: &[
            (0.0626899, 1.21107),
            (0.0109151, 2.55304),
            (0.00203809, 5.89857),
            (0.000384698, 13.4614),
            (6.55411e-05, 41.0172),
        ],
    },
    Fit {
        up_to: 190.0,
        sections: &[
            (0.0628368, 1.19994),
            (0.0113603, 2.44801),
            (0.00215333, 5.7347),
            (0.000404127, 13.2192),
            (7.66112e-05, 30.1182),
            (1.30799e-05, 91.7441),
        ],
    },
];

/// The ladder of a conductor of `length` in metre with `resistance` in ohm for each metre; its elements count the whole length.
#[must_use]
pub fn ladder(resistance: f64, length: f64) -> Ladder {
    let ratio = (DESIGN_FREQUENCY * MU_0 / resistance).sqrt();
    let fit = FITS.iter().find(|fit| fit.up_to >= ratio).unwrap_or(&FITS[FITS.len() - 1]);
    let (whole, unit) = (resistance * length, MU_0 / std::f64::consts::PI * length);
    let sections: Vec<Section> = fit
        .sections
        .iter()
        .map(|&(time, share)| Section { resistance: share * whole, inductance: share * time * unit })
        .collect();
    let inside: f64 = sections.iter().map(|section| section.inductance).sum();
    Ladder {
        inductance: (unit / 8.0 - inside).max(0.0),
        sections,
        up_to: fit.up_to * fit.up_to * resistance / MU_0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::internal_inductance;

    /// Resistance for each metre and frequency of a wire of one square millimetre's copper at a given a/delta.
    fn at(ratio: f64) -> (f64, f64) {
        let resistance = copper::RESISTIVITY / 1e-6;
        (resistance, ratio * ratio * resistance / MU_0)
    }

    #[test]
    fn the_law_of_terman() {
        // Kelvin functions at a/delta of 0.5, 1, 2, 4.
        let table = [
            (0.5, 1.001_301, 0.999_35),
            (1.0, 1.020_492, 0.989_77),
            (2.0, 1.264_643, 0.870_48),
            (4.0, 2.273_801, 0.492_75),
        ];
        for (ratio, resistance, inductance) in table {
            let (per_metre, frequency) = at(ratio);
            let found = exact(per_metre, frequency);
            assert!((found.0 / resistance - 1.0).abs() < 1e-4, "{ratio}: {found:?}");
            assert!((found.1 / inductance - 1.0).abs() < 1e-4, "{ratio}: {found:?}");
        }
    }

    #[test]
    fn ten_gauge_at_a_hundred_kilohertz() {
        // Terman's table as quoted on a public page: 3.35 to 3.36; 10 AWG has a radius of 1.294 mm, at 58 MS/m.
        let per_metre = 1.0 / (58e6 * std::f64::consts::PI * 1.294e-3_f64.powi(2));
        let found = exact(per_metre, 100e3).0;
        assert!((found / 3.361 - 1.0).abs() < 5e-3, "{found}");
    }

    #[test]
    fn skin_depth_of_copper() {
        // Bhooshan, Fundamentals of Engineering Electromagnetics, example 11.12: 66.01 um at 1 MHz, with 58.14 MS/m in place of 58.
        let found = skin_depth(copper::REFERENCE_TEMPERATURE, 1e6);
        assert!((found / 66.01e-6 - 1.0).abs() < 5e-3, "{found}");
    }

    #[test]
    fn a_thick_wire_is_a_skin() {
        // Asymptotically R/R0 = a/(2 delta) + 1/4, with the next term 3 delta/(32 a): the series of I0/I1 for large arguments.
        for ratio in [20.0, 80.0, 300.0] {
            let (per_metre, frequency) = at(ratio);
            let (resistance, inductance) = exact(per_metre, frequency);
            let series = ratio / 2.0 + 0.25 + 3.0 / (32.0 * ratio);
            assert!(
                (resistance / series - 1.0).abs() < 1.0 / ratio.powi(3),
                "{ratio}: {resistance} {series}"
            );
            // Resistance and reactance of a thick skin are the same, but for the 1/4.
            let reactance = inductance * ratio * ratio / 4.0;
            assert!((reactance - ratio / 2.0).abs() < 0.2 / ratio, "{ratio}: {reactance}");
        }
    }

    fn of_ladder(ladder: &Ladder, whole: f64, frequency: f64) -> (f64, f64) {
        let w = 2.0 * std::f64::consts::PI * frequency;
        ladder.sections.iter().fold((whole, ladder.inductance), |(r, l), section| {
            let x = w * section.inductance / section.resistance;
            (r + section.resistance * x * x / (1.0 + x * x), l + section.inductance / (1.0 + x * x))
        })
    }

    #[test]
    fn every_ladder_is_within_a_hundredth_of_the_law() {
        for (area, sections) in
            [(0.01e-6, 2), (0.05e-6, 3), (0.2e-6, 4), (0.5e-6, 4), (2.5e-6, 5), (10e-6, 6), (50e-6, 6)]
        {
            let (per_metre, length) = (copper::RESISTIVITY / area, 0.3);
            let ladder = ladder(per_metre, length);
            assert_eq!(ladder.sections.len(), sections, "{area}");
            assert!(area > 16e-6 || ladder.up_to >= DESIGN_FREQUENCY, "{area}: {}", ladder.up_to);
            let whole = per_metre * length;
            let inside = internal_inductance(length);
            let (resistance, inductance) = of_ladder(&ladder, whole, 0.0);
            assert!((resistance / whole - 1.0).abs() < 1e-12 && (inductance / inside - 1.0).abs() < 1e-12);
            let steps = 400;
            for step in 0..=steps {
                let frequency = 10.0 * (ladder.up_to / 10.0).powf(f64::from(step) / f64::from(steps));
                let (resistance, inductance) = of_ladder(&ladder, whole, frequency);
                let law = exact(per_metre, frequency);
                let off = (resistance / whole / law.0 - 1.0, inductance / inside / law.1 - 1.0);
                assert!(off.0.abs() < 0.01 && off.1.abs() < 0.01, "{area} at {frequency}: {off:?}");
            }
        }
    }

    #[test]
    fn every_element_is_positive() {
        for fit in FITS {
            let inside: f64 = fit.sections.iter().map(|(time, share)| time * share).sum();
            assert!(fit.sections.iter().all(|&(time, share)| time > 0.0 && share > 0.0));
            assert!(inside > 0.0 && inside < 0.125, "{inside}");
        }
    }
}

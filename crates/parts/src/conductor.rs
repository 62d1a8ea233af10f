//! Cross-sections and inductances of round conductors.

use std::f64::consts::PI;

/// Permeability of vacuum in henry per metre (4π × 1e-7; the SI value of 2019 differs by 1e-10 of it).
pub const MU_0: f64 = 4e-7 * PI;

/// Permittivity of vacuum in farad per metre (CODATA 2018).
pub const EPSILON_0: f64 = 8.854_187_812_8e-12;

/// Internal inductance of a round conductor with uniform current, as an addend to ln(...) of the formulas here.
const INTERNAL: f64 = 0.25;

/// Diameter in metre of a solid wire of American wire gauge `number` (ASTM B258); 4/0 is -3.
#[must_use]
pub fn gauge_diameter(number: f64) -> f64 {
    0.127e-3 * 92_f64.powf((36.0 - number) / 39.0)
}

/// Area in square metre of a round cross-section of `diameter` in metre.
#[must_use]
pub fn area(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

/// Loop inductance in henry of a pair of parallel round conductors of `length` in metre, `radius` each, with `spacing`
/// between their centres; at low frequency, where the current is spread evenly.
///
/// (mu0/pi) (ln(D/a) + 1/4) a metre of pair: Bird, Electrical Circuit Theory and Technology, ch. 40; Grover, Inductance
/// Calculations, ch. 5. For evenly spread current it holds for any distance, touching wires too (the mean distance of two
/// circles is that of their centres); at high frequency the inductance is smaller, (mu0/pi) acosh(D/2a).
#[must_use]
pub fn pair_inductance(length: f64, radius: f64, spacing: f64) -> f64 {
    MU_0 / PI * ((spacing / radius).ln() + INTERNAL) * length
}

/// What [`pair_inductance`] falls to at high frequency, where all current flows on the skins and crowds to where they face each
/// other: (mu0/pi) acosh(D/2a) a metre of pair, exact. Bird, ch. 40; Grover, ch. 6.
#[must_use]
pub fn pair_inductance_high_frequency(length: f64, radius: f64, spacing: f64) -> f64 {
    MU_0 / PI * (spacing / (2.0 * radius)).max(1.0).acosh() * length
}

/// Capacitance in farad between the conductors of a pair in air: pi eps0/acosh(D/2a) a metre. Bird, ch. 40 (with ln(D/a) for D >> a).
#[must_use]
pub fn pair_capacitance(length: f64, radius: f64, spacing: f64) -> f64 {
    PI * EPSILON_0 / (spacing / (2.0 * radius)).acosh() * length
}

/// Wire for each metre of a twisted pair: `sqrt(1 + (pi D/p)^2)` with the distance D between centres and the pitch p, the length
/// of one full turn. Geometry of a helix of diameter D.
#[must_use]
pub fn twist_factor(spacing: f64, pitch: f64) -> f64 {
    (PI * spacing / pitch).hypot(1.0)
}

/// What [`straight_inductance`] falls to at high frequency: no field inside the conductor. Rosa; Grover, ch. 5.
#[must_use]
pub fn straight_inductance_high_frequency(length: f64, radius: f64) -> f64 {
    straight_inductance(length, radius) - MU_0 / (2.0 * PI) * length * INTERNAL
}

/// Inductance in henry inside a round conductor with uniform current: mu0/(8 pi) a metre.
#[must_use]
pub fn internal_inductance(length: f64) -> f64 {
    MU_0 / (8.0 * PI) * length
}

/// Partial inductance in henry of a straight round wire alone, at low frequency.
///
/// Rosa, Bulletin of the NBS 4 (1908); Grover, Inductance Calculations, ch. 5.
#[must_use]
pub fn straight_inductance(length: f64, radius: f64) -> f64 {
    if length == 0.0 {
        return 0.0;
    }
    let ratio = radius / length;
    let bracket = ((1.0 + ratio.hypot(1.0)) / ratio).ln() - ratio.hypot(1.0) + ratio + INTERNAL;
    MU_0 / (2.0 * PI) * length * bracket
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64, tolerance: f64) {
        assert!((found / expected - 1.0).abs() < tolerance, "{found} is not {expected}");
    }

    #[test]
    fn gauges_of_astm_b258() {
        let gauges =
            [(10, 2.5882), (14, 1.6277), (20, 0.811_82), (24, 0.510_56), (30, 0.254_64), (-3, 11.684)];
        for (number, millimetre) in gauges {
            close(gauge_diameter(f64::from(number)) * 1e3, millimetre, 1e-4);
        }
    }

    #[test]
    fn pair_of_bird_example_40_20() {
        close(pair_inductance(1000.0, 5e-3, 0.8), 2.1301e-3, 1e-3);
        close(pair_capacitance(1000.0, 5e-3, 0.8), 5.4783e-9, 1e-3);
    }

    #[test]
    fn pairs_of_hook_up_wire() {
        // Values from Bird's and Grover's formula: 20 AWG at 1.6 mm and 14 AWG at 3.0 mm, nH/m.
        close(pair_inductance(1.0, gauge_diameter(20.0) / 2.0, 1.6e-3), 648.65e-9, 1e-3);
        close(pair_inductance(1.0, gauge_diameter(14.0) / 2.0, 3e-3), 621.83e-9, 1e-3);
    }

    #[test]
    fn straight_wires_of_rosa_and_grover() {
        close(straight_inductance(0.1, 0.5e-3), 104.93e-9, 1e-3);
        close(straight_inductance(1.0, 0.4059e-3), 1550.6e-9, 1e-3);
        close(straight_inductance(0.02, 0.25e-3), 17.351e-9, 1e-3);
        assert_eq!(straight_inductance(0.0, 1e-3), 0.0);
        close(straight_inductance_high_frequency(0.1, 0.5e-3), 99.929e-9, 1e-3);
    }

    #[test]
    fn pairs_at_high_frequency() {
        close(pair_inductance_high_frequency(1.0, gauge_diameter(20.0) / 2.0, 1.6e-3), 519.99e-9, 1e-3);
        close(pair_inductance_high_frequency(1.0, gauge_diameter(14.0) / 2.0, 3e-3), 488.48e-9, 1e-3);
    }

    #[test]
    fn twisted_pairs() {
        for (spacing, pitch, factor) in [(1.6, 20.0, 1.0311), (1.6, 40.0, 1.007_86), (2.2, 15.0, 1.101_05)] {
            close(twist_factor(spacing, pitch), factor, 1e-4);
        }
    }
}

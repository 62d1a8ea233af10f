//! Wire wound on a ring: how many turns go where, how long the wire gets, and what lies between its turns.

use crate::mistake::{Mistake, shown};
use std::f64::consts::PI;

/// Permittivity of vacuum in farad a metre (CODATA 2018).
const EPSILON_0: f64 = 8.854_187_812_8e-12;

/// Relative permittivity of enamel (from memory: 3 to 4 for polyurethane and polyester-imide).
pub const ENAMEL_PERMITTIVITY: f64 = 3.5;

/// Turns in each layer, the innermost first, of `turns` turns of wire with an `overall` diameter on a ring with an `inner` diameter, in
/// metre: each layer narrows the hole by two wires.
///
/// # Errors
/// The wire does not pass so many times through the hole.
pub fn layers(inner: f64, overall: f64, turns: f64) -> Result<Vec<f64>, Mistake> {
    let (mut hole, mut left, mut layers) = (inner, turns, Vec::new());
    while left > 0.0 {
        if hole <= overall {
            return Err(Mistake::new(
                "turns",
                format!(
                    "the hole of the ring holds {} turns of this wire in {} layers, not {}",
                    shown(turns - left),
                    layers.len(),
                    shown(turns)
                ),
                "take fewer turns, a thinner wire or a larger ring",
            ));
        }
        let held = turns_in_one_layer(hole, overall).min(left);
        layers.push(held);
        left -= held;
        hole -= 2.0 * overall;
    }
    Ok(layers)
}

/// Turns that lie side by side on the bore of a ring: circles of `wire` diameter touching a circle of `inner` diameter from inside.
#[must_use]
pub fn turns_in_one_layer(inner: f64, wire: f64) -> f64 {
    if wire >= inner - wire {
        return 1.0;
    }
    (PI / (wire / (inner - wire)).asin()).floor()
}

/// Length in metre of a turn in `layer`, the innermost being 0, along the wire's centre line with rounded corners: the core's section,
/// and a circle about each of its corners (geometry).
#[must_use]
pub fn turn_length(outer: f64, inner: f64, height: f64, wire: f64, layer: usize) -> f64 {
    (outer - inner) + 2.0 * height + PI * wire * (2 * layer + 1) as f64
}

/// Bare and greatest overall diameter in metre of enamelled wire, grade 1 (IEC 60317-0-1, as quoted in public code; the rows of 0.1, 0.25,
/// 0.4 and 1.25 mm from memory).
const ENAMELLED: [(f64, f64); 10] = [
    (0.1e-3, 0.117e-3),
    (0.2e-3, 0.226e-3),
    (0.25e-3, 0.281e-3),
    (0.315e-3, 0.349e-3),
    (0.4e-3, 0.439e-3),
    (0.5e-3, 0.544e-3),
    (0.8e-3, 0.855e-3),
    (1e-3, 1.062e-3),
    (1.25e-3, 1.316e-3),
    (1.6e-3, 1.67e-3),
];

/// Greatest overall diameter in metre of enamelled wire, grade 1, of `bare` diameter: straight lines between the standard's
/// sizes, the same share of enamel as the nearest size outside.
#[must_use]
pub fn enamelled_diameter(bare: f64) -> f64 {
    let after = ENAMELLED.partition_point(|size| size.0 < bare);
    let ends = after.checked_sub(1).and_then(|before| Some((ENAMELLED[before], *ENAMELLED.get(after)?)));
    match ends {
        Some(((left, from), (right, to))) => from + (to - from) * (bare - left) / (right - left),
        None => {
            let (size, overall) = ENAMELLED[after.min(ENAMELLED.len() - 1)];
            bare * overall / size
        }
    }
}

/// Capacitance in farad between two touching turns of `length` in metre each: of wire with a `bare` and an `overall` diameter, through
/// both enamels and the air between, over the sixth of the circle on either side that faces the next turn.
///
/// Massarini and Kazimierczuk, Self-capacitance of inductors, IEEE Transactions on Power Electronics 12 (1997): the integral of
/// `eps0 l / 2 / (A - cos x)` over x from -pi/6 to pi/6 with `A = 1 + ln(overall/bare)/eps_r` (from memory).
#[must_use]
pub fn turn_to_turn_capacitance(length: f64, bare: f64, overall: f64) -> f64 {
    let enamel = (overall / bare).ln() / ENAMEL_PERMITTIVITY;
    let root = (enamel * (2.0 + enamel)).sqrt();
    let half_angle_tangent = (PI / 12.0).tan();
    2.0 * EPSILON_0 * length / root * (((2.0 + enamel) / enamel).sqrt() * half_angle_tangent).atan()
}

/// Capacitance of a single layer of `turns` turns on a core, in units of that between two turns; the core is taken as a conductor, twice
/// as near to each turn as its neighbour. Massarini and Kazimierczuk (1997): `C(n) = 1 + (C(n-2)/2)/(C(n-2) + 1/2)` from `C(2) = 2` and
/// `C(3) = 3/2`, which comes to (1 + sqrt 3)/2. A single turn has none to its neighbour and is given the core's.
#[must_use]
pub fn layer_capacitance(turns: f64) -> f64 {
    /// From here on the last digit stays.
    const MANY: f64 = 60.0;
    let turns = turns.min(MANY) as u32;
    let (start, mut capacitance) = if turns.is_multiple_of(2) { (2, 2.0) } else { (3, 1.5) };
    for _ in (start..turns).step_by(2) {
        capacitance = 1.0 + (capacitance / 2.0) / (capacitance + 0.5);
    }
    capacitance
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_of_one_layer_by_circles_on_a_circle() {
        for (inner, wire, turns) in [(14.8, 0.544, 82.0), (14.8, 1.062, 40.0), (7.6, 0.544, 40.0)] {
            assert_eq!(turns_in_one_layer(inner * 1e-3, wire * 1e-3), turns);
        }
        // By hand: six coins lie around one of their size, so that a hole of three wires holds six on its wall.
        assert_eq!(turns_in_one_layer(3.0 + 1e-9, 1.0), 6.0);
    }

    #[test]
    fn layers_lie_in_ever_narrower_holes() {
        // A hole of 5 wires: pi / asin(1/4) = 12.4, then of 3 wires 6, then the middle takes one.
        assert_eq!(layers(5.0 + 1e-9, 1.0, 12.0).unwrap(), [12.0]);
        assert_eq!(layers(5.0 + 1e-9, 1.0, 18.0).unwrap(), [12.0, 6.0]);
        assert_eq!(layers(5.0 + 1e-9, 1.0, 19.0).unwrap(), [12.0, 6.0, 1.0]);
        let full = layers(5.0 + 1e-9, 1.0, 20.0).unwrap_err();
        assert!(full.property == "turns" && full.message.contains("holds 19 turns"), "{}", full.message);
    }

    #[test]
    fn wire_of_a_turn() {
        // (OD - ID) + 2 h + pi d in the first layer, mm.
        let rows = [
            ([25.3, 14.8, 10.0, 0.544], 32.209),
            ([16.0, 9.6, 6.3, 0.855], 21.686),
            ([34.0, 20.5, 12.5, 1.316], 42.634),
        ];
        for ([outer, inner, height, wire], millimetre) in rows {
            assert!((turn_length(outer, inner, height, wire, 0) / millimetre - 1.0).abs() < 1e-4);
        }
        // A second layer stands off by three radii instead of one: 2 pi d more.
        let second = turn_length(25.3, 14.8, 10.0, 0.544, 1);
        assert!((second - 32.209 - 2.0 * PI * 0.544).abs() < 1e-3);
    }

    #[test]
    fn enamel_of_iec_60317() {
        for (bare, overall) in
            [(0.2, 0.226), (0.315, 0.349), (0.5, 0.544), (0.8, 0.855), (1.0, 1.062), (1.6, 1.67)]
        {
            assert!((enamelled_diameter(bare * 1e-3) - overall * 1e-3).abs() < 1e-9);
        }
        // Gauges 26, 28 and 30 by a maker's table citing IEC 60317-0-1, within its rounding and ours of sizes.
        for (bare, overall) in [(0.404e-3, 0.443e-3), (0.32e-3, 0.354e-3), (0.254e-3, 0.285e-3)] {
            assert!((enamelled_diameter(bare) / overall - 1.0).abs() < 5e-3);
        }
        assert!(enamelled_diameter(5e-3) > 5e-3 && enamelled_diameter(0.05e-3) > 0.05e-3);
    }

    #[test]
    fn capacitance_of_a_layer_comes_to_its_limit() {
        // Massarini and Kazimierczuk (1997): 2 and 1.4 and 1.368 42 for 2, 4 and 6 turns, (1 + sqrt 3)/2 for many.
        for (turns, expected) in
            [(2.0, 2.0), (4.0, 1.4), (6.0, 1.368_42), (50.0, 1.366_025), (51.0, 1.366_025), (1e5, 1.366_025)]
        {
            assert!((layer_capacitance(turns) - expected).abs() < 1e-4 * expected, "{turns}");
        }
        assert_eq!(layer_capacitance(3.0), 1.5);
        assert!((layer_capacitance(5.0) - 1.375).abs() < 1e-15);
    }

    #[test]
    fn capacitance_between_turns_is_the_integral_of_its_field_lines() {
        // Each stretch of the facing sixths is three capacitors in series: enamel eps_r eps0 l dx / ln(Do/Dc), air over
        // Do (1 - cos x) from one enamel to the other with the area l Do dx / 2, enamel again. Midpoint rule.
        let (length, bare, overall) = (32.2e-3, 0.5e-3, 0.544e-3_f64);
        let steps = 100_000;
        let width = PI / 3.0 / f64::from(steps);
        let sum: f64 = (0..steps)
            .map(|step| -PI / 6.0 + width * (f64::from(step) + 0.5))
            .map(|angle| {
                let enamel = ENAMEL_PERMITTIVITY * EPSILON_0 * length * width / (overall / bare).ln();
                let air = EPSILON_0 * length * overall / 2.0 * width / (overall * (1.0 - angle.cos()));
                1.0 / (2.0 / enamel + 1.0 / air)
            })
            .sum();
        let found = turn_to_turn_capacitance(length, bare, overall);
        // The midpoint rule leaves width²/24 of the second derivative, 1e-10 here.
        assert!((found / sum - 1.0).abs() < 1e-6, "{found} {sum}");
    }
}

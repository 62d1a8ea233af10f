//! Draws of tolerances: which share of its tolerance each value departs by.

use super::normal::quantile;
use language::Description;
use language::description::{Harness, Value};
use std::collections::BTreeMap;

/// Tolerance in standard deviations where values are normally distributed: common practice, no source.
const DEVIATIONS: f64 = 3.0;
/// Values that one low-discrepancy sequence has.
const SEQUENCE: usize = 1 << 16;
/// Variables that it has.
const DIMENSIONS: usize = 256;

/// How values lie within their tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Law {
    /// Each value within the tolerance is as likely as the other.
    #[default]
    Uniform,
    /// Normally distributed with a third of the tolerance as standard deviation; about 3 of 1000 lie outside.
    Normal,
    /// Every value at an end of its tolerance, in all combinations: draw k has value j at its upper end where bit j of k is set.
    Corners,
    /// For each aim of [`super::Plan::aims`] two draws: every value at the end towards which the aim rises, then at the other. For
    /// values of which not all combinations can be run.
    SignedCorners,
}

/// Values with a tolerance of which all corners are run: 4096 of them.
pub const MOST_CORNERED: usize = 12;

/// How tolerances are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// Draws at each point of the axes, at least 1.
    pub draws: usize,
    /// The same seed gives the same draws.
    pub seed: u32,
    /// How values lie within their tolerance.
    pub law: Law,
}

impl Drawing {
    /// The departure of variable number `variable` in draw number `draw`, as a fraction of its tolerance.
    ///
    /// An Owen-scrambled Sobol sequence (Burley, Practical Hash-based Owen Scrambling, JCGT 9, 2020), begun anew with another seed
    /// every 65 536 draws; beyond 256 variables plain pseudo-random numbers. All points of the axes see the same draws, so that
    /// options are compared under equal luck.
    pub(super) fn departure(&self, draw: usize, variable: usize) -> f64 {
        match self.law {
            Law::Corners => return if draw >> variable & 1 == 1 { 1.0 } else { -1.0 },
            // They follow from what each value does, not from a number.
            Law::SignedCorners => return 0.0,
            Law::Uniform | Law::Normal => {}
        }
        let block = u32::try_from(draw / SEQUENCE).unwrap_or(u32::MAX);
        let uniform = if variable < DIMENSIONS {
            let seed = self.seed ^ block.wrapping_mul(0x9e37_79b9);
            let index = (draw % SEQUENCE) as u32;
            // The middle of the cell of 2^-24 that a number of single precision stands for.
            f64::from(sobol_burley::sample(index, variable as u32, seed)) + 0.5_f64.powi(25)
        } else {
            mixed(u64::from(self.seed), draw as u64, variable as u64)
        };
        match self.law {
            Law::Uniform | Law::Corners | Law::SignedCorners => 2.0 * uniform - 1.0,
            Law::Normal => quantile(uniform) / DEVIATIONS,
        }
    }
}

/// A pseudo-random number inside 0 to 1: the finaliser of splitmix64 (Steele, Lea and Flood, OOPSLA 2014) over all three.
fn mixed(seed: u64, draw: u64, variable: u64) -> f64 {
    let mut state = seed;
    for each in [draw, variable] {
        state = (state ^ each).wrapping_add(0x9e37_79b9_7f4a_7c15);
        state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        state ^= state >> 31;
    }
    ((state >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}

/// Names of all values with a tolerance of a harness: lets, then `PART.PROPERTY`, in its order.
pub(super) fn variables(harness: &Harness) -> impl Iterator<Item = String> + '_ {
    let lets = harness.lets.iter().filter(|each| each.tolerance.is_some()).map(|each| each.name.clone());
    let properties = harness.parts.iter().flat_map(|part| {
        let toleranced =
            part.properties.iter().filter(|(_, value)| matches!(value, Value::Number(_, Some(_))));
        toleranced.map(|(property, _)| format!("{}.{property}", part.name))
    });
    lets.chain(properties)
}

/// The harness at a point with every toleranced value departed as `departure` says of its name; what has no tolerance there is not
/// asked for. With the values drawn, by name.
///
/// # Errors
/// Why the drawn values can't be: a sentence.
pub(super) fn draw(
    description: &Description,
    at: &[usize],
    departure: &dyn Fn(&str) -> f64,
) -> Result<(Harness, BTreeMap<String, f64>), String> {
    let mut drawn = BTreeMap::new();
    let mut harness = resolve(description, at, &drawn)?;
    // A let may be worked out from others that are drawn: each is drawn around what those before it make of it.
    let lets: Vec<usize> =
        (0..harness.lets.len()).filter(|index| harness.lets[*index].tolerance.is_some()).collect();
    for index in lets {
        let each = &harness.lets[index];
        if let Some(tolerance) = each.tolerance {
            drawn.insert(each.name.clone(), tolerance.departed(each.value.value, departure(&each.name)));
            harness = resolve(description, at, &drawn)?;
        }
    }
    for part in &mut harness.parts {
        for (property, value) in &mut part.properties {
            if let Value::Number(quantity, Some(tolerance)) = value {
                let name = format!("{}.{property}", part.name);
                quantity.value = tolerance.departed(quantity.value, departure(&name));
                drawn.insert(name, quantity.value);
            }
        }
    }
    Ok((harness, drawn))
}

fn resolve(
    description: &Description,
    at: &[usize],
    drawn: &BTreeMap<String, f64>,
) -> Result<Harness, String> {
    description.drawn(at, drawn).map_err(|mistakes| {
        mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawing(law: Law) -> Drawing {
        Drawing { draws: 4096, seed: 7, law }
    }

    /// Each sixteenth of the tolerance has the same number of 4096 draws, whatever the variable: a Sobol sequence is a net.
    #[test]
    fn draws_fill_the_tolerance_evenly() {
        for variable in [0, 1, 5, 100, 255] {
            let mut cells = [0; 16];
            for draw in 0..4096 {
                let departure = drawing(Law::Uniform).departure(draw, variable);
                assert!(departure > -1.0 && departure < 1.0);
                cells[((departure + 1.0) * 8.0) as usize] += 1;
            }
            assert_eq!(cells, [256; 16], "{variable}");
        }
    }

    /// Mean and standard deviation of plain numbers: within four of their own standard deviations.
    #[test]
    fn the_many_variables_beyond_are_drawn_too() {
        let n = 4096;
        let all: Vec<f64> = (0..n).map(|draw| drawing(Law::Uniform).departure(draw, 300)).collect();
        let mean = all.iter().sum::<f64>() / n as f64;
        let square = all.iter().map(|each| each * each).sum::<f64>() / n as f64;
        assert!(mean.abs() < 4.0 / (3.0 * n as f64).sqrt(), "{mean}");
        assert!((square - 1.0 / 3.0).abs() < 4.0 * (4.0 / 45.0 / n as f64).sqrt(), "{square}");
    }

    /// A third of the tolerance is the standard deviation; a low-discrepancy mean is far better than 1 / sqrt(n).
    #[test]
    fn normal_draws_have_their_deviation() {
        let n = 4096;
        let all: Vec<f64> = (0..n).map(|draw| drawing(Law::Normal).departure(draw, 3)).collect();
        let mean = all.iter().sum::<f64>() / n as f64;
        let deviation = (all.iter().map(|each| each * each).sum::<f64>() / n as f64).sqrt();
        assert!(mean.abs() < 1e-3, "{mean}");
        assert!((deviation * 3.0 - 1.0).abs() < 5e-3, "{deviation}");
    }

    #[test]
    fn blocks_and_seeds_differ() {
        let one = drawing(Law::Uniform);
        let other = Drawing { seed: 8, ..one };
        assert_ne!(one.departure(5, 2), other.departure(5, 2));
        assert_ne!(one.departure(5, 2), one.departure(5 + SEQUENCE, 2));
        assert_eq!(one.departure(5, 2), one.departure(5, 2));
    }
}

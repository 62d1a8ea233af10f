//! The highest place between neighbouring points: golden section, one direction after the other.

/// Width of the last bracket as a share of the whole span of a direction.
const FINEST: f64 = 1e-4;
/// Rounds through all directions.
const MOST_ROUNDS: usize = 8;
/// (sqrt 5 - 1) / 2.
const GOLDEN: f64 = 0.618_033_988_749_894_9;

/// A direction: the value where the search starts, and its neighbours.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub(super) low: f64,
    pub(super) start: f64,
    pub(super) high: f64,
    /// From the least to the greatest value that the direction has.
    pub(super) span: f64,
}

/// The highest place so far.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub(super) place: Vec<f64>,
    pub(super) height: f64,
    /// How often the height was asked for.
    pub(super) runs: usize,
}

/// Climbs from `start`. A place without a height counts as low.
pub(super) fn refine(sides: &[Side], start: Found, mut height: impl FnMut(&[f64]) -> Option<f64>) -> Found {
    let mut best = start;
    for _ in 0..MOST_ROUNDS {
        let mut moved = false;
        for (direction, side) in sides.iter().enumerate() {
            let before = best.place[direction];
            along(direction, side, &mut best, &mut height);
            moved |= (best.place[direction] - before).abs() > FINEST * side.span;
        }
        if !moved || sides.len() == 1 {
            break;
        }
    }
    best
}

fn along(direction: usize, side: &Side, best: &mut Found, height: &mut impl FnMut(&[f64]) -> Option<f64>) {
    let (mut low, mut high) = (side.low, side.high);
    let mut at = |value: f64, best: &mut Found| {
        let mut place = best.place.clone();
        place[direction] = value;
        best.runs += 1;
        let found = height(&place).unwrap_or(f64::NEG_INFINITY);
        if found > best.height {
            (best.place, best.height) = (place, found);
        }
        found
    };
    let inner = |low: f64, high: f64| [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    let [mut left, mut right] = inner(low, high);
    let (mut of_left, mut of_right) = (at(left, best), at(right, best));
    while high - low > FINEST * side.span {
        if of_left > of_right {
            (high, right, of_right) = (right, left, of_left);
            left = inner(low, high)[0];
            of_left = at(left, best);
        } else {
            (low, left, of_left) = (left, right, of_right);
            right = inner(low, high)[1];
            of_right = at(right, best);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn side(low: f64, start: f64, high: f64) -> Side {
        Side { low, start, high, span: 1.0 }
    }

    fn climb(sides: &[Side], height: impl Fn(&[f64]) -> f64) -> Found {
        let place: Vec<f64> = sides.iter().map(|side| side.start).collect();
        let start = Found { height: height(&place), place, runs: 0 };
        refine(sides, start, |place| Some(height(place)))
    }

    #[test]
    fn smooth_and_pointed_tops_are_found_to_the_last_bracket() {
        for top in [0.413, 0.5, 0.589] {
            let smooth = climb(&[side(0.4, 0.5, 0.6)], |x| -(x[0] - top).powi(2));
            assert!((smooth.place[0] - top).abs() < FINEST, "{smooth:?}");
            let pointed = climb(&[side(0.4, 0.5, 0.6)], |x| -(x[0] - top).abs());
            assert!((pointed.place[0] - top).abs() < FINEST, "{pointed:?}");
        }
    }

    #[test]
    fn a_slope_leads_to_the_end() {
        let found = climb(&[side(0.4, 0.4, 0.5)], |x| -x[0]);
        assert_eq!(found.place, [0.4]);
    }

    /// A ridge across both directions: x = y + 0.1, highest at y = 0.5.
    #[test]
    fn two_directions_follow_a_ridge() {
        let sides = [side(0.0, 0.3, 1.0), side(0.0, 0.3, 1.0)];
        let found = climb(&sides, |x| {
            let across = x[0] - x[1] - 0.1;
            -across * across - 0.5 * (x[1] - 0.5).powi(2)
        });
        // Rounds halve the distance along this ridge; eight of them leave less than a hundredth of 0.3.
        assert!((found.place[1] - 0.5).abs() < 0.3 / 20.0, "{found:?}");
    }
}

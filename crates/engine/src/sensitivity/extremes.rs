//! Where a waveform is least and greatest, and where else it nearly is.

use super::orbit::Orbit;

/// Heights that differ by less than this fraction of the swing are equal: the mesh tells no more.
const EQUAL: f64 = 1e-6;
/// Most places of equal height that are kept.
const MOST_EQUAL: usize = 6;
/// A place this close to the end of a step lies on it.
const AT_END: f64 = 1e-9;
/// A swing below this fraction of the value, or of all that the probe sees, is rounding.
const ROUNDING: f64 = 1e-10;

/// A place where a waveform is least or greatest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// Its value.
    pub value: f64,
    /// Time in seconds.
    pub time: f64,
    /// The step that it lies in, and where in it from 0 to 1.
    pub step: usize,
    /// See `step`.
    pub place: f64,
    /// Where it lies at a corner of the sources: the corner's time in seconds, and the waveform's slope per second on the side
    /// that it is taken from.
    pub corner: Option<(f64, f64)>,
}

/// The least and the greatest values of a waveform, each with the places that are as low or as high.
#[derive(Clone, Debug, PartialEq)]
pub struct Extremes {
    /// Where it is least.
    pub least: Vec<Extreme>,
    /// Where it is greatest.
    pub greatest: Vec<Extreme>,
    /// Whether it stands still, to rounding.
    pub still: bool,
}

impl Orbit<'_> {
    /// The extremes of a probe over stretches of the period; `None` where these are empty.
    #[must_use]
    pub fn extremes(&self, probe: usize, stretches: &[(f64, f64)]) -> Option<Extremes> {
        let mut seen: Vec<Extreme> = Vec::new();
        for step in 0..self.steps() {
            for stretch in stretches {
                self.candidates(probe, step, *stretch, &mut seen);
            }
        }
        let greatest = seen.iter().map(|one| one.value).max_by(f64::total_cmp)?;
        let least = seen.iter().map(|one| one.value).min_by(f64::total_cmp)?;
        let swing = greatest - least;
        let still = swing <= ROUNDING * greatest.abs().max(least.abs()).max(self.height_of_kind(probe));
        let equal = EQUAL * swing;
        let top = |sign: f64, best: f64| {
            let mut near: Vec<Extreme> = Vec::new();
            let mut last: Option<usize> = None;
            for (index, one) in seen.iter().enumerate() {
                if sign * (best - one.value) > equal {
                    continue;
                }
                // Neighbours belong to one place, of which the highest counts.
                let neighbours = last.is_some_and(|last| last + 1 == index);
                match near.last_mut().filter(|_| neighbours) {
                    Some(known) if sign * (one.value - known.value) > 0.0 => *known = *one,
                    Some(_) => {}
                    None => near.push(*one),
                }
                last = Some(index);
            }
            near.sort_by(|one, other| (sign * other.value).total_cmp(&(sign * one.value)));
            near.truncate(MOST_EQUAL);
            near
        };
        Some(Extremes { least: top(-1.0, least), greatest: top(1.0, greatest), still })
    }

    /// Ends and turns of a waveform in a step, in the order of time.
    fn candidates(&self, probe: usize, step: usize, (from, to): (f64, f64), seen: &mut Vec<Extreme>) {
        let polynomial = self.polynomial(step, probe);
        let place = |time: f64| ((time - polynomial.start) / polynomial.length).clamp(0.0, 1.0);
        let (first, last) = (place(from), place(to));
        if last <= first {
            return;
        }
        let mut places = vec![first, last];
        places.extend(polynomial.turns().into_iter().filter(|turn| *turn > first && *turn < last));
        places.sort_by(f64::total_cmp);
        let ends = step + 1 >= self.steps() || self.begins_leg(step + 1);
        for place in places {
            let time = polynomial.start + place * polynomial.length;
            let at_corner = (place < AT_END && self.begins_leg(step)) || (place > 1.0 - AT_END && ends);
            seen.push(Extreme {
                value: polynomial.at(place),
                time,
                step,
                place,
                corner: at_corner.then(|| (time, polynomial.slope(place))),
            });
        }
    }
}

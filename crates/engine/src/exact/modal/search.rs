//! The extremes of a probe over legs: the stretch that could pass what is known by most is cut first, and nothing is looked at that
//! could not pass it.

use super::course::Course;
use super::hill::Hill;
use super::leg::Leg;
use super::passed::Passed;
use super::signals::Signals;
use crate::observe::Totals;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Legs that wait until extremes of others are known, which spares most of them.
const WAITING: usize = 32;
/// A stretch counts as looked at when it is this part of its leg: a millionth of a millionth.
const SHORTEST: f64 = 1e-12;
/// One in so many cuts is in the middle, whatever the summit is told to be.
const SURELY: u32 = 4;

/// A search for one probe.
#[derive(Default)]
pub(super) struct Search {
    /// Those in use, and room of former ones.
    courses: Vec<Course>,
    used: usize,
    stretches: Vec<Stretch>,
    /// Which of them could pass most.
    next: BinaryHeap<Next>,
}

/// What is known of a probe beside its totals, and what is allowed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) least: f64,
    pub(super) greatest: f64,
    /// Departure allowed to an extreme.
    pub(super) tolerance: f64,
}

/// A stretch's place in the order.
struct Next {
    /// By how much it could pass what was known when it was cut.
    excess: f64,
    /// Which of all that were cut.
    stretch: u32,
}

/// A part of a leg that has yet to be looked at.
#[derive(Clone, Copy)]
struct Stretch {
    course: u32,
    /// How often its leg was cut.
    depth: u32,
    ends: [usize; 2],
    /// From above and from below.
    hills: [Hill; 2],
}

impl Known {
    pub(super) fn with(self, totals: &Totals) -> Self {
        Self { least: self.least.min(totals.least), greatest: self.greatest.max(totals.greatest), ..self }
    }

    /// Whether a waveform that stays so near to what lies between two values can pass, above and below.
    pub(super) fn can_be_passed(self, [first, last]: [f64; 2], [above, below]: [f64; 2]) -> [bool; 2] {
        [
            first.max(last) + above > self.greatest + self.tolerance,
            first.min(last) - below < self.least - self.tolerance,
        ]
    }

    /// By how much either side of a stretch can pass, by the most that each comes to.
    fn excesses(self, [above, below]: [f64; 2]) -> [f64; 2] {
        [above - self.greatest, below + self.least]
    }
}

impl Search {
    /// Puts a leg that ends with a value among those that wait, if it can pass what is known on one of the sides that are asked for.
    #[expect(clippy::too_many_arguments, reason = "a leg and what is known")]
    pub(super) fn add(
        &mut self,
        signals: &Signals,
        leg: &Leg,
        passed: &Passed<'_>,
        probe: usize,
        last: f64,
        sides: [bool; 2],
        known: Known,
        totals: &mut Totals,
    ) {
        if self.used == self.courses.len() {
            self.courses.push(Course::default());
        }
        self.courses[self.used].set(signals, leg, &passed.stride.rates, probe, passed.start, last);
        let asked = sides.map(|asked| if asked { f64::INFINITY } else { f64::NEG_INFINITY });
        if self.keep(self.used as u32, 0, [Course::START, Course::END], known.with(totals), asked) {
            self.used += 1;
            if self.used == WAITING {
                self.finish(known, totals);
            }
        }
    }

    /// Looks at all that wait.
    pub(super) fn finish(&mut self, known: Known, totals: &mut Totals) {
        while let Some(next) = self.next.pop() {
            let stretch = self.stretches[next.stretch as usize];
            let [above, below] = known.with(totals).excesses(stretch.hills.map(|hill| hill.most));
            if above.max(below) <= known.tolerance {
                continue;
            }
            let course = &mut self.courses[stretch.course as usize];
            let [from, to] = stretch.ends.map(|end| course.point(end).time);
            let length = to - from;
            if length <= SHORTEST * course.rates.duration {
                continue;
            }
            let sign = if above >= below { 1.0 } else { -1.0 };
            let hill = if above >= below { stretch.hills[0] } else { stretch.hills[1] };
            let sure = stretch.depth % SURELY == SURELY - 1;
            let summit = hill.summit.filter(|_| !sure);
            let cut = summit.or(hill.faded.filter(|_| !sure)).unwrap_or(0.5 * length);
            let point = course.look(stretch.ends[0], from + cut, summit.is_none());
            see(course, point, totals);
            if summit.is_some() {
                look_at_crest(course, sign, stretch.ends, point, known.tolerance, totals);
            }
            let known = known.with(totals);
            for ends in [[stretch.ends[0], point], [point, stretch.ends[1]]] {
                self.keep(
                    stretch.course,
                    stretch.depth + 1,
                    ends,
                    known,
                    stretch.hills.map(|hill| hill.most),
                );
            }
        }
        self.stretches.clear();
        self.used = 0;
    }

    /// Keeps a stretch if it can pass what is known. A side that could not pass when it was part of a longer one, where no value was above
    /// `most`, can't now.
    fn keep(&mut self, course: u32, depth: u32, ends: [usize; 2], known: Known, most: [f64; 2]) -> bool {
        let whole = &self.courses[course as usize];
        let before = known.excesses(most);
        let side = |side: usize, sign: f64| {
            if before[side] <= known.tolerance {
                Hill { most: most[side], summit: None, faded: None }
            } else {
                Hill::between(whole, sign, ends, known.tolerance)
            }
        };
        let hills = [side(0, 1.0), side(1, -1.0)];
        let [above, below] = known.excesses(hills.map(|hill| hill.most));
        let excess = above.max(below);
        let kept = excess > known.tolerance;
        if kept {
            self.next.push(Next { excess, stretch: self.stretches.len() as u32 });
            self.stretches.push(Stretch { course, depth, ends, hills });
        }
        kept
    }
}

fn see(course: &Course, point: usize, totals: &mut Totals) {
    let at = course.point(point);
    totals.see(course.start + at.time, at.value);
}

/// Where a summit is seen through modes that ring, looks at that crest of the highest of them that is nearest.
fn look_at_crest(
    course: &mut Course,
    sign: f64,
    ends: [usize; 2],
    summit: usize,
    tolerance: f64,
    totals: &mut Totals,
) {
    let [from, to] = ends.map(|end| course.point(end).time);
    let (reach, Some(mode)) = Hill::ringing(course, to - from, summit) else { return };
    if reach <= tolerance {
        return;
    }
    let (height, time) = (course.heights(summit)[mode], course.point(summit).time);
    let turning = course.rates.rates[mode].im;
    let crest = time - (sign * height.imaginary).atan2(sign * height.real) / turning;
    let turn = std::f64::consts::TAU / turning;
    let crest = if crest < from {
        crest + turn
    } else if crest > to {
        crest - turn
    } else {
        crest
    };
    if crest > from && crest < to {
        let point = course.look(ends[0], crest, false);
        see(course, point, totals);
    }
}

impl Ord for Next {
    fn cmp(&self, other: &Self) -> Ordering {
        self.excess.total_cmp(&other.excess).then_with(|| other.stretch.cmp(&self.stretch))
    }
}

impl PartialOrd for Next {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Next {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Next {}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Complex;

    /// Rate and height.
    type Mode = (Complex<f64>, Complex<f64>);

    /// Numbers between 0 and 1 without an end.
    fn numbers(seed: f64) -> impl FnMut() -> f64 {
        let mut count = 0.0;
        move || {
            count += 1.0;
            (1e4 * f64::sin(12.9898 * count + 78.233 * seed)).fract().abs()
        }
    }

    /// A leg of a few modes: fast and slow ones that fade, or grow a little, some that swing, some that ring a thousand times, of heights that differ by
    /// powers of ten.
    fn leg(seed: f64) -> (Vec<f64>, f64, Vec<Mode>) {
        let mut number = numbers(seed);
        let mut between = |low: f64, high: f64| low + (high - low) * number();
        let duration = 10f64.powf(between(-7.0, -3.0));
        let polynomial = vec![between(-1.0, 1.0), between(-1.0, 1.0) / duration];
        let count = 1 + between(0.0, 6.0) as usize;
        let mode = |_| {
            let fading =
                if between(0.0, 1.0) < 0.1 { between(0.4, 2.0) } else { -(10f64.powf(between(-0.4, 3.0))) };
            let turning = if between(0.0, 1.0) < 0.5 { 0.0 } else { 10f64.powf(between(-0.4, 3.0)) };
            let height = 10f64.powf(between(-4.0, 0.0)) * between(-1.0, 1.0).signum();
            let angle = if turning == 0.0 { 0.0 } else { between(0.0, 6.0) };
            (
                Complex::new(fading, turning) / duration,
                Complex::from_polar(height.abs(), angle) * height.signum(),
            )
        };
        let modes = (0..count).map(mode).collect();
        (polynomial, duration, modes)
    }

    /// Against the values at a hundred thousand moments of each of three hundred legs: no extreme is missed by more than is allowed, none is made up, and
    /// few moments are looked at.
    #[test]
    fn finds_what_many_looks_find() {
        let (mut looks, mut most) = (0, 0);
        for seed in 0..300 {
            let (polynomial, duration, modes) = leg(f64::from(seed));
            let value = |time: f64| {
                let powers = polynomial.iter().rev().fold(0.0, |sum, value| sum * time + value);
                powers + modes.iter().map(|(rate, height)| ((rate * time).exp() * height).re).sum::<f64>()
            };
            let (mut least, mut greatest) = (f64::INFINITY, f64::NEG_INFINITY);
            for k in 0..=100_000 {
                let value = value(duration * f64::from(k) / 1e5);
                (least, greatest) = (least.min(value), greatest.max(value));
            }
            let tolerance = 1e-5 * (greatest - least);
            let mut totals = Totals::new();
            totals.see(0.0, value(0.0));
            totals.see(duration, value(duration));
            let known = Known { least: f64::INFINITY, greatest: f64::NEG_INFINITY, tolerance };
            let mut search = Search::default();
            search.courses.push(Course::of(&polynomial, duration, &modes));
            search.keep(0, 0, [Course::START, Course::END], known.with(&totals), [f64::INFINITY; 2]);
            search.finish(known, &mut totals);
            // The fastest turns in a hundred of the moments: they see a crest to (2 pi / 200)^2 / 2 of its height, which is at most 1.
            let unseen = 5e-4 * modes.iter().map(|(_, height)| height.norm()).sum::<f64>();
            assert!(totals.greatest >= greatest - tolerance, "{seed}: {} of {greatest}", totals.greatest);
            assert!(totals.least <= least + tolerance, "{seed}: {} of {least}", totals.least);
            assert!(totals.greatest <= greatest + unseen, "{seed}: {} of {greatest}", totals.greatest);
            assert!(totals.least >= least - unseen, "{seed}: {} of {least}", totals.least);
            let there = (value(totals.time_of_greatest) - totals.greatest).abs();
            assert!(there < 1e-9 * (1.0 + totals.greatest.abs()), "{seed}: {there:e} from what is there");
            looks += search.courses[0].looks();
            most = most.max(search.courses[0].looks());
        }
        // A dozen a leg on the average.
        assert!(looks < 20 * 300 && most < 100, "{looks} looks, {most} at the most for a leg");
    }

    /// Of legs that wait together only those are looked at that can matter: a low one beside a high one is not.
    #[test]
    fn low_legs_are_spared() {
        let mode = |height: f64| [(Complex::new(-3e5, 2e6), Complex::new(height, 0.0))];
        let known = Known { least: -1.0, greatest: 1.0, tolerance: 1e-5 };
        let mut search = Search::default();
        let mut totals = Totals::new();
        for height in [1.1, 3.0, 1.2] {
            let course = search.courses.len() as u32;
            search.courses.push(Course::of(&[0.0, 1e4], 1e-5, &mode(height)));
            totals.see(0.0, height);
            search.keep(course, 0, [Course::START, Course::END], known, [f64::INFINITY; 2]);
        }
        search.finish(known, &mut totals);
        assert_eq!(search.courses[0].looks(), 2);
        assert_eq!(search.courses[2].looks(), 2);
        assert!(search.courses[1].looks() > 2);
    }
}

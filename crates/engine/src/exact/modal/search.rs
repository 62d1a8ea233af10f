//! The extremes of a probe over a leg: the stretch that could pass what is known by most is halved first, and nothing is looked at that
//! could not pass it.

use super::course::{Bounds, Course, Place};
use super::levels::{Levels, MOST_HALVINGS};
use crate::observe::Totals;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Room for a search, kept between searches.
#[derive(Default)]
pub(super) struct Search {
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
    depth: usize,
    /// Which of the 2^depth stretches of this length.
    index: u64,
    places: [Place; 2],
    values: [f64; 2],
    bounds: Bounds,
}

impl Known {
    pub(super) fn with(self, totals: &Totals) -> Self {
        Self { least: self.least.min(totals.least), greatest: self.greatest.max(totals.greatest), ..self }
    }

    /// Whether a waveform that stays this near to what lies between two values can pass.
    pub(super) fn can_be_passed(self, [first, last]: [f64; 2], reach: f64) -> bool {
        first.max(last) + reach > self.greatest + self.tolerance
            || first.min(last) - reach < self.least - self.tolerance
    }

    fn excess(self, bounds: &Bounds) -> f64 {
        (bounds.high - self.greatest).max(self.least - bounds.low)
    }

    /// Whether a waveform can pass by more than is allowed.
    fn is_passed(self, bounds: &Bounds) -> bool {
        self.excess(bounds) > self.tolerance
    }
}

impl Search {
    /// Looks at a leg that begins `start` seconds after the run did, with the given values at its ends.
    pub(super) fn over(
        &mut self,
        course: &mut Course,
        levels: &Levels,
        start: f64,
        values: [f64; 2],
        known: Known,
        totals: &mut Totals,
    ) {
        self.stretches.clear();
        self.next.clear();
        self.keep(course, levels, 0, 0, [Course::START, Course::END], values, known.with(totals));
        while let Some(next) = self.next.pop() {
            let stretch = self.stretches[next.stretch as usize];
            if !known.with(totals).is_passed(&stretch.bounds) {
                continue;
            }
            let level = levels.at(stretch.depth);
            let middle = course.middle(stretch.places[0], level);
            let from = stretch.index as f64 * level.length;
            let value = course.value(middle, from + 0.5 * level.length);
            totals.see(start + from + 0.5 * level.length, value);
            let [first, last] = stretch.values;
            if stretch.bounds.parabola <= known.tolerance || stretch.depth == MOST_HALVINGS {
                // Where the parabola through the three turns.
                let (slope, bend) = (4.0 * value - 3.0 * first - last, 2.0 * (first + last - 2.0 * value));
                let turn = -slope / (2.0 * bend);
                if turn > 0.0 && turn < 1.0 {
                    totals.see(start + from + turn * level.length, first + turn * (slope + turn * bend));
                }
                continue;
            }
            let [left, right] = stretch.places;
            let (depth, index) = (stretch.depth + 1, 2 * stretch.index);
            let known = known.with(totals);
            self.keep(course, levels, depth, index, [left, middle], [first, value], known);
            self.keep(course, levels, depth, index + 1, [middle, right], [value, last], known);
        }
    }

    #[expect(clippy::too_many_arguments, reason = "what is known of one stretch")]
    fn keep(
        &mut self,
        course: &Course,
        levels: &Levels,
        depth: usize,
        index: u64,
        places: [Place; 2],
        values: [f64; 2],
        known: Known,
    ) {
        let bounds = course.bounds(levels.at(depth), places, values);
        let excess = known.excess(&bounds);
        if excess > known.tolerance {
            self.next.push(Next { excess, stretch: self.stretches.len() as u32 });
            self.stretches.push(Stretch { depth, index, places, values, bounds });
        }
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

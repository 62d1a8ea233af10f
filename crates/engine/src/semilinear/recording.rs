//! The steps of a walk, kept so that its waveforms can be gone through as often as need be.

use super::pace::Pace;
use super::reference::Reference;
use crate::exact::{Instant, Legs, Passed, Reduced, Signals};
use std::rc::Rc;

/// Steps that are kept: some hundred bytes each.
const MOST_STEPS: usize = 100_000;

/// Steps in the order of time, all loads on the lines they began on.
#[derive(Default)]
pub(crate) struct Recording<'e, 'n> {
    steps: Vec<Kept>,
    references: Vec<Rc<Reference<'e, 'n>>>,
    /// Of each step what [`Numbers`] names, one after the other.
    numbers: Vec<f64>,
    states: usize,
    sources: usize,
    ports: usize,
    ranges: Vec<(f64, f64)>,
    overflown: bool,
}

struct Kept {
    reference: usize,
    pace: Rc<Pace>,
    start: f64,
    end: f64,
}

/// What a step began with and came to.
pub(super) struct Numbers<'a> {
    pub(super) state: &'a [f64],
    pub(super) end_state: &'a [f64],
    pub(super) sources: &'a [f64],
    pub(super) slopes: &'a [f64],
    /// Rate of the rest at the start, and its growth.
    pub(super) rate: &'a [f64],
    pub(super) growth: &'a [f64],
}

impl<'e, 'n> Recording<'e, 'n> {
    pub(super) fn keep(
        &mut self,
        reference: &Rc<Reference<'e, 'n>>,
        pace: &Rc<Pace>,
        (start, end): (f64, f64),
        numbers: &Numbers<'_>,
    ) {
        self.overflown |= self.steps.len() >= MOST_STEPS;
        if self.overflown {
            return;
        }
        let same = |known: &Rc<Reference<'e, 'n>>| Rc::ptr_eq(known, reference);
        let index = self.references.iter().rposition(same).unwrap_or_else(|| {
            self.references.push(Rc::clone(reference));
            self.references.len() - 1
        });
        (self.states, self.sources, self.ports) =
            (numbers.state.len(), numbers.sources.len(), numbers.rate.len());
        self.steps.push(Kept { reference: index, pace: Rc::clone(pace), start, end });
        let late =
            numbers.sources.iter().zip(numbers.slopes).map(|(value, slope)| value + slope * pace.length);
        let late_rate =
            numbers.rate.iter().zip(numbers.growth).map(|(rate, growth)| rate + growth * pace.length);
        let all =
            [numbers.state, numbers.end_state, numbers.sources, numbers.slopes, numbers.rate, numbers.growth];
        all.into_iter().for_each(|numbers| self.numbers.extend_from_slice(numbers));
        self.numbers.extend(late);
        self.numbers.extend(late_rate);
    }

    /// Whether all of the walk is there, and all probes are sums of modes.
    pub(crate) fn can_be_shown(&mut self) -> bool {
        let told = self.references.iter().all(|reference| reference.signals().is_some());
        if let Some(reference) = self.references.first() {
            self.ranges = reference.bounded_ranges();
        }
        !self.overflown && !self.steps.is_empty() && told
    }
}

impl Legs for Recording<'_, '_> {
    fn each(&mut self, visit: &mut dyn FnMut(&Passed<'_>)) {
        let (states, sources, ports) = (self.states, self.sources, self.ports);
        let width = 2 * states + 3 * sources + 3 * ports;
        for (step, numbers) in self.steps.iter().zip(self.numbers.chunks_exact(width)) {
            let reference = &self.references[step.reference];
            let (Some(signals), Some(stride)) = (reference.signals(), step.pace.stride(reference)) else {
                continue;
            };
            let (state, rest) = numbers.split_at(states);
            let (end_state, rest) = rest.split_at(states);
            let (early, rest) = rest.split_at(sources);
            let (slopes, rest) = rest.split_at(sources);
            let (rate, rest) = rest.split_at(ports);
            let (growth, rest) = rest.split_at(ports);
            let (late, late_rate) = rest.split_at(sources);
            visit(&Passed {
                reduced: &reference.reduced,
                signals,
                stride,
                start: step.start,
                end: step.end,
                from: Instant { state, sources: early, rest: rate },
                to: Instant { state: end_state, sources: late, rest: late_rate },
                slopes,
                growth,
            });
        }
    }

    fn some(&self) -> (&Reduced, &Signals) {
        let reference = &self.references[0];
        (&reference.reduced, reference.signals().expect("it can be shown"))
    }

    fn ranges(&self) -> &[(f64, f64)] {
        &self.ranges
    }
}

//! The steps of a walk, kept so that its waveforms can be gone through as often as need be.

use super::drawing::Drawn;
use super::pace::Pace;
use super::reference::Reference;
use super::step::{At, Step};
use super::walk::{Leg, Point, Semilinear};
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
struct Numbers<'a> {
    state: &'a [f64],
    end_state: &'a [f64],
    sources: &'a [f64],
    slopes: &'a [f64],
    /// Rate of the rest at the start, and its growth.
    rate: &'a [f64],
    growth: &'a [f64],
}

impl<'e, 'n> Recording<'e, 'n> {
    fn keep(
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

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// Keeps the step that was attempted last, if no probe feels that the rest did not change at the rate of its parabola.
    #[expect(clippy::too_many_arguments, reason = "what is known of one step")]
    pub(super) fn record(
        &mut self,
        reference: &Rc<Reference<'e, 'n>>,
        pace: &Rc<Pace>,
        leg: &Leg,
        from: &Point,
        step: &Step,
        finest: bool,
        recording: &mut Recording<'e, 'n>,
    ) -> Drawn {
        let ([first, half, last], ports) = (self.scratch.rests(), from.x.len());
        let length = pace.length;
        let rate = |port: usize| (4.0 * half[port] - 3.0 * first[port] - last[port]) / length;
        let growth = |port: usize| 4.0 * (first[port] + last[port] - 2.0 * half[port]) / (length * length);
        let rates: Vec<f64> = (0..ports).map(rate).collect();
        let growths: Vec<f64> = (0..ports).map(growth).collect();
        let slopes = leg.slopes.as_slice();
        if !finest && !self.felt.is_empty() {
            let [mut rate, mut offs] = [&mut self.scratch.rate, &mut self.scratch.offs].map(std::mem::take);
            offs.clear();
            for (at, after) in [
                (At::Start, 0.0),
                (At::Quarter, pace.quarter.after),
                (At::Middle, pace.middle.after),
                (At::End, pace.end.after),
            ] {
                if at == At::Start {
                    rate.clear();
                    let state = from.y.as_slice();
                    rate.extend(
                        (0..ports)
                            .map(|port| reference.port_slope(port, state, &self.scratch.sources, slopes)),
                    );
                    self.rate_there(reference, at, &mut rate);
                } else {
                    self.rate_at(reference, pace, at, slopes, &mut rate);
                }
                let parabolas = rates.iter().zip(&growths).map(|(rate, growth)| rate + growth * after);
                offs.extend(rate.iter().zip(parabolas).map(|(rate, parabola)| rate - parabola));
            }
            let most = self.strain(reference, &offs);
            (self.scratch.rate, self.scratch.offs) = (rate, offs);
            if most > 1.0 {
                return Drawn::Badly;
            }
            self.pacing.1 = self.pacing.1.max(most);
        }
        let whole = leg.end - leg.start;
        let time = |at: f64| if at >= whole * (1.0 - 1e-12) { leg.end } else { leg.start + at };
        let numbers = Numbers {
            state: from.y.as_slice(),
            end_state: step.end.y.as_slice(),
            sources: &self.scratch.sources,
            slopes,
            rate: &rates,
            growth: &growths,
        };
        recording.keep(reference, pace, (time(from.at), time(step.end.at)), &numbers);
        Drawn::Well
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

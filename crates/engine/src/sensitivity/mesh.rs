//! Where the orbit's steps lie: between the corners of sources, as short as the orbit's bends ask.

use super::polynomial::Polynomial;
use super::radau::{Drive, Radau, Trouble, abscissae};
use super::system::System;
use crate::clock::Clock;
use crate::failure::Failure;

/// A leg is cut at most into so many halves of halves.
const MOST_LEVELS: u32 = 26;
/// Halvings of the very first leg to begin with.
const FIRST_LEVEL: u32 = 6;
/// Where half a step has an error so many times as large, it is rounding that grows, and the whole step will do.
const GROWS: f64 = 2.0;
/// Errors above this many times what is allowed are none of rounding.
const MOST_ROUNDING: f64 = 30.0;
/// Steps of a period in which nothing moves.
const STILL: u32 = 8;
/// Where the error is below this share of what is allowed, twice the step will do: the polynomial errs by its length to the fourth.
const WORTH_GROWING: f64 = 1.0 / 40.0;

/// A stretch between two corners, with the sources as straight lines.
#[derive(Clone, Debug)]
pub(super) struct Leg {
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) values: Vec<f64>,
    pub(super) slopes: Vec<f64>,
}

/// One step of the orbit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    pub(super) leg: usize,
    /// From the start of the leg, in seconds.
    pub(super) from: f64,
    pub(super) length: f64,
}

/// Stages of the sources in a step.
pub(super) fn drive(leg: &Leg, from: f64, length: f64) -> Drive {
    let at = |abscissa: f64| {
        let since = from + abscissa * length;
        leg.values.iter().zip(&leg.slopes).map(|(value, slope)| value + slope * since).collect()
    };
    Drive { length, sources: abscissae().map(at) }
}

/// All legs of a period.
pub(super) fn legs(system: &System<'_>, period: f64) -> Vec<Leg> {
    let mut clock = Clock::new(&system.equations.sources, 0.0);
    let mut legs = Vec::new();
    while clock.time < period {
        let end = clock.next_corner(period);
        legs.push(Leg { start: clock.time, end, values: clock.values.clone(), slopes: clock.slopes.clone() });
        clock.advance(end);
    }
    legs
}

/// Finds steps on the way of a solution, from its charges and unknowns at t = 0, and the unknowns at their stages.
pub(super) struct Mesher<'a, 'n> {
    pub(super) system: &'a System<'n>,
    pub(super) scales: &'a [f64],
    /// Error allowed, as a fraction of each unknown's scale.
    pub(super) tolerance: f64,
    pub(super) radau: &'a mut Radau,
    pub(super) charges: Vec<f64>,
    pub(super) x: Vec<f64>,
    /// Unknowns at the stages of all steps made.
    pub(super) stages: Vec<f64>,
}

impl Mesher<'_, '_> {
    pub(super) fn steps(mut self, legs: &[Leg]) -> Result<(Vec<Step>, Vec<f64>), Failure> {
        let mut steps = Vec::new();
        if let [leg] = legs
            && leg.slopes.iter().all(|slope| *slope == 0.0)
        {
            let length = (leg.end - leg.start) / f64::from(STILL);
            for step in 0..STILL {
                let from = f64::from(step) * length;
                let stages =
                    self.try_step(leg, from, length).map_err(|trouble| self.failed(trouble, from))?;
                steps.push(Step { leg: 0, from, length });
                self.take(&stages);
            }
            return Ok((steps, self.stages));
        }
        let mut first = legs.first().map_or(0.0, |leg| (leg.end - leg.start) / f64::from(1 << FIRST_LEVEL));
        for (index, leg) in legs.iter().enumerate() {
            self.cut(index, leg, &mut first, &mut steps)?;
        }
        Ok((steps, self.stages))
    }

    fn cut(
        &mut self,
        index: usize,
        leg: &Leg,
        first: &mut f64,
        steps: &mut Vec<Step>,
    ) -> Result<(), Failure> {
        let whole = leg.end - leg.start;
        let finest = 1u64 << MOST_LEVELS;
        let mut level = ((whole / *first).log2().ceil().max(0.0) as u32).min(MOST_LEVELS);
        let mut at = 0u64;
        // The first half of a step that was too long; and that step, with its error.
        let mut kept: Option<Vec<f64>> = None;
        let mut longer: Option<(Vec<f64>, f64)> = None;
        while at < finest {
            let ticks = finest >> level;
            let (from, length) = (whole * at as f64 / finest as f64, whole * ticks as f64 / finest as f64);
            let full = match kept.take() {
                Some(full) => Ok(full),
                None => self.try_step(leg, from, length),
            };
            let tried = full.and_then(|full| {
                let half = self.try_step(leg, from, 0.5 * length)?;
                Ok((full, half))
            });
            let (full, half) = match tried {
                Ok(tried) => tried,
                Err(_) if level < MOST_LEVELS - 1 => {
                    level += 1;
                    continue;
                }
                Err(trouble) => return Err(self.failed(trouble, leg.start + from)),
            };
            let error = self.error(&full, &half, at == 0);
            if let Some((whole_step, before)) = longer.take()
                && error > GROWS * before
                && before < MOST_ROUNDING
            {
                level -= 1;
                steps.push(Step { leg: index, from, length: 2.0 * length });
                at += 2 * ticks;
                self.take(&whole_step);
                continue;
            }
            if error > 1.0 && level < MOST_LEVELS - 1 {
                level += 1;
                kept = Some(half);
                longer = Some((full, error));
                continue;
            }
            if at == 0 {
                *first = length;
            }
            steps.push(Step { leg: index, from, length });
            at += ticks;
            self.take(&full);
            // A longer step begins where such a one could.
            if error < WORTH_GROWING && level > 0 && at.is_multiple_of(ticks << 1) {
                level -= 1;
            }
        }
        Ok(())
    }

    fn try_step(&mut self, leg: &Leg, from: f64, length: f64) -> Result<Vec<f64>, Trouble> {
        let mut stages = [self.x.as_slice(), &self.x, &self.x].concat();
        let drive = drive(leg, from, length);
        self.radau.solve(self.system, &drive, &self.charges, self.scales, &mut stages)?;
        Ok(stages)
    }

    /// How far the polynomial of a step is from the end of its first half, in what is allowed.
    fn error(&self, full: &[f64], half: &[f64], at_corner: bool) -> f64 {
        let size = self.x.len();
        let mut worst = 0.0f64;
        for index in 0..size {
            let values = [self.x[index], full[index], full[size + index], full[2 * size + index]];
            let polynomial = Polynomial { start: 0.0, length: 1.0, values, continuous: !at_corner };
            let error = (polynomial.at(0.5) - half[2 * size + index]).abs();
            worst = worst.max(error / (self.tolerance * self.scales[index]));
        }
        worst
    }

    fn take(&mut self, stages: &[f64]) {
        let size = self.x.len();
        self.stages.extend_from_slice(stages);
        self.x.copy_from_slice(&stages[2 * size..]);
        self.system.charges(&self.x, &mut self.charges);
    }

    fn failed(&self, trouble: Trouble, time: f64) -> Failure {
        failure(self.system, trouble, time)
    }
}

/// Why a step can't be made, in the user's terms.
pub(super) fn failure(system: &System<'_>, trouble: Trouble, time: f64) -> Failure {
    let size = system.size();
    let unknown = match trouble {
        Trouble::TryShorter(unknown) => unknown,
        Trouble::Singular(singular) => singular.column % size,
    };
    Failure::NoConvergence { time: Some(time), place: system.name_of(unknown) }
}

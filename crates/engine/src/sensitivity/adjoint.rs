//! Derivatives of readings by the adjoint of the orbit's steps: once back through the period, whatever the number of values.

use super::orbit::{Orbit, Weights};
use super::radau::{Radau, charge_product};
use super::touched::{Change, Motion, Unlike, Variation, of_source};
use crate::failure::Failure;

/// A step of a waveform from one side of a corner to the other above this fraction of its swing is none of the mesh's errors.
const JUMP: f64 = 1e-3;

/// What a step's multipliers are handed on as: the step, and for each number read the multipliers of its three stages' charges and
/// currents.
type Visit<'v> = &'v mut dyn FnMut(usize, &[Multipliers]);

/// Multipliers of one number over one step, stage after stage.
struct Multipliers {
    charges: Vec<f64>,
    currents: Vec<f64>,
}

/// A variation as the orbit sees it.
pub struct Effect<'a>(Change<'a>);

impl Orbit<'_> {
    /// Sorts out what a value changes.
    ///
    /// # Errors
    /// A [`Failure`] of a network's drawing; inside, why the value has no sensitivity here.
    pub fn effect<'a>(&self, variation: &Variation<'a>) -> Result<Result<Effect<'a>, Unlike>, Failure> {
        Ok(Change::new(&self.system, &self.legs, self.period, variation)?.map(Effect))
    }

    /// How the corner of the sources at a time moves with a value.
    #[must_use]
    pub fn motion(&self, effect: &Effect<'_>, time: f64) -> Motion {
        match effect.0.motion(time, self.period) {
            Motion::By(moves)
                if moves != 0.0 && effect.0.stays(time, &self.legs, &self.system.equations.sources) =>
            {
                Motion::Unclear
            }
            motion => motion,
        }
    }

    /// Whether a probe's waveform jumps at a corner whose motion with a value is unclear: what is not a straight line of the waveform has a
    /// kink there.
    #[must_use]
    pub fn jumps_unclearly(&self, effect: &Effect<'_>, probe: usize) -> bool {
        let unknown = self.system.probe(probe);
        let jumps = |step: usize| {
            let before = self.stage(self.before(step), 2)[unknown];
            (self.polynomial(step, probe).at(0.0) - before).abs() > JUMP * self.scales[unknown]
        };
        let corners = (0..self.steps()).filter(|step| self.begins_leg(*step) && jumps(*step));
        let times = corners.map(|step| self.legs[self.steps[self.before(step)].leg].end);
        times.into_iter().any(|time| self.motion(effect, time) == Motion::Unclear)
    }

    /// The derivative of each number by each value: one row a number.
    ///
    /// # Errors
    /// A matrix that the orbit's own steps could solve and this can't: never in practice.
    pub fn sensitivities(
        &self,
        numbers: &[Weights],
        effects: &mut [Effect<'_>],
    ) -> Result<Vec<Vec<f64>>, Failure> {
        let size = self.system.size();
        let nothing = vec![vec![0.0; size]; numbers.len()];
        let walked = self.walk_back(numbers, nothing, &mut |_, _| {})?;
        let parts = Vec::new;
        let singular = || Failure::NoSteadyState { nodes: parts(), parts: parts() };
        let closing = self.periodic(&walked).ok_or_else(singular)?;
        let mut sums = vec![vec![0.0; effects.len()]; numbers.len()];
        let mut entered = None;
        let mut active: Vec<(usize, &mut Effect<'_>)> =
            effects.iter_mut().enumerate().filter(|(_, effect)| !effect.0.is_idle()).collect();
        let rides: Vec<Option<Vec<[f64; 2]>>> =
            active.iter().map(|(_, effect)| effect.0.rides(&self.system, &self.legs, self.period)).collect();
        let mut rates = vec![0.0; 3 * size];
        self.walk_back(numbers, closing, &mut |step, multipliers| {
            let drive = self.drive(step);
            let place = self.steps[step];
            if entered != Some(place.leg) {
                entered = Some(place.leg);
                active.iter_mut().for_each(|(_, effect)| effect.0.enter(&self.legs[place.leg]));
            }
            for stage in 0..3 {
                let x = self.stage(step, stage);
                self.system.currents(x, &drive.sources[stage], &mut rates[stage * size..(stage + 1) * size]);
            }
            let abscissae = super::radau::abscissae();
            for ((index, effect), rides) in active.iter().zip(&rides) {
                let effect = &effect.0;
                for stage in 0..3 {
                    let since = place.from + abscissae[stage] * place.length;
                    let sums = std::cell::RefCell::new(&mut sums);
                    let mut add = |of_charges: bool, equation: usize, value: f64| {
                        for (sum, multipliers) in sums.borrow_mut().iter_mut().zip(multipliers) {
                            let list = if of_charges { &multipliers.charges } else { &multipliers.currents };
                            sum[*index] += list[stage * size + equation] * value;
                        }
                    };
                    let add = std::cell::RefCell::new(&mut add);
                    effect.derivatives(
                        &self.system,
                        self.stage(step, stage),
                        &drive.sources[stage],
                        since,
                        &mut |equation, value| (add.borrow_mut())(true, equation, value),
                        &mut |equation, value| (add.borrow_mut())(false, equation, value),
                    );
                }
                if let Some(rides) = rides {
                    self.ride(step, rides[place.leg], numbers, multipliers, &rates, *index, &mut sums);
                }
                if effect.stretch != 0.0 {
                    // A longer step: minus its relative growth times what the charges' slopes weigh, which the currents balance.
                    for (sum, multipliers) in sums.iter_mut().zip(multipliers) {
                        let weighed: f64 =
                            multipliers.currents.iter().zip(&rates).map(|(one, other)| one * other).sum();
                        sum[*index] += effect.stretch * weighed;
                    }
                }
            }
        })?;
        Ok(sums)
    }

    /// What changes besides where steps ride with the ends of a leg: they grow, their stages see the sources later, and what is read from
    /// them moves.
    #[allow(clippy::too_many_arguments, reason = "what one place of the walk back holds")]
    fn ride(
        &self,
        step: usize,
        [start, end]: [f64; 2],
        numbers: &[Weights],
        multipliers: &[Multipliers],
        rates: &[f64],
        column: usize,
        sums: &mut [Vec<f64>],
    ) {
        let size = self.system.size();
        let (place, abscissae) = (self.steps[step], super::radau::abscissae());
        let leg = &self.legs[place.leg];
        let growth = (end - start) / (leg.end - leg.start);
        for ((number, sum), multipliers) in numbers.iter().zip(sums).zip(multipliers) {
            let [by_shift, by_growth] = number.of_motion[step];
            sum[column] += start * by_shift + growth * by_growth;
            let weighed: f64 = multipliers.currents.iter().zip(rates).map(|(one, other)| one * other).sum();
            sum[column] += growth * weighed;
            for (stage, abscissa) in abscissae.into_iter().enumerate() {
                let later = start + growth * (place.from + abscissa * place.length);
                for (source, slope) in leg.slopes.iter().enumerate().filter(|(_, slope)| **slope != 0.0) {
                    of_source(&self.system, source, slope * later, &mut |equation, value| {
                        sum[column] += multipliers.currents[stage * size + equation] * value;
                    });
                }
            }
        }
    }

    fn stage(&self, step: usize, stage: usize) -> &[f64] {
        let size = self.system.size();
        let from = (3 * step + stage) * size;
        &self.stages[from..from + size]
    }

    /// Walks back through the period from the multipliers of the charges at its end to those at its start.
    fn walk_back(
        &self,
        numbers: &[Weights],
        mut closing: Vec<Vec<f64>>,
        visit: Visit<'_>,
    ) -> Result<Vec<Vec<f64>>, Failure> {
        let size = self.system.size();
        let mut radau = Radau::new(size);
        let mut multipliers: Vec<Multipliers> = numbers
            .iter()
            .map(|_| Multipliers { charges: vec![0.0; 3 * size], currents: vec![0.0; 3 * size] })
            .collect();
        for step in (0..self.steps.len()).rev() {
            let drive = self.drive(step);
            let stages = &self.stages[3 * size * step..3 * size * (step + 1)];
            radau.factor(&self.system, &drive, stages).map_err(|singular| {
                let time = self.legs[self.steps[step].leg].start;
                super::mesh::failure(&self.system, super::radau::Trouble::Singular(singular), time)
            })?;
            for ((number, end), of_step) in numbers.iter().zip(&mut closing).zip(&mut multipliers) {
                let right = &mut of_step.currents;
                right.fill(0.0);
                charge_product(&self.system, &stages[2 * size..], end, true, &mut right[2 * size..]);
                let probe = self.system.probe(number.probe);
                for stage in 0..3 {
                    right[stage * size + probe] += number.of_stages[3 * step + stage];
                }
                right.iter_mut().for_each(|value| *value = -*value);
                radau.adjoint(right);
                for stage in 0..3 {
                    for index in 0..size {
                        let slope: f64 =
                            (0..3).map(|row| radau.d[(row, stage)] * right[row * size + index]).sum();
                        let at_end = if stage == 2 { end[index] } else { 0.0 };
                        of_step.charges[stage * size + index] = slope / drive.length + at_end;
                    }
                }
                for (index, value) in end.iter_mut().enumerate() {
                    let sum: f64 = (0..3).map(|stage| radau.e[stage] * right[stage * size + index]).sum();
                    *value = -sum / drive.length;
                }
            }
            visit(step, &multipliers);
        }
        Ok(closing)
    }
}

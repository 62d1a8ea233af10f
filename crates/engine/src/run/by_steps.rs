//! The stepping road, from start to summary.

use super::{Road, Run, Shifted, Start, Summary, filters_from};
use crate::exact::{Reduced, Regime, energy_scale, growing_mode, states_of_mode};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Ignore, Observer};
use crate::periodic::{Found, Image, fixed_point};
use crate::sink::Sink;
use crate::snapshot::{Snapshot, State, lines_at};
use crate::stepping::{Stepper, state_name, states};
use nalgebra::DVector;

impl<'n> Run<'_, 'n> {
    /// TR-BDF2 all the way.
    pub(super) fn by_steps(&self, observer: &mut dyn Observer) -> Result<Summary, Failure> {
        let (mut start, x) = self.first_state()?;
        if self.is_steady() {
            self.refuse_growing(&start, &x)?;
        }
        let mut stepper = Stepper::new(self.equations, self.request.accuracy);
        stepper.guess(&x);
        let mut filters = self.first_filters();
        let (mut shown, mut settled, mut settling) = (self.request.span, 0.0, 0.0);
        match self.request.start {
            Start::Steady { period: Some(period) } => {
                let (state, periods, standing) = self.periodic_by_steps(&mut stepper, &start, period)?;
                (start, filters, shown, settled) = (state, standing, period, periods as f64);
            }
            Start::Steady { period: None } => {
                settling = self.settling_time(&Regime::new(self.linearised(&start, &x)?, self.probes))?;
                settled = settling;
            }
            Start::Operating | Start::Rest => {}
        }
        let mut shifted = Shifted { observer, from: settling };
        let sink =
            Sink { probes: self.probes, filters: &mut filters, observer: &mut shifted, from: settling };
        stepper.walk(&start, settling + shown, !self.is_steady(), Some(sink))?;
        Ok(Summary { road: Road::Stepping, shown, settled, work: stepper.work() })
    }

    /// The network with every law at its slope at the operating point.
    fn linearised(&self, state: &State, x: &[f64]) -> Result<Snapshot<'_, 'n>, Failure> {
        let loads = &self.equations.loads;
        let means: Vec<f64> =
            self.equations.sources.iter().map(|waveform| waveform.mean().unwrap_or(0.0)).collect();
        let voltage = |k: usize| crate::equations::across(loads[k].control, x);
        let lines = lines_at(self.equations, voltage, |source| means[source]);
        Snapshot::new(self.equations, lines, state)
    }

    /// A constant-power load is a negative resistance for small changes: where that outweighs all damping, a mode of the network
    /// grows (Middlebrook, IEEE Industry Applications Society Annual Meeting, 1976) and there is no steady state to find.
    fn refuse_growing(&self, state: &State, x: &[f64]) -> Result<(), Failure> {
        let snapshot = self.linearised(state, x)?;
        let reduced = Reduced::new(&snapshot, self.probes, energy_scale(&snapshot), &[]);
        let Some(mode) = growing_mode(&reduced.a) else { return Ok(()) };
        let states = states_of_mode(&reduced.a, mode);
        let loads = self.equations.loads.iter().zip(&snapshot.lines);
        let negative = loads.filter(|(_, line)| line.conductance < 0.0);
        Err(Failure::Growing {
            frequency: mode.im.abs() / std::f64::consts::TAU,
            rate: mode.re,
            parts: states.into_iter().map(|state| snapshot.part_of_free(state)).collect(),
            loads: negative.map(|(load, _)| self.equations.part_of(load.ends)).collect(),
        })
    }

    fn periodic_by_steps(
        &self,
        stepper: &mut Stepper<'_, 'n>,
        guess: &State,
        period: f64,
    ) -> Result<(State, usize, Filters), Failure> {
        let count = guess.currents.len();
        let as_state = |x: &DVector<f64>| State {
            currents: x.as_slice()[..count].to_vec(),
            voltages: x.as_slice()[count..].to_vec(),
        };
        let mut standing = self.first_filters();
        let guess = DVector::from_vec(states(guess).collect());
        let found = fixed_point(guess, self.request.accuracy, |x| {
            let mut filters = self.first_filters();
            let from = filters_from(&filters, period);
            let sink = Sink { probes: self.probes, filters: &mut filters, observer: &mut Ignore, from };
            let end = stepper.walk(&as_state(x), period, false, Some(sink))?;
            standing = filters.periodic(period);
            let state = DVector::from_vec(states(&end).collect());
            // Its swing over the period, or a small part of its value.
            let floors = state.iter().map(|value| 1e-5 * value.abs() + 1e-9);
            let units = stepper.swings().iter().zip(floors).map(|(swing, floor)| swing.max(floor));
            let undecided = DVector::from_vec(stepper.undecided());
            Ok(Image { units: DVector::from_vec(units.collect()), undecided, state })
        });
        let Found { y: x, periods, .. } =
            found.map_err(|failure| failure.named(|state| state_name(self.equations, state)))?;
        Ok((as_state(&x), periods, standing))
    }
}

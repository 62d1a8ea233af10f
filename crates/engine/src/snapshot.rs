//! Everything at an instant from the energy-storing state at that instant.
//!
//! Given inductor currents, capacitor voltages and the sources with their slopes, one linear system gives all node
//! voltages, source currents, capacitor currents and the slopes of the inductor currents. Where storage elements are
//! bound to each other (see [`crate::structure`]) the redundant equation is replaced by its derivative, so a voltage
//! that jumps at a corner of a current comes out right on either side.

mod assemble;
mod line;
mod storage_state;

use assemble::assemble;
pub(crate) use line::{Line, lines_at};
pub(crate) use storage_state::{Bent, Slopes, State};

use crate::equations::Equations;
use crate::failure::Failure;
use crate::linear::{Singular, Solver, Stamp, free_unknowns};
use crate::structure::Storage;
use nalgebra::{DMatrix, DVector};

/// A state this great, in whatever unit, is beyond what numbers hold together with its charge or flux and their rates.
pub(crate) const BEYOND: f64 = 1e290;

/// Elimination that leaves so much of every column has lost no more than a few digits.
const SURE: f64 = 1e-6;

/// The system that turns a state into everything else; valid while loads stay on their lines and, where storage is not
/// linear, at one state.
pub(crate) struct Snapshot<'e, 'n> {
    pub(crate) equations: &'e Equations<'n>,
    pub(crate) storage: Storage,
    pub(crate) lines: Vec<Line>,
    slopes: Slopes,
    solver: Solver<f64>,
    /// Gives the bound currents from the cuts' sums: incidence of a spanning tree, always regular.
    binding: Solver<f64>,
    /// Place of each bound inductor among the bound ones.
    bound_place: Vec<Option<usize>>,
}

/// Positions in the solution vector: node voltages, source currents, slopes of inductor currents, capacitor currents.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Layout {
    pub(crate) sources: usize,
    pub(crate) inductors: usize,
    pub(crate) capacitors: usize,
    pub(crate) size: usize,
}

impl<'e, 'n> Snapshot<'e, 'n> {
    /// Builds and factors the system with the storage laws' slopes at a state.
    pub(crate) fn new(
        equations: &'e Equations<'n>,
        lines: Vec<Line>,
        state: &State,
    ) -> Result<Self, Failure> {
        Self::with_slopes(equations, lines, Slopes::at(equations, state))
    }

    /// Builds and factors the system with given slopes of the storage laws.
    pub(crate) fn with_slopes(
        equations: &'e Equations<'n>,
        lines: Vec<Line>,
        slopes: Slopes,
    ) -> Result<Self, Failure> {
        let fixed: Vec<bool> = lines.iter().map(|line| line.conductance == 0.0).collect();
        let storage = Storage::new(equations, &fixed)?;
        let mut solver = equations.kept.snapshots.take(layout(equations).size);
        assemble(equations, &storage, &lines, &slopes, solver.stamps());
        if let Err(singular) = solver.factor() {
            return Err(undetermined(equations, &mut solver, singular));
        }
        equations.kept.snapshots.give(solver.clone());
        let mut bound_place = vec![None; equations.inductors.len()];
        storage.bound_inductors.iter().enumerate().for_each(|(place, k)| bound_place[*k] = Some(place));
        let mut binding = Solver::new(storage.cuts.len());
        let stamps = binding.stamps();
        for (row, cut) in storage.cuts.iter().enumerate() {
            for (k, sign) in &cut.inductors {
                if let Some(column) = bound_place[*k] {
                    stamps.add(row, column, *sign);
                }
            }
        }
        binding.factor().map_err(|_| Failure::NoOperatingPoint { nodes: Vec::new(), parts: Vec::new() })?;
        Ok(Self { equations, storage, lines, slopes, solver, binding, bound_place })
    }

    pub(crate) fn layout(&self) -> Layout {
        layout(self.equations)
    }

    /// Whether all that it tells has half of its digits at least, far from where rounding decides.
    pub(crate) fn is_sure(&self) -> bool {
        self.solver.size() == 0 || self.solver.least_left() > SURE
    }

    /// Number of entries of the extended source vector: waveforms, then the constant parts of the loads' currents.
    pub(crate) fn extended_sources(&self) -> usize {
        self.equations.sources.len() + self.equations.loads.len()
    }

    /// Sources followed by the constant parts of the loads' currents.
    pub(crate) fn extend(&self, sources: &[f64]) -> Vec<f64> {
        sources.iter().copied().chain(self.lines.iter().map(|line| line.offset)).collect()
    }

    /// Slopes of the extended source vector.
    pub(crate) fn extend_slopes(&self, slopes: &[f64]) -> Vec<f64> {
        slopes.iter().copied().chain(self.lines.iter().map(|_| 0.0)).collect()
    }

    /// Solves for everything; `sources` and `slopes` are extended vectors.
    pub(crate) fn solve(&self, state: &State, sources: &[f64], slopes: &[f64]) -> DVector<f64> {
        let mut right = DVector::zeros(self.layout().size);
        self.set_right_side(state, sources, slopes, right.as_mut_slice());
        self.solver.solve(right.as_mut_slice());
        right
    }

    /// The same for many at once: a state, extended sources and their slopes each; solutions one after the other.
    pub(crate) fn solve_all(&self, all: &[(State, &[f64], &[f64])]) -> Vec<f64> {
        let size = self.layout().size;
        let mut rights = vec![0.0; size * all.len()];
        for ((state, sources, slopes), right) in all.iter().zip(rights.chunks_exact_mut(size.max(1))) {
            self.set_right_side(state, sources, slopes, right);
        }
        self.solver.solve_all(&mut rights);
        rights
    }

    /// What one unit of extra rate on a storage element does to everything: one volt more across the flux of an inductor than its
    /// inductance explains, or one ampere more into the charge of a capacitor than its capacitance explains.
    pub(crate) fn solve_excess(&self, bent: Bent) -> DVector<f64> {
        let layout = self.layout();
        let mut right = DVector::zeros(layout.size);
        match bent {
            Bent::Inductor(k) => right[layout.inductors + k] = -1.0,
            Bent::Core(core) => {
                for (k, turns) in &self.equations.cores[core].windings {
                    right[layout.inductors + k] -= turns;
                }
            }
            Bent::Capacitor(k) => {
                for bound in &self.storage.loops {
                    let row = layout.capacitors + bound.capacitor;
                    if bound.capacitor == k {
                        right[row] += 1.0 / self.slopes.capacitances[k];
                    }
                    let signs = bound.capacitors.iter().filter(|(member, _)| *member == k);
                    right[row] -= signs.map(|(_, sign)| sign / self.slopes.capacitances[k]).sum::<f64>();
                }
            }
        }
        self.solver.solve(right.as_mut_slice());
        right
    }

    /// Slopes of the independent state from a solution of [`Self::solve_excess`].
    pub(crate) fn free_slopes_of_excess(&self, bent: Bent, solution: &DVector<f64>) -> Vec<f64> {
        let mut slopes = self.free_slopes(solution.as_slice());
        if let Bent::Capacitor(k) = bent
            && let Some(place) = self.storage.free_capacitors.iter().position(|free| *free == k)
        {
            slopes[self.storage.free_inductors.len() + place] -= 1.0 / self.slopes.capacitances[k];
        }
        slopes
    }

    /// Writes the right side into zeros.
    fn set_right_side(&self, state: &State, sources: &[f64], slopes: &[f64], right: &mut [f64]) {
        let equations = self.equations;
        let layout = self.layout();
        let mut leave = |ends: &crate::equations::Ends, current: f64| {
            crate::equations::leave(*ends, -current, right);
        };
        for (k, (ends, _)) in equations.inductors.iter().enumerate() {
            leave(ends, state.currents[k]);
        }
        for (ends, source) in &equations.current_sources {
            leave(ends, sources[*source]);
        }
        for (k, load) in equations.loads.iter().enumerate() {
            leave(&load.ends, sources[equations.sources.len() + k]);
        }
        for (k, (_, source)) in equations.voltage_sources.iter().enumerate() {
            right[layout.sources + k] = sources[*source];
        }
        for k in 0..equations.capacitors.len() {
            right[layout.capacitors + k] = state.voltages[k];
        }
        for cut in &self.storage.cuts {
            right[cut.node - 1] = -cut.sources.iter().map(|(s, sign)| sign * slopes[*s]).sum::<f64>();
        }
        for bound in &self.storage.loops {
            right[layout.capacitors + bound.capacitor] =
                bound.sources.iter().map(|(s, sign)| sign * slopes[*s]).sum();
        }
    }

    /// The whole state from the independent currents and voltages and the extended sources.
    pub(crate) fn complete(&self, free: &[f64], sources: &[f64]) -> State {
        let storage = &self.storage;
        let mut state = State {
            currents: vec![0.0; self.equations.inductors.len()],
            voltages: vec![0.0; self.equations.capacitors.len()],
        };
        let (currents, voltages) = free.split_at(storage.free_inductors.len());
        for (k, value) in storage.free_inductors.iter().zip(currents) {
            state.currents[*k] = *value;
        }
        for (k, value) in storage.free_capacitors.iter().zip(voltages) {
            state.voltages[*k] = *value;
        }
        self.bind(&mut state, sources);
        state
    }

    /// Overwrites the bound currents and voltages of a state with what the free ones and the sources say.
    pub(crate) fn bind(&self, state: &mut State, sources: &[f64]) {
        let storage = &self.storage;
        let mut right: Vec<f64> = Vec::with_capacity(storage.cuts.len());
        for cut in &storage.cuts {
            let mut sum = 0.0;
            for (k, sign) in &cut.inductors {
                if self.bound_place[*k].is_none() {
                    sum -= sign * state.currents[*k];
                }
            }
            right.push(sum - cut.sources.iter().map(|(s, sign)| sign * sources[*s]).sum::<f64>());
        }
        self.binding.solve(&mut right);
        for (k, value) in storage.bound_inductors.iter().zip(right) {
            state.currents[*k] = value;
        }
        for bound in &storage.loops {
            state.voltages[bound.capacitor] =
                bound.capacitors.iter().map(|(k, sign)| sign * state.voltages[*k]).sum::<f64>()
                    + bound.sources.iter().map(|(s, sign)| sign * sources[*s]).sum::<f64>();
        }
    }

    /// The independent part of a state: free inductor currents, then free capacitor voltages.
    pub(crate) fn free(&self, state: &State) -> Vec<f64> {
        let currents = self.storage.free_inductors.iter().map(|k| state.currents[*k]);
        let voltages = self.storage.free_capacitors.iter().map(|k| state.voltages[*k]);
        currents.chain(voltages).collect()
    }

    /// Name of the part that holds an independent state.
    pub(crate) fn part_of_free(&self, state: usize) -> String {
        let storage = &self.storage;
        match storage.free_inductors.get(state) {
            Some(k) => self.equations.part_of(self.equations.inductors[*k].0),
            None => {
                let k = storage.free_capacitors[state - storage.free_inductors.len()];
                self.equations.part_of(self.equations.capacitors[k].0)
            }
        }
    }

    /// Says that an independent state has outgrown numbers by a time in seconds.
    pub(crate) fn unbounded(&self, time: f64, free: &[f64]) -> Failure {
        let greatest = (0..free.len()).max_by(|a, b| free[*a].abs().total_cmp(&free[*b].abs()));
        let part = greatest.map_or_else(String::new, |state| self.part_of_free(state));
        Failure::Unbounded { time, part }
    }

    /// Slopes of the independent state from a solution.
    pub(crate) fn free_slopes(&self, solution: &[f64]) -> Vec<f64> {
        let layout = self.layout();
        let currents = self.storage.free_inductors.iter().map(|k| solution[layout.inductors + k]);
        let capacitors = self.storage.free_capacitors.iter();
        let voltages = capacitors.map(|k| solution[layout.capacitors + k] / self.slopes.capacitances[*k]);
        currents.chain(voltages).collect()
    }

    /// At a jump of a source the charges and fluxes that it cannot change stay: the free states `y` (times `scale`) are chosen anew
    /// so that the generalised flux of every free current and charge of every free voltage is what it was.
    pub(crate) fn keep_charge(
        &self,
        scale: &DVector<f64>,
        y: &mut DVector<f64>,
        before: &DVector<f64>,
        after: &DVector<f64>,
    ) {
        if !self.feels_slopes() || y.is_empty() {
            return;
        }
        let kept = self.complete(y.component_div(scale).as_slice(), before.as_slice());
        if let Some(free) = self.free_after_jump(&kept, after.as_slice()) {
            *y = free.component_mul(scale);
        }
    }

    /// Free states that have the charges and fluxes of a state from before sources jumped to `after`.
    pub(crate) fn free_after_jump(&self, before: &State, after: &[f64]) -> Option<DVector<f64>> {
        let states = self.storage.free_inductors.len() + self.storage.free_capacitors.len();
        if states == 0 {
            return Some(DVector::zeros(0));
        }
        let values = |state: &State| {
            let values = state.currents.iter().chain(&state.voltages).copied();
            DVector::from_iterator(state.currents.len() + state.voltages.len(), values)
        };
        let all = |free: &[f64], sources: &[f64]| values(&self.complete(free, sources));
        let weights = self.slopes.inductances.iter().chain(&self.slopes.capacitances).copied();
        let mut weights = DMatrix::from_diagonal(&DVector::from_vec(weights.collect()));
        for (core, slope) in self.equations.cores.iter().zip(&self.slopes.cores) {
            core.stamp(*slope, |k| k, |row, column, value| weights[(row, column)] += value);
        }
        let (nothing, no_sources) = (vec![0.0; states], vec![0.0; after.len()]);
        let mut basis = DMatrix::zeros(weights.nrows(), states);
        for k in 0..states {
            let mut unit = nothing.clone();
            unit[k] = 1.0;
            basis.set_column(k, &all(&unit, &no_sources));
        }
        let kept = values(before) - all(&nothing, after);
        let weighed = weights * &basis;
        let matrix = basis.transpose() * &weighed;
        matrix.lu().solve(&(weighed.transpose() * kept))
    }

    /// Whether storage elements are bound to each other or to sources: nothing else depends on the slopes of sources.
    pub(crate) fn feels_slopes(&self) -> bool {
        !(self.storage.cuts.is_empty() && self.storage.loops.is_empty())
    }

    /// Slopes of the storage laws that it was made with.
    pub(crate) fn slopes(&self) -> &Slopes {
        &self.slopes
    }
}

/// Names what a singular system leaves free.
fn undetermined(equations: &Equations<'_>, solver: &mut Solver<f64>, singular: Singular) -> Failure {
    let layout = layout(equations);
    let (mut nodes, mut parts) = (Vec::new(), Vec::new());
    for place in free_unknowns(solver, singular) {
        if place < layout.sources {
            nodes.push(equations.network.nodes[place + 1].clone());
        } else if place < layout.inductors {
            parts.push(equations.part_of(equations.voltage_sources[place - layout.sources].0));
        } else if place < layout.capacitors {
            parts.push(equations.part_of(equations.inductors[place - layout.inductors].0));
        } else {
            parts.push(equations.part_of(equations.capacitors[place - layout.capacitors].0));
        }
    }
    Failure::NoOperatingPoint { nodes, parts }
}

pub(crate) fn layout(equations: &Equations<'_>) -> Layout {
    let sources = equations.nodes;
    let inductors = sources + equations.voltage_sources.len();
    let capacitors = inductors + equations.inductors.len();
    Layout { sources, inductors, capacitors, size: capacitors + equations.capacitors.len() }
}

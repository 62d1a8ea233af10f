//! The network as y' = A y + B u + E u', and every probe as a straight function of y, u and u'.

use crate::equations::{CoupledInductors, Equations};
use crate::probes::{Instant, Probes};
use crate::snapshot::{Bent, Snapshot, State};
use nalgebra::{DMatrix, DVector};
use network::primitive::{FluxLaw, Signal, Term};

/// Rounding of a sum of a dozen terms, as a fraction of the sum of their magnitudes, with room to spare.
const ROUNDING: f64 = 1e-13;

/// Rows that give signals from the state, the sources and their slopes.
#[derive(Clone, Debug)]
pub(crate) struct Rows {
    pub(crate) state: DMatrix<f64>,
    pub(crate) sources: DMatrix<f64>,
    pub(crate) slopes: DMatrix<f64>,
    /// Response to the excess of each bent element (see [`Snapshot::solve_excess`]).
    pub(crate) excess: DMatrix<f64>,
}

/// Where the bent elements stand in the reduced equations.
#[derive(Clone, Debug)]
pub(crate) struct Ports {
    /// Current of each bent inductor or voltage of each bent capacitor, from the state …
    pub(crate) state: DMatrix<f64>,
    /// … and from the sources.
    pub(crate) sources: DMatrix<f64>,
    /// Slopes of the state by the excess of each.
    pub(crate) drive: DMatrix<f64>,
}

/// How a probe is made of rows.
#[derive(Clone, Debug)]
pub(crate) enum Made {
    Row(usize),
    Product(usize, usize),
    /// The sum of products of two rows each.
    Products(Vec<[usize; 2]>),
    /// Flux linkage at the current in a row, times a sign.
    /// Flux linkage at the current in a row, and at those of the cores that the winding shares (row, turns, law), times a sign.
    Flux(f64, usize, FluxLaw, Vec<(usize, f64, FluxLaw)>),
}

/// The reduced equations. States are scaled by the root of their inductance or capacitance, so that their squares
/// are energies and the norm of A is close to its fastest rate.
#[derive(Clone, Debug)]
pub(crate) struct Reduced {
    pub(crate) a: DMatrix<f64>,
    pub(crate) b: DMatrix<f64>,
    pub(crate) e: DMatrix<f64>,
    pub(crate) scale: DVector<f64>,
    pub(crate) rows: Rows,
    pub(crate) ports: Ports,
    pub(crate) made: Vec<Made>,
    /// Rows from here on are the voltages of the loads.
    pub(crate) load_rows: usize,
}

impl Reduced {
    /// Reads the matrices off the snapshot by feeding it unit vectors: everything there is linear.
    ///
    /// `scale` holds a factor for each state; `bent` the elements that get a port.
    pub(crate) fn new(
        snapshot: &Snapshot<'_, '_>,
        probes: &Probes<'_, '_>,
        scale: DVector<f64>,
        bent: &[Bent],
    ) -> Self {
        let (signals, made, load_rows) = signals(snapshot, probes);
        let states = snapshot.storage.free_inductors.len() + snapshot.storage.free_capacitors.len();
        let sources = snapshot.extended_sources();
        let mut reduced = Self {
            a: DMatrix::zeros(states, states),
            b: DMatrix::zeros(states, sources),
            e: DMatrix::zeros(states, sources),
            rows: Rows {
                state: DMatrix::zeros(signals.len(), states),
                sources: DMatrix::zeros(signals.len(), sources),
                slopes: DMatrix::zeros(signals.len(), sources),
                excess: DMatrix::zeros(signals.len(), bent.len()),
            },
            ports: Ports {
                state: DMatrix::zeros(bent.len(), states),
                sources: DMatrix::zeros(bent.len(), sources),
                drive: DMatrix::zeros(states, bent.len()),
            },
            made,
            load_rows,
            scale,
        };
        let (no_state, no_sources) = (vec![0.0; states], vec![0.0; sources]);
        // Unit vectors, one after the other.
        let units = |size: usize, value: &dyn Fn(usize) -> f64| {
            let mut units = vec![0.0; size * size];
            (0..size).for_each(|k| units[k * (size + 1)] = value(k));
            units
        };
        let (of_states, of_sources) = (units(states, &|k| 1.0 / reduced.scale[k]), units(sources, &|_| 1.0));
        let state = |k: usize| &of_states[k * states..(k + 1) * states];
        let source = |k: usize| &of_sources[k * sources..(k + 1) * sources];
        let mut all = Vec::with_capacity(states + 2 * sources);
        for k in 0..states {
            all.push((
                snapshot.complete(state(k), &no_sources),
                no_sources.as_slice(),
                no_sources.as_slice(),
            ));
        }
        for k in 0..sources {
            all.push((snapshot.complete(&no_state, source(k)), source(k), no_sources.as_slice()));
        }
        if snapshot.feels_slopes() {
            for k in 0..sources {
                let nothing = snapshot.complete(&no_state, &no_sources);
                all.push((nothing, no_sources.as_slice(), source(k)));
            }
        }
        let solutions = snapshot.solve_all(&all);
        let size = snapshot.layout().size;
        for (index, (state, source_values, _)) in all.iter().enumerate() {
            let solution = &solutions[index * size..(index + 1) * size];
            let slopes = snapshot.free_slopes(solution);
            let (into, rows, ports, k) = if let Some(k) = index.checked_sub(states + sources) {
                (&mut reduced.e, &mut reduced.rows.slopes, None, k)
            } else if let Some(k) = index.checked_sub(states) {
                (&mut reduced.b, &mut reduced.rows.sources, Some(&mut reduced.ports.sources), k)
            } else {
                (&mut reduced.a, &mut reduced.rows.state, Some(&mut reduced.ports.state), index)
            };
            let slopes = slopes.iter().zip(&reduced.scale).map(|(slope, scale)| slope * scale);
            into.column_mut(k).iter_mut().zip(slopes).for_each(|(entry, slope)| *entry = slope);
            see(snapshot, probes, &signals, state, solution, source_values, rows.column_mut(k).iter_mut());
            if let Some(ports) = ports {
                ports.column_mut(k).iter_mut().zip(bent).for_each(|(entry, element)| {
                    *entry = at_port(snapshot, *element, state);
                });
            }
        }
        for (k, element) in bent.iter().enumerate() {
            let solution = snapshot.solve_excess(*element);
            let slopes = DVector::from_vec(snapshot.free_slopes_of_excess(*element, &solution));
            reduced.ports.drive.set_column(k, &slopes.component_mul(&reduced.scale));
            let zero = snapshot.complete(&no_state, &no_sources);
            let mut values = reduced.rows.excess.column_mut(k);
            see(snapshot, probes, &signals, &zero, solution.as_slice(), &no_sources, values.iter_mut());
        }
        reduced
    }

    /// Values of all rows.
    pub(crate) fn values(
        &self,
        y: &DVector<f64>,
        sources: &DVector<f64>,
        slopes: &DVector<f64>,
    ) -> DVector<f64> {
        let mut values = &self.rows.state * y;
        values.gemv(1.0, &self.rows.sources, sources, 1.0);
        values.gemv(1.0, &self.rows.slopes, slopes, 1.0);
        values
    }

    /// Rounding to expect in each probe near a point. States exchange their rounding through the propagator: scaled to roots
    /// of energies, each is uncertain by as much as the greatest. Terms of a row may cancel.
    pub(crate) fn rounding(
        &self,
        y: &DVector<f64>,
        sources: &DVector<f64>,
        slopes: &DVector<f64>,
    ) -> Vec<f64> {
        let rows = self.rows.state.abs()
            * DVector::from_element(y.len(), if y.is_empty() { 0.0 } else { y.amax() })
            + self.rows.sources.abs() * sources.abs()
            + self.rows.slopes.abs() * slopes.abs();
        let size = |made: &Made| match made {
            Made::Row(row) => rows[*row],
            Made::Product(a, b) => rows[*a] * rows[*b],
            Made::Products(pairs) => pairs.iter().map(|[a, b]| rows[*a] * rows[*b]).sum(),
            Made::Flux(_, row, law, cores) => flux(*row, law, cores, &rows).abs(),
        };
        self.made.iter().map(|made| ROUNDING * size(made)).collect()
    }

    /// Value of probe `index` from the rows' values.
    pub(crate) fn probe(&self, index: usize, rows: &DVector<f64>) -> f64 {
        match &self.made[index] {
            Made::Row(row) => rows[*row],
            Made::Product(a, b) => rows[*a] * rows[*b],
            Made::Products(pairs) => pairs.iter().map(|[a, b]| rows[*a] * rows[*b]).sum(),
            Made::Flux(sign, row, law, cores) => sign * flux(*row, law, cores, rows),
        }
    }
}

fn flux(row: usize, law: &FluxLaw, cores: &[(usize, f64, FluxLaw)], rows: &DVector<f64>) -> f64 {
    let shared = cores.iter().map(|(row, turns, law)| turns * law.flux(rows[*row]));
    law.flux(rows[row]) + shared.sum::<f64>()
}

/// A row to be read off: a weighted sum of terms.
type RowSignal = Vec<(f64, Term)>;

fn signals(snapshot: &Snapshot<'_, '_>, probes: &Probes<'_, '_>) -> (Vec<RowSignal>, Vec<Made>, usize) {
    let (mut rows, mut made) = (Vec::new(), Vec::new());
    for probe in probes.list() {
        match &probe.signal {
            Signal::Linear(terms) => {
                made.push(Made::Row(rows.len()));
                rows.push(terms.clone());
            }
            Signal::Product(a, b) => {
                made.push(Made::Product(rows.len(), rows.len() + 1));
                rows.push(a.clone());
                rows.push(b.clone());
            }
            Signal::Products(pairs) => {
                let first = rows.len();
                made.push(Made::Products(
                    (0..pairs.len()).map(|k| [first + 2 * k, first + 2 * k + 1]).collect(),
                ));
                rows.extend(pairs.iter().flatten().cloned());
            }
            Signal::Flux(sign, branch) => {
                let equations = snapshot.equations;
                let number = equations.inductors.iter().position(|(ends, _)| ends.branch == *branch);
                let law = number.map(|k| equations.inductors[k].1.clone());
                let own = rows.len();
                rows.push(vec![(1.0, Term::BranchCurrent(*branch))]);
                let mut cores = Vec::new();
                for core in &equations.cores {
                    for (_, turns) in core.windings.iter().filter(|(k, _)| Some(*k) == number) {
                        cores.push((rows.len(), *turns, core.law.clone()));
                        rows.push(core_current(equations, core));
                    }
                }
                let law = law.unwrap_or(FluxLaw::Linear { inductance: 0.0 });
                made.push(Made::Flux(*sign, own, law, cores));
            }
        }
    }
    let load_rows = rows.len();
    for load in &snapshot.equations.loads {
        let (plus, minus) = (load.control.left, load.control.right);
        let terms = vec![(1.0, Term::NodeVoltage(plus)), (-1.0, Term::NodeVoltage(minus))];
        rows.push(terms);
    }
    (rows, made, load_rows)
}

fn core_current(equations: &Equations<'_>, core: &CoupledInductors) -> RowSignal {
    let term = |(k, turns): &(usize, f64)| (*turns, Term::BranchCurrent(equations.inductors[*k].0.branch));
    core.windings.iter().map(term).collect()
}

fn at_port(snapshot: &Snapshot<'_, '_>, element: Bent, state: &State) -> f64 {
    match element {
        Bent::Inductor(k) => state.currents[k],
        Bent::Core(core) => snapshot.equations.cores[core].current(|k| state.currents[k]),
        Bent::Capacitor(k) => state.voltages[k],
    }
}

/// Factors that make the square of a state twice its energy.
pub(crate) fn energy_scale(snapshot: &Snapshot<'_, '_>) -> DVector<f64> {
    let storage = &snapshot.storage;
    let whole = snapshot.slopes().whole_inductances(snapshot.equations);
    let inductances = storage.free_inductors.iter().map(|k| whole[*k]);
    let capacitances = storage.free_capacitors.iter().map(|k| snapshot.slopes().capacitances[*k]);
    let all: Vec<f64> = inductances.chain(capacitances).map(f64::sqrt).collect();
    DVector::from_vec(all)
}

/// Puts the values of the rows at an instant into their places.
fn see<'v>(
    snapshot: &Snapshot<'_, '_>,
    probes: &Probes<'_, '_>,
    signals: &[RowSignal],
    state: &State,
    solution: &[f64],
    sources: &[f64],
    values: impl Iterator<Item = &'v mut f64>,
) {
    let layout = snapshot.layout();
    let instant = Instant {
        voltages: &solution[..layout.sources],
        source_currents: &solution[layout.sources..layout.inductors],
        inductor_currents: &state.currents,
        capacitor_currents: &solution[layout.capacitors..],
        sources,
        lines: Some(&snapshot.lines),
    };
    signals.iter().zip(values).for_each(|(terms, value)| *value = probes.sum(terms, &instant));
}

//! What an orbit is measured by: a first look at every unknown, scales, and independent directions of charge.

use super::system::{Current, System};
use crate::equations::across;
use crate::failure::Failure;
use crate::observe::{Observer, Stretch};
use crate::run::{Method, Request, Start, run};
use crate::structure::Groups;
use nalgebra::{DMatrix, DVector};
use network::primitive::{Network, Probe, Signal, Term};

/// Accuracy of the run that the orbit begins from.
const FIRST_ACCURACY: f64 = 1e-3;
/// An unknown's scale is at least this fraction of its greatest value, …
const LEAST_OF_VALUE: f64 = 1e-4;
/// … of the greatest swing of all unknowns of its kind, and of their greatest value.
pub(super) const LEAST_OF_KIND: [f64; 2] = [1e-6, 1e-5];
/// No scale is less.
const LEAST: f64 = 1e-12;

/// What a run showed of every unknown.
pub(super) struct Looked {
    pub(super) start: Vec<f64>,
    least: Vec<f64>,
    greatest: Vec<f64>,
}

impl Looked {
    fn swing(&self, index: usize) -> f64 {
        self.greatest[index] - self.least[index]
    }

    fn height(&self, index: usize) -> f64 {
        self.greatest[index].abs().max(self.least[index].abs())
    }
}

impl Observer for Looked {
    fn restart(&mut self) {
        self.start.clear();
        self.least.fill(f64::INFINITY);
        self.greatest.fill(f64::NEG_INFINITY);
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.start.is_empty() {
            self.start.extend(stretch.values.iter().map(|values| values[0]));
        }
        for (index, values) in stretch.values.iter().enumerate() {
            for value in values {
                self.least[index] = self.least[index].min(*value);
                self.greatest[index] = self.greatest[index].max(*value);
            }
        }
    }
}

/// Runs the network once and looks at every unknown.
pub(super) fn look(system: &System<'_>, period: f64) -> Result<Looked, Failure> {
    let equations = &system.equations;
    let mut network: Network = equations.network.clone();
    let mut probes: Vec<Probe> = Vec::new();
    let mut see =
        |term: Term| probes.push(Probe { signal: Signal::Linear(vec![(1.0, term)]), bandwidth: None });
    (1..=equations.nodes).for_each(|node| see(Term::NodeVoltage(node)));
    equations.voltage_sources.iter().for_each(|(ends, _)| see(Term::BranchCurrent(ends.branch)));
    equations.inductors.iter().for_each(|(ends, _)| see(Term::BranchCurrent(ends.branch)));
    system.rows.iter().for_each(|(branch, _)| see(Term::BranchCurrent(*branch)));
    probes.append(&mut network.probes);
    let size = probes.len();
    network.probes = probes;
    let start = Start::Steady { period: Some(period) };
    let request = Request { start, span: period, accuracy: FIRST_ACCURACY, method: Method::Automatic };
    let (least, greatest) = (vec![f64::INFINITY; size], vec![f64::NEG_INFINITY; size]);
    let mut looked = Looked { start: Vec::new(), least, greatest };
    run(&network, &request, &mut looked)?;
    Ok(looked)
}

/// Scale of each unknown: its swing, or a small part of its value or of the swings of its kind.
pub(super) fn scales(system: &System<'_>, looked: &Looked) -> Vec<f64> {
    let floors = least_of_kinds(system, looked);
    let scale = |index: usize| {
        let of_kind = floors.get(index).copied().unwrap_or(0.0);
        looked.swing(index).max(LEAST_OF_VALUE * looked.height(index)).max(of_kind).max(LEAST)
    };
    (0..looked.least.len()).map(scale).collect()
}

/// What each unknown is not resolved below, be its own value nothing: a small part of what its kind swings by and comes to; of a probe
/// that of all that it sees, which may cancel.
pub(super) fn floors(system: &System<'_>, looked: &Looked) -> Vec<f64> {
    let mut floors = least_of_kinds(system, looked);
    for seen in &system.probes {
        let mut floor = 0.0;
        system.slopes_of(seen, &looked.start, |unknown, slope| floor += slope.abs() * floors[unknown]);
        floors.push(floor.max(LEAST));
    }
    floors
}

/// The least scale of each node voltage and each current.
fn least_of_kinds(system: &System<'_>, looked: &Looked) -> Vec<f64> {
    let (nodes, probes) = (system.equations.nodes, system.probe(0));
    let kind = |range: std::ops::Range<usize>| {
        let most = |of: &dyn Fn(usize) -> f64| range.clone().map(of).fold(0.0, f64::max);
        let (swing, height) = (most(&|index| looked.swing(index)), most(&|index| looked.height(index)));
        vec![(LEAST_OF_KIND[0] * swing).max(LEAST_OF_KIND[1] * height); range.len()]
    };
    [kind(0..nodes), kind(nodes..probes)].concat()
}

/// Independent directions of charge and flux: one for each capacitor of a spanning forest, each inductor, and each unknown that is
/// integrated besides.
pub(super) fn basis(system: &System<'_>) -> DMatrix<f64> {
    let equations = &system.equations;
    let size = system.size();
    let mut columns: Vec<DVector<f64>> = Vec::new();
    let mut groups = Groups::new(equations.network.nodes.len());
    for (ends, _) in &equations.capacitors {
        if groups.join(ends.left, ends.right) {
            let unit = |unknown: usize| {
                let mut x = vec![0.0; size];
                x[unknown] = 1.0;
                across(*ends, &x)
            };
            columns
                .push(DVector::from_fn(size, |row, _| if row < equations.nodes { unit(row) } else { 0.0 }));
        }
    }
    let single = |unknown: usize| DVector::from_fn(size, |row, _| f64::from(u8::from(row == unknown)));
    columns.extend((0..equations.inductors.len()).map(|k| single(equations.inductor_current(k))));
    let rows = system.rows.iter().enumerate();
    let integrated = rows.filter(|(_, (_, current))| matches!(current, Current::Capacitor(_)));
    columns.extend(integrated.map(|(index, _)| single(system.row(index))));
    let filtered = (0..system.lags.len()).filter(|index| system.lags[*index] > 0.0);
    columns.extend(filtered.map(|index| single(system.probe(index))));
    if columns.is_empty() { DMatrix::zeros(size, 0) } else { DMatrix::from_columns(&columns) }
}

//! The network's equations with further unknowns: the currents of branches that are looked at, and what the probes see.

use crate::equations::{Equations, across};
use crate::failure::Failure;
use crate::linear::Stamp;
use network::primitive::{BranchIndex, Element, Network, Probe, Signal, Term};

/// A weighted sum of unknowns.
pub(super) type Sum = Vec<(f64, usize)>;

/// A branch whose current is an unknown of its own here.
#[derive(Clone, Copy, Debug)]
pub(super) enum Current {
    Resistor(usize),
    Load(usize),
    Capacitor(usize),
    Source(usize),
}

/// What a probe sees, in terms of unknowns.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Seen {
    Linear(Sum),
    Products(Vec<[Sum; 2]>),
    /// Sign, and number of the inductor.
    Flux(f64, usize),
}

/// The equations; unknowns behind those of [`Equations`]: branch currents, then probes.
pub(super) struct System<'n> {
    pub(super) equations: Equations<'n>,
    /// Branches with the unknowns that are their currents.
    pub(super) rows: Vec<(BranchIndex, Current)>,
    pub(super) probes: Vec<Seen>,
    /// Time constants of the probes' low-passes in seconds; 0 where there is none.
    pub(super) lags: Vec<f64>,
}

/// Time constant of a probe's low-pass in seconds.
pub(super) fn lag(probe: &Probe) -> f64 {
    probe.bandwidth.map_or(0.0, |bandwidth| 1.0 / (std::f64::consts::TAU * bandwidth))
}

pub(super) fn value(sum: &Sum, x: &[f64]) -> f64 {
    sum.iter().map(|(weight, unknown)| weight * x[*unknown]).sum()
}

impl<'n> System<'n> {
    pub(super) fn new(network: &'n Network) -> Result<Self, Failure> {
        let equations = Equations::new(network)?;
        let lags = network.probes.iter().map(lag).collect();
        let mut system = Self { equations, rows: Vec::new(), probes: Vec::new(), lags };
        for probe in &network.probes {
            for term in terms(&probe.signal) {
                if let Term::BranchCurrent(branch) = term {
                    system.give_row(*branch);
                }
            }
        }
        system.probes = network.probes.iter().map(|probe| system.seen(&probe.signal)).collect();
        Ok(system)
    }

    /// Makes a branch's current an unknown, unless it is one.
    fn give_row(&mut self, branch: BranchIndex) {
        if self.rows.iter().any(|(known, _)| *known == branch) {
            return;
        }
        let equations = &self.equations;
        let position = |mut branches: Box<dyn Iterator<Item = BranchIndex> + '_>| {
            branches.position(|known| known == branch)
        };
        let current = match &equations.network.branches[branch].element {
            Element::Inductor(_) | Element::VoltageSource(_) => None,
            Element::Resistor(_) => {
                position(Box::new(equations.resistors.iter().map(|(ends, _)| ends.branch)))
                    .map(Current::Resistor)
            }
            Element::Capacitor(_) => {
                position(Box::new(equations.capacitors.iter().map(|(ends, _)| ends.branch)))
                    .map(Current::Capacitor)
            }
            Element::CurrentSource(_) => {
                let mut sources = equations.current_sources.iter();
                sources.find(|(ends, _)| ends.branch == branch).map(|(_, source)| Current::Source(*source))
            }
            Element::Load(_) | Element::Controlled { .. } | Element::Switch { .. } => {
                position(Box::new(equations.loads.iter().map(|load| load.ends.branch))).map(Current::Load)
            }
        };
        self.rows.extend(current.map(|current| (branch, current)));
    }

    /// Number of unknowns.
    pub(super) fn size(&self) -> usize {
        self.equations.size() + self.rows.len() + self.lags.len()
    }

    /// The unknown that is the current of a row.
    pub(super) fn row(&self, index: usize) -> usize {
        self.equations.size() + index
    }

    /// The unknown that a probe is.
    pub(super) fn probe(&self, index: usize) -> usize {
        self.equations.size() + self.rows.len() + index
    }

    /// A signal in terms of unknowns.
    pub(super) fn seen(&self, signal: &Signal) -> Seen {
        match signal {
            Signal::Linear(terms) => Seen::Linear(self.sum(terms)),
            Signal::Product(one, other) => Seen::Products(vec![[self.sum(one), self.sum(other)]]),
            Signal::Products(pairs) => {
                Seen::Products(pairs.iter().map(|pair| [self.sum(&pair[0]), self.sum(&pair[1])]).collect())
            }
            Signal::Flux(sign, branch) => {
                let mut inductors = self.equations.inductors.iter();
                match inductors.position(|(ends, _)| ends.branch == *branch) {
                    Some(inductor) => Seen::Flux(*sign, inductor),
                    None => Seen::Linear(Vec::new()),
                }
            }
        }
    }

    fn sum(&self, terms: &[(f64, Term)]) -> Sum {
        terms.iter().filter_map(|(weight, term)| Some((*weight, self.unknown(*term)?))).collect()
    }

    fn unknown(&self, term: Term) -> Option<usize> {
        let equations = &self.equations;
        match term {
            Term::NodeVoltage(node) => node.checked_sub(1),
            Term::BranchCurrent(branch) => {
                let row = self.rows.iter().position(|(known, _)| *known == branch).map(|row| self.row(row));
                let mut inductors = equations.inductors.iter();
                let mut inductor = || inductors.position(|(ends, _)| ends.branch == branch);
                let mut sources = equations.voltage_sources.iter();
                let mut source = || sources.position(|(ends, _)| ends.branch == branch);
                row.or_else(|| inductor().map(|k| equations.inductor_current(k)))
                    .or_else(|| source().map(|k| equations.source_current(k)))
            }
        }
    }

    /// What a probe sees, before its low-pass.
    pub(super) fn look(&self, seen: &Seen, x: &[f64]) -> f64 {
        match seen {
            Seen::Linear(sum) => value(sum, x),
            Seen::Products(pairs) => pairs.iter().map(|[one, other]| value(one, x) * value(other, x)).sum(),
            Seen::Flux(sign, inductor) => {
                let equations = &self.equations;
                let current = |k: usize| x[equations.inductor_current(k)];
                let shared = equations.cores.iter().map(|core| {
                    let turns = core.windings.iter().filter(|(k, _)| k == inductor).map(|(_, turns)| turns);
                    turns.sum::<f64>() * core.law.flux(core.current(current))
                });
                sign * (equations.inductors[*inductor].1.flux(current(*inductor)) + shared.sum::<f64>())
            }
        }
    }

    /// The slopes of what a probe sees.
    pub(super) fn slopes_of(&self, seen: &Seen, x: &[f64], mut add: impl FnMut(usize, f64)) {
        match seen {
            Seen::Linear(sum) => sum.iter().for_each(|(weight, unknown)| add(*unknown, *weight)),
            Seen::Products(pairs) => {
                for [one, other] in pairs {
                    let (at_one, at_other) = (value(one, x), value(other, x));
                    one.iter().for_each(|(weight, unknown)| add(*unknown, weight * at_other));
                    other.iter().for_each(|(weight, unknown)| add(*unknown, weight * at_one));
                }
            }
            Seen::Flux(sign, inductor) => {
                let equations = &self.equations;
                let current = |k: usize| x[equations.inductor_current(k)];
                let own = equations.inductors[*inductor].1.inductance(current(*inductor));
                add(equations.inductor_current(*inductor), sign * own);
                for core in &equations.cores {
                    let turns = core.windings.iter().filter(|(k, _)| k == inductor).map(|(_, turns)| turns);
                    let slope = sign * turns.sum::<f64>() * core.law.inductance(core.current(current));
                    for (k, turns) in &core.windings {
                        add(equations.inductor_current(*k), slope * turns);
                    }
                }
            }
        }
    }

    pub(super) fn charges(&self, x: &[f64], out: &mut [f64]) {
        let own = self.equations.size();
        out.fill(0.0);
        self.equations.charges(x, &mut out[..own]);
        for (index, (_, current)) in self.rows.iter().enumerate() {
            if let Current::Capacitor(k) = current {
                let (ends, law) = &self.equations.capacitors[*k];
                out[self.row(index)] = law.charge(across(*ends, x));
            }
        }
        for (index, lag) in self.lags.iter().enumerate() {
            out[self.probe(index)] = lag * x[self.probe(index)];
        }
    }

    pub(super) fn currents(&self, x: &[f64], sources: &[f64], out: &mut [f64]) {
        let equations = &self.equations;
        let own = equations.size();
        out.fill(0.0);
        equations.currents(x, |source| sources[source], &mut out[..own]);
        for (index, (_, current)) in self.rows.iter().enumerate() {
            let row = self.row(index);
            out[row] = match current {
                Current::Capacitor(_) => -x[row],
                Current::Source(source) => x[row] - sources[*source],
                Current::Resistor(k) => {
                    let (ends, conductance) = &equations.resistors[*k];
                    x[row] - conductance * across(*ends, x)
                }
                Current::Load(k) => {
                    let load = &equations.loads[*k];
                    x[row] - load.law(|source| sources[source]).current(across(load.control, x))
                }
            };
        }
        for (index, seen) in self.probes.iter().enumerate() {
            out[self.probe(index)] = x[self.probe(index)] - self.look(seen, x);
        }
    }

    pub(super) fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        self.equations.charge_slopes(x, weight, matrix);
        for (index, (_, current)) in self.rows.iter().enumerate() {
            if let Current::Capacitor(k) = current {
                let (ends, law) = &self.equations.capacitors[*k];
                let slope = weight * law.capacitance(across(*ends, x));
                crate::equations::stamp_voltage(*ends, self.row(index), slope, matrix);
            }
        }
        for (index, lag) in self.lags.iter().enumerate() {
            if *lag > 0.0 {
                matrix.add(self.probe(index), self.probe(index), weight * lag);
            }
        }
    }

    pub(super) fn current_slopes(&self, x: &[f64], sources: &[f64], matrix: &mut impl Stamp<f64>) {
        let equations = &self.equations;
        equations.current_slopes(x, |source| sources[source], 1.0, matrix);
        for (index, (_, current)) in self.rows.iter().enumerate() {
            let row = self.row(index);
            let sign = if matches!(current, Current::Capacitor(_)) { -1.0 } else { 1.0 };
            matrix.add(row, row, sign);
            match current {
                Current::Resistor(k) => {
                    let (ends, conductance) = &equations.resistors[*k];
                    crate::equations::stamp_voltage(*ends, row, -conductance, matrix);
                }
                Current::Load(k) => {
                    let load = &equations.loads[*k];
                    let law = load.law(|source| sources[source]);
                    let slope = law.conductance(across(load.control, x));
                    crate::equations::stamp_voltage(load.control, row, -slope, matrix);
                }
                Current::Capacitor(_) | Current::Source(_) => {}
            }
        }
        for (index, seen) in self.probes.iter().enumerate() {
            let row = self.probe(index);
            matrix.add(row, row, 1.0);
            self.slopes_of(seen, x, |unknown, slope| matrix.add(row, unknown, -slope));
        }
    }

    /// All that the slopes at a point depend on, so that factors are kept where nothing of it changed.
    pub(super) fn key(&self, x: &[f64], sources: &[f64], key: &mut Vec<f64>) {
        let equations = &self.equations;
        for load in &equations.loads {
            key.push(load.law(|source| sources[source]).conductance(across(load.control, x)));
        }
        for (ends, law) in equations.capacitors.iter().filter(|(_, law)| !law.is_linear()) {
            key.push(law.capacitance(across(*ends, x)));
        }
        let current = |k: usize| x[equations.inductor_current(k)];
        for (k, (_, law)) in equations.inductors.iter().enumerate().filter(|(_, (_, law))| !law.is_linear()) {
            key.push(law.inductance(current(k)));
        }
        for core in equations.cores.iter().filter(|core| !core.law.is_linear()) {
            key.push(core.law.inductance(core.current(current)));
        }
        for seen in &self.probes {
            if let Seen::Products(pairs) = seen {
                key.extend(pairs.iter().flatten().map(|sum| value(sum, x)));
            }
        }
    }

    /// Name of the part or node of an unknown, for messages.
    pub(super) fn name_of(&self, unknown: usize) -> String {
        let equations = &self.equations;
        match unknown.checked_sub(equations.size()) {
            None => equations.name_of(unknown),
            Some(row) => match self.rows.get(row) {
                Some((branch, _)) => equations.network.branches[*branch].part.clone(),
                None => "a test point".to_owned(),
            },
        }
    }
}

fn terms(signal: &Signal) -> Vec<&Term> {
    match signal {
        Signal::Linear(sum) => sum.iter().map(|(_, term)| term).collect(),
        Signal::Product(one, other) => one.iter().chain(other).map(|(_, term)| term).collect(),
        Signal::Products(pairs) => pairs.iter().flatten().flatten().map(|(_, term)| term).collect(),
        Signal::Flux(..) => Vec::new(),
    }
}

/// Multiplies while it is stamped: out += A v, or out += A' v.
pub(super) struct Product<'a> {
    pub(super) v: &'a [f64],
    pub(super) out: &'a mut [f64],
    pub(super) transposed: bool,
}

impl Stamp<f64> for Product<'_> {
    fn add(&mut self, row: usize, column: usize, value: f64) {
        let (to, from) = if self.transposed { (column, row) } else { (row, column) };
        self.out[to] += value * self.v[from];
    }
}

/// A block of a larger matrix.
pub(super) struct Block<'a, M> {
    pub(super) matrix: &'a mut M,
    pub(super) row: usize,
    pub(super) column: usize,
}

impl<M: Stamp<f64>> Stamp<f64> for Block<'_, M> {
    fn add(&mut self, row: usize, column: usize, value: f64) {
        self.matrix.add(self.row + row, self.column + column, value);
    }
}

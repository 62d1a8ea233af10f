//! Where a network is linearised: the slope of every law at rest, or at the means of the periodic steady state.

use super::small_signal::Linear;
use crate::equations::{CoupledInductors, Equations, across};
use crate::failure::Failure;
use crate::observe::{Enough, Observer, Stretch, Totals};
use crate::operating_point::operating_point;
use crate::run::{Method, Request, Start, run};
use crate::snapshot::Slopes;
use network::primitive::{BranchIndex, CurrentLaw, Element, Network, Probe, Signal, Term};
use network::waveform::Waveform;

/// The slope of each branch's law at the point around which small sines are looked at.
///
/// It belongs to the network that it was made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Bias {
    /// One a branch; 0 where it has no law.
    slopes: Vec<f64>,
    /// One a core, of a winding of one turn.
    cores: Vec<f64>,
    steady: bool,
}

impl Bias {
    /// Where the network rests when every source stands at its mean. A network of straight lines answers alike wherever it rests,
    /// so that none is sought there (it may have none: a capacitor alone).
    ///
    /// # Errors
    /// [`Failure`] of the drawing ([`Failure::FloatingNode`], [`Failure::SourceLoop`], [`Failure::OnlyCurrents`]), or of the
    /// operating point where a law is not a straight line.
    pub fn resting(network: &Network) -> Result<Self, Failure> {
        let equations = Equations::new(network)?;
        let sources = means_of_sources(&equations);
        let unknowns = if equations.storage_is_linear() && equations.loads.is_empty() {
            vec![0.0; equations.size()]
        } else {
            operating_point(&equations, &sources)?.unknowns
        };
        let inductor = |k: usize| unknowns[equations.inductor_current(k)];
        let mut slopes = vec![0.0; network.branches.len()];
        for load in &equations.loads {
            let law = load.law(|source| sources[source]);
            slopes[load.ends.branch] = law.conductance(across(load.control, &unknowns));
        }
        for (ends, law) in &equations.capacitors {
            slopes[ends.branch] = law.capacitance(across(*ends, &unknowns));
        }
        for (k, (ends, law)) in equations.inductors.iter().enumerate() {
            slopes[ends.branch] = law.inductance(inductor(k));
        }
        let cores = equations.cores.iter().map(|core| core.law.inductance(core.current(inductor))).collect();
        Ok(Self { slopes, cores, steady: false })
    }

    /// At the means of the periodic steady state with the common `period` of all sources in seconds: the mean current of each coil
    /// that saturates, the mean voltage of each capacitor and load whose law bends. Nothing is run where nothing bends.
    ///
    /// `accuracy` is that of the run, as in [`Request`].
    ///
    /// # Errors
    /// Those of [`Bias::resting`], and those of the run.
    pub fn steady(network: &Network, period: f64, accuracy: f64) -> Result<Self, Failure> {
        let mut probed = network.clone();
        probed.probes.clear();
        let mut means = Means::new(&mut probed);
        if means.is_idle() {
            return Self::resting(network);
        }
        let start = Start::Steady { period: Some(period) };
        let request = Request { start, span: period, accuracy, method: Method::Automatic };
        run(&probed, &request, &mut means)?;
        means.bias(network)
    }

    /// Whether it stands at the means of a run, not at rest.
    #[must_use]
    pub fn is_steady(&self) -> bool {
        self.steady
    }

    /// Slope of a branch's law: differential inductance in henry, capacitance in farad, or a load's conductance in siemens; 0 for
    /// every other branch.
    #[must_use]
    pub fn slope(&self, branch: BranchIndex) -> f64 {
        self.slopes.get(branch).copied().unwrap_or(0.0)
    }

    /// The same with a load taken for a constant current: what its surroundings are without it.
    #[must_use]
    pub fn without_load(&self, branch: BranchIndex) -> Self {
        let mut without = self.clone();
        if let Some(slope) = without.slopes.get_mut(branch) {
            *slope = 0.0;
        }
        without
    }

    /// The bias of another network, given for each of its branches and cores the one of this network that it repeats; what it does
    /// not repeat has no slope.
    #[must_use]
    pub fn carried_over(&self, branches: &[Option<BranchIndex>], cores: &[Option<usize>]) -> Self {
        let slope = |branch: &Option<BranchIndex>| branch.map_or(0.0, |branch| self.slope(branch));
        let core = |core: &Option<usize>| core.and_then(|core| self.cores.get(core).copied()).unwrap_or(0.0);
        Self {
            slopes: branches.iter().map(slope).collect(),
            cores: cores.iter().map(core).collect(),
            steady: self.steady,
        }
    }

    pub(super) fn of(&self, equations: &Equations<'_>) -> Linear {
        Linear {
            conductances: equations.loads.iter().map(|load| self.slope(load.ends.branch)).collect(),
            storage: Slopes {
                capacitances: equations.capacitors.iter().map(|(ends, _)| self.slope(ends.branch)).collect(),
                inductances: equations.inductors.iter().map(|(ends, _)| self.slope(ends.branch)).collect(),
                cores: self.cores.clone(),
            },
        }
    }
}

/// What a mean is taken of.
#[derive(Clone, Copy, Debug)]
enum Watched {
    /// Current of an inductor; voltage that a capacitor, a load or a controlled branch follows.
    Branch(BranchIndex),
    /// Sum of currents times turns around a core.
    Core(usize),
}

/// Takes the means that a [`Bias`] needs while a run is observed.
///
/// It adds its probes behind those that the network has. A load whose law is made of straight stretches bends at single voltages
/// alone: it is watched where something else is, but nothing is run for its sake.
#[derive(Clone, Debug)]
pub struct Means {
    first: usize,
    watched: Vec<Watched>,
    areas: Vec<f64>,
    time: f64,
    /// Whether totals come in the end instead of stretches.
    totalled: bool,
}

impl Means {
    /// Adds a probe for each law that bends.
    #[must_use]
    pub fn new(network: &mut Network) -> Self {
        let first = network.probes.len();
        let (mut watched, mut bent) = (Vec::new(), false);
        let mut watch = |what: Watched, terms: Vec<(f64, Term)>, bends: bool| {
            bent |= bends;
            watched.push(what);
            network.probes.push(Probe { signal: Signal::Linear(terms), bandwidth: None });
        };
        let smooth = |law: &CurrentLaw| {
            matches!(law, CurrentLaw::Power { .. } | CurrentLaw::Lockout { .. } | CurrentLaw::Junction(_))
        };
        for (index, branch) in network.branches.iter().enumerate() {
            let between =
                |plus, minus| vec![(1.0, Term::NodeVoltage(plus)), (-1.0, Term::NodeVoltage(minus))];
            let (terms, bends) = match &branch.element {
                Element::Inductor(law) if !law.is_linear() => (vec![(1.0, Term::BranchCurrent(index))], true),
                Element::Capacitor(law) if !law.is_linear() => (between(branch.left, branch.right), true),
                Element::Load(law) => (between(branch.left, branch.right), smooth(law)),
                Element::Controlled { law, plus, minus } => (between(*plus, *minus), smooth(law)),
                _ => continue,
            };
            watch(Watched::Branch(index), terms, bends);
        }
        for (index, core) in network.cores.iter().enumerate().filter(|(_, core)| !core.law.is_linear()) {
            let winding = |(branch, turns): &(BranchIndex, f64)| (*turns, Term::BranchCurrent(*branch));
            watch(Watched::Core(index), core.windings.iter().map(winding).collect(), true);
        }
        if !bent {
            watched.clear();
            network.probes.truncate(first);
        }
        Self { first, areas: vec![0.0; watched.len()], watched, time: 0.0, totalled: false }
    }

    /// Whether nothing bends, so that no run is needed.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.watched.is_empty()
    }

    /// Observes beside another, which sees its own probes as if it were alone.
    pub fn beside<'m>(&'m mut self, other: &'m mut dyn Observer) -> Beside<'m> {
        Beside { means: self, other }
    }

    /// The probes that it added, by their places among those of the network.
    #[must_use]
    pub fn probes(&self) -> std::ops::Range<usize> {
        self.first..self.first + self.watched.len()
    }

    /// The same with means that are known otherwise, one for each of its probes.
    #[must_use]
    pub fn standing_at(&self, means: &[f64]) -> Self {
        Self { areas: means.to_vec(), time: 1.0, ..self.clone() }
    }

    /// The slopes at the means of the run that was observed; those at rest where nothing was.
    ///
    /// # Errors
    /// Those of [`Bias::resting`].
    pub fn bias(&self, network: &Network) -> Result<Bias, Failure> {
        if self.is_idle() || self.time == 0.0 {
            return Bias::resting(network);
        }
        let equations = Equations::new(network)?;
        let sources = means_of_sources(&equations);
        let mean = |branch: BranchIndex| {
            let found = self.watched.iter().position(|it| matches!(it, Watched::Branch(it) if *it == branch));
            found.map_or(0.0, |found| self.areas[found] / self.time)
        };
        let mut slopes = vec![0.0; network.branches.len()];
        for load in &equations.loads {
            let law = load.law(|source| sources[source]);
            slopes[load.ends.branch] = law.conductance(mean(load.ends.branch));
        }
        for (ends, law) in &equations.capacitors {
            slopes[ends.branch] = law.capacitance(mean(ends.branch));
        }
        for (ends, law) in &equations.inductors {
            slopes[ends.branch] = law.inductance(mean(ends.branch));
        }
        let core = |(index, core): (usize, &CoupledInductors)| {
            let found = self.watched.iter().position(|it| matches!(it, Watched::Core(it) if *it == index));
            core.law.inductance(found.map_or(0.0, |found| self.areas[found] / self.time))
        };
        let cores = equations.cores.iter().enumerate().map(core).collect();
        Ok(Bias { slopes, cores, steady: true })
    }
}

impl Observer for Means {
    fn restart(&mut self) {
        self.areas.fill(0.0);
        self.time = 0.0;
        self.totalled = false;
    }

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        self.totalled = true;
        let mut enough = vec![Enough::Extremes; probes];
        enough[..self.first].fill(Enough::Waveform);
        enough
    }

    fn totals(&mut self, probe: usize, totals: &Totals) {
        if let Some(area) = probe.checked_sub(self.first).and_then(|index| self.areas.get_mut(index)) {
            *area = totals.first * totals.duration + totals.integral;
            self.time = totals.duration;
        }
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.totalled {
            return;
        }
        let length = stretch.end - stretch.start;
        for (area, [start, middle, end]) in self.areas.iter_mut().zip(&stretch.values[self.first..]) {
            // Simpson's rule is exact on parabolas.
            *area += length * (start + 4.0 * middle + end) / 6.0;
        }
        self.time += length;
    }
}

/// [`Means`] beside another observer of the same run.
pub struct Beside<'m> {
    means: &'m mut Means,
    other: &'m mut dyn Observer,
}

impl Observer for Beside<'_> {
    fn restart(&mut self) {
        self.means.restart();
        self.other.restart();
    }

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        let mut enough = self.means.enough(probes);
        let first = self.means.first;
        enough[..first].copy_from_slice(&self.other.enough(first));
        enough
    }

    fn totals(&mut self, probe: usize, totals: &Totals) {
        if probe < self.means.first {
            self.other.totals(probe, totals);
        } else {
            self.means.totals(probe, totals);
        }
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.means.stretch(stretch);
        self.other.stretch(&Stretch { values: &stretch.values[..self.means.first], ..*stretch });
    }
}

fn means_of_sources(equations: &Equations<'_>) -> Vec<f64> {
    equations.sources.iter().map(|waveform| mean(waveform)).collect()
}

/// Corners over which a source that never repeats is averaged, where it does not come to rest before.
const MOST_CORNERS: usize = 10_000;

/// Mean of a source; where it never repeats, the value at which it ends, or the mean over its first corners.
fn mean(waveform: &Waveform) -> f64 {
    if let Some(mean) = waveform.mean() {
        return mean;
    }
    let (mut time, mut area) = (0.0, 0.0);
    for _ in 0..MOST_CORNERS {
        let piece = waveform.piece(time);
        if piece.end.is_infinite() {
            return piece.value;
        }
        let length = piece.end - time;
        area += (piece.value + 0.5 * piece.slope * length) * length;
        time = piece.end;
    }
    area / time
}

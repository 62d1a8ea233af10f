//! Conservation of energy in every harness under `netlists/`, at every point of its axes and in each of its transients: what the sources
//! deliver is what the other branches turn to heat and what storage gains, the latter from the flux and charge laws at both ends.
//!
//! (That powers sum to zero at each instant is Kirchhoff's law alone and would prove nothing; that storage has gained what it was
//! given is the solution's own doing.)

use engine::{Method, Observer, Request, Stretch};
use language::description::{Harness, Start, Transient};
use language::{Description, Source};
use network::lowered::Lowered;
use network::primitive::{Branch, Element, Network, Probe, Signal, Term};
use network::waveform::period::Period;
use rayon::prelude::*;
use std::path::Path;

/// Accuracy of the runs. Powers are products of two waveforms, each drawn that well, and their errors have either sign.
const ACCURACY: f64 = 1e-5;
/// What may be missing, as a fraction of what the sources delivered.
const ALLOWED: f64 = 1e-6;

/// Voltage across a branch and current through it.
fn voltage(branch: &Branch) -> Vec<(f64, Term)> {
    vec![(1.0, Term::NodeVoltage(branch.left)), (-1.0, Term::NodeVoltage(branch.right))]
}

fn current(index: usize) -> Vec<(f64, Term)> {
    vec![(1.0, Term::BranchCurrent(index))]
}

/// One probe a branch: power into it, or what its law wants to know.
fn probes(network: &Network) -> Vec<Probe> {
    let probe = |(index, branch): (usize, &Branch)| {
        let signal = match branch.element {
            Element::Capacitor(_) => Signal::Linear(voltage(branch)),
            Element::Inductor(_) => Signal::Linear(current(index)),
            _ => Signal::Product(voltage(branch), current(index)),
        };
        Probe { signal, bandwidth: None }
    };
    network.branches.iter().enumerate().map(probe).collect()
}

/// Integral of each probe (Simpson's rule is exact on parabolas), its first and last value. Sums of very many stretches keep their
/// digits by Neumaier's compensation.
#[derive(Default)]
struct Totals {
    integrals: Vec<[f64; 2]>,
    first: Vec<f64>,
    last: Vec<f64>,
}

impl Observer for Totals {
    fn restart(&mut self) {
        *self = Self::default();
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.first.is_empty() {
            self.first = stretch.values.iter().map(|values| values[0]).collect();
            self.integrals = vec![[0.0; 2]; stretch.values.len()];
        }
        self.last.clear();
        for (values, integral) in stretch.values.iter().zip(&mut self.integrals) {
            let [a, m, b] = *values;
            let piece = (stretch.end - stretch.start) * (a + 4.0 * m + b) / 6.0;
            let sum = integral[0] + piece;
            let (large, small) =
                if integral[0].abs() > piece.abs() { (integral[0], piece) } else { (piece, integral[0]) };
            *integral = [sum, integral[1] + ((large - sum) + small)];
            self.last.push(b);
        }
    }
}

/// Energies in joule.
#[derive(Clone, Copy, Debug, Default)]
struct Balance {
    /// By batteries, supplies and generators, less what drives and other current sources took.
    delivered: f64,
    dissipated: f64,
    /// By inductors, cores and capacitors.
    gained: f64,
}

fn balance(network: &Network, totals: &Totals) -> Balance {
    let mut balance = Balance::default();
    for (index, branch) in network.branches.iter().enumerate() {
        let integral: f64 = totals.integrals[index].iter().sum();
        let (first, last) = (totals.first[index], totals.last[index]);
        match &branch.element {
            Element::Capacitor(law) => balance.gained += law.energy(last) - law.energy(first),
            Element::Inductor(law) => balance.gained += law.energy(last) - law.energy(first),
            Element::VoltageSource(_) | Element::CurrentSource(_) => balance.delivered -= integral,
            // Whatever else there is turns what it takes to heat.
            _ => balance.dissipated += integral,
        }
    }
    for core in &network.cores {
        let turned =
            |currents: &[f64]| core.windings.iter().map(|(branch, turns)| turns * currents[*branch]).sum();
        balance.gained += core.law.energy(turned(&totals.last)) - core.law.energy(turned(&totals.first));
    }
    balance
}

/// The start of a transient in the engine's terms; a steady one shows one period that all sources have in common.
fn start(lowered: &Lowered, transient: &Transient) -> engine::Start {
    match transient.start {
        Start::Rest => engine::Start::Rest,
        Start::Operating => engine::Start::Operating,
        Start::Steady if lowered.periods.is_empty() => engine::Start::Steady { period: Some(transient.span) },
        Start::Steady => {
            engine::Start::Steady { period: Period::common(&lowered.periods).map(|period| period.seconds()) }
        }
    }
}

/// The balance of one transient.
fn run(harness: &Harness, transient: &Transient) -> Result<Balance, String> {
    let lowered = network::lowering::lower(harness, transient.start);
    let mut lowered = lowered.map_err(|errors| format!("{errors:?}"))?;
    lowered.network.probes = probes(&lowered.network);
    let request = Request {
        start: start(&lowered, transient),
        span: transient.span,
        accuracy: ACCURACY,
        method: Method::Automatic,
    };
    let mut totals = Totals::default();
    engine::run(&lowered.network, &request, &mut totals).map_err(|failure| failure.to_string())?;
    Ok(balance(&lowered.network, &totals))
}

/// Every point of every axis: choices and conditions.
fn points(description: &Description) -> Vec<Vec<usize>> {
    let mut points = vec![Vec::new()];
    for axis in description.axes() {
        points = (points.iter())
            .flat_map(|point| (0..axis.points.len()).map(|index| [point.as_slice(), &[index]].concat()))
            .collect();
    }
    points
}

/// Every transient at every point of a file, and what is wrong with its balance.
fn audit(name: &str, text: String) -> Vec<String> {
    let description = language::read(&Source { name: name.to_owned(), text }, &[]).expect("a file in order");
    let points = points(&description);
    let of_point = |at: &Vec<usize>| {
        let harness = description.check_at(at).expect("a point in order");
        let wrong = |(index, transient): (usize, &Transient)| {
            let place = format!("{name} at {at:?}, transient {index}");
            let Balance { delivered, dissipated, gained } = match run(&harness, transient) {
                Ok(balance) => balance,
                Err(failure) => return Some(format!("{place}: {failure}")),
            };
            let missing = delivered - dissipated - gained;
            // Also told where it is not a number.
            let balanced = delivered > 0.0 && missing.abs() <= ALLOWED * delivered;
            (!balanced).then(|| format!("{place}: {missing:e} J of {delivered:e} J missing"))
        };
        harness.transients.iter().enumerate().filter_map(wrong).collect::<Vec<_>>()
    };
    points.par_iter().flat_map(of_point).collect()
}

#[test]
fn delivered_is_dissipated_and_stored() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../netlists");
    let files = std::fs::read_dir(folder).expect("netlists/ can be read");
    let mut files: Vec<_> = files.map(|file| file.expect("an entry").path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "harness"));
    files.sort();
    assert!(files.len() >= 3, "{files:?}");
    let audit = |file: &std::path::PathBuf| {
        let text = std::fs::read_to_string(file).expect("the file can be read");
        audit(&file.file_name().expect("a name").to_string_lossy(), text)
    };
    let wrong: Vec<String> = files.iter().flat_map(audit).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

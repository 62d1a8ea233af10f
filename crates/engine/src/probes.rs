//! What the probes see at an instant.

use crate::equations::Equations;
use crate::snapshot::Line;
use network::primitive::{Probe, Signal, Term};

/// Where a branch's current is found.
#[derive(Clone, Copy, Debug)]
enum Place {
    Resistor(usize),
    Load(usize),
    Capacitor(usize),
    Inductor(usize),
    VoltageSource(usize),
    CurrentSource(usize),
}

/// The network at one instant.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Instant<'a> {
    /// Node voltages without `gnd`.
    pub(crate) voltages: &'a [f64],
    pub(crate) source_currents: &'a [f64],
    pub(crate) inductor_currents: &'a [f64],
    pub(crate) capacitor_currents: &'a [f64],
    /// Source values; with `lines`, followed by the loads' constant parts.
    pub(crate) sources: &'a [f64],
    /// The loads' lines, where they count as lines.
    pub(crate) lines: Option<&'a [Line]>,
}

/// Finds signals in instants.
pub(crate) struct Probes<'e, 'n> {
    equations: &'e Equations<'n>,
    places: Vec<Place>,
}

impl<'e, 'n> Probes<'e, 'n> {
    pub(crate) fn new(equations: &'e Equations<'n>) -> Self {
        let mut places = vec![Place::Resistor(0); equations.network.branches.len()];
        let mut put = |branch: usize, place: Place| places[branch] = place;
        equations
            .resistors
            .iter()
            .enumerate()
            .for_each(|(k, (ends, _))| put(ends.branch, Place::Resistor(k)));
        equations.loads.iter().enumerate().for_each(|(k, load)| put(load.ends.branch, Place::Load(k)));
        let capacitors = equations.capacitors.iter().enumerate();
        capacitors.for_each(|(k, (ends, _))| put(ends.branch, Place::Capacitor(k)));
        let inductors = equations.inductors.iter().enumerate();
        inductors.for_each(|(k, (ends, _))| put(ends.branch, Place::Inductor(k)));
        let sources = equations.voltage_sources.iter().enumerate();
        sources.for_each(|(k, (ends, _))| put(ends.branch, Place::VoltageSource(k)));
        let sources = equations.current_sources.iter();
        sources.for_each(|(ends, source)| put(ends.branch, Place::CurrentSource(*source)));
        Self { equations, places }
    }

    pub(crate) fn list(&self) -> &'n [Probe] {
        &self.equations.network.probes
    }

    /// Value of a signal.
    pub(crate) fn value(&self, signal: &Signal, instant: &Instant<'_>) -> f64 {
        match signal {
            Signal::Linear(terms) => self.sum(terms, instant),
            Signal::Product(a, b) => self.sum(a, instant) * self.sum(b, instant),
            Signal::Products(pairs) => {
                pairs.iter().map(|[a, b]| self.sum(a, instant) * self.sum(b, instant)).sum()
            }
            Signal::Flux(sign, branch) => match self.places[*branch] {
                Place::Inductor(k) => {
                    let currents = instant.inductor_currents;
                    let own = self.equations.inductors[k].1.flux(currents[k]);
                    let shared = self.equations.cores.iter().map(|core| {
                        let turns: f64 = core
                            .windings
                            .iter()
                            .filter(|(other, _)| *other == k)
                            .map(|(_, turns)| turns)
                            .sum();
                        turns * core.law.flux(core.current(|k| currents[k]))
                    });
                    sign * (own + shared.sum::<f64>())
                }
                _ => 0.0,
            },
        }
    }

    pub(crate) fn sum(&self, terms: &[(f64, Term)], instant: &Instant<'_>) -> f64 {
        terms.iter().map(|(weight, term)| weight * self.term(*term, instant)).sum()
    }

    fn term(&self, term: Term, instant: &Instant<'_>) -> f64 {
        let equations = self.equations;
        match term {
            Term::NodeVoltage(0) => 0.0,
            Term::NodeVoltage(node) => instant.voltages[node - 1],
            Term::BranchCurrent(branch) => match self.places[branch] {
                Place::Resistor(k) => {
                    let (ends, conductance) = &equations.resistors[k];
                    conductance * crate::equations::across(*ends, instant.voltages)
                }
                Place::Load(k) => {
                    let load = &equations.loads[k];
                    let voltage = crate::equations::across(load.control, instant.voltages);
                    match instant.lines {
                        Some(lines) => {
                            lines[k].conductance * voltage + instant.sources[equations.sources.len() + k]
                        }
                        None => load.law(|source| instant.sources[source]).current(voltage),
                    }
                }
                Place::Capacitor(k) => instant.capacitor_currents[k],
                Place::Inductor(k) => instant.inductor_currents[k],
                Place::VoltageSource(k) => instant.source_currents[k],
                Place::CurrentSource(source) => instant.sources[source],
            },
        }
    }
}

//! What a value changes of a network: the derivative of every charge, flux, current and source, at given unknowns.

use super::mesh::Leg;
use super::system::{Current, System, lag};
use crate::equations::{Ends, across};
use crate::failure::Failure;
use network::primitive::{Element, Network};
use network::waveform::Waveform;

/// A network with a value a little lower and a little higher.
#[derive(Clone, Copy, Debug)]
pub struct Variation<'a> {
    /// The networks, of the same branches and probes as that of the orbit.
    pub networks: [&'a Network; 2],
    /// Their common periods in seconds.
    pub periods: [f64; 2],
    /// The difference of the value; derivatives count by it.
    pub width: f64,
}

/// Why a value has no sensitivity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unlike {
    /// The network becomes another one: a branch comes or goes.
    Branches,
    /// Corners of a source come, go, or meet.
    Corners,
    /// A corner moves at which a source jumps.
    Jumps,
    /// A switch moves.
    Switch,
}

/// By how much a corner moves with a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Motion {
    /// Seconds for one unit of the value, in the time that the period takes along.
    By(f64),
    /// Two corners that meet there move differently.
    Unclear,
}

#[derive(Clone, Copy, Debug)]
enum Touched {
    Resistor(usize),
    Load(usize),
    Capacitor(usize),
    Inductor(usize),
    Core(usize),
    Probe(usize),
    Lag(usize),
}

/// A source that differs: its corners in a period, here and in the two networks, and its change over the current leg.
struct Moving {
    source: usize,
    corners: Vec<[f64; 3]>,
    value: f64,
    slope: f64,
}

/// A variation, sorted by what it touches.
pub(super) struct Change<'a> {
    low: System<'a>,
    high: System<'a>,
    factors: [f64; 2],
    width: f64,
    touched: Vec<Touched>,
    moving: Vec<Moving>,
    /// Relative change of the period.
    pub(super) stretch: f64,
}

/// Corners of two sources this close are one; see the clock of runs.
const SAME_CORNER: f64 = 1e-13;
/// A corner that moves by less than this many of the periods moves by rounding only.
const MOVES: f64 = 1e-14;

impl<'a> Change<'a> {
    pub(super) fn new(
        base: &System<'_>,
        legs: &[Leg],
        period: f64,
        variation: &Variation<'a>,
    ) -> Result<Result<Self, Unlike>, Failure> {
        let [low, high] = variation.networks;
        if !alike(base.equations.network, low) || !alike(base.equations.network, high) {
            return Ok(Err(Unlike::Branches));
        }
        let (low, high) = (System::new(low)?, System::new(high)?);
        let factors = variation.periods.map(|other| other / period);
        let mut change = Self {
            touched: touched(&low, &high),
            moving: Vec::new(),
            factors,
            width: variation.width,
            stretch: (factors[1] - factors[0]) / variation.width,
            low,
            high,
        };
        for source in 0..base.equations.sources.len() {
            let waves = [base, &change.low, &change.high].map(|system| system.equations.sources[source]);
            if change.stretch == 0.0 && waves[1] == waves[2] {
                continue;
            }
            match moving(source, waves, [period, variation.periods[0], variation.periods[1]], legs) {
                Ok(moving) => change.moving.push(moving),
                Err(unlike) => return Ok(Err(unlike)),
            }
        }
        let switched = |moving: &Moving| {
            let equations = &base.equations;
            let pushes = equations.voltage_sources.iter().chain(&equations.current_sources);
            pushes.into_iter().all(|(_, source)| *source != moving.source)
        };
        if change.moving.iter().any(switched) {
            return Ok(Err(Unlike::Switch));
        }
        Ok(Ok(change))
    }

    /// Whether nothing changes at all.
    pub(super) fn is_idle(&self) -> bool {
        self.touched.is_empty() && self.moving.is_empty() && self.stretch == 0.0
    }

    /// Finds how the sources change over a leg. Inside a leg that change is a straight line, of which two points are enough; its
    /// ends move.
    pub(super) fn enter(&mut self, leg: &Leg) {
        let length = leg.end - leg.start;
        let (low, high) = (&self.low.equations.sources, &self.high.equations.sources);
        for moving in &mut self.moving {
            let at = |share: f64| {
                let time = leg.start + share * length;
                let value = |wave: &Waveform, factor: f64| wave.piece(time * factor).value;
                (value(high[moving.source], self.factors[1]) - value(low[moving.source], self.factors[0]))
                    / self.width
            };
            let (early, late) = (at(1.0 / 3.0), at(2.0 / 3.0));
            moving.slope = 3.0 * (late - early) / length;
            moving.value = early - moving.slope * length / 3.0;
        }
    }

    /// Calls `charge` and `current` with each equation and its derivative at a stage, `since` seconds into the leg.
    pub(super) fn derivatives(
        &self,
        base: &System<'_>,
        x: &[f64],
        sources: &[f64],
        since: f64,
        charge: &mut dyn FnMut(usize, f64),
        current: &mut dyn FnMut(usize, f64),
    ) {
        let equations = &base.equations;
        let (low, high) = (&self.low.equations, &self.high.equations);
        let per = |high: f64, low: f64| (high - low) / self.width;
        let row = |current: Current| {
            let same = |other: &Current| match (current, *other) {
                (Current::Resistor(a), Current::Resistor(b))
                | (Current::Load(a), Current::Load(b))
                | (Current::Capacitor(a), Current::Capacitor(b))
                | (Current::Source(a), Current::Source(b)) => a == b,
                _ => false,
            };
            base.rows.iter().position(|(_, other)| same(other)).map(|index| base.row(index))
        };
        for touched in &self.touched {
            match *touched {
                Touched::Resistor(k) => {
                    let (ends, _) = equations.resistors[k];
                    let change = per(high.resistors[k].1, low.resistors[k].1) * across(ends, x);
                    flow(ends, change, current);
                    row(Current::Resistor(k)).into_iter().for_each(|row| current(row, -change));
                }
                Touched::Load(k) => {
                    let load = &equations.loads[k];
                    let voltage = across(load.control, x);
                    let of = |system: &System<'_>| {
                        system.equations.loads[k].law(|source| sources[source]).current(voltage)
                    };
                    let change = per(of(&self.high), of(&self.low));
                    flow(load.ends, change, current);
                    row(Current::Load(k)).into_iter().for_each(|row| current(row, -change));
                }
                Touched::Capacitor(k) => {
                    let (ends, _) = equations.capacitors[k];
                    let voltage = across(ends, x);
                    let change =
                        per(high.capacitors[k].1.charge(voltage), low.capacitors[k].1.charge(voltage));
                    flow(ends, change, charge);
                    row(Current::Capacitor(k)).into_iter().for_each(|row| charge(row, change));
                }
                Touched::Inductor(k) => {
                    let unknown = equations.inductor_current(k);
                    let change =
                        per(high.inductors[k].1.flux(x[unknown]), low.inductors[k].1.flux(x[unknown]));
                    charge(unknown, change);
                }
                Touched::Core(k) => {
                    let amperes = |inductor: usize| x[equations.inductor_current(inductor)];
                    let flux = |system: &System<'_>| {
                        let core = &system.equations.cores[k];
                        core.law.flux(core.current(amperes))
                    };
                    let (low_flux, high_flux) = (flux(&self.low), flux(&self.high));
                    for ((inductor, low), (_, high)) in
                        low.cores[k].windings.iter().zip(&high.cores[k].windings)
                    {
                        charge(equations.inductor_current(*inductor), per(high * high_flux, low * low_flux));
                    }
                }
                Touched::Probe(k) => {
                    let of = |system: &System<'_>| system.look(&system.probes[k], x);
                    current(base.probe(k), -per(of(&self.high), of(&self.low)));
                }
                Touched::Lag(k) => {
                    charge(base.probe(k), per(self.high.lags[k], self.low.lags[k]) * x[base.probe(k)]);
                }
            }
        }
        for moving in &self.moving {
            of_source(base, moving.source, moving.value + moving.slope * since, current);
        }
    }

    /// How far the corners at both ends of each leg move, where it is clear; nothing where none does.
    pub(super) fn rides(&self, base: &System<'_>, legs: &[Leg], period: f64) -> Option<Vec<[f64; 2]>> {
        let moves =
            |moving: &Moving| moving.corners.iter().any(|[_, low, high]| (high - low).abs() > MOVES * period);
        if !self.moving.iter().any(moves) {
            return None;
        }
        let sources = &base.equations.sources;
        let ride = |time: f64| match self.motion(time, period) {
            Motion::By(moves) if moves != 0.0 && !self.stays(time, legs, sources) => moves,
            _ => 0.0,
        };
        // The start of a period is the end of the one before.
        let ends: Vec<f64> = legs.iter().map(|leg| ride(leg.end)).collect();
        let before = |index: usize| ends[index.checked_sub(1).unwrap_or(ends.len() - 1)];
        Some((0..ends.len()).map(|index| [before(index), ends[index]]).collect())
    }

    /// How the corner at a time moves.
    pub(super) fn motion(&self, time: f64, period: f64) -> Motion {
        let mut found: Option<f64> = None;
        for moving in &self.moving {
            // The end of the period is its start.
            let at = moving.corners.iter().find(|[base, ..]| {
                let apart = (base - time).abs();
                apart.min((apart - period).abs()) <= SAME_CORNER
            });
            let Some([_, low, high]) = at else { continue };
            let moves = (high - low) / self.width;
            match found {
                Some(known) if (known - moves).abs() > MOVES * period / self.width => return Motion::Unclear,
                _ => found = Some(moves),
            }
        }
        Motion::By(found.unwrap_or(0.0))
    }

    /// Whether a corner at a time belongs to a source that does not change, so that it stays where it is.
    pub(super) fn stays(&self, time: f64, legs: &[Leg], sources: &[&Waveform]) -> bool {
        let Some(before) = legs.iter().find(|leg| (leg.end - time).abs() <= SAME_CORNER) else {
            return false;
        };
        let middle = 0.5 * (before.start + before.end);
        let still = |index: &usize| self.moving.iter().all(|moving| moving.source != *index);
        let mut others = (0..sources.len()).filter(still);
        others.any(|index| (sources[index].piece(middle).end - time).abs() <= SAME_CORNER)
    }
}

/// Calls `current` with each equation that a change of a source reaches.
pub(super) fn of_source(base: &System<'_>, source: usize, change: f64, current: &mut dyn FnMut(usize, f64)) {
    let equations = &base.equations;
    for (ends, _) in equations.current_sources.iter().filter(|(_, index)| *index == source) {
        flow(*ends, change, current);
    }
    for (index, (_, row)) in base.rows.iter().enumerate() {
        if matches!(row, Current::Source(index) if *index == source) {
            current(base.row(index), -change);
        }
    }
    for (k, (_, index)) in equations.voltage_sources.iter().enumerate() {
        if *index == source {
            current(equations.source_current(k), -change);
        }
    }
}

fn flow(ends: Ends, change: f64, add: &mut dyn FnMut(usize, f64)) {
    if ends.left > 0 {
        add(ends.left - 1, change);
    }
    if ends.right > 0 {
        add(ends.right - 1, -change);
    }
}

/// Whether two networks differ in values alone: the same branches between the same nodes, and the same probes.
#[must_use]
pub fn alike(one: &Network, other: &Network) -> bool {
    let same_branch = |(one, other): (&network::primitive::Branch, &network::primitive::Branch)| {
        let controls = |element: &Element| match element {
            Element::Controlled { plus, minus, .. } => Some((*plus, *minus)),
            _ => None,
        };
        (one.left, one.right) == (other.left, other.right)
            && std::mem::discriminant(&one.element) == std::mem::discriminant(&other.element)
            && controls(&one.element) == controls(&other.element)
    };
    let windings = |network: &Network| -> Vec<Vec<usize>> {
        let of_core =
            |core: &network::primitive::Core| core.windings.iter().map(|(branch, _)| *branch).collect();
        network.cores.iter().map(of_core).collect()
    };
    one.nodes.len() == other.nodes.len()
        && one.branches.len() == other.branches.len()
        && one.branches.iter().zip(&other.branches).all(same_branch)
        && windings(one) == windings(other)
        && one.probes.len() == other.probes.len()
        && one.probes.iter().zip(&other.probes).all(|(one, other)| (lag(one) > 0.0) == (lag(other) > 0.0))
}

fn touched(low: &System<'_>, high: &System<'_>) -> Vec<Touched> {
    let (a, b) = (&low.equations, &high.equations);
    let mut touched = Vec::new();
    let mut compare = |count: usize, same: &dyn Fn(usize) -> bool, kind: fn(usize) -> Touched| {
        touched.extend((0..count).filter(|k| !same(*k)).map(kind));
    };
    compare(a.resistors.len(), &|k| a.resistors[k].1 == b.resistors[k].1, Touched::Resistor);
    compare(a.loads.len(), &|k| a.loads[k].same_law(&b.loads[k]), Touched::Load);
    compare(a.capacitors.len(), &|k| a.capacitors[k].1 == b.capacitors[k].1, Touched::Capacitor);
    compare(a.inductors.len(), &|k| a.inductors[k].1 == b.inductors[k].1, Touched::Inductor);
    let same_core = |k: usize| a.cores[k].law == b.cores[k].law && a.cores[k].windings == b.cores[k].windings;
    compare(a.cores.len(), &same_core, Touched::Core);
    let flux = |k: usize| matches!(low.probes[k], super::system::Seen::Flux(..));
    compare(low.probes.len(), &|k| !flux(k) && low.probes[k] == high.probes[k], Touched::Probe);
    compare(low.lags.len(), &|k| low.lags[k] == high.lags[k], Touched::Lag);
    touched
}

/// All corners of a waveform from 0 on within a period; that at its end counts as its start.
fn corners(wave: &Waveform, period: f64) -> Vec<f64> {
    let mut corners = Vec::new();
    let mut time = 0.0;
    loop {
        let end = wave.piece(time).end;
        if end > period * (1.0 + 1e-12) {
            return corners;
        }
        corners.push(end);
        time = end;
    }
}

fn moving(source: usize, waves: [&Waveform; 3], periods: [f64; 3], legs: &[Leg]) -> Result<Moving, Unlike> {
    let [base, low, high] = [0, 1, 2].map(|index| corners(waves[index], periods[index]));
    if base.len() != low.len() || base.len() != high.len() {
        return Err(Unlike::Corners);
    }
    let scaled = |time: f64, index: usize| time * periods[0] / periods[index];
    let corners: Vec<[f64; 3]> = base
        .iter()
        .zip(&low)
        .zip(&high)
        .map(|((base, low), high)| [*base, scaled(*low, 1), scaled(*high, 2)])
        .collect();
    // What passes a third of a leg, or its neighbour, is not a small motion.
    let room = |index: usize| {
        let gap = |one: usize| corners.get(one + 1).map(|next| next[0] - corners[one][0]);
        let before = index.checked_sub(1).and_then(gap).unwrap_or(f64::INFINITY);
        before.min(gap(index).unwrap_or(f64::INFINITY))
    };
    for (index, [base, low, high]) in corners.iter().enumerate() {
        if (low - base).abs().max((high - base).abs()) > 0.25 * room(index) {
            return Err(Unlike::Corners);
        }
        let moves = (high - low).abs() > MOVES * periods[0];
        if moves && jumps(source, *base, legs) {
            return Err(Unlike::Jumps);
        }
    }
    Ok(Moving { source, corners, value: 0.0, slope: 0.0 })
}

/// Whether a source jumps at a corner.
fn jumps(source: usize, time: f64, legs: &[Leg]) -> bool {
    let Some(index) = legs.iter().position(|leg| (leg.end - time).abs() <= SAME_CORNER) else { return false };
    let before = &legs[index];
    let after = &legs[(index + 1) % legs.len()];
    let end = before.values[source] + before.slopes[source] * (before.end - before.start);
    let (start, greatest) =
        (after.values[source], before.values[source].abs().max(after.values[source].abs()));
    (start - end).abs() > 1e-9 * greatest.max(end.abs())
}

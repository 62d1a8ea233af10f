//! A sweep over frequencies: several side by side where they can be, one alone where it must.

use super::side_by_side::{Room, SideBySide};
use super::small_signal::{Linear, SmallSignal};
use super::{Curves, Excitation, Path, Unanswered};
use crate::equations::Equations;
use crate::linear::Wanted;
use nalgebra::Complex;
use network::primitive::{Element, NodeIndex};
use std::f64::consts::TAU;

/// So many frequencies are worth a plan that takes them side by side.
const WORTH_IT: usize = 4;

/// How many frequencies go side by side.
const LANES: usize = 8;

/// What is asked of a network, and what has been answered.
pub(super) struct Sweep<'e, 'n> {
    equations: &'e Equations<'n>,
    small_signal: SmallSignal<'e, 'n>,
    /// Rows and values of each right side.
    rights: Vec<Vec<(usize, f64)>>,
    wanted: Vec<Wanted>,
    /// With room for groups that are answered together, where there is a plan.
    side_by_side: Option<(SideBySide, Vec<Room<LANES>>)>,
    /// So much fills in that each frequency is solved alone.
    without_plan: bool,
    x: Vec<Complex<f64>>,
    curves: Curves,
}

impl<'e, 'n> Sweep<'e, 'n> {
    pub(super) fn new(equations: &'e Equations<'n>, linear: Linear, paths: &[Path]) -> Self {
        let mut excitations = Vec::new();
        for path in paths {
            if !excitations.contains(&path.excitation) {
                excitations.push(path.excitation);
            }
        }
        let mut rights: Vec<_> =
            excitations.iter().map(|excitation| excite(equations, *excitation)).collect();
        let driven = rights.iter().flatten().map(|(row, _)| row + 1).filter(|node| *node <= equations.nodes);
        let kept: Vec<NodeIndex> =
            driven.chain(paths.iter().flat_map(|path| [path.plus, path.minus])).collect();
        let small_signal = SmallSignal::reduced(equations, linear, &kept);
        rights.iter_mut().flatten().for_each(|(row, _)| *row = small_signal.place(*row));
        let place = |node: NodeIndex| node.checked_sub(1).map(|unknown| small_signal.place(unknown));
        let wanted = paths.iter().filter_map(|path| {
            let right = excitations.iter().position(|excitation| *excitation == path.excitation)?;
            Some(Wanted { right, plus: place(path.plus), minus: place(path.minus) })
        });
        let wanted: Vec<Wanted> = wanted.collect();
        let last = wanted.first().and_then(|wanted| wanted.plus.or(wanted.minus));
        Self {
            equations,
            small_signal: small_signal.with_last(last),
            rights,
            wanted,
            side_by_side: None,
            without_plan: false,
            x: Vec::new(),
            curves: Curves { values: vec![Vec::new(); paths.len()], unanswered: Vec::new() },
        }
    }

    /// The answers at frequencies in hertz.
    pub(super) fn answer(mut self, mut frequencies: &[f64]) -> Curves {
        while let Some(&first) = frequencies.first() {
            if self.side_by_side.is_none() && !self.without_plan && frequencies.len() >= WORTH_IT {
                self.start_from(first);
            }
            let next = self.side_by_side.as_ref().map_or(1, |(_, rooms)| rooms.len() * LANES);
            let (next, rest) = frequencies.split_at(next.min(frequencies.len()));
            if !self.together(next) {
                next.iter().for_each(|frequency| self.alone(*frequency));
            }
            frequencies = rest;
        }
        self.curves
    }

    /// Plans with the pivots of one frequency.
    fn start_from(&mut self, frequency: f64) {
        if self.small_signal.factor(TAU * frequency).is_ok() {
            self.plan();
            self.without_plan = self.side_by_side.is_none();
        }
    }

    fn plan(&mut self) {
        let base = self.small_signal.base();
        let side_by_side = base.map(|base| SideBySide::new(base, &self.rights, &self.wanted));
        self.side_by_side = side_by_side.map(|side_by_side| {
            let rooms = (0..side_by_side.groups()).map(|_| side_by_side.room()).collect();
            (side_by_side, rooms)
        });
    }

    /// False where there is no plan.
    fn together(&mut self, frequencies: &[f64]) -> bool {
        let Some((side_by_side, mut rooms)) = self.side_by_side.take() else { return false };
        // The last few go in as many lanes as they need.
        let unsound = match (frequencies.len(), rooms.len()) {
            (0..=2, 1) => self.in_lanes::<2>(&side_by_side, &mut [side_by_side.room()], frequencies),
            (3..=4, 1) => self.in_lanes::<4>(&side_by_side, &mut [side_by_side.room()], frequencies),
            _ => self.in_lanes(&side_by_side, &mut rooms, frequencies),
        };
        if 2 * unsound > frequencies.len() {
            // The pivots of the frequency that was solved alone just now will do better.
            self.plan();
        } else {
            self.side_by_side = Some((side_by_side, rooms));
        }
        true
    }

    /// How many frequencies could not be answered with the pivots of the plan.
    fn in_lanes<const W: usize>(
        &mut self,
        side_by_side: &SideBySide,
        rooms: &mut [Room<W>],
        frequencies: &[f64],
    ) -> usize {
        let rooms = &mut rooms[..frequencies.len().div_ceil(W)];
        for (group, room) in frequencies.chunks(W).zip(&mut *rooms) {
            // Lanes without a frequency of their own do what the last one does.
            room.omegas = std::array::from_fn(|lane| TAU * group[lane.min(group.len() - 1)]);
        }
        side_by_side.answer(rooms);
        let mut unsound = 0;
        for (group, room) in frequencies.chunks(W).zip(rooms) {
            let answered = side_by_side.answered(room);
            for (lane, &frequency) in group.iter().enumerate() {
                if answered[lane] {
                    for (found, values) in room.found.iter().zip(&mut self.curves.values) {
                        values.push(Some(found.lane(lane)));
                    }
                } else {
                    unsound += usize::from(side_by_side.covers(room.omegas[lane]));
                    self.alone(frequency);
                }
            }
        }
        unsound
    }

    fn alone(&mut self, frequency: f64) {
        let factored = self.small_signal.factor(TAU * frequency);
        if let Err(singular) = factored {
            let place = self.equations.name_of(singular.column);
            self.curves.unanswered.push(Unanswered { frequency, place });
        }
        let zero = Complex::new(0.0, 0.0);
        for (index, right) in self.rights.iter().enumerate() {
            if factored.is_ok() {
                self.x.clear();
                self.x.resize(self.small_signal.size(), zero);
                right.iter().for_each(|(row, value)| self.x[*row] = Complex::new(*value, 0.0));
                self.small_signal.solve(&mut self.x);
            }
            for (wanted, values) in self.wanted.iter().zip(&mut self.curves.values) {
                let voltage = |unknown: Option<usize>| unknown.map_or(zero, |unknown| self.x[unknown]);
                if wanted.right == index {
                    values.push(factored.is_ok().then(|| voltage(wanted.plus) - voltage(wanted.minus)));
                }
            }
        }
    }
}

/// The right side of the equations for one unit of excitation, by rows.
pub(super) fn excite(equations: &Equations<'_>, excitation: Excitation) -> Vec<(usize, f64)> {
    let entering = |into: NodeIndex, out_of: NodeIndex| {
        let currents =
            [(into, 1.0), (out_of, -1.0)].into_iter().filter(|(node, _)| *node > 0 && into != out_of);
        currents.map(|(node, current)| (node - 1, current)).collect()
    };
    match excitation {
        Excitation::Injection { into, out_of } => entering(into, out_of),
        Excitation::Source(branch) => match &equations.network.branches[branch].element {
            Element::CurrentSource(_) => {
                let branch = &equations.network.branches[branch];
                entering(branch.right, branch.left)
            }
            _ => {
                let source = equations.voltage_sources.iter().position(|(ends, _)| ends.branch == branch);
                source.map(|k| (equations.source_current(k), 1.0)).into_iter().collect()
            }
        },
    }
}

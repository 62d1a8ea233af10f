//! What a sweep comes to over two of its axes: at each place of them the worst over all others.

use super::asked::Asked;
use super::json::Line;
use super::outline::Outline;
use language::description::{Axis, AxisKind};

/// Cells of all options together, so that a picture of them stays small; neighbours share a cell where there are more.
const MOST_CELLS: usize = 6000;
/// Options that a picture shows.
const MOST_PICKS: usize = 24;

/// The worst values over two axes.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    /// Along the width and along the height.
    pub(crate) across: Side,
    pub(crate) upwards: Side,
    /// Names of the other axes, over which the worst is taken.
    pub(crate) others: Vec<String>,
    /// For each pick, for each thing asked, the cells row by row.
    picks: Vec<Vec<Vec<Cell>>>,
    asked: usize,
}

/// One of the two axes.
#[derive(Clone, Debug)]
pub(crate) struct Side {
    /// Index of the axis.
    axis: usize,
    /// Its points that are run, in order.
    points: Vec<usize>,
    /// Neighbouring points in one cell.
    group: usize,
}

/// A cell.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Cell {
    /// The worst value, with the number of its point.
    pub(crate) worst: Option<(f64, usize)>,
}

impl Side {
    /// Cells along it.
    pub(crate) fn cells(&self) -> usize {
        self.points.len().div_ceil(self.group)
    }

    /// The axis.
    pub(crate) fn of<'a>(&self, axes: &'a [Axis]) -> &'a Axis {
        &axes[self.axis]
    }

    /// The name of a cell: its first point, and its last where there are several.
    pub(crate) fn name(&self, axes: &[Axis], cell: usize) -> String {
        let points = &self.of(axes).points;
        self.points.get(cell * self.group).map_or_else(String::new, |index| points[*index].clone())
    }

    fn cell(&self, at: &[usize]) -> Option<usize> {
        self.points.iter().position(|point| *point == at[self.axis]).map(|place| place / self.group)
    }
}

impl Grid {
    /// Over the two axes that say most: swept values before cases, many points before few. Nothing where there are no two.
    pub(crate) fn new(outline: &Outline, asked: usize) -> Option<Self> {
        let (axes, chosen) = (&outline.axes, &outline.chosen);
        let varies = |axis: &usize| axes[*axis].kind != AxisKind::Choice && chosen[*axis].len() > 1;
        let mut candidates: Vec<usize> = (0..axes.len()).filter(varies).collect();
        candidates
            .sort_by_key(|axis| (axes[*axis].kind != AxisKind::Sweep, usize::MAX - chosen[*axis].len()));
        let [first, second, rest @ ..] = candidates.as_slice() else { return None };
        let choices = axes.iter().zip(chosen).filter(|(axis, _)| axis.kind == AxisKind::Choice);
        let picks: usize = choices.map(|(_, points)| points.len()).product();
        let side = |axis: &usize| Side { axis: *axis, points: chosen[*axis].clone(), group: 1 };
        let (mut across, mut upwards) = (side(first), side(second));
        if upwards.points.len() > across.points.len() {
            std::mem::swap(&mut across, &mut upwards);
        }
        while across.cells() * upwards.cells() > MOST_CELLS / picks.clamp(1, MOST_PICKS) {
            let longer = if across.cells() >= 2 * upwards.cells() { &mut across } else { &mut upwards };
            longer.group += 1;
        }
        let mut others: Vec<usize> = rest.to_vec();
        others.sort_unstable();
        let mut others: Vec<String> = others.into_iter().map(|axis| axes[axis].name.clone()).collect();
        others.extend(outline.drawing.map(|_| "draws".to_owned()));
        Some(Self { across, upwards, others, picks: Vec::new(), asked })
    }

    /// Takes a line of the pick with this number, at a point of the axes.
    pub(crate) fn add(&mut self, pick: usize, at: &[usize], line: &Line, asked: &[Asked]) {
        let (Some(column), Some(row)) = (self.across.cell(at), self.upwards.cell(at)) else { return };
        let cells = self.across.cells() * self.upwards.cells();
        while self.picks.len() <= pick {
            self.picks.push(vec![vec![Cell::default(); cells]; self.asked]);
        }
        for (asked, cells) in asked.iter().zip(&mut self.picks[pick]) {
            let cell = &mut cells[row * self.across.cells() + column];
            if let Some(value) = asked.value(line)
                && cell.worst.is_none_or(|known| asked.worse(value, known.0))
            {
                cell.worst = Some((value, line.number));
            }
        }
    }

    /// The cells of a pick for what is asked under this index, row by row.
    pub(crate) fn cells(&self, pick: usize, asked: usize) -> &[Cell] {
        self.picks.get(pick).and_then(|asked_cells| asked_cells.get(asked)).map_or(&[], Vec::as_slice)
    }
}

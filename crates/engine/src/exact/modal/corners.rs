//! The legs of a span, remembered where they are few, so that a second walk asks no source again.

use crate::clock::Clock;
use crate::series::Table;
use crate::snapshot::Snapshot;
use network::waveform::Waveform;
use std::rc::Rc;

/// Legs that are remembered: some hundred bytes each.
const REMEMBERED: usize = 20_000;

/// One leg between corners.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece<'a> {
    pub(super) start: f64,
    pub(super) end: f64,
    /// Extended sources just after the start, and their slopes.
    pub(super) sources: &'a [f64],
    pub(super) slopes: &'a [f64],
    /// Whether a source jumps at its start.
    pub(super) jumps: bool,
}

/// All legs from 0 to a span.
#[derive(Default)]
pub(super) struct Corners<'n> {
    waveforms: Vec<&'n Waveform>,
    offsets: Vec<f64>,
    span: f64,
    /// All of them, where they are few.
    table: Option<Rc<Table>>,
}

impl<'n> Corners<'n> {
    pub(super) fn new(snapshot: &Snapshot<'_, 'n>, span: f64) -> Self {
        let offsets: Vec<f64> = snapshot.lines.iter().map(|line| line.offset).collect();
        let mut known = snapshot.equations.kept.sources.borrow_mut();
        let table = known.table(span, &offsets);
        let mut corners = Self { waveforms: snapshot.equations.sources.clone(), offsets, span, table };
        if corners.table.is_none() {
            corners.table = corners.tabulate().map(Rc::new);
            corners.table.iter().for_each(|table| known.remember(table));
        }
        corners
    }

    fn tabulate(&self) -> Option<Table> {
        let (mut times, mut values) = (Vec::new(), Vec::new());
        let complete = self.walk(&mut |piece| {
            times.push((piece.start, piece.end, piece.jumps));
            values.extend_from_slice(piece.sources);
            values.extend_from_slice(piece.slopes);
            times.len() <= REMEMBERED
        });
        complete.then(|| Table { span: self.span, offsets: self.offsets.clone(), times, values })
    }

    /// The value of each extended source that stands still for the whole span.
    pub(super) fn still(&self) -> Vec<Option<f64>> {
        let offsets = self.offsets.iter().map(|offset| Some(*offset));
        let constant = self.waveforms.iter().map(|waveform| match waveform {
            Waveform::Constant(value) => Some(*value),
            _ => None,
        });
        constant.chain(offsets).collect()
    }

    /// How long all legs are, where there are no more than `most`.
    pub(super) fn lengths(&self, most: usize) -> Option<Vec<f64>> {
        let table = self.table.as_ref().filter(|table| table.times.len() <= most)?;
        Some(table.times.iter().map(|(start, end, _)| end - start).collect())
    }

    /// Visits every leg in the order of time.
    pub(super) fn each(&self, mut visit: impl FnMut(Piece<'_>)) {
        let Some(table) = &self.table else {
            self.walk(&mut |piece| {
                visit(piece);
                true
            });
            return;
        };
        let width = self.waveforms.len() + self.offsets.len();
        for (index, (start, end, jumps)) in table.times.iter().enumerate() {
            let (sources, slopes) = table.values[2 * width * index..2 * width * (index + 1)].split_at(width);
            visit(Piece { start: *start, end: *end, sources, slopes, jumps: *jumps });
        }
    }

    /// Asks the sources; false where the visitor had enough.
    fn walk(&self, visit: &mut dyn FnMut(Piece<'_>) -> bool) -> bool {
        let mut clock = Clock::new(&self.waveforms, 0.0);
        let mut jumps = false;
        let (mut sources, mut slopes) = (Vec::new(), Vec::new());
        while clock.time < self.span {
            let start = clock.time;
            let end = clock.next_corner(self.span);
            sources.clear();
            sources.extend(clock.values.iter().chain(&self.offsets));
            slopes.clear();
            slopes.extend_from_slice(&clock.slopes);
            slopes.resize(sources.len(), 0.0);
            if !visit(Piece { start, end, sources: &sources, slopes: &slopes, jumps }) {
                return false;
            }
            jumps = clock.advance(end);
        }
        true
    }
}

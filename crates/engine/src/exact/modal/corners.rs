//! The legs of a span, remembered where they are few, so that a second walk asks no source again.

use crate::clock::Clock;
use crate::snapshot::Snapshot;
use network::waveform::Waveform;

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
    /// Start, end, jump.
    times: Vec<(f64, f64, bool)>,
    /// Sources and slopes of each leg, one after the other.
    values: Vec<f64>,
    complete: bool,
}

impl<'n> Corners<'n> {
    pub(super) fn new(snapshot: &Snapshot<'_, 'n>, span: f64) -> Self {
        let mut corners = Self {
            waveforms: snapshot.equations.sources.clone(),
            offsets: snapshot.lines.iter().map(|line| line.offset).collect(),
            span,
            times: Vec::new(),
            values: Vec::new(),
            complete: false,
        };
        let (mut times, mut values) = (Vec::new(), Vec::new());
        let complete = corners.walk(&mut |piece| {
            times.push((piece.start, piece.end, piece.jumps));
            values.extend_from_slice(piece.sources);
            values.extend_from_slice(piece.slopes);
            times.len() <= REMEMBERED
        });
        if complete {
            (corners.times, corners.values, corners.complete) = (times, values, true);
        }
        corners
    }

    /// Visits every leg in the order of time.
    pub(super) fn each(&self, mut visit: impl FnMut(Piece<'_>)) {
        if !self.complete {
            self.walk(&mut |piece| {
                visit(piece);
                true
            });
            return;
        }
        let width = self.waveforms.len() + self.offsets.len();
        for (index, (start, end, jumps)) in self.times.iter().enumerate() {
            let (sources, slopes) = self.values[2 * width * index..2 * width * (index + 1)].split_at(width);
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

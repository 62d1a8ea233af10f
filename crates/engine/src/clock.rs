//! The sources' values as straight lines between corners.

use network::waveform::{Piece, Waveform};

/// Corners of different sources closer than this many seconds count as one: far below any edge, far above rounding.
const SAME_CORNER: f64 = 1e-14;

/// Follows the pieces of all sources through time.
#[derive(Clone, Debug)]
pub(crate) struct Clock<'n> {
    sources: Vec<&'n Waveform>,
    pieces: Vec<Piece>,
    starts: Vec<f64>,
    /// Value of each source at the last corner (just after it).
    pub(crate) values: Vec<f64>,
    /// Slope of each source per second until the next corner.
    pub(crate) slopes: Vec<f64>,
    /// Time of the last corner in seconds.
    pub(crate) time: f64,
}

impl<'n> Clock<'n> {
    pub(crate) fn new(sources: &[&'n Waveform], time: f64) -> Self {
        let pieces: Vec<Piece> = sources.iter().map(|source| source.piece(time)).collect();
        let mut clock = Self {
            sources: sources.to_vec(),
            starts: vec![time; pieces.len()],
            values: vec![0.0; pieces.len()],
            slopes: vec![0.0; pieces.len()],
            pieces,
            time,
        };
        clock.advance(time);
        clock
    }

    fn refresh(&mut self) {
        for (index, piece) in self.pieces.iter().enumerate() {
            self.values[index] = piece.value + piece.slope * (self.time - self.starts[index]);
            self.slopes[index] = piece.slope;
        }
    }

    /// Time of the next corner of any source, at most `limit`.
    pub(crate) fn next_corner(&self, limit: f64) -> f64 {
        let next = self.pieces.iter().map(|piece| piece.end).fold(limit, f64::min);
        if limit - next < SAME_CORNER { limit } else { next }
    }

    /// Moves on to a corner that [`Self::next_corner`] gave. Tells whether a source jumped there.
    pub(crate) fn advance(&mut self, time: f64) -> bool {
        let mut jumped = false;
        for index in 0..self.pieces.len() {
            if self.pieces[index].end > time + SAME_CORNER {
                continue;
            }
            let begin = self.pieces[index].value;
            let before = self.value_at(index, self.pieces[index].end);
            // An edge that is over before the next corner could be is a jump.
            while self.pieces[index].end <= time + SAME_CORNER {
                let corner = self.pieces[index].end;
                self.starts[index] = corner;
                self.pieces[index] = self.sources[index].piece(corner);
            }
            let after = self.pieces[index].value;
            jumped |= (after - before).abs() > 1e-9 * (begin.abs() + after.abs() + before.abs());
        }
        self.time = time;
        self.refresh();
        jumped
    }

    fn value_at(&self, index: usize, time: f64) -> f64 {
        let piece = &self.pieces[index];
        piece.value + piece.slope * (time - self.starts[index])
    }

    /// Values of all sources at a time between the last corner and the next.
    pub(crate) fn values_at(&self, time: f64, out: &mut [f64]) {
        for (index, value) in out.iter_mut().enumerate() {
            *value = self.values[index] + self.slopes[index] * (time - self.time);
        }
    }
}

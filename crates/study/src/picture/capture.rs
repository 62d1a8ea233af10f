//! A waveform that repeats, kept whole: its parabolas and their running integral.

use crate::meter::Parabola;
use engine::{Observer, Stretch};

/// Stretches that are kept at most: 64 bytes each and half a gigabyte together would be too much for a small machine.
const MOST_STRETCHES: usize = 4_000_000;

/// Records some probes of a run.
pub(super) struct Recorder {
    probes: usize,
    /// Start, end and values of each stretch, probe by probe.
    stretches: Vec<Vec<Piece>>,
    pub(super) overflowed: bool,
}

#[derive(Clone, Copy, Debug)]
struct Piece {
    start: f64,
    end: f64,
    values: [f64; 3],
    /// Integral of all pieces before it, the mean taken off.
    before: f64,
}

impl Recorder {
    pub(super) fn new(probes: usize) -> Self {
        Self { probes, stretches: vec![Vec::new(); probes], overflowed: false }
    }

    /// The waveforms, one a probe; `None` where there is none or it was too long.
    pub(super) fn finish(self) -> Option<Vec<Captured>> {
        (!self.overflowed).then(|| self.stretches.into_iter().map(Captured::new).collect::<Option<_>>())?
    }
}

impl Observer for Recorder {
    fn restart(&mut self) {
        self.stretches = vec![Vec::new(); self.probes];
        self.overflowed = false;
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.overflowed |= self.stretches[0].len() * self.probes >= MOST_STRETCHES;
        if self.overflowed {
            return;
        }
        for (pieces, values) in self.stretches.iter_mut().zip(stretch.values) {
            pieces.push(Piece { start: stretch.start, end: stretch.end, values: *values, before: 0.0 });
        }
    }
}

/// One period of a waveform, as its departure from its mean.
#[derive(Clone, Debug)]
pub(super) struct Captured {
    pieces: Vec<Piece>,
    length: f64,
}

impl Captured {
    fn new(mut pieces: Vec<Piece>) -> Option<Self> {
        let length = pieces.last()?.end;
        // Departures from the first value, so that a ripple on a high voltage keeps its digits.
        let first = pieces[0].values[0];
        for piece in &mut pieces {
            piece.values = piece.values.map(|value| value - first);
        }
        let whole: f64 = pieces.iter().map(|piece| piece.integral(1.0)).sum();
        let mean = whole / length;
        let mut before = 0.0;
        for piece in &mut pieces {
            piece.values = piece.values.map(|value| value - mean);
            piece.before = before;
            before += piece.integral(1.0);
        }
        Some(Self { pieces, length })
    }

    /// Root of the mean square.
    pub(super) fn rms(&self) -> f64 {
        // Simpson's rule on the squares; enough to tell a worse case from a better one.
        let square = |piece: &Piece| {
            let [start, middle, end] = piece.values.map(|value| value * value);
            (piece.end - piece.start) / 6.0 * (start + 4.0 * middle + end)
        };
        (self.pieces.iter().map(square).sum::<f64>() / self.length).sqrt()
    }

    /// Peak amplitude at a frequency in hertz; none where it does not repeat with the period, for then it isn't in the waveform.
    pub(super) fn amplitude(&self, frequency: f64) -> f64 {
        let cycles = frequency * self.length;
        if (cycles - cycles.round()).abs() > 1e-6 * cycles {
            return 0.0;
        }
        let mut line = crate::fourier::Fourier::new((0.0, self.length));
        line.add(frequency);
        self.pieces.iter().for_each(|piece| line.take(piece.start, piece.end, piece.values));
        line.amplitude(frequency).unwrap_or(0.0)
    }

    /// Integral from 0 to a time; over whole periods it is none, since the mean is off.
    fn integral(&self, time: f64, from: usize) -> (f64, usize) {
        let within = time.rem_euclid(self.length);
        let holds = |piece: &Piece| within >= piece.start && within <= piece.end;
        // The next piece or the one after it, mostly: pixels come in the order of time.
        let near = (from..(from + 4).min(self.pieces.len())).find(|index| holds(&self.pieces[*index]));
        let index = near.unwrap_or_else(|| {
            self.pieces.partition_point(|piece| piece.end < within).min(self.pieces.len() - 1)
        });
        let piece = &self.pieces[index];
        let share = ((within - piece.start) / (piece.end - piece.start)).clamp(0.0, 1.0);
        (piece.before + piece.integral(share), index)
    }

    /// Means over `count` stretches of `width` seconds each, one after another from `start` on.
    pub(super) fn means(&self, start: f64, width: f64, count: usize) -> impl Iterator<Item = f64> + '_ {
        let (mut before, mut index) = self.integral(start, 0);
        (1..=count).map(move |pixel| {
            let (after, found) = self.integral(start + pixel as f64 * width, index);
            let mean = (after - before) / width;
            (before, index) = (after, found);
            mean
        })
    }
}

impl Piece {
    /// Integral from its start to a share of it.
    fn integral(&self, share: f64) -> f64 {
        (self.end - self.start) * Parabola::through(self.values).integral(share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A saw from 0 to 1 over 1 s and back at once: departures of -1/2 to 1/2, rms 1/sqrt(12), first line 1/pi; over a quarter the mean
    /// departure is that at its middle.
    #[test]
    fn a_saw_has_its_means_and_lines() {
        let mut recorder = Recorder::new(1);
        for step in 0..10 {
            let [start, end] = [step, step + 1].map(|step| f64::from(step) / 10.0);
            let values = [[5.0 + start, 5.0 + 0.5 * (start + end), 5.0 + end]];
            recorder.stretch(&Stretch { start, end, values: &values });
        }
        let saw = recorder.finish().unwrap().remove(0);
        assert!((saw.rms() - 1.0 / 12f64.sqrt()).abs() < 1e-12);
        assert_eq!(saw.amplitude(1.5), 0.0);
        assert!((saw.amplitude(1.0) - 1.0 / std::f64::consts::PI).abs() < 1e-12);
        // Three quarters of a period on, over the jump, and many periods later.
        for start in [0.0, 7.0, -3.0] {
            let means: Vec<f64> = saw.means(start + 0.75, 0.25, 3).collect();
            for (found, expected) in means.iter().zip([0.375, -0.375, -0.125]) {
                assert!((found - expected).abs() < 1e-9, "{means:?}");
            }
        }
    }

    #[test]
    fn an_empty_run_gives_no_waveform() {
        assert!(Recorder::new(1).finish().is_none());
    }
}

//! Waveforms to draw: thinned to columns that keep every extreme.

use crate::meter::Parabola;
use crate::result::Trace;

/// Columns of a drawn waveform; two points each.
const COLUMNS: usize = 1200;

/// Points left out in a row at most.
const MOST_LEFT_OUT: usize = 8;

/// Collects a waveform inside a window as least and greatest value a column.
#[derive(Clone, Debug)]
pub(crate) struct Thinner {
    window: (f64, f64),
    columns: Vec<Option<Column>>,
    first: Option<(f64, f64)>,
    last: Option<(f64, f64)>,
}

#[derive(Clone, Copy, Debug)]
struct Column {
    least: (f64, f64),
    greatest: (f64, f64),
}

impl Thinner {
    /// A window in seconds, not empty.
    pub(crate) fn new(window: (f64, f64)) -> Self {
        Self { window, columns: vec![None; COLUMNS], first: None, last: None }
    }

    /// Takes the next stretch.
    pub(crate) fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        let (from, to) = (start.max(self.window.0), end.min(self.window.1));
        if from >= to {
            return;
        }
        let width = (self.window.1 - self.window.0) / COLUMNS as f64;
        let parabola = Parabola::through(values);
        let at = |time: f64| parabola.at((time - start) / (end - start));
        self.first.get_or_insert((from, at(from)));
        self.last = Some((to, at(to)));
        // A stretch over many columns is seen twice in each; a short one at its ends and its middle.
        let mut time = from;
        while time < to {
            self.see(time, at(time));
            time += 0.5 * width;
        }
        self.see(0.5 * (from + to), at(0.5 * (from + to)));
        // Just inside its column, so that a jump at a corner stays visible.
        self.see(to - 1e-9 * width, at(to));
    }

    fn see(&mut self, time: f64, value: f64) {
        let place = (time - self.window.0) / (self.window.1 - self.window.0) * COLUMNS as f64;
        let column = &mut self.columns[(place.max(0.0) as usize).min(COLUMNS - 1)];
        let point = (time, value);
        match column {
            None => *column = Some(Column { least: point, greatest: point }),
            Some(column) => {
                if value < column.least.1 {
                    column.least = point;
                }
                if value > column.greatest.1 {
                    column.greatest = point;
                }
            }
        }
    }

    /// The points in the order of time, those left out that lie on the line between their neighbours.
    pub(crate) fn finish(self) -> Trace {
        let mut points: Vec<(f64, f64)> = Vec::new();
        points.extend(self.first);
        for column in self.columns.into_iter().flatten() {
            let (mut early, mut late) = (column.least, column.greatest);
            if early.0 > late.0 {
                std::mem::swap(&mut early, &mut late);
            }
            points.push(early);
            if late.0 > early.0 {
                points.push(late);
            }
        }
        points.extend(self.last);
        Trace { points: straightened(&points) }
    }
}

/// Windows that a rise is watched through; the finest is 2^-15 of the span.
const WINDOWS: i32 = 16;
/// A waveform counts as risen at this share of its greatest magnitude, as in the usual definition of a rise time.
const RISEN: f64 = 0.9;
/// Rise times to show: a ring then shows one and a half swings, an exponential nine time constants.
const SHOWN: f64 = 4.0;

/// The beginning of a run from rest, watched through windows that each last twice as long as the one before, because the
/// rise time is known only once it is over.
#[derive(Clone, Debug)]
pub(crate) struct Rise {
    /// The shortest first.
    windows: Vec<Thinner>,
}

impl Rise {
    /// For a run of `span` seconds, not empty.
    pub(crate) fn new(span: f64) -> Self {
        let windows = (0..WINDOWS).rev().map(|halvings| Thinner::new((0.0, span * 0.5_f64.powi(halvings))));
        Self { windows: windows.collect() }
    }

    /// Takes the next stretch.
    pub(crate) fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        self.windows.iter_mut().for_each(|window| window.take(start, end, values));
    }

    /// The shortest window that holds the rise several times over; the whole run where it rises to its very end.
    pub(crate) fn finish(self) -> Trace {
        let traces: Vec<(f64, Trace)> =
            self.windows.into_iter().map(|window| (window.window.1, window.finish())).collect();
        let greatest = traces.iter().flat_map(|(_, trace)| &trace.points);
        let greatest = greatest.map(|(_, value)| value.abs()).fold(0.0, f64::max);
        let risen = |trace: &Trace| {
            trace.points.iter().find(|(_, value)| value.abs() >= RISEN * greatest).map(|(time, _)| *time)
        };
        let whole = traces.last().map(|(_, trace)| trace.clone()).unwrap_or_default();
        let fitting =
            traces.into_iter().find(|(end, trace)| risen(trace).is_some_and(|time| SHOWN * time <= *end));
        fitting.map_or(whole, |(_, trace)| trace)
    }
}

fn straightened(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let extremes = points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, value)| {
        (low.min(*value), high.max(*value))
    });
    let slack = 1e-4 * (extremes.1 - extremes.0);
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    let mut left_out = 0;
    for (index, point) in points.iter().enumerate() {
        let on_line = match (kept.last(), points.get(index + 1)) {
            (Some(before), Some(after)) if after.0 > before.0 => {
                let share = (point.0 - before.0) / (after.0 - before.0);
                (before.1 + share * (after.1 - before.1) - point.1).abs() <= slack
            }
            _ => false,
        };
        // A long gentle bend would drift away from its chord, point by point.
        if on_line && left_out < MOST_LEFT_OUT {
            left_out += 1;
        } else {
            kept.push(*point);
            left_out = 0;
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// `1 - exp(-t/tau)` reaches nine tenths after 2.303 time constants, so the shortest window of 1 s / 2^n that holds 9.2
    /// of them is the one of 1/64 s where tau is 1 ms.
    #[test]
    fn a_rise_is_shown_from_its_start() {
        let mut rise = Rise::new(1.0);
        let value = |time: f64| 1.0 - (-time / 1e-3).exp();
        for index in 0..20_000 {
            let (start, end) = (f64::from(index) / 2e4, f64::from(index + 1) / 2e4);
            rise.take(start, end, [value(start), value(0.5 * (start + end)), value(end)]);
        }
        let points = rise.finish().points;
        assert_eq!(points[0], (0.0, 0.0));
        assert!((points.last().unwrap().0 - 1.0 / 64.0).abs() < 1e-9);
    }

    proptest! {
        /// The extremes of the corner points survive thinning, wherever they stand.
        #[test]
        fn extremes_survive(values in proptest::collection::vec(-1e3f64..1e3, 2..6000)) {
            let mut thinner = Thinner::new((0.0, (values.len() - 1) as f64));
            for (index, pair) in values.windows(2).enumerate() {
                let start = index as f64;
                thinner.take(start, start + 1.0, [pair[0], 0.5 * (pair[0] + pair[1]), pair[1]]);
            }
            let trace = thinner.finish();
            let seen = trace.points.iter().map(|point| point.1);
            let swing = values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
                - values.iter().copied().fold(f64::INFINITY, f64::min);
            let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let least = values.iter().copied().fold(f64::INFINITY, f64::min);
            // A point may be left out where it lies within 1e-4 of the swing of a straight line.
            prop_assert!((seen.clone().fold(f64::NEG_INFINITY, f64::max) - greatest).abs() <= 2e-4 * swing);
            prop_assert!((seen.fold(f64::INFINITY, f64::min) - least).abs() <= 2e-4 * swing);
            prop_assert!(trace.points.windows(2).all(|pair| pair[0].0 <= pair[1].0));
        }
    }
}

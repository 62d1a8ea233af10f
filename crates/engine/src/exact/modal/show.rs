//! What an observer is told of a span whose legs are known: first how far waveforms swing, then all of them to a share of that.

use super::passed::Legs;
use super::tour::{Overview, Tour, rows_at};
use crate::observe::{Enough, Observer, Totals};
use nalgebra::DVector;

/// A low-pass has forgotten how it began after so many of its time constants: beyond double precision.
const FORGOTTEN: f64 = 40.0;
/// The ends of more legs than these see how far a waveform swings.
const FEW: usize = 64;
/// Nothing is known.
const NOWHERE: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);

/// How low-passes begin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Begin {
    /// At 0.
    Empty,
    /// At their signals.
    AtSignals,
    /// As they do in every period of so many seconds.
    Periodic(f64),
}

/// Tells the observer of the whole span, to a share of each waveform's swing. False where a load may have left its line, or modes lost digits that
/// matter, so that nothing of it holds, or where something grows beyond what numbers hold.
pub(crate) fn show(legs: &mut dyn Legs, share: f64, begin: Begin, observer: &mut dyn Observer) -> bool {
    let Some(mut overview) = overview(legs, share) else { return false };
    let standing = match begin {
        Begin::Empty => Some(vec![0.0; legs.some().1.probes]),
        Begin::AtSignals => None,
        Begin::Periodic(period) => Some(standing(legs, period)),
    };
    filtered(legs, share, standing.as_deref(), &mut overview);
    tell(legs, &overview, standing.as_deref(), observer)
}

/// Looks at the ends of all legs; `None` where numbers can't hold what is there.
fn overview(legs: &mut dyn Legs, share: f64) -> Option<Overview> {
    let probes = legs.some().1.probes;
    let mut ranges = vec![NOWHERE; probes];
    let [mut most_sources, mut most_slopes] = [const { Vec::new() }; 2];
    let mut most_state = 0.0f64;
    let mut rows = Vec::new();
    let mut finite = true;
    legs.each(&mut |passed| {
        for at in [&passed.from, &passed.to] {
            rows_at(passed.reduced, at, passed.slopes, &mut rows);
            for (range, row) in ranges.iter_mut().zip(&passed.signals.rows) {
                *range = (range.0.min(rows[*row]), range.1.max(rows[*row]));
            }
            finite &= at.state.iter().chain(&rows).all(|value| value.is_finite());
            most_state = at.state.iter().fold(most_state, |most, value| most.max(value.abs()));
            widen(&mut most_sources, at.sources);
        }
        widen(&mut most_slopes, passed.slopes);
    });
    if !finite {
        return None;
    }
    let (reduced, signals) = legs.some();
    let state = DVector::from_element(reduced.a.nrows(), most_state);
    let [sources, slopes] = [most_sources, most_slopes].map(DVector::from_vec);
    let mut rounding = reduced.rounding(&state, &sources, &slopes);
    rounding.resize(probes, 0.0);
    let mut tolerances: Vec<f64> = rounding.iter().map(|rounding| rounding.max(f64::MIN_POSITIVE)).collect();
    for ((range, tolerance), corner) in ranges.iter_mut().zip(&mut tolerances).zip(&signals.corners) {
        if corner.is_some() {
            *range = NOWHERE;
        } else {
            *tolerance = tolerance.max(share * (range.1 - range.0));
        }
    }
    Some(Overview { tolerances, ranges })
}

fn widen(most: &mut Vec<f64>, values: &[f64]) {
    most.resize(values.len(), 0.0);
    most.iter_mut().zip(values).for_each(|(most, value)| *most = most.max(value.abs()));
}

/// Where low-passes stand at the start of every period: each is started at its signal and let go through the period once; what it
/// began with is left with e^(-w T) of its height.
fn standing(legs: &mut dyn Legs, period: f64) -> Vec<f64> {
    let signals = legs.some().1;
    let corners = signals.corners.clone();
    let memory = corners.iter().flatten().map(|corner| FORGOTTEN / corner).fold(0.0, f64::max);
    let mut tour = Tour::new(signals, Vec::new());
    let mut began = vec![0.0; signals.probes];
    let mut started = false;
    if memory > 0.0 {
        legs.each(&mut |passed| {
            if passed.end <= period - memory {
                return;
            }
            if !started {
                tour.stand_at_signals(passed);
                began.clone_from(&tour.stand);
                started = true;
            }
            tour.pass(passed);
        });
    }
    let corners = corners.iter().zip(tour.stand.iter().zip(&began));
    let standing = corners.map(|(corner, (value, began))| {
        let Some(corner) = corner else { return 0.0 };
        (value - (-corner * period).exp() * began) / -(-corner * period).exp_m1()
    });
    standing.collect()
}

/// Looks at the ends of all legs with low-passes that start at `standing` or, where that is nowhere, at their signals. What they leave may swing
/// by little of what they are given, and where legs are few most of it between the ends: the middle tells.
fn filtered(legs: &mut dyn Legs, share: f64, standing: Option<&[f64]>, overview: &mut Overview) {
    let signals = legs.some().1;
    let probes: Vec<usize> = (0..signals.probes).filter(|probe| signals.corners[*probe].is_some()).collect();
    if probes.is_empty() {
        return;
    }
    let mut tour = Tour::new(signals, Vec::new());
    let mut swings = vec![NOWHERE; signals.probes];
    let mut middle = vec![0.0; signals.probes];
    let mut legs_seen = 0;
    let mut started = false;
    legs.each(&mut |passed| {
        if !started {
            started = true;
            match standing {
                Some(standing) => tour.stand.copy_from_slice(standing),
                None => tour.stand_at_signals(passed),
            }
        }
        tour.pass(passed);
        let looked_inside = legs_seen < FEW;
        legs_seen += 1;
        if looked_inside {
            tour.leg.at_middle(passed.signals, passed.stride, &mut middle);
        }
        for probe in probes.iter().copied() {
            let range = &mut overview.ranges[probe];
            for value in [tour.leg.values[probe], tour.ends[probe]] {
                *range = (range.0.min(value), range.1.max(value));
            }
            if looked_inside {
                let swing = &mut swings[probe];
                *swing = (swing.0.min(middle[probe]), swing.1.max(middle[probe]));
            }
        }
    });
    for probe in probes {
        let (range, swing) = (overview.ranges[probe], swings[probe]);
        let swing = range.1.max(swing.1) - range.0.min(swing.0);
        let tolerance = &mut overview.tolerances[probe];
        *tolerance = tolerance.max(share * swing);
    }
}

fn tell(
    legs: &mut dyn Legs,
    overview: &Overview,
    standing: Option<&[f64]>,
    observer: &mut dyn Observer,
) -> bool {
    let signals = legs.some().1;
    let shown = signals.shown;
    let mut enough = observer.enough(shown);
    enough.resize(signals.probes, Enough::Extremes);
    let mut tour = Tour::new(signals, enough);
    let (mut started, mut lost) = (false, false);
    legs.each(&mut |passed| {
        if !started {
            started = true;
            match standing {
                Some(standing) => tour.stand.copy_from_slice(standing),
                None => tour.stand_at_signals(passed),
            }
        }
        if lost {
            return;
        }
        tour.pass(passed);
        lost = !tour.meets(passed, &overview.tolerances);
        tour.total(passed, overview);
        tour.draw(passed, shown, &overview.tolerances, observer);
    });
    if lost {
        return false;
    }
    tour.finish(overview);
    let (probes, loads) = tour.totals.split_at(shown);
    let keeps = |(((low, high), totals), tolerance): ((&(f64, f64), &Totals), &f64)| {
        totals.least - tolerance > *low && totals.greatest + tolerance < *high
    };
    let tolerances = &overview.tolerances[shown..];
    if !legs.ranges().iter().zip(loads).zip(tolerances).all(keeps) {
        return false;
    }
    for (probe, totals) in probes.iter().enumerate() {
        if tour.enough[probe] != Enough::Waveform {
            observer.totals(probe, totals);
        }
    }
    true
}

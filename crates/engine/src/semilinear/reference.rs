//! The network with straight parts chosen near where its bent elements work, and the propagators that go with it.

use super::laws::Law;
use super::pace::{Pace, along};
use crate::equations::Load;
use crate::exact::{FINER_LEVELS, MOST_KINDS, Passage, Reduced, SAME_DURATION, Signals};
use crate::failure::Failure;
use crate::probes::Probes;
use crate::snapshot::{Bent, Snapshot};
use nalgebra::{DMatrix, DVector};
use std::cell::{Cell, OnceCell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

/// Ratio of neighbouring straight parts: within it the frequency of a ringing coil is known to 10 %.
const RATIO: f64 = 1.25;

/// Rungs of the ladder of straight parts, one a bent element: the straight part is the law's slope at zero over `RATIO` to
/// the power of the rung.
pub(super) type Rungs = Vec<i32>;

/// A leg's duration and all its halvings.
pub(super) struct Halvings {
    pub(super) passages: Vec<Passage>,
    paces: RefCell<Vec<Option<Rc<Pace>>>>,
    /// How often such a leg is halved at first.
    pub(super) level: Cell<usize>,
}

/// How the ports move: K A, K B, K E + K_u.
struct PortRates {
    of_state: DMatrix<f64>,
    of_sources: DMatrix<f64>,
    of_slopes: DMatrix<f64>,
}

/// One choice of straight parts.
pub(super) struct Reference<'e, 'n> {
    pub(super) snapshot: Snapshot<'e, 'n>,
    pub(super) rungs: Rungs,
    /// Straight parts in henry or farad.
    pub(super) straight: Vec<f64>,
    pub(super) reduced: Reduced,
    /// A N: how the bent rest drives xi.
    drive: DMatrix<f64>,
    /// K N: how the bent rest shifts its own current, and K A N: the same of its slope.
    pub(super) shift: DMatrix<f64>,
    pub(super) port_drive: DMatrix<f64>,
    port_rates: PortRates,
    /// Within these slopes of the laws its rungs are kept.
    kept: Vec<(f64, f64)>,
    legs: RefCell<HashMap<u64, Rc<Halvings>>>,
    signals: OnceCell<Option<Signals>>,
}

impl<'e, 'n> Reference<'e, 'n> {
    /// `base` gives everything but the straight parts of the bent elements.
    pub(super) fn new(
        base: &Snapshot<'e, 'n>,
        probes: &Probes<'e, 'n>,
        scale: &DVector<f64>,
        bent: &[(Bent, Law)],
        rungs: Rungs,
    ) -> Result<Self, Failure> {
        let straight: Vec<f64> =
            bent.iter().zip(&rungs).map(|((_, law), rung)| law.slope(0.0) * RATIO.powi(-rung)).collect();
        let mut slopes = base.slopes().clone();
        for ((element, _), slope) in bent.iter().zip(&straight) {
            match element {
                Bent::Inductor(k) => slopes.inductances[*k] = *slope,
                Bent::Core(k) => slopes.cores[*k] = *slope,
                Bent::Capacitor(k) => slopes.capacitances[*k] = *slope,
            }
        }
        let snapshot = Snapshot::with_slopes(base.equations, base.lines.clone(), slopes)?;
        let elements: Vec<Bent> = bent.iter().map(|(element, _)| *element).collect();
        let reduced = Reduced::new(&snapshot, probes, scale.clone(), &elements);
        let drive = &reduced.a * &reduced.ports.drive;
        let ports = &reduced.ports;
        let shift = &ports.state * &ports.drive;
        let port_drive = &ports.state * &drive;
        let port_rates = PortRates {
            of_state: &ports.state * &reduced.a,
            of_sources: &ports.state * &reduced.b,
            of_slopes: &ports.state * &reduced.e + &ports.sources,
        };
        let kept = straight.iter().map(|slope| (slope / RATIO, slope * RATIO)).collect();
        Ok(Self {
            snapshot,
            rungs,
            straight,
            reduced,
            drive,
            shift,
            port_drive,
            port_rates,
            kept,
            legs: RefCell::default(),
            signals: OnceCell::new(),
        })
    }

    /// Probes and voltages of loads as sums of modes; `None` where they are not.
    pub(super) fn signals(&self) -> Option<&Signals> {
        let made = || {
            let equations = self.snapshot.equations;
            if equations.loads.iter().any(Load::is_switch) {
                return None;
            }
            Signals::new(&self.reduced, &equations.network.probes, &self.bounded())
        };
        self.signals.get_or_init(made).as_ref()
    }

    /// Loads that could leave their lines, and from which voltage to which each of them keeps to it.
    fn bounded(&self) -> Vec<usize> {
        let ranges = self.ranges();
        (0..ranges.len()).filter(|load| ranges[*load].0.is_finite() || ranges[*load].1.is_finite()).collect()
    }

    pub(super) fn bounded_ranges(&self) -> Vec<(f64, f64)> {
        let ranges = self.ranges();
        self.bounded().into_iter().map(|load| ranges[load]).collect()
    }

    fn ranges(&self) -> Vec<(f64, f64)> {
        let loads = self.snapshot.equations.loads.iter().zip(&self.snapshot.lines);
        loads.map(|(load, line)| load.range(*line)).collect()
    }

    /// A duration in seconds and its halvings.
    pub(super) fn halvings(&self, duration: f64) -> Rc<Halvings> {
        let key = (duration / SAME_DURATION).round() as u64;
        let mut legs = self.legs.borrow_mut();
        if legs.len() > MOST_KINDS {
            legs.clear();
        }
        let halvings = legs.entry(key).or_insert_with(|| {
            let passages = Passage::halvings(&self.reduced, &self.drive, duration, FINER_LEVELS);
            let paces = RefCell::new(vec![None; passages.len()]);
            Rc::new(Halvings { passages, paces, level: Cell::new(0) })
        });
        Rc::clone(halvings)
    }

    /// The steps of `level` of a leg; there must be two finer levels.
    pub(super) fn pace(&self, halvings: &Halvings, level: usize) -> Rc<Pace> {
        let mut all = halvings.paces.borrow_mut();
        let pace = all[level].get_or_insert_with(|| Rc::new(Pace::new(self, &halvings.passages, level)));
        Rc::clone(pace)
    }

    /// What xi gains over a leg from a rest that stands still.
    pub(super) fn standing(&self, passage: &Passage, rest: &DVector<f64>) -> DVector<f64> {
        &passage.of_drive[0] * rest
    }

    /// Slope of a port's current or voltage, without what the rest adds.
    pub(super) fn port_slope(&self, port: usize, state: &[f64], sources: &[f64], slopes: &[f64]) -> f64 {
        let rates = &self.port_rates;
        along(&rates.of_state, port, state)
            + along(&rates.of_sources, port, sources)
            + along(&rates.of_slopes, port, slopes)
    }

    /// Those of all ports.
    pub(super) fn port_slopes(&self, state: &[f64], sources: &[f64], slopes: &[f64]) -> DVector<f64> {
        let ports = self.straight.len();
        DVector::from_iterator(ports, (0..ports).map(|port| self.port_slope(port, state, sources, slopes)))
    }

    /// Whether its straight parts are near enough to the laws at given currents and voltages.
    pub(super) fn suits(&self, bent: &[(Bent, Law)], x: &DVector<f64>) -> bool {
        let kept = bent.iter().zip(x.iter()).zip(&self.kept);
        kept.into_iter().all(|(((_, law), x), (low, high))| (*low..=*high).contains(&law.slope(*x)))
    }
}

/// The rungs nearest to the slopes of the laws at given currents and voltages; those of `now` are kept while they are near.
pub(super) fn rungs_at(bent: &[(Bent, Law)], x: &DVector<f64>, now: &Rungs) -> Rungs {
    let rung = |(index, (_, law)): (usize, &(Bent, Law))| {
        let exact = (law.slope(0.0) / law.slope(x[index])).ln() / RATIO.ln();
        let kept = (exact - f64::from(now[index])).abs() <= 1.0;
        if kept { now[index] } else { exact.round() as i32 }
    };
    bent.iter().enumerate().map(rung).collect()
}

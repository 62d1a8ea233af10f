//! The network with straight parts chosen near where its bent elements work, and the propagators that go with it.

use super::collocation::Weights;
use super::laws::Law;
use crate::equations::Load;
use crate::exact::{FINER_LEVELS, MOST_KINDS, Propagator, Reduced, SAME_DURATION, Signals};
use crate::failure::Failure;
use crate::probes::Probes;
use crate::snapshot::{Bent, Snapshot};
use nalgebra::{DMatrix, DVector};
use network::primitive::Probe;
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

/// Ratio of neighbouring straight parts: within it the frequency of a ringing coil is known to 10 %.
const RATIO: f64 = 1.25;

/// Rungs of the ladder of straight parts, one a bent element: the straight part is the law's slope at zero over `RATIO` to
/// the power of the rung.
pub(super) type Rungs = Vec<i32>;

/// A propagator over a duration, with the weights of its steps.
pub(super) struct Stride {
    pub(super) propagator: Propagator,
    weights: RefCell<Vec<Option<Rc<Weights>>>>,
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
    /// K N: how the bent rest shifts its own current.
    pub(super) shift: DMatrix<f64>,
    strides: RefCell<HashMap<u64, Rc<Stride>>>,
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
        let shift = &reduced.ports.state * &reduced.ports.drive;
        Ok(Self {
            snapshot,
            rungs,
            straight,
            reduced,
            drive,
            shift,
            strides: RefCell::default(),
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
            let raw = |probe: &Probe| Probe { signal: probe.signal.clone(), bandwidth: None };
            let probes: Vec<Probe> = equations.network.probes.iter().map(raw).collect();
            Signals::new(&self.reduced, &probes, &self.bounded())
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

    /// The propagator over a duration in seconds.
    pub(super) fn stride(&self, duration: f64) -> Rc<Stride> {
        let key = (duration / SAME_DURATION).round() as u64;
        let mut strides = self.strides.borrow_mut();
        if strides.len() > MOST_KINDS {
            strides.clear();
        }
        let stride = strides.entry(key).or_insert_with(|| {
            let propagator = Propagator::new(&self.reduced.a, duration, FINER_LEVELS);
            let weights = RefCell::new(vec![None; propagator.levels.len()]);
            Rc::new(Stride { propagator, weights })
        });
        Rc::clone(stride)
    }

    /// The weights of a step of `level` of a stride; there must be two finer levels.
    pub(super) fn weights(&self, stride: &Stride, level: usize) -> Rc<Weights> {
        let mut all = stride.weights.borrow_mut();
        let weights = all[level].get_or_insert_with(|| {
            Rc::new(Weights::new(&stride.propagator, level, &self.drive, &self.reduced.ports.state))
        });
        Rc::clone(weights)
    }
}

/// The rungs nearest to the slopes of the laws at given currents and voltages; those of `now` are kept while they are near.
pub(super) fn rungs_at(bent: &[(Bent, Law)], x: &DVector<f64>, now: Option<&Rungs>) -> Rungs {
    let rung = |(index, (_, law)): (usize, &(Bent, Law))| {
        let exact = (law.slope(0.0) / law.slope(x[index])).ln() / RATIO.ln();
        match now {
            Some(now) if (exact - f64::from(now[index])).abs() <= 1.0 => now[index],
            _ => exact.round() as i32,
        }
    };
    bent.iter().enumerate().map(rung).collect()
}

//! What a filter comes to over runs: the worst of all that it is judged by, and why it does not do.

use language::description::Comparison;
use network::lowered::Warning;

/// Why a filter does not do.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Fault {
    /// It misses the requirement with this index.
    Misses(usize),
    /// A part of it is overstressed.
    Overstressed,
    /// A camera's supply rises beyond its range.
    OverSupply,
    /// A coil of it is left with too little of its inductance while the load runs.
    Saturated,
    /// A run failed.
    Failed,
}

/// A fault and how far beyond its limit it is, as a ratio above 1 where there is one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fail {
    pub(super) fault: Fault,
    pub(super) excess: f64,
}

/// Worst values of a filter over points and draws.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Worst {
    pub(super) drop: f64,
    pub(super) peak: f64,
    pub(super) requirements: Vec<Option<f64>>,
    /// Of each kind and part the gravest.
    pub(super) warnings: Vec<Warning>,
    pub(super) faults: Vec<Fault>,
    pub(super) excess: f64,
}

impl Worst {
    pub(super) fn new(requirements: usize) -> Self {
        Self {
            drop: f64::NEG_INFINITY,
            peak: f64::NEG_INFINITY,
            requirements: vec![None; requirements],
            excess: 1.0,
            ..Self::default()
        }
    }

    pub(super) fn noise(&self, noise: Option<usize>) -> Option<f64> {
        self.requirements.get(noise?).copied().flatten()
    }

    /// Takes the worse of both.
    pub(super) fn join(&mut self, other: &Self, comparisons: &[Comparison]) {
        self.drop = self.drop.max(other.drop);
        self.peak = self.peak.max(other.peak);
        self.excess = self.excess.max(other.excess);
        for ((own, other), comparison) in
            self.requirements.iter_mut().zip(&other.requirements).zip(comparisons)
        {
            *own = worse(*own, *other, *comparison);
        }
        other.warnings.iter().for_each(|warning| self.warn(warning));
        for fault in &other.faults {
            crate::examine::push_new(&mut self.faults, fault);
        }
    }

    /// Keeps a warning, unless the same is known of the part and graver.
    pub(super) fn warn(&mut self, warning: &Warning) {
        let alike = |known: &&mut Warning| (known.code, &known.about) == (warning.code, &warning.about);
        match self.warnings.iter_mut().find(alike) {
            Some(known) if known.weight >= warning.weight => {}
            Some(known) => known.clone_from(warning),
            None => self.warnings.push(warning.clone()),
        }
    }

    /// Adds a fault that goes beyond its limit by this ratio.
    pub(super) fn fault(&mut self, fault: &Fault, excess: f64) {
        crate::examine::push_new(&mut self.faults, fault);
        self.excess = self.excess.max(excess);
    }

    pub(super) fn fail(&self) -> Option<Fail> {
        self.faults.first().map(|fault| Fail { fault: fault.clone(), excess: self.excess })
    }
}

fn worse(one: Option<f64>, other: Option<f64>, comparison: Comparison) -> Option<f64> {
    let (Some(one), Some(other)) = (one, other) else { return one.or(other) };
    Some(match comparison {
        Comparison::Less | Comparison::LessOrEqual => one.max(other),
        Comparison::Greater | Comparison::GreaterOrEqual => one.min(other),
    })
}

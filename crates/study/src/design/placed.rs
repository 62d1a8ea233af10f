//! An element at a study point: its admittance at each line, also where a law that bends is elsewhere on its curve.

use super::impedance::{Bent, Lone};
use engine::Complex;

/// An element's admittances at the lines of a point.
pub(super) struct Placed {
    admittances: Vec<Complex<f64>>,
    bent: Option<BentAt>,
}

/// What of it bends.
struct BentAt {
    law: Bent,
    /// Impedance in ohm of the inductance or capacitance at each line, where the law is `from`.
    own: Vec<Complex<f64>>,
    /// Inductance or capacitance for small changes that the admittances hold for.
    from: f64,
    /// Current in ampere that a core may carry at most.
    bears: Option<f64>,
}

/// Points of a curve's stretch that are looked at.
const STEPS: usize = 8;
/// By how much what rides on the mean may be more than straight laws give (own choice).
const MORE: f64 = 2.0;

impl Placed {
    /// For frequencies in hertz, a current in ampere through coils and a voltage across capacitors.
    ///
    /// # Errors
    /// Why there is none, in a sentence.
    pub(super) fn new(
        lone: &Lone,
        frequencies: &[f64],
        (current, volts): (f64, f64),
        bears: Option<f64>,
    ) -> Result<Self, String> {
        let admittances = lone.admittances(frequencies, current, volts, 1.0)?;
        let bent = match &lone.bent {
            None => None,
            Some(law) => {
                let more = lone.admittances(frequencies, current, volts, 1.0 + STEP)?;
                let from = law.slope(law.mean_of(current, volts));
                // Of an inductance the impedance is proportional to it, of a capacitance to its inverse.
                let share = if law.is_core() { STEP } else { 1.0 / (1.0 + STEP) - 1.0 };
                let own = admittances.iter().zip(&more).map(|(before, after)| match (*before, *after) {
                    (before, after) if before.norm() > 0.0 && after.norm() > 0.0 => {
                        (after.inv() - before.inv()) / share
                    }
                    _ => Complex::new(0.0, 0.0),
                });
                Some(BentAt { law: law.clone(), own: own.collect(), from, bears })
            }
        };
        Ok(Self { admittances, bent })
    }

    /// At a line, with the law's slope at this multiple of what it is at the mean.
    pub(super) fn admittance(&self, line: usize, scale: f64) -> Complex<f64> {
        let at_mean = self.admittances[line];
        let Some(bent) = self.bent.as_ref().filter(|_| scale != 1.0) else { return at_mean };
        if at_mean.norm() == 0.0 {
            return at_mean;
        }
        let share = if bent.law.is_core() { scale - 1.0 } else { 1.0 / scale - 1.0 };
        (at_mean.inv() + bent.own[line] * share).inv()
    }

    /// What a current through it makes of the quantity that its law bends with: current of a core, voltage of a capacitor.
    pub(super) fn bending(&self, line: usize, current: Complex<f64>) -> Option<Complex<f64>> {
        let bent = self.bent.as_ref()?;
        Some(if bent.law.is_core() { current } else { current * bent.own[line] })
    }

    /// The current in ampere that its core may carry at most, where that is judged.
    pub(super) fn bears(&self) -> Option<f64> {
        self.bent.as_ref()?.bears
    }

    /// The law's slope at a mean current or voltage as a multiple of what the admittances hold for.
    pub(super) fn scale(&self, current: f64, volts: f64) -> f64 {
        self.bent.as_ref().map_or(1.0, |bent| bent.law.slope(bent.law.mean_of(current, volts)) / bent.from)
    }

    /// The same where the law is steepest and flattest within what rides on the mean.
    pub(super) fn reach(&self, (current, volts): (f64, f64), ripple: f64) -> (f64, f64) {
        let Some(bent) = &self.bent else { return (1.0, 1.0) };
        let mean = bent.law.mean_of(current, volts);
        let limit = bent.bears.filter(|bears| *bears > mean.abs()).unwrap_or(f64::INFINITY);
        let (low, high) = ((mean - MORE * ripple).max(-limit), (mean + MORE * ripple).min(limit));
        let slopes = (0..=STEPS).map(|step| {
            let at = low + (high - low) * step as f64 / STEPS as f64;
            bent.law.slope(at) / bent.from
        });
        // The middle of an even law lies at zero.
        let middle = (low < 0.0 && high > 0.0).then(|| bent.law.slope(0.0) / bent.from);
        let reach = (f64::INFINITY, f64::NEG_INFINITY);
        slopes.chain(middle).fold(reach, |(least, most), slope| (least.min(slope), most.max(slope)))
    }

    pub(super) fn bends(&self) -> bool {
        self.bent.is_some()
    }
}

/// Relative step of the inductance or capacitance by which its own share of the impedance is found.
const STEP: f64 = 1e-2;

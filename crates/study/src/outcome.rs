//! What the transients of a point gave, and the readings and verdicts made of it.

use crate::fourier::Fourier;
use crate::meter::Meter;
use crate::readings::{Measured, Place, Seen, measure_of, measures, value};
use crate::responses::Measures;
use crate::result::{CoilState, ReadingResult, RequirementResult, TestpointResult};
use crate::shown::{Line, MOST_HARMONICS, Shown, Window};
use crate::warnings;
use engine::frequency::Bias;
use language::description::{Expression, Harness, Measure, Reading, Requirement, Start};
use network::lowered::Warning;

/// What one transient gave.
pub(crate) struct Outcome {
    pub(crate) meters: Vec<(Seen, Window, Meter)>,
    pub(crate) spectra: Vec<(String, Fourier)>,
    pub(crate) instants: Vec<(String, f64, Option<f64>)>,
    pub(crate) testpoints: Vec<Option<TestpointResult>>,
    pub(crate) coils: Vec<CoilState>,
    pub(crate) shown: Shown,
    /// Where a steady run had its means.
    pub(crate) bias: Option<Bias>,
}

/// The transients' outcomes, for readings.
pub(crate) struct Outcomes<'a> {
    pub(crate) harness: &'a Harness,
    pub(crate) outcomes: &'a [Option<Outcome>],
    pub(crate) frequency: &'a Measures,
}

impl Outcomes<'_> {
    pub(crate) fn reading(&self, reading: &Reading) -> ReadingResult {
        let without_limit = |name: &str| {
            let (index, window) = crate::readings::place_of(self.harness, reading);
            self.meter(&Seen::Unlimited(name.to_owned()), (index, window))
        };
        let unlimited = match &reading.expression {
            Expression::Measure(Measure::PeakToPeak(name)) => without_limit(name).map(Meter::peak_to_peak),
            Expression::Measure(Measure::Maximum(name)) => without_limit(name).map(|meter| meter.greatest),
            Expression::Measure(Measure::Minimum(name)) => without_limit(name).map(|meter| meter.least),
            Expression::Measure(Measure::Peak(name)) => without_limit(name).map(Meter::peak),
            _ => None,
        };
        let list = match &reading.expression {
            Expression::Measure(measure) => {
                self.frequency.found(measure).and_then(|found| found.list.clone())
            }
            _ => None,
        };
        ReadingResult {
            name: reading.name.clone(),
            value: value(self.harness, reading, self),
            dimension: reading.dimension,
            unlimited,
            list,
        }
    }

    pub(crate) fn requirement(&self, requirement: &Requirement) -> RequirementResult {
        let value = value(self.harness, &requirement.reading, self);
        let limit = requirement.limit.value;
        let mut testpoints = Vec::new();
        measures(self.harness, &requirement.reading, &mut |measure, _| {
            names(measure)
                .into_iter()
                .for_each(|name| crate::examine::push_new(&mut testpoints, &name.to_owned()));
        });
        RequirementResult {
            text: requirement.text.clone(),
            why: requirement.why.clone(),
            met: value.map(|value| requirement.comparison.holds(value, limit)),
            value,
            comparison: requirement.comparison,
            limit,
            dimension: requirement.reading.dimension,
            measure: measure_of(self.harness, &requirement.reading).cloned(),
            testpoints,
            applies: self.applies(&requirement.reading),
        }
    }

    /// Whether everything that a reading looks at is present here.
    fn applies(&self, reading: &Reading) -> bool {
        let mut applies = true;
        measures(self.harness, reading, &mut |measure, _| {
            for name in names(measure) {
                applies &=
                    self.harness.testpoints.iter().any(|one| one.name == name && present(self.harness, one));
            }
            if let Measure::Saturation(part) = measure {
                applies &= self.harness.parts.iter().any(|one| one.name == *part);
            }
            applies &= self.frequency.found(measure).is_none_or(|found| found.applies);
        });
        applies
    }

    /// A warning for each reading, and each requirement beyond them, that should have a value and has none.
    pub(crate) fn without_value(&self) -> Vec<Warning> {
        let mut found: Vec<Warning> = Vec::new();
        for reading in &self.harness.readings {
            found.extend(self.reason(reading).map(|reason| warnings::no_value(&reading.name, &reason)));
        }
        for requirement in &self.harness.requirements {
            // One that is judged on a named reading has its warning from there.
            if !matches!(requirement.reading.expression, Expression::Reading(_)) {
                let reason = self.reason(&requirement.reading);
                found.extend(reason.map(|reason| warnings::no_value(&requirement.text, &reason)));
            }
        }
        found
    }

    /// Why a reading has no value; nothing where it has one, need not have one, or its transient failed.
    fn reason(&self, reading: &Reading) -> Option<String> {
        if value(self.harness, reading, self).is_some() || !self.applies(reading) {
            return None;
        }
        let mut failed = false;
        let mut reason = None;
        measures(self.harness, reading, &mut |measure, place| {
            if !measure.in_time() {
                match self.frequency.found(measure) {
                    Some(found) => reason = reason.take().or_else(|| found.reason.clone()),
                    None => failed = true,
                }
                return;
            }
            if self.outcomes.is_empty() {
                reason.get_or_insert_with(|| warnings::NO_TRANSIENT.to_owned());
                return;
            }
            let Some(outcome) = self.outcome(place.0) else {
                failed = true;
                return;
            };
            if self.measure(measure, place).is_none_or(|value| !value.is_finite()) {
                let offer = warnings::Offer {
                    switching: &outcome.shown.pwm,
                    periodic: outcome.shown.period.is_some(),
                    most_harmonics: MOST_HARMONICS,
                };
                reason.get_or_insert_with(|| warnings::reason(measure, offer));
            }
        });
        (!failed).then(|| reason.unwrap_or_else(|| warnings::ARITHMETIC.to_owned()))
    }

    fn outcome(&self, transient: usize) -> Option<&Outcome> {
        self.outcomes.get(transient)?.as_ref()
    }

    fn meter(&self, seen: &Seen, (transient, window): Place) -> Option<&Meter> {
        let meters = &self.outcome(transient)?.meters;
        let found = meters.iter().find(|(known, at, _)| known == seen && *at == window)?;
        (!found.2.is_empty()).then_some(&found.2)
    }

    fn amplitude(&self, transient: usize, name: &str, (window, frequency): Line) -> Option<f64> {
        let mut spectra = self.outcome(transient)?.spectra.iter();
        spectra.find(|(of, spectrum)| of == name && spectrum.window() == window)?.1.amplitude(frequency)
    }
}

impl Measured for Outcomes<'_> {
    fn measure(&self, measure: &Measure, place: Place) -> Option<f64> {
        let meter = |name: &String| self.meter(&Seen::Testpoint(name.clone()), place);
        match measure {
            Measure::Mean(name) => meter(name).map(Meter::mean),
            Measure::Minimum(name) => meter(name).map(|meter| meter.least),
            Measure::Maximum(name) => meter(name).map(|meter| meter.greatest),
            Measure::Peak(name) => meter(name).map(Meter::peak),
            Measure::PeakToPeak(name) => meter(name).map(Meter::peak_to_peak),
            Measure::Rms(name) => meter(name).map(Meter::rms),
            Measure::RmsAc(name) => meter(name).map(Meter::rms_ac),
            Measure::TimeOfMaximum(name) => meter(name).map(|meter| meter.time_of_greatest),
            Measure::At(name, time) => {
                let outcome = self.outcome(place.0)?;
                let time = outcome.shown.instant(*time);
                outcome.instants.iter().find(|(of, at, _)| of == name && *at == time)?.2
            }
            Measure::Harmonic { testpoint, drive, order } => {
                let line = self.outcome(place.0)?.shown.harmonic(drive.as_deref(), *order, place.1)?;
                self.amplitude(place.0, testpoint, line)
            }
            Measure::Band(name, low, high) => {
                let lines = self.outcome(place.0)?.shown.band(*low, *high, place.1)?;
                let amplitude = |line| self.amplitude(place.0, name, line);
                let amplitudes = lines.into_iter().map(amplitude).collect::<Option<Vec<f64>>>()?;
                // Peak amplitudes: the mean square of each is half its square.
                let square = amplitudes.iter().fold(0.0, |sum, amplitude| sum + 0.5 * amplitude * amplitude);
                Some(square.sqrt())
            }
            Measure::Attenuation(first, second) => {
                Some(20.0 * (meter(first)?.rms_ac() / meter(second)?.rms_ac()).log10())
            }
            Measure::Saturation(part) => {
                let peak = self.meter(&Seen::CoilCurrent(part.clone()), place)?.peak();
                let lowered = network::lowering::lower(self.harness, Start::Steady).ok()?;
                Some(1.0 - lowered.part(part)?.inductor.as_ref()?.inductance_left(peak))
            }
            Measure::PeakGain { .. }
            | Measure::InsertionLoss { .. }
            | Measure::Resonances(_)
            | Measure::ImpedanceMargin(_) => self.frequency.found(measure)?.value,
        }
    }
}

/// Whether this point of the study has what a test point looks at.
fn present(harness: &Harness, testpoint: &language::description::Testpoint) -> bool {
    use language::description::Signal as Asked;
    let node = |name: &String| name == "gnd" || harness.parts.iter().any(|part| part.touches(name));
    match &testpoint.signal {
        Asked::NodeVoltage(plus, minus) => node(plus) && minus.as_ref().is_none_or(node),
        Asked::PartVoltage(name)
        | Asked::PartCurrent(name)
        | Asked::PartPower(name)
        | Asked::Picture(name)
        | Asked::PartFlux(name) => harness.parts.iter().any(|part| part.name == *name),
    }
}

/// The test points that a measure reads.
fn names(measure: &Measure) -> Vec<&str> {
    match measure {
        Measure::Mean(name)
        | Measure::Minimum(name)
        | Measure::Maximum(name)
        | Measure::Peak(name)
        | Measure::PeakToPeak(name)
        | Measure::Rms(name)
        | Measure::RmsAc(name)
        | Measure::TimeOfMaximum(name)
        | Measure::At(name, _)
        | Measure::Band(name, ..)
        | Measure::Harmonic { testpoint: name, .. } => vec![name],
        Measure::Attenuation(first, second) => vec![first, second],
        Measure::Saturation(_)
        | Measure::PeakGain { .. }
        | Measure::InsertionLoss { .. }
        | Measure::Resonances(_)
        | Measure::ImpedanceMargin(_) => Vec::new(),
    }
}

//! What one study point is over frequency, beside its runs in time: the measures that its readings ask for, and what to warn of.

use super::bias::bias;
use super::measured::{Found, measured};
use super::view::View;
use crate::readings::measures;
use crate::warnings;
use engine::frequency::Bias;
use language::description::{Harness, Measure, Start};
use network::lowered::{Lowered, Warning};

/// The measures over frequency of a point, each worked out once.
#[derive(Debug, Default)]
pub(crate) struct Measures {
    found: Vec<(Measure, Found)>,
}

impl Measures {
    /// What a measure came to; `None` where it is read in time or could not be worked out.
    pub(crate) fn found(&self, measure: &Measure) -> Option<&Found> {
        self.found.iter().find(|(known, _)| known == measure).map(|(_, found)| found)
    }

    /// Works out what the readings and requirements of a point ask for, and warns of resonances near the drives' rhythms and of loads
    /// with too little margin. `known` is the bias of a run that has been taken, `lowered` what the harness comes to in a steady state, if
    /// that is at hand.
    ///
    /// Where nothing is asked for, a failure is told by the runs in time alone.
    pub(crate) fn of_point(
        harness: &Harness,
        lowered: Option<Lowered>,
        known: Option<Bias>,
        accuracy: f64,
        found: &mut Vec<Warning>,
    ) -> Result<Self, String> {
        let asked = asked(harness);
        let result = match lowered {
            Some(lowered) => Ok(lowered),
            None => network::lowering::lower(harness, Start::Steady)
                .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")),
        };
        let result =
            result.and_then(|lowered| Self::work_out(harness, &lowered, &asked, known, accuracy, found));
        if asked.is_empty() { Ok(result.unwrap_or_default()) } else { result }
    }

    fn work_out(
        harness: &Harness,
        lowered: &Lowered,
        asked: &[Measure],
        known: Option<Bias>,
        accuracy: f64,
        found: &mut Vec<Warning>,
    ) -> Result<Self, String> {
        let bias = match known {
            Some(bias) => bias,
            // Warnings are not worth a run of their own.
            None if asked.is_empty() => {
                Bias::resting(&lowered.network).map_err(|failure| failure.to_string())?
            }
            None => {
                let (bias, at_rest) = bias(lowered, accuracy)?;
                found.extend(at_rest);
                bias
            }
        };
        let view = View::new(harness, lowered, bias);
        found.extend(warnings::of_frequency(&view)?);
        let each = asked.iter().filter_map(|measure| Some((measure.clone(), measured(&view, measure)?)));
        Ok(Self { found: each.collect() })
    }
}

/// Whether a reading or a requirement is one over frequency.
pub(crate) fn asks_over_frequency(harness: &Harness) -> bool {
    !asked(harness).is_empty()
}

/// Every measure over frequency that readings and requirements name, each once.
fn asked(harness: &Harness) -> Vec<Measure> {
    let mut asked = Vec::new();
    let requirements = harness.requirements.iter().map(|requirement| &requirement.reading);
    for reading in harness.readings.iter().chain(requirements) {
        measures(harness, reading, &mut |measure, _| {
            if !measure.in_time() {
                crate::examine::push_new(&mut asked, measure);
            }
        });
    }
    asked
}

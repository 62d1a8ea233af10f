//! One study point as a function of frequency: every response at any frequencies.

use super::evaluate::{Plan, Sought, plan, value};
use super::loss::Loss;
use engine::Complex;
use engine::frequency::{Bias, Path, Resonance, Unanswered, frequency_response, resonances};
use language::description::Harness;
use network::lowered::Lowered;

/// For each frequency the values of all responses.
pub(super) type Values = Vec<Vec<Option<Complex<f64>>>>;

/// A point, lowered for the steady state and linearised.
pub(crate) struct View<'a> {
    pub(super) harness: &'a Harness,
    pub(super) lowered: &'a Lowered,
    pub(super) bias: Bias,
    /// A plan for each response; `None` where it names what is absent.
    pub(super) plans: Vec<Option<Plan>>,
    pub(super) paths: Vec<Path>,
    pub(super) losses: Vec<Loss>,
}

impl<'a> View<'a> {
    pub(crate) fn new(harness: &'a Harness, lowered: &'a Lowered, bias: Bias) -> Self {
        let mut sought = Sought { lowered, bias: &bias, paths: Vec::new(), losses: Vec::new() };
        let expressions = harness.responses.iter().map(|response| &response.expression);
        let plans = expressions.map(|expression| plan(expression, harness, &mut sought)).collect();
        let Sought { paths, losses, .. } = sought;
        Self { harness, lowered, plans, paths, losses, bias }
    }

    /// The point as the file says it.
    pub(crate) fn harness(&self) -> &'a Harness {
        self.harness
    }

    /// The point as a network.
    pub(crate) fn lowered(&self) -> &'a Lowered {
        self.lowered
    }

    /// Index of a response that has a curve here.
    pub(super) fn response(&self, name: &str) -> Option<usize> {
        let index = self.harness.responses.iter().position(|response| response.name == name)?;
        self.plans[index].is_some().then_some(index)
    }

    /// Every response, and the frequencies at which the harness has no answer.
    pub(super) fn at(&self, frequencies: &[f64]) -> Result<(Values, Vec<Unanswered>), String> {
        let found = frequency_response(&self.lowered.network, &self.bias, &self.paths, frequencies)
            .map_err(|failure| failure.to_string())?;
        let losses =
            self.losses.iter().map(|loss| loss.at(frequencies)).collect::<Result<Vec<_>, String>>()?;
        let values = (0..frequencies.len())
            .map(|k| self.work_out(&|index| found.values[index][k], &|index| losses[index][k]))
            .collect();
        Ok((values, found.unanswered))
    }

    /// Every response at one frequency, from the values of all paths and losses there.
    pub(super) fn work_out(
        &self,
        paths: &dyn Fn(usize) -> Option<Complex<f64>>,
        losses: &dyn Fn(usize) -> Option<Complex<f64>>,
    ) -> Vec<Option<Complex<f64>>> {
        let mut above = Vec::with_capacity(self.plans.len());
        for plan in &self.plans {
            above.push(plan.as_ref().and_then(|plan| value(plan, &paths, &losses, &above)));
        }
        above
    }

    /// The magnitude of one response.
    pub(super) fn magnitudes(
        &self,
        response: usize,
        frequencies: &[f64],
    ) -> Result<Vec<Option<f64>>, String> {
        let (values, _) = self.at(frequencies)?;
        Ok(values.iter().map(|values| values[response].map(Complex::norm)).collect())
    }

    /// Everything that swings here.
    pub(crate) fn resonances(&self) -> Result<Vec<Resonance>, String> {
        resonances(&self.lowered.network, &self.bias).map_err(|failure| failure.to_string())
    }
}

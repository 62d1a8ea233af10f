//! What a search comes to: those that lead, or the nearest miss.

use super::candidate::Candidate;
use super::hunt::State;
use super::outcome::{Binding, Objective, Requirement, Standing, Winner};
use super::task::DesignError;
use super::worst::{Fault, Worst};
use super::write_up;
use language::description::{Comparison, Harness};
use language::stock::Stock;
use quantity::Dimension;
use rayon::prelude::*;

impl State<'_> {
    pub(super) fn winners(&self) -> Result<Vec<Winner>, DesignError> {
        let mut leading = self.leading();
        leading.sort_by(|one, other| {
            let key = |index: usize| (&self.held[index].merits, self.held[index].candidate);
            let ((one, first), (other, second)) = (key(*one), key(*other));
            one.tie.0.total_cmp(&other.tie.0).then(first.cmp(&second))
        });
        let found: Vec<_> = leading
            .iter()
            .map(|index| {
                let held = &self.held[*index];
                (held.candidate, held.nominal.clone(), held.drawn.clone().unwrap_or_default())
            })
            .collect();
        self.write_up(&found)
    }

    fn write_up(&self, found: &[(Candidate, Worst, Worst)]) -> Result<Vec<Winner>, DesignError> {
        let candidates: Vec<Candidate> = found.iter().map(|(candidate, ..)| *candidate).collect();
        if candidates.is_empty() {
            return Ok(Vec::new());
        }
        let (description, first) = self.description(&candidates)?;
        let mut numbers = std::collections::BTreeMap::new();
        let mut winners = Vec::new();
        for (offset, (candidate, nominal, drawn)) in found.iter().enumerate() {
            let number = numbers.entry(candidate.topology).or_insert(0_usize);
            let axis = &self.judge.task.description.axes()[self.judge.place.axis];
            let name = loop {
                *number += 1;
                let name = format!("{}_{number}", candidate.topology.word());
                if axis.position(&name).is_none() {
                    break name;
                }
            };
            let harness = description.at(&self.judge.with_option(0, first + offset));
            let pieces = write_up::pieces(candidate, self.all, self.judge, &harness);
            let parts: Vec<String> = pieces.iter().map(|piece| piece.part.clone()).collect();
            let fitted_by = format!("{} {name}", self.judge.place.choice);
            winners.push(Winner {
                sheets: crate::winding::sheets_of(&harness, &parts, &fitted_by),
                option: candidate.option(&name, self.all, &self.judge.place, &self.judge.names),
                pieces,
                topology: candidate.topology,
                mass: candidate.mass(self.all),
                cost: has_costs(self.judge.task.stock).then(|| candidate.cost(self.all)),
                nominal: standing(nominal, self.judge.noise),
                drawn: if drawn.requirements.is_empty() {
                    Standing::default()
                } else {
                    standing(drawn, self.judge.noise)
                },
                warnings: nominal.warnings.iter().map(|warning| warning.text.clone()).collect(),
                name,
            });
        }
        Ok(winners)
    }

    /// The filter that misses by least, and how near the nearest came to each requirement.
    pub(super) fn nearest(&mut self) -> Result<Option<(Winner, Vec<Binding>)>, DesignError> {
        let batch: Vec<Candidate> = self.near.iter().map(|(_, candidate)| *candidate).collect();
        if batch.is_empty() {
            return Ok(None);
        }
        let (description, first) = self.description(&batch)?;
        let judged: Vec<(Worst, usize)> = (0..batch.len())
            .into_par_iter()
            .map(|index| self.judge.whole(&description, first + index, self.comparisons))
            .collect();
        self.counts.runs += judged.iter().map(|(_, runs)| runs).sum::<usize>();
        let binding = |requirement: usize| {
            let missing =
                judged.iter().filter(|(worst, _)| worst.faults.contains(&Fault::Misses(requirement)));
            let values = judged.iter().filter_map(|(worst, _)| worst.requirements[requirement]);
            let below = matches!(self.comparisons[requirement], Comparison::Less | Comparison::LessOrEqual);
            let best = if below { values.reduce(f64::min) } else { values.reduce(f64::max) };
            Binding { requirement, missing: missing.count(), best }
        };
        let bindings: Vec<Binding> = (0..self.comparisons.len()).map(binding).collect();
        let least =
            (0..judged.len()).min_by(|one, other| judged[*one].0.excess.total_cmp(&judged[*other].0.excess));
        let Some(least) = least else { return Ok(None) };
        let one = [(batch[least], judged[least].0.clone(), Worst::default())];
        Ok(self.write_up(&one)?.pop().map(|winner| (winner, bindings)))
    }
}

pub(super) fn has_costs(stock: &Stock) -> bool {
    stock.items.iter().any(|item| item.cost.is_some())
}

pub(super) fn objectives(first: &Harness, noise: Option<usize>) -> Vec<Objective> {
    let volts = |name: &str| Objective { name: name.to_owned(), dimension: Dimension::VOLTAGE };
    let noise = noise.map(|index| {
        let requirement = &first.requirements[index];
        let text = requirement.text.split(['<', '=']).next().unwrap_or_default().trim().to_owned();
        Objective { name: text, dimension: requirement.reading.dimension }
    });
    [Some(volts("drop")), noise, Some(volts("peak"))].into_iter().flatten().collect()
}

pub(super) fn requirements(first: &Harness) -> Vec<Requirement> {
    let of = |each: &language::description::Requirement| Requirement {
        text: each.text.clone(),
        comparison: each.comparison,
        limit: each.limit.value,
        dimension: each.reading.dimension,
    };
    first.requirements.iter().map(of).collect()
}

pub(super) fn standing(worst: &Worst, noise: Option<usize>) -> Standing {
    let finite = |value: f64| Some(value).filter(|value| value.is_finite());
    let mut values = vec![finite(worst.drop)];
    if noise.is_some() {
        values.push(worst.noise(noise));
    }
    values.push(finite(worst.peak));
    Standing { values, requirements: worst.requirements.clone() }
}

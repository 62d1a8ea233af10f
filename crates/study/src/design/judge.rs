//! A filter run in time at every study point: what it gives, or why it does not do.

use super::candidate::Names;
use super::task::Task;
use super::worst::{Fault, Worst};
use crate::options::Options;
use crate::point::{run_harness, run_in_time};
use crate::result::{RequirementResult, Run};
use crate::warnings::LEAST_INDUCTANCE_LEFT;
use language::Description;
use language::description::{Comparison, Harness, Place, Value};
use network::lowered::Warning;
use quantity::{Dimension, Quantity};
use std::collections::BTreeSet;

/// The test point, readings and run that a search adds to the file.
const LOAD: &str = "quietrail_load";
const MEAN: &str = "quietrail_mean";
const GREATEST: &str = "quietrail_greatest";
const PLUG_IN: &str = "quietrail_plug_in";
const PEAK: &str = "quietrail_peak";
/// Of the source's side, for the surroundings.
const SOURCE: &str = "quietrail_source";
const SOURCE_MEAN: &str = "quietrail_source_mean";

/// Warnings that a filter's own part is stressed beyond what it bears.
const OVERSTRESS: &[&str] = &["capacitor_over_voltage", "capacitor_reversed", "capacitor_rated_below_pack"];
/// Those of what heats slowly: the milliseconds of plugging in say nothing of them.
const HEATING: &[&str] = &["capacitor_over_ripple", "capacitor_too_hot"];
/// Plugging in saturates every coil, and the peak counts that already.
const SATURATED: &str = "coil_saturated";

/// The warning that the load's supply rises beyond its range.
const OVER_SUPPLY: &str = "camera_over_supply";

/// Seconds after which motors start that are to stand still while the pack is plugged in.
const NEVER: f64 = 1e6;

/// What all filters are judged with.
pub(super) struct Judge<'a> {
    pub(super) task: &'a Task<'a>,
    pub(super) place: Place,
    pub(super) names: Names,
    /// How those that stand are run.
    pub(super) options: Options,
    /// How all are run, less accurately: nobody chooses by a thousandth.
    pub(super) quick: Options,
    /// The study points, with the option of the place's choice left at 0.
    pub(super) points: Vec<Vec<usize>>,
    /// Numbers of the points in the order in which a filter is tried at them.
    pub(super) order: Vec<usize>,
    /// For each point the mean at the load with the baseline.
    pub(super) baseline: Vec<f64>,
    /// Index of the requirement whose reading is the noise.
    pub(super) noise: Option<usize>,
    /// Whether the file's first run shows the load running, so that what coils are left with in it counts.
    pub(super) judges_cores: bool,
    /// Seconds of the run that plugs in.
    pub(super) span: f64,
}

/// How closely a run looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Depth {
    /// As all filters are compared.
    Quick,
    /// As the file is run by itself.
    Full,
}

/// A run that judges a filter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// The file's own runs at a point.
    Run(usize),
    /// Plugging in at a point.
    PlugIn(usize),
}

/// What judging came to.
pub(super) struct Judged {
    pub(super) worst: Worst,
    pub(super) runs: usize,
    /// Whether it was stopped since another beats it.
    pub(super) beaten: bool,
    /// The last run taken, by its place among the steps.
    pub(super) last: usize,
}

impl Judge<'_> {
    /// What a search adds to the file.
    pub(super) fn statements(place: &Place, span: f64) -> String {
        let load = voltage(&place.to, &place.back);
        let source = voltage(&place.from, &place.back);
        format!(
            "testpoint {LOAD} = {load}\ntestpoint {SOURCE} = {source}\nreading {MEAN} = mean({LOAD})\n\
             reading {GREATEST} = maximum({LOAD})\nreading {SOURCE_MEAN} = mean({SOURCE})\n\
             transient {PLUG_IN} span {span} s, start rest\nreading {PEAK} = maximum({LOAD}) in {PLUG_IN}\n"
        )
    }

    /// The point with this option in the place.
    pub(super) fn with_option(&self, point: usize, option: usize) -> Vec<usize> {
        let mut at = self.points[point].clone();
        at[self.place.axis] = option;
        at
    }

    /// The harness at a point, nominal.
    pub(super) fn harness(&self, description: &Description, at: &[usize]) -> Result<Harness, String> {
        description.check_at(at).map_err(|mistakes| {
            mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ")
        })
    }

    /// The file's own runs of a harness.
    pub(super) fn running(&self, harness: &Harness, at: &[usize], depth: Depth) -> Run {
        let mut harness = harness.clone();
        harness.transients.retain(|transient| transient.name.as_deref() != Some(PLUG_IN));
        harness.readings.retain(|reading| reading.name != PEAK);
        match depth {
            Depth::Quick => run_in_time(&harness, at, &self.quick),
            Depth::Full => run_harness(&harness, at, &self.options),
        }
    }

    /// Plugging in with all motors standing still.
    pub(super) fn plugging_in(&self, harness: &Harness, at: &[usize], depth: Depth) -> Run {
        let options = match depth {
            Depth::Quick => &self.quick,
            Depth::Full => &self.options,
        };
        run_in_time(&plugged(harness), at, options)
    }

    /// What the file's own runs at a point come to.
    pub(super) fn judged(&self, run: &Run, point: usize) -> Worst {
        let mut worst = Worst::new(run.requirements.len());
        let mean = reading(run, MEAN);
        if run.error.is_some() || mean.is_none() {
            worst.fault(&Fault::Failed, f64::INFINITY);
        }
        worst.drop =
            self.baseline.get(point).zip(mean).map_or(f64::NEG_INFINITY, |(before, mean)| before - mean);
        worst.peak = reading(run, GREATEST).unwrap_or(f64::NEG_INFINITY);
        for (index, requirement) in run.requirements.iter().enumerate() {
            worst.requirements[index] = requirement.value;
            if !holds(requirement) {
                worst.fault(&Fault::Misses(index), excess(requirement));
            }
        }
        self.saturation(run, &mut worst);
        self.stress(&run.warnings, &mut worst, &[OVERSTRESS, HEATING]);
        worst
    }

    /// What plugging in comes to.
    pub(super) fn plugged(&self, run: &Run, requirements: usize) -> Worst {
        let mut worst = Worst::new(requirements);
        match reading(run, PEAK).filter(|_| run.error.is_none()) {
            Some(peak) => worst.peak = peak,
            None => worst.faults.push(Fault::Failed),
        }
        let told = |warning: &&Warning| warning.code != SATURATED && !HEATING.contains(&warning.code);
        let warnings: Vec<Warning> = run.warnings.iter().filter(told).cloned().collect();
        self.stress(&warnings, &mut worst, &[OVERSTRESS]);
        worst
    }

    /// Coils that are left with too little while the load runs: what they come to then hangs on what nobody measured.
    fn saturation(&self, run: &Run, worst: &mut Worst) {
        for coil in run.coils.iter().filter(|coil| self.judges_cores && self.names.is_choke(&coil.part)) {
            if coil.inductance_left < LEAST_INDUCTANCE_LEFT {
                worst.fault(&Fault::Saturated, LEAST_INDUCTANCE_LEFT / coil.inductance_left.max(1e-3));
            }
        }
    }

    fn stress(&self, warnings: &[Warning], worst: &mut Worst, stresses: &[&[&str]]) {
        for warning in warnings.iter().filter(|warning| warning.code == OVER_SUPPLY) {
            worst.warn(warning);
            worst.fault(&Fault::OverSupply, 1.0 + warning.weight);
        }
        // A resonance is one of several parts.
        let is_own =
            |warning: &&Warning| warning.about.split([' ', ',', ':']).any(|name| self.names.is_own(name));
        for warning in warnings.iter().filter(is_own) {
            worst.warn(warning);
            if stresses.iter().any(|codes| codes.contains(&warning.code)) {
                worst.fault(&Fault::Overstressed, warning.weight);
            }
        }
    }

    /// The runs of a filter: the quick points, plugging in, the slow points.
    pub(super) fn steps(&self) -> Vec<Step> {
        let (quick, slow) = self.order.split_at(self.order.len() / 2);
        let run = |point: &usize| Step::Run(*point);
        let plug_in = self.order.iter().map(|point| Step::PlugIn(*point));
        quick.iter().map(run).chain(plug_in).chain(slow.iter().map(run)).collect()
    }

    /// Everything of an option at nominal values, in full.
    pub(super) fn whole(
        &self,
        description: &Description,
        option: usize,
        comparisons: &[Comparison],
    ) -> (Worst, usize) {
        let judged = self.at_each(description, option, comparisons, (&self.steps(), Depth::Full), &|_| None);
        (judged.worst, judged.runs)
    }

    /// The same quickly; stops where it does not do, or where what it comes to so far `is_beaten`.
    pub(super) fn nominal(
        &self,
        description: &Description,
        option: usize,
        comparisons: &[Comparison],
        steps: &[Step],
        is_beaten: &dyn Fn(&Worst) -> bool,
    ) -> Judged {
        self.at_each(description, option, comparisons, (steps, Depth::Quick), &|so_far| match so_far
            .faults
            .is_empty()
        {
            false => Some(false),
            true => is_beaten(so_far).then_some(true),
        })
    }

    /// Takes an option's runs until `stop` says whether it is beaten.
    fn at_each(
        &self,
        description: &Description,
        option: usize,
        comparisons: &[Comparison],
        (steps, depth): (&[Step], Depth),
        stop: &dyn Fn(&Worst) -> Option<bool>,
    ) -> Judged {
        let mut judged = Judged { worst: Worst::new(comparisons.len()), runs: 0, beaten: false, last: 0 };
        let mut plugged: BTreeSet<String> = BTreeSet::new();
        for (number, step) in steps.iter().enumerate() {
            let (Step::Run(point) | Step::PlugIn(point)) = *step;
            let at = self.with_option(point, option);
            judged.last = number;
            let Ok(harness) = self.harness(description, &at) else {
                judged.worst.fault(&Fault::Failed, f64::INFINITY);
                return judged;
            };
            let found = match step {
                Step::Run(_) => self.judged(&self.running(&harness, &at, depth), point),
                // Cases that move motors alone plug in alike.
                Step::PlugIn(_) if !plugged.insert(alike(&harness)) => continue,
                Step::PlugIn(_) => self.plugged(&self.plugging_in(&harness, &at, depth), comparisons.len()),
            };
            judged.runs += 1;
            judged.worst.join(&found, comparisons);
            if let Some(beaten) = stop(&judged.worst) {
                judged.beaten = beaten;
                return judged;
            }
        }
        judged
    }
}

/// Means of the ports and of further readings.
pub(super) fn means(run: &Run, more: &[String]) -> Option<([f64; 2], Vec<f64>)> {
    let more = more.iter().map(|name| reading(run, name)).collect::<Option<Vec<f64>>>()?;
    Some(([reading(run, SOURCE_MEAN)?, reading(run, MEAN)?], more))
}

/// The mean at the load.
pub(super) fn mean(run: &Run) -> Option<f64> {
    reading(run, MEAN)
}

pub(super) fn reading(run: &Run, name: &str) -> Option<f64> {
    run.readings.iter().find(|reading| reading.name == name)?.value
}

fn holds(requirement: &RequirementResult) -> bool {
    match requirement.met {
        Some(met) => met,
        // What speaks of a part that is absent has nothing to miss.
        None => !requirement.applies,
    }
}

fn excess(requirement: &RequirementResult) -> f64 {
    let Some(value) = requirement.value else { return f64::INFINITY };
    let limit = requirement.limit;
    let ratio = match requirement.comparison {
        Comparison::Less | Comparison::LessOrEqual => value / limit,
        Comparison::Greater | Comparison::GreaterOrEqual => limit / value,
    };
    if ratio.is_finite() && ratio > 1.0 { ratio } else { 1.0 + (value - limit).abs() }
}

fn plugged(harness: &Harness) -> Harness {
    let mut harness = harness.clone();
    harness.transients.retain(|transient| transient.name.as_deref() == Some(PLUG_IN));
    harness.readings.retain(|reading| reading.name == PEAK);
    harness.requirements.clear();
    harness.responses.clear();
    for part in &mut harness.parts {
        if part.kind.table().property("starts").is_some() {
            let never = Quantity { value: NEVER, dimension: Dimension::TIME };
            part.properties.insert("starts".to_owned(), Value::Number(never, None));
        }
    }
    harness
}

/// What tells plugging in at one point from another: the network without the sources that stand still.
fn alike(harness: &Harness) -> String {
    let parts = plugged(harness).parts;
    let moving = |part: &language::description::Part| part.kind.table().property("starts").is_some();
    let mut key = String::new();
    for part in &parts {
        if moving(part) {
            // Its capacitances stay where it stands still.
            let kept =
                part.properties.iter().filter(|(name, _)| name.contains("link") || name.contains("input"));
            key.push_str(&format!("{} {:?};", part.name, kept.collect::<Vec<_>>()));
        } else {
            key.push_str(&format!("{} {:?};", part.name, part.properties));
        }
    }
    key
}

fn voltage(node: &str, back: &str) -> String {
    if back == "gnd" { format!("voltage({node})") } else { format!("voltage({node}, {back})") }
}

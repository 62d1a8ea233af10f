//! The words of verdicts, all of them.

use super::facts::{Facts, Miss, Noise};
use crate::options::{AS_DRAWN, Outcome};
use crate::text;
use quantity::Dimension;
use study::result::CoilState;

/// A level change smaller than this many decibels is told as none: 0.05 dB is 0.6 %, below what any instrument of the
/// trade resolves, and would print as 0.0 dB.
const NO_CHANGE: f64 = 0.05;
/// A coil at its saturation current has lost 30 % by the usual definition, so 70 % left is where "keeps" ends.
const KEEPS: f64 = 0.7;
/// Below this share of its inductance a coil is called saturated outright.
const SATURATED: f64 = 0.3;

/// `coil_cap: noise at rail falls …, costs …, choke keeps …; every requirement is met.`
pub(super) fn sentence(facts: &Facts) -> String {
    let mut clauses: Vec<String> = Vec::new();
    clauses.extend(facts.noise.as_ref().map(noise));
    clauses.extend(facts.noise_where_worst_before.as_ref().map(where_worst_before));
    clauses.extend(facts.cost.map(cost));
    clauses.extend(facts.coils.iter().map(coil));
    let label = if facts.baseline { format!("{} (baseline)", facts.label) } else { facts.label.clone() };
    if clauses.is_empty() {
        format!("{label}: {}.", requirements(facts))
    } else {
        format!("{label}: {}; {}.", clauses.join(", "), requirements(facts))
    }
}

/// The first line of the report.
pub(super) fn answer(all: &[Facts]) -> String {
    let labels = |outcome: Outcome| -> Vec<String> {
        all.iter().filter(|facts| facts.outcome == outcome).map(|facts| facts.label.clone()).collect()
    };
    let good = labels(Outcome::Meets);
    let unknown = labels(Outcome::Unknown);
    if all.is_empty() {
        return "There is nothing to compare: no point was run.".to_owned();
    }
    if all.iter().all(|facts| facts.requirements == 0) && unknown.is_empty() {
        return "Nothing is required, so every option is as good as it reads below.".to_owned();
    }
    if good.is_empty() {
        let closing = if unknown.len() == all.len() { String::new() } else { could_not_judge(&unknown) };
        return format!("{}{closing}", nothing_holds(all, &unknown));
    }
    let verb = if good.len() == 1 { "meets" } else { "meet" };
    let held = if good.len() == all.len() && all.len() > 1 {
        format!("All {} options meet every requirement{}.", all.len(), under(all))
    } else if all.len() == 1 {
        let label = if good[0] == AS_DRAWN { "The harness as drawn" } else { &good[0] };
        format!("{label} meets every requirement{}.", under(all))
    } else {
        format!(
            "{} {verb} every requirement{} ({} of {} options).",
            text::list(&good),
            under(all),
            good.len(),
            all.len()
        )
    };
    [held, could_not_judge(&unknown)].concat()
}

fn under(all: &[Facts]) -> String {
    match all.iter().map(|facts| facts.conditions).max() {
        Some(conditions) if conditions > 1 => format!(" under all {conditions} conditions"),
        _ => String::new(),
    }
}

fn nothing_holds(all: &[Facts], unknown: &[String]) -> String {
    if unknown.len() == all.len() {
        return "No option could be judged.".to_owned();
    }
    let relative = |miss: &Miss| {
        let limit = (miss.value - if miss.above { miss.excess } else { -miss.excess }).abs();
        if limit == 0.0 { miss.excess } else { miss.excess / limit }
    };
    let missed =
        all.iter().filter_map(|facts| facts.miss.as_ref().map(|(miss, others)| (facts, miss, *others)));
    let closest = missed.min_by(|(_, a, others_a), (_, b, others_b)| {
        others_a.cmp(others_b).then(relative(a).total_cmp(&relative(b)))
    });
    let closest = closest.map_or_else(String::new, |(facts, miss, others)| {
        format!(" The closest is {}: it {}.", facts.label, fails(miss, others))
    });
    format!("No option meets every requirement{}.{closest}", under(all))
}

fn could_not_judge(unknown: &[String]) -> String {
    if unknown.is_empty() { String::new() } else { format!(" Not fully judged: {}.", text::list(unknown)) }
}

/// `noise at rail falls from … to … peak to peak (29.4 dB less; worst case soft, full)`.
fn noise(noise: &Noise) -> String {
    let place =
        if noise.condition.is_empty() { String::new() } else { format!("worst case {}", noise.condition) };
    format!("noise at {} {}", noise.testpoint, change(noise, &place))
}

fn where_worst_before(noise: &Noise) -> String {
    format!("where it was worst before ({}) it {}", noise.condition, change(noise, ""))
}

/// `falls from … to … peak to peak (29.4 dB less; PLACE)`.
fn change(noise: &Noise, place: &str) -> String {
    let here = text::value(noise.here, noise.dimension);
    let before = noise.before.map(|before| text::value(before, noise.dimension));
    let (change, level) = match (before, noise.reduction()) {
        (Some(before), Some(level)) if level.abs() < NO_CHANGE => {
            (format!("stays at {here} peak to peak"), format!("against {before} before"))
        }
        (Some(before), Some(level)) if level > 0.0 => {
            (format!("falls from {before} to {here} peak to peak"), format!("{} less", text::decibel(level)))
        }
        (Some(before), Some(level)) => {
            (format!("rises from {before} to {here} peak to peak"), format!("{} more", text::decibel(-level)))
        }
        (Some(_), None) if noise.before == Some(noise.here) => {
            (format!("stays at {here} peak to peak"), String::new())
        }
        (Some(before), None) => (format!("goes from {before} to {here} peak to peak"), String::new()),
        (None, _) => (format!("is {here} peak to peak"), String::new()),
    };
    let aside: Vec<&str> = [level.as_str(), place].into_iter().filter(|part| !part.is_empty()).collect();
    let aside = if aside.is_empty() { String::new() } else { format!(" ({})", aside.join("; ")) };
    format!("{change}{aside}")
}

fn cost(volts: f64) -> String {
    // Below a tenth of a millivolt a cost has no meaning on a supply of volts.
    if volts.abs() < 1e-4 {
        "costs no voltage".to_owned()
    } else if volts > 0.0 {
        format!("costs {}", text::value(volts, Dimension::VOLTAGE))
    } else {
        format!("gains {}", text::value(-volts, Dimension::VOLTAGE))
    }
}

fn coil(coil: &CoilState) -> String {
    let left = text::percent(coil.inductance_left);
    let current = text::value(coil.peak_current, Dimension::CURRENT);
    if coil.inductance_left >= KEEPS {
        format!("{} keeps {left} of its inductance at {current}", coil.part)
    } else if coil.inductance_left >= SATURATED {
        format!("{} is past its saturation current: {left} of its inductance left at {current}", coil.part)
    } else {
        format!("{} is saturated: {left} of its inductance left at {current}", coil.part)
    }
}

fn requirements(facts: &Facts) -> String {
    let mut told: Vec<String> = Vec::new();
    if let Some((miss, others)) = &facts.miss {
        told.push(fails(miss, *others));
    }
    if let Some((runs, reason)) = &facts.failed {
        let reason = reason.trim_end_matches('.');
        told.push(format!("no result at {} of {} ({reason})", runs, text::count(facts.conditions, "point")));
    } else if !facts.unjudged.is_empty() {
        told.push(format!("{} has no value everywhere and could not be judged", text::list(&facts.unjudged)));
    }
    if !told.is_empty() {
        told.join("; ")
    } else if facts.requirements == 0 {
        "nothing is required".to_owned()
    } else if facts.conditions > 1 {
        "every requirement is met under every condition".to_owned()
    } else {
        "every requirement is met".to_owned()
    }
}

fn fails(miss: &Miss, others: usize) -> String {
    let direction = if miss.above { "over" } else { "short" };
    let place = if miss.condition.is_empty() { String::new() } else { format!(" at {}", miss.condition) };
    let why = miss.why.as_ref().map_or_else(String::new, |why| format!(" (\"{why}\")"));
    let value = text::value(miss.value, miss.dimension);
    // An excess of nothing happens where the limit itself is excluded.
    let by = if miss.excess == 0.0 {
        "exactly the limit".to_owned()
    } else {
        format!("{} {direction}", text::value(miss.excess, miss.dimension))
    };
    let others = if others == 0 {
        String::new()
    } else {
        format!(", and misses {}", text::count(others, "more requirement"))
    };
    format!("fails {}{why}{place}: {value}, {by}{others}", miss.text)
}

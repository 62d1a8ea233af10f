//! The words of verdicts, all of them: sentences, the answer, and the short forms beside the pictures.

use crate::options::{AS_DRAWN, Outcome};
use crate::text;
use crate::verdict::facts::{Facts, Level, Miss, Quantity, Worse, Worst, reduction};
use quantity::Dimension;
use study::result::CoilState;

/// A level change smaller than this many decibels is told as none: 0.05 dB is 0.6 %, below what any instrument of the
/// trade resolves, and would print as 0.0 dB.
const NO_CHANGE: f64 = 0.05;
/// A coil at its saturation current has lost 30 % by the usual definition, so 70 % left is where "keeps" ends.
const KEEPS: f64 = 0.7;
/// Below this share of its inductance a coil is called saturated outright.
const SATURATED: f64 = 0.3;

/// What stands over the sentences; nothing where no sentence speaks of a level.
pub(crate) fn heading(all: &[Facts]) -> Option<&'static str> {
    let quantity = all.iter().find_map(|facts| facts.level.as_ref()).map(|level| level.quantity)?;
    Some(match quantity {
        Quantity::Noise => "In words (noise is peak to peak)",
        Quantity::Peak => "In words (the peak is the greatest value after the start)",
    })
}

/// `coil_cap: worst-case noise at rail falls from … to …, … less; costs …; choke keeps …; meets every requirement.`
pub(crate) fn sentence(facts: &Facts) -> String {
    let mut clauses: Vec<String> = Vec::new();
    clauses.extend(facts.level.as_ref().map(|found| level(found, facts.conditions)));
    let dimension = facts.level.as_ref().map_or(Dimension::NONE, |level| level.dimension);
    let quantity = facts.level.as_ref().map_or(Quantity::Noise, |level| level.quantity);
    clauses.extend(
        facts.worse.as_ref().and_then(|found| worse(found, facts.level.as_ref(), quantity, dimension)),
    );
    clauses.extend(facts.cost.map(|volts| cost(volts, facts.conditions)));
    // A coil without a saturation law keeps everything by definition.
    clauses.extend(facts.coils.iter().filter(|coil| coil.inductance_left < 1.0).map(coil));
    clauses.extend(requirements(facts));
    if clauses.is_empty() {
        clauses.push("nothing to tell".to_owned());
    }
    let label = if facts.baseline { format!("{} (baseline)", facts.label) } else { facts.label.clone() };
    format!("{label}: {}.", clauses.join("; "))
}

/// The first line of the report.
pub(crate) fn answer(all: &[Facts]) -> String {
    let of = |outcome: Outcome| -> Vec<&Facts> { all.iter().filter(|one| one.outcome == outcome).collect() };
    let (good, unknown) = (of(Outcome::Meets), of(Outcome::Unknown));
    if all.is_empty() {
        return "There is nothing to compare: no point was run.".to_owned();
    }
    if all.iter().all(|facts| facts.requirements == 0) && unknown.is_empty() {
        let choice = if all.len() > 1 { "every option is" } else { "it is" };
        let best = quietest(&all.iter().collect::<Vec<_>>());
        return format!("Nothing is required, so {choice} as good as it reads below.{best}");
    }
    if good.is_empty() {
        let closing = if unknown.len() == all.len() { String::new() } else { could_not_judge(&unknown) };
        return format!("{}{closing}", nothing_holds(all, &unknown));
    }
    let verb = if good.len() == 1 { "meets" } else { "meet" };
    let held = if good.len() == all.len() && all.len() > 1 {
        let whole = if all.len() == 2 { "Both".to_owned() } else { format!("All {}", all.len()) };
        format!("{whole} options meet every requirement{}.", under(all))
    } else if all.len() == 1 {
        let label = if good[0].label == AS_DRAWN { "The harness as drawn" } else { &good[0].label };
        format!("{label} meets every requirement{}.", under(all))
    } else {
        format!(
            "{} {verb} every requirement{} ({} of {} options).",
            text::list(&labels(&good)),
            under(all),
            good.len(),
            all.len()
        )
    };
    [held, quietest(&good), could_not_judge(&unknown)].concat()
}

/// The verdict beside a picture of the pick under the condition `drawn`: `meets all`, `fails: noise < 60 mV`.
pub(crate) fn short(facts: &Facts, drawn: &str) -> String {
    match &facts.miss {
        Some((miss, others)) => {
            let more = if *others == 0 { String::new() } else { format!(" and {others} more") };
            let place =
                if miss.condition == drawn { String::new() } else { format!(" at {}", miss.condition) };
            format!("fails{place}: {}{more}", miss.text)
        }
        None if facts.outcome != Outcome::Meets => "not fully judged".to_owned(),
        None if facts.requirements == 0 => String::new(),
        None => "meets all".to_owned(),
    }
}

/// The figures beside a picture: `28.8 mV peak to peak, 26.8 dB less, mean 13.6 V`.
pub(crate) fn figures(span: f64, before: Option<f64>, mean: f64, dimension: Dimension) -> String {
    let mut words = vec![format!("{} peak to peak", text::value(span, dimension))];
    words.extend(
        before
            .and_then(|before| reduction(before, span))
            .filter(|level| level.abs() >= NO_CHANGE)
            .map(decibels),
    );
    words.push(format!("mean {}", text::value(mean, dimension)));
    text::with_micro(&words.join(", "))
}

/// The figures beside a picture of a run from rest: `peak 26.8 V, 9.9 V more`; a swing below zero is told where it is
/// more than 1 % of the peak, a line's width on the picture.
pub(crate) fn figures_from_rest(
    extremes: (f64, f64),
    before: Option<(f64, f64)>,
    dimension: Dimension,
) -> String {
    let peak = |(least, greatest): (f64, f64)| least.abs().max(greatest.abs());
    let mut words = vec![format!("peak {}", text::value(peak(extremes), dimension))];
    let difference =
        before.and_then(|before| difference(peak(before), peak(extremes), Quantity::Peak, dimension));
    words.extend(difference);
    if extremes.0 < -0.01 * peak(extremes) {
        words.push(format!("least {}", text::value(extremes.0, dimension)));
    }
    text::with_micro(&words.join(", "))
}

fn labels(all: &[&Facts]) -> Vec<String> {
    all.iter().map(|facts| facts.label.clone()).collect()
}

fn under(all: &[Facts]) -> String {
    match all.iter().map(|facts| facts.conditions).max() {
        Some(2) => " under both conditions".to_owned(),
        Some(conditions) if conditions > 2 => format!(" under all {conditions} conditions"),
        _ => String::new(),
    }
}

/// Which of several options is the quietest at its worst; nothing where that is not clear.
fn quietest(all: &[&Facts]) -> String {
    let levels: Vec<(&Facts, &Level)> =
        all.iter().filter_map(|facts| Some((*facts, facts.level.as_ref()?))).collect();
    let least = levels
        .iter()
        .min_by(|(_, a), (_, b)| a.here.value.total_cmp(&b.here.value))
        .filter(|_| all.len() > 1);
    let Some((facts, level)) = least.filter(|_| levels.len() == all.len()) else { return String::new() };
    let alike = |other: &Level| {
        level.here.value == other.here.value
            || reduction(other.here.value, level.here.value).is_some_and(|change| change < NO_CHANGE)
    };
    if levels.iter().filter(|(_, other)| alike(other)).count() > 1 {
        return String::new();
    }
    let what = match level.quantity {
        Quantity::Noise => format!("leaves the least noise at {}", level.testpoint),
        Quantity::Peak => format!("has the lowest peak at {}", level.testpoint),
    };
    let value = text::value(level.here.value, level.dimension);
    let worst = if facts.conditions > 1 { " at worst" } else { "" };
    format!(" {} {what}: {value}{worst}.", facts.label)
}

fn nothing_holds(all: &[Facts], unknown: &[&Facts]) -> String {
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
    let fails = |(_, miss, others): (&Facts, &Miss, usize)| fails(miss, others);
    if let [only] = all {
        let label = if only.label == AS_DRAWN { "The harness as drawn" } else { &only.label };
        return closest.map_or_else(String::new, |closest| format!("{label} {}.", fails(closest)));
    }
    let closest = closest
        .map_or_else(String::new, |one| format!(" The closest is {}: it {}.", one.0.label, fails(one)));
    format!("No option meets every requirement{}.{closest}", under(all))
}

fn could_not_judge(unknown: &[&Facts]) -> String {
    if unknown.is_empty() {
        String::new()
    } else {
        format!(" Not fully judged: {}.", text::list(&labels(unknown)))
    }
}

/// `worst-case noise at rail falls from 626 mV (soft, cruise) to 46.3 mV (soft, full), 22.6 dB less`.
fn level(level: &Level, conditions: usize) -> String {
    let quantity = match level.quantity {
        Quantity::Noise => "noise",
        Quantity::Peak => "peak",
    };
    let worst = if conditions > 1 { "worst-case " } else { "" };
    let change = match &level.before {
        None => format!("is {}", at(&level.here, level.dimension)),
        Some(before) if stays(before.value, level.here.value) => {
            format!("stays at {}", at(&level.here, level.dimension))
        }
        Some(before) => {
            let verb = if before.value > level.here.value { "falls" } else { "rises" };
            let change = difference(before.value, level.here.value, level.quantity, level.dimension);
            let change = change.map_or_else(String::new, |change| format!(", {change}"));
            let here = at(&level.here, level.dimension);
            let before = if before.condition == level.here.condition {
                text::value(before.value, level.dimension)
            } else {
                at(before, level.dimension)
            };
            format!("{verb} from {before} to {here}{change}")
        }
    };
    format!("{worst}{quantity} at {} {change}", level.testpoint)
}

/// `but at soft, full it rises from 69.4 mV to 102 mV, 3.3 dB more (also worse at fresh, full)`; nothing where the worst case itself
/// rises and says so already.
fn worse(worse: &Worse, level: Option<&Level>, quantity: Quantity, dimension: Dimension) -> Option<String> {
    let rises = level
        .is_some_and(|level| level.before.as_ref().is_some_and(|before| before.value < level.here.value));
    let told = level.is_some_and(|level| level.here.condition == worse.condition);
    if rises && told && worse.others.is_empty() {
        return None;
    }
    let join = if rises { "at" } else { "but at" };
    let show = |value: f64| text::value(value, dimension);
    let change = difference(worse.before, worse.here, quantity, dimension)
        .map_or_else(String::new, |change| format!(", {change}"));
    let others = if worse.others.is_empty() {
        String::new()
    } else {
        format!(" (also worse at {})", worse.others.join("; "))
    };
    Some(format!(
        "{join} {} it rises from {} to {}{change}{others}",
        worse.condition,
        show(worse.before),
        show(worse.here)
    ))
}

/// `626 mV (soft, cruise)`; what is nothing is nothing everywhere.
fn at(worst: &Worst, dimension: Dimension) -> String {
    let value = text::value(worst.value, dimension);
    if worst.condition.is_empty() || worst.value == 0.0 {
        value
    } else {
        format!("{value} ({})", worst.condition)
    }
}

fn stays(before: f64, here: f64) -> bool {
    before == here || reduction(before, here).is_some_and(|level| level.abs() < NO_CHANGE)
}

/// `22.6 dB less` of noise, `9.9 V less` of a peak; nothing where a ratio with zero would be needed.
fn difference(before: f64, here: f64, quantity: Quantity, dimension: Dimension) -> Option<String> {
    match quantity {
        _ if stays(before, here) => None,
        Quantity::Noise => reduction(before, here).map(decibels),
        Quantity::Peak => {
            let direction = if here > before { "more" } else { "less" };
            Some(format!("{} {direction}", text::value((before - here).abs(), dimension)))
        }
    }
}

fn decibels(reduction: f64) -> String {
    let direction = if reduction < 0.0 { "more" } else { "less" };
    format!("{} {direction}", text::decibel(reduction.abs()))
}

fn cost(volts: f64, conditions: usize) -> String {
    let value = text::value(volts.abs(), Dimension::VOLTAGE);
    // Below a tenth of a millivolt a cost has no meaning on a supply of volts.
    if volts.abs() < 1e-4 {
        "costs no voltage".to_owned()
    } else if volts < 0.0 {
        format!("gains {value}")
    } else if conditions > 1 {
        format!("costs up to {value}")
    } else {
        format!("costs {value}")
    }
}

fn coil(coil: &CoilState) -> String {
    let left = text::percent(coil.inductance_left);
    let current = text::value(coil.peak_current, Dimension::CURRENT);
    if coil.inductance_left >= KEEPS {
        format!("{} keeps {left} of its inductance at {current}", coil.part)
    } else if coil.inductance_left >= SATURATED {
        format!("{} is past its saturation current, {left} of its inductance left at {current}", coil.part)
    } else {
        format!("{} is saturated, {left} of its inductance left at {current}", coil.part)
    }
}

fn requirements(facts: &Facts) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    if let Some((miss, others)) = &facts.miss {
        told.push(fails(miss, *others));
    }
    // The reasons stand together in a section of their own.
    if facts.failed == facts.conditions {
        told.push("no result".to_owned());
    } else if facts.failed > 0 {
        told.push(format!("no result at {} of {} points", facts.failed, facts.conditions));
    } else if !facts.unjudged.is_empty() {
        told.push(format!("{} has no value everywhere and could not be judged", text::list(&facts.unjudged)));
    }
    if told.is_empty() && facts.requirements > 0 {
        let verdict = match facts.outcome {
            Outcome::Meets => "meets every requirement",
            _ => "has nothing that a requirement speaks of",
        };
        told.push(verdict.to_owned());
    }
    told
}

/// `fails noise < 60 mV by 42.1 mV at soft, full`.
fn fails(miss: &Miss, others: usize) -> String {
    let place = if miss.condition.is_empty() { String::new() } else { format!(" at {}", miss.condition) };
    // An excess of nothing happens where the limit itself is excluded.
    let by = if miss.excess == 0.0 {
        " by standing exactly on the limit".to_owned()
    } else {
        format!(" by {}", text::value(miss.excess, miss.dimension))
    };
    let others = if others == 0 {
        String::new()
    } else {
        format!(" and misses {}", text::count(others, "more requirement"))
    };
    format!("fails {}{by}{place}{others}", miss.text)
}

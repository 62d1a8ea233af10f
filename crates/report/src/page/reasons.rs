//! Why it is as it is: plain sentences whose figures follow from the parts and from the duties that occur.

mod path;

use super::parts::{Fitted, fitted};
use super::prose::prose;
use super::{Section, Subject};
use crate::options::{Pick, condition_label, picks};
use crate::text;
use crate::verdict::facts::{judged_testpoint, peak_to_peak};
use crate::words::page::REASONS;
use crate::words::reasons;
use language::Kind;
use language::description::Part;
use maud::html;
use path::{Path, figure};
use std::f64::consts::TAU;
use study::result::PartFacts;

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let fitted = fitted(subject);
    let names = picks(subject.comparison);
    let own = names.iter().zip(&fitted);
    let mut told: Vec<String> = Vec::new();
    told.extend(throttle(subject));
    let pwm = pwm(subject);
    for (pick, fitted) in own.clone() {
        told.extend(pwm.and_then(|pwm| alone(pick, fitted, pwm)));
    }
    // Options with the same coil and capacitor are told together.
    let mut filters: Vec<(String, Vec<String>)> = Vec::new();
    for (pick, fitted) in own {
        let Some(words) = pwm.and_then(|pwm| esr(fitted, pwm)) else { continue };
        match filters.iter_mut().find(|(known, _)| *known == words) {
            Some((_, labels)) => labels.push(pick.label.clone()),
            None => filters.push((words, vec![pick.label.clone()])),
        }
    }
    told.extend(filters.iter().map(|(words, labels)| format!("{}: {words}", text::list(labels))));
    told.extend(voltages(&fitted));
    let body = html! { ul class="sentences" { @for sentence in &told { li { (prose(sentence)) } } } };
    (!told.is_empty()).then(|| Section::new("reasons", REASONS, body))
}

/// The lowest chopping frequency of the drives.
fn pwm(subject: &Subject<'_>) -> Option<f64> {
    let harness = subject.description.baseline();
    let chopped = harness.parts.iter().filter(|part| part.kind == Kind::Drive);
    chopped.filter_map(|part| part.number("pwm")).min_by(f64::total_cmp)
}

/// At which duty the pulses of a drive are the greatest ripple: a rectangular wave of share D has an rms departure from its mean
/// of sqrt(D (1 - D)) of its height (any textbook).
fn throttle(subject: &Subject<'_>) -> Vec<String> {
    let comparison = subject.comparison;
    let picks = picks(comparison);
    let Some(baseline) = picks.iter().find(|pick| pick.baseline).or(picks.first()) else {
        return Vec::new();
    };
    let harness = subject.description.baseline();
    let drives = harness.parts.iter().filter(|part| part.kind == Kind::Drive && part.number("pwm").is_some());
    let of_drive = |drive: &Part| {
        let mut duties: Vec<(f64, usize)> = Vec::new();
        for (at, run) in baseline.runs.iter().enumerate() {
            let parts = subject.description.at(&run.at).parts;
            let duty = parts.iter().find(|part| part.name == drive.name)?.number("duty")?;
            duties.push((duty, at));
        }
        let ripple = |duty: f64| (duty * (1.0 - duty)).max(0.0).sqrt();
        let most =
            duties.iter().map(|one| one.0).max_by(|one, other| ripple(*one).total_cmp(&ripple(*other)))?;
        let mut different: Vec<f64> = duties.iter().map(|one| one.0).collect();
        different.sort_by(f64::total_cmp);
        different.dedup();
        if different.len() < 2 {
            return None;
        }
        let testpoint = judged_testpoint(comparison)?;
        let noise = |at: usize| peak_to_peak(baseline.runs[at], testpoint);
        let worst = duties
            .iter()
            .filter_map(|(duty, at)| Some((*duty, *at, noise(*at)?)))
            .max_by(|one, other| one.2.total_cmp(&other.2))?;
        let place = condition_label(comparison, baseline.runs[worst.1]);
        let full = different.last().is_some_and(|duty| *duty >= 1.0);
        let left = drive.number("commutation").is_some() || drive.number("commutation_depth").is_some();
        Some(reasons::throttle(&drive.name, &different, most, (worst.0, &place), (full, left)))
    };
    drives.filter_map(of_drive).collect()
}

/// Why a capacitor alone does little: what it has to divide against.
fn alone(pick: &Pick<'_>, fitted: &Fitted, pwm: f64) -> Option<String> {
    let in_series = |part: &&Part| {
        matches!(part.kind, Kind::Coil | Kind::Bead | Kind::Coupled | Kind::Resistor | Kind::Regulator)
    };
    if fitted.own.iter().any(|part| in_series(&part)) {
        return None;
    }
    let capacitor = fitted.own.iter().find(|part| part.kind == Kind::Capacitor)?;
    // Of all conditions the one with the most to divide against.
    let paths = pick.runs.iter().filter_map(|run| Path::to_the_supply(fitted, &run.parts, capacitor));
    let path = paths.max_by(|one, other| one.resistance.total_cmp(&other.resistance))?;
    let farad = figure(capacitor, &fitted.facts, "capacitance")?;
    let own = figure(capacitor, &fitted.facts, "esr").unwrap_or(0.0).hypot(1.0 / (TAU * pwm * farad));
    Some(reasons::alone(
        &pick.label,
        &capacitor.name,
        &path.names,
        (path.resistance, TAU * pwm * path.inductance),
        own,
        pwm,
    ))
}

/// What ESR does: above its corner the capacitor is its ESR, and that damps.
fn esr(fitted: &Fitted, pwm: f64) -> Option<String> {
    let capacitor = fitted.own.iter().find(|part| part.kind == Kind::Capacitor)?;
    let coil = fitted.own.iter().find(|part| part.kind == Kind::Coil)?;
    let of = |part: &Part, property: &str| figure(part, &fitted.facts, property).filter(|value| *value > 0.0);
    let (henry, farad, ohm) = (of(coil, "inductance")?, of(capacitor, "capacitance")?, of(capacitor, "esr")?);
    let corner = 1.0 / (TAU * ohm * farad);
    let left = (pwm > corner).then(|| ohm / (TAU * pwm * henry));
    Some(reasons::esr((&coil.name, &capacitor.name), (corner, ohm, (henry / farad).sqrt()), (pwm, left)))
}

/// The pack's highest and lowest voltage beside what cameras take and what capacitors bear.
fn voltages(fitted: &[Fitted]) -> Vec<String> {
    let Some(first) = fitted.first() else { return Vec::new() };
    let all = || fitted.iter().flat_map(Fitted::all);
    let packs = first.all().filter(|part| part.kind == Kind::Battery);
    let of_pack = |pack: &Part| {
        let fact = |name: &str| named(&first.facts, &pack.name, name);
        let full = fact("full_pack_voltage")?;
        let cameras: Vec<(&str, (f64, f64))> = first
            .all()
            .filter(|part| part.kind == Kind::Camera)
            .filter_map(|part| Some((part.name.as_str(), part.range("supply")?)))
            .collect();
        let rated = all().filter(|part| part.kind == Kind::Capacitor);
        let rated = rated.filter_map(|part| part.number("rated")).min_by(f64::total_cmp);
        Some(reasons::voltages(&pack.name, (fact("cutoff_pack_voltage"), full), &cameras, rated))
    };
    packs.filter_map(of_pack).collect()
}

fn named(facts: &[PartFacts], part: &str, name: &str) -> Option<f64> {
    let facts = facts.iter().find(|facts| facts.name == part)?;
    facts.facts.iter().find(|fact| fact.name == name).map(|fact| fact.value)
}

//! Which rhythms of a harness make a pattern that somebody counted, with the arithmetic.

use super::json::{harmonic, pattern as pattern_value};
use super::words::{about, hertz, number, roll, stripes};
use crate::json::{measured, number as json_number};
use crate::table::{Style, section};
use crate::text::{percent, wrap};
use quantity::Dimension;
use serde_json::{Value, json};
use study::picture::{Candidate, Counted, Fit, Pattern};

/// Rhythms that are told where none fits.
const NEAREST: usize = 5;

/// The answer for a terminal.
#[must_use]
pub fn bands(harness: &str, counted: &Counted, candidates: &[Candidate], style: Style) -> String {
    let of = |wanted: fn(Fit) -> bool| candidates.iter().filter(move |one| wanted(one.fit));
    let told = |one: &Candidate| arithmetic(one, counted);
    let fitting: Vec<String> = of(|fit| matches!(fit, Fit::Off(_))).map(told).collect();
    let mut sections =
        [asked(harness, counted), level(counted)].map(|line| wrap(&line, "", style.prose())).to_vec();
    if fitting.is_empty() {
        let near: Vec<String> = of(|fit| fit == Fit::No).take(NEAREST).map(told).collect();
        let heading = match (near.is_empty(), candidates.is_empty()) {
            (false, _) => "None of the file's rhythms shows so; the nearest counts are",
            (true, false) => "None of the file's rhythms shows so.",
            (true, true) => {
                "Nothing in this file repeats: give drives their pwm and commutation (or rpm and pole_pairs)."
            }
        };
        sections.push(section(heading, &near, style).unwrap_or_else(|| wrap(heading, "", style.prose())));
    } else {
        let heading =
            format!("Would show so, where the file's frequencies are right to {}", percent(counted.within));
        sections.extend(section(&heading, &fitting, style));
    }
    let any: Vec<&Candidate> = of(|fit| fit == Fit::Any).collect();
    sections.extend(section("Can't be told apart by a count", &untold(&any, counted), style));
    format!("{}\n", sections.join("\n\n"))
}

/// The harmonics of each rhythm that would fit any count, as one.
fn untold(candidates: &[&Candidate], counted: &Counted) -> Vec<String> {
    let mut lines: Vec<&study::picture::SourceLine> = Vec::new();
    for candidate in candidates {
        if !lines.contains(&&candidate.line) {
            lines.push(&candidate.line);
        }
    }
    let first = |line: &study::picture::SourceLine| {
        candidates.iter().filter(|one| one.line == *line).map(|one| one.harmonic).min().unwrap_or(1)
    };
    let told = |line: &study::picture::SourceLine| {
        let harmonic = first(line);
        let frequency = line.frequency * f64::from(harmonic);
        format!(
            "{} {} from {harmonic} x {} = {} up: {} of that are {}, {} bands a field more or less, so it could show any count; a closer --within tells them apart",
            line.part,
            line.what.word(),
            hertz(line.frequency),
            hertz(frequency),
            percent(counted.within),
            about(counted.within * frequency),
            number(counted.within * frequency / counted.video.field_rate())
        )
    };
    lines.into_iter().map(told).collect()
}

fn asked(harness: &str, counted: &Counted) -> String {
    let slant = match counted.slant {
        Some(slant) => format!(", {} along a line", stripes(slant)),
        None => String::new(),
    };
    let bands = number(counted.bands);
    format!("{harness}: {bands} bands from top to bottom{slant}, in a picture of {}", counted.video.name())
}

fn level(counted: &Counted) -> String {
    let video = counted.video;
    let [least, nominal, greatest] = counted.frequencies();
    let share = video.active_lines() / video.lines_a_field();
    format!(
        "If they lie level: {} of {} lines are seen, so {} / {share:.3} = {} a field, x {} = {} ({} to {} for half a band either way).",
        video.active_lines(),
        video.lines_a_field(),
        number(counted.bands),
        number(counted.bands / share),
        hertz(video.field_rate()),
        about(nominal),
        about(least),
        about(greatest)
    )
}

/// `tracks commutation, 480 Hz: 480 Hz / 50 Hz = 9.6 bands a field, x 0.92 = 8.8 seen; level; standing still`.
fn arithmetic(candidate: &Candidate, counted: &Counted) -> String {
    let Candidate { line, harmonic, pattern, fit } = candidate;
    let times = if *harmonic == 1 { String::new() } else { format!(" x {harmonic}") };
    let video = counted.video;
    let share = video.active_lines() / video.lines_a_field();
    let off = match fit {
        Fit::Off(off) if *off > 5e-4 => format!("; fits if its frequency is {} off", percent(*off)),
        _ => String::new(),
    };
    format!(
        "{} {}{times} = {}: {}{} / {} = {} bands a field, x {share:.3} = {} seen; {}; {}{off}",
        line.part,
        line.what.word(),
        hertz(pattern.frequency),
        folded(pattern),
        hertz(pattern.residual.abs()),
        hertz(video.field_rate()),
        number(pattern.bands_a_field()),
        number(pattern.visible_bands()),
        across(pattern),
        roll(pattern)
    )
}

/// What is left of a frequency beside whole cycles of a line.
fn folded(pattern: &Pattern) -> String {
    if pattern.cycles_a_line == 0.0 {
        return String::new();
    }
    let sign = if pattern.residual < 0.0 { "-" } else { "+" };
    format!(
        "{} x {} {sign} {}; ",
        pattern.cycles_a_line,
        hertz(pattern.video.line_rate()),
        hertz(pattern.residual.abs())
    )
}

fn across(pattern: &Pattern) -> String {
    if pattern.is_level() {
        return "level".to_owned();
    }
    let active = 1.0 / pattern.video.line_rate() - pattern.video.blanking();
    format!("x {:.1} us = {} along a line", active * 1e6, stripes(pattern.visible_stripes()))
}

/// The same as JSON: every harmonic of every rhythm with its pattern. `fits` is `null` where any count would fit; `off` is by how much its
/// frequency must be off to fit.
#[must_use]
pub fn bands_json(harness: &str, counted: &Counted, candidates: &[Candidate]) -> String {
    let [least, nominal, greatest] =
        counted.frequencies().map(|frequency| measured(Some(frequency), Dimension::FREQUENCY));
    let candidate = |one: &Candidate| {
        let (fits, off) = match one.fit {
            Fit::Off(off) => (Some(true), Some(off)),
            Fit::No => (Some(false), None),
            Fit::Any => (None, None),
        };
        let mut value = harmonic(&one.line, one.harmonic);
        value["pattern"] = pattern_value(&one.pattern);
        value["fits"] = json!(fits);
        value["off"] = measured(off, Dimension::NONE);
        value
    };
    let value = json!({
        "schema": 1,
        "harness": harness,
        "counted": {
            "bands": json_number(Some(counted.bands)),
            "slant": json_number(counted.slant),
            "system": counted.video.word(),
            "within": measured(Some(counted.within), Dimension::NONE),
        },
        "if_level": {"least": least, "nominal": nominal, "greatest": greatest},
        "candidates": candidates.iter().map(candidate).collect::<Vec<Value>>(),
    });
    format!("{value:#}\n")
}

//! Patterns and their levels in words.

use crate::table::{Style, section};
use crate::text::{value, wrap};
use quantity::{Dimension, Quantity};
use study::picture::{Level, Pattern, Pictures, Seen, Shown, StrongLine, Video};

/// What stands at every picture.
pub const LABEL: &str = "pattern, not level; analogue video only";

/// A count as one would count it: whole from 10 on, else to a tenth.
pub(super) fn number(value: f64) -> String {
    let text = if value >= 9.95 { format!("{value:.0}") } else { format!("{value:.1}") };
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// `1 stripe`, `2.5 stripes`.
pub(super) fn stripes(value: f64) -> String {
    let number = number(value);
    if number == "1" { format!("{number} stripe") } else { format!("{number} stripes") }
}

/// A frequency with the digits that a line rate of 15.625 kHz has.
pub(super) fn hertz(frequency: f64) -> String {
    quantity::engineering(Quantity::new(frequency, Dimension::FREQUENCY), 5)
}

/// A frequency that is known roughly.
pub(super) fn about(frequency: f64) -> String {
    value(frequency, Dimension::FREQUENCY)
}

/// `9.6 level bands a field, 8.8 of them seen, rolling up by 0.5 a second`.
#[must_use]
pub fn pattern(pattern: &Pattern) -> String {
    let (bands, seen) = (number(pattern.bands_a_field()), number(pattern.visible_bands()));
    let across = pattern.visible_stripes();
    // A place later on the line has the phase of one earlier in the field where the residual is positive.
    let (climb, lean) =
        if pattern.residual > 0.0 { ("climbing", "to the right") } else { ("falling", "to the left") };
    let shape = if pattern.is_level() {
        format!("{bands} level bands a field, {seen} of them seen")
    } else if pattern.bands_a_field() < 0.5 {
        format!("{} across, upright", stripes(across))
    } else if pattern.visible_bands() > across {
        format!(
            "{seen} bands from top to bottom, {climb} by {} of their spacing from left to right",
            number(across)
        )
    } else {
        format!("{} across, leaning {lean} by {seen} of their spacing from bottom to top", stripes(across))
    };
    format!("{shape}, {}", roll(pattern))
}

/// Above this many spacings a second the eye sees flicker, not motion (common practice, no source).
const FLICKER: f64 = 10.0;

pub(super) fn roll(pattern: &Pattern) -> String {
    let roll = pattern.roll();
    let way = if roll > 0.0 { "up" } else { "down" };
    if pattern.stands() {
        "standing still".to_owned()
    } else if roll.abs() < 1.0 {
        format!("rolling {way} by one in {} s", number(1.0 / roll.abs()))
    } else if roll.abs() < FLICKER {
        format!("rolling {way} by {} a second", number(roll.abs()))
    } else {
        format!("flickering ({} spacings a second)", number(roll.abs()))
    }
}

/// `rejection 40 dB (assumed)`.
pub(super) fn rejection(level: &Level) -> String {
    let falls = level.corner.map_or_else(String::new, |corner| format!(", less above {}", hertz(corner)));
    let whence = if level.stated { "as the file says" } else { "assumed" };
    format!("rejection {} dB{falls} ({whence})", number(level.decibel))
}

/// The swing over the frame as a share of black to white.
pub(super) fn swing(shown: &Shown, level: &Level, video: Video) -> f64 {
    let reach = shown
        .raster
        .values
        .iter()
        .fold((0.0f32, 0.0f32), |(low, high), value| (low.min(*value), high.max(*value)));
    level.share * f64::from(reach.1 - reach.0) / video.picture_level()
}

/// The same; `None` below half a level of 256, where nothing is seen.
fn strength(shown: &Shown, level: &Level, video: Video) -> Option<f64> {
    Some(swing(shown, level, video)).filter(|share| *share >= 0.5 / 255.0)
}

fn strength_in_words(strength: Option<f64>) -> String {
    strength.map_or_else(
        || "nothing to be seen".to_owned(),
        |share| format!("{} of black to white", crate::text::percent(share)),
    )
}

/// What a picture shows, for below it.
pub(super) fn caption(seen: &Seen, shown: &Shown, level: &Level) -> String {
    let before = if seen.baseline { " (before)" } else { "" };
    let option = if seen.option.is_empty() { String::new() } else { format!("{}{before}, ", seen.option) };
    let case = if seen.case.is_empty() { String::new() } else { format!(" at {}", seen.case) };
    format!(
        "{option}{} ({}){case}, {}: {} ({LABEL})",
        seen.camera,
        video(seen),
        rejection(level),
        strength_in_words(strength(shown, level, seen.video))
    )
}

fn video(seen: &Seen) -> String {
    let whence = if seen.video_stated { "" } else { ", assumed" };
    format!("{} lines and fields{whence}", seen.video.name())
}

/// `20 kHz (PWM of tracks), 61 mV to either side on the supply: …`.
fn strong(line: &StrongLine, stated: bool) -> String {
    let times = if line.harmonic == 1 { String::new() } else { format!("{} x ", line.harmonic) };
    let place = if stated { "behind the rejection" } else { "on the supply" };
    format!(
        "{} ({times}{} of {}), {} to either side {place}: {}",
        hertz(line.pattern.frequency),
        line.line.what.word(),
        line.line.part,
        value(line.amplitude, Dimension::VOLTAGE),
        pattern(&line.pattern)
    )
}

/// What every pick shows, for a terminal.
#[must_use]
pub fn summary(pictures: &Pictures, style: Style) -> String {
    let title = format!("{}: what the ripple does to the picture ({LABEL})", pictures.harness);
    let mut sections = vec![wrap(&title, "", style.prose())];
    for seen in &pictures.seen {
        let option = if seen.option.is_empty() { String::new() } else { format!("{}: ", seen.option) };
        let case = if seen.case.is_empty() { String::new() } else { format!(", worst at {}", seen.case) };
        let heading = wrap(&format!("{option}{} ({}){case}", seen.camera, video(seen)), "", style.prose());
        let lines = match &seen.shown {
            Ok(shown) => told(seen, shown),
            Err(reason) => vec![reason.clone()],
        };
        sections.extend(section(&heading, &lines, style));
    }
    format!("{}\n", sections.join("\n\n"))
}

/// Whether any pick shows anything with any rejection.
#[must_use]
pub fn is_anything_seen(pictures: &Pictures) -> bool {
    pictures.seen.iter().any(|seen| {
        let shown = seen.shown.as_ref();
        shown.is_ok_and(|shown| shown.levels.iter().any(|level| strength(shown, level, seen.video).is_some()))
    })
}

/// What a pattern is mostly made of, in sentences; none where nothing is to be seen.
#[must_use]
pub fn explained(seen: &Seen) -> Vec<String> {
    let Ok(shown) = &seen.shown else { return Vec::new() };
    let seen_with = |level: &Level| strength(shown, level, seen.video).is_some();
    if !shown.levels.iter().any(seen_with) {
        return Vec::new();
    }
    let stated = shown.levels.iter().any(|level| level.stated);
    shown.strongest.iter().map(|line| strong(line, stated)).collect()
}

/// How strong the pattern is with each rejection, and what it is made of where it is seen at all.
fn told(seen: &Seen, shown: &Shown) -> Vec<String> {
    let explained = explained(seen);
    if explained.is_empty() {
        let each: Vec<String> = shown.levels.iter().map(rejection).collect();
        return vec![format!("{}: nothing to be seen", each.join(", "))];
    }
    let strengths = shown.levels.iter().map(|level| {
        format!("{}: {}", rejection(level), strength_in_words(strength(shown, level, seen.video)))
    });
    strengths.chain(explained).collect()
}

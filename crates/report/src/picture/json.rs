//! What cameras show as JSON.

use super::words::swing;
use super::{file_name, several_cameras};
use crate::json::{at_value, axis_value, measured};
use quantity::Dimension;
use serde_json::{Value, json};
use study::picture::{Level, Pattern, Pictures, Seen, Shown, SourceLine, StrongLine};

/// The text, indented: for each pick and camera the case in which it is worst, how strong the pattern is with each rejection as a
/// fraction of black to white, and what it is made of.
#[must_use]
pub fn json(pictures: &Pictures) -> String {
    let several = several_cameras(pictures);
    let picture = |seen: &Seen| {
        let shown = seen.shown.as_ref();
        let levels: Vec<Value> = shown.map_or_else(
            |_| Vec::new(),
            |shown| shown.levels.iter().map(|one| level(seen, shown, one, several)).collect(),
        );
        let lines: Vec<Value> =
            shown.map_or_else(|_| Vec::new(), |shown| shown.strongest.iter().map(strong).collect());
        json!({
            "at": at_value(&pictures.axes, &seen.at),
            "camera": seen.camera,
            "baseline": seen.baseline,
            "video": {"system": seen.video.word(), "stated": seen.video_stated},
            "levels": levels,
            "lines": lines,
            "error": shown.err(),
        })
    };
    let value = json!({
        "schema": 1,
        "harness": pictures.harness,
        "axes": pictures.axes.iter().map(axis_value).collect::<Vec<_>>(),
        "pictures": pictures.seen.iter().map(picture).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

fn level(seen: &Seen, shown: &Shown, level: &Level, several: bool) -> Value {
    json!({
        "rejection": measured(Some(level.decibel), Dimension::LEVEL),
        "corner": measured(level.corner, Dimension::FREQUENCY),
        "stated": level.stated,
        "swing": measured(Some(swing(shown, level, seen.video)), Dimension::NONE),
        "file": file_name(seen, shown, level, several),
    })
}

/// A harmonic with its volts on the supply; behind the rejection where the file states it.
fn strong(line: &StrongLine) -> Value {
    let mut value = harmonic(&line.line, line.harmonic);
    value["amplitude"] = measured(Some(line.amplitude), Dimension::VOLTAGE);
    value["pattern"] = pattern(&line.pattern);
    value
}

/// Which part repeats what, and how many times as fast a harmonic is.
pub(super) fn harmonic(line: &SourceLine, harmonic: u32) -> Value {
    json!({
        "part": line.part,
        "what": line.what.word(),
        "repeats": measured(Some(line.frequency), Dimension::FREQUENCY),
        "harmonic": harmonic,
    })
}

/// What a frequency shows as; counts are plain numbers.
pub(super) fn pattern(pattern: &Pattern) -> Value {
    json!({
        "frequency": measured(Some(pattern.frequency), Dimension::FREQUENCY),
        "cycles_a_line": pattern.cycles_a_line,
        "residual": measured(Some(pattern.residual), Dimension::FREQUENCY),
        "bands_a_field": pattern.bands_a_field(),
        "bands_seen": pattern.visible_bands(),
        "stripes_seen": pattern.visible_stripes(),
        "roll": measured(Some(pattern.roll()), Dimension::FREQUENCY),
    })
}

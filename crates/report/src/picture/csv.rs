//! What cameras show as columns for a spreadsheet, in SI units.

use super::words::swing;
use super::{file_name, several_cameras};
use crate::csv::{axis_cells, axis_headings, joined, number};
use study::picture::{Level, Pictures, Seen, Shown, StrongLine};

/// How strong each pattern is: a line for each pick, camera and rejection; the swing is a fraction of black to white.
#[must_use]
pub fn csv(pictures: &Pictures) -> String {
    let columns = ["rejection (dB)", "corner (Hz)", "stated", "swing", "file", "error"];
    let several = several_cameras(pictures);
    let level = |seen: &Seen, shown: &Shown, level: &Level| {
        vec![
            number(Some(level.decibel)),
            number(level.corner),
            level.stated.to_string(),
            number(Some(swing(shown, level, seen.video))),
            file_name(seen, shown, level, several),
            String::new(),
        ]
    };
    table(pictures, &columns, |seen| match &seen.shown {
        Ok(shown) => shown.levels.iter().map(|one| level(seen, shown, one)).collect(),
        Err(reason) => {
            let mut cells = vec![String::new(); columns.len() - 1];
            cells.push(reason.clone());
            vec![cells]
        }
    })
}

/// What the patterns are made of: a line for each pick, camera and harmonic.
#[must_use]
pub fn lines_csv(pictures: &Pictures) -> String {
    let columns = [
        "part",
        "what",
        "repeats (Hz)",
        "harmonic",
        "amplitude (V)",
        "frequency (Hz)",
        "cycles_a_line",
        "residual (Hz)",
        "bands_a_field",
        "bands_seen",
        "stripes_seen",
        "roll (Hz)",
    ];
    let cells = |line: &StrongLine| {
        let pattern = &line.pattern;
        let mut cells = vec![line.line.part.clone(), line.line.what.word().to_owned()];
        cells.push(number(Some(line.line.frequency)));
        cells.push(line.harmonic.to_string());
        let values = [
            line.amplitude,
            pattern.frequency,
            pattern.cycles_a_line,
            pattern.residual,
            pattern.bands_a_field(),
            pattern.visible_bands(),
            pattern.visible_stripes(),
            pattern.roll(),
        ];
        cells.extend(values.map(|value| number(Some(value))));
        cells
    };
    table(pictures, &columns, |seen| {
        seen.shown.iter().flat_map(|shown| shown.strongest.iter().map(cells)).collect()
    })
}

/// A heading line, then the rows of every pick and camera after what names them.
fn table(pictures: &Pictures, columns: &[&str], rows: impl Fn(&Seen) -> Vec<Vec<String>>) -> String {
    let mut headings = axis_headings(&pictures.axes);
    headings.extend(["camera", "system"].map(str::to_owned));
    headings.extend(columns.iter().map(|name| (*name).to_owned()));
    let mut text = joined(&headings);
    for seen in &pictures.seen {
        for row in rows(seen) {
            let mut cells = axis_cells(&pictures.axes, &seen.at);
            cells.extend([seen.camera.clone(), seen.video.word().to_owned()]);
            cells.extend(row);
            text.push_str(&joined(&cells));
        }
    }
    text
}

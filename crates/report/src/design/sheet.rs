//! A sheet to wind and check a filter by.

use super::words::{amount, parts_of};
use crate::table::{Style, WIDTH};
use crate::text::wrap;
use crate::winding;
use study::design::{Design, Winner};

/// The sheet of one winner as plain text, with a line end at its end.
#[must_use]
pub fn sheet(design: &Design, winner: &Winner) -> String {
    let mut lines = vec![
        format!("{}: {}", design.harness, winner.name),
        String::new(),
        wrap(&parts_of(winner), "Parts     ", WIDTH),
        format!("Mass      {}", amount(&winner.mass, design)),
        format!("Place     from {} to {}, across to {}", design.nodes[0], design.nodes[1], design.nodes[2]),
        String::new(),
        winner.option.trim_end().to_owned(),
    ];
    if winner.sheets.is_empty() {
        lines.push(String::new());
        lines.push("Before power comes on".to_owned());
        lines.extend(checks().iter().map(|check| wrap(check, "  - ", WIDTH)));
    }
    for sheet in &winner.sheets {
        lines.push(format!("\n{}", winding::text(sheet, Style::default()).trim_end()));
    }
    format!("{}\n", lines.join("\n"))
}

/// Where nothing is wound.
fn checks() -> Vec<String> {
    [
        "Pack unplugged, capacitors discharged. Solder one lead at a time; a lithium pack drives hundreds of amperes into a short.",
        "Electrolytic capacitors: the stripe is minus. A reversed one bursts; wear eye protection.",
        "Ohmmeter from the filter's output to minus, camera unplugged: no short. It rises while the capacitor charges.",
        "First power through a current-limited supply or an anti-spark resistor, with a fuse in the camera's feed.",
        "A model result is not a safety approval.",
    ]
    .map(str::to_owned)
    .to_vec()
}

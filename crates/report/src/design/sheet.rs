//! A sheet to wind and check a filter by.

use super::words::{amount, parts_of};
use crate::table::WIDTH;
use crate::text::{value, wrap};
use quantity::Dimension;
use study::design::{Design, Piece, Winding, Winner};

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
    for piece in &winner.pieces {
        if let Some(winding) = &piece.winding {
            lines.push(String::new());
            lines.extend(wind(piece, winding));
        }
    }
    lines.push(String::new());
    lines.push("Before power".to_owned());
    lines.extend(checks(winner).iter().map(|check| wrap(check, "  - ", WIDTH)));
    format!("{}\n", lines.join("\n"))
}

fn wind(piece: &Piece, winding: &Winding) -> Vec<String> {
    let volume = |number: f64, dimension| value(number, dimension);
    let [nominal, least, greatest] = winding.inductance;
    let fill = 100.0 * winding.turns / winding.one_layer;
    vec![
        format!("Wind {} on {}", piece.part, piece.stock),
        format!(
            "  turns           {} (one layer holds {}, {fill:.0} % full)",
            winding.turns, winding.one_layer
        ),
        format!(
            "  wire            {} ({} copper)",
            winding.wire,
            volume(winding.wire_diameter, Dimension::LENGTH)
        ),
        format!(
            "  cut             {}, of which {} are on the ring",
            volume(winding.cut, Dimension::LENGTH),
            volume(winding.length, Dimension::LENGTH)
        ),
        format!("  copper          {}", volume(winding.copper, Dimension::MASS)),
        format!(
            "  LC meter shows  {}; {} to {} is within the ring's tolerance",
            volume(nominal, Dimension::INDUCTANCE),
            volume(least, Dimension::INDUCTANCE),
            volume(greatest, Dimension::INDUCTANCE)
        ),
        format!(
            "  ohmmeter shows  {} at 20 degC (take the leads' own resistance off)",
            volume(winding.resistance, Dimension::RESISTANCE)
        ),
        wrap(
            "Each pass through the hole is a turn. Lay them side by side without crossing, over the whole ring but for a gap between the ends. Scrape or burn the enamel off both ends before tinning; sleeve and tie the leads.",
            "  ",
            WIDTH,
        ),
    ]
}

fn checks(winner: &Winner) -> Vec<String> {
    let mut checks = vec![
        "Pack unplugged, capacitors discharged. Solder one lead at a time; a lithium pack drives hundreds of amperes into a short."
            .to_owned(),
    ];
    if winner.pieces.iter().any(|piece| piece.winding.is_some()) {
        checks.push("The meter's reading is far from the sheet's: count the turns, look for crossed ones and for the wrong ring. A meter measures at almost no current, and does not see what is left under load.".to_owned());
    }
    checks.push(
        "Electrolytic capacitors: the stripe is minus. A reversed one bursts; wear eye protection."
            .to_owned(),
    );
    checks.push("Ohmmeter from the filter's output to minus, camera unplugged: no short. It rises while the capacitor charges.".to_owned());
    checks.push("First power through a current-limited supply or an anti-spark resistor, with a fuse in the camera's feed.".to_owned());
    checks.push("A model result is not a safety approval.".to_owned());
    checks
}

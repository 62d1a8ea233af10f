//! How to wind, and what to check before power.

use super::facts::turns;
use crate::text::value;
use quantity::Dimension;
use study::winding::Sheet;

/// Winding, step by step. Common practice of the bench, no source.
pub(super) fn winding(sheet: &Sheet) -> Vec<String> {
    let mut steps = vec![
        "Each pass through the hole is a turn, the first included.".to_owned(),
        "Wind all turns the same way round: down through the hole, up along the outside, on to the next place. \
         Which of the two ways is the same to a coil of one winding; one turn wound back takes away two."
            .to_owned(),
    ];
    steps.push(match sheet.layers.as_slice() {
        [only] if *only + 1.0 < sheet.one_layer => {
            "Spread the turns evenly and leave a gap of a finger's width, 30 degrees or so, between first and last."
                .to_owned()
        }
        [_] => "Lay turn beside turn: the layer is all but full.".to_owned(),
        layers => format!(
            "Fill the first layer with {} side by side, then go on over it in the same direction; do not wind back.",
            turns(layers[0])
        ),
    });
    steps.push(
        "Break sharp edges of the ring, or tape it: they cut enamel. Pull tight, but don't kink.".to_owned(),
    );
    steps
}

/// What to check before power comes on.
pub(super) fn checks(sheet: &Sheet) -> Vec<String> {
    let mut checks = vec![
        format!("Count the wires in the hole: {}.", turns(sheet.turns)),
        "Scrape the enamel off both ends all round, tin them, then read resistance and inductance: both in range?"
            .to_owned(),
        "Ohmmeter from an end to the bare core, and from each rail to the other with the pack unplugged: no short."
            .to_owned(),
    ];
    checks.extend(sheet.cans.iter().map(|can| {
        format!(
            "{}: stripe on {}, never the other way round; a can that is reversed or overvolted vents or bursts.",
            can.part, can.minus
        )
    }));
    checks.push(first_power(sheet));
    checks
}

/// What the limit of a supply is set to, in terms of what the cameras draw (common practice, no source).
const LIMIT: f64 = 2.0;

fn first_power(sheet: &Sheet) -> String {
    let limit = if sheet.camera_current > 0.0 {
        format!(
            "its limit at {}, twice what the camera draws",
            value(LIMIT * sheet.camera_current, Dimension::CURRENT)
        )
    } else {
        "its limit a little above what the load draws".to_owned()
    };
    format!(
        "First power from a current-limited supply, {limit}, not from the pack: the right voltage at the camera, nothing warm, no smell."
    )
}

/// Cautions of this work, then those of the harness.
pub(super) fn cautions(sheet: &Sheet) -> Vec<String> {
    let own =
        "Wear eye protection: cut wire ends fly, hot enamel and solder spit. Solder where the air moves.";
    std::iter::once(own.to_owned()).chain(sheet.cautions.iter().cloned()).collect()
}

//! How to wind, what to check before power, and what to say where there is no sheet.

use crate::text::value;
use crate::winding::turns;
use quantity::Dimension;
use study::winding::{Pair, Sheet};

/// Winding, step by step. Common practice of the bench, no source.
pub(crate) fn winding(sheet: &Sheet) -> Vec<String> {
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
pub(crate) fn checks(sheet: &Sheet) -> Vec<String> {
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
    checks.push(first_power(sheet.camera_current));
    checks
}

/// What the limit of a supply is set to, in terms of what the cameras draw (common practice, no source).
const LIMIT: f64 = 2.0;

/// How to switch on for the first time.
pub(crate) fn first_power(camera_current: f64) -> String {
    let limit = if camera_current > 0.0 {
        format!(
            "its limit at {}, twice what the camera draws",
            value(LIMIT * camera_current, Dimension::CURRENT)
        )
    } else {
        "its limit a little above what the load draws".to_owned()
    };
    format!(
        "First power from a current-limited supply, {limit}, not from the pack: the right voltage at the camera, nothing warm, no smell."
    )
}

/// Cautions of this work, then those of the harness.
pub(crate) fn cautions(sheet: &Sheet) -> Vec<String> {
    with_own_cautions(&sheet.cautions)
}

pub(crate) fn with_own_cautions(of_harness: &[String]) -> Vec<String> {
    let own =
        "Wear eye protection: cut wire ends fly, hot enamel and solder spit. Solder where the air moves.";
    std::iter::once(own.to_owned()).chain(of_harness.iter().cloned()).collect()
}

/// Why a coil has no sheet, and what would give it one.
pub(crate) fn no_sheet(part: &str, missing: &str) -> String {
    format!("{part}: no sheet, for its making is not given: add {missing} to its line.")
}

/// Why two windings on one core have none.
pub(crate) fn no_making(pair: &Pair) -> Vec<String> {
    vec![
        "A `coupled` part is described by what meters read of it, not by ring and turns: those are not in the file, and nothing that follows from \
         them can be told."
            .to_owned(),
        format!(
            "To wind it, describe one winding as a `coil` of its ring (outer, inner, height, al or permeability, turns, wire_diameter) that \
             comes to {}, and take its sheet: both windings have these turns, laid together as two wires side by side where they are alike. \
             The hole then holds twice the wire that the sheet counts.",
            value(pair.inductance.nominal, Dimension::INDUCTANCE)
        ),
    ]
}

/// What to check of them before power comes on.
pub(crate) fn checks_of_pair(pair: &Pair) -> Vec<String> {
    let [(first, _), (second, _)] = &pair.windings;
    vec![
        format!(
            "Starts to {first} and {second}, ends to the other side. With one winding turned round the core sees the other sum of the \
             currents: what should pass is choked, or the core is full."
        ),
        "Ohmmeter from one winding to the other, and from each to the bare core: no connection.".to_owned(),
        "From each rail to the other with the pack unplugged: no short.".to_owned(),
        first_power(pair.camera_current),
    ]
}

//! How to wind, what to check before power, and what to say where there is no sheet.

use crate::text::value;
use crate::winding::{range, turns};
use quantity::Dimension;
use study::winding::{Pair, Sheet, Spread};

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

/// Above this share of the hole winding by hand is a struggle (common practice, no source).
const TIGHT: f64 = 0.4;

/// What to say of a full hole.
pub(crate) fn tightness(fill: f64) -> &'static str {
    if fill > TIGHT {
        ", which is tight by hand: take a needle or a thinner wire (common practice, no source)"
    } else {
        ""
    }
}

/// What meters should read.
pub(crate) fn readings(sheet: &Sheet) -> Vec<String> {
    let henry = |inductance: f64| value(inductance, Dimension::INDUCTANCE);
    let mut lines = vec![
        format!(
            "LC meter: {} ({})",
            range(&sheet.inductance, Dimension::INDUCTANCE),
            why(sheet.inductance.spread)
        ),
        miscount(sheet),
        format!(
            "ohmmeter, ends scraped bare: {} ({})",
            range(&sheet.resistance, Dimension::RESISTANCE),
            why(sheet.resistance.spread)
        ),
    ];
    if sheet.resistance.nominal < FEW_OHMS {
        lines.push(
            "an ohmmeter adds its own leads: hold its tips together first and take off what it reads then"
                .to_owned(),
        );
    }
    lines.push(match sheet.lost {
        Some((tenth, third)) => format!(
            "a meter tests without current: at {} a tenth of the inductance is gone, at {} three tenths",
            value(tenth, Dimension::CURRENT),
            value(third, Dimension::CURRENT)
        ),
        None => format!(
            "a meter tests without current, so {} with current are not proven by it; nothing in the file says where the core saturates",
            henry(sheet.inductance.nominal)
        ),
    });
    lines
}

/// Ohm below which the leads of a meter count.
const FEW_OHMS: f64 = 2.0;

/// A miscount shows only where it moves the reading by more than what is right anyway.
fn miscount(sheet: &Sheet) -> String {
    let henry = |inductance: f64| value(inductance, Dimension::INDUCTANCE);
    let (less, more) = sheet.miscounted;
    let (least, greatest) = sheet.inductance.range;
    let told = format!("with a turn too few {}, with one too many {}", henry(less), henry(more));
    if less < least && more > greatest {
        format!("{told}: the meter shows a miscount")
    } else {
        format!("{told}: the meter cannot show a miscount, so count the turns in the hole")
    }
}

/// Where a range comes from.
pub(crate) fn why(spread: Spread) -> &'static str {
    match spread {
        Spread::Stated => "the tolerance in the file",
        Spread::Measured => "5 % for the meter and how tight the turns lie: common practice, no source",
        Spread::Powder => "powder rings differ by 10 %: makers' usual figure, from memory",
        Spread::Ferrite => "ferrite rings differ by 25 %: makers' usual figure, from memory",
        Spread::Wire => "at 20 degC, ends not yet cut: common practice, no source",
    }
}

/// What meters should read of two windings on one core.
pub(crate) fn readings_of_pair(pair: &Pair) -> Vec<String> {
    let henry = |inductance: f64| value(inductance, Dimension::INDUCTANCE);
    let whence = if pair.assumed { "; it follows from the coupling that is assumed" } else { "" };
    let mut lines = vec![
        format!(
            "LC meter at the first winding, {}, the second open: {} ({})",
            ends(pair, 0),
            range(&pair.inductance, Dimension::INDUCTANCE),
            why(pair.inductance.spread)
        ),
        format!("at the second, {}, the first open: {}", ends(pair, 1), henry(pair.second_inductance)),
        format!("at the first, the second shorted: {}, the leakage{whence}", henry(pair.shorted)),
        format!(
            "both in series, the end of the first on the start of the second: {}; end on end: {}. The other way round, one winding \
             runs backwards",
            henry(pair.series.0),
            henry(pair.series.1)
        ),
    ];
    lines.extend(pair.resistance.map(|resistance| {
        let ohm = value(resistance, Dimension::RESISTANCE);
        format!("ohmmeter at each winding: {ohm}, as the file says; take off what its own leads read")
    }));
    lines.extend(pair.lost.map(|(tenth, third)| {
        let ampere = |current: f64| value(current, Dimension::CURRENT);
        format!(
            "a meter tests without current: where both currents together reach {} a tenth of what is common is gone, at {} three tenths",
            ampere(tenth),
            ampere(third)
        )
    }));
    lines
}

/// `tap to cam`.
fn ends(pair: &Pair, winding: usize) -> String {
    let (start, end) = &pair.windings[winding];
    format!("{start} to {end}")
}

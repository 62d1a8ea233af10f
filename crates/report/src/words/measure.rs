//! What to measure next, and how, with what a workshop has.

use super::page::Words;
use language::Kind;

pub(crate) const MEASURE: Words = (
    "What to measure next",
    "Each value that is rarely known well was taken lower and higher, alone, at the worst condition of the options that you would build. The first row matters most.",
);
/// Where no doubtful value by itself turns a verdict.
pub(crate) const NOTHING_TURNS: &str = "No value by itself, as far off as is usual, turns the verdict. Several together can: draw them with quietrail sweep.";
pub(crate) const MEASURE_STATED: &str = "tolerance of the file";
pub(crate) const MEASURE_USUAL: &str = "usual doubt";

/// Whether a value by itself turns the verdict.
pub(crate) fn turned(turns: bool) -> &'static str {
    if turns { "✗ turns the verdict" } else { "✓ the verdict stays" }
}

/// A sentence or two; what holds for any value where nothing better is known.
pub(crate) fn how(kind: Kind, property: &str) -> &'static str {
    match (kind, property) {
        (Kind::Battery, "cell_resistance" | "resistance") => {
            "Read it off a charger that shows milliohms, at the charge and temperature of use; or take the fall of the pack's voltage under a known load over its amperes."
        }
        (Kind::Supply, "resistance") => {
            "The fall of its voltage under a known load over its amperes, at the end of its leads."
        }
        (Kind::Battery | Kind::Supply, "inductance") => {
            "An LC meter at the disconnected leads; keep leads short and side by side."
        }
        (Kind::Capacitor, "esr") => {
            "An ESR meter at 100 kHz on the part itself, discharged and out of the circuit; several times as much in the cold."
        }
        (Kind::Capacitor, "capacitance") => "A capacitance meter, discharged and out of the circuit.",
        (Kind::Capacitor, "esl") => {
            "It follows from the leads: about 1 nH for each millimetre of both together. Cut them short."
        }
        (Kind::Coil, "inductance" | "al" | "permeability") => {
            "An LC meter, which reads it at almost no current; of a ring with ten turns first, and the rest by the square of the turns."
        }
        (Kind::Coil, "saturation_current" | "flux_density_limit") => {
            "Let a known current through it and measure the inductance meanwhile, or watch a current that rises under a constant voltage: where it bends upwards the core is full."
        }
        (Kind::Coil, "residual") => {
            "It matters only where the core is full: an LC meter with a direct current through the coil."
        }
        (Kind::Coil, "dcr") => "An ohmmeter, with what its own leads read taken away.",
        (Kind::Drive, "current") => {
            "A clamp or a shunt in a motor's feed, loaded as in use. A clamp that shows the mean: divide it by the duty."
        }
        (Kind::Drive, "commutation_depth") => {
            "An oscilloscope over a shunt in the motor's feed, at full throttle, where no pulses hide it."
        }
        (Kind::Drive, "rise" | "fall") => {
            "An oscilloscope at the drive's input, with a short ground spring in place of the clip lead."
        }
        (Kind::Camera | Kind::Load, "current") => {
            "An ammeter in its feed, at the voltage of use, with the picture on."
        }
        (Kind::Camera | Kind::Load, _) => {
            "Seldom published: a known capacitor beside it shows by how much the ripple falls."
        }
        (Kind::Wire, "length") => "A string along the run; both wires where the return is included.",
        (Kind::Wire, "spacing") => "A ruler between the middles of the two wires, where they run longest.",
        _ => "Measure it on the part itself, at the current and temperature of use.",
    }
}

//! What to measure next, and how, with what a workshop has.

use super::page::Words;
use language::Kind;

pub(crate) const MEASURE: Words = (
    "What to measure next",
    "Each value that is rarely known well was taken lower and higher, alone, at the worst condition of the options that you would build; where none holds, of the one that comes closest. The first row matters most.",
);
/// Where options hold, and no doubtful value by itself turns a verdict.
pub(crate) const NOTHING_TURNS: &str = "None of the values that were moved turns the verdict by itself, as far as it was moved. One that is further off may, and so may several together.";
/// Where none holds, and no doubtful value by itself changes that.
pub(crate) const NOTHING_HELPS: &str = "Nothing meets the limits, and none of the values that were moved changes that by itself, as far as it was moved.";
/// What was not looked at.
pub(crate) const NOT_MOVED: &str = "Not looked at: values further off than that, several at once, values that the file states and that are not named here, and other conditions. Try one with --set, several with quietrail sweep.";
pub(crate) const MEASURE_STATED: &str = "tolerance of the file";

/// What becomes of a verdict: whether the requirement holds with the value as it is, and whether a value by itself turns that.
pub(crate) fn turned(holds: bool, turns: bool) -> &'static str {
    match (holds, turns) {
        (true, true) => "✗ turns the verdict",
        (true, false) => "✓ the verdict stays",
        (false, true) => "at one end it is met",
        (false, false) => "it is missed all the same",
    }
}

/// Assumed values that were left as they are.
pub(crate) fn left_assumed(assumptions: &[&str]) -> String {
    format!(
        "Assumed values, which were not varied: {}. State in the file what you know.",
        assumptions.join("; ")
    )
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

//! Warnings: what a builder should know although nobody asked.

mod battery;
mod capacitor;
mod currents;
mod drawing;
mod fed;
mod frequency;
mod limits;
mod magnitude;
mod no_value;
mod pack_voltage;
mod paths;
mod polarity;
mod protection;
mod returns;

pub(crate) use drawing::of_drawing;
pub(crate) use frequency::of_frequency;
pub(crate) use limits::{LEAST_INDUCTANCE_LEFT, Watched, of_run, wanted};
pub(crate) use no_value::{ARITHMETIC, NO_TRANSIENT, Offer, no_value, reason};
pub(crate) use returns::{shared, shared_return};

use network::lowered::Warning;
use quantity::{Dimension, Quantity, engineering};

/// A value with its unit, three digits.
fn show(value: f64, dimension: Dimension) -> String {
    engineering(Quantity { value, dimension }, 3)
}

/// Several sources, by name, whose periods have no common multiple that can be waited for; `beat` is how long the slowest of their beats
/// takes in seconds, where two of them are near each other or a harmonic.
pub(crate) fn no_common_period(names: &[String], beat: Option<f64>, span: f64) -> Warning {
    let who = match names {
        [] => "the sources".to_owned(),
        [one] => format!("{one} (its pulses and its commutation)"),
        [init @ .., last] => format!("{} and {last}", init.join(", ")),
    };
    let have = if names.len() == 1 { "has" } else { "have" };
    let time = |seconds: f64| show(seconds, Dimension::TIME);
    let covered = match beat {
        Some(beat) if beat > span => format!(
            "only {} of a beat of {}, so the worst may be missed: make the span longer than a beat",
            time(span),
            time(beat)
        ),
        _ => time(span),
    };
    let joined = if beat.is_some_and(|beat| beat > span) { ", or" } else { ";" };
    Warning {
        code: "no_common_period",
        about: String::new(),
        weight: 0.0,
        text: format!(
            "{who} {have} no common period of at most 1 s: the run settles first and readings then cover {covered}{joined} choose frequencies with a common divisor to have them exact"
        ),
    }
}

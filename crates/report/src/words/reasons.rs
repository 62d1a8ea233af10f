//! Sentences that say why.

use crate::text;
use quantity::{Dimension, Quantity, engineering};

fn ohm(value: f64) -> String {
    text::value(value, Dimension::RESISTANCE)
}

fn hertz(value: f64) -> String {
    text::value(value, Dimension::FREQUENCY)
}

fn volt(value: f64) -> String {
    text::value(value, Dimension::VOLTAGE)
}

/// Why noise follows the throttle: the duties that occur, the one at which pulses are the greatest ripple, the baseline's worst duty
/// with its condition, and whether full throttle occurs and commutation is in the file.
pub(crate) fn throttle(
    drive: &str,
    duties: &[f64],
    most: f64,
    (worst, place): (f64, &str),
    (full, commutation): (bool, bool),
) -> String {
    let share = |duty: f64| engineering(Quantity { value: duty, dimension: Dimension::NONE }, 3);
    let all: Vec<String> = duties.iter().map(|duty| share(*duty)).collect();
    let left = match (full, commutation) {
        (true, true) => "; at 100 % there are no pulses, and only the commutation is left",
        (true, false) => "; at 100 % there are no pulses",
        _ => "",
    };
    let found = if worst == most {
        format!("there the baseline is worst too ({place})")
    } else {
        format!(
            "yet the baseline is worst at {} ({place}): something else than the share of the pulses weighs more there",
            share(worst)
        )
    };
    format!(
        "Throttle: pulses of {drive} that last a share D of each period have a ripple of sqrt(D (1 - D)) times their height: most at half duty, none at 0 % and 100 %. Among the duties of this file, {}, it is greatest at {}, and {found}{left}.",
        text::list(&all),
        share(most),
    )
}

/// Why a capacitor alone does little.
pub(crate) fn alone(
    label: &str,
    capacitor: &str,
    names: &[String],
    (resistance, reactance): (f64, f64),
    own: f64,
    pwm: f64,
) -> String {
    format!(
        "{label}: {capacitor} alone can only divide against what lies in front of it: the {} of {} and, at {}, the {} of their inductance; it is itself {} there. The closer these are, the less it does; a resistor or a coil in front of it parts them.",
        ohm(resistance),
        text::list(names),
        hertz(pwm),
        ohm(reactance),
        ohm(own),
    )
}

/// What ESR limits and what it damps.
pub(crate) fn esr(
    (coil, capacitor): (&str, &str),
    (corner, esr, wave): (f64, f64, f64),
    (pwm, left): (f64, Option<f64>),
) -> String {
    let limits = left.map_or_else(
        || format!("at {} it still is a capacitance", hertz(pwm)),
        |left| {
            format!(
                "what {coil} lets through at {} is then ESR/(2 pi f L), {}, and more microfarads do not help",
                hertz(pwm),
                text::percent(left)
            )
        },
    );
    format!(
        "above {} {capacitor} is its ESR of {}: {limits}. So less ESR is better against the pulses and worse against ringing, for ESR damps too: {coil} and {capacitor} need about {} in their loop (sqrt(L/C)) not to ring, and the ESR is {} of that; the rest has to come from a resistor.",
        hertz(corner),
        ohm(esr),
        ohm(wave),
        text::percent(esr / wave),
    )
}

/// The pack from empty to full, beside what stands on it.
pub(crate) fn voltages(
    pack: &str,
    (empty, full): (Option<f64>, f64),
    cameras: &[(&str, (f64, f64))],
    rated: Option<f64>,
) -> String {
    let from = empty.map_or_else(String::new, |empty| format!("from {} empty ", volt(empty)));
    let mut clauses = vec![format!("Voltages: {pack} goes {from}to {} full", volt(full))];
    for (name, (least, most)) in cameras {
        let fits = full <= *most && empty.is_none_or(|empty| empty >= *least);
        let judged = if fits { "which covers it" } else { "which does not cover it" };
        clauses.push(format!("{name} takes {} to {}, {judged}", volt(*least), volt(*most)));
    }
    clauses.extend(rated.map(|rated| {
        let enough = if rated > full { "above" } else { "not above" };
        format!("the lowest rating of a capacitor is {}, {enough} the full pack", volt(rated))
    }));
    format!("{}.", clauses.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_the_full_pack_leaves_is_told() {
        let told = |most| voltages("pack", (Some(12.0), 16.8), &[("eye", (9.0, most))], Some(16.0));
        assert!(
            told(18.0).contains("which covers it") && told(18.0).contains("16 V, not above the full pack")
        );
        assert!(told(16.0).contains("which does not cover it"));
    }

    #[test]
    fn a_worst_duty_that_the_pulses_do_not_explain_is_not_explained_by_them() {
        let told = |worst| throttle("tracks", &[0.0, 0.6, 1.0], 0.6, (worst, "soft"), (true, true));
        assert!(told(0.6).contains("worst too (soft)"));
        assert!(told(1.0).contains("something else"));
    }
}

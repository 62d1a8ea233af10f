//! What stands behind a flag, from its text.

use study::design::Topology;

/// A form of filter by its name.
pub(super) fn form(text: &str) -> Result<Topology, String> {
    Topology::from_word(text).ok_or_else(|| {
        let known: Vec<&str> = Topology::ALL.iter().map(|form| form.word()).collect();
        format!("there are {}", known.join(", "))
    })
}

pub(super) fn pair(text: &str) -> Result<(String, String), String> {
    let parts = text.split_once('=').map(|(axis, option)| (axis.trim(), option.trim()));
    match parts {
        Some((axis, option)) if !axis.is_empty() && !option.is_empty() => {
            Ok((axis.to_owned(), option.to_owned()))
        }
        _ => Err("expected AXIS=OPTION, as in filter=coil".to_owned()),
    }
}

fn number(text: &str, most: f64) -> Option<f64> {
    let text = text.trim();
    text.parse::<f64>().ok().filter(|value| (0.0..=most).contains(value))
}

/// Decibels, with or without the unit.
pub(super) fn rejection(text: &str) -> Result<f64, String> {
    number(text.trim_end_matches("dB"), 120.0).ok_or_else(|| "expected 0 to 120 dB, as in 40".to_owned())
}

pub(super) fn counted(text: &str) -> Result<f64, String> {
    number(text, 1000.0).ok_or_else(|| "expected a count from 0 to 1000, as in 7 or 6.5".to_owned())
}

pub(super) fn within(text: &str) -> Result<f64, String> {
    number(text.trim_end_matches('%'), 50.0).ok_or_else(|| "expected 0 to 50 per cent, as in 5".to_owned())
}

/// The range that a study accepts: coarser shows no ripple, finer is lost in rounding.
pub(super) fn accuracy(text: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| (1e-8..=1e-2).contains(value));
    value.ok_or_else(|| "expected a fraction from 1e-8 to 1e-2, as in 1e-4".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pick_needs_both_sides_and_an_accuracy_its_range() {
        assert_eq!(pair("filter = coil"), Ok(("filter".to_owned(), "coil".to_owned())));
        assert!(accuracy("1e-5").is_ok() && accuracy("NaN").is_err() && accuracy("0").is_err());
        assert!(pair("filter").is_err() && pair("=coil").is_err() && pair("filter=").is_err());
    }
}

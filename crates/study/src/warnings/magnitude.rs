//! Values far outside what is sold: most often a prefix that is one letter off, `Mohm` for `mohm`.

use super::show;
use language::Kind;
use language::description::{Harness, Part, Testpoint, Value};
use network::lowered::Warning;
use quantity::{Dimension, Quantity};

/// What one property of a kind comes to.
struct Range {
    kind: Kind,
    property: &'static str,
    /// Values in SI units outside of these are remarked: about a hundred times beyond anything sold.
    limits: (f64, f64),
    /// What a builder meets.
    usual: (f64, f64),
}

const fn range(kind: Kind, property: &'static str, limits: (f64, f64), usual: (f64, f64)) -> Range {
    Range { kind, property, limits, usual }
}

/// No bound on this side: values that grow or shrink without harm.
const ANY: f64 = f64::INFINITY;

/// Ranges in SI units. Common practice, no source: catalogues of what vehicles of a few grams to some hundred kilogram are built
/// from, with a factor of about a hundred on either side.
const RANGES: &[Range] = &[
    range(Kind::Battery, "emf", (10e-3, 100e3), (1.2, 60.0)),
    range(Kind::Battery, "cell_resistance", (1e-6, 10.0), (0.5e-3, 300e-3)),
    range(Kind::Battery, "resistance", (1e-6, 100.0), (1e-3, 2.0)),
    range(Kind::Battery, "inductance", (0.0, 100e-6), (1e-9, 1e-6)),
    // Coulomb: 0.1 mAh and 100 kAh; 50 mAh and 100 Ah.
    range(Kind::Battery, "capacity", (0.36, 360e6), (180.0, 360e3)),
    range(Kind::Supply, "resistance", (0.0, 10e3), (1e-3, 1.0)),
    range(Kind::Capacitor, "esr", (1e-6, 100e3), (5e-3, 5.0)),
    range(Kind::Capacitor, "esl", (0.0, 10e-6), (0.3e-9, 50e-9)),
    range(Kind::Capacitor, "capacitance", (1e-15, 1e6), (10e-12, 20e-3)),
    range(Kind::Capacitor, "leakage", (100.0, ANY), (10e3, 100e9)),
    range(Kind::Capacitor, "rated", (50e-3, 10e6), (2.5, 630.0)),
    range(Kind::Coil, "inductance", (10e-12, 1e3), (10e-9, 100e-3)),
    range(Kind::Coil, "dcr", (0.0, 100e3), (1e-3, 100.0)),
    range(Kind::Coil, "saturation_current", (10e-6, 100e3), (10e-3, 100.0)),
    range(Kind::Coil, "winding_capacitance", (0.0, 1e-6), (1e-12, 1e-9)),
    range(Kind::Coupled, "inductance", (10e-12, 1e3), (10e-9, 100e-3)),
    range(Kind::Coupled, "dcr", (0.0, 100e3), (1e-3, 100.0)),
    range(Kind::Bead, "peak_resistance", (50e-3, 1e6), (5.0, 3e3)),
    range(Kind::Bead, "inductance", (10e-12, 10e-3), (10e-9, 50e-6)),
    range(Kind::Bead, "dcr", (0.0, 1e3), (1e-3, 5.0)),
    range(Kind::Bead, "capacitance", (0.0, 10e-9), (0.1e-12, 20e-12)),
    range(Kind::Wire, "resistance", (0.0, 100e3), (0.1e-3, 10.0)),
    range(Kind::Wire, "inductance", (0.0, 100e-3), (1e-9, 100e-6)),
    range(Kind::Wire, "length", (10e-6, 100e3), (5e-3, 300.0)),
    range(Kind::Wire, "area", (10e-12, 0.1), (0.01e-6, 100e-6)),
    range(Kind::Wire, "diameter", (1e-6, 1.0), (0.05e-3, 20e-3)),
    range(Kind::Wire, "spacing", (1e-6, 100.0), (0.2e-3, 0.2)),
    range(Kind::Drive, "current", (10e-6, 100e3), (50e-3, 300.0)),
    range(Kind::Drive, "pwm", (1.0, ANY), (50.0, 200e3)),
    range(Kind::Load, "current", (0.0, 100e3), (100e-6, 100.0)),
    range(Kind::Load, "power", (0.0, 10e6), (1e-3, 1e3)),
    range(Kind::Load, "resistance", (1e-6, ANY), (0.1, 1e6)),
    range(Kind::Load, "input_capacitance", (0.0, 10.0), (100e-9, 10e-3)),
    range(Kind::Load, "input_esr", (0.0, 1e3), (1e-3, 5.0)),
    range(Kind::Camera, "current", (100e-6, 100.0), (20e-3, 2.0)),
    range(Kind::Camera, "input_capacitance", (0.0, 1.0), (100e-9, 2e-3)),
    range(Kind::Camera, "input_esr", (0.0, 1e3), (1e-3, 5.0)),
    range(Kind::Servo, "peak_current", (0.0, 1e3), (50e-3, 10.0)),
    range(Kind::Servo, "stall_current", (0.0, 1e3), (50e-3, 10.0)),
    range(Kind::Transmitter, "current", (0.0, 1e3), (20e-3, 3.0)),
    range(Kind::Regulator, "output", (10e-3, 10e3), (0.8, 60.0)),
    range(Kind::Regulator, "resistance", (0.0, 10e3), (1e-3, 2.0)),
    range(Kind::Switch, "closed_resistance", (0.0, 10e3), (0.5e-3, 100.0)),
    range(Kind::Fuse, "resistance", (0.0, 100e3), (0.2e-3, 20.0)),
    range(Kind::Fuse, "rated", (100e-6, 100e3), (50e-3, 300.0)),
    range(Kind::Connector, "contact_resistance", (0.0, 100.0), (0.1e-3, 50e-3)),
    range(Kind::Connector, "rated", (1e-3, 100e3), (0.5, 300.0)),
    range(Kind::Resistor, "resistance", (1e-9, 1e15), (1e-3, 100e6)),
];

/// Loss factor at 120 Hz above which an esr belongs to no capacitor: catalogues end near 0.5, worn ones reach a few. Common practice,
/// no source.
const MOST_LOSS: f64 = 10.0;
/// Capacitance in farad from which only double-layer capacitors are sold in this trade, and the least product of theirs with their
/// esr in second, a tenth of what they have. Common practice, no source.
const DOUBLE_LAYER: (f64, f64) = (0.1, 0.1);

/// A test point through less than this bandwidth in hertz sees nothing of what drives do, which pulse at 50 Hz at least, and the usual ones:
/// of the slowest meter, of a fast oscilloscope. Common practice, no source.
const LEAST_BANDWIDTH: f64 = 1.0;
const USUAL_BANDWIDTH: (f64, f64) = (100.0, 1e9);

/// What is said of all values of a harness.
pub(super) fn of_values(harness: &Harness) -> Vec<Warning> {
    let parts = harness.parts.iter().flat_map(of_part);
    parts.chain(harness.testpoints.iter().filter_map(of_testpoint)).collect()
}

fn of_testpoint(testpoint: &Testpoint) -> Option<Warning> {
    let bandwidth = testpoint.bandwidth.filter(|bandwidth| *bandwidth < LEAST_BANDWIDTH)?;
    let text = format!(
        "{}: `bandwidth` is {}, through which nothing is seen of the noise of drives; {}",
        testpoint.name,
        show(bandwidth, Dimension::FREQUENCY),
        meant(bandwidth, Dimension::FREQUENCY, USUAL_BANDWIDTH),
    );
    Some(Warning { code: "unlikely_value", about: String::new(), weight: LEAST_BANDWIDTH / bandwidth, text })
}

fn of_part(part: &Part) -> Vec<Warning> {
    let ranges = RANGES.iter().filter(|range| range.kind == part.kind);
    let mut warnings: Vec<Warning> = ranges.filter_map(|range| of_value(part, range)).collect();
    if part.kind == Kind::Capacitor && warnings.is_empty() {
        warnings.extend(of_capacitor(part));
    }
    warnings
}

fn warning(part: &Part, weight: f64, text: &str) -> Warning {
    Warning {
        code: "unlikely_value",
        about: part.name.clone(),
        weight,
        text: format!("{}: {text}", part.name),
    }
}

fn of_value(part: &Part, range: &Range) -> Option<Warning> {
    let Some(Value::Number(Quantity { value, dimension }, _)) = part.properties.get(range.property) else {
        return None;
    };
    let (value, dimension) = (*value, *dimension);
    let ((least, greatest), (low, high)) = (range.limits, range.usual);
    if value <= 0.0 || (least..=greatest).contains(&value) {
        return None;
    }
    let who = if range.property.starts_with("cell_") { "cell" } else { part.kind.word() };
    let ratio = if value > high { value / high } else { low / value };
    let much = if value > high {
        format!("more than {} times what a {who} has", times(ratio))
    } else {
        format!("less than {} of what a {who} has", share(ratio))
    };
    let text = format!(
        "`{}` is {}, {much} ({} to {}); {}",
        range.property,
        show(value, dimension),
        show(low, dimension),
        show(high, dimension),
        meant(value, dimension, range.usual),
    );
    Some(warning(part, ratio, &text))
}

/// What a single look at a capacitance or an esr does not show, both together do.
fn of_capacitor(part: &Part) -> Option<Warning> {
    let capacitance = part.number("capacitance")?;
    let esr = part.number("esr").unwrap_or(0.0);
    let farads = |value: f64| show(value, Dimension::CAPACITANCE);
    if capacitance >= DOUBLE_LAYER.0 {
        let usual = (10e-12, 20e-3);
        // Of a capacitor without any property of a real one nothing can be said: 1 F and 1 H make good examples.
        let real = ["esr", "rated", "type"].iter().any(|property| part.properties.contains_key(*property));
        return (real && esr * capacitance < DOUBLE_LAYER.1).then(|| {
            let text = format!(
                "`capacitance` is {}, which only double-layer capacitors have, and they have some {} of esr with it; {}",
                farads(capacitance),
                quantity::engineering(Quantity { value: 1.0 / capacitance, dimension: Dimension::RESISTANCE }, 1),
                meant(capacitance, Dimension::CAPACITANCE, usual),
            );
            warning(part, capacitance, &text)
        });
    }
    let loss = std::f64::consts::TAU * 120.0 * capacitance * esr;
    (loss > MOST_LOSS).then(|| {
        let text = format!(
            "`esr` is {}, with {} a loss factor of {loss:.0} at 120 Hz, where capacitors have 0.01 to 0.5; {}",
            show(esr, Dimension::RESISTANCE),
            farads(capacitance),
            meant(esr, Dimension::RESISTANCE, (5e-3, 1.0)),
        );
        warning(part, loss, &text)
    })
}

/// The same digits with another prefix, where that is usual.
fn meant(value: f64, dimension: Dimension, (low, high): (f64, f64)) -> String {
    // `M` and `m` are a key apart.
    let swapped = if value > high { (1e6..1e9).contains(&value) } else { (1e-3..1.0).contains(&value) };
    let steps = if swapped { [9, 3, 6, 12] } else { [3, 6, 9, 12] };
    let scaled =
        steps.map(|step: i32| if value > high { value / 10f64.powi(step) } else { value * 10f64.powi(step) });
    match scaled.into_iter().find(|scaled| (low..=high).contains(scaled)) {
        Some(scaled) => format!("did you mean {}?", show(scaled, dimension)),
        None => "check the unit and its prefix: m is a thousandth, M a million".to_owned(),
    }
}

const TIMES: [&str; 9] = [
    "ten",
    "a hundred",
    "a thousand",
    "ten thousand",
    "a hundred thousand",
    "a million",
    "ten million",
    "a hundred million",
    "a thousand million",
];

/// A ratio in words, rounded down to a power of ten.
fn times(ratio: f64) -> &'static str {
    TIMES[power(ratio, TIMES.len())]
}

const SHARES: [&str; 6] =
    ["a tenth", "a hundredth", "a thousandth", "a ten-thousandth", "a hundred-thousandth", "a millionth"];

fn share(ratio: f64) -> &'static str {
    SHARES[power(ratio, SHARES.len())]
}

fn power(ratio: f64, count: usize) -> usize {
    // A hair for the rounding of prefixes.
    let power = (ratio.log10() + 1e-9).floor() - 1.0;
    (power.max(0.0) as usize).min(count - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_lie_far_outside_of_what_is_usual_and_properties_exist() {
        for range in RANGES {
            let name = format!("{} {}", range.kind.word(), range.property);
            let ((least, greatest), (low, high)) = (range.limits, range.usual);
            assert!(
                range.kind.table().properties.iter().any(|property| property.name == range.property),
                "{name}"
            );
            assert!(low < high && least * 10.0 <= low && high * 10.0 <= greatest, "{name}");
        }
    }

    #[test]
    fn ratios_are_told_in_words() {
        assert_eq!(
            (times(1e6), times(9.9e3), times(3e12)),
            ("a million", "a thousand", "a thousand million")
        );
        assert_eq!((share(1e3), share(1e9)), ("a thousandth", "a millionth"));
    }
}

//! Every derivative as columns for a spreadsheet: a line for each point, reading and value.

use super::{change, relative};
use std::fmt::Write as _;
use study::sensitivity::{Sensitivities, Slope};

/// The text with a heading line. Values are in SI units, swept ones too; those that are missing are empty. `little` is 1 % of the
/// value, or 1 K of a temperature; `change` is what it does to the reading, `relative` the same as a fraction of the reading.
#[must_use]
pub fn csv(found: &Sensitivities) -> String {
    let mut text = String::new();
    for axis in &found.axes {
        let _ = write!(text, "{},", axis.name);
    }
    text.push_str(
        "reading,reading_value,reading_unit,value_of,value,value_unit,little,slope,change,relative,reason\n",
    );
    for point in &found.points {
        let at: String = point
            .at
            .iter()
            .zip(&found.axes)
            .map(|(index, axis)| match axis.values.get(*index) {
                Some(quantity) => format!("{:e},", quantity.value),
                None => format!("{},", axis.points[*index]),
            })
            .collect();
        for reading in &point.readings {
            let value = reading.value.map_or_else(String::new, |value| format!("{value:e}"));
            let unit = quantity::unit_symbol(reading.dimension);
            let name = quoted(&reading.name);
            if let Some(reason) = &reading.excluded {
                let _ = writeln!(text, "{at}{name},{value},{unit},,,,,,,,{}", quoted(reason));
            }
            for (stated, slope) in point.values.iter().zip(&reading.slopes) {
                let little = stated.little();
                let of = format!(
                    "{},{:e},{},{little:e}",
                    stated.name,
                    stated.value.value,
                    quantity::unit_symbol(stated.value.dimension)
                );
                let change = change(stated, slope);
                let number =
                    |found: Option<f64>| found.map_or_else(String::new, |found| format!("{found:e}"));
                let relative = change.and_then(|change| relative(reading, change));
                let reason = match slope {
                    Slope::Known(_) => String::new(),
                    Slope::Unknown(reason) => quoted(reason),
                };
                let (slope, change, relative) = (number(slope.known()), number(change), number(relative));
                let _ = writeln!(text, "{at}{name},{value},{unit},{of},{slope},{change},{relative},{reason}");
            }
        }
    }
    text
}

/// In quotes where a comma asks for them.
fn quoted(text: &str) -> String {
    if text.contains([',', '"']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

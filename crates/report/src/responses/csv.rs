//! Every curve as columns for a spreadsheet: a line for each point, response and frequency.

use std::fmt::Write as _;
use study::result::Responses;

/// The text with a heading line. Values are in SI units, swept ones too; those that are missing are empty. Names are words of
/// letters and digits, so that nothing needs quotes.
#[must_use]
pub fn csv(responses: &Responses) -> String {
    let points = &responses.points;
    let mut text = String::new();
    for axis in &points.axes {
        let _ = write!(text, "{},", axis.name);
    }
    text.push_str("response,unit,frequency_hertz,re,im,magnitude,phase_degree\n");
    for (run, curves) in points.runs.iter().zip(&responses.curves) {
        let at: String = run
            .at
            .iter()
            .zip(&points.axes)
            .map(|(index, axis)| match axis.values.get(*index) {
                Some(quantity) => format!("{:e},", quantity.value),
                None => format!("{},", axis.points[*index]),
            })
            .collect();
        for (info, curve) in responses.responses.iter().zip(curves) {
            let Some(curve) = curve else { continue };
            let unit = quantity::unit_symbol(info.dimension);
            for (frequency, value) in curve.frequencies.iter().zip(&curve.values) {
                let _ = write!(text, "{at}{},{unit},{frequency},", info.name);
                let _ = match value {
                    Some(value) => {
                        let phase = value.im.atan2(value.re).to_degrees();
                        writeln!(text, "{:e},{:e},{:e},{phase}", value.re, value.im, value.magnitude())
                    }
                    None => writeln!(text, ",,,"),
                };
            }
        }
    }
    text
}

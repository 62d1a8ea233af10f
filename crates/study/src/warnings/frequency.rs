//! Warnings of what swings: a resonance near a drive's rhythm, a constant power with too little margin.

use super::show;
use crate::responses::{Margin, View, law_of, margin, rhythms};
use crate::result::{Line, Rhythm};
use engine::frequency::Resonance;
use language::Kind;
use network::lowered::{LoweredPart, Warning};
use quantity::{Dimension, Series};

/// A resonance that rings at least so much is warned of: below it the peak of a low-pass is less than 1.3 dB.
const RINGS: f64 = 1.0;
/// Ratio of frequencies within which a line drives a resonance: at two thirds of it a low-pass still lifts by 5 dB, 1 / (1 - 1/1.5^2).
const NEAR: f64 = 1.5;
/// Least impedance-ratio margin in dB: common practice, no source.
const LEAST_MARGIN: f64 = 6.0;

/// Looks at every resonance and every load.
pub(crate) fn of_frequency(view: &View<'_>) -> Result<Vec<Warning>, String> {
    let mut warnings = Vec::new();
    let lines = rhythms(view.harness(), view.lowered());
    if !lines.is_empty() {
        for resonance in view.resonances()?.iter().filter(|resonance| resonance.quality > RINGS) {
            warnings.extend(near_lines(view, resonance, &lines));
        }
    }
    for part in &view.lowered().parts {
        warnings.extend(narrow(view, part)?);
    }
    Ok(warnings)
}

/// Whether a rhythm may shake a resonance: PWM stands still; commutation and rotation run through everything from nothing up
/// to what is stated.
fn meets(line: &Line, resonance: f64) -> bool {
    let below = resonance <= NEAR * line.frequency;
    below && (line.what != Rhythm::Pwm || line.frequency <= NEAR * resonance)
}

/// One warning for each kind of line that meets a resonance.
fn near_lines(view: &View<'_>, resonance: &Resonance, lines: &[Line]) -> Vec<Warning> {
    let warn = |kind: Rhythm| {
        let meeting: Vec<&Line> =
            lines.iter().filter(|line| line.what == kind && meets(line, resonance.frequency)).collect();
        let first = meeting.first()?;
        let mut drives: Vec<String> = meeting.iter().map(|line| line.drive.clone()).collect();
        drives.dedup();
        let parts = list(&resonance.parts);
        let about = format!("{parts}: {}", kind.word());
        let highest = meeting.iter().map(|line| line.frequency).fold(first.frequency, f64::max);
        let drives = list(&drives);
        let how = match kind {
            Rhythm::Pwm => {
                format!("near the PWM of {drives} at {}", show(first.frequency, Dimension::FREQUENCY))
            }
            _ => format!(
                "where the {} of {drives} passes, which runs up to {} with the throttle",
                kind.word(),
                show(highest, Dimension::FREQUENCY)
            ),
        };
        Some(Warning {
            code: "resonance_near_line",
            about,
            weight: resonance.quality,
            text: format!(
                "{parts} {} at {} (Q {}), {how}; {}",
                if resonance.parts.len() == 1 { "resonates" } else { "resonate" },
                show(resonance.frequency, Dimension::FREQUENCY),
                quality(resonance.quality),
                cure(view, resonance),
            ),
        })
    };
    [Rhythm::Pwm, Rhythm::Commutation, Rhythm::Rotation].into_iter().filter_map(warn).collect()
}

/// What to try. A resistor of about sqrt(L/C) with several times C in series, across C, is close to the best damping (Erickson
/// and Maksimovic, Fundamentals of Power Electronics, 2nd ed., chapter 10, from memory: 0.8 sqrt(L/C) with 2.5 C).
fn cure(view: &View<'_>, resonance: &Resonance) -> String {
    let across = resonance.capacitor.map(|branch| view.lowered().network.branches[branch].part.as_str());
    let (Some(impedance), Some(across)) = (resonance.impedance, across) else {
        return "put a resistor in series with a large capacitor across it, or move the frequency".to_owned();
    };
    let resistance = sold(impedance, Series::E12);
    let ohm = show(resistance, Dimension::RESISTANCE);
    let parts = || view.harness().parts.iter();
    let capacitor = parts().find(|part| part.name == across);
    let farad = capacitor.and_then(|part| part.number("capacitance"));
    let (Some(capacitor), Some(farad)) = (capacitor, farad) else {
        return format!(
            "put about {ohm} in series with three times its capacitance across {across}, or a lossy electrolytic, or move the frequency"
        );
    };
    let damper = format!(
        "solder {ohm} and {} one after the other from {} to {}, across {across}",
        microfarad(sold(3.0 * farad, Series::E6)),
        capacitor.left,
        capacitor.right
    );
    let coil = parts().find(|part| part.kind == Kind::Coil && resonance.parts.contains(&part.name));
    let simpler = coil.map(|coil| {
        let currents = parts().filter(|part| part.kind == Kind::Camera).map(|part| part.number("current"));
        let drop = match currents.collect::<Option<Vec<f64>>>().as_deref() {
            Some([ampere]) => format!(
                "{} at {}",
                show(ampere * resistance, Dimension::VOLTAGE),
                show(*ampere, Dimension::CURRENT)
            ),
            _ => format!("{} for each ampere", show(resistance, Dimension::VOLTAGE)),
        };
        format!("; or, simpler, {ohm} in series with {}, which loses {drop}", coil.name)
    });
    format!("{damper}{}; or move the frequency", simpler.unwrap_or_default())
}

/// The nearest value that is sold, by ratio.
fn sold(value: f64, series: Series) -> f64 {
    let away = |one: &f64| (one / value).ln().abs();
    series
        .between(value / 2.0, value * 2.0)
        .min_by(|one, other| away(one).total_cmp(&away(other)))
        .unwrap_or(value)
}

/// Capacitances as they are sold.
fn microfarad(farad: f64) -> String {
    if (1e-3..0.1).contains(&farad) {
        format!("{:.0} uF", 1e6 * farad)
    } else {
        show(farad, Dimension::CAPACITANCE)
    }
}

fn quality(quality: f64) -> String {
    match quality {
        _ if quality > 1e6 => "without end".to_owned(),
        _ if quality < 10.0 => format!("{quality:.1}"),
        _ => format!("{quality:.0}"),
    }
}

/// A constant power that what feeds it may set swinging.
fn narrow(view: &View<'_>, part: &LoweredPart) -> Result<Option<Warning>, String> {
    if !law_of(view, &part.name).is_some_and(|(_, constant_power)| constant_power) {
        return Ok(None);
    }
    let found = margin(view, &part.name)?;
    let Margin::Decibels { value, frequency, own, feeding, resonance } = found else { return Ok(None) };
    let cure =
        resonance.map_or_else(|| "add series resistance in front of it".to_owned(), |it| cure(view, &it));
    // Below its threshold it is an ordinary resistance.
    if value >= LEAST_MARGIN || own > 0.0 {
        return Ok(None);
    }
    let ohm = |value: f64| show(value, Dimension::RESISTANCE);
    Ok(Some(Warning {
        code: "impedance_margin",
        about: part.name.clone(),
        weight: LEAST_MARGIN - value,
        text: format!(
            "{}: its constant power is a resistance of {} to small ripple, and what feeds it has {} at {}: a margin of {value:.1} dB, where 6 dB are common practice; below 0 dB it may swing by itself; {cure}",
            part.name,
            ohm(own),
            ohm(feeding),
            show(frequency, Dimension::FREQUENCY),
        ),
    }))
}

/// `a`, `a and b`, `a, b and c`.
fn list(names: &[String]) -> String {
    match names {
        [] => "the harness".to_owned(),
        [one] => one.clone(),
        [init @ .., last] => format!("{} and {last}", init.join(", ")),
    }
}

//! A generator: pulses of voltage behind a resistance.

use super::builder::{Builder, Link};
use super::required;
use crate::waveform::{Points, Pulse, PulseSettings, Waveform};
use language::description::{Part, Start, Value};
use parts::Mistake;
use parts::generator::{Equivalent, Generator, Shape};
use parts::road_pulse::RoadPulse;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let word = |property: &str| match part.properties.get(property) {
        Some(Value::Word(word)) => Some(word.as_str()),
        _ => None,
    };
    let pulse = word("pulse").and_then(RoadPulse::from_word);
    let generator = Generator {
        level: required(part, "level")?,
        width: part.number("width").or(pulse.map(RoadPulse::width)),
        period: part.number("period"),
        rise: part.number("rise").or(pulse.map(RoadPulse::rise)),
        fall: part.number("fall"),
        resistance: part.number("resistance").or(pulse.map(RoadPulse::resistance)),
        starts: part.number("starts"),
        is_surge: pulse.is_some() || word("shape") == Some("double_exponential"),
    };
    let equivalent = generator.equivalent()?;
    builder.remark(part, pulse.map_or_else(Vec::new, |pulse| pulse.remarks(generator.level)));
    let start = (builder.start != Start::Steady).then(|| generator.starts.unwrap_or(0.0));
    let waveform = waveform(generator.level, equivalent, start);
    builder.add_periods(&waveform);
    if matches!(equivalent.shape, Shape::Single(_) | Shape::Surge(_)) {
        builder.set_aperiodic(format!("generator `{}` gives a single pulse", part.name));
    }
    let (left, right) = builder.ends(part);
    let links = vec![Link::push(waveform), Link::resistance("resistance", equivalent.resistance)];
    let placed = builder.chain(part, left, right, links);
    let source = placed.first().and_then(|link| link.branches.first().copied());
    let lowered = builder.enter_chain(part, &placed);
    lowered.source = source;
    lowered.facts = equivalent.facts();
    Ok(())
}

/// The open-circuit voltage; `start` is the time in seconds of the first rise, `None` where pulses have come since ever.
fn waveform(level: f64, equivalent: Equivalent, start: Option<f64>) -> Waveform {
    let Equivalent { shape, rise, fall, .. } = equivalent;
    let begin = start.unwrap_or(0.0);
    match (shape, start) {
        (Shape::Level, None) => Waveform::Constant(level),
        (Shape::Level, Some(_)) => Waveform::Points(Points::new(vec![(begin, 0.0), (begin + rise, level)])),
        (Shape::Single(width), _) => Waveform::Points(Points::new(vec![
            (begin, 0.0),
            (begin + rise, level),
            (begin + width, level),
            (begin + width + fall, 0.0),
        ])),
        (Shape::Surge(pulse), _) => {
            let corners = pulse.corners().into_iter().map(|(time, share)| (begin + time, level * share));
            Waveform::Points(Points::new(corners.collect()))
        }
        (Shape::Train(width, period), _) => {
            Waveform::Pulse(Box::new(Pulse::new(PulseSettings { level, width, period, rise, fall, start })))
        }
    }
}

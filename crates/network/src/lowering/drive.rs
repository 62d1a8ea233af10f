//! A drive: the current that its motors draw.

use super::builder::Builder;
use super::required;
use crate::primitive::{Element, Term};
use crate::waveform::{self, DriveSettings, Points, Uneven, Waveform};
use language::description::{Part, Start, Value};
use parts::Mistake;
use parts::commutation::Odd;
use parts::drive::{Drive, Equivalent};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let drive = drive(part)?;
    let equivalent = drive.equivalent()?;
    let settings = settings(&drive, &equivalent, builder.start);
    let waveform = Waveform::Drive(Box::new(waveform::Drive::new(&settings)));
    builder.add_periods(&waveform);
    if drive.throttle.is_some() {
        builder.set_aperiodic(format!("the throttle of drive `{}` changes with time", part.name));
    }
    if equivalent.switches && drive.jitter.is_some_and(|jitter| jitter > 0.0) {
        builder.set_aperiodic(format!("the pulses of drive `{}` come with jitter", part.name));
    }
    let stalled = equivalent.stalled.unwrap_or_default();
    let turns = stalled.0 < equivalent.motors && drive.current > 0.0;
    let draws = drive.duty > 0.0 && (turns || stalled.1 > 0.0);
    let facts = equivalent.facts;
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let (left, right) = builder.ends(part);
    let branch = builder.branch(part, left, right, Element::CurrentSource(waveform));
    let lowered = builder.enter(part, vec![(1.0, Term::BranchCurrent(branch))]);
    lowered.source = Some(branch);
    lowered.facts = facts;
    lowered.limits.pwm = equivalent.switches.then_some(drive.pwm);
    let commutates = draws && turns;
    lowered.limits.commutation =
        equivalent.commutation.map(|(frequency, _)| frequency).filter(|_| commutates);
    Ok(())
}

fn drive(part: &Part) -> Result<Drive, Vec<Mistake>> {
    Ok(Drive {
        current: required(part, "current")?,
        motors: part.number("motors"),
        pwm: required(part, "pwm")?,
        duty: required(part, "duty")?,
        rise: part.number("rise"),
        fall: part.number("fall"),
        phase: part.number("phase"),
        stagger: part.number("stagger"),
        current_exponent: part.number("current_exponent"),
        ripple: part.number("ripple"),
        commutation: part.number("commutation"),
        commutation_depth: part.number("commutation_depth"),
        speed: part.number("rpm"),
        pole_pairs: part.number("pole_pairs"),
        bars: part.number("bars"),
        brushes: part.number("brushes"),
        imbalance: part.number("imbalance"),
        odd: odd(part),
        spread: part.number("spread"),
        stalled: part.number("stalled"),
        stall_current: part.number("stall_current"),
        jitter: part.number("jitter"),
        seed: part.number("seed"),
        throttle: throttle(part),
        starts: part.number("starts"),
    })
}

fn odd(part: &Part) -> Option<Odd> {
    match part.properties.get("imbalance_of")? {
        Value::Word(word) if word == "step" => Some(Odd::Step),
        Value::Word(_) => Some(Odd::Phase),
        _ => None,
    }
}

fn throttle(part: &Part) -> Option<Vec<(f64, f64)>> {
    match part.properties.get("throttle")? {
        Value::Points(points) => {
            Some(points.iter().map(|(time, factor)| (time.value, factor.value)).collect())
        }
        _ => None,
    }
}

fn settings(drive: &Drive, equivalent: &Equivalent, start: Start) -> DriveSettings {
    let starts = (start != Start::Steady).then(|| drive.starts.unwrap_or(0.0));
    DriveSettings {
        motors: equivalent.motors,
        current: drive.current,
        pwm: drive.pwm,
        duty: drive.duty,
        rise: equivalent.rise,
        fall: equivalent.fall,
        phase: drive.phase.unwrap_or(0.0),
        stagger: drive.stagger.unwrap_or(0.0),
        current_exponent: drive.current_exponent.unwrap_or(0.0),
        ripple: drive.ripple.unwrap_or(0.0),
        commutation: equivalent.commutation,
        uneven: equivalent.imbalance.map(|(every, extra)| Uneven { every, extra }),
        spread: drive.spread.unwrap_or(0.0),
        stalled: equivalent.stalled,
        jitter: drive.jitter.map(|jitter| (jitter, drive.seed.unwrap_or(1.0) as u64)),
        throttle: drive.throttle.clone().map(Points::new),
        starts,
    }
}

//! A transmitter: a steady load, and steps on top of it.

use super::builder::Builder;
use super::bursts::{Bursts, place};
use super::{load, required};
use language::description::Part;
use parts::Mistake;
use parts::transmitter::{Steps, Transmitter};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let transmitter = Transmitter {
        current: required(part, "current")?,
        step: part.number("step"),
        rate: part.number("rate"),
        video: load::video(part),
        step_duty: part.number("step_duty"),
        rise: part.number("rise"),
        fall: part.number("fall"),
        below: part.number("below"),
        input: load::input(part),
    };
    let equivalent = transmitter.equivalent()?;
    builder.assume(part, equivalent.assumptions);
    let bursts = equivalent.steps.map(|Steps { height, rate, duty, rise, fall }| Bursts {
        height,
        rate,
        duty,
        rise,
        fall,
    });
    place(part, equivalent.steady, bursts, equivalent.facts, builder);
    Ok(())
}

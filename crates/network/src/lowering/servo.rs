//! A servo: a steady load, and the bursts of its motor.

use super::builder::Builder;
use super::bursts::{Bursts, place};
use super::{load, required};
use language::description::{Part, Value};
use parts::Mistake;
use parts::servo::{Motion, Servo};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let servo = Servo {
        peak_current: required(part, "peak_current")?,
        idle_current: part.number("idle_current"),
        motion: motion(part),
        pulse_length: part.number("pulse_length"),
        frame_rate: part.number("frame_rate"),
        stall_current: part.number("stall_current"),
        rise: part.number("rise"),
        fall: part.number("fall"),
        input: load::input(part),
    };
    let equivalent = servo.equivalent()?;
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let bursts = Bursts {
        height: equivalent.burst,
        rate: equivalent.frame_rate,
        duty: equivalent.duty,
        rise: equivalent.rise,
        fall: equivalent.fall,
    };
    place(part, equivalent.steady, Some(bursts), equivalent.facts, builder);
    Ok(())
}

fn motion(part: &Part) -> Option<Motion> {
    match part.properties.get("motion")? {
        Value::Word(word) => Some(match word.as_str() {
            "holding" => Motion::Holding,
            "stalled" => Motion::Stalled,
            _ => Motion::Moving,
        }),
        _ => None,
    }
}

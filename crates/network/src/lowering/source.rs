//! An ideal source of voltage or current.

use super::builder::{Builder, Link};
use crate::primitive::{Element, Term};
use crate::waveform::{Points, Sine, Waveform};
use language::description::{Part, Value};
use parts::Mistake;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let (left, right) = builder.ends(part);
    if let Some(voltage) = part.properties.get("voltage") {
        let waveform = course(part, "voltage", voltage)?;
        look_for_changes(part, &waveform, builder);
        let placed = builder.chain(part, left, right, vec![Link::push(waveform)]);
        let source = placed.first().and_then(|link| link.branches.first().copied());
        builder.enter_chain(part, &placed).source = source;
        return Ok(());
    }
    let Some(current) = part.properties.get("current") else {
        return Err(wrong("current", "nothing says what it gives"));
    };
    let waveform = course(part, "current", current)?;
    look_for_changes(part, &waveform, builder);
    let branch = builder.branch(part, left, right, Element::CurrentSource(waveform));
    builder.enter(part, vec![(1.0, Term::BranchCurrent(branch))]).source = Some(branch);
    Ok(())
}

fn course(part: &Part, property: &'static str, value: &Value) -> Result<Waveform, Vec<Mistake>> {
    match value {
        Value::Number(quantity, _) => Ok(Waveform::Constant(quantity.value)),
        Value::Points(points) => Ok(Waveform::Points(Points::new(
            points.iter().map(|(time, level)| (time.value, level.value)).collect(),
        ))),
        Value::Word(_) => {
            let frequency = super::required(part, "frequency")?;
            let amplitude = super::required(part, "amplitude")?;
            let [offset, phase] = ["offset", "phase"].map(|name| part.number(name).unwrap_or(0.0));
            Ok(Waveform::Sine(Sine::new(offset, amplitude, frequency, phase, None)))
        }
        _ => Err(wrong(property, "it is neither a value nor points over time")),
    }
}

fn wrong(property: &'static str, message: &str) -> Vec<Mistake> {
    let help = "give `voltage 5 V`, `current 1 A`, or points such as `voltage [0 ms: 0 V, 1 ms: 5 V]`";
    vec![Mistake::new(property, message, help)]
}

fn look_for_changes(part: &Part, waveform: &Waveform, builder: &mut Builder) {
    builder.add_periods(waveform);
    if !waveform.is_periodic() {
        builder.set_aperiodic(format!("source `{}` changes with time", part.name));
    }
}

//! Loads that draw more for a part of each period: a steady law with a source of pulses beside it.

use super::builder::Builder;
use super::load;
use crate::primitive::{Element, Term};
use crate::waveform::{Drive, DriveSettings, Waveform};
use language::description::{Part, Start};
use parts::Fact;

/// Pulses of current that come on top of a steady load.
pub(super) struct Bursts {
    /// Height in ampere.
    pub(super) height: f64,
    /// Pulses a second in hertz.
    pub(super) rate: f64,
    /// Share of the time that they last.
    pub(super) duty: f64,
    /// Duration of a rising edge in seconds.
    pub(super) rise: f64,
    /// Duration of a falling edge in seconds.
    pub(super) fall: f64,
}

/// Puts the load and its pulses into the network.
pub(super) fn place(
    part: &Part,
    steady: parts::load::Equivalent,
    bursts: Option<Bursts>,
    facts: Vec<Fact>,
    builder: &mut Builder,
) {
    let pulses = bursts.map(|bursts| {
        let starts = (builder.start != Start::Steady).then(|| part.number("starts").unwrap_or(0.0));
        let Bursts { height, rate, duty, rise, fall } = bursts;
        let waveform = Waveform::Drive(Box::new(Drive::new(&DriveSettings {
            motors: 1,
            current: height,
            pwm: rate,
            duty,
            rise,
            fall,
            phase: part.number("phase").unwrap_or(0.0),
            starts,
            ..DriveSettings::default()
        })));
        builder.add_periods(&waveform);
        let (left, right) = builder.ends(part);
        let switches = duty > 0.0 && duty < 1.0;
        (builder.branch(part, left, right, Element::CurrentSource(waveform)), switches.then_some(rate))
    });
    let lowered = load::place(part, steady, builder);
    lowered.facts = facts;
    if let Some((branch, rate)) = pulses {
        lowered.current.push((1.0, Term::BranchCurrent(branch)));
        lowered.source = Some(branch);
        lowered.limits.pwm = rate;
    }
}

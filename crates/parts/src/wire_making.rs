//! What follows from a wire's length and size: its equivalent, its figures, and what to say of them.

use crate::Remark;
use crate::conductor::{
    internal_inductance, pair_capacitance, pair_inductance, pair_inductance_high_frequency,
    straight_inductance, straight_inductance_high_frequency,
};
use crate::conductor_current as current;
use crate::conductor_enamel::{overall_diameter, overall_diameter_of_gauge};
use crate::copper;
use crate::fact::Fact;
use crate::mistake::with_unit;
use crate::wire::{Equivalent, Wire};
use crate::wire_skin::{self, skin_depth};
use quantity::Dimension;
use std::f64::consts::PI;

/// Temperature in kelvin of the copper when a short circuit begins, where nothing is said.
const AMBIENT: f64 = 298.15;
/// From this length in metre on no small vehicle has a wire: judgement, no source.
const IMPLAUSIBLE_LENGTH: f64 = 100.0;
/// From this radius in metre on it is a bar, not a wire: judgement, no source.
const IMPLAUSIBLE_RADIUS: f64 = 10e-3;
/// Where copper's straight law is within 1 % of its resistance in tables (CRC Handbook, from memory), in kelvin.
const STRAIGHT_LAW: std::ops::RangeInclusive<f64> = 223.15..=423.15;
/// The formula for a pair leaves its ends out: a few per cent where the run is this many times its spacing (from memory).
const LONG_PAIR: f64 = 10.0;

/// Length and cross-section of one conductor.
pub(crate) struct Making {
    /// Length in metre, of the twisted wire where it is twisted.
    pub(crate) length: f64,
    /// Copper area in square metre.
    pub(crate) copper_area: f64,
    /// Radius in metre of the round outline.
    pub(crate) radius: f64,
}

impl Wire {
    pub(crate) fn made(&self, making: &Making) -> Equivalent {
        let Making { length, copper_area, .. } = *making;
        let mut assumptions = Vec::new();
        let conductors = if self.return_included { 2.0 } else { 1.0 };
        let per_metre = self.resistance_per_metre(copper_area, &mut assumptions);
        let resistance = self.resistance.unwrap_or(conductors * per_metre * length);
        let inductance = self.inductance.unwrap_or_else(|| match self.spacing {
            Some(spacing) => pair_inductance(length, making.radius, spacing),
            None => straight_inductance(length, making.radius),
        });
        if self.inductance.is_none() && self.spacing.is_some() && !self.return_included {
            assumptions.push(format!(
                "the loop inductance of the pair, {}, is all in this wire; draw its return with resistance alone",
                with_unit(inductance, "H")
            ));
        }
        let mut equivalent = Equivalent {
            resistance,
            inductance,
            most_current: Some(current::most(copper_area)),
            mass: Some(copper::DENSITY * copper_area * conductors * length),
            facts: self.facts(making, conductors, resistance, inductance),
            remarks: self.remarks(making),
            assumptions,
            ..Equivalent::default()
        };
        if self.skin_effect {
            self.add_skin_effect(&mut equivalent, per_metre, conductors * length);
        }
        equivalent
    }

    /// Resistance in ohm of a metre of one conductor.
    fn resistance_per_metre(&self, copper_area: f64, assumptions: &mut Vec<String>) -> f64 {
        let temperature = self.temperature.unwrap_or(copper::REFERENCE_TEMPERATURE);
        let tabulated = self.class.and_then(|class| class.resistance_per_metre(copper_area));
        if self.resistance.is_none() {
            match (tabulated, self.temperature) {
                (Some(_), None) => {
                    assumptions.push("greatest resistance that IEC 60228 allows, at 20 degC".to_owned());
                }
                (Some(_), Some(_)) => {
                    assumptions.push("greatest resistance that IEC 60228 allows".to_owned());
                }
                (None, None) => assumptions.push("annealed copper at 20 degC".to_owned()),
                (None, Some(_)) => {}
            }
        }
        match tabulated {
            Some(at_20) => at_20 * copper::resistance(1.0, 1.0, temperature) / copper::RESISTIVITY,
            None => copper::resistance(1.0, copper_area, temperature),
        }
    }

    /// Takes the inductance inside the copper out and puts the ladder in its place.
    fn add_skin_effect(&self, equivalent: &mut Equivalent, per_metre: f64, length: f64) {
        let ladder = wire_skin::ladder(per_metre, length);
        // The loop inductance of a pair whose return is drawn apart has the return's inside too, which stays as it is.
        equivalent.inductance += ladder.inductance - internal_inductance(length);
        equivalent.assumptions.push(format!(
            "skin effect by {} steps, within 1 % of the exact law of a round conductor up to {}; how its neighbour crowds the current is left out",
            ladder.sections.len(),
            with_unit(ladder.up_to.min(wire_skin::DESIGN_FREQUENCY), "Hz")
        ));
        equivalent.sections = ladder.sections;
    }

    fn facts(&self, making: &Making, conductors: f64, resistance: f64, inductance: f64) -> Vec<Fact> {
        let Making { length, copper_area, radius } = *making;
        let at_high_frequency = match self.spacing {
            Some(spacing) => pair_inductance_high_frequency(length, radius, spacing),
            None => straight_inductance_high_frequency(length, radius),
        };
        let temperature = self.temperature.unwrap_or(AMBIENT);
        let within = |time: f64| current::fusing_within(copper_area, time, temperature);
        let copper_temperature = self.temperature.unwrap_or(copper::REFERENCE_TEMPERATURE);
        let bare = 2.0 * (copper_area / std::f64::consts::PI).sqrt();
        let mut facts = vec![
            Fact::new("resistance", resistance, Dimension::RESISTANCE),
            Fact::new("inductance", inductance, Dimension::INDUCTANCE),
            Fact::new("inductance_high_frequency", at_high_frequency, Dimension::INDUCTANCE),
            Fact::new("area", copper_area, Dimension::AREA),
            Fact::new("diameter", bare, Dimension::LENGTH),
            Fact::new("wire_length", conductors * length, Dimension::LENGTH),
        ];
        if let Some(run) = self.length.filter(|run| self.pitch.is_some() && *run > 0.0) {
            facts.push(Fact::new("length_per_run", length / run, Dimension::NONE));
        }
        if let Some(overall) = self.enamel.and_then(|grade| match self.gauge {
            Some(gauge) => overall_diameter_of_gauge(gauge, bare, grade),
            None => overall_diameter(bare, grade),
        }) {
            facts.push(Fact::new("overall_diameter", overall, Dimension::LENGTH));
        }
        if let Some(spacing) = self.spacing.filter(|&spacing| spacing > 2.0 * radius) {
            let capacitance = pair_capacitance(length, radius, spacing);
            facts.push(Fact::new("capacitance_in_air", capacitance, Dimension::CAPACITANCE));
        }
        facts.extend([
            Fact::new("skin_depth_at_1_megahertz", skin_depth(copper_temperature, 1e6), Dimension::LENGTH),
            Fact::new("continuous_current", current::continuous(copper_area), Dimension::CURRENT),
            Fact::new("maximum_current", current::most(copper_area), Dimension::CURRENT),
            Fact::new("fusing_current", current::fusing(copper_area), Dimension::CURRENT),
            Fact::new("fusing_current_in_100_ms", within(0.1), Dimension::CURRENT),
            Fact::new("fusing_current_in_1_s", within(1.0), Dimension::CURRENT),
            Fact::new("fusing_current_in_5_s", within(5.0), Dimension::CURRENT),
        ]);
        if let Some(time) = self.overload_time {
            facts.push(Fact::new("fusing_current_in_overload_time", within(time), Dimension::CURRENT));
        }
        facts
    }

    fn remarks(&self, making: &Making) -> Vec<Remark> {
        let mut remarks = Vec::new();
        let run = self.length.unwrap_or(0.0);
        if self.inductance.is_none() && self.spacing.is_none() && run > 0.0 {
            remarks.push(Remark::new("wire_without_spacing", WITHOUT_SPACING));
        }
        if making.radius > IMPLAUSIBLE_RADIUS {
            remarks.push(Remark::new(
                "wire_implausible",
                format!(
                    "its copper is {} thick, more than any small vehicle needs; check the unit of its size",
                    with_unit(2.0 * making.radius, "m")
                ),
            ));
        }
        if let Some(grade) = self.enamel
            && overall_diameter(2.0 * (making.copper_area / std::f64::consts::PI).sqrt(), grade).is_none()
        {
            remarks.push(Remark::new(
                "wire_outside_range",
                "the table of enamelled wire (IEC 60317-0-1) goes from 0.05 mm to 5 mm of bare diameter",
            ));
        }
        if run > IMPLAUSIBLE_LENGTH {
            remarks.push(Remark::new(
                "wire_implausible",
                format!(
                    "it is {} long, more than any small vehicle holds; check the unit of `length`",
                    with_unit(run, "m")
                ),
            ));
        }
        if self.inductance.is_none()
            && let Some(spacing) = self.spacing.filter(|spacing| run > 0.0 && LONG_PAIR * spacing > run)
        {
            remarks.push(Remark::new(
                "wire_outside_range",
                format!(
                    "the pair is {} long at a spacing of {}; the formula for its inductance leaves the ends out and is meant for runs of more than {LONG_PAIR} times the spacing",
                    with_unit(run, "m"),
                    with_unit(spacing, "m")
                ),
            ));
        }
        if let Some(kelvin) = self.temperature.filter(|kelvin| !STRAIGHT_LAW.contains(kelvin)) {
            remarks.push(Remark::new(
                "wire_outside_range",
                format!(
                    "it is at {:.0} degC; copper's resistance follows the straight law of IEC 60028 within 1 % from -50 degC to 150 degC only, and few insulations bear more",
                    kelvin - 273.15
                ),
            ));
        }
        if let Some(time) = self.overload_time.filter(|&time| time > current::LONGEST_SHORT_TIME) {
            remarks.push(Remark::new(
                "wire_outside_range",
                format!(
                    "an overload of {} lets heat flow off, which the formula of the fusing current within a time leaves out; it is meant for up to {}",
                    with_unit(time, "s"),
                    with_unit(current::LONGEST_SHORT_TIME, "s")
                ),
            ));
        }
        if let Some(pitch) = self.pitch.filter(|pitch| *pitch < 2.0 * std::f64::consts::PI * making.radius) {
            remarks.push(Remark::new(
                "wire_implausible",
                format!(
                    "a pitch of {} is too tight for conductors of {}; it is the length of one full turn",
                    with_unit(pitch, "m"),
                    with_unit(2.0 * making.radius, "m")
                ),
            ));
        }
        // One that is too tight for its conductors is told already.
        let tight =
            |(pitch, spacing): &(f64, f64)| *pitch < PI * spacing && *pitch >= 2.0 * PI * making.radius;
        if let Some((pitch, spacing)) = self.pitch.zip(self.spacing).filter(tight) {
            remarks.push(Remark::new(
                "wire_outside_range",
                format!(
                    "a pitch of {} is tighter than {}, where conductors {} apart climb at 45 degrees: the loop inductance is that of a straight pair as long as the wire, too much for so tight a twist",
                    with_unit(pitch, "m"),
                    with_unit(PI * spacing, "m"),
                    with_unit(spacing, "m")
                ),
            ));
        }
        remarks
    }
}

const WITHOUT_SPACING: &str = "no `spacing` is given, so the inductance is that of a straight wire far from its return, \
     usually two or three times too much; give the distance between this wire and its return";

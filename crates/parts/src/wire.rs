//! A wire: its resistance and inductance, stated or from its making.

use crate::Remark;
use crate::conductor::{area, gauge_diameter, twist_factor};
use crate::conductor_class::{self, Class};
use crate::conductor_enamel::Grade;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::wire_making::Making;
use crate::wire_skin::Section;

/// Share of a bundle's round cross-section that is copper: seven strands, six around one.
const BUNDLE_FILL: f64 = 7.0 / 9.0;

/// What is said of a wire.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wire {
    /// Resistance in ohm; stands before what follows from the making.
    pub resistance: Option<f64>,
    /// Inductance in henry; stands before what follows from the making.
    pub inductance: Option<f64>,
    /// Length of the run in metre.
    pub length: Option<f64>,
    /// American wire gauge number; with strands, that of the solid wire of the same copper.
    pub gauge: Option<f64>,
    /// Copper area of one conductor in square metre, all strands together.
    pub area: Option<f64>,
    /// Copper diameter in metre; with strands, that of one strand.
    pub diameter: Option<f64>,
    /// Number of strands of one conductor.
    pub strands: Option<f64>,
    /// Temperature in kelvin, 20 °C where not given.
    pub temperature: Option<f64>,
    /// How the conductor is built; then resistance is that of the standard's table for its nominal area.
    pub class: Option<Class>,
    /// Distance in metre between the centres of this conductor and its return.
    pub spacing: Option<f64>,
    /// Length in metre of one full turn of a twisted pair.
    pub pitch: Option<f64>,
    /// Enamel of a round wire, for its thickness.
    pub enamel: Option<Grade>,
    /// Whether resistance and inductance follow frequency.
    pub skin_effect: bool,
    /// How long in seconds an overload lasts, for the current that melts the wire within it.
    pub overload_time: Option<f64>,
    /// Whether the return conductor's resistance is part of this one.
    pub return_included: bool,
}

/// The electrical equivalent of a wire: resistance and inductance in series.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Equivalent {
    /// Resistance in ohm, at direct current.
    pub resistance: f64,
    /// Inductance in henry; with skin effect, what is left of it at the greatest frequency.
    pub inductance: f64,
    /// What the skin effect adds, in series; nothing where it is left out.
    pub sections: Vec<Section>,
    /// Greatest current in ampere by the rule of thumb, where the size is known.
    pub most_current: Option<f64>,
    /// Mass of the copper in kilogram, where length and size are given.
    pub mass: Option<f64>,
    /// What length and size come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// What the user should know.
    pub remarks: Vec<Remark>,
}

impl Wire {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("resistance", self.resistance);
        checks.not_negative("inductance", self.inductance);
        checks.not_negative("length", self.length);
        checks.positive("area", self.area);
        checks.positive("diameter", self.diameter);
        checks.positive("spacing", self.spacing);
        checks.positive("pitch", self.pitch);
        checks.positive("overload_time", self.overload_time);
        checks.whole("strands", self.strands);
        self.check_gauge(&mut checks);
        self.check_temperature(&mut checks);
        self.check_making(&mut checks);
        self.check_class(&mut checks);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let Some((length, copper_area)) = self.length.zip(self.copper_area()) else {
            return Ok(self.stated());
        };
        let radius = self.radius(copper_area);
        if let Some(spacing) = self.spacing.filter(|&spacing| spacing < 2.0 * radius * (1.0 - 1e-9)) {
            return Err(vec![Mistake::new(
                "spacing",
                format!(
                    "`spacing` is {}, less than the {} that each conductor is thick",
                    with_unit(spacing, "m"),
                    with_unit(2.0 * radius, "m")
                ),
                "spacing is measured from centre to centre: conductor diameter plus insulation, at least",
            )]);
        }
        Ok(self.made(&Making { length: self.run_length(length), copper_area, radius }))
    }

    /// Nothing but what is stated: the rest is zero.
    fn stated(&self) -> Equivalent {
        Equivalent {
            resistance: self.resistance.unwrap_or(0.0),
            inductance: self.inductance.unwrap_or(0.0),
            ..Equivalent::default()
        }
    }

    /// Length of one conductor of a run of `length` in metre: a twisted one takes more.
    fn run_length(&self, length: f64) -> f64 {
        length * self.spacing.zip(self.pitch).map_or(1.0, |(spacing, pitch)| twist_factor(spacing, pitch))
    }

    fn copper_area(&self) -> Option<f64> {
        let strands = self.strands.unwrap_or(1.0);
        self.area
            .or_else(|| self.gauge.map(|number| area(gauge_diameter(number))))
            .or_else(|| self.diameter.map(|diameter| strands * area(diameter)))
    }

    /// Radius in metre of the round outline of the copper.
    fn radius(&self, copper_area: f64) -> f64 {
        let bundle = self.strands.unwrap_or(1.0) > 1.0 || self.class.is_some_and(|class| !class.is_solid());
        let fill = if bundle { BUNDLE_FILL } else { 1.0 };
        (copper_area / (fill * std::f64::consts::PI)).sqrt()
    }

    fn check_gauge(&self, checks: &mut Checks) {
        if let Some(number) = self.gauge.filter(|number| !(-3.0..=56.0).contains(number)) {
            checks.add(
                "gauge",
                format!("there is no {number} AWG: gauges go from -3 (4/0) to 56"),
                "give the area in mm2 or the diameter in mm instead",
            );
        }
    }

    fn check_temperature(&self, checks: &mut Checks) {
        // Outside, resistance is no longer linear in temperature (from memory: IEC 60028 states its law near 20 degC only).
        if let Some(kelvin) = self.temperature.filter(|kelvin| !(73.15..=573.15).contains(kelvin)) {
            checks.add(
                "temperature",
                format!(
                    "`temperature` is {:.0} degC, where copper's linear law no longer holds",
                    kelvin - 273.15
                ),
                "give a temperature from -200 degC to 300 degC",
            );
        }
    }

    fn check_class(&self, checks: &mut Checks) {
        let Some(class) = self.class else { return };
        let Some(area) = self.area else {
            checks.add(
                "conductor",
                "`conductor` needs the nominal area that the standard's table goes by",
                "give `area`, such as `area 0.75 mm2`",
            );
            return;
        };
        if class.resistance_per_metre(area).is_none() {
            let sizes: Vec<String> = conductor_class::sizes().map(shown).collect();
            checks.add(
                "area",
                format!("IEC 60228 has no conductor of {} mm2", shown(area * 1e6)),
                format!("give one of its sizes ({} mm2), or leave `conductor` out", sizes.join(", ")),
            );
        }
    }

    fn check_making(&self, checks: &mut Checks) {
        let sections = [self.gauge, self.area, self.diameter].into_iter().flatten().count();
        if sections > 1 {
            checks.add(
                "area",
                "the cross-section is given more than once",
                "keep one of `gauge`, `area` and `diameter`",
            );
        }
        let stated = self.resistance.is_some() || self.inductance.is_some();
        if self.length.is_some() && sections == 0 && !(self.resistance.is_some() && self.inductance.is_some())
        {
            checks.add(
                "length",
                "a wire given by its length needs its cross-section too",
                "add `gauge 20 AWG`, `area 0.5 mm2` or `diameter 0.8 mm`",
            );
        }
        if self.length.is_none() && !stated {
            checks.add(
                "length",
                "nothing says how long this wire is",
                "give `length` with `gauge`, `area` or `diameter`; or `resistance`, with `inductance` where it matters",
            );
        }
    }
}

#[cfg(test)]
#[path = "wire_tests.rs"]
mod tests;

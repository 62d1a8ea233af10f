//! A wire: its resistance and inductance, stated or from its making.

use crate::conductor::{area, gauge_diameter, pair_inductance, straight_inductance};
use crate::copper;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use quantity::Dimension;

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
    /// Distance in metre between the centres of this conductor and its return.
    pub spacing: Option<f64>,
    /// Whether the return conductor's resistance is part of this one.
    pub return_included: bool,
}

/// The electrical equivalent of a wire: resistance and inductance in series.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Resistance in ohm.
    pub resistance: f64,
    /// Inductance in henry.
    pub inductance: f64,
    /// Mass of the copper in kilogram, where length and size are given.
    pub mass: Option<f64>,
    /// What length and size come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Whether the inductance is a lone wire's because no spacing was given.
    pub without_spacing: bool,
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
        checks.whole("strands", self.strands);
        self.check_gauge(&mut checks);
        self.check_temperature(&mut checks);
        self.check_making(&mut checks);
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
        Ok(self.made(length, copper_area, radius))
    }

    /// Nothing but what is stated: the rest is zero.
    fn stated(&self) -> Equivalent {
        Equivalent {
            resistance: self.resistance.unwrap_or(0.0),
            inductance: self.inductance.unwrap_or(0.0),
            mass: None,
            facts: Vec::new(),
            assumptions: Vec::new(),
            without_spacing: false,
        }
    }

    fn made(&self, length: f64, copper_area: f64, radius: f64) -> Equivalent {
        let mut assumptions = Vec::new();
        let conductors = if self.return_included { 2.0 } else { 1.0 };
        let temperature = self.temperature.unwrap_or(copper::REFERENCE_TEMPERATURE);
        let resistance = self.resistance.unwrap_or_else(|| {
            if self.temperature.is_none() {
                assumptions.push("annealed copper at 20 degC".to_owned());
            }
            conductors * copper::resistance(length, copper_area, temperature)
        });
        let inductance = self.inductance.unwrap_or_else(|| match self.spacing {
            Some(spacing) => pair_inductance(length, radius, spacing),
            None => straight_inductance(length, radius),
        });
        if self.inductance.is_none() && self.spacing.is_some() && !self.return_included {
            assumptions.push(format!(
                "the loop inductance of the pair, {}, is all in this wire; draw its return with resistance alone",
                with_unit(inductance, "H")
            ));
        }
        let without_spacing = self.inductance.is_none() && self.spacing.is_none() && length > 0.0;
        let wire_length = conductors * length;
        let facts = vec![
            Fact::new("resistance", resistance, Dimension::RESISTANCE),
            Fact::new("inductance", inductance, Dimension::INDUCTANCE),
            Fact::new("area", copper_area, Dimension::AREA),
            Fact::new("wire_length", wire_length, Dimension::LENGTH),
        ];
        let mass = Some(copper::DENSITY * copper_area * wire_length);
        Equivalent { resistance, inductance, mass, facts, assumptions, without_spacing }
    }

    fn copper_area(&self) -> Option<f64> {
        let strands = self.strands.unwrap_or(1.0);
        self.area
            .or_else(|| self.gauge.map(|number| area(gauge_diameter(number))))
            .or_else(|| self.diameter.map(|diameter| strands * area(diameter)))
    }

    /// Radius in metre of the round outline of the copper.
    fn radius(&self, copper_area: f64) -> f64 {
        let fill = if self.strands.unwrap_or(1.0) > 1.0 { BUNDLE_FILL } else { 1.0 };
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
mod tests {
    use super::*;

    fn close(found: f64, expected: f64, tolerance: f64) {
        assert!((found / expected - 1.0).abs() < tolerance, "{found} is not {expected}");
    }

    fn metre() -> Wire {
        Wire { length: Some(1.0), gauge: Some(20.0), ..Wire::default() }
    }

    #[test]
    fn resistance_a_metre_of_gauges() {
        // ASTM B258 diameters with IEC 60028 copper.
        close(metre().equivalent().unwrap().resistance, 33.309e-3, 2e-4);
        let fourteen = Wire { gauge: Some(14.0), ..metre() };
        close(fourteen.equivalent().unwrap().resistance, 8.2855e-3, 2e-4);
        let hot = Wire { temperature: Some(353.15), ..metre() };
        close(hot.equivalent().unwrap().resistance, 41.163e-3, 2e-4);
    }

    #[test]
    fn return_doubles_the_resistance_and_not_the_loop() {
        let alone = Wire { spacing: Some(1.6e-3), ..metre() }.equivalent().unwrap();
        let both = Wire { spacing: Some(1.6e-3), return_included: true, ..metre() }.equivalent().unwrap();
        assert_eq!(both.resistance, 2.0 * alone.resistance);
        assert_eq!(both.inductance, alone.inductance);
        close(both.inductance, 648.65e-9, 1e-3);
        assert!(!both.without_spacing);
    }

    #[test]
    fn without_spacing_a_lone_wire() {
        let equivalent = metre().equivalent().unwrap();
        assert!(equivalent.without_spacing);
        close(equivalent.inductance, 1550.6e-9, 1e-3);
    }

    #[test]
    fn strands_leave_area_and_gauge_alone_and_count_for_diameter() {
        let solid = Wire { area: Some(2.5e-6), gauge: None, ..metre() };
        let flexible = Wire { strands: Some(50.0), ..solid };
        assert_eq!(solid.equivalent().unwrap().resistance, flexible.equivalent().unwrap().resistance);
        assert!(solid.equivalent().unwrap().inductance > flexible.equivalent().unwrap().inductance);
        let seven = Wire { diameter: Some(0.2e-3), strands: Some(7.0), gauge: None, ..metre() };
        let one = Wire { strands: None, ..seven };
        close(one.equivalent().unwrap().resistance / seven.equivalent().unwrap().resistance, 7.0, 1e-12);
    }

    #[test]
    fn stated_values_stand() {
        let link = Wire { resistance: Some(1e-3), ..Wire::default() }.equivalent().unwrap();
        assert_eq!((link.resistance, link.inductance), (1e-3, 0.0));
        let both = Wire { resistance: Some(1e-3), spacing: Some(1.6e-3), ..metre() }.equivalent().unwrap();
        assert_eq!(both.resistance, 1e-3);
        close(both.inductance, 648.65e-9, 1e-3);
    }

    #[test]
    fn every_contradiction_is_told() {
        let property = |wire: Wire| wire.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Wire::default()), "length");
        assert_eq!(property(Wire { gauge: None, ..metre() }), "length");
        assert_eq!(property(Wire { area: Some(1e-6), ..metre() }), "area");
        assert_eq!(property(Wire { spacing: Some(0.5e-3), ..metre() }), "spacing");
        assert_eq!(property(Wire { gauge: Some(99.0), ..metre() }), "gauge");
        assert_eq!(property(Wire { temperature: Some(20.0), ..metre() }), "temperature");
        let many = Wire { length: Some(-1.0), strands: Some(0.5), ..metre() };
        assert_eq!(many.equivalent().unwrap_err().len(), 2);
    }
}

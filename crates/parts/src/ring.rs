//! A coil from its making: turns of wire on a ring core.

use crate::conductor::MU_0;
use crate::core_material::CoreMaterial;
use crate::fact::Fact;
use crate::mistake::{Mistake, shown, with_unit};
use crate::range::Ranges;
use crate::remark::Remark;
use crate::saturation_curve::SaturationCurve;
use quantity::Dimension;
use std::f64::consts::TAU;

mod checks;
mod effective;
mod wound;

pub use effective::Effective;

/// Temperature in kelvin of a core where none is given.
const ROOM: f64 = 298.15;

/// Amplitude of flux density in tesla at which losses are taken where none is given: some milliampere of ripple in a filter's coil, own
/// choice.
const LOSS_AMPLITUDE: f64 = 10e-3;

/// Widest gap, as a share of the side of a square of the core's area: there the bulging field adds about a tenth (from memory).
const WIDEST_GAP: f64 = 0.1;

/// Frequencies in hertz and greatest flux density in tesla that the law of losses is used for: a decade or so from where it is fitted.
const LOSS_FREQUENCIES: [f64; 2] = [5e3, 1e6];
/// See [`LOSS_FREQUENCIES`].
const LOSS_MOST_FLUX_DENSITY: f64 = 0.3;

/// Temperature in kelvin from which a class' flux density is used: makers' curves begin at -40 °C (from memory).
const COLDEST: f64 = 233.15;

/// What is said of a ring and its winding. Lengths in metre.
///
/// The inductance takes `al` and `turns`, a test winding and `turns`, or `permeability`, the ring and `turns`; saturation takes
/// `flux_density_limit` or `material`, the ring and `turns`; resistance takes `wire_diameter`, the ring and `turns`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ring {
    /// Outer diameter of the core.
    pub outer: Option<f64>,
    /// Inner diameter of the core.
    pub inner: Option<f64>,
    /// Height of the core.
    pub height: Option<f64>,
    /// Width of a gap across the ring.
    pub gap: Option<f64>,
    /// Inductance factor in henry a turn squared; stands before `permeability`.
    pub al: Option<f64>,
    /// Turns of a test winding …
    pub test_turns: Option<f64>,
    /// … and its measured inductance in henry.
    pub test_inductance: Option<f64>,
    /// Relative initial permeability.
    pub permeability: Option<f64>,
    /// Inductance in henry of the finished coil, where it is stated.
    pub inductance: Option<f64>,
    /// Number of turns.
    pub turns: Option<f64>,
    /// Diameter of the wire's copper.
    pub wire_diameter: Option<f64>,
    /// Flux density in tesla at which the core saturates.
    pub flux_density_limit: Option<f64>,
    /// Class of the core's material.
    pub material: Option<CoreMaterial>,
    /// Temperature of core and winding in kelvin.
    pub temperature: Option<f64>,
    /// Frequency in hertz for which the core's losses become a resistance.
    pub loss_frequency: Option<f64>,
    /// Amplitude of flux density in tesla for which they do.
    pub loss_flux_density: Option<f64>,
    /// Whether saturation is stated otherwise, so that the material's flux density is not asked for.
    pub saturation_stated: bool,
}

/// What follows for the coil.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Equivalent {
    /// Inductance at zero current in henry, where something gives it.
    pub inductance: Option<f64>,
    /// Flux linkage of the saturated core in weber, where a flux density limit is known.
    pub saturation_flux: Option<f64>,
    /// Shape of the material's saturation.
    pub curve: Option<SaturationCurve>,
    /// Share of the inductance that the winding keeps without the core, where its permeability is known.
    pub air_share: Option<f64>,
    /// Flux linkage a flux density, turns times area, in square metre.
    pub linked_area: Option<f64>,
    /// Resistance of the winding in ohm at its temperature, where the wire is given.
    pub dcr: Option<f64>,
    /// Capacitance of the winding in farad by an estimate, where the wire is given.
    pub winding_capacitance: Option<f64>,
    /// Resistance in ohm across the inductance that loses what the core does, where a frequency is given.
    pub loss_resistance: Option<f64>,
    /// Length of wire in metre without the ends, where the wire is given.
    pub wire_length: Option<f64>,
    /// Turns that one layer holds, where the wire is given.
    pub turns_in_one_layer: Option<f64>,
    /// Mass of core and wire in kilogram, where both are known.
    pub mass: Option<f64>,
    /// Remarks on a winding that is hard to make, and on what does not fit the material.
    pub remarks: Vec<Remark>,
    /// What follows from the making, as sentences.
    pub assumptions: Vec<String>,
    /// What follows from it, as figures.
    pub facts: Vec<Fact>,
}

impl Ring {
    /// Whether anything of a ring is said.
    #[must_use]
    pub fn is_given(&self) -> bool {
        *self != Self::default()
    }

    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        self.check()?;
        let turns = self.turns.unwrap_or(1.0);
        let tested = self.test_turns.zip(self.test_inductance).map(|(turns, henry)| henry / (turns * turns));
        let factor = self.al.or(tested);
        let mut equivalent =
            Equivalent { inductance: factor.map(|factor| factor * turns * turns), ..Equivalent::default() };
        equivalent.curve = self.material.map(CoreMaterial::curve);
        if let Some(effective) = self.effective() {
            self.magnetise(&mut equivalent, &effective, turns)?;
        } else if let Some(material) = self.material {
            equivalent.remarks.extend(material.remarks(
                self.permeability,
                self.flux_density_limit,
                self.temperature,
            ));
        }
        equivalent
            .facts
            .extend(equivalent.inductance.map(|henry| Fact::new("inductance", henry, Dimension::INDUCTANCE)));
        equivalent.facts.extend(
            factor
                .or(self
                    .turns
                    .zip(self.inductance.or(equivalent.inductance))
                    .map(|(turns, henry)| henry / (turns * turns)))
                .map(|factor| Fact::new("inductance_factor", factor, Dimension::INDUCTANCE)),
        );
        self.wind(&mut equivalent, turns).map_err(|mistake| vec![mistake])?;
        equivalent.assumptions.extend(made(&equivalent));
        Ok(equivalent)
    }

    fn effective(&self) -> Option<Effective> {
        Some(Effective::of_ring(self.outer?, self.inner?, self.height?))
    }

    /// Adds what follows from the core.
    fn magnetise(
        &self,
        equivalent: &mut Equivalent,
        effective: &Effective,
        turns: f64,
    ) -> Result<(), Vec<Mistake>> {
        let apparent = self.permeability.map(|of_core| effective.gapped(of_core, self.gap.unwrap_or(0.0)));
        let by_material = apparent.map(|permeability| MU_0 * permeability / effective.c1 * turns * turns);
        equivalent.inductance = equivalent.inductance.or(by_material);
        // What the inductance implies, where it was measured.
        let inductance = self.inductance.or(equivalent.inductance).filter(|_| self.turns.is_some());
        let implied = inductance.map(|henry| henry * effective.c1 / (MU_0 * turns * turns));
        let of_core = self.permeability.or(implied.filter(|_| self.gap.is_none()));
        self.remark_permeability(equivalent, of_core);
        self.remark_ranges(equivalent, effective);
        equivalent.air_share = apparent.or(implied).map(|permeability| 1.0 / permeability.max(1.0));
        let linked_area = self.turns.map(|turns| turns * effective.area());
        equivalent.linked_area = linked_area;
        let limit = self.full_at(equivalent, of_core).map_err(|mistake| vec![mistake])?;
        equivalent.saturation_flux = limit.zip(linked_area).map(|(limit, area)| limit * area);
        let facts = [
            implied.or(apparent).map(|value| Fact::plain("permeability", value)),
            limit.map(|value| Fact::new("flux_density_limit", value, Dimension::FLUX_DENSITY)),
            Some(Fact::new("effective_length", effective.length(), Dimension::LENGTH)),
            Some(Fact::new("effective_area", effective.area(), Dimension::AREA)),
        ];
        equivalent.facts.extend(facts.into_iter().flatten());
        self.lose(equivalent, effective, of_core);
        Ok(())
    }

    fn remark_permeability(&self, equivalent: &mut Equivalent, of_core: Option<f64>) {
        if let Some(material) = self.material {
            equivalent.remarks.extend(material.remarks(of_core, self.flux_density_limit, self.temperature));
        } else if let Some(value) = of_core.filter(|value| !(3.0..=20_000.0).contains(value)) {
            equivalent.remarks.push(Remark::new(
                "permeability_unlike_material",
                format!(
                    "the ring's size and inductance make a permeability of {}, but cores have 3 to 20000 (from memory); check the sizes, the turns and the measured inductance",
                    shown(value)
                ),
            ));
        }
    }

    /// Remarks on a gap, a temperature and a loss outside what their formulas were made for.
    fn remark_ranges(&self, equivalent: &mut Equivalent, effective: &Effective) {
        let mut ranges = Ranges::default();
        let widest = WIDEST_GAP * effective.area().sqrt();
        let bulges = "the field bulges out of a wider gap, which the reluctances of core and gap in series leave out, so the real coil has more";
        ranges.at_most("gap", self.gap, widest, "m", bulges);
        if self.material.is_some() {
            let fitted = "its law is fitted to 50 kHz and 100 kHz and goes astray far from there";
            ranges.at_least("loss_frequency", self.loss_frequency, LOSS_FREQUENCIES[0], "Hz", fitted);
            ranges.at_most("loss_frequency", self.loss_frequency, LOSS_FREQUENCIES[1], "Hz", fitted);
            let full = "its law is fitted to 0.09 T to 0.19 T, and a core near full loses far more";
            ranges.at_most("loss_flux_density", self.loss_flux_density, LOSS_MOST_FLUX_DENSITY, "T", full);
        }
        equivalent.remarks.extend(ranges.into_remarks());
        let cold = self.temperature.filter(|kelvin| self.material.is_some() && *kelvin < COLDEST);
        equivalent.remarks.extend(cold.map(|kelvin| {
            let text = format!(
                "`temperature` is {} degC, and the model is good from {} degC on: the flux density of its class is a straight line through 25 degC and 100 degC",
                shown(kelvin - 273.15),
                shown(COLDEST - 273.15)
            );
            Remark::new("outside_model_range", text)
        }));
    }

    /// Flux density in tesla at which the core is full: as stated, else the material's where nothing else says how it saturates.
    fn full_at(&self, equivalent: &mut Equivalent, of_core: Option<f64>) -> Result<Option<f64>, Mistake> {
        if self.flux_density_limit.is_some() || self.saturation_stated || self.turns.is_none() {
            return Ok(self.flux_density_limit);
        }
        let Some(material) = self.material else { return Ok(None) };
        let temperature = self.temperature.unwrap_or(ROOM);
        let limit = material.flux_density_limit(of_core, temperature);
        let celsius = shown(temperature - 273.15);
        if limit <= 0.0 {
            return Err(Mistake::new(
                "temperature",
                format!("at {celsius} degC the core has lost its magnetism"),
                "give a lower temperature; a coil without a core is given by `inductance` alone",
            ));
        }
        equivalent.assumptions.push(format!(
            "its core is full at {}, as others of its class at {celsius} degC",
            with_unit(limit, "T")
        ));
        Ok(Some(limit))
    }

    /// Adds the resistance that loses as much as the core at the stated frequency and amplitude: the voltage of a sine of the flux density B
    /// across N turns is `2 pi f N A B`, its mean square over the loss of the core's volume the resistance.
    fn lose(&self, equivalent: &mut Equivalent, effective: &Effective, of_core: Option<f64>) {
        let (Some(frequency), Some(material), Some(linked)) =
            (self.loss_frequency, self.material, equivalent.linked_area)
        else {
            return;
        };
        let amplitude = self.loss_flux_density.unwrap_or_else(|| {
            equivalent.assumptions.push(format!(
                "core losses as of a flux density of {} at {}",
                with_unit(LOSS_AMPLITUDE, "T"),
                with_unit(frequency, "Hz")
            ));
            LOSS_AMPLITUDE
        });
        let power = material.loss(of_core, frequency, amplitude) * effective.volume();
        let voltage = TAU * frequency * linked * amplitude;
        let resistance = voltage * voltage / 2.0 / power;
        equivalent.loss_resistance = Some(resistance);
        equivalent.facts.push(Fact::new("loss_resistance", resistance, Dimension::RESISTANCE));
    }
}

/// What the making gives, in one sentence.
fn made(equivalent: &Equivalent) -> Option<String> {
    let inductance = equivalent.inductance.map(|henry| with_unit(henry, "H"));
    let resistance = equivalent.dcr.map(|ohm| with_unit(ohm, "ohm"));
    let wire = equivalent.wire_length.map(|metre| format!("{} of wire", with_unit(metre, "m")));
    let given: Vec<String> = [inductance, resistance, wire].into_iter().flatten().collect();
    (!given.is_empty()).then(|| format!("from the ring and its winding: {}", given.join(", ")))
}

#[cfg(test)]
mod tests;

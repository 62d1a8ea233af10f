//! What follows from the wire on a ring.

use super::{Equivalent, Ring};
use crate::conductor::area;
use crate::copper;
use crate::fact::Fact;
use crate::mistake::{Mistake, shown};
use crate::remark::Remark;
use crate::winding::{
    enamelled_diameter, layer_capacitance, layers, turn_length, turn_to_turn_capacitance, turns_in_one_layer,
};
use quantity::Dimension;
use std::f64::consts::PI;

/// Density of a core in kilogram a cubic metre where no material is given: a ferrite's (from memory).
const CORE_DENSITY: f64 = 4800.0;

impl Ring {
    /// Adds what follows from the wire.
    pub(super) fn wind(&self, equivalent: &mut Equivalent, turns: f64) -> Result<(), Mistake> {
        let (Some(outer), Some(inner), Some(height)) = (self.outer, self.inner, self.height) else {
            return Ok(());
        };
        // The solid ring, not its effective volume.
        let density = self.material.map_or(CORE_DENSITY, |material| material.density(self.permeability));
        let core_mass = PI / 4.0 * (outer * outer - inner * inner) * height * density;
        equivalent.facts.push(Fact::new("core_mass", core_mass, Dimension::MASS));
        let Some(bare) = self.wire_diameter else { return Ok(()) };
        let overall = enamelled_diameter(bare);
        if overall >= inner {
            return Err(Mistake::new(
                "wire_diameter",
                "the wire is thicker than the hole of the ring",
                "take a thinner wire or a larger ring",
            ));
        }
        let layers = layers(inner, overall, turns)?;
        let one_layer = turns_in_one_layer(inner, overall);
        if layers.len() > 1 {
            let text = format!(
                "{} turns need {} layers, for one holds {}: the real winding has more capacitance than is estimated here",
                shown(turns),
                layers.len(),
                shown(one_layer)
            );
            equivalent.remarks.push(Remark::new("more_than_one_layer", text));
        }
        let length_of = |layer| turn_length(outer, inner, height, overall, layer);
        let length: f64 = layers.iter().enumerate().map(|(layer, turns)| turns * length_of(layer)).sum();
        let temperature = self.temperature.unwrap_or(copper::REFERENCE_TEMPERATURE);
        let dcr = copper::resistance(length, area(bare), temperature);
        let wire_mass = copper::DENSITY * area(bare) * length;
        equivalent.dcr = Some(dcr);
        equivalent.wire_length = Some(length);
        equivalent.turns_in_one_layer = Some(one_layer);
        equivalent.mass = Some(core_mass + wire_mass);
        let capacitance = layer_capacitance(turns) * turn_to_turn_capacitance(length_of(0), bare, overall);
        equivalent.winding_capacitance = Some(capacitance);
        equivalent.facts.extend([
            Fact::new("wire_length", length, Dimension::LENGTH),
            Fact::new("dcr", dcr, Dimension::RESISTANCE),
            Fact::new("wire_mass", wire_mass, Dimension::MASS),
            Fact::plain("turns_in_one_layer", one_layer),
            Fact::plain("layers", layers.len() as f64),
        ]);
        Ok(())
    }
}

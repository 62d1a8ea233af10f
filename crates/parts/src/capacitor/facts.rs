//! What a capacitor's values come to.

use super::{Capacitor, Equivalent, LossModel, electrolytic};
use crate::fact::Fact;
use quantity::Dimension;
use std::f64::consts::TAU;

impl Capacitor {
    pub(super) fn facts(&self, equivalent: &Equivalent, capacitance: f64) -> Vec<Fact> {
        let mut facts = vec![
            Fact::new("capacitance", capacitance, Dimension::CAPACITANCE),
            Fact::new("esr", equivalent.esr, Dimension::RESISTANCE),
        ];
        let frequency = self.loss_frequency.unwrap_or(electrolytic::LOSS_FREQUENCY);
        if self.loss_model == LossModel::Series && equivalent.esr > 0.0 {
            let loss = TAU * frequency * capacitance * equivalent.esr;
            facts.push(Fact::new("loss_factor", loss, Dimension::NONE));
        }
        if let Some(resistance) = equivalent.leakage {
            facts.push(Fact::new("parallel_resistance", resistance, Dimension::RESISTANCE));
        }
        if equivalent.esl > 0.0 {
            let resonance = 1.0 / (TAU * (equivalent.esl * capacitance).sqrt());
            facts.push(Fact::new("self_resonance", resonance, Dimension::FREQUENCY));
        }
        if let Some(rated) = self.rated.filter(|_| !equivalent.law.is_linear()) {
            let left = equivalent.law.capacitance(rated);
            facts.push(Fact::new("capacitance_at_rated", left, Dimension::CAPACITANCE));
        }
        if let Some(surge) = equivalent.surge {
            facts.push(Fact::new("surge_voltage", surge, Dimension::VOLTAGE));
        }
        if let Some(dielectric) = self.dielectric {
            let (low, high) = dielectric.temperatures;
            let (loss, gain) = dielectric.change;
            facts.extend([
                Fact::new("lowest_temperature", low, Dimension::TEMPERATURE),
                Fact::new("highest_temperature", high, Dimension::TEMPERATURE),
                Fact::new("least_change", loss, Dimension::NONE),
                Fact::new("greatest_change", gain, Dimension::NONE),
                Fact::new("least_capacitance", capacitance * (1.0 + loss), Dimension::CAPACITANCE),
                Fact::new("greatest_capacitance", capacitance * (1.0 + gain), Dimension::CAPACITANCE),
            ]);
        }
        if let Some(life) = equivalent.life.at(equivalent.life.surroundings) {
            facts.push(Fact::new("life_without_ripple", life, Dimension::TIME));
        }
        if let Some(rated) = self.ripple_rating {
            let heat = super::life::heating(rated, equivalent.esr);
            facts.push(Fact::new("heat_at_rated_ripple", heat, Dimension::POWER));
            let life = equivalent.life.at(equivalent.life.core(rated));
            facts.extend(life.map(|life| Fact::new("life_at_rated_ripple", life, Dimension::TIME)));
        }
        facts
    }
}

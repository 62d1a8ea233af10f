//! A battery: voltage, resistance, inductance and a slow pair in series.

use super::builder::{Builder, Link};
use crate::primitive::Element;
use crate::waveform::Waveform;
use language::description::Part;
use parts::Mistake;
use parts::battery::Battery;
use parts::charge_law::ChargeLaw;
use parts::chemistry::Chemistry;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let battery = Battery {
        emf: part.number("emf"),
        cells: part.number("cells"),
        parallel: part.number("parallel"),
        chemistry: chemistry(part)?,
        charge: part.number("charge"),
        resistance: part.number("resistance"),
        cell_resistance: part.number("cell_resistance"),
        inductance: part.number("inductance"),
        polarisation_resistance: part.number("polarisation_resistance"),
        polarisation_capacitance: part.number("polarisation_capacitance"),
    };
    let equivalent = battery.equivalent()?;
    let slow = equivalent.slow_pair.map_or_else(Vec::new, |(resistance, capacitance)| {
        vec![Element::Resistor(resistance), Element::Capacitor(ChargeLaw::Linear { capacitance })]
    });
    // A run that starts from rest has the voltage from t = 0 on: a constant.
    let links = vec![
        Link::push(Waveform::Constant(equivalent.voltage)),
        Link::resistance("resistance", equivalent.resistance),
        Link::inductance("inductance", equivalent.inductance),
        Link::new("slow", slow),
    ];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    let source = placed.first().and_then(|link| link.branches.first().copied());
    builder.enter_chain(part, &placed).source = source;
    Ok(())
}

fn chemistry(part: &Part) -> Result<Option<Chemistry>, Vec<Mistake>> {
    let Some(word) = part.word("chemistry") else { return Ok(None) };
    let known = Chemistry::from_word(word);
    known.map(Some).ok_or_else(|| {
        vec![Mistake::new(
            "chemistry",
            format!("there is no chemistry `{word}`"),
            format!("take one of {}; or give `emf`", Chemistry::WORDS.join(", ")),
        )]
    })
}

//! A battery: voltage, resistance, inductance and slow pairs in series.

use super::builder::{Builder, Link, Placed};
use crate::lowered::voltage_between;
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
        capacity: part.number("capacity"),
        discharge_rating: part.number("discharge_rating"),
        published: part.word("cell_model") == Some("published"),
        temperature: part.number("temperature"),
        wear: part.number("wear"),
        full_voltage: part.number("full_voltage"),
        charge_limit: part.number("charge_limit"),
        cutoff_voltage: part.number("cutoff_voltage"),
        polarisation_resistance: part.number("polarisation_resistance"),
        polarisation_capacitance: part.number("polarisation_capacitance"),
        polarisation_resistance_2: part.number("polarisation_resistance_2"),
        polarisation_capacitance_2: part.number("polarisation_capacitance_2"),
    };
    let equivalent = battery.equivalent()?;
    let slow = |(resistance, capacitance): &(f64, f64)| {
        vec![
            Element::Resistor(*resistance),
            Element::Capacitor(ChargeLaw::Linear { capacitance: *capacitance }),
        ]
    };
    // A run that starts from rest has the voltage from t = 0 on: a constant.
    let mut links = vec![
        Link::push(Waveform::Constant(equivalent.voltage)),
        Link::resistance("resistance", equivalent.resistance),
        Link::inductance("inductance", equivalent.inductance),
    ];
    let places = ["slow", "slow_2"];
    links.extend(equivalent.slow_pairs.iter().zip(places).map(|(pair, place)| Link::new(place, slow(pair))));
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let source = placed.first().and_then(|link| link.branches.first().copied());
    // The inductance lies behind the voltage and, where there is any, the resistance.
    let inductance = placed.get(1 + usize::from(equivalent.resistance > 0.0));
    let mut inner = voltage_between(right, left);
    inner.extend(inductance.filter(|_| equivalent.inductance > 0.0).into_iter().flat_map(Placed::voltage));
    let entered = builder.enter_chain(part, &placed);
    entered.source = source;
    entered.charge_voltage = Some(inner);
    (entered.mass, entered.facts) = (equivalent.mass, equivalent.facts);
    entered.limits.pack = Some(equivalent.limits);
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

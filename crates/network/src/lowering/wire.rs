//! A wire: resistance and inductance in series, and the steps of its skin effect.

use super::builder::{Builder, Link};
use crate::primitive::{Element, FluxLaw};
use language::description::Part;
use parts::Mistake;
use parts::conductor_class::Class;
use parts::conductor_enamel::Grade;
use parts::wire::Wire;
use parts::wire_skin::Section;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let wire = Wire {
        resistance: part.number("resistance"),
        inductance: part.number("inductance"),
        length: part.number("length"),
        gauge: part.number("gauge"),
        area: part.number("area"),
        diameter: part.number("diameter"),
        strands: part.number("strands"),
        temperature: part.number("temperature"),
        class: part.word("conductor").and_then(Class::of_word),
        spacing: part.number("spacing"),
        pitch: part.number("pitch"),
        enamel: part.word("enamel").map(|word| if word == "grade_2" { Grade::Two } else { Grade::One }),
        skin_effect: part.word("skin_effect") == Some("included"),
        overload_time: part.number("overload_time"),
        return_included: part.word("return") == Some("included"),
    };
    let equivalent = wire.equivalent()?;
    let mut links = vec![
        Link::resistance("resistance", equivalent.resistance),
        Link::inductance("inductance", equivalent.inductance),
    ];
    links.extend(SKIN.iter().zip(&equivalent.sections).map(|(place, section)| skin(place, *section)));
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let entered = builder.enter_chain(part, &placed);
    (entered.mass, entered.facts) = (equivalent.mass, equivalent.facts);
    entered.limits.most_current = equivalent.most_current;
    Ok(())
}

/// Places of the steps of the skin effect.
const SKIN: [&str; 6] = ["skin_1", "skin_2", "skin_3", "skin_4", "skin_5", "skin_6"];

/// One step: an inductance, and the resistance that takes over where its frequency is high.
fn skin(place: &'static str, section: Section) -> Link {
    let law = FluxLaw::Linear { inductance: section.inductance };
    Link::new(place, vec![Element::Inductor(law), Element::Resistor(section.resistance)])
}

//! Two windings on one core: a leakage inductance and copper for each, and the core that both share.

use super::builder::{Builder, Link};
use super::required;
use crate::lowered::Magnetised;
use crate::primitive::{Core, Term};
use language::description::Part;
use parts::Mistake;
use parts::coupled::Coupled;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let pair = Coupled {
        inductance: required(part, "inductance")?,
        coupling: part.number("coupling"),
        leakage: part.number("leakage"),
        series_aiding: part.number("series_aiding"),
        series_opposing: part.number("series_opposing"),
        turns_ratio: part.number("turns_ratio"),
        dcr: part.number("dcr"),
        saturation_current: part.number("saturation_current"),
        drop: part.number("drop"),
        residual: part.number("residual"),
        saturation_flux: part.number("saturation_flux"),
    };
    let equivalent = pair.equivalent()?;
    let Some((third, fourth)) = &part.second else {
        return Err(vec![Mistake::new(
            "inductance",
            "its second winding has no nodes",
            "write `coupled NAME A -> B, C -> D`",
        )]);
    };
    let (left, right) = builder.ends(part);
    let (third, fourth) = (builder.node(third), builder.node(fourth));
    let [first_leakage, second_leakage] = equivalent.leakages;
    let first = vec![Link::inductance("winding", first_leakage), Link::resistance("dcr", equivalent.dcr)];
    let second = vec![
        Link::inductance("second_winding", second_leakage),
        Link::resistance("second_dcr", equivalent.dcr),
    ];
    let placed = builder.chain(part, left, right, first);
    let second = builder.chain(part, third, fourth, second);
    let branches: Vec<_> =
        placed.iter().take(1).chain(second.iter().take(1)).filter_map(|link| link.branches.first()).collect();
    let windings: Vec<_> = branches.into_iter().copied().zip(equivalent.turns).collect();
    builder.core(Core { part: part.name.clone(), windings: windings.clone(), law: equivalent.law.clone() });
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let inductor = windings.first().map(|&(branch, _)| Magnetised {
        branch,
        current: windings.iter().map(|&(branch, turns)| (turns, Term::BranchCurrent(branch))).collect(),
        law: equivalent.law,
        linked_area: None,
    });
    let entered = builder.enter_chain(part, &placed);
    entered.inductor = inductor;
    entered.facts = equivalent.facts;
    Ok(())
}

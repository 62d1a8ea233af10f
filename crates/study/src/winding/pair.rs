//! Two windings on one core: what meters should read of them. The language takes such a pair by these readings, not by ring and turns, so
//! how to wind it does not follow.

use super::expected::{self, Expected};
use crate::cautions::Present;
use language::Kind;
use language::description::{Harness, Part};
use network::lowered::Lowered;

/// What to check of a pair before it is fitted.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Title of the harness.
    pub harness: String,
    /// Name of the part.
    pub part: String,
    /// The picks that fit it, in words: `filter choke`; empty where every pick has it.
    pub fitted_by: Vec<String>,
    /// The nodes of start and end of each winding.
    pub windings: [(String, String); 2],
    /// What an LC meter should read in henry at the first winding, the second one open.
    pub inductance: Expected,
    /// The same at the second, the first one open.
    pub second_inductance: f64,
    /// At the first, the second one shorted.
    pub shorted: f64,
    /// Across both in series, their fields adding up and working against each other.
    pub series: (f64, f64),
    /// Whether the coupling that these follow from is one that was assumed.
    pub assumed: bool,
    /// Resistance of each winding in ohm, where the file states it.
    pub resistance: Option<f64>,
    /// Sums of the currents in ampere at which a tenth and three tenths of the inductance are gone; nothing where the core is linear.
    pub lost: Option<(f64, f64)>,
    /// What the cameras behind it draw together in ampere, for the limit of a supply at first power; 0 where there is none.
    pub camera_current: f64,
    /// Cautions that fit the harness.
    pub cautions: Vec<String>,
}

/// What is known of a pair; nothing where the network does not have it.
pub(super) fn of_part(harness: &Harness, lowered: &Lowered, part: &Part) -> Option<Pair> {
    let entered = lowered.part(&part.name)?;
    let fact = |name: &str| entered.facts.iter().find(|fact| fact.name == name).map(|fact| fact.value);
    let (third, fourth) = part.second.clone()?;
    let mut present = Present::default();
    harness.parts.iter().for_each(|part| present.note(part));
    let coupling_stated = ["coupling", "leakage", "series_aiding", "series_opposing"]
        .iter()
        .any(|name| part.number(name).is_some());
    Some(Pair {
        harness: harness.title.clone(),
        part: part.name.clone(),
        fitted_by: Vec::new(),
        windings: [(part.left.clone(), part.right.clone()), (third, fourth)],
        inductance: expected::inductance(part, part.number("inductance")?),
        second_inductance: fact("second_inductance")?,
        shorted: fact("leakage")?,
        series: (fact("series_aiding")?, fact("series_opposing")?),
        assumed: !coupling_stated,
        resistance: part.number("dcr").filter(|dcr| *dcr > 0.0),
        lost: fact("current_at_10_percent_loss").zip(fact("current_at_30_percent_loss")),
        camera_current: camera_current(harness),
        cautions: present.cautions(),
    })
}

/// What the cameras of a harness draw together.
pub(super) fn camera_current(harness: &Harness) -> f64 {
    harness
        .parts
        .iter()
        .filter(|part| part.kind == Kind::Camera)
        .filter_map(|part| part.number("current"))
        .sum()
}

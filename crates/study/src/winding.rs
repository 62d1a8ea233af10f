//! Winding sheets: what a builder needs at the bench to wind a coil of the harness and to trust it before it is fitted.

mod cans;
mod expected;
mod pair;
mod sheet;

pub use cans::Can;
pub use expected::{Expected, Spread};
pub use pair::Pair;

use crate::options::{Options, OptionsError, product};
use language::description::{Axis, AxisKind, Harness, Start};
use language::{Description, Kind};
use std::collections::HashSet;

/// Combinations of options looked at at most.
const MOST_PICKS: usize = 10_000;

/// A coil to be wound.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Title of the harness.
    pub harness: String,
    /// Name of the coil.
    pub part: String,
    /// The picks that fit it, in words: `filter coil_cap`; empty where every pick has it.
    pub fitted_by: Vec<String>,
    /// The ring.
    pub core: Core,
    /// The wire.
    pub wire: Wire,
    /// Turns, each a pass through the hole.
    pub turns: f64,
    /// Turns in each layer, the innermost first.
    pub layers: Vec<f64>,
    /// Turns that the first layer would hold.
    pub one_layer: f64,
    /// Share of the hole that the wire takes, enamel included: circles in a circle, without the air between them.
    pub fill: f64,
    /// What an LC meter should read, in henry.
    pub inductance: Expected,
    /// What it reads with a turn too few and one too many.
    pub miscounted: (f64, f64),
    /// What an ohmmeter should read, in ohm at 20 °C.
    pub resistance: Expected,
    /// Currents in ampere at which a tenth and three tenths of the inductance are gone; nothing where the coil is taken as linear.
    pub lost: Option<(f64, f64)>,
    /// Mass of core and wire in kilogram.
    pub mass: Option<f64>,
    /// Electrolytic capacitors that are soldered in with it.
    pub cans: Vec<Can>,
    /// What the cameras behind it draw together in ampere, for the limit of a supply at first power; 0 where there is none.
    pub camera_current: f64,
    /// Cautions that fit the harness.
    pub cautions: Vec<String>,
}

/// A ring; lengths in metre.
#[derive(Clone, Debug, PartialEq)]
pub struct Core {
    /// Outer diameter.
    pub outer: f64,
    /// Inner diameter.
    pub inner: f64,
    /// Height.
    pub height: f64,
    /// Gap across the ring; 0 where it has none.
    pub gap: f64,
    /// Class of its material, as the file says it.
    pub material: Option<String>,
}

/// Wire; lengths in metre.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// Diameter of the copper.
    pub bare: f64,
    /// Greatest diameter with the enamel.
    pub overall: f64,
    /// What lies on the ring.
    pub length: f64,
    /// What to cut off the reel: a tenth more, and enough to hold on to.
    pub cut: f64,
}

/// The sheets of a harness, and the coils that have none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheets {
    /// A sheet for each coil whose making is known, each once for all picks that it is the same for.
    pub sheets: Vec<Sheet>,
    /// Two windings on one core, each once for all picks that it is the same for.
    pub pairs: Vec<Pair>,
    /// Names of the other coils, each with what its lines must say.
    pub without: Vec<(String, String)>,
}

/// The sheets of every coil that the picks of the builder fit, the first case and value of all other axes taken.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn sheets(description: &Description, options: &Options) -> Result<Sheets, OptionsError> {
    let asked = options.points(description)?;
    let axes: Vec<Vec<usize>> = description.axes().iter().zip(&asked).map(every_pick).collect();
    let harnesses: Vec<(Vec<usize>, Harness)> =
        product(&axes).take(MOST_PICKS).map(|point| (point.clone(), description.at(&point))).collect();
    let always = names_of_all(harnesses.iter().map(|(_, harness)| harness));
    let is_asked = |point: &[usize]| point.iter().zip(&asked).all(|(index, points)| points.contains(index));
    let mut found = Sheets::default();
    for (point, harness) in harnesses.iter().filter(|(point, _)| is_asked(point)) {
        let Ok(lowered) = network::lowering::lower(harness, Start::Steady) else { continue };
        for part in &harness.parts {
            let by = if always.contains(part.name.as_str()) { None } else { Some(picks(description, point)) };
            match part.kind {
                Kind::Coil => match sheet::of_coil(harness, &lowered, part, &always) {
                    Ok(sheet) => add(&mut found.sheets, sheet, by, |sheet| &mut sheet.fitted_by),
                    Err(reason) => crate::examine::push_new(&mut found.without, &(part.name.clone(), reason)),
                },
                Kind::Coupled => {
                    if let Some(pair) = pair::of_part(harness, &lowered, part) {
                        add(&mut found.pairs, pair, by, |pair| &mut pair.fitted_by);
                    }
                }
                _ => {}
            }
        }
    }
    Ok(found)
}

/// The sheets of some of a harness's parts; what has no sheet is left out.
pub(crate) fn sheets_of(harness: &Harness, parts: &[String], fitted_by: &str) -> Vec<Sheet> {
    let Ok(lowered) = network::lowering::lower(harness, Start::Steady) else { return Vec::new() };
    let coils = harness.parts.iter().filter(|part| part.kind == Kind::Coil && parts.contains(&part.name));
    let others = harness
        .parts
        .iter()
        .map(|part| part.name.as_str())
        .filter(|name| !parts.iter().any(|part| part == name));
    let always: HashSet<&str> = others.collect();
    let sheet = |part| sheet::of_coil(harness, &lowered, part, &always).ok();
    coils.filter_map(sheet).map(|sheet| Sheet { fitted_by: vec![fitted_by.to_owned()], ..sheet }).collect()
}

/// Every option of a choice, whether it is asked for or not; of other axes the first point that is.
fn every_pick((axis, asked): (&Axis, &Vec<usize>)) -> Vec<usize> {
    match axis.kind {
        AxisKind::Choice => (0..axis.points.len()).collect(),
        AxisKind::Condition | AxisKind::Sweep => asked.first().copied().into_iter().collect(),
    }
}

/// Puts one to the others, or its pick to the one that is the same but for the picks.
fn add<T: PartialEq>(
    known: &mut Vec<T>,
    mut new: T,
    by: Option<String>,
    fitted_by: fn(&mut T) -> &mut Vec<String>,
) {
    for one in known.iter_mut() {
        fitted_by(&mut new).clone_from(fitted_by(one));
        if *one == new {
            fitted_by(one).extend(by);
            return;
        }
    }
    *fitted_by(&mut new) = by.into_iter().collect();
    known.push(new);
}

/// Names of the parts that all harnesses have.
fn names_of_all<'h>(mut harnesses: impl Iterator<Item = &'h Harness>) -> HashSet<&'h str> {
    let names =
        |harness: &'h Harness| harness.parts.iter().map(|part| part.name.as_str()).collect::<HashSet<_>>();
    let mut always = harnesses.next().map(names).unwrap_or_default();
    for harness in harnesses {
        let here = names(harness);
        always.retain(|name| here.contains(name));
    }
    always
}

/// The picks of a point in words: `filter coil_cap`.
fn picks(description: &Description, point: &[usize]) -> String {
    let axes = description.axes().iter().zip(point).filter(|(axis, _)| axis.kind == AxisKind::Choice);
    let words = axes.map(|(axis, index)| format!("{} {}", axis.name, axis.points[*index]));
    words.collect::<Vec<_>>().join(", ")
}

//! What filters are made of: parts of the stock as they are, and rings with something wound on them.

use super::amount::Amount;
use super::impedance::lone;
use super::winding::{SPARE, Wound, windings};
use language::description::Part;
use language::stock::{Stock, StockItem, StockKind};
use quantity::{Dimension, Quantity};
use std::f64::consts::PI;

/// Density of a ring's material in kilogram a cubic metre where the stock says nothing: a ferrite's, as for any ring of a harness (from
/// memory).
const CORE_DENSITY: f64 = 4800.0;

/// By how much more than the load's mean current a winding is to bear: a quarter for the tolerance of rings, the rest for what rides on
/// it (own choice).
const RESERVE: f64 = 1.6;

/// What an element does in a filter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Coil,
    Capacitor,
    /// A capacitor that is fast: a ceramic.
    Ceramic,
    Resistor,
    Bead,
    Regulator,
}

/// Two terminals of a filter.
#[derive(Clone, Debug)]
pub(super) struct Element {
    pub(super) role: Role,
    /// Line of the stock.
    pub(super) line: usize,
    /// Line of the wire, and what is wound of it.
    pub(super) wound: Option<(usize, Wound)>,
    /// Whether it is a ring's fullest winding with its wire, or nothing wound.
    pub(super) fullest: bool,
    /// The word of its kind, and its properties as the harness has them.
    pub(super) word: &'static str,
    pub(super) properties: String,
    pub(super) mass: Amount,
    pub(super) cost: Amount,
}

/// Every element that the stock gives, with `turns` numbers of turns for each ring and wire; what is wound is to bear `current` in
/// ampere.
pub(super) fn elements(stock: &Stock, turns: usize, current: Option<f64>) -> Vec<Element> {
    let mut found = Vec::new();
    for (line, item) in stock.items.iter().enumerate().filter(|(_, item)| item.quantity > 0) {
        let (role, word) = match item.kind {
            StockKind::WindingWire => continue,
            StockKind::Ring => {
                wind(stock, line, turns, current, &mut found);
                continue;
            }
            StockKind::Coil => (Role::Coil, "coil"),
            StockKind::Capacitor if is_ceramic(item) => (Role::Ceramic, "capacitor"),
            StockKind::Capacitor => (Role::Capacitor, "capacitor"),
            StockKind::Resistor => (Role::Resistor, "resistor"),
            StockKind::Bead => (Role::Bead, "bead"),
            StockKind::Regulator => (Role::Regulator, "regulator"),
        };
        found.push(Element {
            role,
            line,
            wound: None,
            fullest: true,
            word,
            properties: weighed(stated(item), item.mass),
            mass: Amount::of(item.mass, line),
            cost: Amount::of(item.cost, line),
        });
    }
    found
}

fn wind(stock: &Stock, line: usize, turns: usize, current: Option<f64>, found: &mut Vec<Element>) {
    let ring = &stock.items[line];
    let wires = stock.items.iter().enumerate().filter(|(_, item)| item.kind == StockKind::WindingWire);
    for (wire_line, wire) in wires.filter(|(_, wire)| wire.quantity > 0) {
        let of = |(index, wound): (usize, Wound)| wound_element(stock, (line, wire_line), index, wound);
        let Some(full) = windings(ring, wire, 1, f64::INFINITY).into_iter().next() else { continue };
        let bears = current.and_then(|current| Some(lone(&of((0, full))).ok()??.bears? / current));
        // Turns and current magnetise by their product.
        let most = bears.map_or(f64::INFINITY, |ratio| full.turns * ratio / RESERVE);
        found.extend(windings(ring, wire, turns, most).into_iter().enumerate().map(of));
    }
}

fn wound_element(stock: &Stock, (line, wire_line): (usize, usize), index: usize, wound: Wound) -> Element {
    let (ring, wire) = (&stock.items[line], &stock.items[wire_line]);
    let mut mass = Amount::of(ring.mass.or_else(|| ring.part.as_ref().map(core_mass)), line);
    mass.known += wound.copper;
    let mut cost = Amount::of(ring.cost, line);
    cost.add(&Amount::of(wire.cost.map(|metre| metre * wound.length * SPARE), wire_line));
    let diameter = wire.text("wire_diameter").unwrap_or_default();
    let properties = format!("{}, turns {}, wire_diameter {diameter}", stated(ring), wound.turns);
    let properties = weighed(properties, ring.mass.map(|core| core + wound.copper));
    Element {
        role: Role::Coil,
        line,
        wound: Some((wire_line, wound)),
        fullest: index == 0,
        word: "coil",
        properties,
        mass,
        cost,
    }
}

/// The solid ring, as long as no mass is stated.
fn core_mass(ring: &Part) -> f64 {
    let size = |name: &str| ring.number(name).unwrap_or(0.0);
    let material = ring.word("material").and_then(parts::core_material::CoreMaterial::by_word);
    let density = material.map_or(CORE_DENSITY, |material| material.density(ring.number("permeability")));
    let (outer, inner) = (size("outer"), size("inner"));
    PI / 4.0 * (outer * outer - inner * inner) * size("height") * density
}

/// Properties with the mass of the whole part in kilogram, so that what is pasted into a harness weighs as much as here.
fn weighed(properties: String, mass: Option<f64>) -> String {
    let Some(mass) = mass else { return properties };
    let mass = quantity::engineering(Quantity { value: mass, dimension: Dimension::MASS }, 4);
    format!("{properties}, mass {mass}")
}

fn stated(item: &StockItem) -> String {
    let each = item.properties.iter().map(|(name, value)| format!("{name} {value}"));
    each.collect::<Vec<_>>().join(", ")
}

fn is_ceramic(item: &StockItem) -> bool {
    let Some(part) = &item.part else { return false };
    let by_type = part.word("type").is_some_and(|word| word.starts_with("ceramic"));
    by_type
        || ["half_voltage", "capacitance_table", "dielectric"]
            .iter()
            .any(|name| part.properties.contains_key(*name))
}

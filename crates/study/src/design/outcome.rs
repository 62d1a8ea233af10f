//! What a search for filters found: plain data for tables and files.

use super::amount::Amount;
use super::topology::Topology;
use crate::winding::Sheet;
use language::description::Comparison;
use quantity::Dimension;

/// The answer.
#[derive(Clone, Debug)]
pub struct Design {
    /// Title of the harness.
    pub harness: String,
    /// The choice that filters were sought for, and the nodes of its place: from, to, return.
    pub choice: String,
    /// The nodes of its place.
    pub nodes: [String; 3],
    /// What winners are compared by, beside mass (and cost): the columns of [`Standing::values`].
    pub objectives: Vec<Objective>,
    /// Whether the stock says what anything costs.
    pub has_costs: bool,
    /// The requirements of the harness.
    pub requirements: Vec<Requirement>,
    /// What the baseline gives.
    pub baseline: Standing,
    /// How many filters there were, and what became of them.
    pub counts: Counts,
    /// Why nothing was told apart over frequency; `None` where it was.
    pub unscreened: Option<String>,
    /// Filters that meet everything with tolerances and that no other beats, lightest first.
    pub winners: Vec<Winner>,
    /// Where there are none: the filter that misses by least, and what stops all others.
    pub nearest: Option<(Winner, Vec<Binding>)>,
    /// Draws of tolerances at each point; 0 where none were drawn.
    pub draws: usize,
    /// Study points that each filter was run at.
    pub points: usize,
    /// Names of the stock's lines, for what masses and costs leave out.
    pub lines: Vec<String>,
}

/// What winners are compared by.
#[derive(Clone, Debug, PartialEq)]
pub struct Objective {
    /// In a word or two: `drop`, `noise`, `plug-in peak`.
    pub name: String,
    /// Of its values.
    pub dimension: Dimension,
}

/// A requirement's heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Requirement {
    /// As written.
    pub text: String,
    /// How it compares.
    pub comparison: Comparison,
    /// The right side in SI units.
    pub limit: f64,
    /// Of both sides.
    pub dimension: Dimension,
}

/// Worst values over the study points.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Standing {
    /// One an objective.
    pub values: Vec<Option<f64>>,
    /// The left side of each requirement; `None` where it has no value or nothing to judge.
    pub requirements: Vec<Option<f64>>,
}

/// A filter that was run in full.
#[derive(Clone, Debug)]
pub struct Winner {
    /// Name of its option.
    pub name: String,
    /// Its form.
    pub topology: Topology,
    /// The option as text, ready to be pasted into the choice.
    pub option: String,
    /// Its parts, from the source's side on.
    pub pieces: Vec<Piece>,
    /// How to wind its coils that are wound.
    pub sheets: Vec<Sheet>,
    /// Its mass in kilogram.
    pub mass: Amount,
    /// What it costs, where the stock says what things cost.
    pub cost: Option<Amount>,
    /// At nominal values.
    pub nominal: Standing,
    /// Over all draws of tolerances; empty where none were drawn.
    pub drawn: Standing,
    /// Warnings of its runs, each once.
    pub warnings: Vec<String>,
}

/// A part of a filter.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name in the option.
    pub part: String,
    /// The stock's name of it.
    pub stock: String,
    /// What is wound, where it is a ring.
    pub winding: Option<Winding>,
}

/// What to wind.
#[derive(Clone, Debug, PartialEq)]
pub struct Winding {
    /// The stock's name of the wire.
    pub wire: String,
    /// Diameter of its copper in metre.
    pub wire_diameter: f64,
    /// Turns through the ring.
    pub turns: f64,
    /// Turns that one layer holds.
    pub one_layer: f64,
    /// Length in metre that the winding takes, ends aside.
    pub length: f64,
    /// Length in metre to cut.
    pub cut: f64,
    /// What a meter shows at almost no current, in henry: nominal, and between what tolerances allow.
    pub inductance: [f64; 3],
    /// Resistance of the copper in ohm at 20 degC.
    pub resistance: f64,
    /// Mass of the copper in kilogram.
    pub copper: f64,
}

/// What became of all filters.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Filters of the topologies that the stock has enough for, by topology.
    pub considered: Vec<(Topology, usize)>,
    /// Told apart before a run, by rule.
    pub dropped: Vec<Dropped>,
    /// Run in time.
    pub run: usize,
    /// Of those: not meeting a requirement, overstressing a part, or failing, at nominal values.
    pub failing: usize,
    /// Of those run: a coil keeps less than seven tenths of its inductance while the load runs, and all else held so far.
    pub saturating: usize,
    /// Of those run: a camera's supply rises beyond its range at nominal values, and all else held so far.
    pub over_supply: usize,
    /// Of those: run until they were beaten in everything by a filter that holds.
    pub outrun: usize,
    /// Of those: failing with tolerances.
    pub intolerant: usize,
    /// Not looked at, since as many filters had been run as the search was asked for.
    pub unseen: usize,
    /// Runs that all this took.
    pub runs: usize,
}

/// Filters dropped by one rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dropped {
    /// The rule, in words.
    pub rule: String,
    /// How many.
    pub filters: usize,
}

/// How near all filters came to one requirement.
#[derive(Clone, Debug, PartialEq)]
pub struct Binding {
    /// Index of the requirement.
    pub requirement: usize,
    /// How many of the filters that were run miss it.
    pub missing: usize,
    /// The best value that a filter reached that was run, in SI units.
    pub best: Option<f64>,
}

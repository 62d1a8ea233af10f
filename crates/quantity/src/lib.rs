//! Numbers with a physical dimension: reading and printing units, IEC 60062 value codes, IEC 60063 series.
//!
//! Nothing in here is electrical: a unit is a name for a power product of SI base units.

mod arithmetic;
mod dimension;
mod print;
mod series;
mod symbol;
mod unit;
mod unit_choice;
mod unit_hint;
mod unit_table;
mod value_code;

pub use dimension::Dimension;
pub use print::{engineering, unit_symbol};
pub use series::Series;
pub use symbol::dimension_of_symbol;
pub use unit::{Unit, UnitError, parse_unit};
pub use unit_choice::{all_units, units_of};
pub use unit_table::unit_name;
pub use value_code::{looks_like_value_code, parse_value_code};

/// A number in SI units with its dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The value in coherent SI units of `dimension` (a ratio as a fraction, decibel in dB, AWG as its gauge number).
    pub value: f64,
    /// What kind of quantity this is.
    pub dimension: Dimension,
}

//! Coils as they stand in a run.

/// A coil at its peak current.
#[derive(Clone, Debug)]
pub struct CoilState {
    /// Name of the part.
    pub part: String,
    /// Greatest absolute current in ampere.
    pub peak_current: f64,
    /// Inductance left there as a fraction of the initial one.
    pub inductance_left: f64,
    /// That inductance in henry.
    pub inductance: f64,
    /// Least and greatest current of the run in ampere, with their signs.
    pub range: (f64, f64),
    /// What the coil is at any current: ampere, rising from above 0, and inductance for small changes in henry. Empty where runs
    /// carry no pictures, and for a coil that never saturates.
    pub curve: Vec<(f64, f64)>,
}

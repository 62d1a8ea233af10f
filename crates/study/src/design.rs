//! Finding filters: from the parts that one owns, those that meet every requirement, none of which beats another in everything.
//!
//! Every filter is written as an `option` of the choice with a `place` and read by the language like any other, so that what is
//! judged is word for word what can be pasted. What cannot hold is told apart early, by sums of the stock, by direct current and by
//! the response over frequency (`screen`); the rest is run in time (`judge`), and those that no other beats are run again with their
//! tolerances (`search`).

mod amount;
mod answer;
mod candidate;
mod element;
mod front;
mod harmonics;
mod hunt;
mod impedance;
mod judge;
mod ladder;
mod outcome;
mod placed;
mod screen;
mod search;
mod surroundings;
mod survey;
mod swings;
mod task;
mod tolerances;
mod topology;
mod winding;
mod worst;
mod write_up;

pub use amount::Amount;
pub use outcome::{
    Binding, Counts, Design, Dropped, Objective, Piece, Requirement, Standing, Winding, Winner,
};
pub use search::design;
pub use task::{DesignError, Progress, Search, Task};
pub use topology::Topology;

//! How a file wants its tolerances drawn.

/// `draws N, seed S, normal`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrawsOfTolerances {
    /// Draws at each point of the axes, at least 1.
    pub draws: u32,
    /// The same seed gives the same draws.
    pub seed: u32,
    /// Normally distributed; evenly within the tolerance otherwise.
    pub normal: bool,
}

impl DrawsOfTolerances {
    /// The seed where none is stated.
    pub const SEED: u32 = 1;
}

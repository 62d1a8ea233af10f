//! Every word that judges, warns or advises, in one place, so that it can be read and corrected as one text.
//!
//! What warnings say of their figures stands beside the physics that finds them (`study`'s warnings), and what to do about
//! each on its page (`quietrail explain CODE`).

pub(crate) mod frequency;
pub(crate) mod marks;
pub(crate) mod measure;
pub(crate) mod page;
pub(crate) mod ranges;
pub(crate) mod reasons;
pub(crate) mod sweep;
pub(crate) mod verdict;
pub(crate) mod winding;

//! What pictures take of the theme.

pub(crate) use crate::theme::{COLOURS, STYLE};

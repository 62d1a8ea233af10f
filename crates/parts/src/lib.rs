//! Physics of the parts one can buy, wind or cut: each gives its electrical equivalent and its limits.

pub mod charge_law;
pub mod current_law;
pub mod flux_law;

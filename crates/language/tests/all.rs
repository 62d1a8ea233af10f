//! Every test of this crate's outside, in one binary: each links the whole crate, and a binary apiece fills a disk.

mod all_at_once;
mod assemblies;
mod assembly_mistakes;
mod common;
mod findings;
mod frequency;
mod including;
mod kinds;
mod long_noise;
mod mistakes;
mod noise;
mod outline;
#[path = "common/pages.rs"]
mod page_checks;
mod pages;
mod places;
mod resolving;
mod sample;
mod source_values;
mod stock;
mod sweeps;

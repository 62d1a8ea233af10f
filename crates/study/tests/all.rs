//! Every test of this crate's outside, in one binary: each links the whole crate, and a binary apiece fills a disk.

mod assemblies;
mod batteries;
mod capacitors;
mod common;
mod connections;
mod consumers;
mod contradictions;
mod design;
mod drives;
mod energy_of_demos;
mod frequency_measures;
mod half_bridge;
mod influence;
mod kinds;
mod mix_ups;
#[path = "../../language/tests/common/pages.rs"]
mod page_checks;
mod pages;
mod picture;
mod ranges;
mod responses;
mod sensitivity;
mod sources;
mod textbook_steps;
mod time_and_frequency;
mod winding;
mod wires;

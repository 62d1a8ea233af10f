//! Every test of this crate's outside, in one binary: each links the whole crate, and a binary apiece fills a disk.

mod closed_forms;
mod common;
mod conducted_noise;
mod constant_power;
mod coupled;
mod crawler;
mod energy;
mod frequencies_together;
mod frequency;
mod frequency_bias;
mod frequency_resonances;
mod jumps;
mod ladder;
mod nothing_moves;
mod order;
mod order_of_collocation;
mod piecewise;
mod published_problems;
mod rectifier;
mod refused_steps;
mod saturable;
mod sensitivity;
mod series;
mod textbook_filter;
mod textbook_transients;
mod totals;

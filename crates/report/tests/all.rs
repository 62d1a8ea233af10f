//! Every test of this crate's outside, in one binary: each links the whole crate, and a binary apiece fills a disk.

mod charts;
mod json;
mod page;
mod picture;
mod responses;
mod support;
mod svg;
mod table;
mod verdict;
mod wide;
mod winding;

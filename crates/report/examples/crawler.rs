//! Writes the sample comparison of the tests as table, JSON and pictures into a folder, for looking at:
//! `cargo run -p quietrail-report --example crawler -- FOLDER`.

#[path = "../tests/support/mod.rs"]
mod support;

use quietrail_report::{json, svg, table, write};
use std::path::PathBuf;

fn main() -> Result<(), write::WriteError> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "quietrail-out/sample".into()));
    for (name, comparison) in [
        ("crawler", support::crawler()),
        ("gaps", support::crawler_with_gaps()),
        ("bench", support::by_hand(2.0, 0.05, 0.93)),
    ] {
        let mut files = vec![
            ("table.txt".to_owned(), table::comparison(&comparison, table::Style::default())),
            ("result.json".to_owned(), json::comparison(&comparison)),
        ];
        files.extend(
            svg::of_comparison(&comparison).into_iter().map(|picture| (picture.file_name, picture.text)),
        );
        write::files(&folder.join(name), &files)?;
    }
    Ok(())
}

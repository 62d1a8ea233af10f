//! Writes the sample comparison of the tests as table, JSON and pictures into a folder, for looking at:
//! `cargo run -p quietrail-report --example crawler -- FOLDER`.

#[path = "../tests/support/mod.rs"]
mod support;

use quantity::Dimension;
use quietrail_report::options::{Outcome, picks};
use quietrail_report::verdict::facts::{Facts, facts};
use quietrail_report::{json, svg, table, write};
use std::path::PathBuf;
use study::result::Comparison;

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
        if name == "crawler" {
            files.push(("pareto.svg".to_owned(), svg::pareto(&candidates(&comparison)).text));
        }
        write::files(&folder.join(name), &files)?;
    }
    Ok(())
}

/// The filters by what they cost in volts and the noise that they leave.
fn candidates(comparison: &Comparison) -> svg::Pareto {
    let all: Vec<Facts> = picks(comparison).iter().map(|pick| facts(comparison, pick)).collect();
    let at = |facts: &Facts| {
        let noise = facts.level.as_ref().map_or(f64::NAN, |level| level.here.value);
        (facts.cost.unwrap_or(0.0), noise)
    };
    let beaten = |one: &Facts| {
        let (x, y) = at(one);
        all.iter()
            .map(at)
            .any(|(other_x, other_y)| other_x <= x && other_y <= y && (other_x, other_y) != (x, y))
    };
    let point = |one: &Facts| svg::ParetoPoint {
        label: one.label.clone(),
        at: at(one),
        meets: one.outcome == Outcome::Meets,
        front: !beaten(one),
    };
    svg::Pareto {
        name: "noise".into(),
        title: format!("{}: noise against volts lost", comparison.harness),
        across: ("volts lost".into(), Dimension::VOLTAGE),
        upwards: ("noise, peak to peak".into(), Dimension::VOLTAGE),
        limit: Some(("noise < 60 mV".into(), 0.06)),
        points: all.iter().map(point).collect(),
    }
}

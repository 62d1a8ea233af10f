//! What every point took to compute, for those who wonder where the time goes.

use super::Style;
use super::grid::{Column, draw};
use crate::options::{all_work, point, road};
use study::result::{Comparison, TransientWork, Work};

/// A row for each transient of each point and one for all; nothing where nothing was run.
#[must_use]
pub fn work(comparison: &Comparison, style: Style) -> Option<String> {
    let rows: Vec<(String, &TransientWork)> = comparison
        .runs
        .iter()
        .flat_map(|run| run.work.iter().map(move |one| (heading(comparison, &run.at, one), one)))
        .collect();
    if rows.is_empty() {
        return None;
    }
    let mut first: Vec<String> = rows.iter().map(|(heading, _)| heading.clone()).collect();
    first.push("all".to_owned());
    let mut roads: Vec<String> = rows.iter().map(|(_, one)| road(one.road).to_owned()).collect();
    roads.push(String::new());
    let all = all_work(comparison);
    let count = |heading: &str, of: fn(&Work) -> usize| {
        let mut cells: Vec<String> = rows.iter().map(|(_, one)| of(&one.work).to_string()).collect();
        cells.push(of(&all).to_string());
        Column::right(heading, cells)
    };
    let columns = [
        Column::left("point", first),
        Column::left("road", roads),
        count("steps", |work| work.steps),
        count("refused", |work| work.rejections),
        count("Newton\niterations", |work| work.iterations),
        count("factor-\nizations", |work| work.factorizations),
        count("solves", |work| work.solves),
    ];
    Some(format!("What it took\n{}\n", draw(&columns, style.width)))
}

fn heading(comparison: &Comparison, at: &[usize], one: &TransientWork) -> String {
    let point = point(comparison, at);
    let several = comparison.runs.iter().any(|run| run.work.len() > 1);
    match &one.transient {
        Some(name) if point.is_empty() => name.clone(),
        Some(name) if several => format!("{point}\n  {name}"),
        _ => point,
    }
}

//! What swings and what is taken away: resonances, the loss of each filter in place and by CISPR 17.

use super::grid::{Column, draw};
use super::responses::{Names, names};
use crate::options::baseline_of;
use crate::responses::{Row, level, rows};
use crate::text;
use quantity::Dimension;
use study::result::{Curve, Responses, Run};

/// Most resonances of a row, the highest first: the others are stray inductance and capacitance.
const MOST_RESONANCES: usize = 4;

/// The resonances of every option, as high as they stand in the first response; nothing where nothing resonates.
pub(super) fn resonances(responses: &Responses, width: usize) -> Option<String> {
    let first = responses.responses.first()?;
    let (rows, _) = rows(responses, 0);
    let mut cells: [Vec<String>; 5] = Default::default();
    for row in &rows {
        let list = index(responses, row.run).and_then(|at| responses.resonances.get(at));
        let mut list: Vec<_> = list.into_iter().flatten().collect();
        let height = |height: Option<f64>| height.unwrap_or(f64::INFINITY);
        list.sort_by(|one, other| height(other.height).total_cmp(&height(one.height)));
        for (place, resonance) in list.into_iter().take(MOST_RESONANCES).enumerate() {
            let name = match (place, row.condition.as_str()) {
                (0, "") => row.option.clone(),
                (0, condition) => format!("{} ({condition})", row.option),
                _ => String::new(),
            };
            let quality = match resonance.quality {
                quality if quality > 1e6 => "no loss".to_owned(),
                quality if quality < 10.0 => format!("{quality:.1}"),
                quality => format!("{quality:.0}"),
            };
            let told = [
                name,
                text::value(resonance.frequency, Dimension::FREQUENCY),
                resonance.height.map_or_else(|| "n/a".to_owned(), decibel),
                quality,
                text::list(&resonance.parts),
            ];
            cells.iter_mut().zip(told).for_each(|(cells, told)| cells.push(told));
        }
    }
    if cells[0].is_empty() {
        return None;
    }
    let [names, frequencies, heights, qualities, parts] = cells;
    let columns = [
        Column::left("option", names),
        Column::right("at", frequencies),
        Column::right("height", heights),
        Column::right("Q", qualities),
        Column::left("parts that swing", parts),
    ];
    let unit =
        if first.dimension.is_none() { "1".to_owned() } else { quantity::unit_symbol(first.dimension) };
    let unit = if first.dimension.is_none() { unit } else { format!("1 {unit}") };
    let heading = format!("Resonances, the highest in {} (dB above {unit})", first.name);
    Some(format!("{}\n{}", text::wrap(&heading, "", width), draw(&columns, width)))
}

/// How much less of a response is left than with the baseline, in dB; nothing where there is no other option.
pub(super) fn in_place(responses: &Responses, response: usize, width: usize) -> Option<String> {
    let (rows, axes) = rows(responses, response);
    let of_run = |run: &Run| responses.curves.get(index(responses, run)?)?.get(response)?.as_ref();
    let compared: Vec<Row<'_>> =
        rows.into_iter().filter(|row| !row.baseline && row.curve.is_some()).collect();
    let before = |row: &Row<'_>| baseline_of(&responses.points, row.run).and_then(of_run);
    if compared.iter().all(|row| before(row).is_none()) {
        return None;
    }
    let names = names(&compared, &axes);
    let cell = |value: fn(&Curve, usize) -> Option<f64>, at: usize| -> Vec<String> {
        names
            .rows
            .iter()
            .map(|row| {
                let Some(row) = row else { return String::new() };
                let row = &compared[*row];
                let less = before(row).zip(row.curve).and_then(|(before, now)| {
                    let less = level(value(before, at)?) - level(value(now, at)?);
                    less.is_finite().then_some(less)
                });
                less.map_or_else(|| "n/a".to_owned(), decibel)
            })
            .collect()
    };
    let mut columns = vec![names.column()];
    for (at, line) in responses.lines.iter().enumerate() {
        let value = |curve: &Curve, at: usize| curve.at_lines.get(at).copied().flatten();
        columns.push(Column::right(&heading(responses, Some(at), line.frequency), cell(value, at)));
    }
    let decades = compared.iter().find_map(|row| row.curve).map(|curve| curve.decades.as_slice());
    for (at, (frequency, _)) in decades.unwrap_or_default().iter().enumerate() {
        let value = |curve: &Curve, at: usize| curve.decades.get(at).and_then(|(_, magnitude)| *magnitude);
        columns.push(Column::right(&heading(responses, None, *frequency), cell(value, at)));
    }
    let told = format!("Loss in place: {} against the baseline", responses.responses[response].name);
    Some(format!("{}\n{}", text::wrap(&told, "", width), draw(&columns, width)))
}

/// The loss of each fitted assembly between resistances; nothing where none is fitted.
pub(super) fn losses(responses: &Responses, width: usize) -> Option<String> {
    let (rows, axes) = rows(responses, 0);
    let mut names = Names {
        heading: "option, assembly\n  ohm before, after".to_owned(),
        cells: Vec::new(),
        rows: Vec::new(),
    };
    let mut found = Vec::new();
    for row in &rows {
        let losses = index(responses, row.run).and_then(|at| responses.losses.get(at));
        let mut last = None;
        for loss in losses.into_iter().flatten() {
            if last != Some(&loss.instance) {
                last = Some(&loss.instance);
                let condition = if axes.is_empty() { String::new() } else { format!(" ({})", row.condition) };
                names.cells.push(format!("{}{condition}, {}", row.option, loss.instance));
                names.rows.push(None);
            }
            names.cells.push(format!("  {}, {}", loss.source, loss.load));
            names.rows.push(Some(found.len()));
            found.push(loss);
        }
    }
    let first = *found.first()?;
    let cells = |value: &dyn Fn(usize) -> Option<f64>| -> Vec<String> {
        let cell = |row: &Option<usize>| match row {
            None => String::new(),
            Some(row) => value(*row).map_or_else(|| "n/a".to_owned(), |ratio| decibel(level(ratio))),
        };
        names.rows.iter().map(cell).collect()
    };
    let mut columns = vec![names.column()];
    for (at, line) in responses.lines.iter().enumerate() {
        let value = |row: usize| found[row].at_lines.get(at).copied().flatten();
        columns.push(Column::right(&heading(responses, Some(at), line.frequency), cells(&value)));
    }
    for (at, (frequency, _)) in first.decades.iter().enumerate() {
        let value = |row: usize| found[row].decades.get(at).and_then(|(_, ratio)| *ratio);
        columns.push(Column::right(&heading(responses, None, *frequency), cells(&value)));
    }
    Some(format!("Insertion loss by CISPR 17, at the vehicle's current\n{}", draw(&columns, width)))
}

fn index(responses: &Responses, run: &Run) -> Option<usize> {
    responses.points.runs.iter().position(|known| std::ptr::eq(known, run))
}

fn heading(responses: &Responses, line: Option<usize>, frequency: f64) -> String {
    let frequency = text::value(frequency, Dimension::FREQUENCY);
    match line.and_then(|line| responses.lines.get(line)) {
        Some(line) => format!("{frequency}\n{}\n{}", line.drive, line.what.word()),
        None => frequency,
    }
}

/// Rounded to the decimal that is shown, lest nothing read as -0.0 dB.
fn decibel(level: f64) -> String {
    text::decibel((10.0 * level).round() / 10.0 + 0.0)
}

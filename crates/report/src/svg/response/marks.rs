//! Resonances as dots on the curves, the tallest of each option with its frequency and height.

use crate::responses::{Row, level, ringing, shown};
use crate::svg::canvas::Canvas;
use crate::svg::field::{Axis, Place};
use crate::svg::labels::Labels;
use crate::svg::style::Series;
use crate::text;
use quantity::Dimension;
use study::result::Responses;

/// A resonance of an option.
pub(super) struct Mark {
    frequency: f64,
    magnitude: f64,
    series: Series,
    /// Whether it is the tallest of its option.
    tallest: bool,
}

/// What rings of each option in a response, under the condition where its tallest resonance is tallest.
pub(super) fn of(responses: &Responses, index: usize, rows: &[Row<'_>], series: &[Series]) -> Vec<Mark> {
    let mut marks = Vec::new();
    for at in (0..rows.len()).filter(|at| super::leads(rows, *at)) {
        let own = rows[at..].iter().take_while(|row| row.option == rows[at].option);
        let ringing: Vec<Vec<(f64, f64)>> = own.map(|row| ringing(responses, index, row)).collect();
        let height = |tops: &[(f64, f64)]| tops.iter().map(|top| top.1).fold(0.0, f64::max);
        let Some(tops) = ringing.iter().max_by(|one, other| height(one).total_cmp(&height(other))) else {
            continue;
        };
        marks.extend(tops.iter().map(|&(frequency, magnitude)| Mark {
            frequency,
            magnitude,
            series: series[at],
            tallest: magnitude == height(tops),
        }));
    }
    marks
}

pub(super) fn draw(
    canvas: &mut Canvas,
    marks: &[Mark],
    (frequency, reach): (&Axis, (f64, f64)),
    value: &Axis,
    place: Place,
    dimension: Dimension,
) {
    let mut labels = Labels::within(place);
    for mark in marks.iter().filter(|mark| mark.frequency >= reach.0 && mark.frequency <= reach.1) {
        let x = frequency.place(mark.frequency);
        let y = value.place(if dimension.is_none() { level(mark.magnitude) } else { mark.magnitude });
        if y < place.y || y > place.bottom() {
            continue;
        }
        canvas.circle((x, y), 5.0, &format!("dot {}", mark.series.colour()));
        if mark.tallest {
            let height = shown(Some(mark.magnitude), dimension);
            let words = format!("{height} at {}", text::value(mark.frequency, Dimension::FREQUENCY));
            labels.put(canvas, (x, y), &text::with_micro(&words));
        }
    }
}

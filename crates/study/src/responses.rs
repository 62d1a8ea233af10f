//! Responses over frequency, at every point of choices and conditions.

mod bias;
mod curve;
mod evaluate;
mod loss;
mod margin;
mod measured;
mod peak;
mod point;
mod resonances;
mod rhythms;
mod slopes;
mod view;

#[cfg(test)]
mod tests;

pub(crate) use margin::{Margin, law_of, margin};
pub(crate) use point::{Measures, asks_over_frequency};
pub(crate) use rhythms::rhythms;
pub(crate) use slopes::{Beside, slopes};
pub(crate) use view::View;

use crate::examine::examine;
use crate::options::{Options, OptionsError, product};
use crate::result::{
    Comparison, Curve, InstanceLoss, Line, ListedResonance, ResponseInfo, Responses, Rhythm, Run, Tops,
};
use crate::warnings;
use language::Description;
use language::description::{BinaryOperator, Harness, ResponseExpression, Start};
use network::lowered::{Lowered, Warning};
use quantity::{Dimension, Quantity};
use rayon::prelude::*;

/// Lines that are looked at: more would be a comb that no table shows.
const MOST_LINES: usize = 8;

/// Computes every response at every point that the options leave; nothing runs in time.
///
/// Each is linearised at the mean of its periodic steady state where a law bends, and where the harness rests with every source at
/// its mean otherwise. A point that fails carries its error.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn responses(description: &Description, options: &Options) -> Result<Responses, OptionsError> {
    let points: Vec<Vec<usize>> = product(&options.points(description)?).collect();
    let harnesses: Vec<Harness> = points.par_iter().map(|point| description.at(point)).collect();
    let lowered: Vec<Result<Lowered, String>> = harnesses.par_iter().map(lower).collect();
    let mut lines: Vec<Line> = Vec::new();
    for line in lowered.iter().flatten().flat_map(lines_of) {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines.sort_by(|one, other| one.frequency.total_cmp(&other.frequency));
    lines.truncate(MOST_LINES);
    let each = points.par_iter().zip(&harnesses).zip(&lowered);
    let found: Vec<(Run, Point)> =
        each.map(|((at, harness), lowered)| run(at, harness, lowered, &lines, options)).collect();
    let (runs, found): (Vec<Run>, Vec<Point>) = found.into_iter().unzip();
    let (mut curves, mut resonances, mut tops) = (Vec::new(), Vec::new(), Vec::new());
    let mut losses = Vec::new();
    for point in found {
        curves.push(point.curves);
        resonances.push(point.resonances);
        tops.push(point.tops);
        losses.push(point.losses);
    }
    let drawn = harnesses.iter().zip(&lowered);
    let bands =
        rhythms::bands(drawn.filter_map(|(harness, lowered)| Some((harness, lowered.as_ref().ok()?))));
    Ok(Responses {
        bands,
        tops,
        points: Comparison {
            harness: description.title().to_owned(),
            axes: description.axes().to_vec(),
            runs,
            testpoints: Vec::new(),
            start: None,
            assumptions: examine(description).assumptions,
            cautions: Vec::new(),
        },
        responses: description
            .at(&[])
            .responses
            .iter()
            .map(|response| ResponseInfo {
                name: response.name.clone(),
                words: words(&response.expression, false),
                dimension: response.dimension,
            })
            .collect(),
        lines,
        curves,
        resonances,
        losses,
    })
}

fn lower(harness: &Harness) -> Result<Lowered, String> {
    network::lowering::lower(harness, Start::Steady)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))
}

/// The rhythms of all drives that draw a current.
fn lines_of(lowered: &Lowered) -> Vec<Line> {
    let rhythms = lowered.parts.iter().flat_map(|part| {
        let line = |what, frequency| Line { drive: part.name.clone(), what, frequency };
        let pwm = part.limits.pwm.map(|frequency| line(Rhythm::Pwm, frequency));
        let commutation = part.limits.commutation.map(|frequency| line(Rhythm::Commutation, frequency));
        [pwm, commutation].into_iter().flatten()
    });
    rhythms.collect()
}

/// What one point gives.
struct Point {
    curves: Vec<Option<Curve>>,
    resonances: Vec<ListedResonance>,
    tops: Vec<Tops>,
    losses: Vec<InstanceLoss>,
}

fn run(
    at: &[usize],
    harness: &Harness,
    lowered: &Result<Lowered, String>,
    lines: &[Line],
    options: &Options,
) -> (Run, Point) {
    let mut warnings: Vec<Warning> = Vec::new();
    let found = lowered.as_ref().map_err(Clone::clone).and_then(|lowered| {
        warnings.extend(lowered.warnings.iter().cloned().chain(warnings::of_drawing(harness, lowered)));
        let (bias, at_rest) = bias::bias(lowered, options.accuracy)?;
        warnings.extend(at_rest);
        let view = View::new(harness, lowered, bias);
        warnings.extend(warnings::of_frequency(&view)?);
        let (resonances, tops) = resonances::in_each(&view)?;
        Ok(Point {
            curves: curve::curves(&view, lines, &mut warnings)?,
            resonances,
            tops,
            losses: loss::losses(&view, &curve::decades(&harness.frequencies), lines)?,
        })
    });
    let (point, error) = match found {
        Ok(point) => (point, None),
        Err(error) => {
            let curves = vec![None; harness.responses.len()];
            let (resonances, tops, losses) = (Vec::new(), Vec::new(), Vec::new());
            (Point { curves, resonances, tops, losses }, Some(error))
        }
    };
    let (readings, requirements, testpoints, coils) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let parts = lowered.as_ref().map(crate::facts::of_parts).unwrap_or_default();
    let (at, work) = (at.to_vec(), Vec::new());
    (Run { at, readings, requirements, testpoints, coils, parts, warnings, work, error }, point)
}

/// An expression in the words of the language.
fn words(expression: &ResponseExpression, inside: bool) -> String {
    let nodes = |plus: &str, minus: &Option<String>| match minus {
        Some(minus) => format!("{plus}, {minus}"),
        None => plus.to_owned(),
    };
    match expression {
        ResponseExpression::Number(quantity) if quantity.dimension.is_none() => quantity.value.to_string(),
        ResponseExpression::Number(quantity) => quantity::engineering(*quantity, 4),
        ResponseExpression::Response(name) => name.clone(),
        ResponseExpression::Transfer { plus, minus, source } => {
            format!("transfer(voltage({}), {source})", nodes(plus, minus))
        }
        ResponseExpression::Impedance { plus, minus } => format!("impedance({})", nodes(plus, minus)),
        ResponseExpression::InsertionLoss { instance, source, load } => {
            let [source, load] = [source, load]
                .map(|each| quantity::engineering(Quantity::new(*each, Dimension::RESISTANCE), 4));
            format!("insertion_loss({instance}, {source}, {load})")
        }
        ResponseExpression::Binary(operator, left, right) => {
            let sign = match operator {
                BinaryOperator::Add => "+",
                BinaryOperator::Subtract => "-",
                BinaryOperator::Multiply => "*",
                BinaryOperator::Divide => "/",
                BinaryOperator::Power => "^",
            };
            let whole = format!("{} {sign} {}", words(left, true), words(right, true));
            if inside { format!("({whole})") } else { whole }
        }
    }
}

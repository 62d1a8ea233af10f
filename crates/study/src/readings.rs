//! Readings: what has to be measured for them, and their arithmetic once it is.

use language::description::{BinaryOperator, Expression, Function, Harness, Measure, Reading};

/// Which waveform a meter looks at.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Seen {
    /// A test point as declared.
    Testpoint(String),
    /// A test point without its bandwidth.
    Unlimited(String),
    /// The current of a coil.
    CoilCurrent(String),
}

/// Index of a transient and a window in it.
pub(crate) type Place = (usize, Option<(f64, f64)>);

/// What the measures of a harness' readings were found to be.
pub(crate) trait Measured {
    /// Value of a measure in SI units; `None` where it can't be had.
    fn measure(&self, measure: &Measure, place: Place) -> Option<f64>;
}

/// The place where a reading looks.
pub(crate) fn place_of(harness: &Harness, reading: &Reading) -> Place {
    let named = reading.transient.as_ref();
    let index = named.and_then(|name| {
        harness.transients.iter().position(|transient| transient.name.as_ref() == Some(name))
    });
    (index.unwrap_or(0), reading.window)
}

/// Every measure of a reading with its place, those of the readings that it names included.
pub(crate) fn measures<'h>(
    harness: &'h Harness,
    reading: &'h Reading,
    visit: &mut dyn FnMut(&'h Measure, Place),
) {
    measures_in(harness, &reading.expression, place_of(harness, reading), visit, 0);
}

/// Readings name earlier readings; the language refuses circles, and this depth is a second fence.
pub(crate) const DEEPEST: usize = 100;

fn measures_in<'h>(
    harness: &'h Harness,
    expression: &'h Expression,
    place: Place,
    visit: &mut dyn FnMut(&'h Measure, Place),
    depth: usize,
) {
    if depth > DEEPEST {
        return;
    }
    match expression {
        Expression::Number(_) => {}
        Expression::Reading(name) => {
            if let Some(reading) = harness.readings.iter().find(|reading| reading.name == *name) {
                measures_in(harness, &reading.expression, place_of(harness, reading), visit, depth + 1);
            }
        }
        Expression::Measure(measure) => visit(measure, place),
        Expression::Negate(inner) => measures_in(harness, inner, place, visit, depth),
        Expression::Binary(_, left, right) => {
            measures_in(harness, left, place, visit, depth);
            measures_in(harness, right, place, visit, depth);
        }
        Expression::Call(_, arguments) => {
            arguments.iter().for_each(|argument| measures_in(harness, argument, place, visit, depth));
        }
    }
}

/// The measure that a reading is, through the readings that it names; `None` where it is arithmetic, or looks elsewhere than
/// at the whole first transient.
pub(crate) fn measure_of<'h>(harness: &'h Harness, reading: &'h Reading) -> Option<&'h Measure> {
    let mut reading = reading;
    for _ in 0..DEEPEST {
        if place_of(harness, reading) != (0, None) {
            return None;
        }
        match &reading.expression {
            Expression::Measure(measure) => return Some(measure),
            Expression::Reading(name) => {
                reading = harness.readings.iter().find(|reading| reading.name == *name)?;
            }
            _ => return None,
        }
    }
    None
}

/// Value of a reading in SI units; `None` where something in it can't be had or the result is not finite.
pub(crate) fn value(harness: &Harness, reading: &Reading, measured: &dyn Measured) -> Option<f64> {
    let place = place_of(harness, reading);
    value_in(harness, &reading.expression, place, measured, 0).filter(|value| value.is_finite())
}

fn value_in(
    harness: &Harness,
    expression: &Expression,
    place: Place,
    measured: &dyn Measured,
    depth: usize,
) -> Option<f64> {
    if depth > DEEPEST {
        return None;
    }
    let inner = |expression: &Expression| value_in(harness, expression, place, measured, depth);
    match expression {
        Expression::Number(quantity) => Some(quantity.value),
        Expression::Reading(name) => {
            let reading = harness.readings.iter().find(|reading| reading.name == *name)?;
            value_in(harness, &reading.expression, place_of(harness, reading), measured, depth + 1)
        }
        Expression::Measure(measure) => measured.measure(measure, place),
        Expression::Negate(negated) => Some(-inner(negated)?),
        Expression::Binary(operator, left, right) => {
            let (left, right) = (inner(left)?, inner(right)?);
            Some(match operator {
                BinaryOperator::Add => left + right,
                BinaryOperator::Subtract => left - right,
                BinaryOperator::Multiply => left * right,
                BinaryOperator::Divide => left / right,
                BinaryOperator::Power => left.powf(right),
            })
        }
        Expression::Call(function, arguments) => {
            let arguments = arguments.iter().map(inner).collect::<Option<Vec<f64>>>()?;
            Some(call(*function, &arguments))
        }
    }
}

pub(crate) fn call(function: Function, arguments: &[f64]) -> f64 {
    let first = arguments.first().copied().unwrap_or(f64::NAN);
    match function {
        Function::Min => arguments.iter().copied().fold(f64::INFINITY, f64::min),
        Function::Max => arguments.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        Function::Sqrt => first.sqrt(),
        Function::Abs => first.abs(),
        Function::Sin => first.sin(),
        Function::Cos => first.cos(),
        Function::Exp => first.exp(),
        Function::Ln => first.ln(),
        Function::Log10 => first.log10(),
    }
}

//! The arithmetic of readings, differentiated: numbers that carry their derivative along.

use crate::readings::{DEEPEST, Place, call, place_of};
use language::description::{BinaryOperator, Expression, Function, Harness, Measure, Reading};

/// Two arguments of `min` or `max` that differ by less than this fraction are equal.
const EQUAL: f64 = 1e-6;

/// A value and its derivative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dual {
    pub(super) value: f64,
    pub(super) slope: f64,
}

/// Gives a measure with its derivative, or the reason why it has none.
pub(super) type Leaves<'a> = &'a dyn Fn(&Measure, Place) -> Result<Dual, String>;

/// A reading with its derivative.
pub(super) fn reading(harness: &Harness, reading: &Reading, leaves: Leaves<'_>) -> Result<Dual, String> {
    expression(harness, &reading.expression, place_of(harness, reading), leaves, 0)
}

fn expression(
    harness: &Harness,
    asked: &Expression,
    place: Place,
    leaves: Leaves<'_>,
    depth: usize,
) -> Result<Dual, String> {
    let inner = |asked: &Expression| expression(harness, asked, place, leaves, depth);
    match asked {
        Expression::Number(quantity) => Ok(Dual { value: quantity.value, slope: 0.0 }),
        Expression::Reading(name) => {
            let named = harness.readings.iter().find(|reading| reading.name == *name);
            let named =
                named.filter(|_| depth < DEEPEST).ok_or_else(|| format!("there is no reading {name}"))?;
            expression(harness, &named.expression, place_of(harness, named), leaves, depth + 1)
        }
        Expression::Measure(measure) => leaves(measure, place),
        Expression::Negate(negated) => {
            let Dual { value, slope } = inner(negated)?;
            Ok(Dual { value: -value, slope: -slope })
        }
        Expression::Binary(operator, left, right) => Ok(binary(*operator, inner(left)?, inner(right)?)),
        Expression::Call(function, arguments) => {
            function_of(*function, &arguments.iter().map(inner).collect::<Result<Vec<Dual>, String>>()?)
        }
    }
}

fn binary(operator: BinaryOperator, left: Dual, right: Dual) -> Dual {
    let (a, b) = (left.value, right.value);
    let (value, by_left, by_right) = match operator {
        BinaryOperator::Add => (a + b, 1.0, 1.0),
        BinaryOperator::Subtract => (a - b, 1.0, -1.0),
        BinaryOperator::Multiply => (a * b, b, a),
        BinaryOperator::Divide => (a / b, 1.0 / b, -a / (b * b)),
        BinaryOperator::Power => (a.powf(b), b * a.powf(b - 1.0), a.powf(b) * a.ln()),
    };
    // An exponent that does not change has no say, whatever the logarithm.
    let share = |slope: f64, by: f64| if slope == 0.0 { 0.0 } else { slope * by };
    Dual { value, slope: share(left.slope, by_left) + share(right.slope, by_right) }
}

fn function_of(function: Function, arguments: &[Dual]) -> Result<Dual, String> {
    let values: Vec<f64> = arguments.iter().map(|argument| argument.value).collect();
    let value = call(function, &values);
    let Some(first) = arguments.first() else { return Err("a function has no argument".to_owned()) };
    let by = match function {
        Function::Min | Function::Max => return chosen(arguments, value),
        Function::Sqrt => 0.5 / value,
        Function::Abs => first.value.signum(),
        Function::Sin => first.value.cos(),
        Function::Cos => -first.value.sin(),
        Function::Exp => value,
        Function::Ln => 1.0 / first.value,
        Function::Log10 => 1.0 / (first.value * std::f64::consts::LN_10),
    };
    Ok(Dual { value, slope: if first.slope == 0.0 { 0.0 } else { first.slope * by } })
}

/// The argument that `min` or `max` takes; where two are equal and change otherwise, there is a kink.
fn chosen(arguments: &[Dual], value: f64) -> Result<Dual, String> {
    let equal = |argument: &&Dual| (argument.value - value).abs() <= EQUAL * value.abs();
    let mut candidates = arguments.iter().filter(equal);
    let Some(first) = candidates.next() else { return Ok(Dual { value, slope: f64::NAN }) };
    let close =
        |other: &Dual| (other.slope - first.slope).abs() <= EQUAL * (other.slope.abs() + first.slope.abs());
    if candidates.all(close) {
        Ok(Dual { value, slope: first.slope })
    } else {
        Err("a kink: two arguments of a minimum or maximum are equal and change differently".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// d/dx of x^3 / (1 + x) - sqrt(x) at 2: (3 x^2 (1 + x) - x^3) / (1 + x)^2 - 1 / (2 sqrt(x)).
    #[test]
    fn arithmetic_follows_the_chain_rule() {
        let x = Dual { value: 2.0, slope: 1.0 };
        let constant = |value| Dual { value, slope: 0.0 };
        let cube = binary(BinaryOperator::Power, x, constant(3.0));
        let quotient = binary(BinaryOperator::Divide, cube, binary(BinaryOperator::Add, constant(1.0), x));
        let root = function_of(Function::Sqrt, &[x]).expect("a root");
        let found = binary(BinaryOperator::Subtract, quotient, root);
        assert!((found.value - (8.0 / 3.0 - 2.0_f64.sqrt())).abs() < 1e-15);
        let expected = (3.0 * 4.0 * 3.0 - 8.0) / 9.0 - 0.5 / 2.0_f64.sqrt();
        assert!((found.slope - expected).abs() < 1e-14, "{found:?}");
    }

    #[test]
    fn equal_arguments_are_a_kink() {
        let (one, other) = (Dual { value: 1.0, slope: 1.0 }, Dual { value: 1.0, slope: 2.0 });
        assert!(function_of(Function::Max, &[one, other]).is_err());
        assert!(function_of(Function::Max, &[one, one]).is_ok());
    }
}

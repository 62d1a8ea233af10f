//! Working out response expressions from the engine's curves.

use engine::Complex;
use engine::frequency::Path;
use language::description::{BinaryOperator, Harness, ResponseExpression};
use network::lowered::Lowered;
use network::primitive::GND;

/// A response ready to be worked out: names have become paths.
#[derive(Clone, Debug)]
pub(super) enum Plan {
    Number(f64),
    /// Index into the list of paths.
    Path(usize),
    /// Index of a response further up.
    Response(usize),
    Binary(BinaryOperator, Box<Plan>, Box<Plan>),
}

/// The plan of an expression; paths that it needs are added to the list. `None` where it names what is absent here.
pub(super) fn plan(
    expression: &ResponseExpression,
    harness: &Harness,
    lowered: &Lowered,
    paths: &mut Vec<Path>,
) -> Option<Plan> {
    let node = |name: &str| lowered.node(name);
    let against = |name: &Option<String>| name.as_deref().map_or(Some(GND), node);
    let path = match expression {
        ResponseExpression::Number(quantity) => return Some(Plan::Number(quantity.value)),
        ResponseExpression::Response(name) => {
            return harness.responses.iter().position(|each| each.name == *name).map(Plan::Response);
        }
        ResponseExpression::Binary(operator, left, right) => {
            let left = plan(left, harness, lowered, paths)?;
            let right = plan(right, harness, lowered, paths)?;
            return Some(Plan::Binary(*operator, Box::new(left), Box::new(right)));
        }
        ResponseExpression::Transfer { plus, minus, source } => {
            Path::transfer(lowered.part(source)?.source?, node(plus)?, against(minus)?)
        }
        ResponseExpression::InsertionLoss { .. } => return None,
        ResponseExpression::Impedance { plus, minus } => Path::impedance(node(plus)?, against(minus)?),
    };
    let known = paths.iter().position(|known| *known == path);
    Some(Plan::Path(known.unwrap_or_else(|| {
        paths.push(path);
        paths.len() - 1
    })))
}

/// Value of a plan at one frequency: `paths` gives the engine's values there, `above` those of the responses before. `None`
/// where it has no finite value.
pub(super) fn value(
    plan: &Plan,
    paths: &impl Fn(usize) -> Option<Complex<f64>>,
    above: &[Option<Complex<f64>>],
) -> Option<Complex<f64>> {
    let found = match plan {
        Plan::Number(number) => Complex::new(*number, 0.0),
        Plan::Path(index) => paths(*index)?,
        Plan::Response(index) => above.get(*index).copied().flatten()?,
        Plan::Binary(operator, left, right) => {
            let (left, right) = (value(left, paths, above)?, value(right, paths, above)?);
            match operator {
                BinaryOperator::Add => left + right,
                BinaryOperator::Subtract => left - right,
                BinaryOperator::Multiply => left * right,
                BinaryOperator::Divide => left / right,
                BinaryOperator::Power => left.powc(right),
            }
        }
    };
    (found.re.is_finite() && found.im.is_finite()).then_some(found)
}

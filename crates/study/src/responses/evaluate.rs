//! Working out response expressions from the engine's curves.

use super::loss::Loss;
use engine::Complex;
use engine::frequency::{Bias, Path};
use language::description::{BinaryOperator, Harness, ResponseExpression};
use network::lowered::Lowered;
use network::primitive::GND;

/// A response ready to be worked out: names have become paths.
#[derive(Clone, Debug)]
pub(super) enum Plan {
    Number(f64),
    /// Index into the list of paths.
    Path(usize),
    /// Index into the list of insertion losses.
    Loss(usize),
    /// Index of a response further up.
    Response(usize),
    Binary(BinaryOperator, Box<Plan>, Box<Plan>),
}

/// What the plans of a point want to know, and what it is made of.
pub(super) struct Sought<'a> {
    pub(super) lowered: &'a Lowered,
    pub(super) bias: &'a Bias,
    pub(super) paths: Vec<Path>,
    pub(super) losses: Vec<Loss>,
}

/// The plan of an expression; what it needs is added to what is sought. `None` where it names what is absent here.
pub(super) fn plan(
    expression: &ResponseExpression,
    harness: &Harness,
    sought: &mut Sought<'_>,
) -> Option<Plan> {
    let lowered = sought.lowered;
    let node = |name: &str| lowered.node(name);
    let against = |name: &Option<String>| name.as_deref().map_or(Some(GND), node);
    let path = match expression {
        ResponseExpression::Number(quantity) => return Some(Plan::Number(quantity.value)),
        ResponseExpression::Response(name) => {
            return harness.responses.iter().position(|each| each.name == *name).map(Plan::Response);
        }
        ResponseExpression::Binary(operator, left, right) => {
            let left = plan(left, harness, sought)?;
            let right = plan(right, harness, sought)?;
            return Some(Plan::Binary(*operator, Box::new(left), Box::new(right)));
        }
        ResponseExpression::Transfer { plus, minus, source } => {
            Path::transfer(lowered.part(source)?.source?, node(plus)?, against(minus)?)
        }
        ResponseExpression::InsertionLoss { instance, source, load } => {
            let loss = Loss::new(harness, lowered, sought.bias, instance, [*source, *load])?;
            sought.losses.push(loss);
            return Some(Plan::Loss(sought.losses.len() - 1));
        }
        ResponseExpression::Impedance { plus, minus } => Path::impedance(node(plus)?, against(minus)?),
    };
    let paths = &mut sought.paths;
    let known = paths.iter().position(|known| *known == path);
    Some(Plan::Path(known.unwrap_or_else(|| {
        paths.push(path);
        paths.len() - 1
    })))
}

/// Value of a plan at one frequency: `paths` and `losses` give the engine's values there, `above` those of the responses before.
/// `None` where it has no finite value.
pub(super) fn value(
    plan: &Plan,
    paths: &impl Fn(usize) -> Option<Complex<f64>>,
    losses: &impl Fn(usize) -> Option<Complex<f64>>,
    above: &[Option<Complex<f64>>],
) -> Option<Complex<f64>> {
    let found = match plan {
        Plan::Number(number) => Complex::new(*number, 0.0),
        Plan::Path(index) => paths(*index)?,
        Plan::Loss(index) => losses(*index)?,
        Plan::Response(index) => above.get(*index).copied().flatten()?,
        Plan::Binary(operator, left, right) => {
            let (left, right) = (value(left, paths, losses, above)?, value(right, paths, losses, above)?);
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

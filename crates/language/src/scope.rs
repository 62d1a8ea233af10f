//! Working out expressions: numbers with dimensions, and readings over them.

mod between;
mod insertion;
mod literal;
mod measure;
mod over_frequency;
mod response;
mod unknown;

pub(crate) use literal::{Wanted, wrong_dimension};
pub(crate) use measure::{is_reading, readings};
pub(crate) use over_frequency::names_over_frequency;
pub(crate) use response::{Curves, responses, tell_taken};

use crate::description::{BinaryOperator, Expression, Function, Instance};
use crate::mistake::{Mistake, Sink, Told};
use crate::names::Names;
use crate::source::Span;
use crate::syntax::{File, Node, NodeKind, Word};
use quantity::{Dimension, Quantity, parse_value_code, unit_name, unit_symbol};
use rustc_hash::FxHashMap as HashMap;

/// What the names in an expression stand for at one study point. `None` stands for a value that is wrong and has been
/// told, so that its users stay silent.
pub(crate) struct Scope<'a> {
    pub(crate) file: &'a File,
    pub(crate) names: &'a Names,
    /// Where an assembly is looked into: what is known only inside.
    pub(crate) inside: Option<Inside<'a>>,
    /// Instances that stand here.
    pub(crate) instances: Vec<Instance>,
    pub(crate) lets: HashMap<&'a str, Option<Quantity>>,
    pub(crate) testpoints: HashMap<&'a str, Option<Dimension>>,
    pub(crate) readings: HashMap<&'a str, Option<Dimension>>,
}

/// What the names inside an instance stand for.
pub(crate) struct Inside<'a> {
    pub(crate) names: &'a Names,
    /// Parameters and lets.
    pub(crate) values: HashMap<&'a str, Option<Quantity>>,
}

/// An expression with the dimension of its result.
#[derive(Clone, Debug)]
pub(crate) struct Typed {
    pub(crate) expression: Expression,
    pub(crate) dimension: Dimension,
}

impl Typed {
    fn number(quantity: Quantity) -> Self {
        Self { dimension: quantity.dimension, expression: Expression::Number(quantity) }
    }

    fn constant(&self) -> Option<Quantity> {
        match self.expression {
            Expression::Number(quantity) => Some(quantity),
            _ => None,
        }
    }
}

const FUNCTIONS: &[(&str, Function)] = &[
    ("min", Function::Min),
    ("max", Function::Max),
    ("sqrt", Function::Sqrt),
    ("abs", Function::Abs),
    ("sin", Function::Sin),
    ("cos", Function::Cos),
    ("exp", Function::Exp),
    ("ln", Function::Ln),
    ("log10", Function::Log10),
];

/// The functions of numbers, for those who list the language's words.
pub(crate) fn functions() -> impl Iterator<Item = &'static str> {
    FUNCTIONS.iter().map(|(name, _)| *name)
}

/// Whether an expression may speak of waveforms.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Speaks {
    OfNumbers,
    OfWaveforms,
}

impl Scope<'_> {
    /// The value of an expression of numbers and lets.
    pub(crate) fn constant(
        &self,
        node: &Node,
        wanted: Option<Wanted<'_>>,
        sink: &mut Sink,
    ) -> Result<Quantity, Told> {
        let typed = self.typed(node, wanted, Speaks::OfNumbers, sink)?;
        let quantity = typed.constant().unwrap_or(Quantity::new(f64::NAN, typed.dimension));
        if quantity.value.is_finite() {
            return Ok(quantity);
        }
        Err(sink.push(
            Mistake::new("not_finite", node.span, "this has no finite value")
                .label("expected a finite number"),
        ))
    }

    /// The value of an expression that must have a dimension; `what` names it in a sentence.
    pub(crate) fn dimensioned(
        &self,
        node: &Node,
        what: &str,
        wanted: Wanted<'_>,
        sink: &mut Sink,
    ) -> Result<Quantity, Told> {
        let quantity = self.constant(node, Some(wanted), sink)?;
        if quantity.dimension == wanted.dimension {
            return Ok(quantity);
        }
        Err(sink.push(wrong_dimension(node, what, wanted, quantity.dimension)))
    }

    pub(crate) fn typed(
        &self,
        node: &Node,
        wanted: Option<Wanted<'_>>,
        speaks: Speaks,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        match &node.kind {
            NodeKind::Number(literal) => {
                literal::value(literal, node.span, 1.0, wanted, sink).map(Typed::number)
            }
            NodeKind::Known(quantity) => Ok(Typed::number(*quantity)),
            NodeKind::Name(name) => self.name(name, node.span, wanted, speaks, sink),
            NodeKind::Negate(inner) => self.negated(inner, wanted, speaks, sink),
            NodeKind::Binary(operator, left, right) => {
                let inside = match operator {
                    BinaryOperator::Add | BinaryOperator::Subtract => wanted,
                    BinaryOperator::Multiply | BinaryOperator::Divide => wanted.map(Wanted::within),
                    BinaryOperator::Power => None,
                };
                // Both sides are worked out before either failure counts, so that both are told.
                let left_typed = self.typed(left, inside, speaks, sink);
                let right_typed = self.typed(right, inside, speaks, sink);
                self.binary(*operator, (left, left_typed?), (right, right_typed?), node.span, sink)
            }
            NodeKind::Call(function, arguments) => self.call(function, arguments, wanted, speaks, sink),
            NodeKind::Range(..) => Err(sink.push(
                Mistake::new("unexpected_range", node.span, "a range can't stand here")
                    .label("expected one value"),
            )),
            NodeKind::Unknown(low, high) => self.middle(low, high, wanted, sink).map(Typed::number),
        }
    }

    fn negated(
        &self,
        inner: &Node,
        wanted: Option<Wanted<'_>>,
        speaks: Speaks,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        // -20 degC is twenty below zero, not the opposite of 293.15 K.
        if let NodeKind::Number(literal) = &inner.kind {
            return literal::value(literal, inner.span, -1.0, wanted, sink).map(Typed::number);
        }
        let typed = self.typed(inner, wanted, speaks, sink)?;
        Ok(match typed.constant() {
            Some(quantity) => Typed::number(Quantity::new(-quantity.value, quantity.dimension)),
            None => Typed { expression: Expression::Negate(Box::new(typed.expression)), ..typed },
        })
    }

    fn name(
        &self,
        name: &str,
        span: Span,
        wanted: Option<Wanted<'_>>,
        speaks: Speaks,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        let inner = self.inside.as_ref().and_then(|inside| inside.values.get(name));
        if let Some(value) = inner.or_else(|| self.lets.get(name)) {
            return value.map(Typed::number).ok_or_else(|| sink.already_told());
        }
        if name == "pi" {
            return Ok(Typed::number(Quantity::ratio(std::f64::consts::PI)));
        }
        if speaks == Speaks::OfWaveforms
            && let Some(reading) = self.readings.get(name)
        {
            return match reading {
                Some(dimension) => {
                    Ok(Typed { expression: Expression::Reading(name.to_owned()), dimension: *dimension })
                }
                None => Err(sink.already_told()),
            };
        }
        if let Some(wanted) = wanted
            && let Some(value) = parse_value_code(name, wanted.dimension)
        {
            return Ok(Typed::number(Quantity::new(value, wanted.dimension)));
        }
        if speaks == Speaks::OfWaveforms && name == over_frequency::RESONANCES {
            return self.measure(&Word { text: name.to_owned(), span }, &[], speaks, sink);
        }
        Err(self.tell_unknown_name(name, span, speaks, sink))
    }

    fn binary(
        &self,
        operator: BinaryOperator,
        (left_node, left): (&Node, Typed),
        (right_node, right): (&Node, Typed),
        span: Span,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        let dimension = match operator {
            BinaryOperator::Add | BinaryOperator::Subtract => {
                if left.dimension != right.dimension {
                    return Err(sink
                        .push(unlike((left_node.span, left.dimension), (right_node.span, right.dimension))));
                }
                Some(left.dimension)
            }
            BinaryOperator::Multiply => left.dimension.multiply(right.dimension),
            BinaryOperator::Divide => {
                if right.constant().is_some_and(|divisor| divisor.value == 0.0) {
                    return Err(sink.push(
                        Mistake::new("division_by_zero", right_node.span, "this divides by zero")
                            .label("this is 0"),
                    ));
                }
                left.dimension.divide(right.dimension)
            }
            BinaryOperator::Power => return power((left_node, left), (right_node, right), span, sink),
        };
        let Some(dimension) = dimension else { return Err(tell_dimension_overflow(span, sink)) };
        let (Some(one), Some(other)) = (left.constant(), right.constant()) else {
            let expression =
                Expression::Binary(operator, Box::new(left.expression), Box::new(right.expression));
            return Ok(Typed { expression, dimension });
        };
        let value = match operator {
            BinaryOperator::Add => one.value + other.value,
            BinaryOperator::Subtract => one.value - other.value,
            BinaryOperator::Multiply => one.value * other.value,
            BinaryOperator::Divide | BinaryOperator::Power => one.value / other.value,
        };
        Ok(Typed::number(Quantity::new(value, dimension)))
    }

    /// Whether a function is arithmetic, not a reading.
    fn is_arithmetic(&self, function: &str) -> bool {
        FUNCTIONS.iter().any(|(name, _)| *name == function)
    }

    fn call(
        &self,
        word: &Word,
        arguments: &[Node],
        wanted: Option<Wanted<'_>>,
        speaks: Speaks,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        let Some((_, function)) = FUNCTIONS.iter().find(|(name, _)| *name == word.text) else {
            return self.measure(word, arguments, speaks, sink);
        };
        let many = matches!(function, Function::Min | Function::Max);
        if arguments.is_empty() || (!many && arguments.len() != 1) {
            let expected = if many { "at least one value" } else { "one value" };
            return Err(tell_arguments(word, expected, sink));
        }
        let inside = if many || *function == Function::Abs { wanted } else { None };
        let typed: Vec<_> = arguments.iter().map(|each| self.typed(each, inside, speaks, sink)).collect();
        let typed = typed.into_iter().collect::<Result<Vec<_>, _>>()?;
        let dimension = function_dimension(*function, arguments, &typed, sink)?;
        let constants: Option<Vec<f64>> = typed.iter().map(|each| Some(each.constant()?.value)).collect();
        Ok(match constants {
            Some(values) => Typed::number(Quantity::new(apply(*function, &values), dimension)),
            None => {
                let expressions = typed.into_iter().map(|each| each.expression).collect();
                Typed { expression: Expression::Call(*function, expressions), dimension }
            }
        })
    }
}

fn function_dimension(
    function: Function,
    arguments: &[Node],
    typed: &[Typed],
    sink: &mut Sink,
) -> Result<Dimension, Told> {
    let first = typed[0].dimension;
    match function {
        Function::Abs => Ok(first),
        Function::Min | Function::Max => match typed.iter().position(|each| each.dimension != first) {
            None => Ok(first),
            Some(other) => Err(sink
                .push(unlike((arguments[0].span, first), (arguments[other].span, typed[other].dimension)))),
        },
        Function::Sqrt => first.square_root().ok_or_else(|| {
            sink.push(
                Mistake::new(
                    "odd_power",
                    arguments[0].span,
                    format!("the square root of {} has no unit", in_words(first)),
                )
                .label("expected a square, such as volts times volts"),
            )
        }),
        _ if first.is_none() => Ok(Dimension::NONE),
        _ => Err(sink.push(
            Mistake::new(
                "wrong_dimension",
                arguments[0].span,
                format!("this function takes a plain number, not {}", in_words(first)),
            )
            .label("expected a plain number")
            .help("divide by a reference value first"),
        )),
    }
}

/// The value of a function; the arguments are not empty.
fn apply(function: Function, values: &[f64]) -> f64 {
    let first = values[0];
    match function {
        Function::Min => values.iter().copied().fold(first, f64::min),
        Function::Max => values.iter().copied().fold(first, f64::max),
        Function::Sqrt => first.sqrt(),
        Function::Abs => first.abs(),
        Function::Sin => first.sin(),
        Function::Cos => first.cos(),
        Function::Exp => first.exp(),
        Function::Ln => first.ln(),
        Function::Log10 => first.log10(),
    }
}

fn power(
    (base_node, base): (&Node, Typed),
    (node, exponent): (&Node, Typed),
    span: Span,
    sink: &mut Sink,
) -> Result<Typed, Told> {
    let plain = exponent.constant().filter(|_| exponent.dimension.is_none());
    let Some(number) = plain.map(|quantity| quantity.value) else {
        return Err(sink.push(
            Mistake::new(
                "wrong_exponent",
                node.span,
                "an exponent must be a plain number that is known beforehand",
            )
            .label("expected a number such as 2"),
        ));
    };
    let dimension = if base.dimension.is_none() {
        Some(Dimension::NONE)
    } else if number.fract() == 0.0 && number.abs() < 128.0 {
        base.dimension.power(number as i32)
    } else if (2.0 * number).fract() == 0.0 && number.abs() < 128.0 {
        base.dimension.power((2.0 * number) as i32).and_then(Dimension::square_root)
    } else {
        return Err(sink.push(
            Mistake::new(
                "wrong_exponent",
                node.span,
                format!("{} to this power has no unit", in_words(base.dimension)),
            )
            .label("expected a whole number")
            .also(base_node.span, format!("in {}", in_words(base.dimension))),
        ));
    };
    let Some(dimension) = dimension else { return Err(tell_dimension_overflow(span, sink)) };
    Ok(match base.constant() {
        Some(quantity) => Typed::number(Quantity::new(quantity.value.powf(number), dimension)),
        None => {
            let (left, right) = (Box::new(base.expression), Box::new(exponent.expression));
            Typed { expression: Expression::Binary(BinaryOperator::Power, left, right), dimension }
        }
    })
}

fn tell_dimension_overflow(span: Span, sink: &mut Sink) -> Told {
    sink.push(
        Mistake::new("wrong_exponent", span, "this has no meaningful unit")
            .label("the powers are too high or uneven"),
    )
}

fn tell_arguments(function: &Word, expected: &str, sink: &mut Sink) -> Told {
    sink.push(
        Mistake::new("wrong_arguments", function.span, format!("`{}` takes {expected}", function.text))
            .label(format!("expected {expected} in its parentheses")),
    )
}

fn unlike((left, left_dimension): (Span, Dimension), (right, right_dimension): (Span, Dimension)) -> Mistake {
    let (one, other) = (in_words(left_dimension), in_words(right_dimension));
    Mistake::new("unlike_dimensions", right, format!("{one} and {other} don't go together"))
        .label(format!("expected {one}, this is in {other}"))
        .also(left, format!("this is in {one}"))
}

/// What a dimension is counted in, for a sentence.
pub(crate) fn in_words(dimension: Dimension) -> String {
    unit_name(dimension).map_or_else(|| unit_symbol(dimension), str::to_owned)
}

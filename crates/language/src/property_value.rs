//! A property's value against the shape and range that its table gives.

use crate::description::{Tolerance, Value};
use crate::kinds::{Allowed, KindTable, Property, Shape};
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::other_words;
use crate::parser::shown;
use crate::scope::{Scope, Wanted, in_words, wrong_dimension};
use crate::source::Span;
use crate::syntax::{Node, NodeKind, ValueKind, ValueNode};
use quantity::{Dimension, Quantity, engineering};

/// The word for a course that is a sine.
const SINE: &str = "sine";

/// Significant digits of values in messages.
const DIGITS: usize = 4;

impl Scope<'_> {
    /// Works out the value of `property` of the part named `part`.
    pub(crate) fn property_value(
        &self,
        table: &KindTable,
        property: &Property,
        part: &str,
        value: &ValueNode,
        sink: &mut Sink,
    ) -> Result<Value, Told> {
        let reader = Reader { scope: self, table, property, part };
        match (property.shape, &value.kind) {
            (Shape::Course(..), ValueKind::Expression(Node { kind: NodeKind::Name(word), .. }, None))
                if word == SINE =>
            {
                Ok(Value::Word(word.clone()))
            }
            (
                Shape::Number(dimension, usual) | Shape::Course(dimension, usual),
                ValueKind::Expression(node, tolerance),
            ) => reader.number(node, tolerance.as_ref(), Wanted::new(dimension, usual), sink),
            (Shape::Course(dimension, _), ValueKind::Trace(points)) => {
                let points = points.as_ref().ok_or_else(|| sink.already_told())?;
                let quantity = |(time, value): &(f64, f64)| {
                    (Quantity::new(*time, Dimension::TIME), Quantity::new(*value, dimension))
                };
                Ok(Value::Points(points.iter().map(quantity).collect()))
            }
            (Shape::Level, ValueKind::Expression(node, tolerance)) => {
                reader.level(node, tolerance.as_ref(), sink)
            }
            (Shape::Count, ValueKind::Expression(node, None)) => reader.count(node, sink),
            (Shape::Range(dimension, usual), ValueKind::Range(low, high)) => {
                reader.range(low, high, Wanted::new(dimension, usual), value.span, sink)
            }
            (Shape::Words(words), ValueKind::Expression(Node { kind: NodeKind::Name(word), span }, None)) => {
                reader.word(word, words, *span, sink)
            }
            (Shape::Points(first, second), ValueKind::List(entries)) => {
                let (first, second) = (Wanted::new(first.0, first.1), Wanted::new(second.0, second.1));
                reader.points(entries, first, second, value.span, sink)
            }
            (Shape::Course(dimension, usual), ValueKind::List(entries)) => {
                let (time, ordinate) = (Wanted::new(Dimension::TIME, "ms"), Wanted::new(dimension, usual));
                reader.points(entries, time, ordinate, value.span, sink)
            }
            _ => Err(reader.wrong_shape(value.span, sink)),
        }
    }

    /// Works out `+- …` of a value with the given dimension.
    pub(crate) fn tolerance(
        &self,
        node: &Node,
        dimension: Dimension,
        sink: &mut Sink,
    ) -> Result<Tolerance, Told> {
        let tolerance = match points(node) {
            Some(points) if dimension.is_none() => Tolerance::Absolute(points / 100.0),
            Some(_) => {
                return Err(sink.push(
                    Mistake::new("wrong_tolerance", node.span, "points are the tolerance of a % value")
                        .label(format!("expected % or {}", in_words(dimension)))
                        .help("write `+- 20 %`"),
                ));
            }
            None => {
                let quantity = self.constant(node, None, sink)?;
                if quantity.dimension.is_none() {
                    Tolerance::Relative(quantity.value)
                } else if quantity.dimension == dimension && !on_a_scale_with_offset(node) {
                    Tolerance::Absolute(quantity.value)
                } else {
                    let expected =
                        if dimension == Dimension::TEMPERATURE { "kelvin" } else { &in_words(dimension) };
                    return Err(sink.push(
                        Mistake::new(
                            "wrong_tolerance",
                            node.span,
                            format!("the tolerance must be in % or {expected}"),
                        )
                        .label(format!("expected % or {expected}")),
                    ));
                }
            }
        };
        match tolerance {
            Tolerance::Relative(share) if !(0.0..1.0).contains(&share) => {
                let mistake = Mistake::new(
                    "wrong_tolerance",
                    node.span,
                    "a relative tolerance is from 0 % to less than 100 %",
                )
                .label("expected less than 100 %");
                let percent = bare_number(node) && (0.0..100.0).contains(&share);
                Err(sink.push(if percent { mistake.help(format!("try +- {share} %")) } else { mistake }))
            }
            Tolerance::Absolute(by) if by < 0.0 => Err(sink.push(
                Mistake::new("wrong_tolerance", node.span, "a tolerance can't be negative")
                    .label("expected 0 or above"),
            )),
            tolerance => Ok(tolerance),
        }
    }
}

/// The number before `points`.
fn points(node: &Node) -> Option<f64> {
    match &node.kind {
        NodeKind::Number(literal) if literal.unit.as_ref().is_some_and(|unit| unit.text == "points") => {
            Some(literal.number)
        }
        _ => None,
    }
}

/// Whether a number is written with a unit of this dimension.
fn is_number_in(node: &Node, dimension: Dimension) -> bool {
    let NodeKind::Number(literal) = &node.kind else { return false };
    literal
        .unit
        .as_ref()
        .is_some_and(|unit| quantity::parse_unit(&unit.text).is_ok_and(|found| found.dimension == dimension))
}

/// `5 degC` as a difference would be 278 K.
fn on_a_scale_with_offset(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Number(literal) if literal.unit.as_ref().is_some_and(|unit| unit.text == "degC"))
}

struct Reader<'a> {
    scope: &'a Scope<'a>,
    table: &'a KindTable,
    property: &'a Property,
    part: &'a str,
}

impl Reader<'_> {
    /// The property's name as messages have it. Few values are wrong, so it is not made before.
    fn what(&self) -> String {
        format!("`{}`", self.property.name)
    }

    fn number(
        &self,
        node: &Node,
        tolerance: Option<&Node>,
        wanted: Wanted<'_>,
        sink: &mut Sink,
    ) -> Result<Value, Told> {
        let quantity = self.dimensioned(node, wanted, sink);
        let tolerance = self.scope.stated_tolerance(node, tolerance, wanted.dimension, Some(wanted), sink);
        let quantity = quantity?;
        self.allow(quantity, node, sink)?;
        if let Ok(Some(Tolerance::Between(low, high))) = tolerance {
            self.allow(Quantity::new(low, quantity.dimension), node, sink)?;
            self.allow(Quantity::new(high, quantity.dimension), node, sink)?;
        }
        Ok(Value::Number(quantity, tolerance?))
    }

    /// The value in the property's dimension; where it has that of a property with a like name, the mistake names that one.
    fn dimensioned(&self, node: &Node, wanted: Wanted<'_>, sink: &mut Sink) -> Result<Quantity, Told> {
        let quantity = self.scope.constant(node, Some(wanted), sink)?;
        if quantity.dimension == wanted.dimension {
            return Ok(quantity);
        }
        let mistake = wrong_dimension(node, &self.what(), wanted, quantity.dimension);
        Err(sink.push(match self.table.like_named(self.property, quantity.dimension) {
            Some(other) => mistake
                .help(format!("perhaps `{other}` was meant, which is in {}", in_words(quantity.dimension))),
            None => mistake,
        }))
    }

    /// A number in volt or in ampere.
    fn level(&self, node: &Node, tolerance: Option<&Node>, sink: &mut Sink) -> Result<Value, Told> {
        let quantity = self.scope.constant(node, None, sink)?;
        let voltage = Wanted::new(Dimension::VOLTAGE, "V");
        let wanted = if quantity.dimension == Dimension::CURRENT {
            Wanted::new(Dimension::CURRENT, "A")
        } else {
            voltage
        };
        self.number(node, tolerance, wanted, sink)
    }

    fn count(&self, node: &Node, sink: &mut Sink) -> Result<Value, Told> {
        const LARGEST: f64 = 1e6;
        let quantity = self.scope.dimensioned(node, &self.what(), Wanted::new(Dimension::NONE, ""), sink)?;
        if quantity.value.fract() != 0.0 || !(1.0..=LARGEST).contains(&quantity.value) {
            return Err(sink.push(
                Mistake::new(
                    "not_a_count",
                    node.span,
                    format!("{} of `{}` must be a whole number from 1", self.what(), self.part),
                )
                .label("expected 1, 2, 3 and so on, up to a million"),
            ));
        }
        Ok(Value::Number(quantity, None))
    }

    fn range(
        &self,
        low: &Node,
        high: &Node,
        wanted: Wanted<'_>,
        span: Span,
        sink: &mut Sink,
    ) -> Result<Value, Told> {
        let from = self.scope.dimensioned(low, &self.what(), wanted, sink);
        let to = self.scope.dimensioned(high, &self.what(), wanted, sink);
        let (from, to) = (from?, to?);
        self.allow(from, low, sink)?;
        if to.value <= from.value {
            return Err(sink.push(
                Mistake::new(
                    "wrong_range",
                    span,
                    format!("{} must rise: its lower end comes first", self.what()),
                )
                .label("expected the lower end first"),
            ));
        }
        Ok(Value::Range(from, to))
    }

    fn word(&self, word: &str, words: &[&str], span: Span, sink: &mut Sink) -> Result<Value, Told> {
        if words.contains(&word) {
            return Ok(Value::Word(word.to_owned()));
        }
        let near = nearest(word, words.iter().copied())
            .or_else(|| other_words::of_value(word).filter(|meant| words.contains(meant)));
        Err(sink.push(
            Mistake::new("unknown_value", span, format!("{} can't be `{}`", self.what(), shown(word)))
                .label(expected_word(words))
                .near(near),
        ))
    }

    fn points(
        &self,
        entries: &[(Node, Option<Node>)],
        first: Wanted<'_>,
        second: Wanted<'_>,
        span: Span,
        sink: &mut Sink,
    ) -> Result<Value, Told> {
        let mut points: Vec<(Quantity, Quantity)> = Vec::new();
        let mut wrong = None;
        for (abscissa, ordinate) in entries {
            match self.point(abscissa, ordinate.as_ref(), first, second, sink) {
                Ok((x, _)) if self.turns_back(&points, x) => {
                    let (turned, expected) = if first.dimension == Dimension::TIME {
                        ("this point is not later than the one before it", "expected a later time")
                    } else {
                        ("this point is not above the one before it", "expected a larger value")
                    };
                    let mistake = Mistake::new("points_not_rising", abscissa.span, turned);
                    wrong = Some(sink.push(mistake.label(expected)));
                }
                Ok(point) => points.push(point),
                Err(told) => wrong = Some(told),
            }
        }
        match wrong {
            Some(told) => Err(told),
            None if points.is_empty() => Err(self.wrong_shape(span, sink)),
            None => Ok(Value::Points(points)),
        }
    }

    /// Whether a point at `x` is not later than those before it. Two points at one time are a jump of what runs over time.
    fn turns_back(&self, points: &[(Quantity, Quantity)], x: Quantity) -> bool {
        let at_once = points.iter().rev().take_while(|point| point.0.value == x.value).count();
        let most = usize::from(matches!(self.property.shape, Shape::Course(..)));
        points.last().is_some_and(|(last, _)| x.value < last.value) || at_once > most
    }

    fn point(
        &self,
        abscissa: &Node,
        ordinate: Option<&Node>,
        first: Wanted<'_>,
        second: Wanted<'_>,
        sink: &mut Sink,
    ) -> Result<(Quantity, Quantity), Told> {
        if let Some(ordinate) = ordinate
            && first.dimension != second.dimension
            && is_number_in(abscissa, second.dimension)
            && is_number_in(ordinate, first.dimension)
        {
            return Err(sink.push(
                Mistake::new(
                    "wrong_dimension",
                    abscissa.span.to(ordinate.span),
                    format!("the two values of this point of {} are the wrong way round", self.what()),
                )
                .label(format!("expected {} before the `:`", in_words(first.dimension)))
                .help(format!("write `[… {}: … {}, …]`", first.usual, second.usual)),
            ));
        }
        let of_point = match self.property.shape {
            Shape::Course(..) => "the time of a point".to_owned(),
            _ => self.what(),
        };
        let x = self.scope.dimensioned(abscissa, &of_point, first, sink);
        let Some(ordinate) = ordinate else { return Err(self.wrong_shape(abscissa.span, sink)) };
        let y = self.scope.dimensioned(ordinate, &self.what(), second, sink);
        let (x, y) = (x?, y?);
        self.allow(y, ordinate, sink)?;
        if x.value < 0.0 {
            let (begins, expected) = if first.dimension == Dimension::TIME {
                ("time begins at 0 s".to_owned(), "expected 0 s or later".to_owned())
            } else {
                let zero = engineering(Quantity::new(0.0, first.dimension), DIGITS);
                (format!("{} begins at {zero}", self.what()), format!("expected {zero} or above"))
            };
            return Err(sink.push(Mistake::new("out_of_range", abscissa.span, begins).label(expected)));
        }
        Ok((x, y))
    }

    fn allow(&self, quantity: Quantity, node: &Node, sink: &mut Sink) -> Result<(), Told> {
        let allowed = self.property.allowed;
        if allowed.takes(quantity.value) {
            return Ok(());
        }
        let must = allowed.describe(quantity.dimension);
        let shown = match allowed {
            Allowed::AtLeast(_) => format!("{}", quantity.value),
            _ => engineering(quantity, DIGITS),
        };
        let mistake = Mistake::new(
            "out_of_range",
            node.span,
            format!("{} of `{}` must be {must}, not {shown}", self.what(), self.part),
        )
        .label(format!("expected {must}"));
        // A percentage written without its sign
        let as_percent =
            quantity.dimension.is_none() && bare_number(node) && allowed.takes(quantity.value / 100.0);
        Err(sink.push(if as_percent && matches!(allowed, Allowed::Between(..) | Allowed::Inside(..)) {
            mistake.help(format!("try {} %", quantity.value))
        } else {
            mistake
        }))
    }

    fn wrong_shape(&self, span: Span, sink: &mut Sink) -> Told {
        let (expected, example) = match self.property.shape {
            Shape::Number(dimension, unit) => {
                (format!("one value in {}", in_words(dimension)), format!("… {unit}"))
            }
            Shape::Count => ("a whole number".to_owned(), "2".to_owned()),
            Shape::Level => ("one value in volt or ampere".to_owned(), "… V".to_owned()),
            Shape::Range(dimension, unit) => {
                (format!("a range in {}", in_words(dimension)), format!("A {unit} .. B {unit}"))
            }
            Shape::Words(words) => (format!("`{}`", words.join("` or `")), words[0].to_owned()),
            Shape::Course(dimension, unit) => (
                format!("one value in {} or points over time", in_words(dimension)),
                format!("… {unit}` or `{} [0 ms: … {unit}, 1 ms: … {unit}]", self.property.name),
            ),
            Shape::Points((_, x), (_, y)) => {
                ("a list of points".to_owned(), format!("[0 {x}: … {y}, 1 {x}: … {y}]"))
            }
        };
        sink.push(
            Mistake::new(
                "wrong_shape",
                span,
                format!("{} of `{}` must be {expected}", self.what(), self.part),
            )
            .label(format!("expected {expected}"))
            .help(format!("write `{} {}`", self.property.name, example.trim())),
        )
    }
}

/// The words that are taken; a few of them where they are many.
fn expected_word(words: &[&str]) -> String {
    const MOST: usize = 10;
    if words.len() > MOST {
        return format!("expected a word such as `{}`", words[..3].join("` or `"));
    }
    format!("expected `{}`", words.join("` or `"))
}

fn bare_number(node: &Node) -> bool {
    matches!(&node.kind, NodeKind::Number(literal) if literal.unit.is_none())
}

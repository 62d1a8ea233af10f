//! Responses over frequency: what they are made of, and their dimensions.

use super::over_frequency::INSERTION_LOSS;
use super::{Scope, tell_dimension_overflow, unlike};
use crate::description::{BinaryOperator, ResponseExpression};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::names::Bearer;
use crate::parser::shown;
use crate::program::node;
use crate::syntax::{File, Node, NodeKind, Word};
use quantity::{Dimension, Quantity};
use rustc_hash::FxHashMap as HashMap;

/// Every curve with the arguments it takes, in words.
const CURVES: &[(&str, &str)] = &[
    ("transfer", "the voltage of a node and a source"),
    ("impedance", "a node or two nodes"),
    (INSERTION_LOSS, "a fitted assembly and the resistances of source and load"),
];

/// Every curve with what it takes, for those who list the language's words.
pub(crate) fn responses() -> impl Iterator<Item = (&'static str, &'static str)> {
    CURVES.iter().copied()
}

/// What can be shaken, and the dimension of a voltage for one unit of it: volt per ampere drawn, or per volt pushed.
const SOURCES: &[(Kind, Dimension)] = &[
    (Kind::Drive, Dimension::RESISTANCE),
    (Kind::Servo, Dimension::RESISTANCE),
    (Kind::Transmitter, Dimension::RESISTANCE),
    (Kind::Battery, Dimension::NONE),
    (Kind::Supply, Dimension::NONE),
    (Kind::Generator, Dimension::NONE),
];

/// What a response may speak of, beside numbers: nodes and parts, and the responses above it. `None` stands for one that is wrong
/// and has been told.
pub(crate) struct Curves<'a> {
    pub(crate) scope: &'a Scope<'a>,
    pub(crate) file: &'a File,
    pub(crate) above: &'a HashMap<&'a str, Option<Dimension>>,
}

/// An expression with the dimension of its result.
pub(crate) struct TypedCurve {
    pub(crate) expression: ResponseExpression,
    pub(crate) dimension: Dimension,
}

impl TypedCurve {
    fn number(quantity: Quantity) -> Self {
        Self { expression: ResponseExpression::Number(quantity), dimension: quantity.dimension }
    }

    fn constant(&self) -> Option<f64> {
        match self.expression {
            ResponseExpression::Number(quantity) => Some(quantity.value),
            _ => None,
        }
    }
}

impl Curves<'_> {
    /// What a response is.
    pub(crate) fn response(&self, node: &Node, sink: &mut Sink) -> Result<TypedCurve, Told> {
        let curve = self.curve(node, sink)?;
        if curve.constant().is_none() {
            return Ok(curve);
        }
        Err(sink.push(
            Mistake::new("constant_response", node.span, "this is the same at every frequency")
                .label("expected a transfer, an impedance or an insertion loss")
                .help("write `transfer(voltage(NODE), DRIVE)` or `impedance(NODE)`"),
        ))
    }

    fn curve(&self, node: &Node, sink: &mut Sink) -> Result<TypedCurve, Told> {
        match &node.kind {
            NodeKind::Name(name) if self.is_response(name) => match self.above.get(name.as_str()) {
                Some(Some(dimension)) => Ok(TypedCurve {
                    expression: ResponseExpression::Response(name.clone()),
                    dimension: *dimension,
                }),
                Some(None) => Err(sink.already_told()),
                None => Err(sink.push(
                    Mistake::new(
                        "used_before_defined",
                        node.span,
                        format!("`{}` is defined further down, or right here", shown(name)),
                    )
                    .label("not known yet here")
                    .help("put the response that it needs above this line"),
                )),
            },
            NodeKind::Negate(inner) => {
                let inner = self.curve(inner, sink)?;
                let minus = TypedCurve::number(Quantity::ratio(-1.0));
                Ok(join(BinaryOperator::Multiply, minus, inner.dimension, inner))
            }
            NodeKind::Binary(operator, left, right) if *operator != BinaryOperator::Power => {
                // Both sides are worked out before either failure counts, so that both are told.
                let (one, other) = (self.curve(left, sink), self.curve(right, sink));
                self.binary(*operator, (left, one?), (right, other?), node, sink)
            }
            NodeKind::Call(function, arguments) => self.call(function, arguments, node, sink),
            _ => self.scope.constant(node, None, sink).map(TypedCurve::number),
        }
    }

    fn is_response(&self, name: &str) -> bool {
        self.file.responses.iter().any(|each| each.name.text == name)
    }

    fn binary(
        &self,
        operator: BinaryOperator,
        (left_node, left): (&Node, TypedCurve),
        (right_node, right): (&Node, TypedCurve),
        node: &Node,
        sink: &mut Sink,
    ) -> Result<TypedCurve, Told> {
        if left.constant().is_some() && right.constant().is_some() {
            return self.scope.constant(node, None, sink).map(TypedCurve::number);
        }
        let dimension = match operator {
            BinaryOperator::Multiply => left.dimension.multiply(right.dimension),
            BinaryOperator::Divide if right.constant() == Some(0.0) => {
                return Err(sink.push(
                    Mistake::new("division_by_zero", right_node.span, "this divides by zero")
                        .label("this is 0"),
                ));
            }
            BinaryOperator::Divide => left.dimension.divide(right.dimension),
            _ if left.dimension == right.dimension => Some(left.dimension),
            _ => {
                return Err(
                    sink.push(unlike((left_node.span, left.dimension), (right_node.span, right.dimension)))
                );
            }
        };
        let Some(dimension) = dimension else { return Err(tell_dimension_overflow(node.span, sink)) };
        Ok(join(operator, left, dimension, right))
    }

    fn call(
        &self,
        function: &Word,
        arguments: &[Node],
        node: &Node,
        sink: &mut Sink,
    ) -> Result<TypedCurve, Told> {
        let Some((_, takes)) = CURVES.iter().find(|(name, _)| *name == function.text) else {
            if self.scope.is_arithmetic(&function.text) {
                return self.scope.constant(node, None, sink).map(TypedCurve::number);
            }
            return Err(sink.push(unknown_curve(function)));
        };
        match (function.text.as_str(), arguments) {
            ("transfer", [voltage, source]) => {
                let (nodes, source) = (self.voltage(voltage, sink), self.source(source, sink));
                let ((plus, minus), (source, dimension)) = (nodes?, source?);
                Ok(TypedCurve { expression: ResponseExpression::Transfer { plus, minus, source }, dimension })
            }
            ("impedance", [_] | [_, _]) => {
                let (plus, minus) = self.nodes(arguments, sink)?;
                Ok(TypedCurve {
                    expression: ResponseExpression::Impedance { plus, minus },
                    dimension: Dimension::RESISTANCE,
                })
            }
            (INSERTION_LOSS, [instance, source, load]) => {
                let (instance, source, load) = self.scope.insertion([instance, source, load], sink)?;
                Ok(TypedCurve {
                    expression: ResponseExpression::InsertionLoss { instance, source, load },
                    dimension: Dimension::NONE,
                })
            }
            _ => Err(super::tell_arguments(function, takes, sink)),
        }
    }

    /// `voltage(NODE)` or `voltage(NODE, NODE)`.
    fn voltage(&self, node: &Node, sink: &mut Sink) -> Result<(String, Option<String>), Told> {
        match &node.kind {
            NodeKind::Call(function, arguments)
                if function.text == "voltage" && matches!(arguments.len(), 1 | 2) =>
            {
                self.nodes(arguments, sink)
            }
            NodeKind::Call(function, _) if function.text == "voltage" => {
                Err(super::tell_arguments(function, "a node or two nodes", sink))
            }
            _ => Err(sink.push(
                Mistake::new("not_a_voltage", node.span, "a transfer looks at the voltage of a node")
                    .label("expected `voltage(NODE)`")
                    .help("write `transfer(voltage(NODE), DRIVE)`"),
            )),
        }
    }

    fn nodes(&self, arguments: &[Node], sink: &mut Sink) -> Result<(String, Option<String>), Told> {
        let mut found = Vec::new();
        for argument in arguments {
            found.push(self.node(argument, sink));
        }
        let found = found.into_iter().collect::<Result<Vec<String>, Told>>()?;
        if let [one, other] = found.as_slice()
            && one == other
        {
            return Err(sink.push(
                Mistake::new(
                    "same_node_twice",
                    arguments[1].span,
                    format!("`{}` has no voltage against itself", shown(one)),
                )
                .label("expected another node"),
            ));
        }
        if let [only] = found.as_slice()
            && only == "gnd"
        {
            return Err(sink.push(
                Mistake::new("same_node_twice", arguments[0].span, "`gnd` has no voltage against itself")
                    .label("expected another node"),
            ));
        }
        let mut found = found.into_iter();
        let plus = found.next().unwrap_or_default();
        Ok((plus, found.next()))
    }

    fn node(&self, argument: &Node, sink: &mut Sink) -> Result<String, Told> {
        let NodeKind::Name(name) = &argument.kind else {
            return Err(sink.push(
                Mistake::new("not_a_node", argument.span, "this must be the name of a node")
                    .label("expected a node"),
            ));
        };
        let word = Word { text: name.clone(), span: argument.span };
        if node(&word, self.scope.names, self.file, false, sink) {
            return Ok(word.text);
        }
        Err(sink.already_told())
    }

    /// A source's name, and the dimension of a voltage for one unit of it.
    fn source(&self, argument: &Node, sink: &mut Sink) -> Result<(String, Dimension), Told> {
        const EXPECTED: &str = "expected a drive, battery, supply, generator or source";
        let names = self.scope.names;
        let NodeKind::Name(name) = &argument.kind else {
            return Err(sink.push(
                Mistake::new("not_a_part", argument.span, "this must be the name of a source")
                    .label(EXPECTED),
            ));
        };
        let shown = shown(name);
        let Some(entry) = names.parts.get(name) else {
            let near = names.near(name, &[Bearer::Part]);
            let bearer = names.bearer(name);
            if bearer.is_none() && near.is_none() && self.file.parts_missing {
                return Err(sink.already_told());
            }
            let message = match bearer {
                Some(bearer) => format!("`{shown}` is a {}, not a source", bearer.word()),
                None => format!("there is no part `{shown}`"),
            };
            return Err(
                sink.push(Mistake::new("unknown_part", argument.span, message).label(EXPECTED).near(near))
            );
        };
        let mut dimension = None;
        for kind in entry.kinds.iter().flatten() {
            let known = SOURCES.iter().find(|(source, _)| source == kind).map(|(_, dimension)| *dimension);
            let Some(found) = known.or_else(|| self.source_dimension(*kind, name)) else {
                return Err(sink.push(
                    Mistake::new(
                        "wrong_kind",
                        argument.span,
                        format!("`{shown}` is {}, which drives nothing by itself", kind.table().noun()),
                    )
                    .label(EXPECTED),
                ));
            };
            if dimension.is_some_and(|known| known != found) {
                return Err(sink.push(
                    Mistake::new(
                        "wrong_kind",
                        argument.span,
                        format!("`{shown}` draws a current in one option and pushes a voltage in another"),
                    )
                    .label("expected sources of one kind")
                    .help("give the two different names, and a response to each"),
                ));
            }
            dimension = Some(found);
        }
        match dimension {
            Some(dimension) => Ok((name.clone(), dimension)),
            // Its kind is unknown, which has been told.
            None => Err(sink.already_told()),
        }
    }
}

impl Curves<'_> {
    /// The dimension of a voltage for one unit of a `source` of that name: whether it pushes or drives a current, its properties
    /// say. Sources of one name are taken to be alike.
    fn source_dimension(&self, kind: Kind, name: &str) -> Option<Dimension> {
        let mut parts = self.file.placed().flat_map(|(_, placed)| placed.parts());
        let part = parts.find(|part| part.name.text == name && part.kind == Some(kind))?;
        let current = part.properties.iter().any(|property| property.name.text == "current");
        (kind == Kind::Source).then_some(if current { Dimension::RESISTANCE } else { Dimension::NONE })
    }
}

fn join(operator: BinaryOperator, left: TypedCurve, dimension: Dimension, right: TypedCurve) -> TypedCurve {
    let expression =
        ResponseExpression::Binary(operator, Box::new(left.expression), Box::new(right.expression));
    TypedCurve { expression, dimension }
}

fn unknown_curve(function: &Word) -> Mistake {
    let mistake = Mistake::new(
        "unknown_response",
        function.span,
        format!("a response can't be made of `{}`", shown(&function.text)),
    )
    .label("expected `transfer`, `impedance` or `insertion_loss`");
    if function.text == "voltage" {
        return mistake.help("say what drives it: `transfer(voltage(NODE), DRIVE)`");
    }
    mistake.near(nearest(&function.text, CURVES.iter().map(|(name, _)| *name)))
}

/// Whether the name of a response is one that a number may have, so that no one could tell which is meant.
pub(crate) fn tell_taken(word: &Word, scope: &Scope<'_>, sink: &mut Sink) {
    if scope.names.bearer(&word.text) != Some(Bearer::Let) {
        return;
    }
    let mistake =
        Mistake::new("duplicate_name", word.span, format!("the name `{}` is taken", shown(&word.text)))
            .label("expected another name for this response");
    sink.push(match scope.names.place(&word.text) {
        Some(place) => mistake.also(place, "a let has it"),
        None => mistake,
    });
}

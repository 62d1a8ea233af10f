//! What a file says, before anything is worked out: parsed first, resolved later.

mod assembly;
mod place;
mod sweep;
mod uses;

pub(crate) use assembly::{AssemblyNode, FitNode, Inner, InstanceNode, Placed};
pub(crate) use place::PlaceNode;
pub(crate) use sweep::{Division, SweepNode, SweepPoints};

use crate::description::{AxisKind, BinaryOperator, Comparison, DrawsOfTolerances, Start};
use crate::kind::Kind;
use crate::names::Site;
use crate::source::Span;
use quantity::Quantity;
use rustc_hash::FxHashMap as HashMap;
use std::sync::Arc;

/// A word with its place.
#[derive(Clone, Debug)]
pub(crate) struct Word {
    pub(crate) text: String,
    pub(crate) span: Span,
}

impl Word {
    /// The name of something inside what this names: `OUTER.INNER`.
    pub(crate) fn inner(&self, inner: &Self) -> Self {
        Self { text: format!("{}.{}", self.text, inner.text), span: self.span.to(inner.span) }
    }
}

/// An expression with its place. Its height is bounded by the parser, so that walking it may recurse.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) kind: NodeKind,
    pub(crate) span: Span,
}

#[derive(Clone, Debug)]
pub(crate) enum NodeKind {
    Number(Literal),
    /// A value that is no text of the file: a point of a sweep.
    Known(Quantity),
    Name(String),
    Negate(Box<Node>),
    Binary(BinaryOperator, Box<Node>, Box<Node>),
    Call(Word, Vec<Node>),
    /// `A .. B` as an argument.
    Range(Box<Node>, Box<Node>),
    /// `unknown A .. B`; a whole value, never a part of an expression.
    Unknown(Box<Node>, Box<Node>),
}

/// A number as written.
#[derive(Clone, Debug)]
pub(crate) struct Literal {
    pub(crate) number: f64,
    /// The digits as written.
    pub(crate) digits: String,
    pub(crate) unit: Option<Word>,
    /// Whether the unit follows without a space, so that both may be a value code.
    pub(crate) glued: bool,
}

/// A value with its place.
#[derive(Clone, Debug)]
pub(crate) struct ValueNode {
    pub(crate) kind: ValueKind,
    pub(crate) span: Span,
}

#[derive(Clone, Debug)]
pub(crate) enum ValueKind {
    Expression(Node, Option<Node>),
    Range(Node, Node),
    List(Vec<(Node, Option<Node>)>),
    /// A quoted text; no property of this edition takes one.
    Text,
    /// `file "trace.csv"`: its points of time in second and value; `None` where it can't be read and that has been told.
    Trace(Option<Arc<Vec<(f64, f64)>>>),
}

/// `NAME VALUE`; the value is `None` where it could not be read and that has been told.
#[derive(Clone, Debug)]
pub(crate) struct PropertyNode {
    pub(crate) name: Word,
    pub(crate) value: Option<ValueNode>,
}

/// A part.
#[derive(Clone, Debug)]
pub(crate) struct PartNode {
    /// `None` for a kind that is unknown or not available.
    pub(crate) kind: Option<Kind>,
    pub(crate) name: Word,
    /// `None` where it is missing and that has been told.
    pub(crate) left: Option<Word>,
    pub(crate) right: Option<Word>,
    /// The second pair of nodes of a kind that has one, each as above; `None` where the kind has none.
    pub(crate) second: Option<Box<(Option<Word>, Option<Word>)>>,
    pub(crate) properties: Vec<PropertyNode>,
    /// Where the part is one of a fitted assembly: the index of its instance among those of the `fit`.
    pub(crate) instance: Option<usize>,
}

impl PartNode {
    /// The pairs of nodes, left and right of each arrow.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = (Option<&Word>, Option<&Word>)> {
        let second = self.second.iter().map(|pair| (pair.0.as_ref(), pair.1.as_ref()));
        std::iter::once((self.left.as_ref(), self.right.as_ref())).chain(second)
    }

    /// Every node that is known.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = &Word> {
        self.pairs().flat_map(|(left, right)| [left, right]).flatten()
    }
}

/// `set TARGET = VALUE` or `set PART.PROPERTY = VALUE`; the part may be one of an instance, `INSTANCE.PART`.
#[derive(Clone, Debug)]
pub(crate) struct SetNode {
    pub(crate) target: Word,
    pub(crate) property: Option<Word>,
    pub(crate) value: Option<ValueNode>,
    pub(crate) span: Span,
}

/// A choice, condition or sweep.
#[derive(Clone, Debug)]
pub(crate) struct AxisNode {
    pub(crate) kind: AxisKind,
    pub(crate) name: Word,
    /// None of a sweep.
    pub(crate) options: Vec<OptionNode>,
    /// What a sweep sweeps.
    pub(crate) sweep: Option<Box<SweepNode>>,
    /// Where a filter may go; only of a choice.
    pub(crate) place: Option<Box<PlaceNode>>,
}

/// An option or case.
#[derive(Clone, Debug)]
pub(crate) struct OptionNode {
    pub(crate) name: Word,
    /// Place of the word `baseline`.
    pub(crate) baseline: Option<Span>,
    pub(crate) placed: Vec<Placed>,
    pub(crate) sets: Vec<SetNode>,
}

#[derive(Clone, Debug)]
pub(crate) struct LetNode {
    pub(crate) name: Word,
    pub(crate) value: Option<(Node, Option<Node>)>,
}

#[derive(Clone, Debug)]
pub(crate) struct TestpointNode {
    pub(crate) name: Word,
    /// What is looked at, with its arguments; `None` where it could not be read.
    pub(crate) signal: Option<(Word, Vec<Word>)>,
    pub(crate) bandwidth: Option<Node>,
}

/// `in TRANSIENT`, `over t1 .. t2`.
#[derive(Clone, Debug, Default)]
pub(crate) struct Narrowing {
    pub(crate) transient: Option<Word>,
    pub(crate) window: Option<(Node, Node)>,
}

impl Narrowing {
    /// Place of what it names.
    pub(crate) fn span(&self) -> Option<Span> {
        let window = self.window.as_ref().map(|(from, to)| from.span.to(to.span));
        self.transient.as_ref().map(|word| word.span).or(window)
    }
}

#[derive(Clone, Debug)]
pub(crate) struct ReadingNode {
    pub(crate) name: Word,
    pub(crate) expression: Option<Node>,
    pub(crate) narrowing: Narrowing,
}

#[derive(Clone, Debug)]
pub(crate) struct RequirementNode {
    pub(crate) text: String,
    pub(crate) expression: Node,
    pub(crate) narrowing: Narrowing,
    pub(crate) comparison: Comparison,
    pub(crate) limit: Node,
    pub(crate) why: Option<String>,
}

#[derive(Clone, Debug)]
pub(crate) struct TransientNode {
    pub(crate) name: Option<Word>,
    pub(crate) statement: Span,
    /// `None` where it could not be read and that has been told.
    pub(crate) span: Option<Node>,
    pub(crate) start: Option<Start>,
    pub(crate) record: Option<Node>,
}

/// `frequency …`; `None` where it could not be read and that has been told.
#[derive(Clone, Debug)]
pub(crate) struct FrequencyNode {
    pub(crate) statement: Span,
    pub(crate) frequencies: Option<Frequencies>,
}

/// Where responses are computed.
#[derive(Clone, Debug)]
pub(crate) enum Frequencies {
    /// `A .. B, points N`.
    Range(Box<Spacing>),
    /// `[F, F]`, with its place.
    List(Vec<Node>, Span),
}

#[derive(Clone, Debug)]
pub(crate) struct Spacing {
    pub(crate) low: Node,
    pub(crate) high: Node,
    /// How many a decade.
    pub(crate) points: Node,
}

#[derive(Clone, Debug)]
pub(crate) struct ResponseNode {
    pub(crate) name: Word,
    /// `None` where it could not be read and that has been told.
    pub(crate) expression: Option<Node>,
}

/// What stands in the file's order because parts keep it.
#[derive(Clone, Debug)]
pub(crate) enum Item {
    Placed(Placed),
    Axis(AxisNode),
}

impl Item {
    /// About how many statements it stands for.
    fn size(&self) -> usize {
        match self {
            Self::Placed(placed) => 1 + placed.parts().count(),
            Self::Axis(axis) => {
                1 + axis.options.iter().flat_map(|option| &option.placed).flat_map(Placed::parts).count()
            }
        }
    }
}

/// The whole file.
#[derive(Clone, Debug, Default)]
pub(crate) struct File {
    pub(crate) title: Option<Word>,
    pub(crate) lets: Vec<LetNode>,
    pub(crate) items: Vec<Item>,
    pub(crate) assemblies: Vec<AssemblyNode>,
    pub(crate) testpoints: Vec<TestpointNode>,
    pub(crate) readings: Vec<ReadingNode>,
    pub(crate) requirements: Vec<RequirementNode>,
    pub(crate) transients: Vec<TransientNode>,
    pub(crate) frequencies: Vec<FrequencyNode>,
    pub(crate) responses: Vec<ResponseNode>,
    pub(crate) draws: Option<DrawsOfTolerances>,
    /// Settings of the command line.
    pub(crate) settings: Vec<SetNode>,
    /// Whether a part or a statement that may hold parts could not be read, so that what is missing is unknown.
    pub(crate) parts_missing: bool,
    /// Whether a file could not be taken in, so that names of all sorts may be missing.
    pub(crate) names_missing: bool,
    /// For each included text, by the index that spans have, where it is included.
    pub(crate) included_at: HashMap<usize, Span>,
}

impl File {
    /// About how many statements there are, at least 1.
    pub(crate) fn size(&self) -> usize {
        1 + self.lets.len()
            + self.items.iter().map(Item::size).sum::<usize>()
            + self.testpoints.len()
            + self.readings.len()
            + self.requirements.len()
            + self.responses.len()
    }

    /// Where in the file's order `placed` things stand: always, or in one option of one axis.
    pub(crate) fn placed(&self) -> impl Iterator<Item = (Site, &Placed)> {
        let mut axes = 0..;
        self.items.iter().flat_map(move |item| match item {
            Item::Placed(placed) => vec![(Site::Always, placed)],
            Item::Axis(node) => {
                let axis = axes.next().unwrap_or_default();
                let options = node.options.iter().enumerate();
                options
                    .flat_map(|(option, each)| {
                        each.placed.iter().map(move |placed| (Site::Option { axis, option }, placed))
                    })
                    .collect()
            }
        })
    }

    /// Every axis.
    pub(crate) fn axes(&self) -> impl Iterator<Item = &AxisNode> {
        self.items.iter().filter_map(|item| match item {
            Item::Axis(axis) => Some(axis),
            Item::Placed(_) => None,
        })
    }
}

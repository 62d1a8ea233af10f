//! Assemblies, and the places where they are fitted.

use super::{LetNode, PartNode, Word};
use crate::source::Span;

/// `assembly NAME(PARAMETER, …) TERMINAL, … { … }`
#[derive(Clone, Debug)]
pub(crate) struct AssemblyNode {
    pub(crate) name: Word,
    pub(crate) parameters: Vec<Word>,
    pub(crate) terminals: Vec<Word>,
    pub(crate) body: Vec<Inner>,
    /// From its name to the end of its block.
    pub(crate) span: Span,
    /// Whether all of it could be read; where not, that has been told.
    pub(crate) complete: bool,
}

impl AssemblyNode {
    /// One of which only the name is known so far.
    pub(crate) fn unread(name: Word) -> Self {
        Self {
            span: name.span,
            name,
            parameters: Vec::new(),
            terminals: Vec::new(),
            body: Vec::new(),
            complete: false,
        }
    }

    pub(crate) fn lets(&self) -> impl Iterator<Item = &LetNode> {
        self.body.iter().filter_map(|inner| match inner {
            Inner::Let(node) => Some(node),
            Inner::Placed(_) => None,
        })
    }

    pub(crate) fn placed(&self) -> impl Iterator<Item = &Placed> {
        self.body.iter().filter_map(|inner| match inner {
            Inner::Placed(placed) => Some(placed),
            Inner::Let(_) => None,
        })
    }

    pub(crate) fn fits(&self) -> impl Iterator<Item = &FitNode> {
        self.placed().filter_map(Placed::fit)
    }

    /// Whether `name` is a value inside: a parameter or a `let`.
    pub(crate) fn has_value(&self, name: &str) -> bool {
        self.values().any(|value| value == name)
    }

    /// Names of its parameters and lets.
    pub(crate) fn values(&self) -> impl Iterator<Item = &str> {
        let lets = self.lets().map(|node| node.name.text.as_str());
        self.parameters.iter().map(|parameter| parameter.text.as_str()).chain(lets)
    }
}

/// What an assembly holds.
#[derive(Clone, Debug)]
pub(crate) enum Inner {
    Let(LetNode),
    Placed(Placed),
}

/// A part, or an assembly that stands for its parts.
#[derive(Clone, Debug)]
pub(crate) enum Placed {
    Part(PartNode),
    Fit(FitNode),
}

impl Placed {
    /// The part itself, or the parts of the assembly as far as it has been written out.
    pub(crate) fn parts(&self) -> impl Iterator<Item = &PartNode> {
        match self {
            Self::Part(part) => std::slice::from_ref(part),
            Self::Fit(fit) => fit.parts.as_slice(),
        }
        .iter()
    }

    pub(crate) fn fit(&self) -> Option<&FitNode> {
        match self {
            Self::Fit(fit) => Some(fit),
            Self::Part(_) => None,
        }
    }
}

/// `fit ASSEMBLY NAME NODE, … PARAMETER VALUE, …`
#[derive(Clone, Debug)]
pub(crate) struct FitNode {
    pub(crate) assembly: Word,
    pub(crate) name: Word,
    pub(crate) nodes: Vec<Word>,
    pub(crate) arguments: Vec<LetNode>,
    /// Whether the whole statement could be read; where not, that has been told.
    pub(crate) complete: bool,
    /// Index of the assembly, once it is looked up; `None` where there is none, which has been told.
    pub(crate) target: Option<usize>,
    /// This instance and those inside it, each before what it holds; empty until it is written out.
    pub(crate) instances: Vec<InstanceNode>,
    /// Their parts under their full names.
    pub(crate) parts: Vec<PartNode>,
}

/// One instance, written out.
#[derive(Clone, Debug)]
pub(crate) struct InstanceNode {
    /// The full name, `OUTER.INNER` for one inside another.
    pub(crate) name: Word,
    pub(crate) assembly: usize,
    /// Index of the instance that holds it.
    pub(crate) parent: Option<usize>,
    /// The outer node on each terminal; `None` where it is missing and that has been told.
    pub(crate) nodes: Vec<Option<Word>>,
    pub(crate) arguments: Vec<LetNode>,
}

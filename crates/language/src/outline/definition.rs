//! The names that statements bring in.

use super::{Lexeme, Sort};
use crate::description::AxisKind;
use crate::kind::Kind;
use crate::source::Span;

/// What a statement brings in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// A part; `None` where any kind is meant.
    Part(Option<Kind>),
    /// `let`
    Let,
    /// `testpoint`
    Testpoint,
    /// `reading`
    Reading,
    /// `response`
    Response,
    /// `transient` with a name
    Transient,
    /// `assembly`
    Assembly,
    /// What `fit` places.
    Instance,
    /// `choice`, `condition`, `sweep`
    Axis(AxisKind),
    /// `option`, `case`
    Option,
}

/// A name that a statement brings in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Definition {
    /// What it names.
    pub role: Role,
    /// Place of the name.
    pub name: Span,
    /// Place of the assembly's name after `fit`.
    pub assembly: Option<Span>,
    /// Places of the nodes that a part or an instance is put on, and of an assembly's terminals.
    pub nodes: Vec<Span>,
    /// Places of an assembly's parameters.
    pub parameters: Vec<Span>,
}

/// What a statement with these lexemes defines.
pub(super) fn definition(text: &str, lexemes: &[Lexeme]) -> Option<Definition> {
    let word = |at: usize| {
        let lexeme = lexemes.get(at).filter(|lexeme| lexeme.sort == Sort::Word)?;
        text.get(lexeme.span.start..lexeme.span.end)
    };
    let first = word(0)?;
    let (role, at) = match first {
        "let" => (Role::Let, 1),
        "testpoint" => (Role::Testpoint, 1),
        "reading" => (Role::Reading, 1),
        "response" => (Role::Response, 1),
        "transient" if word(1) != Some("span") => (Role::Transient, 1),
        "assembly" => (Role::Assembly, 1),
        "fit" => (Role::Instance, 2),
        "choice" => (Role::Axis(AxisKind::Choice), 1),
        "condition" => (Role::Axis(AxisKind::Condition), 1),
        "sweep" => (Role::Axis(AxisKind::Sweep), 1),
        "option" | "case" => (Role::Option, 1),
        _ => (Role::Part(Some(Kind::from_word(first)?)), 1),
    };
    word(at)?;
    let rest = &lexemes[at + 1..];
    let (nodes, parameters) = match role {
        Role::Part(_) => (beside_arrows(rest), Vec::new()),
        Role::Instance => (listed(rest), Vec::new()),
        Role::Assembly => {
            let open = rest.first().is_some_and(|lexeme| lexeme.sort == Sort::Open);
            let close = rest.iter().position(|lexeme| lexeme.sort == Sort::Close).filter(|_| open);
            let inside = close.map_or(&rest[..0], |close| &rest[1..close]);
            (listed(close.map_or(rest, |close| &rest[close + 1..])), listed(inside))
        }
        _ => (Vec::new(), Vec::new()),
    };
    let assembly = (role == Role::Instance).then(|| lexemes[1].span);
    Some(Definition { role, name: lexemes[at].span, assembly, nodes, parameters })
}

/// The words on both sides of each arrow.
fn beside_arrows(lexemes: &[Lexeme]) -> Vec<Span> {
    let is_word = |lexeme: &&Lexeme| lexeme.sort == Sort::Word;
    let arrows = lexemes.iter().enumerate().filter(|(_, lexeme)| lexeme.sort == Sort::Arrow);
    let beside = arrows.flat_map(|(at, _)| {
        let left = at.checked_sub(1).and_then(|left| lexemes.get(left));
        [left.filter(is_word), lexemes.get(at + 1).filter(is_word)]
    });
    beside.flatten().map(|lexeme| lexeme.span).collect()
}

/// Words with commas between, up to the first without a comma after it.
fn listed(lexemes: &[Lexeme]) -> Vec<Span> {
    let mut found = Vec::new();
    for pair in lexemes.chunks(2) {
        if pair[0].sort != Sort::Word {
            break;
        }
        found.push(pair[0].span);
        if pair.get(1).is_none_or(|next| next.sort != Sort::Comma) {
            break;
        }
    }
    found
}

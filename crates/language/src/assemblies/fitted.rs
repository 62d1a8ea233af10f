//! One `fit` against the assembly that it names.

use crate::mistake::{Mistake, Sink, nearest};
use crate::parser::shown;
use crate::source::Span;
use crate::syntax::{AssemblyNode, FitNode};
use rustc_hash::FxHashMap as HashMap;

/// What a fit needs to know of an assembly.
struct Head {
    name: String,
    parameters: Vec<String>,
    terminals: Vec<String>,
    complete: bool,
}

/// The heads of all assemblies.
pub(super) struct Known {
    heads: Vec<Head>,
    /// The first assembly of each name; a second has been told.
    indices: HashMap<String, usize>,
}

impl Known {
    pub(super) fn new(assemblies: &[AssemblyNode]) -> Self {
        let mut indices = HashMap::default();
        for (index, assembly) in assemblies.iter().enumerate() {
            indices.entry(assembly.name.text.clone()).or_insert(index);
        }
        let texts = |words: &[crate::syntax::Word]| words.iter().map(|word| word.text.clone()).collect();
        let head = |assembly: &AssemblyNode| Head {
            name: assembly.name.text.clone(),
            parameters: texts(&assembly.parameters),
            terminals: texts(&assembly.terminals),
            complete: assembly.complete,
        };
        Self { heads: assemblies.iter().map(head).collect(), indices }
    }

    /// Looks up the assembly, tells what doesn't go with it, and leaves out arguments that it can't take.
    pub(super) fn check(&self, fit: &mut FitNode, sink: &mut Sink) {
        let Some(&index) = self.indices.get(&fit.assembly.text) else {
            let near = nearest(&fit.assembly.text, self.heads.iter().map(|head| head.name.as_str()));
            sink.push(
                Mistake::new(
                    "unknown_assembly",
                    fit.assembly.span,
                    format!("there is no assembly `{}`", shown(&fit.assembly.text)),
                )
                .label("expected the name of an assembly")
                .near(near),
            );
            return;
        };
        fit.target = Some(index);
        let head = &self.heads[index];
        if !head.complete {
            return;
        }
        check_nodes(fit, head, sink);
        check_arguments(fit, head, sink);
    }
}

fn check_nodes(fit: &FitNode, head: &Head, sink: &mut Sink) {
    let (wanted, given) = (head.terminals.len(), fit.nodes.len());
    if given == wanted || (!fit.complete && given < wanted) {
        return;
    }
    let terminals = format!("`{}`", head.terminals.join("`, `"));
    let message = format!(
        "`{}` has {}, {terminals}, and is given {}",
        head.name,
        counted(wanted, "terminal"),
        counted(given, "node")
    );
    let mistake = Mistake::new("wrong_number_of_nodes", nodes_span(fit), message)
        .label(format!("expected {}", counted(wanted, "node")));
    let surplus = fit.nodes.get(wanted).filter(|node| head.parameters.contains(&node.text));
    sink.push(mistake.help(match surplus {
        Some(node) => format!("leave out the comma before `{}`: it makes a node of it", node.text),
        None => format!("write `fit {} {} {}`", head.name, fit.name.text, head.terminals.join(", ")),
    }));
}

fn nodes_span(fit: &FitNode) -> Span {
    match (fit.nodes.first(), fit.nodes.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => fit.name.span,
    }
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

fn check_arguments(fit: &mut FitNode, head: &Head, sink: &mut Sink) {
    let mut stated: HashMap<String, Span> = HashMap::default();
    let mut meant = Vec::new();
    fit.arguments.retain(|argument| {
        let name = &argument.name;
        if !head.parameters.contains(&name.text) {
            let near = nearest(&name.text, head.parameters.iter().map(String::as_str));
            meant.extend(near.map(str::to_owned));
            sink.push(unknown_parameter(head, &argument.name.text, name.span, near));
            return false;
        }
        let first = *stated.entry(name.text.clone()).or_insert(name.span);
        if first != name.span {
            sink.push(
                Mistake::new(
                    "stated_twice",
                    name.span,
                    format!("`{}` of `{}` is stated twice", name.text, fit.name.text),
                )
                .label("leave one of them out")
                .also(first, "stated here first"),
            );
            return false;
        }
        true
    });
    // One that is misspelt is not missed as well.
    let missing = |name: &&String| !stated.contains_key(*name) && !meant.contains(*name);
    let missing: Vec<&String> = head.parameters.iter().filter(missing).collect();
    if missing.is_empty() || !fit.complete {
        return;
    }
    let quoted: Vec<String> = missing.iter().map(|name| format!("`{name}`")).collect();
    let example: Vec<String> = missing.iter().map(|name| format!("{name} …")).collect();
    sink.push(
        Mistake::new(
            "missing_parameter",
            fit.name.span,
            format!("`{}` needs {}", head.name, quoted.join(" and ")),
        )
        .label(format!("`{}` does not say it", fit.name.text))
        .help(format!("add `{}` after the nodes", example.join(", "))),
    );
}

fn unknown_parameter(head: &Head, name: &str, span: Span, near: Option<&str>) -> Mistake {
    let mistake = Mistake::new(
        "unknown_parameter",
        span,
        format!("`{}` has no parameter `{}`", head.name, shown(name)),
    )
    .label("expected one of its parameters");
    match near {
        None if head.parameters.is_empty() => mistake.help("it has none"),
        None => mistake.help(format!("it has {}", head.parameters.join(", "))),
        near => mistake.near(near),
    }
}

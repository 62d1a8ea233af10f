//! Assemblies: each by itself, what is fitted against them, and then every fitted one written out as its parts.
//!
//! Once they are written out, the rest of the language sees parts under their full names.

mod circle;
mod fitted;
mod write_out;

use crate::mistake::{Mistake, Sink};
use crate::names::Names;
use crate::program::tell_repeated;
use crate::source::Span;
use crate::syntax::{AssemblyNode, File, FitNode, Inner, Item, Placed};
use rustc_hash::{FxHashMap as HashMap, FxHashSet as HashSet};

/// What is known of the assemblies of a file, one entry each.
#[derive(Clone, Debug, Default)]
pub(crate) struct Assemblies {
    /// The names inside.
    pub(crate) names: Vec<Names>,
    /// Whether no fit of the file leads to it.
    pub(crate) unused: Vec<bool>,
}

impl Assemblies {
    /// Looks at all assemblies and fits of a file, and writes the fits out.
    pub(crate) fn settle(file: &mut File, sink: &mut Sink) -> Self {
        let mut assemblies = std::mem::take(&mut file.assemblies);
        let mut spans: HashMap<&str, Span> = HashMap::default();
        assemblies.iter().for_each(|each| tell_repeated(&each.name, &mut spans, "assembly", sink));
        let names = assemblies.iter().map(|assembly| inside(assembly, sink)).collect();
        let known = fitted::Known::new(&assemblies);
        for inner in assemblies.iter_mut().flat_map(|assembly| &mut assembly.body) {
            if let Inner::Placed(Placed::Fit(fit)) = inner {
                known.check(fit, sink);
            }
        }
        for placed in placed_mut(file) {
            if let Placed::Fit(fit) = placed {
                known.check(fit, sink);
            }
        }
        let circles = circle::circles(&assemblies, sink);
        let reached = write_out::write_out(file, &assemblies, &circles, sink);
        file.assemblies = assemblies;
        remark_unused(file, sink);
        Self { names, unused: reached.iter().map(|reached| !reached).collect() }
    }
}

/// Everything placed in the file, to be changed.
fn placed_mut(file: &mut File) -> impl Iterator<Item = &mut Placed> {
    file.items.iter_mut().flat_map(|item| -> Box<dyn Iterator<Item = &mut Placed>> {
        match item {
            Item::Placed(placed) => Box::new(std::iter::once(placed)),
            Item::Axis(axis) => Box::new(axis.options.iter_mut().flat_map(|option| &mut option.placed)),
        }
    })
}

/// Places of fits that would close a circle of assemblies.
type Circles = HashSet<Span>;

/// The names inside an assembly, and what is wrong with its terminals.
fn inside(assembly: &AssemblyNode, sink: &mut Sink) -> Names {
    let names = Names::inside(assembly, sink);
    let mut known = HashMap::default();
    for terminal in &assembly.terminals {
        if terminal.text == "gnd" {
            sink.push(
                Mistake::new("gnd_as_terminal", terminal.span, "`gnd` is shared by all and is no terminal")
                    .label("leave it out: parts inside can be on `gnd` all the same"),
            );
            continue;
        }
        tell_repeated(terminal, &mut known, "terminal", sink);
        if assembly.complete && !names.nodes.contains_key(&terminal.text) {
            let message =
                format!("no part of `{}` is on its terminal `{}`", assembly.name.text, terminal.text);
            sink.push(
                Mistake::remark("unused_terminal", terminal.span, message).label("leads nowhere inside"),
            );
        }
    }
    names
}

/// Remarks on assemblies that no fit names.
fn remark_unused(file: &File, sink: &mut Sink) {
    let inner = file.assemblies.iter().flat_map(AssemblyNode::fits);
    let outer = file.placed().filter_map(|(_, placed)| placed.fit());
    let named: HashSet<usize> = inner.chain(outer).filter_map(|fit: &FitNode| fit.target).collect();
    for (index, assembly) in file.assemblies.iter().enumerate() {
        if named.contains(&index) || !assembly.complete {
            continue;
        }
        let terminals: Vec<&str> = assembly.terminals.iter().map(|terminal| terminal.text.as_str()).collect();
        let name = &assembly.name.text;
        sink.push(
            Mistake::remark(
                crate::kinds::WITHOUT_EFFECT_YET,
                assembly.name.span,
                format!("the assembly `{name}` has no effect: it is not fitted anywhere"),
            )
            .label("no `fit` names it")
            .help(format!("write `fit {name} NAME {}`", terminals.join(", "))),
        );
    }
}

//! What an insertion loss is of: a fitted assembly, and the resistances on both sides of it.

use super::{Scope, Wanted};
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::names::Bearer;
use crate::parser::shown;
use crate::syntax::{AssemblyNode, Node, NodeKind};
use quantity::Dimension;

const EXPECTED: &str = "expected the name of a fitted assembly";

impl Scope<'_> {
    /// The instance, and the resistances of source and load in ohm.
    pub(super) fn insertion(
        &self,
        [instance, source, load]: [&Node; 3],
        sink: &mut Sink,
    ) -> Result<(String, f64, f64), Told> {
        let instance = self.instance(instance, sink);
        let source = self.resistance(source, "the source's resistance", sink);
        let load = self.resistance(load, "the load's resistance", sink);
        Ok((instance?, source?, load?))
    }

    fn resistance(&self, node: &Node, what: &str, sink: &mut Sink) -> Result<f64, Told> {
        let wanted = Wanted::new(Dimension::RESISTANCE, "ohm");
        let value = self.dimensioned(node, what, wanted, sink)?.value;
        if value > 0.0 {
            return Ok(value);
        }
        Err(sink.push(
            Mistake::new("out_of_range", node.span, format!("{what} must be above 0 ohm"))
                .label("expected a resistance above 0 ohm"),
        ))
    }

    /// The name of an instance; an assembly's name stands for its only one. The instance may be absent at this study point.
    fn instance(&self, node: &Node, sink: &mut Sink) -> Result<String, Told> {
        let NodeKind::Name(name) = &node.kind else {
            return Err(sink.push(
                Mistake::new("not_an_assembly", node.span, "an insertion loss is of a fitted assembly")
                    .label(EXPECTED),
            ));
        };
        if let Some(assemblies) = self.names.assemblies(name) {
            for assembly in assemblies {
                has_two_terminals(&self.file.assemblies[assembly], node, sink)?;
            }
            return Ok(name.clone());
        }
        let Some(index) = self.file.assemblies.iter().position(|assembly| assembly.name.text == *name) else {
            return Err(self.tell_unknown_instance(name, node, sink));
        };
        has_two_terminals(&self.file.assemblies[index], node, sink)?;
        let here: Vec<&str> = self
            .instances
            .iter()
            .filter(|instance| instance.assembly == *name)
            .map(|instance| instance.name.as_str())
            .collect();
        match here.as_slice() {
            [only] => Ok((*only).to_owned()),
            [] => match self.names.instances_of(index).first() {
                Some(elsewhere) => Ok((*elsewhere).to_owned()),
                None if self.file.parts_missing => Err(sink.already_told()),
                None => Err(sink.push(
                    Mistake::new(
                        "not_fitted",
                        node.span,
                        format!("`{}` is not fitted anywhere", shown(name)),
                    )
                    .label(EXPECTED)
                    .help(format!("write `fit {} NAME NODE, NODE` first, and name that", shown(name))),
                )),
            },
            [first @ .., last] => Err(sink.push(
                Mistake::new(
                    "several_instances",
                    node.span,
                    format!(
                        "`{}` is fitted {} times: as `{}` and `{last}`",
                        shown(name),
                        here.len(),
                        first.join("`, `")
                    ),
                )
                .label("expected one of these names"),
            )),
        }
    }

    fn tell_unknown_instance(&self, name: &str, node: &Node, sink: &mut Sink) -> Told {
        let bearer = self.names.bearer(name);
        let assemblies = self.file.assemblies.iter().map(|assembly| assembly.name.text.as_str());
        let near = self.names.near(name, &[Bearer::Instance]).or_else(|| nearest(name, assemblies));
        if bearer.is_none() && near.is_none() && self.file.parts_missing {
            return sink.already_told();
        }
        let message = match bearer {
            Some(bearer) => format!("`{}` is a {}, not a fitted assembly", shown(name), bearer.word()),
            None => format!("there is no fitted assembly `{}`", shown(name)),
        };
        let mistake = Mistake::new("unknown_instance", node.span, message).label(EXPECTED);
        sink.push(match near {
            None if bearer == Some(Bearer::Part) => {
                mistake.help("put the part into an assembly, and fit that in its place")
            }
            near => mistake.near(near),
        })
    }
}

/// The first terminal is the way in, the second the way out.
fn has_two_terminals(assembly: &AssemblyNode, node: &Node, sink: &mut Sink) -> Result<(), Told> {
    if assembly.terminals.len() >= 2 || !assembly.complete {
        return Ok(());
    }
    Err(sink.push(
        Mistake::new(
            "too_few_terminals",
            node.span,
            format!(
                "`{}` has one terminal: an insertion loss needs a way in and a way out",
                assembly.name.text
            ),
        )
        .label("expected an assembly of at least two terminals")
        .also(assembly.name.span, "defined here"),
    ))
}

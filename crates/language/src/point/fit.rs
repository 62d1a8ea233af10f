//! Assemblies at one study point: the values inside each instance, and the parts that follow.

use super::{Resolver, Toleranced};
use crate::description::{Instance, Part};
use crate::scope::Inside;
use crate::syntax::{AssemblyNode, FitNode, InstanceNode, LetNode, Placed};
use quantity::Quantity;
use rustc_hash::FxHashMap as HashMap;

impl<'a> Resolver<'a, '_> {
    /// The part, or the parts of the fitted assembly.
    pub(super) fn placed(&mut self, placed: &'a Placed) -> Vec<Part> {
        match placed {
            Placed::Part(part) => self.part(part).into_iter().collect(),
            Placed::Fit(fit) => self.fit(fit),
        }
    }

    fn fit(&mut self, fit: &'a FitNode) -> Vec<Part> {
        let mut insides: Vec<Option<Inside<'a>>> = Vec::new();
        for node in &fit.instances {
            let instance = self.instance(node);
            self.scope.instances.extend(instance);
            let arguments = node.arguments.iter().map(|argument| match node.parent {
                Some(parent) => self.within(fit, &mut insides, parent, |at| at.value(argument)),
                None => self.value(argument),
            });
            let arguments: Vec<Option<Toleranced>> = arguments.collect();
            let inside = self.inside(node, &arguments);
            insides.push(Some(inside));
            let index = insides.len() - 1;
            self.within(fit, &mut insides, index, |at| at.inner_lets(node));
        }
        let resolved = fit
            .parts
            .iter()
            .filter_map(|part| self.within(fit, &mut insides, part.instance?, |at| at.part(part)));
        resolved.collect()
    }

    fn instance(&self, node: &InstanceNode) -> Option<Instance> {
        Some(Instance {
            name: node.name.text.clone(),
            assembly: self.assembly(node.assembly).name.text.clone(),
            // One on no node has been told.
            nodes: node.nodes.iter().map(|word| Some(word.as_ref()?.text.clone())).collect::<Option<_>>()?,
        })
    }

    fn assembly(&self, index: usize) -> &'a AssemblyNode {
        &self.program.file.assemblies[index]
    }

    /// Acts with the names inside one of the instances of a fit; what is wrong there says where it is fitted.
    fn within<T>(
        &mut self,
        fit: &'a FitNode,
        insides: &mut [Option<Inside<'a>>],
        index: usize,
        act: impl FnOnce(&mut Self) -> T,
    ) -> T {
        let node = &fit.instances[index];
        self.sink.begin_instance(self.assembly(node.assembly).span, fit.name.span, &node.name.text);
        self.scope.inside = insides[index].take();
        let result = act(self);
        insides[index] = self.scope.inside.take();
        self.sink.end_instance();
        result
    }

    /// The value of a `let` or argument; `None` where it is wrong, which has been told.
    fn value(&mut self, node: &LetNode) -> Option<Toleranced> {
        self.stated_value(node).ok()
    }

    /// The parameters' values, settings applied.
    fn inside(&mut self, node: &InstanceNode, arguments: &[Option<Toleranced>]) -> Inside<'a> {
        let mut values = HashMap::default();
        for parameter in &self.assembly(node.assembly).parameters {
            let at = node.arguments.iter().position(|argument| argument.name.text == parameter.text);
            let stated = at.and_then(|at| arguments[at]);
            let value = stated.and_then(|stated| self.set_inside(node, &parameter.text, stated));
            values.entry(parameter.text.as_str()).or_insert(value);
        }
        Inside { names: &self.program.assemblies.names[node.assembly], values }
    }

    /// Works out the lets inside an instance, one after the other.
    fn inner_lets(&mut self, node: &InstanceNode) {
        for each in self.assembly(node.assembly).lets() {
            let stated = self.value(each);
            // What sets a value stands outside.
            let inside = self.scope.inside.take();
            let value = stated.and_then(|stated| self.set_inside(node, &each.name.text, stated));
            self.scope.inside = inside;
            self.know_inside(each, value);
        }
    }

    fn know_inside(&mut self, node: &'a LetNode, value: Option<Quantity>) {
        if let Some(inside) = &mut self.scope.inside {
            // The first of two with one name stands; the second has been told.
            inside.values.entry(&node.name.text).or_insert(value);
        }
    }

    fn set_inside(&mut self, node: &InstanceNode, name: &str, stated: Toleranced) -> Option<Quantity> {
        let sets = self.sets.get(node.name.text.as_str()).cloned().unwrap_or_default();
        let here = sets.into_iter().filter(|set| set.property.as_ref().is_some_and(|word| word.text == name));
        let full = format!("{}.{name}", node.name.text);
        let value = self.with_sets(&full, stated, here).ok()?;
        Some(self.drawn(&full, value))
    }

    /// Tells what is wrong inside assemblies that no fit leads to, as far as that can be known without their parameters.
    pub(super) fn unused_assemblies(&mut self) {
        let program = self.program;
        let unused = program.file.assemblies.iter().zip(&program.assemblies.unused);
        for (index, (assembly, _)) in
            unused.enumerate().filter(|(_, (each, unused))| **unused && each.complete)
        {
            let values =
                assembly.parameters.iter().map(|parameter| (parameter.text.as_str(), None)).collect();
            self.scope.inside = Some(Inside { names: &program.assemblies.names[index], values });
            // No setting reaches inside.
            let sets = std::mem::take(&mut self.sets);
            for node in assembly.lets() {
                let value = self.value(node).map(|(value, _)| value);
                self.know_inside(node, value);
            }
            for placed in assembly.placed() {
                match placed {
                    Placed::Part(part) => {
                        self.part(part);
                    }
                    Placed::Fit(fit) => fit.arguments.iter().for_each(|argument| {
                        self.value(argument);
                    }),
                }
            }
            self.sets = sets;
            self.scope.inside = None;
        }
    }
}

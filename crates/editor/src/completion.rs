//! What can be written at a place.

use crate::context::{Expected, expected};
use crate::hover;
use crate::names::{Assembly, View};
use language::kinds::{KindTable, Property, Shape, TABLES};
use language::meanings::of_statement;
use language::outline::Role;
use language::words::{functions, readings, responses};
use lsp_types::{
    CompletionItem, CompletionItemKind as ItemKind, CompletionTextEdit, Documentation, MarkupContent,
    MarkupKind, Position, Range, TextEdit,
};
use quantity::{Dimension, all_units, units_of};

/// What can be written at a place, the most likely first.
pub(crate) fn completion(view: View<'_>, position: Position) -> Vec<CompletionItem> {
    let byte = view.byte(position);
    let (expected, begin) = expected(view, byte);
    let range = view.lines.range(view.text(), begin, byte);
    let mut list = List { view, assembly: view.assembly_at(byte), range, items: Vec::new() };
    list.fill(&expected);
    list.items
}

struct List<'a> {
    view: View<'a>,
    assembly: Option<Assembly>,
    /// The word that is replaced.
    range: Range,
    items: Vec<CompletionItem>,
}

impl List<'_> {
    fn fill(&mut self, expected: &Expected<'_>) {
        match expected {
            Expected::Nothing => {}
            Expected::Statement(holder) => self.statements(holder),
            Expected::Words(words) => self.words(words),
            Expected::Node => self.nodes(),
            Expected::Property(table, stated) => self.properties(table, stated),
            Expected::Value(property) => self.value(property),
            Expected::Number => self.numbers(),
            Expected::Unit(quantity) => self.units(*quantity),
            Expected::ToleranceUnit(quantity) => self.tolerance_units(*quantity),
            Expected::Signal => self.words(language::words::SIGNALS),
            Expected::Argument(function) => self.arguments(function),
            Expected::Reading => self.reading(),
            Expected::Response => {
                self.functions(responses());
                self.names(|role| role == Role::Response);
                self.numbers();
            }
            Expected::Target => self.names(|role| matches!(role, Role::Part(_) | Role::Let | Role::Instance)),
            Expected::Assembly => self.assemblies(),
            Expected::FitNode => self.nodes(),
            Expected::Parameter(assembly, stated) => self.parameters(assembly, stated),
            Expected::Transient => self.names(|role| role == Role::Transient),
        }
    }

    fn add(&mut self, label: &str, kind: ItemKind, detail: Option<String>, meaning: Option<String>) {
        let markup =
            |value| Documentation::MarkupContent(MarkupContent { kind: MarkupKind::Markdown, value });
        self.items.push(CompletionItem {
            label: label.to_owned(),
            kind: Some(kind),
            detail,
            documentation: meaning.map(markup),
            // Editors sort by letters otherwise.
            sort_text: Some(format!("{:05}", self.items.len())),
            text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(self.range, label.to_owned()))),
            ..CompletionItem::default()
        });
    }

    /// Kinds and statements that can stand in a block of the statement `holder`; at the top where that is empty.
    fn statements(&mut self, holder: &str) {
        let fitting: &[&str] = match holder {
            "choice" => &["option", "place"],
            "condition" => &["case"],
            "option" | "case" => &["set", "fit"],
            "assembly" => &["let", "fit"],
            _ => language::words::STATEMENTS,
        };
        if !matches!(holder, "choice" | "condition") {
            for table in TABLES {
                self.add(table.word, ItemKind::CLASS, None, Some(table.meaning.to_owned()));
            }
        }
        self.words(fitting);
    }

    fn words(&mut self, words: &[&str]) {
        for word in words {
            let meaning = of_statement(word);
            let form = meaning.map(|meaning| meaning.form.to_owned());
            self.add(word, ItemKind::KEYWORD, form, meaning.map(|meaning| meaning.text.to_owned()));
        }
    }

    fn nodes(&mut self) {
        for node in self.view.nodes(self.assembly) {
            self.add(node, ItemKind::FIELD, None, None);
        }
    }

    fn properties(&mut self, table: &'static KindTable, stated: &[&str]) {
        for property in table.properties.iter().filter(|each| !stated.contains(&each.name)) {
            let (detail, meaning) = (hover::shape(property), hover::property(table, property));
            self.add(property.name, ItemKind::PROPERTY, Some(detail), Some(meaning));
        }
    }

    fn value(&mut self, property: &Property) {
        match property.shape {
            Shape::Words(words) => {
                for word in words {
                    self.add(word, ItemKind::ENUM_MEMBER, None, None);
                }
            }
            _ => self.numbers(),
        }
    }

    /// Names of values, and functions of them.
    fn numbers(&mut self) {
        for parameter in self.view.parameters(self.assembly) {
            self.add(parameter, ItemKind::CONSTANT, None, None);
        }
        self.names(|role| role == Role::Let);
        for function in functions() {
            self.add(function, ItemKind::FUNCTION, None, None);
        }
        self.add("pi", ItemKind::CONSTANT, None, None);
    }

    fn units(&mut self, quantity: Option<(Dimension, &'static str)>) {
        let Some((dimension, usual)) = quantity else {
            for (_, unit) in all_units() {
                self.add(&unit, ItemKind::UNIT, None, None);
            }
            return;
        };
        // `points` are for tolerances alone.
        let known: Vec<String> = units_of(dimension).filter(|unit| unit != "points").collect();
        let usual = known.iter().filter(|unit| unit.as_str() == usual);
        let others = known.iter().filter(|unit| !usual.clone().any(|first| first == *unit));
        for unit in usual.clone().chain(others) {
            self.add(unit, ItemKind::UNIT, None, None);
        }
    }

    /// A tolerance is a share of the value, or has its unit; that of a share is in points, or a share of the share.
    fn tolerance_units(&mut self, quantity: Option<(Dimension, &'static str)>) {
        if quantity.is_some_and(|(dimension, _)| dimension.is_none()) {
            return ["points", "%"].iter().for_each(|unit| self.add(unit, ItemKind::UNIT, None, None));
        }
        self.add("%", ItemKind::UNIT, None, None);
        self.units(quantity);
    }

    fn reading(&mut self) {
        self.functions(readings());
        self.names(|role| role == Role::Reading);
        self.numbers();
    }

    fn functions(&mut self, functions: impl Iterator<Item = (&'static str, &'static str)>) {
        for (function, takes) in functions {
            self.add(function, ItemKind::FUNCTION, Some(format!("of {takes}")), None);
        }
    }

    /// What a function takes; by what its own description speaks of.
    fn arguments(&mut self, function: &str) {
        let known = readings().chain(responses()).find(|(name, _)| *name == function);
        let takes = known.map_or("", |(_, takes)| takes);
        match function {
            "voltage" => {
                self.nodes();
                self.names(|role| matches!(role, Role::Part(_)));
            }
            "current" | "power" | "flux" | "picture" => self.names(|role| matches!(role, Role::Part(_))),
            _ if takes.is_empty() => self.reading(),
            _ => {
                self.arguments_told(takes);
                if function == "transfer" {
                    self.add("voltage", ItemKind::FUNCTION, Some("of a node or two nodes".to_owned()), None);
                }
            }
        }
    }

    fn arguments_told(&mut self, takes: &str) {
        let says = |word: &str| takes.contains(word);
        if says("testpoint") {
            self.names(|role| role == Role::Testpoint);
        }
        if says("response") {
            self.names(|role| role == Role::Response);
        }
        if says("assembly") {
            self.names(|role| role == Role::Instance);
        }
        if ["coil", "drive", "load", "source"].into_iter().any(says) {
            self.names(|role| matches!(role, Role::Part(_)));
        }
        if says("node") {
            self.nodes();
        }
        self.names(|role| role == Role::Let);
    }

    fn names(&mut self, wanted: fn(Role) -> bool) {
        for (name, role) in self.view.names(self.assembly, wanted) {
            let (kind, detail) = match role {
                Role::Part(kind) => (ItemKind::VARIABLE, kind.map_or("part", language::Kind::word)),
                Role::Let => (ItemKind::CONSTANT, "let"),
                Role::Testpoint => (ItemKind::EVENT, "testpoint"),
                Role::Reading => (ItemKind::VALUE, "reading"),
                Role::Response => (ItemKind::VALUE, "response"),
                Role::Transient => (ItemKind::VALUE, "transient"),
                Role::Instance => (ItemKind::MODULE, "fitted assembly"),
                _ => (ItemKind::TEXT, ""),
            };
            self.add(&name, kind, Some(detail.to_owned()), None);
        }
    }

    fn assemblies(&mut self) {
        for (name, _) in self.view.names(None, |role| role == Role::Assembly) {
            self.add(&name, ItemKind::CLASS, Some("assembly".to_owned()), None);
        }
    }

    fn parameters(&mut self, assembly: &str, stated: &[&str]) {
        for parameter in self.view.parameters(self.view.assembly_of(assembly)) {
            if !stated.contains(&parameter) {
                self.add(parameter, ItemKind::PROPERTY, Some("parameter".to_owned()), None);
            }
        }
    }
}

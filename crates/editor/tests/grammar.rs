//! The grammar for colours names exactly the words of the language.

use language::kinds::TABLES;
use language::words::{INNER_STATEMENTS, STATEMENTS};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

fn parsed(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("editors").join(name);
    let text = std::fs::read_to_string(&path).expect("the file can be read");
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The words of the first group with alternatives, `(one|other)`, in the pattern of a rule.
fn alternatives(grammar: &Value, rule: &str) -> Vec<String> {
    let pattern = grammar["repository"][rule]["match"].as_str().expect("the rule has a pattern");
    let groups = pattern.split('(').filter_map(|rest| rest.split_once(')'));
    let words = groups.map(|(group, _)| group).find(|group| group.contains('|') && !group.starts_with('?'));
    words.expect("a group of words").split('|').map(str::to_owned).collect()
}

fn set<'a>(words: impl IntoIterator<Item = &'a str>) -> BTreeSet<String> {
    words.into_iter().map(str::to_owned).collect()
}

#[test]
fn kinds_and_statements_are_those_of_the_language() {
    let grammar = parsed("syntaxes/harness.tmLanguage.json");
    let kinds: BTreeSet<String> = alternatives(&grammar, "part").into_iter().collect();
    assert_eq!(kinds, set(TABLES.iter().map(|table| table.word)));
    let mut statements = alternatives(&grammar, "definition");
    statements.extend(alternatives(&grammar, "statement"));
    let count = statements.len();
    let statements: BTreeSet<String> = statements.into_iter().collect();
    assert_eq!(statements.len(), count, "a word stands twice");
    assert_eq!(statements, set(STATEMENTS.iter().chain(INNER_STATEMENTS).copied()));
}

#[test]
fn what_the_editor_is_pointed_to_is_there() {
    let package = parsed("package.json");
    let language = &package["contributes"]["languages"][0];
    let grammar = &package["contributes"]["grammars"][0];
    assert_eq!(language["id"], grammar["language"]);
    assert_eq!(language["extensions"][0], ".harness");
    parsed(language["configuration"].as_str().expect("a path"));
    let pointed = parsed(grammar["path"].as_str().expect("a path"));
    assert_eq!(pointed["scopeName"], grammar["scopeName"]);
    // Every rule is used, and every rule that is used is there.
    let included = pointed["patterns"].as_array().expect("a list").iter();
    let included = included.map(|each| each["include"].as_str().expect("a name").trim_start_matches('#'));
    let known = pointed["repository"].as_object().expect("rules");
    assert_eq!(set(included), set(known.keys().map(String::as_str)));
}

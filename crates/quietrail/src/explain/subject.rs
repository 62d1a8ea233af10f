//! What can be explained, and what a word stands for.

use language::kinds::{KindTable, LATER_KINDS, Property, TABLES};
use language::meanings::Word;
use language::pages::Page;

/// Something that can be explained.
pub(super) enum Subject {
    Kind(&'static KindTable),
    /// A kind that is reserved for a later edition.
    LaterKind(&'static str),
    Property(&'static KindTable, &'static Property),
    Word(&'static Word),
    Mistake(&'static Page),
    Warning(&'static Page),
}

/// All that bears the name: a kind before its namesakes, a property in every kind that has it; `coil.dcr` in one.
pub(super) fn find(name: &str) -> Vec<Subject> {
    if let Some((kind, property)) = name.split_once('.') {
        let table = TABLES.iter().find(|table| table.word == kind);
        let found = table.and_then(|table| Some(Subject::Property(table, table.property(property)?)));
        return found.into_iter().collect();
    }
    let kinds = TABLES.iter().filter(|table| table.word == name).map(|table| Subject::Kind(table));
    let later = LATER_KINDS.iter().filter(|word| **word == name).map(|word| Subject::LaterKind(word));
    let words = language::meanings::all().filter(|word| word.word == name).map(Subject::Word);
    let mistakes = language::pages::page(name).map(Subject::Mistake);
    let warnings = study::pages::page(name).map(Subject::Warning);
    let properties = TABLES.iter().filter_map(|table| Some(Subject::Property(table, table.property(name)?)));
    kinds.chain(later).chain(words).chain(mistakes).chain(warnings).chain(properties).collect()
}

/// Every name that [`find`] knows.
pub(super) fn names() -> Vec<String> {
    let mut names: Vec<String> = LATER_KINDS.iter().map(|word| (*word).to_owned()).collect();
    for table in TABLES {
        names.push(table.word.to_owned());
        for property in table.properties {
            names.push(property.name.to_owned());
            names.push(format!("{}.{}", table.word, property.name));
        }
    }
    names.extend(language::meanings::all().map(|word| word.word.to_owned()));
    names.extend(language::pages::all().chain(study::pages::all()).map(|page| page.code.to_owned()));
    names
}

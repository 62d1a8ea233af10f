//! What can be explained, and what a word stands for.

use language::kinds::{KindTable, Property, Shape, TABLES};
use language::meanings::Word;
use language::pages::Page;
use quantity::{Unit, parse_unit};

/// Something that can be explained.
pub(super) enum Subject {
    Kind(&'static KindTable),
    Property(&'static KindTable, &'static Property),
    /// A word that a property takes, such as `li_ion`.
    Value(&'static str, &'static KindTable, &'static Property),
    /// A unit as it is written.
    Unit(String, Unit),
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
    let words = language::meanings::all().filter(|word| word.word == name).map(Subject::Word);
    let mistakes = mistakes().filter(|page| page.code == name).map(Subject::Mistake);
    let warnings = study::pages::page(name).map(Subject::Warning);
    let properties = TABLES.iter().filter_map(|table| Some(Subject::Property(table, table.property(name)?)));
    let values = values().filter(|(word, ..)| *word == name);
    let values = values.map(|(word, table, property)| Subject::Value(word, table, property));
    let unit = parse_unit(name).ok().map(|unit| Subject::Unit(name.to_owned(), unit));
    let all = kinds.chain(words).chain(mistakes).chain(warnings).chain(properties);
    all.chain(values).chain(unit).collect()
}

/// Every word that a property takes.
fn values() -> impl Iterator<Item = (&'static str, &'static KindTable, &'static Property)> {
    let properties = TABLES.iter().flat_map(|table| table.properties.iter().map(move |each| (*table, each)));
    properties.flat_map(|(table, property)| {
        let words: &[&str] = match property.shape {
            Shape::Words(words) => words,
            _ => &[],
        };
        words.iter().map(move |word| (*word, table, property))
    })
}

/// Every name that [`find`] knows.
pub(super) fn names() -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for table in TABLES {
        names.push(table.word.to_owned());
        for property in table.properties {
            names.push(property.name.to_owned());
            names.push(format!("{}.{}", table.word, property.name));
        }
    }
    names.extend(values().map(|(word, ..)| word.to_owned()));
    names.extend(language::meanings::all().map(|word| word.word.to_owned()));
    names.extend(mistakes().chain(study::pages::all()).map(|page| page.code.to_owned()));
    names
}

/// The pages of all mistakes: of the text, then those that only the equations show.
pub(super) fn mistakes() -> impl Iterator<Item = &'static Page> {
    language::pages::all().chain(study::pages::mistakes())
}

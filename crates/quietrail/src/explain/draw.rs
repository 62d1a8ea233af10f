//! Explanations as text for a terminal of 80 columns.

use super::subject::{Subject, mistakes};
use language::kinds::{KindTable, Property, TABLES};
use language::meanings::{Group, Word};
use language::pages::{Frame, Page};
use quantity::{Unit, unit_name, unit_symbol};
use report::table::WIDTH;
use report::text::wrap;
use std::fmt::Write as _;

const INDENT: &str = "  ";
const DEEPER: &str = "      ";

impl Subject {
    /// The explanation, with a line end.
    pub(super) fn draw(&self) -> String {
        match self {
            Self::Kind(table) => kind(table),
            Self::Property(table, property) => {
                format!("{}.{}: a property\n\n{}", table.word, property.name, row(table, property))
            }
            Self::Value(word, table, property) => {
                let of = format!("{}.{}", table.word, property.name);
                format!("{word}: a value of {of}\n\n{}", row(table, property))
            }
            Self::Unit(symbol, found) => unit(symbol, *found),
            Self::Word(word) => of_word(word),
            Self::Mistake(found) => page(found, "a mistake or remark of a file"),
            Self::Warning(found) => page(found, "a warning"),
        }
    }
}

fn paragraph(text: &str) -> String {
    wrap(text, "", WIDTH)
}

/// Lines as they are, each further in.
fn block(text: &str) -> String {
    text.lines().map(|line| format!("{INDENT}{line}\n")).collect()
}

fn kind(table: &KindTable) -> String {
    let mut text = format!("{}: a kind of part\n\n{}\n\n", table.word, paragraph(table.meaning));
    let _ = write!(text, "Written\n{INDENT}{}\n\nEquations, in SI units\n", table.form());
    for (formula, source) in table.equations {
        let _ = writeln!(text, "{}\n{}", wrap(formula, INDENT, WIDTH), wrap(source, DEEPER, WIDTH));
    }
    text.push_str("\nProperties: unit, values\n");
    table.properties.iter().for_each(|property| text.push_str(&row(table, property)));
    let rules = table.rules_in_words();
    if !rules.is_empty() {
        text.push_str("\nTogether\n");
        rules.iter().for_each(|rule| {
            let _ = writeln!(text, "{}", wrap(rule, "  - ", WIDTH));
        });
    }
    text
}

/// A property with its unit and values in columns, and below what it means, its default and its source.
fn row(table: &KindTable, property: &Property) -> String {
    let (form, values) = (property.form(), property.values());
    let line = format!("{INDENT}{:<25} {form:<15} {values}", property.name);
    let mut text = if line.chars().count() <= WIDTH {
        format!("{}\n", line.trim_end())
    } else {
        let both = format!("{form} {values}");
        format!("{INDENT}{}\n{}\n", property.name, wrap(&both, DEEPER, WIDTH))
    };
    let mut add = |sentence: &str| {
        let _ = writeln!(text, "{}", wrap(sentence, DEEPER, WIDTH));
    };
    add(property.meaning);
    if let Some(default) = property.default {
        add(&format!("Default: {default}"));
    }
    if let Some(source) = table.source(property.name) {
        add(&format!("Source: {source}"));
    }
    text
}

/// What a unit measures, and how much one of it is where it is not the unit itself.
fn unit(symbol: &str, unit: Unit) -> String {
    let dimension = unit.dimension;
    let name = unit_name(dimension).map_or_else(|| unit_symbol(dimension), str::to_owned);
    let mut text = format!("{symbol}: a unit\n\nIt counts {name}.");
    let (zero, one) = (unit.of(0.0).value, unit.of(1.0).value);
    if !dimension.is_none() && zero == 0.0 && one != 1.0 {
        let _ = write!(text, " 1 {symbol} is {one:e} {}.", unit_symbol(dimension));
    }
    text.push_str(" A number and its unit stand apart: `");
    let _ = write!(text, "4 {symbol}`.");
    let (line, rest) = text.split_once("\n\n").unwrap_or((&text, ""));
    format!("{line}\n\n{}\n", paragraph(rest))
}

fn of_word(word: &Word) -> String {
    let meaning = paragraph(word.text);
    format!("{}: {}\n\nWritten\n{INDENT}{}\n\n{meaning}\n", word.word, word.group.what(), word.form)
}

fn page(page: &Page, what: &str) -> String {
    let mut text = format!("{}: {what}\n\n", page.code);
    let _ = writeln!(text, "{}\n", paragraph(&format!("{}.", crate::output::capitalised(page.title))));
    let _ = writeln!(text, "{}", paragraph(page.text));
    if !page.wrong.is_empty() {
        let _ = write!(text, "\nWrong\n{}\nRight\n{}", block(page.wrong), block(page.right));
    }
    if page.frame == Frame::Circuit && !page.wrong.is_empty() {
        let _ = write!(text, "\nBeside\n{}", block(language::pages::CIRCUIT));
    }
    text
}

/// What there is to explain.
pub(super) fn list() -> String {
    let mut text = format!(
        "{}\n",
        paragraph(
            "`quietrail explain WORD` tells what a word means: a kind of part, a property (`dcr`, or `coil.dcr` of one kind), a word of statements, a function, a mistake or a warning."
        )
    );
    let mut section = |heading: &str, words: Vec<&str>| {
        let _ = write!(text, "\n{heading}\n{}\n", wrap(&words.join(", "), INDENT, WIDTH));
    };
    section("Kinds of parts", TABLES.iter().map(|table| table.word).collect());
    for group in Group::ALL {
        let words = language::meanings::all().filter(|word| word.group == *group).map(|word| word.word);
        section(group.heading(), words.collect());
    }
    let mut properties: Vec<&str> =
        TABLES.iter().flat_map(|table| table.properties).map(|property| property.name).collect();
    properties.sort_unstable();
    properties.dedup();
    section("Properties", properties);
    section("Mistakes and remarks", mistakes().map(|page| page.code).collect());
    section("Warnings", study::pages::all().map(|page| page.code).collect());
    text
}

//! What the words of statements and functions mean: the one place that the manual and completion read.

mod functions;
mod statements;

/// What a word belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Begins a statement, or stands inside one.
    Statement,
    /// Follows `testpoint NAME =`.
    Signal,
    /// A number taken from a testpoint after a run.
    Reading,
    /// A reading over frequency, in dB.
    OverFrequency,
    /// Follows `response NAME =`.
    Curve,
    /// Arithmetic.
    Function,
}

impl Group {
    /// Every group, in the order of the manual.
    pub const ALL: &'static [Self] =
        &[Self::Statement, Self::Signal, Self::Reading, Self::OverFrequency, Self::Curve, Self::Function];

    /// A heading.
    #[must_use]
    pub fn heading(self) -> &'static str {
        match self {
            Self::Statement => "Statements and their words",
            Self::Signal => "What a testpoint looks at",
            Self::Reading => "Readings of a testpoint",
            Self::OverFrequency => "Readings over frequency",
            Self::Curve => "What a response is",
            Self::Function => "Functions",
        }
    }

    /// What one word of it is: `a reading of a testpoint`.
    #[must_use]
    pub fn what(self) -> &'static str {
        match self {
            Self::Statement => "a word of statements",
            Self::Signal => "what a testpoint can look at",
            Self::Reading => "a reading of a testpoint",
            Self::OverFrequency => "a reading over frequency",
            Self::Curve => "what a response can be",
            Self::Function => "a function",
        }
    }
}

/// A word of the language that is no kind of part.
#[derive(Clone, Copy, Debug)]
pub struct Word {
    /// The word.
    pub word: &'static str,
    /// What it belongs to.
    pub group: Group,
    /// How it is written.
    pub form: &'static str,
    /// What it means, and in what unit its value is.
    pub text: &'static str,
}

/// The word of statements that is spelt so.
#[must_use]
pub fn of_statement(text: &str) -> Option<&'static Word> {
    statements::WORDS.iter().find(|word| word.word == text)
}

/// Every word, by group.
pub fn all() -> impl Iterator<Item = &'static Word> {
    statements::WORDS.iter().chain(functions::WORDS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{
        DIVISIONS, INNER_STATEMENTS, SIGNALS, STARTS, STATEMENTS, functions, readings, responses,
    };
    use std::collections::BTreeSet;

    #[test]
    fn every_word_of_a_statement_is_told() {
        let told: Vec<&str> =
            all().filter(|word| word.group == Group::Statement).map(|word| word.word).collect();
        let others = [
            "baseline",
            "bandwidth",
            "span",
            "start",
            "record",
            "points",
            "in",
            "over",
            "gnd",
            "pi",
            "seed",
            "normal",
            "unknown",
        ];
        let words = STATEMENTS.iter().chain(INNER_STATEMENTS).chain(&others).chain(STARTS).chain(DIVISIONS);
        let missing: Vec<_> = words.filter(|word| !told.contains(*word)).collect();
        assert!(missing.is_empty(), "add to crates/language/src/meanings/statements.rs: {missing:?}");
    }

    #[test]
    fn every_function_is_told_and_no_other() {
        let told = |groups: &[Group]| -> BTreeSet<&str> {
            all().filter(|word| groups.contains(&word.group)).map(|word| word.word).collect()
        };
        const WHERE: &str = "crates/language/src/meanings/functions.rs";
        assert_eq!(told(&[Group::Signal]), SIGNALS.iter().copied().collect(), "{WHERE}");
        assert_eq!(told(&[Group::Function]), functions().collect(), "{WHERE}");
        assert_eq!(told(&[Group::Curve]), responses().map(|(word, _)| word).collect(), "{WHERE}");
        let read = told(&[Group::Reading, Group::OverFrequency]);
        assert_eq!(read, readings().map(|(word, _)| word).collect(), "{WHERE}");
    }

    #[test]
    fn no_word_stands_twice_in_a_group() {
        let mut known = BTreeSet::new();
        assert!(all().all(|word| known.insert((word.group, word.word))));
        assert!(all().all(|word| !word.form.is_empty() && word.text.ends_with('.')));
    }
}

//! What a property's unit, values and rules are, in words: for the manual, for completion and for whoever asks.

use super::table::{Allowed, KindTable, Property, Rule, Shape};
use crate::kind::Kind;
use quantity::Dimension;

impl Property {
    /// The form of its value: `mohm`, `V .. V`, `[s: %, …]`, `pal or ntsc`.
    #[must_use]
    pub fn form(&self) -> String {
        match self.shape {
            Shape::Number(_, "") => "a plain number".to_owned(),
            Shape::Number(_, unit) => unit.to_owned(),
            Shape::Count => "a whole number".to_owned(),
            Shape::Range(_, unit) => format!("{unit} .. {unit}"),
            Shape::Points((_, x), (_, y)) => format!("[{x}: {y}, …]"),
            Shape::Course(_, unit) => format!("{unit}, [ms: {unit}, …], `file \"trace.csv\"` or `sine`"),
            Shape::Level => "V or A".to_owned(),
            Shape::Words([only]) => format!("`{only}`"),
            Shape::Words(words) => {
                let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
                quoted.join(" or ")
            }
        }
    }

    /// Which values it takes: `above 0`, `from 0 % to 100 %`; empty where its words say it all.
    #[must_use]
    pub fn values(&self) -> String {
        let plain = |allowed: Allowed| match allowed {
            // A ratio's description would show percents.
            Allowed::Between(low, high) => format!("from {low} to {high}"),
            Allowed::Inside(low, high) => format!("between {low} and {high}"),
            other => other.describe(Dimension::NONE),
        };
        match self.shape {
            Shape::Words(_) => String::new(),
            Shape::Level | Shape::Count | Shape::Number(_, "") => plain(self.allowed),
            Shape::Number(dimension, _)
            | Shape::Range(dimension, _)
            | Shape::Course(dimension, _)
            | Shape::Points(_, (dimension, _)) => self.allowed.describe(dimension),
        }
    }
}

impl KindTable {
    /// Another property that has this dimension and a word of its name in common with `property`.
    pub(crate) fn like_named(&self, property: &Property, dimension: Dimension) -> Option<&'static str> {
        let shares = |other: &str| property.name.split('_').any(|word| other.split('_').any(|it| it == word));
        let fits = |other: &&Property| {
            matches!(other.shape, Shape::Number(found, _) if found == dimension && !found.is_none())
                && other.name != property.name
                && shares(other.name)
        };
        self.properties.iter().find(fits).map(|other| other.name)
    }

    /// A part of the kind in a sentence: `a coil`, `an antenna`.
    #[must_use]
    pub fn noun(&self) -> String {
        let article = if self.word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        // The only word that is no noun by itself.
        let pair = if self.kind == Kind::Coupled { " pair" } else { "" };
        format!("{article} {}{pair}", self.word)
    }

    /// How a part of the kind is written: `coil NAME NODE -> NODE  PROPERTY VALUE, …`.
    #[must_use]
    pub fn form(&self) -> String {
        let nodes = if self.kind.has_second_pair() { "NODE -> NODE, NODE -> NODE" } else { "NODE -> NODE" };
        format!("{} NAME {nodes}  PROPERTY VALUE, …", self.word)
    }

    /// Its rules as sentences; all that one property needs in one of them.
    #[must_use]
    pub fn rules_in_words(&self) -> Vec<String> {
        let mut sentences: Vec<String> = Vec::new();
        let mut last = "";
        for rule in self.rules {
            let name = if let Rule::Needs(name, _) = rule { *name } else { "" };
            match sentences.last_mut() {
                Some(sentence) if !name.is_empty() && name == last => {
                    let needs = in_words(*rule).replacen(&format!("`{name}` needs"), " and", 1);
                    sentence.truncate(sentence.len() - 1);
                    sentence.push_str(&needs);
                }
                _ => sentences.push(in_words(*rule)),
            }
            last = name;
        }
        sentences
    }
}

fn in_words(rule: Rule) -> String {
    let list = |names: &[&str], last: &str| {
        let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
        match quoted.split_last() {
            Some((end, [])) => end.clone(),
            Some((end, most)) => format!("{} {last} {end}", most.join(", ")),
            None => String::new(),
        }
    };
    match rule {
        Rule::OneOf([only]) => format!("`{only}` must be given."),
        Rule::OneOf(names) => format!("{} must be given.", list(names, "or")),
        Rule::NotBoth(names) => format!("At most one of {} can be given.", list(names, "and")),
        Rule::Either(one, other) => {
            format!("{} can't stand together with {}.", list(one, "or"), list(other, "or"))
        }
        Rule::Needs(name, others) => format!("`{name}` needs {}.", list(others, "or")),
    }
}

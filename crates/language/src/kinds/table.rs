//! The form of a kind's table, and the rules that every kind shares.

use crate::description::Value;
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use crate::source::Span;
use quantity::Dimension;
use std::collections::BTreeMap;

/// A kind of part.
#[derive(Debug)]
pub struct KindTable {
    /// The kind.
    pub kind: Kind,
    /// Its word in a file.
    pub word: &'static str,
    /// One line for the manual.
    pub meaning: &'static str,
    /// Its equations in SI units, each with where it comes from; currents run from left to right through the part unless
    /// they are said to be delivered.
    pub equations: &'static [(&'static str, &'static str)],
    /// Where the defaults and formulas behind properties come from, by property.
    pub sources: &'static [(&'static str, &'static str)],
    /// What can be said of it.
    pub properties: &'static [Property],
    /// Which properties must, and which can't, stand together.
    pub rules: &'static [Rule],
    /// Relations between values.
    pub(crate) check: fn(&Stated<'_>, &mut Sink),
}

impl KindTable {
    /// The property of that name.
    #[must_use]
    pub fn property(&self, name: &str) -> Option<&'static Property> {
        self.properties.iter().find(|property| property.name == name)
    }

    /// Where the default of a property, or the formula that uses it, comes from; `None` where it needs no source.
    #[must_use]
    pub fn source(&self, property: &str) -> Option<&'static str> {
        self.sources.iter().find(|(name, _)| *name == property).map(|(_, source)| *source)
    }
}

/// A property.
#[derive(Debug)]
pub struct Property {
    /// Its word in a file.
    pub name: &'static str,
    /// What its value looks like.
    pub shape: Shape,
    /// Which values it takes.
    pub allowed: Allowed,
    /// One line for the manual.
    pub meaning: &'static str,
    /// What holds where it is not given; `None` where nothing does.
    pub default: Option<&'static str>,
}

/// What a value looks like. A dimension goes with the unit that such values usually have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A number with a dimension.
    Number(Dimension, &'static str),
    /// A whole number from 1.
    Count,
    /// `A .. B`.
    Range(Dimension, &'static str),
    /// `[0 s: 20 %, …]`: rising abscissas, each with an ordinate.
    Points((Dimension, &'static str), (Dimension, &'static str)),
    /// A number with a dimension, points of it over time (`[0 s: 5 V, …]`, or from a file), or the word `sine`.
    Course(Dimension, &'static str),
    /// A number in volt or in ampere, whichever another property of the part is in.
    Level,
    /// One of these words.
    Words(&'static [&'static str]),
}

/// Which numbers a property takes, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Allowed {
    /// Every number.
    Any,
    /// Above 0.
    Positive,
    /// 0 or above.
    NotNegative,
    /// Both ends included.
    Between(f64, f64),
    /// Above the first, below the second.
    Inside(f64, f64),
    /// The number or above.
    AtLeast(f64),
}

impl Allowed {
    /// Whether `value` is taken.
    #[must_use]
    pub fn takes(self, value: f64) -> bool {
        match self {
            Self::Any => true,
            Self::Positive => value > 0.0,
            Self::NotNegative => value >= 0.0,
            Self::Between(low, high) => (low..=high).contains(&value),
            Self::Inside(low, high) => value > low && value < high,
            Self::AtLeast(low) => value >= low,
        }
    }

    /// `above 0`, `from 0 % to 100 %` and so on.
    #[must_use]
    pub fn describe(self, dimension: Dimension) -> String {
        let show = |value: f64| match dimension {
            Dimension::GAUGE => format!("{value} AWG"),
            _ => quantity::engineering(quantity::Quantity::new(value, dimension), 4),
        };
        match self {
            Self::Any => "any number".to_owned(),
            Self::Positive => "above 0".to_owned(),
            Self::NotNegative => "0 or above".to_owned(),
            Self::Between(low, high) => format!("from {} to {}", show(low), show(high)),
            Self::Inside(low, high) => format!("between {} and {}", show(low), show(high)),
            Self::AtLeast(low) => format!("at least {low}"),
        }
    }
}

/// Code of remarks on what no voltage depends on.
pub(crate) const WITHOUT_EFFECT_YET: &str = "without_effect_yet";

/// A rule about properties standing together.
#[derive(Clone, Copy, Debug)]
pub enum Rule {
    /// At least one of them must be given.
    OneOf(&'static [&'static str]),
    /// At most one of them may be given: they say the same thing twice.
    NotBoth(&'static [&'static str]),
    /// None of the first with any of the second: two ways to describe the part.
    Either(&'static [&'static str], &'static [&'static str]),
    /// The first, where given, needs at least one of the others.
    Needs(&'static str, &'static [&'static str]),
}

/// A property as stated at one study point.
#[derive(Clone, Debug)]
pub(crate) struct StatedValue {
    /// `None` where the value is wrong and that has been told.
    pub(crate) value: Option<Value>,
    /// The property's name and value in the text.
    pub(crate) span: Span,
}

/// A part as stated at one study point.
pub(crate) struct Stated<'a> {
    pub(crate) name: &'a str,
    /// Place of the part's name.
    pub(crate) span: Span,
    pub(crate) table: &'static KindTable,
    pub(crate) values: &'a BTreeMap<String, StatedValue>,
}

impl Stated<'_> {
    pub(crate) fn number(&self, property: &str) -> Option<f64> {
        match self.values.get(property)?.value.as_ref()? {
            Value::Number(quantity, _) => Some(quantity.value),
            _ => None,
        }
    }

    /// Place of a property, of the part's name where it isn't stated.
    pub(crate) fn place(&self, property: &str) -> Span {
        self.values.get(property).map_or(self.span, |stated| stated.span)
    }

    fn first_of(&self, properties: &[&'static str]) -> Option<(&'static str, Span)> {
        properties.iter().find_map(|name| self.values.get(*name).map(|stated| (*name, stated.span)))
    }

    /// Tells what the rules and the kind's own relations forbid.
    pub(crate) fn check(&self, sink: &mut Sink) {
        for rule in self.table.rules {
            self.check_rule(rule, sink);
        }
        self.check_counts(sink);
        (self.table.check)(self, sink);
    }

    /// Whole numbers against what their property takes.
    fn check_counts(&self, sink: &mut Sink) {
        let counts = self.table.properties.iter().filter(|property| property.shape == Shape::Count);
        for property in counts {
            let Some(count) = self.number(property.name).filter(|&count| !property.allowed.takes(count))
            else {
                continue;
            };
            // A ratio's description would show percents.
            let must = match property.allowed {
                Allowed::Between(low, high) => format!("a whole number from {low} to {high}"),
                other => other.describe(Dimension::NONE),
            };
            sink.push(
                Mistake::new(
                    "out_of_range",
                    self.place(property.name),
                    format!("`{}` of `{}` must be {must}, not {count}", property.name, self.name),
                )
                .label(format!("expected {must}")),
            );
        }
    }

    fn check_rule(&self, rule: &Rule, sink: &mut Sink) {
        match *rule {
            Rule::OneOf(names) => {
                if self.first_of(names).is_none() {
                    self.tell_missing(names, sink);
                }
            }
            Rule::NotBoth(names) => {
                let mut given = names.iter().filter_map(|name| Some((*name, self.values.get(*name)?.span)));
                if let (Some(first), Some(second)) = (given.next(), given.next()) {
                    self.tell_conflict(first, second, sink);
                }
            }
            Rule::Either(one, other) => {
                if let (Some(first), Some(second)) = (self.first_of(one), self.first_of(other)) {
                    self.tell_conflict(first, second, sink);
                }
            }
            Rule::Needs(name, others) => {
                if let Some(stated) = self.values.get(name)
                    && self.first_of(others).is_none()
                {
                    sink.push(
                        Mistake::new(
                            "property_needs_another",
                            stated.span,
                            format!(
                                "`{name}` of `{}` has no effect without {}",
                                self.name,
                                either_word(others)
                            ),
                        )
                        .about(others[0])
                        .label(format!("needs {} too", either_word(others)))
                        .help(format!("add `{}`, or leave `{name}` out", self.example(others[0]))),
                    );
                }
            }
        }
    }

    fn tell_missing(&self, names: &[&'static str], sink: &mut Sink) {
        sink.push(
            Mistake::new(
                "missing_property",
                self.span,
                format!("{} needs {}", self.table.noun(), either_word(names)),
            )
            .about(names[0])
            .label(format!("`{}` does not say it", self.name))
            .help(format!("add `{}`", self.example(names[0]))),
        );
    }

    fn tell_conflict(&self, first: (&str, Span), second: (&str, Span), sink: &mut Sink) {
        // The later one in the text is the one to point at.
        let (first, second) = if first.1 <= second.1 { (first, second) } else { (second, first) };
        sink.push(
            Mistake::new(
                "contradiction",
                second.1,
                format!("`{}` takes `{}` or `{}`, not both", self.name, first.0, second.0),
            )
            .label("this is already settled")
            .also(first.1, format!("by `{}`", first.0))
            .help("leave one of them out"),
        );
    }

    fn example(&self, property: &str) -> String {
        match self.table.property(property).map(|property| property.shape) {
            Some(
                Shape::Number(dimension, unit)
                | Shape::Range(dimension, unit)
                | Shape::Course(dimension, unit),
            ) => {
                let number = if dimension == Dimension::GAUGE { "24" } else { "…" };
                format!("{property} {number} {unit}").trim_end().to_owned()
            }
            Some(Shape::Words(words)) => format!("{property} {}", words[0]),
            Some(Shape::Count) => format!("{property} 1"),
            _ => property.to_owned(),
        }
    }
}

fn either_word(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    quoted.join(" or ")
}

/// For kinds without relations between values.
pub(crate) fn no_relations(_: &Stated<'_>, _: &mut Sink) {}

/// The row that tables of what an option can add have in common.
pub(crate) const MASS: Property = property(
    "mass",
    Shape::Number(Dimension::MASS, "g"),
    Allowed::Positive,
    "what it weighs with its leads; what an option adds is summed up in the report",
    None,
);

/// A table's row.
pub(crate) const fn property(
    name: &'static str,
    shape: Shape,
    allowed: Allowed,
    meaning: &'static str,
    default: Option<&'static str>,
) -> Property {
    Property { name, shape, allowed, meaning, default }
}

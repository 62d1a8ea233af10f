//! The tables of kinds against each other and against the words of the language.

use quietrail_language::Kind;
use quietrail_language::kinds::{Rule, Shape, TABLES};
use std::collections::HashSet;

#[test]
fn words_are_unique_and_lead_back() {
    let words: HashSet<&str> = TABLES.iter().map(|table| table.word).collect();
    assert_eq!(words.len(), TABLES.len());
    for table in TABLES {
        assert_eq!(Kind::from_word(table.word), Some(table.kind));
        assert_eq!(table.kind.word(), table.word);
    }
}

#[test]
fn properties_are_unique_and_rules_speak_of_them() {
    for table in TABLES {
        let names: HashSet<&str> = table.properties.iter().map(|property| property.name).collect();
        assert_eq!(names.len(), table.properties.len(), "{}", table.word);
        for rule in table.rules {
            let spoken: Vec<&str> = match *rule {
                Rule::OneOf(names) | Rule::NotBoth(names) => names.to_vec(),
                Rule::Either(one, other) => [one, other].concat(),
                Rule::Needs(name, others) => [&[name], others].concat(),
            };
            for name in spoken {
                assert!(names.contains(name), "{}: {name}", table.word);
            }
        }
    }
}

#[test]
fn usual_units_have_the_propertys_dimension() {
    for table in TABLES {
        for property in table.properties {
            let pairs = match property.shape {
                Shape::Number(dimension, unit)
                | Shape::Range(dimension, unit)
                | Shape::Course(dimension, unit) => {
                    vec![(dimension, unit)]
                }
                Shape::Points(first, second) => vec![first, second],
                Shape::Count | Shape::Words(_) | Shape::Level => Vec::new(),
            };
            for (dimension, unit) in pairs.into_iter().filter(|(_, unit)| !unit.is_empty()) {
                let found = quantity::parse_unit(unit).map(|unit| unit.dimension);
                assert_eq!(found, Ok(dimension), "{} {}", table.word, property.name);
            }
        }
    }
}

#[test]
fn every_kind_has_its_equation_and_says_where_it_comes_from() {
    for table in TABLES {
        assert!(!table.equations.is_empty(), "{} has no equation", table.word);
        for (formula, source) in table.equations {
            assert!(formula.contains('=') && !source.is_empty(), "{}: {formula}", table.word);
        }
    }
}

/// A default that is a number, other than nothing or one of something, comes from somewhere.
#[test]
fn every_default_that_changes_a_result_has_its_source() {
    for table in TABLES {
        for (name, source) in table.sources {
            assert!(table.property(name).is_some() && !source.is_empty(), "{}: {name}", table.word);
        }
        for property in table.properties {
            let Some(default) = property.default else { continue };
            let number = default.split(' ').next().and_then(|word| word.parse::<f64>().ok());
            let chosen = number.is_some_and(|number| number != 0.0) && !matches!(default, "1" | "100 %");
            let chosen = chosen || default.contains("an assumption");
            assert!(
                !chosen || table.source(property.name).is_some(),
                "`{}` of `{}` is {default}: say where that comes from in `sources`",
                property.name,
                table.word,
            );
        }
    }
}

//! Parts: nodes, properties, values.

use super::{Before, Expected, expression};
use language::Kind;
use language::kinds::{Property, Shape};
use language::outline::Sort;
use quantity::Dimension;

/// `KIND NAME NODE -> NODE PROPERTY VALUE, …`
pub(super) fn inside<'a>(kind: Kind, before: &Before<'a>) -> Expected<'a> {
    if before.len() == 1 {
        return Expected::Nothing;
    }
    let arrows = || before.lexemes.iter().enumerate().filter(|(_, each)| each.sort == Sort::Arrow);
    let Some((arrow, _)) = arrows().next_back() else {
        return match before.len() {
            2 => Expected::Node,
            3 => Expected::Words(&["->"]),
            _ => Expected::Nothing,
        };
    };
    let first = arrow + 2;
    let rest = before.after(first);
    if before.len() < first {
        return Expected::Node;
    }
    if kind.has_second_pair() && arrows().count() == 1 {
        return match rest.len() {
            0 => Expected::Nothing,
            1 if rest.last() == Some(Sort::Comma) => Expected::Node,
            2 => Expected::Words(&["->"]),
            _ => Expected::Nothing,
        };
    }
    let item = rest.after(rest.last_item(0));
    if item.len() == 0 {
        return Expected::Property(kind.table(), before.stated(first));
    }
    match kind.table().property(item.text(0)) {
        Some(property) => value(property, &item.after(1)),
        None => Expected::Nothing,
    }
}

/// In the value of a property, of which `before` is what stands there already.
pub(super) fn value<'a>(property: &'static Property, before: &Before<'a>) -> Expected<'a> {
    let in_list =
        before.lexemes.iter().any(|each| each.sort == Sort::Open && before.view.own.part(each.span) == "[");
    let quantity = match property.shape {
        Shape::Number(dimension, unit) | Shape::Range(dimension, unit) => (dimension, unit),
        Shape::Course(dimension, unit) if in_list => {
            of_entry(before, (Dimension::TIME, "ms"), (dimension, unit))
        }
        Shape::Course(dimension, unit) => (dimension, unit),
        Shape::Points(first, second) => of_entry(before, first, second),
        Shape::Level => (Dimension::VOLTAGE, "V"),
        Shape::Count | Shape::Words(_) => {
            return if before.len() == 0 { Expected::Value(property) } else { Expected::Nothing };
        }
        // A shape of a later edition: nothing is known of it here.
        #[allow(unreachable_patterns)]
        _ => return Expected::Nothing,
    };
    if before.len() == 0 { Expected::Value(property) } else { expression::of_dimension(before, quantity) }
}

/// In `[ABSCISSA: ORDINATE, …]`: the one before the colon or the one after it.
fn of_entry(
    before: &Before<'_>,
    first: (Dimension, &'static str),
    second: (Dimension, &'static str),
) -> (Dimension, &'static str) {
    let mut marks = before.lexemes.iter().rev().map(|lexeme| lexeme.sort);
    match marks.find(|sort| matches!(sort, Sort::Colon | Sort::Comma)) {
        Some(Sort::Colon) => second,
        _ => first,
    }
}

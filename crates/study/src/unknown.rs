//! What is taken for values of which only the ends are known.

use language::description::{Harness, Tolerance, Value};
use quantity::{Quantity, engineering};

/// Significant digits in sentences.
const DIGITS: usize = 3;

/// A sentence for every value that the file calls unknown.
pub(crate) fn assumptions(harness: &Harness) -> Vec<String> {
    let lets = harness.lets.iter().map(|each| (each.name.clone(), each.value, each.tolerance));
    let properties = harness.parts.iter().flat_map(|part| {
        part.properties.iter().filter_map(|(property, value)| match value {
            Value::Number(quantity, tolerance) => {
                Some((format!("{}.{property}", part.name), *quantity, *tolerance))
            }
            _ => None,
        })
    });
    let sentence = |(name, value, tolerance): (String, Quantity, Option<Tolerance>)| {
        let Some(Tolerance::Between(low, high)) = tolerance else { return None };
        let shown = |number: f64| engineering(Quantity::new(number, value.dimension), DIGITS);
        let (taken, low, high) = (shown(value.value), shown(low), shown(high));
        Some(format!(
            "{name} is unknown between {low} and {high}: {taken} is taken; measure it, or look at both ends with `sweep --corners`"
        ))
    };
    lets.chain(properties).filter_map(sentence).collect()
}

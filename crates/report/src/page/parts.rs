//! What to buy and what is there: for each option the parts that it adds, with their values and what these come to.

use super::values::stated_of;
use super::{Section, Subject};
use crate::options::{Pick, picks};
use crate::table::figure;
use crate::text;
use crate::words::page::PARTS;
use language::Kind;
use language::description::{Part, Value};
use maud::{Markup, html};
use study::result::{PartFacts, Run};

/// Conditions that are looked at for a value that they set, and such values told at most.
const MOST_CONDITIONS: usize = 64;
const MOST_VALUES: usize = 4;

/// The parts of a pick, those of its own apart from those that every pick has alike.
pub(super) struct Fitted {
    /// What the pick adds.
    pub(super) own: Vec<Part>,
    /// What all have.
    shared: Vec<Part>,
    /// All of them under every condition.
    everywhere: Vec<Vec<Part>>,
    /// What the values of parts come to, of both.
    pub(super) facts: Vec<PartFacts>,
}

/// What every pick adds, in their order.
pub(super) fn fitted(subject: &Subject<'_>) -> Vec<Fitted> {
    let picks = picks(subject.comparison);
    let first = |pick: &Pick<'_>| {
        let run = pick.runs.first();
        let under = |run: &&Run| subject.description.at(&run.at).parts;
        let everywhere: Vec<Vec<Part>> = pick.runs.iter().take(MOST_CONDITIONS).map(under).collect();
        (everywhere, run.map(|run| run.parts.clone()).unwrap_or_default())
    };
    let all: Vec<(Vec<Vec<Part>>, Vec<PartFacts>)> = picks.iter().map(first).collect();
    let shared = |part: &Part| {
        picks.len() > 1
            && all.iter().all(|(parts, _)| parts.iter().take(1).flatten().any(|one| same(one, part)))
    };
    all.iter()
        .map(|(parts, facts)| {
            let (shared, own) = parts.iter().take(1).flatten().cloned().partition(|part| shared(part));
            Fitted { own, shared, facts: facts.clone(), everywhere: parts.clone() }
        })
        .collect()
}

fn same(one: &Part, other: &Part) -> bool {
    one.name == other.name
        && one.kind == other.kind
        && (&one.left, &one.right, &one.second) == (&other.left, &other.right, &other.second)
        && one.properties == other.properties
}

impl Fitted {
    /// Its own parts, then those that all have, under the first condition.
    pub(super) fn all(&self) -> impl Iterator<Item = &Part> {
        self.own.iter().chain(&self.shared)
    }

    /// What the added parts weigh in kilogram as far as that is known, and the names of those of which it is not.
    pub(super) fn mass(&self) -> (f64, Vec<&str>) {
        let mut unknown = Vec::new();
        let mut sum = 0.0;
        for part in &self.own {
            let facts = self.facts.iter().find(|facts| facts.name == part.name);
            let mass = facts.and_then(|facts| facts.facts.iter().find(|fact| fact.name == "mass"));
            match mass {
                Some(fact) => sum += fact.value,
                // A wire without a length stands for a joint.
                None if part.kind == Kind::Wire => {}
                None => unknown.push(part.name.as_str()),
            }
        }
        (sum, unknown)
    }
}

pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let fitted = fitted(subject);
    let picks = picks(subject.comparison);
    let body = html! {
        div class="wide" tabindex="0" role="group" aria-label="Parts of every option" {
            table class="parts" {
                thead { tr {
                    th scope="col" { "Part" } th scope="col" { "From, to" } th scope="col" { "As stated" }
                    th scope="col" { "Comes to" }
                } }
                @for (pick, fitted) in picks.iter().zip(&fitted) {
                    @if !fitted.own.is_empty() { (group(&pick.label, &fitted.own, fitted)) }
                }
                @if let Some(fitted) = fitted.first().filter(|fitted| !fitted.shared.is_empty()) {
                    (group("In every option", &fitted.shared, fitted))
                }
            }
        }
    };
    fitted
        .iter()
        .any(|one| !one.own.is_empty() || !one.shared.is_empty())
        .then(|| Section::new("parts", PARTS, body))
}

fn group(heading: &str, parts: &[Part], fitted: &Fitted) -> Markup {
    html! {
        tbody {
            tr { th scope="rowgroup" colspan="4" class="group" { (heading) } }
            @for part in parts {
                tr {
                    th scope="row" { (part.name) " " span class="kind" { (part.kind.word().replace('_', " ")) } }
                    td { (nodes(part)) }
                    td { (properties(part, &fitted.everywhere)) }
                    td { (comes_to(part, &fitted.facts)) }
                }
            }
        }
    }
}

fn nodes(part: &Part) -> String {
    let pairs: Vec<String> = part.pairs().map(|(left, right)| format!("{left} → {right}")).collect();
    pairs.join(", ")
}

fn properties(part: &Part, everywhere: &[Vec<Part>]) -> String {
    let one = |(name, value): (&String, &Value)| {
        let mut values: Vec<String> = vec![stated_of(part.kind, name, value)];
        for other in everywhere.iter().flatten().filter(|other| other.name == part.name) {
            let other = other.properties.get(name).map(|value| stated_of(part.kind, name, value));
            values.extend(other.filter(|other| !values.contains(other)));
        }
        let by = if values.len() > 1 { " by condition" } else { "" };
        let told = match values.as_slice() {
            [first, .., last] if values.len() > MOST_VALUES => format!("{first} … {last}"),
            _ => values.join(" or "),
        };
        format!("{} {told}{by}", name.replace('_', " "))
    };
    part.properties.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// The figures that follow from the values, without those that the file states itself.
fn comes_to(part: &Part, facts: &[PartFacts]) -> String {
    let facts = facts.iter().find(|facts| facts.name == part.name);
    let derived = facts.into_iter().flat_map(|facts| &facts.facts);
    let derived = derived.filter(|fact| !part.properties.contains_key(fact.name));
    let words = derived.map(|fact| format!("{} {}", fact.name.replace('_', " "), figure(fact)));
    text::keep_units(&text::with_micro(&words.collect::<Vec<_>>().join(", ")))
}

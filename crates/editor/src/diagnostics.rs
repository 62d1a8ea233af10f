//! Mistakes, remarks and warnings as the protocol's diagnostics.

use crate::document::Document;
use language::outline::{Role, Sort};
use language::{Description, Mistake, Severity, Span};
use lsp_types::{Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location, NumberOrString};

/// Who tells, as editors show it beside the message.
const SOURCE: &str = "quietrail";
/// Larger products of axes are not looked at for contradicting values while somebody types; `check` looks at them.
const MOST_POINTS: usize = 256;
/// Likewise for larger texts, in bytes.
const LARGEST: usize = 1 << 18;

/// Everything that can be told of a text without running it.
pub(crate) fn diagnostics(document: &Document) -> Vec<Diagnostic> {
    match language::read(&document.source, &[]) {
        Err(mistakes) => mistakes.iter().map(|mistake| of_mistake(document, mistake)).collect(),
        Ok(description) => {
            let remarks = description.remarks().iter().chain(description.without_effect());
            let mut all: Vec<Diagnostic> = remarks.map(|remark| of_mistake(document, remark)).collect();
            if is_small(document, &description) {
                all.extend(examined(document, &description));
            }
            all
        }
    }
}

fn of_mistake(document: &Document, mistake: &Mistake) -> Diagnostic {
    let mut lines = vec![mistake.message.clone()];
    lines.extend(Some(&mistake.label).filter(|label| !label.is_empty()).cloned());
    lines.extend(mistake.help.as_ref().map(|help| format!("help: {help}")));
    lines.extend(mistake.point.as_ref().map(|point| format!("at {point}")));
    let related = mistake.others.iter().filter(|(span, _)| span.source == 0);
    let related = related.map(|(span, what)| DiagnosticRelatedInformation {
        location: Location::new(document.uri.clone(), document.range(*span)),
        message: what.clone(),
    });
    let related: Vec<_> = related.collect();
    Diagnostic {
        severity: Some(match mistake.severity {
            Severity::Mistake => DiagnosticSeverity::ERROR,
            Severity::Remark => DiagnosticSeverity::HINT,
        }),
        related_information: (!related.is_empty()).then_some(related),
        ..diagnostic(document, visible(document, mistake.span), mistake.code, lines.join("\n"))
    }
}

fn diagnostic(document: &Document, span: Span, code: &str, message: String) -> Diagnostic {
    Diagnostic {
        range: document.range(span),
        code: Some(NumberOrString::String(code.to_owned())),
        source: Some(SOURCE.to_owned()),
        message,
        ..Diagnostic::default()
    }
}

/// A span of another text is shown where this one begins.
fn visible(document: &Document, span: Span) -> Span {
    if span.source == 0 { span } else { beginning(document) }
}

fn is_small(document: &Document, description: &Description) -> bool {
    let mut counts = description.axes().iter().map(|axis| axis.points.len().max(1));
    let product = counts.try_fold(1_usize, |product, count| product.checked_mul(count));
    product.is_some_and(|product| product <= MOST_POINTS) && document.text().len() <= LARGEST
}

/// Values that contradict each other or physics, and warnings that need no run.
fn examined(document: &Document, description: &Description) -> Vec<Diagnostic> {
    let found = study::examine(description);
    let errors = found.errors.iter().map(|error| {
        let (part, property) = subject(&error.subject);
        let place = place(document, part, property);
        let mut message = error.message.clone();
        if !error.help.is_empty() {
            message.push_str(&format!("\nhelp: {}", error.help));
        }
        let severity = Some(DiagnosticSeverity::ERROR);
        Diagnostic { severity, ..diagnostic(document, place, "impossible_value", message) }
    });
    let warnings = found.warnings.iter().map(|warning| {
        let place = place(document, &warning.about, "");
        let severity = Some(DiagnosticSeverity::WARNING);
        Diagnostic { severity, ..diagnostic(document, place, warning.code, warning.text.clone()) }
    });
    errors.chain(warnings).collect()
}

/// Part and property out of `part pack, cells`.
fn subject(text: &str) -> (&str, &str) {
    let (part, property) = text.split_once(", ").unwrap_or((text, ""));
    (part.strip_prefix("part ").unwrap_or(part), property)
}

/// Where a part states a property, else its name; the text's beginning where there is no such part.
fn place(document: &Document, name: &str, property: &str) -> Span {
    let found = document.find(name, None);
    let Some((statement, definition)) = found.first() else { return beginning(document) };
    if !matches!(definition.role, Role::Part(_)) {
        return definition.name;
    }
    let words = document.lexemes(statement).iter().skip(2);
    let mut stated = words.filter(|each| each.sort == Sort::Word && document.part(each.span) == property);
    stated.next().map_or(definition.name, |word| word.span)
}

/// The first word of the text.
fn beginning(document: &Document) -> Span {
    let first = document.outline.statements.first().and_then(|each| document.lexemes(each).first());
    first.map_or(Span::default(), |lexeme| lexeme.span)
}

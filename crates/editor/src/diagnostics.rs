//! Mistakes, remarks and warnings as the protocol's diagnostics.

use crate::document::Document;
use crate::include::{Files, address_of};
use crate::place::Lines;
use language::{Description, Mistake, Read, Severity, Source, Span};
use lsp_types::{
    Diagnostic, DiagnosticRelatedInformation, DiagnosticSeverity, Location, NumberOrString, Uri,
};
use std::str::FromStr;
use study::Noted;

/// Who tells, as editors show it beside the message.
const SOURCE: &str = "quietrail";
/// Larger products of axes are not looked at for contradicting values while somebody types; `check` looks at them.
const MOST_POINTS: usize = 256;
/// Likewise for larger texts, in bytes.
const LARGEST: usize = 1 << 18;

/// Everything that can be told of a text without running it.
pub(crate) fn diagnostics(document: &Document, files: &Files<'_>) -> Vec<Diagnostic> {
    let Read { description, sources } = language::read_with(&document.source, &[], files);
    let all = |mistakes: &[Mistake]| -> Vec<Diagnostic> {
        mistakes.iter().map(|mistake| of_mistake(document, &sources, mistake)).collect()
    };
    match description {
        Err(mistakes) => all(&mistakes),
        Ok(description) => {
            let mut told = all(&[description.remarks(), description.without_effect()].concat());
            if is_small(document, &description) {
                let found = study::examine(&description);
                told.extend(all(&found.errors));
                told.extend(found.warnings.iter().map(|noted| of_warning(document, &sources, noted)));
            }
            told
        }
    }
}

fn of_mistake(document: &Document, sources: &[Source], mistake: &Mistake) -> Diagnostic {
    let mut lines = vec![mistake.message.clone()];
    lines.extend(Some(&mistake.label).filter(|label| !label.is_empty()).cloned());
    lines.extend(mistake.help.as_ref().map(|help| format!("help: {help}")));
    lines.extend(mistake.point.as_ref().map(|point| format!("at {point}")));
    // What is wrong in an included file is shown where this text includes it, with the place itself beside.
    let inside = mistake.span.source == 0;
    let own = || mistake.others.iter().map(|(span, _)| *span).find(|span| span.source == 0);
    let span = if inside { mistake.span } else { own().unwrap_or_else(|| beginning(document)) };
    let place = (!inside).then(|| (mistake.span, mistake.message.clone()));
    let related = place.iter().chain(&mistake.others);
    let related: Vec<_> = related.filter_map(|(span, what)| beside(document, sources, *span, what)).collect();
    Diagnostic {
        severity: Some(match mistake.severity {
            Severity::Mistake => DiagnosticSeverity::ERROR,
            Severity::Remark => DiagnosticSeverity::HINT,
        }),
        related_information: (!related.is_empty()).then_some(related),
        ..diagnostic(document, span, mistake.code, lines.join("\n"))
    }
}

/// A place of this text, or of one that it includes.
fn beside(
    document: &Document,
    sources: &[Source],
    span: Span,
    what: &str,
) -> Option<DiagnosticRelatedInformation> {
    let location = if span.source == 0 {
        Location::new(document.uri.clone(), document.range(span))
    } else {
        let source = sources.get(span.source)?;
        let range = Lines::new(&source.text).range(&source.text, span.start, span.end);
        Location::new(Uri::from_str(&address_of(&source.name)).ok()?, range)
    };
    Some(DiagnosticRelatedInformation { location, message: what.to_owned() })
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

fn is_small(document: &Document, description: &Description) -> bool {
    let mut counts = description.axes().iter().map(|axis| axis.points.len().max(1));
    let product = counts.try_fold(1_usize, usize::checked_mul);
    product.is_some_and(|product| product <= MOST_POINTS) && document.text().len() <= LARGEST
}

/// A warning that needs no run.
fn of_warning(document: &Document, sources: &[Source], noted: &Noted) -> Diagnostic {
    let Noted { warning, places } = noted;
    // As of mistakes: shown where this text includes the file, with the place itself beside.
    let own = places.iter().find(|span| span.source == 0).copied();
    let span = own.unwrap_or_else(|| beginning(document));
    let inside = places.first().filter(|place| place.source != 0);
    let related = inside.and_then(|place| beside(document, sources, *place, &warning.text));
    Diagnostic {
        severity: Some(DiagnosticSeverity::WARNING),
        related_information: related.map(|place| vec![place]),
        ..diagnostic(document, span, warning.code, warning.text.clone())
    }
}

/// The first word of the text.
fn beginning(document: &Document) -> Span {
    let first = document.outline.statements.first().and_then(|each| document.lexemes(each).first());
    first.map_or(Span::default(), |lexeme| lexeme.span)
}

//! What a check found, as JSON for editors, schema 1.

use crate::json;
use language::{Mistake, Severity, Source, Span};
use serde_json::{Value, json};
use study::{Examination, Noted, PartAt};

/// What is known of a checked file.
#[derive(Clone, Copy, Debug)]
pub struct Checked<'a> {
    /// The texts that the spans of `mistakes` speak of, the file first.
    pub sources: &'a [Source],
    /// Mistakes and remarks with their places.
    pub mistakes: &'a [Mistake],
    /// What was found without running the file; `None` where its text is wrong.
    pub examination: Option<&'a Examination>,
    /// How many points would be run; `None` where that is unknown or too many.
    pub points: Option<usize>,
}

/// The check on one line, with a line end.
///
/// Lines and columns count from 1; a column counts characters (Unicode scalar values, a tab is one), and the end is the
/// place after the last character. What speaks of the whole file has the range `null`.
#[must_use]
pub fn json(checked: &Checked<'_>) -> String {
    let places: Vec<Places<'_>> = checked.sources.iter().map(Places::new).collect();
    let file = checked.sources.first().map_or("", |source| source.name.as_str());
    let found = checked.examination;
    let all = checked.mistakes.iter().chain(found.iter().flat_map(|found| &found.errors));
    let mut mistakes: Vec<Value> = all.map(|one| mistake(one, &places)).collect();
    let warnings = found.iter().flat_map(|found| &found.warnings);
    mistakes.extend(warnings.map(|noted| warning(noted, file, &places)));
    let value = json!({
        "schema": 1,
        "file": file,
        "mistakes": mistakes,
        "assumptions": found.map_or(&[][..], |found| &found.assumptions),
        "points": checked.points,
        "parts": found.map_or(&[][..], |found| &found.parts).iter().map(part).collect::<Vec<_>>(),
    });
    format!("{value}\n")
}

/// What a part comes to, with the first point where it is so; empty for the first point of all.
fn part(known: &PartAt) -> Value {
    let mut value = json!({"name": known.part.name, "at": known.at});
    if let (Value::Object(value), Value::Object(facts)) = (&mut value, json::part(&known.part)) {
        value.extend(facts);
    }
    value
}

fn mistake(mistake: &Mistake, places: &[Places<'_>]) -> Value {
    let severity = match mistake.severity {
        Severity::Mistake => "error",
        Severity::Remark => "remark",
    };
    let message = match &mistake.point {
        Some(point) => format!("{} (at {point})", mistake.message),
        None => mistake.message.clone(),
    };
    let hints = [mistake.label.as_str(), mistake.help.as_deref().unwrap_or_default()];
    let help = hints.into_iter().filter(|hint| !hint.is_empty()).collect::<Vec<_>>().join("; ");
    let others = mistake.others.iter().map(|(span, message)| also(*span, message, places));
    let (file, range) = place(mistake.span, places);
    json!({
        "code": mistake.code,
        "severity": severity,
        "file": file,
        "range": range,
        "message": message,
        "help": text(&help),
        "also": others.collect::<Vec<_>>(),
    })
}

fn warning(Noted { warning, places: at }: &Noted, file: &str, places: &[Places<'_>]) -> Value {
    let (own, includes) = at.split_first().map_or((None, at.as_slice()), |(own, rest)| (Some(own), rest));
    let (file, range) = own.map_or_else(|| (json!(file), Value::Null), |span| place(*span, places));
    json!({
        "code": warning.code,
        "severity": "warning",
        "file": file,
        "range": range,
        "message": warning.text,
        "help": Value::Null,
        "also": includes.iter().map(|span| also(*span, "included here", places)).collect::<Vec<_>>(),
    })
}

fn also(span: Span, message: &str, places: &[Places<'_>]) -> Value {
    let (file, range) = place(span, places);
    json!({"file": file, "range": range, "message": message})
}

fn text(text: &str) -> Value {
    if text.is_empty() { Value::Null } else { json!(text) }
}

/// File and range of a span.
fn place(span: Span, places: &[Places<'_>]) -> (Value, Value) {
    let Some(places) = places.get(span.source) else { return (Value::Null, Value::Null) };
    let range = json!({"start": places.place(span.start), "end": places.place(span.end.max(span.start))});
    (json!(places.source.name), range)
}

/// A text with the places where its lines begin, so that a place needs no walk through the whole of it.
struct Places<'a> {
    source: &'a Source,
    starts: Vec<usize>,
}

impl<'a> Places<'a> {
    fn new(source: &'a Source) -> Self {
        let ends = source.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        Self { source, starts: std::iter::once(0).chain(ends).collect() }
    }

    fn place(&self, byte: usize) -> Value {
        let text = self.source.text.as_bytes();
        let byte = byte.min(text.len());
        let line = self.starts.partition_point(|start| *start <= byte);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        // Every character has one byte that does not go on from another: 10xxxxxx goes on.
        let before = text[start..byte].iter().filter(|byte| **byte & 0xc0 != 0x80).count();
        json!({"line": line, "column": before + 1})
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the language's own walk through the text.
    #[test]
    fn lines_and_columns_count_characters_from_one() {
        let text = "a\nµΩ \u{1d11e}b\r\n\n\tz";
        let source = Source { name: "x".to_owned(), text: text.to_owned() };
        let places = Places::new(&source);
        for byte in (0..=text.len()).filter(|byte| text.is_char_boundary(*byte)) {
            let (line, column) = source.line_and_column(byte);
            assert_eq!(places.place(byte), json!({"line": line, "column": column}), "byte {byte}");
        }
        assert_eq!(places.place(text.find('b').unwrap()), json!({"line": 2, "column": 5}));
    }
}

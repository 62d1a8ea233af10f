//! Mistakes as text for a terminal: the line with the text underlined, what was expected, what to try.

use crate::mistake::{Mistake, Severity};
use crate::source::{Source, Span};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::ops::Range;

/// Columns of the terminal that messages are made for.
const WIDTH: usize = 80;
/// Lines longer than this are shown in part, so that one line of noise does not fill the screen.
const LONGEST_LINE: usize = 400;
/// Two places so many lines apart are shown as two excerpts.
const FAR: usize = 12;

/// Draws mistakes, in colour or plain. `sources` are the texts that their spans speak of, see
/// [`Source::with_settings`].
#[must_use]
pub fn render(mistakes: &[Mistake], sources: &[Source], color: bool) -> String {
    let renderer = if color { Renderer::styled() } else { Renderer::plain() };
    let renderer = renderer.term_width(WIDTH);
    let lines: Vec<Lines<'_>> = sources.iter().map(Lines::new).collect();
    let drawn: Vec<String> = mistakes.iter().map(|mistake| draw(mistake, &lines, &renderer)).collect();
    let mut text = drawn.join("\n\n");
    if !text.is_empty() {
        text.push('\n');
    }
    text
}

fn draw(mistake: &Mistake, lines: &[Lines<'_>], renderer: &Renderer) -> String {
    let level = match mistake.severity {
        Severity::Mistake => Level::ERROR.with_name("mistake"),
        Severity::Remark => Level::NOTE.with_name("remark"),
    };
    // `mistake[code]: ` before the message, which goes on below itself.
    let before = "mistake[]: ".len() + mistake.code.len();
    let message = wrapped_within(&mistake.message, WIDTH - before);
    let mut group = Group::with_title(level.primary_title(message).id(mistake.code));
    let (excerpts, notes) = excerpts(mistake, lines);
    for excerpt in excerpts {
        group = group.element(excerpt);
    }
    for note in notes {
        group = group.element(Level::NOTE.no_name().message(wrapped(&note)));
    }
    if let Some(help) = &mistake.help {
        group = group.element(Level::HELP.message(wrapped(help)));
    }
    if let Some(point) = &mistake.point {
        group = group.element(Level::NOTE.message(wrapped(&format!("at {point}"))));
    }
    renderer.render(&[group])
}

/// Breaks a sentence so that it fits beside the renderer's margin.
fn wrapped(text: &str) -> String {
    wrapped_within(text, WIDTH - 16)
}

fn wrapped_within(text: &str, room: usize) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    for word in text.split(' ') {
        let fits = lines
            .last()
            .is_none_or(|line| line.is_empty() || line.chars().count() + word.chars().count() < room);
        match lines.last_mut() {
            Some(line) if fits => {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.join("\n")
}

/// A place to underline, and whether it is the main one.
struct Place<'a> {
    span: Span,
    label: &'a str,
    main: bool,
}

type Excerpt<'a> = Snippet<'a, annotate_snippets::Annotation<'a>>;

/// The places of a mistake as excerpts of the text, and the labels that don't fit beside them.
fn excerpts<'a>(mistake: &'a Mistake, lines: &[Lines<'a>]) -> (Vec<Excerpt<'a>>, Vec<String>) {
    let mut places = vec![Place { span: mistake.span, label: &mistake.label, main: true }];
    places.extend(mistake.others.iter().map(|(span, label)| Place { span: *span, label, main: false }));
    let mut groups: Vec<Vec<Place<'a>>> = Vec::new();
    let mut notes = Vec::new();
    for mut place in places {
        let Some(text) = lines.get(place.span.source) else { continue };
        if !place.label.is_empty() && !text.has_room(&place) {
            notes.push(text.note(&place, place.span.source == mistake.span.source));
            place.label = "";
        }
        let near = |group: &&mut Vec<Place<'a>>| group.iter().all(|other| text.near(other.span, place.span));
        match groups.iter_mut().find(near) {
            Some(group) => group.push(place),
            None => groups.push(vec![place]),
        }
    }
    let excerpts = groups.iter().filter_map(|group| Some(lines.get(group[0].span.source)?.excerpt(group)));
    (excerpts.collect(), notes)
}

/// A text with the places where its lines begin.
struct Lines<'a> {
    source: &'a Source,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    fn new(source: &'a Source) -> Self {
        let breaks = source.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        Self { source, starts: std::iter::once(0).chain(breaks).collect() }
    }

    /// Index of the line that holds a byte.
    fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).saturating_sub(1)
    }

    fn range(&self, line: usize) -> Range<usize> {
        let end = self.starts.get(line + 1).map_or(self.source.text.len(), |next| next - 1);
        self.starts[line].min(end)..end
    }

    fn near(&self, one: Span, other: Span) -> bool {
        one.source == other.source && self.line(one.start).abs_diff(self.line(other.start)) <= FAR
    }

    /// Whether a label fits beside what it underlines.
    fn has_room(&self, place: &Place<'_>) -> bool {
        // `12 | ` before the line, a blank before the label
        let line = self.line(place.span.start);
        let margin = (line + 1).to_string().len() + 4;
        let range = self.range(line);
        let end = place.span.end.clamp(range.start, range.end);
        let before = self.source.text.get(range.start..end).map_or(0, |text| text.chars().count());
        margin + before + place.label.chars().count() <= WIDTH
    }

    fn note(&self, place: &Place<'_>, same_file: bool) -> String {
        let line = self.line(place.span.start) + 1;
        if place.main {
            place.label.to_owned()
        } else if same_file {
            format!("line {line}: {}", place.label)
        } else {
            format!("{} line {line}: {}", self.source.name, place.label)
        }
    }

    fn excerpt(&self, places: &[Place<'a>]) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
        let first = places.iter().map(|place| self.line(place.span.start)).min().unwrap_or(0);
        let last = places.iter().map(|place| self.line(place.span.start)).max().unwrap_or(0);
        let mut text = String::new();
        let mut annotations = Vec::new();
        for line in first..=last {
            let here = places.iter().filter(|place| self.line(place.span.start) == line);
            let shown = self.shown(line, here.clone().map(|place| place.span.start).next());
            let offset = text.len();
            for place in here {
                let kind = if place.main { AnnotationKind::Primary } else { AnnotationKind::Context };
                let span = self.within(&shown, place.span);
                let annotation = kind.span(offset + span.start..offset + span.end);
                annotations.push(if place.label.is_empty() {
                    annotation
                } else {
                    annotation.label(place.label)
                });
            }
            text.push_str(&self.source.text[shown]);
            text.push('\n');
        }
        Snippet::source(text).line_start(first + 1).path(self.source.name.as_str()).annotations(annotations)
    }

    /// The bytes of a line to show: all, or a stretch around `focus` where it is too long.
    fn shown(&self, line: usize, focus: Option<usize>) -> Range<usize> {
        let range = self.range(line);
        if range.len() <= LONGEST_LINE {
            return range;
        }
        let focus = focus.unwrap_or(range.start);
        let mut start = focus.saturating_sub(LONGEST_LINE / 2).max(range.start);
        let mut end = (start + LONGEST_LINE).min(range.end);
        while !self.source.text.is_char_boundary(start) {
            start -= 1;
        }
        while !self.source.text.is_char_boundary(end) {
            end += 1;
        }
        start..end
    }

    /// A span relative to the shown stretch of its line: not beyond it, and at least one character wide.
    fn within(&self, shown: &Range<usize>, span: Span) -> Range<usize> {
        let start = span.start.clamp(shown.start, shown.end);
        let end = span.end.clamp(start, shown.end);
        let start = if start == end && start > shown.start {
            // At the end of a line its last character is underlined, since a line break shows nothing.
            self.source.text[shown.start..start]
                .char_indices()
                .next_back()
                .map_or(start, |(at, _)| shown.start + at)
        } else {
            start
        };
        start - shown.start..end - shown.start
    }
}

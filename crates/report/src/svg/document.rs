//! The frame of every picture: the document with its words for screen readers, its style, its headings and its legend.

use super::canvas::{Anchor, Canvas, coordinate, escape};
use super::style::{FIGURES, MARGIN, NAME, PITCH, SUBTITLE, TITLE, WIDTH};
use crate::theme::STYLE;

/// Ids of a picture's own, so that several can stand in one page.
#[derive(Clone, Debug)]
pub(crate) struct Ids(String);

impl Ids {
    /// Of the picture with this name; what an id can't bear becomes a hyphen.
    pub(crate) fn new(name: &str) -> Self {
        let fitting = |one: char| if one.is_ascii_alphanumeric() || one == '_' { one } else { '-' };
        Self(format!("qr-{}", name.chars().map(fitting).collect::<String>()))
    }

    /// The id of one of its elements.
    pub(crate) fn of(&self, element: &str) -> String {
        format!("{}-{element}", self.0)
    }
}

/// Begins a document.
pub(crate) fn open(canvas: &mut Canvas, ids: &Ids, height: f64, title: &str, description: &str) {
    let (height, name, words) = (coordinate(height), ids.of("title"), ids.of("description"));
    canvas.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" class=\"qr-chart\" \
         viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" height=\"{height}\" role=\"img\" \
         aria-labelledby=\"{name} {words}\">"
    ));
    canvas.raw(&format!("<title id=\"{name}\">{}</title>", escape(title)));
    canvas.raw(&format!("<desc id=\"{words}\">{}</desc>", escape(description)));
    canvas.raw(&format!("<style>{STYLE}</style>"));
    canvas.raw("<rect class=\"qr-page\" width=\"100%\" height=\"100%\"/>");
}

/// Ends it.
pub(crate) fn close(mut canvas: Canvas) -> String {
    canvas.raw("</svg>");
    canvas.finish()
}

/// Title and subtitles in lines that fit the page.
pub(crate) struct Heading {
    title: Vec<String>,
    subtitles: Vec<String>,
}

impl Heading {
    const TITLE_PITCH: f64 = 31.0;
    const TOP: f64 = 12.0;
    const GAP: f64 = 4.0;

    pub(crate) fn new(title: &str, subtitles: &[String]) -> Self {
        let room = WIDTH - 2.0 * MARGIN;
        Self {
            title: TITLE.lines(title, room),
            subtitles: subtitles.iter().flat_map(|line| SUBTITLE.lines(line, room)).collect(),
        }
    }

    /// The last baseline.
    pub(crate) fn height(&self) -> f64 {
        Self::TOP
            + Self::TITLE_PITCH * self.title.len() as f64
            + Self::GAP
            + PITCH * self.subtitles.len() as f64
    }

    pub(crate) fn draw(&self, canvas: &mut Canvas) {
        let mut y = Self::TOP;
        for line in &self.title {
            y += Self::TITLE_PITCH;
            canvas.text(MARGIN, y, Anchor::Start, TITLE.class, line);
        }
        y += Self::GAP;
        for line in &self.subtitles {
            y += PITCH;
            canvas.text(MARGIN, y, Anchor::Start, SUBTITLE.class, line);
        }
    }
}

/// What a line of a legend explains, by its classes.
#[derive(Clone)]
pub(crate) enum Sample {
    Curve(String),
    Field(String),
}

impl Sample {
    /// Width with the space after it.
    const WIDTH: f64 = 46.0;

    fn draw(&self, canvas: &mut Canvas, x: f64, baseline: f64) {
        match self {
            Self::Curve(class) => canvas.line((x, baseline - 6.0), (x + 38.0, baseline - 6.0), class),
            Self::Field(class) => canvas.rectangle((x, baseline - 14.0), (38.0, 17.0), class),
        }
    }
}

/// Short explanations, as many on a line as fit.
pub(crate) struct Keys {
    entries: Vec<(Sample, Vec<String>)>,
}

impl Keys {
    pub(crate) fn new(entries: Vec<(Sample, String)>) -> Self {
        let room = WIDTH - 2.0 * MARGIN - Sample::WIDTH;
        Self {
            entries: entries
                .into_iter()
                .map(|(sample, words)| (sample, FIGURES.lines(&words, room)))
                .collect(),
        }
    }

    /// The entries' left edges and lines, and how many lines there are.
    fn places(&self) -> (Vec<(f64, usize)>, usize) {
        let (mut x, mut line) = (MARGIN, 0);
        let mut places = Vec::new();
        for (_, words) in &self.entries {
            let width = Sample::WIDTH + words.iter().map(|words| FIGURES.width(words)).fold(0.0, f64::max);
            if x > MARGIN && x + width > WIDTH - MARGIN {
                (x, line) = (MARGIN, line + 1);
            }
            places.push((x, line));
            if words.len() > 1 {
                (x, line) = (MARGIN, line + words.len());
            } else {
                x += width + 20.0;
            }
        }
        let lines = if x > MARGIN { line + 1 } else { line };
        (places, lines)
    }

    pub(crate) fn height(&self) -> f64 {
        self.places().1 as f64 * PITCH
    }

    /// With the baseline before the first at `top`.
    pub(crate) fn draw(&self, canvas: &mut Canvas, top: f64) {
        let (places, _) = self.places();
        for ((sample, words), (x, line)) in self.entries.iter().zip(places) {
            let y = top + (line + 1) as f64 * PITCH;
            sample.draw(canvas, x, y);
            for (at, words) in words.iter().enumerate() {
                canvas.text(x + Sample::WIDTH, y + at as f64 * PITCH, Anchor::Start, FIGURES.class, words);
            }
        }
    }
}

/// A legend with a line for each series: its sample, its name and what there is to say of it.
pub(crate) struct Legend {
    entries: Vec<LegendEntry>,
    indent: f64,
}

struct LegendEntry {
    sample: Sample,
    name: Vec<String>,
    words: Vec<String>,
}

impl Legend {
    /// From the widest name to the words.
    const GAP: f64 = 16.0;
    /// Most that names may take of the width.
    const NAMES: f64 = 380.0;

    /// Of (sample, name, words).
    pub(crate) fn new(entries: Vec<(Sample, String, String)>) -> Self {
        let widest = entries.iter().map(|(_, name, _)| NAME.width(name)).fold(0.0, f64::max);
        let indent = widest.min(Self::NAMES) + Self::GAP;
        let room = WIDTH - 2.0 * MARGIN - Sample::WIDTH - indent;
        let entry = |(sample, name, words): (Sample, String, String)| LegendEntry {
            sample,
            name: NAME.lines(&name, Self::NAMES),
            words: FIGURES.lines(&words, room),
        };
        Self { entries: entries.into_iter().map(entry).collect(), indent }
    }

    pub(crate) fn height(&self) -> f64 {
        self.entries.iter().map(LegendEntry::lines).sum::<usize>() as f64 * PITCH
    }

    /// With the baseline before the first at `top`.
    pub(crate) fn draw(&self, canvas: &mut Canvas, top: f64) {
        let mut y = top + PITCH;
        for entry in &self.entries {
            entry.sample.draw(canvas, MARGIN, y);
            let left = MARGIN + Sample::WIDTH;
            for (at, line) in entry.name.iter().enumerate() {
                canvas.text(left, y + PITCH * at as f64, Anchor::Start, NAME.class, line);
            }
            for (at, line) in entry.words.iter().enumerate() {
                canvas.text(left + self.indent, y + PITCH * at as f64, Anchor::Start, FIGURES.class, line);
            }
            y += PITCH * entry.lines() as f64;
        }
    }
}

impl LegendEntry {
    fn lines(&self) -> usize {
        self.name.len().max(self.words.len()).max(1)
    }
}

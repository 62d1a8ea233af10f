//! The report as one page for a browser: everything in one file, which opens from the disk without a network.
//!
//! The page is a list of sections, each of a file of its own: a heading, a sentence that says what it is good for, and what it
//! shows. What can be seen only with a script is there without one too, as a picture or a table.

mod about;
mod answer;
mod assumptions;
mod camera;
mod cautions;
mod curves;
mod document;
mod frequency;
mod harness_text;
mod measure;
mod options;
mod parts;
mod pictures;
mod points;
mod prose;
mod reasons;
mod sentences;
mod stills;
mod values;
mod warnings;
mod waveforms;
mod winding;

use document::Document;
use language::{Description, Source};
use maud::{Markup, html};
use study::influence::Influence;
use study::picture::Pictures;
use study::result::{Comparison, Responses};
use study::winding::Sheets;

/// What a page tells of.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// Every option under every condition, with waveforms.
    pub comparison: &'a Comparison,
    /// Curves over frequency, where the file asks for them.
    pub responses: Option<&'a Responses>,
    /// What its cameras show.
    pub cameras: Option<&'a Pictures>,
    /// What doubtful values do, at [`crate::measure::doubtful_points`].
    pub influences: Option<&'a [Influence]>,
    /// Winding sheets of its coils.
    pub winding: Option<&'a Sheets>,
    /// The file, checked.
    pub description: &'a Description,
    /// Its text first, then what it includes, each with its name.
    pub sources: &'a [Source],
    /// What the command line added, as it was typed: `--set pack.charge=30 %`.
    pub asked: &'a [String],
    /// Remarks on the text, a line each.
    pub remarks: &'a [String],
    /// The program's version.
    pub version: &'a str,
    /// How the page follows a file that is being worked on; nothing for a page that stays as it is.
    pub live: Option<Live<'a>>,
}

/// A page that is written anew while somebody looks at it.
#[derive(Clone, Copy, Debug)]
pub struct Live<'a> {
    /// A name of this state of the page, another for each.
    pub state: &'a str,
    /// The script beside the page that calls `quietrailState` with the state that there is now.
    pub script: &'a str,
    /// What is wrong with the file as it is now, as text; the rest of the page then shows what was last in order.
    pub mistakes: Option<&'a str>,
}

/// A stretch of the page.
struct Section {
    /// Anchor of the page, a word.
    id: &'static str,
    heading: &'static str,
    /// What it is good for; empty where the heading says it.
    intro: String,
    body: Markup,
}

impl Section {
    fn new(id: &'static str, words: (&'static str, &str), body: Markup) -> Self {
        Self { id, heading: words.0, intro: words.1.to_owned(), body }
    }
}

/// The page as an HTML document.
#[must_use]
pub fn page(subject: &Subject<'_>) -> String {
    let curves = curves::Curves::new(subject);
    let sections: Vec<Section> = [
        options::section(subject),
        sentences::section(subject),
        waveforms::section(subject, &curves),
        stills::spectra(subject),
        camera::section(subject),
        points::section(subject),
        reasons::section(subject),
        frequency::section(subject, &curves),
        stills::coils(subject),
        warnings::section(subject),
        measure::section(subject),
        assumptions::section(subject),
        parts::section(subject),
        winding::section(subject),
        cautions::section(subject),
        harness_text::section(subject),
        about::section(subject),
    ]
    .into_iter()
    .flatten()
    .collect();
    let mistakes = subject.live.and_then(|live| live.mistakes);
    let answer = html! {
        @if let Some(mistakes) = mistakes { (answer::mistakes(mistakes, true)) }
        (answer::answer(subject))
    };
    let title = &subject.comparison.harness;
    Document { title, version: subject.version, live: subject.live }.draw(&answer, &sections, &curves.json())
}

/// The page of a file that was never in order since it is looked at: its mistakes alone.
#[must_use]
pub fn refused(file: &str, live: Live<'_>, version: &str) -> String {
    let answer = answer::mistakes(live.mistakes.unwrap_or_default(), false);
    Document { title: file, version, live: Some(live) }.draw(&answer, &[], "[]")
}

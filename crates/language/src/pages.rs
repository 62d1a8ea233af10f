//! A page for every code of a mistake or remark: what it means, why it is one, and an example of either side.
//!
//! Warnings, which need a network or a run, have their pages where they are judged; see [`Page`].

mod assemblies;
mod axes;
mod frequency;
mod names;
mod parts;
mod readings;
mod sweeps;
mod text;
mod units;
mod values;

/// What there is to say about one code.
#[derive(Clone, Copy, Debug)]
pub struct Page {
    /// The code, as [`crate::Mistake::code`] or a warning has it.
    pub code: &'static str,
    /// What is wrong, in a few words.
    pub title: &'static str,
    /// What it means, why it matters, and what to do.
    pub text: &'static str,
    /// An example that has it; empty where it takes a file too long to show, which the text then says.
    pub wrong: &'static str,
    /// The same put right.
    pub right: &'static str,
    /// Where the examples stand.
    pub frame: Frame,
}

/// Where a page's examples stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Frame {
    /// Added to [`CIRCUIT`].
    Circuit,
    /// Whole files.
    Alone,
}

/// The circuit that most examples stand beside.
pub const CIRCUIT: &str = "\
battery pack gnd -> bus  emf 12 V, resistance 40 mohm
wire    link bus -> cam  resistance 1 mohm
load    eye  cam -> gnd  current 160 mA
testpoint rail = voltage(cam)
transient run  span 1 ms, start steady
";

impl Page {
    /// An example as a whole file.
    #[must_use]
    pub fn file(&self, example: &str) -> String {
        match self.frame {
            Frame::Circuit => format!("{CIRCUIT}{example}\n"),
            Frame::Alone => format!("{example}\n"),
        }
    }
}

/// Every page of the language's own mistakes and remarks, by theme.
pub fn all() -> impl Iterator<Item = &'static Page> {
    let themes = [
        text::PAGES,
        units::PAGES,
        values::PAGES,
        names::PAGES,
        parts::PAGES,
        axes::PAGES,
        readings::PAGES,
        frequency::PAGES,
        assemblies::PAGES,
        sweeps::PAGES,
    ];
    themes.into_iter().flatten()
}

/// The page of a code.
#[must_use]
pub fn page(code: &str) -> Option<&'static Page> {
    all().find(|page| page.code == code)
}

/// A page whose examples stand beside [`CIRCUIT`]: what is wrong, what it means, and both examples.
#[must_use]
pub const fn beside(
    code: &'static str,
    title: &'static str,
    text: &'static str,
    [wrong, right]: [&'static str; 2],
) -> Page {
    Page { code, title, text, wrong, right, frame: Frame::Circuit }
}

/// A page whose examples are whole files.
#[must_use]
pub const fn alone(
    code: &'static str,
    title: &'static str,
    text: &'static str,
    [wrong, right]: [&'static str; 2],
) -> Page {
    Page { code, title, text, wrong, right, frame: Frame::Alone }
}

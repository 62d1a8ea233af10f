//! How pictures use the theme: their width, their letters, and which colour and dash a series has.

use crate::theme::COLOURS;

/// Width of every picture in pixels; letters are set for it, and can still be read where it is shown half as wide.
pub(crate) const WIDTH: f64 = 1000.0;
/// Empty rim at both sides.
pub(crate) const MARGIN: f64 = 20.0;
/// From line to line of running words.
pub(crate) const PITCH: f64 = 24.0;

/// The classes of a tag: each word of `words` under the pictures' own prefix.
pub(crate) fn class(words: &str) -> String {
    words.split_whitespace().map(|word| format!("qr-{word}")).collect::<Vec<_>>().join(" ")
}

/// The place of a series in the palette.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Series {
    /// What others are compared with: black and solid.
    Baseline,
    /// The n-th of the others: a colour and a dash of its own, so that none is told by colour alone.
    Other(usize),
}

impl Series {
    /// A series for each of a picture's entries, told which of them are the baseline: the same on every picture.
    pub(crate) fn of_each(baselines: impl IntoIterator<Item = bool>) -> Vec<Self> {
        let mut others = 0;
        let series = baselines.into_iter().map(|baseline| {
            if baseline {
                return Self::Baseline;
            }
            others += 1;
            Self::Other(others - 1)
        });
        series.collect()
    }

    /// Class of its stroke.
    pub(crate) fn colour(self) -> String {
        match self {
            Self::Baseline => "k".to_owned(),
            Self::Other(at) => format!("c{}", at % COLOURS),
        }
    }

    /// Class of its fill.
    pub(crate) fn fill(self) -> String {
        match self {
            Self::Baseline => "fk".to_owned(),
            Self::Other(at) => format!("f{}", at % COLOURS),
        }
    }

    /// Classes of its stroke with its dash, for where curves lie over each other. When the colours have come round, each
    /// meets another dash.
    pub(crate) fn stroke(self) -> String {
        match self {
            Self::Baseline => self.colour(),
            Self::Other(at) => format!("{} d{}", self.colour(), (at + at / COLOURS) % COLOURS),
        }
    }
}

/// How a text is set: the style sheet's class, its font size in pixels, and the mean width of a character as a share of
/// that size.
///
/// Sans-serif faces of the family list average 0.5 to 0.55 for running text, 0.05 more where bold; digits and capitals are
/// wider, and a fallback face may be too.
#[derive(Clone, Copy)]
pub(crate) struct Face {
    pub(crate) class: &'static str,
    pub(crate) size: f64,
    pub(crate) character: f64,
}

pub(crate) const TITLE: Face = Face { class: "title", size: 26.0, character: 0.62 };
pub(crate) const SUBTITLE: Face = Face { class: "subtitle", size: 17.0, character: 0.57 };
pub(crate) const NAME: Face = Face { class: "name", size: 18.0, character: 0.64 };
pub(crate) const FIGURES: Face = Face { class: "figures", size: 17.0, character: 0.57 };
pub(crate) const TICK: Face = Face { class: "tick", size: 16.0, character: 0.57 };

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_series_look_alike() {
        let mut seen: Vec<String> = (0..COLOURS * COLOURS).map(|at| Series::Other(at).stroke()).collect();
        seen.sort();
        seen.dedup();
        assert_eq!(seen.len(), COLOURS * COLOURS);
        assert_eq!(
            Series::of_each([false, true, false]),
            [Series::Other(0), Series::Baseline, Series::Other(1)]
        );
    }
}

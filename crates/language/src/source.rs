//! Texts and places in them.

/// A text with the name that it is told by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Usually the file's path as the user gave it; `--set 1` for the first setting of the command line.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl Source {
    /// The texts that spans speak of, in the order of [`Span::source`]: the file, then each setting. Included files follow, see
    /// [`crate::Read::sources`].
    #[must_use]
    pub fn with_settings(file: &Self, settings: &[String]) -> Vec<Self> {
        let mut all = vec![file.clone()];
        let named = |(index, text): (usize, &String)| Self {
            name: format!("--set {}", index + 1),
            text: text.clone(),
        };
        all.extend(settings.iter().enumerate().map(named));
        all
    }

    /// Line and column (in characters), both from 1, of a byte of the text.
    #[must_use]
    pub fn line_and_column(&self, byte: usize) -> (usize, usize) {
        let mut end = byte.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let before = &self.text[..end];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|each| *each == b'\n').count() + 1;
        (line, before[line_start..].chars().count() + 1)
    }
}

/// A stretch of one of the texts, in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// 0 is the file, n is the n-th setting; included files have the numbers after those.
    pub source: usize,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Span {
    /// Whether `other` lies in this stretch.
    pub(crate) fn holds(self, other: Self) -> bool {
        self.source == other.source && self.start <= other.start && other.end <= self.end
    }

    /// From the beginning of this stretch to the end of `other`.
    pub(crate) fn to(self, other: Self) -> Self {
        Self { end: other.end.max(self.end), ..self }
    }
}

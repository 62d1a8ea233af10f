//! Texts that never run over: how wide words are, and where they break into lines.

use super::canvas::{Anchor, Canvas};
use super::style::Face;
use crate::text;

impl Face {
    /// Width in pixels that `words` may take, on the safe side.
    pub(crate) fn width(self, words: &str) -> f64 {
        words.chars().count() as f64 * self.character * self.size
    }

    /// `words` in lines no wider than `room` pixels; a longer word is cut.
    pub(crate) fn lines(self, words: &str, room: f64) -> Vec<String> {
        let characters = (room / (self.character * self.size)).floor().max(1.0) as usize;
        text::wrap(words, "", characters).lines().map(str::to_owned).collect()
    }
}

/// A text with its place on a block of lines.
pub(crate) struct Word {
    face: Face,
    /// Left edge in pixels, or right edge where `at_end`.
    x: f64,
    at_end: bool,
    line: usize,
    words: String,
}

/// Words set one after another on lines of equal height.
pub(crate) struct Block {
    left: f64,
    right: f64,
    pitch: f64,
    words: Vec<Word>,
    line: usize,
    x: f64,
}

impl Block {
    /// An empty block between two edges, with `pitch` pixels from line to line.
    pub(crate) fn new(left: f64, right: f64, pitch: f64) -> Self {
        Self { left, right, pitch, words: Vec::new(), line: 0, x: left }
    }

    /// Sets `words` on the line begun, or on lines of their own where they are too wide for what is left of it.
    pub(crate) fn add(&mut self, face: Face, words: &str, gap: f64) {
        if words.is_empty() {
            return;
        }
        if !self.begun() {
            self.add_lines(face, words, gap);
        } else if self.x + face.width(words) <= self.right {
            self.put(face, self.x, false, words);
            self.x += face.width(words) + gap;
        } else {
            self.next_line();
            self.add_lines(face, words, gap);
        }
    }

    /// The same, at the right edge where it fits on the line begun.
    pub(crate) fn add_at_end(&mut self, face: Face, words: &str) {
        if self.begun() && !words.is_empty() && self.x + face.width(words) <= self.right {
            self.put(face, self.right, true, words);
        } else {
            self.add(face, words, 0.0);
        }
    }

    fn begun(&self) -> bool {
        self.x > self.left
    }

    fn next_line(&mut self) {
        self.line += 1;
        self.x = self.left;
    }

    fn add_lines(&mut self, face: Face, words: &str, gap: f64) {
        let lines = face.lines(words, self.right - self.left);
        for (at, line) in lines.iter().enumerate() {
            if at > 0 {
                self.next_line();
            }
            self.put(face, self.left, false, line);
            self.x = self.left + face.width(line) + gap;
        }
    }

    fn put(&mut self, face: Face, x: f64, at_end: bool, words: &str) {
        self.words.push(Word { face, x, at_end, line: self.line, words: words.to_owned() });
    }

    /// Height in pixels beyond the first line.
    pub(crate) fn extra_height(&self) -> f64 {
        self.line as f64 * self.pitch
    }

    /// Draws it with the first baseline at `y`.
    pub(crate) fn draw(&self, canvas: &mut Canvas, y: f64) {
        for word in &self.words {
            let anchor = if word.at_end { Anchor::End } else { Anchor::Start };
            canvas.text(word.x, y + word.line as f64 * self.pitch, anchor, word.face.class, &word.words);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::style::{FIGURES, NAME};

    #[test]
    fn what_does_not_fit_goes_on_the_next_line_whole() {
        let mut block = Block::new(0.0, 320.0, 20.0);
        block.add(NAME, "a_name", 10.0);
        block.add(FIGURES, "28.8 mV peak to peak", 10.0);
        block.add_at_end(FIGURES, "fails: noise < 60 mV");
        let set: Vec<(usize, &str)> =
            block.words.iter().map(|word| (word.line, word.words.as_str())).collect();
        assert_eq!(set, [(0, "a_name"), (0, "28.8 mV peak to peak"), (1, "fails: noise < 60 mV")]);
        assert!((block.extra_height() - 20.0).abs() < 1e-12);
    }

    #[test]
    fn every_word_survives_wrapping() {
        let words = "fails: minimum(rail) - 0.5 * peak_to_peak(rail) > 9 V and 2 more";
        let lines = FIGURES.lines(words, 150.0);
        assert!(lines.len() > 1 && lines.iter().all(|line| FIGURES.width(line) <= 150.0));
        let kept: String = lines.concat().chars().filter(|one| !one.is_whitespace()).collect();
        assert_eq!(kept, words.chars().filter(|one| !one.is_whitespace()).collect::<String>());
    }
}

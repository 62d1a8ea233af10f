//! Places in a text as the protocol counts them: lines from 0, and columns in units of UTF-16.

use lsp_types::{Position, Range};

/// Where the lines of a text begin, in bytes.
#[derive(Debug, Default)]
pub(crate) struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    /// The protocol ends a line with `\n`, `\r\n` or `\r`.
    pub(crate) fn new(text: &str) -> Self {
        let bytes = text.as_bytes();
        let ends = bytes.iter().enumerate().filter(|(at, byte)| match byte {
            b'\n' => true,
            b'\r' => bytes.get(at + 1) != Some(&b'\n'),
            _ => false,
        });
        Self { starts: std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect() }
    }

    /// The place of a byte; one beyond the text's end counts as the end, one inside a character as its beginning.
    pub(crate) fn position(&self, text: &str, byte: usize) -> Position {
        let mut byte = byte.min(text.len());
        while !text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = self.starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let start = self.starts.get(line).copied().unwrap_or_default();
        let column = text[start..byte].encode_utf16().count();
        Position::new(count(line), count(column))
    }

    /// The byte at a place; a column beyond the line's end counts as the end, as the protocol has it.
    pub(crate) fn byte(&self, text: &str, position: Position) -> usize {
        let line = position.line as usize;
        let Some(&start) = self.starts.get(line) else { return text.len() };
        let end = self.starts.get(line + 1).copied().unwrap_or(text.len());
        let line = text[start..end].trim_end_matches(['\n', '\r']);
        let mut column = 0;
        for (at, character) in line.char_indices() {
            column += character.len_utf16();
            if column > position.character as usize {
                return start + at;
            }
        }
        start + line.len()
    }

    pub(crate) fn range(&self, text: &str, start: usize, end: usize) -> Range {
        Range::new(self.position(text, start), self.position(text, end))
    }
}

/// The protocol counts in 32 bits; the language refuses texts that long.
fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the protocol's own example: in `a𐐀b` the character after `a` takes two units of UTF-16, so `b` is at 3.
    #[test]
    fn columns_are_counted_in_utf_16() {
        let text = "x\na\u{10400}b";
        let lines = Lines::new(text);
        let byte = text.find('b').unwrap();
        assert_eq!(lines.position(text, byte), Position::new(1, 3));
        assert_eq!(lines.byte(text, Position::new(1, 3)), byte);
        // Inside the pair: the beginning of the character.
        assert_eq!(lines.byte(text, Position::new(1, 2)), 3);
        assert_eq!(lines.position(text, 5), Position::new(1, 1));
    }

    #[test]
    fn lines_end_as_the_protocol_has_it_and_places_beyond_are_the_end() {
        let text = "a\r\nb\rc\nd";
        let lines = Lines::new(text);
        let at = |letter: char| lines.position(text, text.find(letter).unwrap());
        assert_eq!([at('b').line, at('c').line, at('d').line], [1, 2, 3]);
        assert_eq!(lines.byte(text, Position::new(0, 99)), 1);
        assert_eq!(lines.byte(text, Position::new(99, 0)), text.len());
        assert_eq!(lines.position(text, 99), Position::new(3, 1));
        assert_eq!(Lines::new("").position("", 0), Position::new(0, 0));
    }

    #[test]
    fn every_byte_goes_there_and_back() {
        let text = "let \u{b5} = 1 \u{3a9}  # \u{1f600}\r\n\n wire w a -> b";
        let lines = Lines::new(text);
        for (byte, _) in text.char_indices().filter(|(_, each)| !matches!(each, '\r' | '\n')) {
            assert_eq!(lines.byte(text, lines.position(text, byte)), byte);
        }
    }
}

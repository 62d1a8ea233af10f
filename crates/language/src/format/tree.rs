//! Pieces as a tree: statements, comments and blank lines, and blocks that hold such.

use super::pieces::{Comment, Piece, pieces};
use crate::token::TokenKind;

/// Something with a line of its own.
#[derive(Debug)]
pub(super) enum Item<'a> {
    Blank,
    Comment(&'a str),
    Statement(Statement<'a>),
    Block(Block<'a>),
}

#[derive(Debug, Default)]
pub(super) struct Statement<'a> {
    pub(super) pieces: Vec<Piece<'a>>,
    /// The comment at its end.
    pub(super) comment: Option<&'a str>,
}

#[derive(Debug)]
pub(super) struct Block<'a> {
    /// What stands before the brace, and the comment after the brace.
    pub(super) header: Statement<'a>,
    pub(super) items: Vec<Item<'a>>,
    /// The comment after the closing brace.
    pub(super) comment: Option<&'a str>,
    /// Whether it is to stand on one line, as it did.
    pub(super) one_line: bool,
}

/// Deepest nesting of blocks; the language itself has two levels.
const DEEPEST: usize = 32;

/// The items of a text; `None` where its braces don't match or nest too deeply.
pub(super) fn read(text: &str) -> Option<Vec<Item<'_>>> {
    let mut reader = Reader { pieces: pieces(text), place: 0 };
    let (items, _) = reader.items(0)?;
    (reader.kind() == TokenKind::End).then_some(items)
}

struct Reader<'a> {
    pieces: Vec<Piece<'a>>,
    place: usize,
}

impl<'a> Reader<'a> {
    fn kind(&self) -> TokenKind {
        self.pieces.get(self.place).map_or(TokenKind::End, |piece| piece.kind)
    }

    /// The items up to a closing brace or the end, and the comment on the line where they begin.
    fn items(&mut self, depth: usize) -> Option<(Vec<Item<'a>>, Option<&'a str>)> {
        let mut items = Vec::new();
        let mut opening = None;
        loop {
            let piece = self.pieces.get_mut(self.place)?;
            let blank = piece.blank;
            for comment in std::mem::take(&mut piece.comments) {
                place_comment(&comment, &mut items, &mut opening);
            }
            if matches!(self.kind(), TokenKind::CloseBrace | TokenKind::End) {
                return Some((items, opening));
            }
            if blank && !items.is_empty() {
                items.push(Item::Blank);
            }
            let item = self.item(depth)?;
            items.push(item);
        }
    }

    /// A statement, or a block with what stands before it.
    fn item(&mut self, depth: usize) -> Option<Item<'a>> {
        let mut pieces: Vec<Piece<'a>> = Vec::new();
        loop {
            match self.kind() {
                TokenKind::OpenBrace => return self.block(pieces, depth),
                TokenKind::CloseBrace | TokenKind::End => break,
                _ => {}
            }
            let piece = self.pieces.get_mut(self.place)?;
            if !pieces.is_empty() && piece.separated && !self.brace_follows() {
                break;
            }
            pieces.push(self.take()?);
        }
        // A comma with nothing after it says nothing.
        let idle = |piece: &Piece<'_>| piece.kind == TokenKind::Comma && piece.comments.is_empty();
        if pieces.len() > 1 && pieces.last().is_some_and(idle) {
            pieces.pop();
        }
        Some(Item::Statement(Statement { pieces, comment: None }))
    }

    /// Whether the block of a header stands on the next line.
    fn brace_follows(&self) -> bool {
        self.kind() == TokenKind::OpenBrace
    }

    fn take(&mut self) -> Option<Piece<'a>> {
        let piece = self.pieces.get(self.place)?.clone();
        self.place += 1;
        Some(piece)
    }

    fn block(&mut self, mut header: Vec<Piece<'a>>, depth: usize) -> Option<Item<'a>> {
        if depth >= DEEPEST {
            return None;
        }
        let mut brace = self.take()?;
        let first = self.place;
        let (items, mut comment) = self.items(depth + 1)?;
        if self.kind() != TokenKind::CloseBrace {
            return None;
        }
        let one_line = self.pieces[first..=self.place].iter().all(|piece| !piece.new_line);
        self.place += 1;
        // A comment before a brace on the next line goes behind the brace.
        if comment.is_none() && brace.comments.len() == 1 {
            comment = brace.comments.pop().map(|comment| comment.text);
        }
        // It ends its line.
        let one_line = one_line && comment.is_none();
        header.push(brace);
        let header = Statement { pieces: header, comment };
        Some(Item::Block(Block { header, items, comment: None, one_line }))
    }
}

/// A comment at a line's end belongs to what stands before it, all others to lines of their own.
fn place_comment<'a>(comment: &Comment<'a>, items: &mut Vec<Item<'a>>, opening: &mut Option<&'a str>) {
    let slot = match items.last_mut() {
        _ if comment.own_line => None,
        None => Some(opening),
        Some(Item::Statement(statement)) => Some(&mut statement.comment),
        Some(Item::Block(block)) => Some(&mut block.comment),
        Some(_) => None,
    };
    if let Some(slot) = slot.filter(|slot| slot.is_none()) {
        *slot = Some(comment.text);
        return;
    }
    if comment.blank && !items.is_empty() {
        items.push(Item::Blank);
    }
    items.push(Item::Comment(comment.text));
}

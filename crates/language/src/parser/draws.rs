//! How tolerances are drawn: `draws N, seed S, normal`.

use super::{Parsed, Parser};
use crate::description::DrawsOfTolerances;
use crate::mistake::{Mistake, nearest};
use crate::source::Span;
use crate::token::TokenKind;

const HELP: &str = "write `draws 500`, or `draws 500, seed 7, normal`";
const WORDS: &[&str] = &["seed", "normal"];
/// Draws at one point of the axes: an interval of confidence is below a thousandth long before.
const MOST_DRAWS: u32 = 10_000_000;

impl Parser<'_> {
    pub(super) fn draws(&mut self) -> Parsed<()> {
        let statement = self.bump();
        let draws = self.whole(1..=MOST_DRAWS, "how many draws")?;
        let (mut seed, mut normal) = (None, None);
        while self.take(TokenKind::Comma) {
            let word = self.word("`seed` or `normal`")?;
            let twice = match word.text.as_str() {
                "seed" => {
                    let value = self.whole(0..=u32::MAX, "a seed")?;
                    seed.replace(value).is_some()
                }
                "normal" => normal.replace(()).is_some(),
                other => {
                    let message = format!("draws have no `{}`", super::shown(other));
                    let mistake = Mistake::new("unknown_property", word.span, message)
                        .label("expected `seed` or `normal`")
                        .near(nearest(other, WORDS.iter().copied()));
                    return Err(self.sink.push(mistake));
                }
            };
            if twice {
                self.tell_twice(&word.text, word.span);
            }
        }
        if self.file.draws.is_some() {
            self.tell_twice("draws", statement);
            return Ok(());
        }
        let seed = seed.unwrap_or(DrawsOfTolerances::SEED);
        self.file.draws = Some(DrawsOfTolerances { draws, seed, normal: normal.is_some() });
        Ok(())
    }

    fn tell_twice(&mut self, word: &str, span: Span) {
        let mistake = Mistake::new("stated_twice", span, format!("`{word}` is stated twice"));
        self.sink.push(mistake.label("leave one out"));
    }

    /// A whole number as written, without a unit.
    fn whole(&mut self, allowed: std::ops::RangeInclusive<u32>, what: &str) -> Parsed<u32> {
        if self.kind() != TokenKind::Number {
            return Err(self.unexpected(what, HELP));
        }
        let text = self.here_text().to_owned();
        let span = self.bump();
        match text.parse::<u32>().ok().filter(|number| allowed.contains(number)) {
            Some(number) => Ok(number),
            None => {
                let (least, most) = (allowed.start(), allowed.end());
                let message = format!("{what} is a whole number from {least} to {most}");
                let mistake = Mistake::new("not_a_count", span, message);
                Err(self.sink.push(mistake.label("expected a whole number").help(HELP)))
            }
        }
    }
}

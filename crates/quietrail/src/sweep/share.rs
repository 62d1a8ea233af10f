//! One machine's share of a sweep.

use std::ops::Range;
use std::str::FromStr;

/// Share `number` of `of`, from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Share {
    pub(crate) number: usize,
    pub(crate) of: usize,
}

impl Default for Share {
    fn default() -> Self {
        Self { number: 1, of: 1 }
    }
}

impl Share {
    /// The numbers of its points: shares differ by one point at most, and follow each other.
    pub(crate) fn of(self, total: usize) -> Range<usize> {
        let border = |number: usize| {
            let wide = number as u128 * total as u128 / self.of as u128;
            usize::try_from(wide).unwrap_or(total)
        };
        border(self.number - 1)..border(self.number)
    }
}

impl FromStr for Share {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let pair = text.split_once('/').and_then(|(number, of)| {
            Some(Self { number: number.trim().parse().ok()?, of: of.trim().parse().ok()? })
        });
        pair.filter(|share| share.number >= 1 && share.number <= share.of)
            .ok_or_else(|| "expected K/N with K from 1 to N, as in 2/8".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_cover_all_points_once() {
        for total in [0, 1, 7, 10_000] {
            for of in [1, 2, 3, 8, 13] {
                let mut next = 0;
                for number in 1..=of {
                    let range = Share { number, of }.of(total);
                    assert_eq!(range.start, next);
                    assert!(range.len().abs_diff(total / of) <= 1);
                    next = range.end;
                }
                assert_eq!(next, total);
            }
        }
    }

    #[test]
    fn a_share_is_written_with_a_stroke() {
        assert_eq!("2/8".parse(), Ok(Share { number: 2, of: 8 }));
        for wrong in ["0/3", "4/3", "1", "1/0", "a/b", ""] {
            assert!(wrong.parse::<Share>().is_err(), "{wrong}");
        }
    }
}

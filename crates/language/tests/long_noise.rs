//! Texts of the project's own, broken at random: they are read, drawn and laid out without a crash, and what is laid out stays.
//!
//! A few hundred in every run. `QUIETRAIL_NOISE_SECONDS=900 cargo test -p quietrail-language --test all long_noise -- --nocapture` goes
//! on for a quarter of an hour and says how many there were; `QUIETRAIL_NOISE_SEED` begins elsewhere.

use crate::common;

use common::source;
use quietrail_language::kinds::TABLES;
use quietrail_language::{Source, format, meanings, read, render};
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

/// Texts in a run that is told nothing else.
const FEW: usize = 300;
/// Longest text that is broken further.
const LONGEST: usize = 6_000;

/// Marsaglia's xorshift (Journal of Statistical Software 8, 2003): any numbers will do, so long as a seed gives them again.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % below.max(1) as u64).expect("below a usize")
    }
}

/// The harness files of the project.
fn texts() -> Vec<String> {
    let top = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut texts = Vec::new();
    for folder in ["netlists", "tests/gallery", "tests/harnesses"] {
        for entry in fs::read_dir(top.join(folder)).expect("the folder is there") {
            let path = entry.expect("an entry").path();
            if path.extension().is_some_and(|ending| ending == "harness") {
                texts.push(fs::read_to_string(path).expect("a harness can be read"));
            }
        }
    }
    texts.sort();
    texts
}

/// Words and signs of the language, and some that are none.
fn words() -> Vec<String> {
    let signs = "{ } ( ) [ ] , ; : . .. = < <= > >= -> + - +- * / ^ % # \" \n gnd 1 0 1e9 1e-300 4k7 100n 12 V mohm uF \u{b5} \u{1d11e} \u{feff} \u{0}";
    let mut words: Vec<String> = signs.split(' ').map(str::to_owned).collect();
    words.extend(meanings::all().map(|word| word.word.to_owned()));
    words.extend(TABLES.iter().map(|table| table.word.to_owned()));
    words.extend(TABLES.iter().flat_map(|table| table.properties).map(|property| property.name.to_owned()));
    words
}

/// A text with one piece taken out, doubled, moved, or replaced by a word.
fn broken(text: &str, others: &[String], words: &[String], dice: &mut Dice) -> String {
    let ends: Vec<usize> = text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
    let mut place = || ends[dice.roll(ends.len())];
    let (one, other, to) = (place(), place(), place());
    let (from, until) = (one.min(other), one.max(other).min(one.min(other) + 200));
    let until = *ends.iter().rev().find(|end| **end <= until).unwrap_or(&from);
    let piece = &text[from..until.max(from)];
    match dice.roll(6) {
        0 => format!("{}{}", &text[..from], &text[from + piece.len()..]),
        1 => format!("{}{piece}{}", &text[..to], &text[to..]),
        2 | 3 => format!("{} {} {}", &text[..from], words[dice.roll(words.len())], &text[from..]),
        4 => format!("{} {} {}", &text[..from], words[dice.roll(words.len())], &text[from + piece.len()..]),
        _ => {
            let line = others[dice.roll(others.len())].lines().map(str::to_owned).collect::<Vec<_>>();
            let line = if line.is_empty() { String::new() } else { line[dice.roll(line.len())].clone() };
            format!("{}\n{line}\n{}", &text[..to], &text[to..])
        }
    }
}

fn bear(text: &str) {
    let source = source(text);
    let sources = [source.clone()];
    match read(&source, &[]) {
        Ok(description) => {
            drop(render(description.remarks(), &sources, false));
            // What is in order has a harness at its beginning.
            drop(description.at(&[]));
        }
        Err(mistakes) => assert!(!render(&mistakes, &sources, false).is_empty(), "{text}"),
    }
    match format(&source) {
        Ok(once) => {
            let again = format(&Source { name: source.name, text: once.clone() });
            assert_eq!(again.as_ref(), Ok(&once), "of\n{text}");
        }
        Err(mistakes) => assert!(mistakes.iter().all(|mistake| mistake.code != "not_formatted"), "{text}"),
    }
}

#[test]
fn broken_texts_are_borne() {
    let told = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    let seconds = told("QUIETRAIL_NOISE_SECONDS").map(Duration::from_secs);
    let mut dice = Dice(told("QUIETRAIL_NOISE_SEED").unwrap_or(1).max(1));
    let (texts, words) = (texts(), words());
    let start = Instant::now();
    let mut runs = 0_usize;
    let goes_on = |runs: usize| seconds.map_or(runs < FEW, |seconds| start.elapsed() < seconds);
    while goes_on(runs) {
        let mut text = texts[dice.roll(texts.len())].clone();
        for _ in 0..=dice.roll(8) {
            text = broken(&text, &texts, &words, &mut dice);
            if text.len() > LONGEST {
                break;
            }
            bear(&text);
            runs += 1;
        }
    }
    #[allow(clippy::print_stdout, reason = "how many there were is what a long run is for")]
    {
        println!("{runs} broken texts in {:.0} s", start.elapsed().as_secs_f64());
    }
}

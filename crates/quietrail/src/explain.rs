//! `quietrail explain`: what a word of the language, a mistake or a warning means; with `--markdown` all of it as a chapter.

mod draw;
mod manual;
mod subject;

use crate::arguments::ExplainArguments;
use crate::exit::Exit;
use crate::{Stop, output};
use subject::{Subject, find, names};

pub(crate) fn run(arguments: &ExplainArguments) -> Result<Exit, Stop> {
    let text = match &arguments.word {
        _ if arguments.markdown => manual::chapter(),
        None => draw::list(),
        Some(word) => explained(word)?,
    };
    output::print(&text)?;
    Ok(Exit::Met)
}

/// Everything that bears the name, one below the other.
fn explained(word: &str) -> Result<String, Stop> {
    let mut found = find(word);
    let mut drawn = Vec::new();
    if found.is_empty()
        && let Some(meant) = language::meant(word)
    {
        drawn.push(format!("`{word}` is called `{meant}` here.\n"));
        found = find(meant);
    }
    if found.is_empty() {
        return Err(Stop::input(unknown(word)));
    }
    drawn.extend(found.iter().map(Subject::draw));
    Ok(drawn.join("\n"))
}

fn unknown(word: &str) -> String {
    let names = names();
    match language::nearest(word, names.iter().map(String::as_str)) {
        Some(near) => format!("Nothing is known of `{word}`. Perhaps `{near}` was meant."),
        None => format!("Nothing is known of `{word}`. `quietrail explain` lists what there is."),
    }
}

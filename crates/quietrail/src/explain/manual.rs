//! The reference chapter of the manual, in Markdown.

use super::subject::mistakes;
use language::kinds::{KindTable, TABLES};
use language::meanings::Group;
use language::pages::{CIRCUIT, Page};
use std::fmt::Write as _;

const OPENING: &str = "\
# Reference

Every word of the harness language, every mistake and every warning. This chapter is written by `quietrail explain --markdown`
from the tables that the program itself reads; `quietrail explain WORD` shows one entry of it.
";

/// The whole chapter.
pub(super) fn chapter() -> String {
    let mut text = OPENING.to_owned();
    for group in Group::ALL {
        words(*group, &mut text);
    }
    text.push_str(
        "\n## Kinds of parts\n\nCurrents count from the left to the right node; of what pushes (battery, supply, generator, voltage source) as delivered.\n",
    );
    TABLES.iter().for_each(|table| kind(table, &mut text));
    let _ = write!(
        text,
        "\n## Mistakes and remarks\n\nThe code stands in brackets where a mistake is told. Most examples stand beside this circuit:\n\n```text\n{CIRCUIT}```\n"
    );
    mistakes().for_each(|page| entry(page, &mut text));
    text.push_str("\n## Warnings\n\nThey are told under a result; in JSON each has its code. The examples stand beside the same circuit.\n");
    study::pages::all().for_each(|page| entry(page, &mut text));
    text
}

fn words(group: Group, text: &mut String) {
    let _ = write!(text, "\n## {}\n\n| Word | Written | Meaning |\n|---|---|---|\n", group.heading());
    for word in language::meanings::all().filter(|word| word.group == group) {
        let _ = writeln!(text, "| `{}` | `{}` | {} |", word.word, word.form, cell(word.text));
    }
}

fn kind(table: &KindTable, text: &mut String) {
    let _ = write!(text, "\n### `{}`\n\n{}\n\n`{}`\n\n", table.word, table.meaning, table.form());
    text.push_str("| Equation | Where it comes from |\n|---|---|\n");
    for (formula, source) in table.equations {
        let _ = writeln!(text, "| `{formula}` | {} |", cell(source));
    }
    text.push_str("\n| Property | Unit | Values | Default | Meaning | Source |\n|---|---|---|---|---|---|\n");
    for property in table.properties {
        let _ = writeln!(
            text,
            "| `{}` | {} | {} | {} | {} | {} |",
            property.name,
            cell(&property.form()),
            property.values(),
            cell(property.default.unwrap_or("")),
            cell(property.meaning),
            cell(table.source(property.name).unwrap_or("")),
        );
    }
    let rules = table.rules_in_words();
    if !rules.is_empty() {
        let _ = write!(
            text,
            "\n{}\n",
            rules.iter().map(|rule| format!("- {rule}\n")).collect::<String>().trim_end()
        );
    }
}

fn entry(page: &Page, text: &mut String) {
    let _ =
        write!(text, "\n### `{}`\n\n{}: {}\n", page.code, crate::output::capitalised(page.title), page.text);
    if !page.wrong.is_empty() {
        let _ = write!(text, "\nWrong:\n\n```text\n{}\n```\n", page.wrong);
        let _ = write!(text, "\nRight:\n\n```text\n{}\n```\n", page.right);
    }
}

/// A text that does not end its cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

//! What the readme tells readers to type works, what it points to is there, and what it shows is what comes out.

use crate::support::{CRAWLER, Folder, repository};
use std::fs;

fn readme() -> String {
    fs::read_to_string(repository().join("README.md")).expect("README.md can be read")
}

/// The fenced blocks with a word after the fence, as the word and the text.
fn blocks(text: &str) -> Vec<(String, String)> {
    let mut blocks = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if let Some(word) = line.strip_prefix("```") {
            let inside: Vec<&str> = lines.by_ref().take_while(|line| !line.starts_with("```")).collect();
            blocks.push((word.to_owned(), format!("{}\n", inside.join("\n"))));
        }
    }
    blocks
}

fn of_kind(word: &str) -> Vec<String> {
    let blocks: Vec<String> =
        blocks(&readme()).into_iter().filter(|(kind, _)| kind == word).map(|(_, text)| text).collect();
    assert!(!blocks.is_empty(), "no block of {word}");
    blocks
}

/// The words of a command line, with quoted ones whole.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, part) in line.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

#[test]
fn it_opens_with_the_two_commands_that_a_fresh_clone_needs() {
    let first = &of_kind("sh")[0];
    let commands: Vec<&str> = first.lines().filter(|line| !line.starts_with('#')).collect();
    assert_eq!(
        commands,
        ["cargo run --release -- compare netlists/crawler.harness", "cargo test --workspace"]
    );
}

#[test]
fn every_command_is_one_that_the_program_takes() {
    let folder = Folder::new();
    let mut seen = 0;
    for line in of_kind("sh").iter().flat_map(|block| block.lines()) {
        let Some(arguments) =
            line.strip_prefix("cargo run --release -- ").or_else(|| line.strip_prefix("quietrail "))
        else {
            continue;
        };
        let mut arguments = words(arguments);
        for file in arguments.iter().filter(|word| word.ends_with(".harness")) {
            assert!(repository().join(file).is_file() || file == "mine.harness", "{line}");
        }
        // With --help, flags and their values are looked at, and nothing is run.
        arguments.push("--help".to_owned());
        let ran = folder.run(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
        assert_eq!(ran.code, 0, "{line}: {}", ran.errors);
        seen += 1;
    }
    assert!(seen >= 4, "{seen}");
}

#[test]
fn every_link_leads_to_a_file() {
    for document in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(repository().join(document)).expect("the document can be read");
        let mut seen = 0;
        for rest in text.split("](").skip(1) {
            let target = rest.split(')').next().unwrap_or_default();
            assert!(repository().join(target).exists(), "{document} points to {target}");
            seen += 1;
        }
        assert!(seen > 0, "{document} points nowhere");
    }
}

/// Where a document names a file with its folders, the file is there.
#[test]
fn every_file_that_is_named_is_there() {
    for document in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(repository().join(document)).expect("the document can be read");
        for name in text.split('`').skip(1).step_by(2) {
            let folders = ["crates/", "netlists/", "tests/", "benches/", ".ci/"];
            // A pattern such as `crates/*/tests/` names no file.
            if folders.iter().any(|folder| name.starts_with(folder)) && !name.contains(['*', ' ', '\n']) {
                assert!(repository().join(name).exists(), "{document} names {name}");
            }
        }
    }
}

#[test]
fn its_own_harness_runs_and_gives_the_table_beside_it() {
    let folder = Folder::new();
    folder.write("mine.harness", &of_kind("harness")[0]);
    let ran = folder.run(&["compare", "mine.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert_shown(&of_kind("text")[0], &ran.out);
}

/// With the choice replaced by the assembly beside it; only the coil's name differs in the sentences under the table.
#[test]
fn its_assembly_gives_the_same_table() {
    let (folder, harnesses) = (Folder::new(), of_kind("harness"));
    let (before, rest) = harnesses[0].split_once("choice ").expect("a choice");
    let (_, after) = rest.split_once("condition ").expect("a condition after it");
    folder.write("mine.harness", &format!("{before}{}condition {after}", harnesses[1]));
    let ran = folder.run(&["compare", "mine.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let texts = of_kind("text");
    let (table, _) = texts[0].split_once("\n\n").expect("a table, then sentences");
    assert_shown(table, &ran.out);
    assert!(ran.out.contains("f.choke keeps 93 %"), "{}", ran.out);
}

/// E6 has eleven values from 22 mohm to 1 ohm.
#[test]
fn its_sweep_stands_in_its_own_harness() {
    let (folder, harnesses) = (Folder::new(), of_kind("harness"));
    folder.write("mine.harness", &format!("{}{}", harnesses[0], harnesses[2]));
    let ran = folder.run(&["check", "mine.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let words = "sweep esr: 22 mohm, 33 mohm .. 1 ohm (11 values)";
    assert!(ran.out.contains(words), "{}", ran.out);
}

#[test]
fn the_table_of_the_crawler_is_what_comes_out() {
    assert_shown(&of_kind("text")[1], &CRAWLER.table);
}

/// Every line that the readme shows stands in the program's output, in that order.
fn assert_shown(shown: &str, printed: &str) {
    let plain = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut lines = printed.lines().map(plain);
    for line in shown.lines().map(plain).filter(|line| !line.is_empty()) {
        assert!(
            lines.any(|one| one == line),
            "README.md shows\n{line}\nwhich does not follow in\n{printed}\nCopy the new lines into the readme."
        );
    }
}

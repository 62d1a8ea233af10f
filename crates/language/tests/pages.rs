//! Every code has its page, and every page's examples say what the page says.

mod common;

use common::source;
use quietrail_language::pages::{CIRCUIT, Page, all, page};
use quietrail_language::read;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// The texts of a crate's sources.
fn sources(folder: &Path, texts: &mut Vec<String>) {
    for entry in fs::read_dir(folder).expect("the sources are there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, texts);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            texts.push(fs::read_to_string(&path).expect("a source can be read"));
        }
    }
}

/// Every code that a mistake or remark is made with: the first argument, a text or a constant that stands for one.
fn codes() -> BTreeSet<String> {
    let mut texts = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut texts);
    let constant = |name: &str| {
        let definition = format!("const {name}: &str = \"");
        let after = texts.iter().find_map(|text| text.split_once(&definition)).map(|(_, after)| after);
        after.and_then(|after| after.split('"').next()).map(str::to_owned)
    };
    let mut codes = BTreeSet::new();
    for text in &texts {
        for call in ["Mistake::new(", "Mistake::remark("] {
            for after in text.split(call).skip(1) {
                let argument = after.split(',').next().unwrap_or_default().trim();
                let name = argument.rsplit(':').next().unwrap_or_default();
                let code = match argument.strip_prefix('"') {
                    Some(rest) => Some(rest.trim_end_matches('"').to_owned()),
                    None => constant(name),
                };
                codes.insert(code.unwrap_or_else(|| panic!("`{argument}` is no code that can be looked up")));
            }
        }
    }
    codes
}

#[test]
fn every_code_has_exactly_one_page() {
    let codes = codes();
    assert!(codes.len() > 90, "{codes:?}");
    let pages: Vec<&str> = all().map(|page| page.code).collect();
    let known: BTreeSet<String> = pages.iter().map(|code| (*code).to_owned()).collect();
    assert_eq!(known.len(), pages.len(), "a code has two pages");
    let missing: Vec<_> = codes.difference(&known).collect();
    assert!(missing.is_empty(), "add a page to crates/language/src/pages/ for {missing:?}");
    let idle: Vec<_> = known.difference(&codes).collect();
    assert!(idle.is_empty(), "no mistake has the code of these pages: {idle:?}");
}

#[test]
fn codes_are_words_joined_by_underscores() {
    for page in all() {
        let plain = page.code.split('_').all(|word| {
            !word.is_empty() && word.chars().all(|each| each.is_ascii_lowercase() || each.is_ascii_digit())
        });
        assert!(plain, "{}", page.code);
        assert!(!page.title.is_empty() && page.text.ends_with('.'), "{}", page.code);
    }
}

/// What is told of an example: codes of mistakes, and of remarks where there is no mistake.
fn told(page: &Page, example: &str) -> Vec<&'static str> {
    match read(&source(&page.file(example)), &[]) {
        Err(mistakes) => mistakes.iter().map(|mistake| mistake.code).collect(),
        Ok(description) => {
            let all = description.remarks().iter().chain(description.without_effect());
            all.map(|remark| remark.code).collect()
        }
    }
}

#[test]
fn every_wrong_example_has_its_mistake_and_no_other() {
    let mut found = Vec::new();
    for page in all().filter(|page| !page.wrong.is_empty()) {
        let codes = told(page, page.wrong);
        if codes.is_empty() || codes.iter().any(|code| *code != page.code) {
            found.push(format!("{} gives {codes:?}:\n{}", page.code, page.wrong));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_right_example_is_in_order() {
    let mut found = Vec::new();
    for page in all().filter(|page| !page.wrong.is_empty()) {
        let codes = told(page, page.right);
        if !codes.is_empty() {
            found.push(format!("{} gives {codes:?}:\n{}", page.code, page.right));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// Pages without an example say so, and are those of files too long to show.
#[test]
fn few_pages_go_without_an_example() {
    let without: Vec<&str> = all().filter(|page| page.wrong.is_empty()).map(|page| page.code).collect();
    assert_eq!(
        without,
        ["too_large", "too_many", "too_deep", "too_many_parts", "wrong_trace", "not_formatted"]
    );
    for code in without {
        assert!(page(code).is_some_and(|page| page.text.contains("no example")), "{code}");
    }
}

#[test]
fn the_circuit_itself_is_in_order() {
    let description = read(&source(CIRCUIT), &[]).expect("in order");
    assert!(description.remarks().is_empty() && description.without_effect().is_empty());
}

//! Every code has its page, and every page's examples say what the page says.

use crate::common;
use crate::page_checks as shared;

use common::source;
use quietrail_language::pages::{CIRCUIT, Page, all, page};
use quietrail_language::read;
use shared::{check_codes, check_examples, sources};
use std::collections::BTreeSet;
use std::path::Path;

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
    check_codes(&codes, all().map(|page| page.code), "crates/language/src/pages/");
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
fn every_wrong_example_has_its_mistake_alone_and_every_right_one_is_in_order() {
    let pages: Vec<&Page> = all().collect();
    let examples: Vec<_> = pages.iter().map(|page| (page.code, [page.wrong, page.right])).collect();
    check_examples(&examples, |index, example| told(pages[index], example));
}

/// Pages without an example say so, and are those of files too long to show.
#[test]
fn few_pages_go_without_an_example() {
    let without: Vec<&str> = all().filter(|page| page.wrong.is_empty()).map(|page| page.code).collect();
    assert_eq!(
        without,
        [
            "wrong_stock",
            "too_large",
            "too_many",
            "too_deep",
            "too_many_parts",
            "wrong_trace",
            "not_formatted"
        ]
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

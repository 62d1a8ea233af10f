//! Every code of a warning, and of a mistake that only equations show, has its page, and every page's examples say what the page
//! says.

use crate::page_checks as shared;

use language::Source;
use shared::{check_codes, check_examples, sources};
use std::collections::BTreeSet;
use std::path::Path;
use study::pages::{Page, all, mistakes};
use study::{Options, compare, examine, responses};

/// What stands in quotes right behind each `before`; nothing where something else does.
fn quoted_after<'t>(text: &'t str, before: &str) -> impl Iterator<Item = &'t str> {
    text.split(before).skip(1).filter_map(|after| after.trim_start().strip_prefix('"')?.split('"').next())
}

/// Every code that the crates of parts, networks and studies tell something with.
fn codes() -> BTreeSet<String> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut codes = BTreeSet::new();
    for name in ["parts", "network", "study"] {
        let mut texts = Vec::new();
        sources(&crates.join(name).join("src"), &mut texts);
        for text in &texts {
            for before in
                ["Remark::new(", "code: ", ".warn(part,", ".coded(", "const IMPOSSIBLE_VALUE: &str = "]
            {
                codes.extend(quoted_after(text, before).map(str::to_owned));
            }
        }
    }
    codes
}

#[test]
fn every_code_has_exactly_one_page() {
    let codes = codes();
    assert!(codes.len() > 15, "{codes:?}");
    let pages = || all().chain(mistakes());
    check_codes(&codes, pages().map(|page| page.code), "crates/study/src/pages/");
    let both: Vec<_> = language::pages::all().filter(|page| codes.contains(page.code)).collect();
    assert!(both.is_empty(), "codes of the language and of studies differ: {both:?}");
}

/// The code of everything that is told of an example: of its drawing, of its runs and of its responses.
fn told(page: &Page, example: &str) -> Vec<&'static str> {
    let source = Source { name: "example.harness".to_owned(), text: page.file(example) };
    let description =
        language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{}: {mistakes:#?}", page.code));
    let examination = examine(&description);
    if !examination.errors.is_empty() {
        return examination.errors.iter().map(|error| error.code).collect();
    }
    let options = Options::default();
    // A page of responses may show a harness that has no run in time.
    let in_time = !example.contains("response ");
    let compared = in_time.then(|| compare(&description, &options).expect("every point is asked for"));
    let curves = responses(&description, &options).expect("every point is asked for");
    let runs = compared.iter().flat_map(|compared| &compared.runs).chain(&curves.points.runs);
    let errors: Vec<_> = runs.clone().filter_map(|run| run.error.as_ref()).collect();
    if !errors.is_empty() {
        return vec!["the run fails"];
    }
    let drawn = examination.warnings.iter().map(|noted| &noted.warning);
    let all = drawn.chain(runs.flat_map(|run| &run.warnings));
    all.map(|warning| warning.code).collect()
}

#[test]
fn every_wrong_example_has_its_code_alone_and_every_right_one_has_none() {
    let pages: Vec<&Page> = all().chain(mistakes()).collect();
    let examples: Vec<_> = pages.iter().map(|page| (page.code, [page.wrong, page.right])).collect();
    check_examples(&examples, |index, example| told(pages[index], example));
}

#[test]
fn pages_without_an_example_say_so() {
    for page in all().chain(mistakes()).filter(|page| page.wrong.is_empty()) {
        assert!(page.text.contains("no example"), "{}", page.code);
    }
}

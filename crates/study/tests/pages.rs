//! Every code of a warning has its page, and every page's examples say what the page says.

use language::Source;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use study::pages::{Page, all};
use study::{Options, compare, examine, responses};

/// Adds the texts of a folder of sources, up to their tests.
fn sources(folder: &Path, texts: &mut Vec<String>) {
    for entry in fs::read_dir(folder).expect("the sources are there") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, texts);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&path).expect("a source can be read");
            texts.push(text.split("#[cfg(test)]").next().unwrap_or_default().to_owned());
        }
    }
}

/// What stands in quotes right behind each `before`; nothing where something else does.
fn quoted_after<'t>(text: &'t str, before: &str) -> impl Iterator<Item = &'t str> {
    text.split(before).skip(1).filter_map(|after| after.trim_start().strip_prefix('"')?.split('"').next())
}

/// Every code that the crates of parts, networks and studies warn with.
fn codes() -> BTreeSet<String> {
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut codes = BTreeSet::new();
    for name in ["parts", "network", "study"] {
        let mut texts = Vec::new();
        sources(&crates.join(name).join("src"), &mut texts);
        for text in &texts {
            for before in ["Remark::new(", "code: ", ".warn(part,"] {
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
    let pages: Vec<&str> = all().map(|page| page.code).collect();
    let known: BTreeSet<String> = pages.iter().map(|code| (*code).to_owned()).collect();
    assert_eq!(known.len(), pages.len(), "a code has two pages");
    let missing: Vec<_> = codes.difference(&known).collect();
    assert!(missing.is_empty(), "add a page to crates/study/src/pages/ for {missing:?}");
    let idle: Vec<_> = known.difference(&codes).collect();
    assert!(idle.is_empty(), "no warning has the code of these pages: {idle:?}");
    let both: Vec<_> = language::pages::all().filter(|page| known.contains(page.code)).collect();
    assert!(both.is_empty(), "codes of mistakes and warnings differ: {both:?}");
}

/// Every warning of an example: of its drawing, of its runs and of its responses.
fn warnings(page: &Page, example: &str) -> BTreeSet<&'static str> {
    let source = Source { name: "example.harness".to_owned(), text: page.file(example) };
    let description =
        language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{}: {mistakes:#?}", page.code));
    let examination = examine(&description);
    if !examination.errors.is_empty() {
        return BTreeSet::from(["the values contradict each other"]);
    }
    let options = Options::default();
    // A page of responses may show a harness that has no run in time.
    let in_time = !example.contains("response ");
    let compared = in_time.then(|| compare(&description, &options).expect("every point is asked for"));
    let curves = responses(&description, &options).expect("every point is asked for");
    let runs = compared.iter().flat_map(|compared| &compared.runs).chain(&curves.points.runs);
    let errors: Vec<_> = runs.clone().filter_map(|run| run.error.as_ref()).collect();
    if !errors.is_empty() {
        return BTreeSet::from(["the run fails"]);
    }
    let all = examination.warnings.iter().chain(runs.flat_map(|run| &run.warnings));
    all.map(|warning| warning.code).collect()
}

#[test]
fn every_wrong_example_has_its_warning_and_every_right_one_has_none() {
    let mut found = Vec::new();
    for page in all().filter(|page| !page.wrong.is_empty()) {
        let wrong = warnings(page, page.wrong);
        if wrong.iter().ne([&page.code]) {
            found.push(format!("{}: the wrong example gives {wrong:?}", page.code));
        }
        let right = warnings(page, page.right);
        if !right.is_empty() {
            found.push(format!("{}: the right example gives {right:?}", page.code));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn pages_without_an_example_say_so() {
    for page in all().filter(|page| page.wrong.is_empty()) {
        assert!(page.text.contains("no example"), "{}", page.code);
    }
}

//! What the tests of pages have in common, of the language's own and of those that studies add.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Adds the texts of a folder of sources, each up to its tests.
pub(crate) fn sources(folder: &Path, texts: &mut Vec<String>) {
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

/// Every code has one page, and every page a code; `folder` is where pages are written.
pub(crate) fn check_codes<'p>(codes: &BTreeSet<String>, pages: impl Iterator<Item = &'p str>, folder: &str) {
    let pages: Vec<&str> = pages.collect();
    let known: BTreeSet<String> = pages.iter().map(|code| (*code).to_owned()).collect();
    assert_eq!(known.len(), pages.len(), "a code has two pages");
    let missing: Vec<_> = codes.difference(&known).collect();
    assert!(missing.is_empty(), "add a page to {folder} for {missing:?}");
    let idle: Vec<_> = known.difference(codes).collect();
    assert!(idle.is_empty(), "nothing is told with the code of these pages: {idle:?}");
}

/// The wrong example of each page gives its code and no other, the right one none.
///
/// A page is its code with both examples; `told` gives the codes that an example of a page gives, by the page's index.
pub(crate) fn check_examples(pages: &[(&str, [&str; 2])], told: impl Fn(usize, &str) -> Vec<&'static str>) {
    let mut found = Vec::new();
    for (index, (code, [wrong, right])) in
        pages.iter().enumerate().filter(|(_, (_, [wrong, _]))| !wrong.is_empty())
    {
        let of_wrong = told(index, wrong);
        if of_wrong.is_empty() || of_wrong.iter().any(|other| other != code) {
            found.push(format!("{code}: the wrong example gives {of_wrong:?}:\n{wrong}"));
        }
        let of_right = told(index, right);
        if !of_right.is_empty() {
            found.push(format!("{code}: the right example gives {of_right:?}:\n{right}"));
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

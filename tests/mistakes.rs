//! Every mistake of a file is told in one run, at its place, and nothing is computed or written.

use crate::support::{Folder, harness};

#[test]
fn six_kinds_of_mistakes_are_told_at_once_and_nothing_is_written() {
    let expected = [
        ("5:1", "`laod`"),
        ("6:", "henries, not farads"),
        ("7:", "lacks a node"),
        ("8:11", "`feed` is taken"),
        ("9:", "no path to gnd"),
        ("12:", "never closed"),
    ];
    for arguments in [&["check"][..], &["compare"], &["compare", "--json"], &["compare", "--out", "there"]] {
        let folder = Folder::new();
        let file = harness("six_mistakes.harness");
        let ran = folder.run(&[arguments, &[&file]].concat());
        assert_eq!(ran.code, 2, "{arguments:?}");
        for (place, words) in expected {
            let told = ran.errors.contains(&format!("six_mistakes.harness:{place}"));
            assert!(told && ran.errors.contains(words), "{place} {words}:\n{}", ran.errors);
        }
        assert!(ran.errors.contains("perhaps `load` was meant"), "{}", ran.errors);
        assert!(ran.errors.contains("try 330 uH"), "{}", ran.errors);
        let told = ran.errors.lines().filter(|line| line.starts_with("mistake")).count();
        assert_eq!(told, expected.len(), "one mistake, one complaint:\n{}", ran.errors);
        assert!(ran.out.is_empty(), "{arguments:?}: {}", ran.out);
        assert!(folder.names().is_empty(), "{arguments:?} wrote {:?}", folder.names());
    }
}

//! Every word of the language stands in the developers' table of where words come from.

use language::kinds::TABLES;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

#[test]
fn every_word_says_where_it_comes_from() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../DEVELOPERS.md");
    let text = fs::read_to_string(path).expect("the document can be read");
    let (_, after) = text.split_once("## Where the words").expect("the section is there");
    let section = after.split("\n## ").next().unwrap_or_default();
    let rows = section.lines().filter(|line| line.starts_with("| `"));
    // The second column may quote words as well.
    let words = rows.filter_map(|row| row.split('|').nth(1)).flat_map(|cell| cell.split_whitespace());
    let words: Vec<&str> = words.map(|word| word.trim_matches('`')).collect();
    let told: BTreeSet<&str> = words.iter().copied().collect();
    assert_eq!(told.len(), words.len(), "a word stands in two rows");
    let properties = TABLES.iter().flat_map(|table| table.properties).map(|property| property.name);
    let kinds = TABLES.iter().map(|table| table.word);
    let known: BTreeSet<&str> =
        language::meanings::all().map(|word| word.word).chain(kinds).chain(properties).collect();
    let missing: Vec<_> = known.difference(&told).collect();
    assert!(missing.is_empty(), "add to DEVELOPERS.md: {missing:?}");
    let idle: Vec<_> = told.difference(&known).collect();
    assert!(idle.is_empty(), "no words of the language: {idle:?}");
}

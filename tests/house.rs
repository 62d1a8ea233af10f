//! No test is left out: where one binary holds a folder's files, it names each of them.

use crate::support::repository;
use std::fs;
use std::path::Path;

/// Files of `folder` that its root does not name as modules.
fn left_out(folder: &Path, root: &str, own: &[&str]) -> Vec<String> {
    let text = fs::read_to_string(folder.join(root)).expect("the root of the tests can be read");
    let files = fs::read_dir(folder).expect("the folder of the tests can be read");
    let names = files.map(|file| file.expect("an entry").file_name().to_string_lossy().into_owned());
    names
        .filter(|name| name.ends_with(".rs") && name != root && !own.contains(&name.as_str()))
        .filter(|name| !text.contains(&format!("\nmod {};\n", name.trim_end_matches(".rs"))))
        .map(|name| folder.join(name).display().to_string())
        .collect()
}

#[test]
fn every_file_of_tests_is_run() {
    let repository = repository();
    let mut forgotten = left_out(&repository.join("tests"), "end_to_end.rs", &["gallery.rs"]);
    for folder in fs::read_dir(repository.join("crates")).expect("the crates can be read") {
        let tests = folder.expect("a crate").path().join("tests");
        if tests.join("all.rs").exists() {
            forgotten.extend(left_out(&tests, "all.rs", &[]));
        }
    }
    assert_eq!(forgotten, Vec::<String>::new(), "named nowhere, so never run");
}

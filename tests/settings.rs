//! `--only`, `--set`, `--out` and `check` do what they say.

use crate::support::{Folder, close, harness, reading};

/// 1 A through the pack's resistance: the plateaus are apart by its ohms in volts, to what 10 nF hold up.
const FRACTION: f64 = 1e-3;

#[test]
fn a_setting_of_the_command_line_beats_one_of_the_file() {
    let folder = Folder::new();
    let file = harness("divider.harness");
    let noise = |settings: &[&str], state: &str| {
        let ran = folder.run(&[&["compare", "--json", &file], settings].concat());
        reading(&ran.json(), &[("filter", "none"), ("pack_state", state)], "noise")
    };
    assert!(close(noise(&[], "new"), 0.1, FRACTION));
    assert!(close(noise(&[], "worn"), 0.2, FRACTION), "the case sets 200 mohm");
    let stronger = ["--set", "pack.resistance=50 mohm"];
    assert!(close(noise(&stronger, "new"), 0.05, FRACTION));
    assert!(close(noise(&stronger, "worn"), 0.05, FRACTION), "the command line comes last");
    assert!(close(noise(&["--set", "current_drawn=2 A"], "new"), 0.2, FRACTION), "a let can be set");
}

#[test]
fn a_pick_runs_that_point_alone_with_the_same_numbers() {
    let folder = Folder::new();
    let file = harness("divider.harness");
    let all = folder.run(&["compare", "--json", &file]).json();
    let picked =
        folder.run(&["compare", "--json", &file, "--only", "filter=smooth", "--only", "pack_state=worn"]);
    let runs = picked.json()["runs"].as_array().unwrap().clone();
    assert_eq!(runs.len(), 1);
    assert_eq!(runs[0]["at"], serde_json::json!({"filter": "smooth", "pack_state": "worn"}));
    let same = all["runs"].as_array().unwrap().iter().find(|run| run["at"] == runs[0]["at"]).unwrap();
    assert_eq!(same, &runs[0]);
}

#[test]
fn check_writes_nothing_and_runs_nothing() {
    let folder = Folder::new();
    let ran = folder.run(&["check", &harness("undamped.harness")]);
    assert_eq!(ran.code, 0, "what only a run finds out is no mistake of the file: {}", ran.errors);
    assert!(ran.out.contains("is in order: Undamped"), "{}", ran.out);
    assert!(folder.names().is_empty(), "{:?}", folder.names());
}

#[test]
fn json_writes_files_only_where_it_is_told_to() {
    let folder = Folder::new();
    let file = harness("divider.harness");
    let alone = folder.run(&["compare", "--json", &file]);
    assert!(folder.names().is_empty() && alone.errors.is_empty(), "{}", alone.errors);
    let kept = folder.run(&["compare", "--json", &file, "--out", "kept"]);
    assert_eq!(kept.out, alone.out, "standard output is the result and nothing else");
    assert_eq!(folder.read("kept/result.json"), alone.out);
    folder.run(&["compare", &file]);
    assert_eq!(folder.names(), ["kept", "quietrail-out"]);
    assert_eq!(folder.read("quietrail-out/divider/result.json"), alone.out);
}

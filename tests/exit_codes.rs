//! Exit codes, as scripts rely on them: 0 met, 1 not met, 2 input, 3 computation, 4 machine.

use crate::support::{CRAWLER, Folder, harness};

#[test]
fn one_good_option_is_enough_unless_all_must_be() {
    assert_eq!(CRAWLER.code, 0, "two of the six filters of the crawler meet every requirement");
    let folder = Folder::new();
    let file = harness("divider.harness");
    let code = |more: &[&str]| folder.run(&[&["compare", "--json", &file], more].concat()).code;
    assert_eq!(code(&[]), 0);
    assert_eq!(code(&["--strict"]), 1);
    assert_eq!(code(&["--only", "filter=none"]), 1);
    assert_eq!(code(&["--only", "filter=smooth", "--strict"]), 0);
}

#[test]
fn what_cannot_be_read_or_understood_is_2() {
    let folder = Folder::new();
    let file = harness("divider.harness");
    let wrong: [&[&str]; 7] = [
        &["compare", "absent.harness"],
        &["compare", &file, "--only", "filter=smoth"],
        &["compare", &file, "--only", "filter"],
        &["compare", &file, "--set", "pack.resistance=1 V"],
        &["compare", &file, "--colour"],
        &["compear", &file],
        &[],
    ];
    for arguments in wrong {
        let ran = folder.run(arguments);
        assert_eq!(ran.code, 2, "{arguments:?}");
        assert!(!ran.errors.is_empty() && ran.out.is_empty(), "{arguments:?}: {}", ran.out);
    }
    assert!(folder.names().is_empty());
}

#[test]
fn a_computation_that_fails_is_3_and_the_other_points_are_told() {
    let ran = Folder::new().run(&["compare", &harness("undamped.harness"), "--json"]);
    assert_eq!(ran.code, 3, "{}", ran.errors);
    let result = ran.json();
    let [sound, tank] = [0, 1].map(|at| &result["runs"][at]);
    // 1 V through 10 ohm into 1 uF: the time constant is 10 us, the pulse as long, so it gets most of the way.
    let noise = sound["readings"]["noise"]["value"].as_f64().unwrap();
    assert!(sound["error"].is_null() && (0.5..0.7).contains(&noise), "{sound:#}");
    let error = tank["error"].as_str().expect("the tank never settles");
    assert!(error.contains("choke") && error.contains("steady state"), "{error}");
    assert!(tank["readings"]["noise"]["value"].is_null());
    assert_eq!(tank["requirements"][0]["met"], serde_json::Value::Null);
}

/// A file stands where the folder should be: that fails for an administrator too, whom permissions do not hold back.
#[test]
fn a_folder_that_cannot_be_written_is_4_in_a_plain_sentence() {
    let folder = Folder::new();
    folder.write("taken", "a file");
    let file = harness("divider.harness");
    for out in ["taken", "taken/inside"] {
        let ran = folder.run(&["compare", &file, "--out", out]);
        assert_eq!(ran.code, 4, "{out}: {}", ran.errors);
        let sentence = ran.errors.trim_end();
        assert!(sentence.contains(out) && sentence.ends_with('.'), "{sentence}");
        assert!(!sentence.contains("panicked") && !sentence.contains("Os {"), "{sentence}");
    }
    assert_eq!(folder.names(), ["taken"]);
    assert_eq!(folder.read("taken"), "a file");
}

#[test]
fn a_failing_disk_goes_before_requirements_that_are_not_met() {
    let folder = Folder::new();
    folder.write("taken", "a file");
    let file = harness("divider.harness");
    let ran = folder.run(&["compare", &file, "--only", "filter=none", "--out", "taken"]);
    assert_eq!(ran.code, 4);
    let ran = folder.run(&["compare", &harness("undamped.harness"), "--out", "taken"]);
    assert_eq!(ran.code, 4, "before a computation that failed, too");
}

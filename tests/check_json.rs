//! `check --json` tells editors what `check` tells people, with places, and nothing else on standard output.

use crate::support::{Folder, harness, netlist};
use serde_json::{Value, json};

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().expect("an object").keys().map(String::as_str).collect()
}

#[test]
fn every_mistake_has_its_code_place_and_help() {
    let folder = Folder::new();
    let file = harness("six_mistakes.harness");
    let ran = folder.run(&["check", "--json", &file]);
    assert_eq!((ran.code, ran.errors.as_str(), ran.out.lines().count()), (2, "", 1));
    let result = ran.json();
    assert_eq!(keys(&result), ["schema", "file", "mistakes", "assumptions", "points", "parts"]);
    assert_eq!(
        (&result["schema"], &result["file"], &result["points"]),
        (&json!(1), &json!(file), &Value::Null)
    );
    let mistakes = result["mistakes"].as_array().unwrap();
    for mistake in mistakes {
        assert_eq!(keys(mistake), ["code", "severity", "file", "range", "message", "help", "also"]);
        assert_eq!((&mistake["severity"], &mistake["file"]), (&json!("error"), &json!(file)));
        assert_eq!(
            (keys(&mistake["range"]), keys(&mistake["range"]["end"])),
            (vec!["start", "end"], vec!["line", "column"])
        );
    }
    let starts: Vec<_> = mistakes.iter().map(|one| one["range"]["start"]["line"].as_u64().unwrap()).collect();
    assert_eq!(starts, [5, 6, 7, 8, 9, 12], "as told to people");
    let laod = &mistakes[0];
    assert_eq!(laod["code"], "unknown_word");
    assert_eq!(laod["range"], json!({"start": {"line": 5, "column": 1}, "end": {"line": 5, "column": 5}}));
    assert!(laod["help"].as_str().unwrap().contains("perhaps `load` was meant"), "{laod}");
    // The name that is taken leads to the part that took it.
    let also = &mistakes[3]["also"][0];
    assert_eq!(keys(also), ["file", "range", "message"]);
    assert_eq!(also["range"]["start"], json!({"line": 4, "column": 11}));
}

#[test]
fn columns_count_characters() {
    let folder = Folder::new();
    folder.write("umlaut.harness", "harness \"Übergröße 𝄞\" nonsense\n");
    let mistake = folder.run(&["check", "--json", "umlaut.harness"]).json()["mistakes"][0].clone();
    // `harness "Übergröße 𝄞" ` has 22 characters, 27 bytes and 23 UTF-16 units.
    let range = json!({"start": {"line": 1, "column": 23}, "end": {"line": 1, "column": 31}});
    assert_eq!(mistake["range"], range, "{mistake}");
}

#[test]
fn a_file_in_order_has_its_points_assumptions_remarks_and_warnings() {
    let folder = Folder::new();
    let ran = folder.run(&["check", "--json", &netlist("crawler.harness")]);
    assert_eq!((ran.code, ran.errors.as_str()), (0, ""));
    let result = ran.json();
    assert_eq!(result["points"], 6 * 2 * 3);
    assert!(!result["assumptions"].as_array().unwrap().is_empty());
    let mistakes = result["mistakes"].as_array().unwrap();
    assert!(!mistakes.is_empty(), "{result}");
    for one in mistakes {
        let severity = one["severity"].as_str().unwrap();
        assert!(matches!(severity, "warning" | "remark"), "{one}");
        assert!(one["range"].is_object(), "each speaks of a part or a place: {one}");
    }
    let picked =
        folder.run(&["check", "--json", &netlist("crawler.harness"), "--only", "filter=coil"]).json();
    assert_eq!(picked["points"], 2 * 3);
    let said = folder.run(&["check", &netlist("crawler.harness"), "--only", "filter=coil"]);
    assert!(said.out.contains("- 6 points to run"), "{}", said.out);
}

#[test]
fn values_that_contradict_each_other_are_errors_of_the_file() {
    let folder = Folder::new();
    folder.write(
        "impossible.harness",
        "battery pack gnd -> a  emf 12 V, resistance 1 ohm\n\
         coil choke a -> b  inductance 1 mH, saturation_current 1 A, residual 0.9 mH\n\
         load eye b -> gnd  resistance 1 ohm\n",
    );
    let ran = folder.run(&["check", "--json", "impossible.harness"]);
    assert_eq!((ran.code, ran.errors.as_str()), (2, ""));
    let result = ran.json();
    let error = result["mistakes"].as_array().unwrap().iter().find(|one| one["severity"] == "error").unwrap();
    assert!(
        error["code"] == "impossible_value" && error["message"].as_str().unwrap().contains("`choke`"),
        "{error}"
    );
    let range = json!({"start": {"line": 2, "column": 61}, "end": {"line": 2, "column": 76}});
    assert_eq!(
        (&error["file"], &error["range"]),
        (&json!("impossible.harness"), &range),
        "`residual 0.9 mH`"
    );
}

#[test]
fn several_files_have_a_line_each_and_the_gravest_exit_code() {
    let folder = Folder::new();
    let files = [harness("divider.harness"), harness("six_mistakes.harness"), netlist("plug_in.harness")];
    let ran = folder.run(&["check", "--json", &files[0], &files[1], &files[2]]);
    assert_eq!(ran.code, 2);
    let told: Vec<Value> = ran.out.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(told.iter().map(|one| &one["file"]).collect::<Vec<_>>(), files.each_ref());
    let ran = folder.run(&["check", &files[0], "absent.harness", &files[2]]);
    assert_eq!(ran.code, 2);
    assert_eq!(ran.out.matches("is in order").count(), 2, "{}", ran.out);
    assert!(ran.errors.contains("absent.harness"), "{}", ran.errors);
    // A pick that the file does not have is a mistake of the command line.
    let ran = folder.run(&["check", "--json", &files[0], "--only", "filter=none", "--only", "filtr=none"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
}

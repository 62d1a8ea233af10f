//! `format` lays files out in place, changes nothing else, and leaves files with mistakes alone.

use crate::support::{Folder, harness, repository};
use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

const UNTIDY: &str = "# Kept.\nharness \"Untidy\"\nbattery pack gnd->pos emf 12 V,resistance 100mohm # the pack\n\n\n\nload eye pos->gnd resistance 1kohm\n";
const TIDY: &str = "# Kept.\nharness \"Untidy\"\nbattery pack gnd -> pos  emf 12 V, resistance 100 mohm  # the pack\n\nload eye pos -> gnd  resistance 1 kohm\n";

#[test]
fn what_ships_with_the_project_is_laid_out() {
    for folder in ["netlists", "tests/harnesses"] {
        let entries = fs::read_dir(repository().join(folder)).expect("the folder is there");
        let paths: Vec<String> = entries
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "harness"))
            .map(|path| path.display().to_string())
            // It is wrong on purpose.
            .filter(|path| !path.ends_with("six_mistakes.harness"))
            .collect();
        assert!(paths.len() > 2, "{paths:?}");
        let mut arguments = vec!["format", "--check"];
        arguments.extend(paths.iter().map(String::as_str));
        let ran = Folder::new().run(&arguments);
        assert_eq!((ran.code, ran.out.as_str()), (0, ""), "run `quietrail format` on these\n{}", ran.errors);
    }
}

#[test]
fn a_file_is_laid_out_in_place_and_then_stays() {
    let folder = Folder::new();
    folder.write("one.harness", UNTIDY);
    folder.write("two.harness", TIDY);
    let files = ["one.harness", "two.harness"];
    let checked = folder.run(&["format", "--check", files[0], files[1]]);
    assert_eq!((checked.code, checked.out.as_str()), (1, "one.harness\n"), "{}", checked.errors);
    assert_eq!(folder.read("one.harness"), UNTIDY, "--check writes nothing");
    for _ in 0..2 {
        let ran = folder.run(&["format", files[0], files[1]]);
        assert_eq!((ran.code, ran.out.as_str(), ran.errors.as_str()), (0, "", ""));
        assert_eq!(folder.read("one.harness"), TIDY);
        assert_eq!(folder.read("two.harness"), TIDY);
    }
    assert_eq!(folder.run(&["format", "--check", files[0]]).code, 0);
    assert_eq!(folder.names(), files, "nothing is left beside them");
}

#[test]
fn a_file_with_a_mistake_is_left_alone_and_the_others_are_laid_out() {
    let folder = Folder::new();
    let wrong = format!("{UNTIDY}wire  w pos gnd\n");
    folder.write("wrong.harness", &wrong);
    folder.write("right.harness", UNTIDY);
    let ran = folder.run(&["format", "wrong.harness", "right.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("wrong.harness:8:13") && ran.errors.contains("->"), "{}", ran.errors);
    assert_eq!(folder.read("wrong.harness"), wrong);
    assert_eq!(folder.read("right.harness"), TIDY);
    let both = folder.run(&["format", "--check", "absent.harness", &harness("six_mistakes.harness")]);
    assert_eq!(both.code, 2);
    assert!(both.errors.contains("absent.harness") && both.errors.contains("`laod`"), "{}", both.errors);
}

#[test]
fn standard_input_goes_to_standard_output() {
    let through = |text: &str, more: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
        command.args([&["format", "-"], more].concat());
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().expect("the program starts");
        child.stdin.take().expect("a pipe").write_all(text.as_bytes()).expect("the program reads");
        let output = child.wait_with_output().expect("the program ends");
        let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
        (output.status.code(), text(output.stdout), text(output.stderr))
    };
    assert_eq!(through(UNTIDY, &[]), (Some(0), TIDY.to_owned(), String::new()));
    assert_eq!(through(UNTIDY, &["--check"]), (Some(1), "-\n".to_owned(), String::new()));
    assert_eq!(through(TIDY, &["--check"]), (Some(0), String::new(), String::new()));
    let (code, out, errors) = through("wire\n", &[]);
    assert_eq!((code, out.as_str()), (Some(2), ""));
    assert!(errors.contains("standard input:1:1"), "{errors}");
}

#[cfg(unix)]
#[test]
fn links_and_permissions_stay() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = Folder::new();
    folder.write("real.harness", UNTIDY);
    let real = folder.0.join("real.harness");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).expect("a file of our own");
    symlink("real.harness", folder.0.join("link.harness")).expect("a link can be made");
    assert_eq!(folder.run(&["format", "link.harness"]).code, 0);
    assert_eq!(folder.read("real.harness"), TIDY);
    assert_eq!(fs::metadata(&real).expect("it is there").permissions().mode() & 0o777, 0o640);
    assert!(folder.0.join("link.harness").is_symlink());
    folder.write("closed.harness", UNTIDY);
    fs::set_permissions(folder.0.join("closed.harness"), fs::Permissions::from_mode(0o440)).expect("ours");
    let ran = folder.run(&["format", "closed.harness"]);
    assert_eq!(ran.code, 4, "a file that may not be written stays");
    assert!(ran.errors.contains("closed.harness may not be written"), "{}", ran.errors);
    assert_eq!(folder.read("closed.harness"), UNTIDY);
}

//! The program as its users and their scripts meet it: exit codes, streams, files.

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Pulses of 1 A through 100 mohm: 100 mV peak to peak at the bus. The 10 nF settle with the pack's resistance in
/// nanoseconds, so they round the edges without an overshoot and leave both plateaus where they are.
const BENCH: &str = r#"harness "Bench"
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive motor   bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rise 200 ns, fall 200 ns
capacitor stray  bus -> gnd  capacitance 10 nF, esr 10 mohm
load eye      cam -> gnd  current 100 mA
choice filter {
    option none   { resistor link  bus -> cam  resistance 1 mohm }
    option smooth {
        resistor  link   bus -> cam  resistance 10 ohm
        capacitor store  cam -> gnd  capacitance 100 uF, esr 10 mohm
    }
}
testpoint rail = voltage(cam)
reading noise = peak_to_peak(rail)
require noise < 50 mV "lines in the picture"
transient ripple  span 1 ms, start steady
"#;

/// A folder of its own for a test, with `bench.harness` in it; gone when dropped.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("quietrail-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        fs::write(path.join("bench.harness"), BENCH).unwrap();
        Self(path)
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
        command.args(arguments).current_dir(&self.0);
        command
    }

    fn run(&self, arguments: &[&str]) -> Output {
        self.command(arguments).output().unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn told(stream: &[u8]) -> String {
    String::from_utf8(stream.to_vec()).unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal; {}", told(&output.stderr)))
}

#[test]
fn one_good_option_is_enough_unless_all_must_be() {
    let folder = Folder::new("codes");
    let run = folder.run(&["compare", "bench.harness"]);
    assert_eq!(code(&run), 0, "{}", told(&run.stderr));
    assert_eq!(code(&folder.run(&["compare", "bench.harness", "--strict"])), 1);
    assert_eq!(code(&folder.run(&["compare", "bench.harness", "--only", "filter=none"])), 1);
    assert_eq!(code(&folder.run(&["compare", "bench.harness", "--only", "filter=smooth", "--strict"])), 0);
}

#[test]
fn the_files_are_where_the_program_says() {
    let folder = Folder::new("files");
    let run = folder.run(&["compare", "bench.harness"]);
    let text = told(&run.stdout);
    for name in ["table.txt", "result.json", "rail.svg"] {
        let path = Path::new("quietrail-out").join("bench").join(name);
        assert!(folder.0.join(&path).is_file(), "{name}");
        assert!(text.contains(&path.display().to_string()), "{text}");
    }
    assert!(text.starts_with("Bench\nsmooth meets every requirement (1 of 2 options).\n"), "{text}");
    assert!(!text.contains('\u{1b}'), "no colours into a pipe");
}

#[test]
fn json_stands_alone_and_writes_no_files_unless_asked() {
    let folder = Folder::new("json");
    let run = folder.run(&["compare", "bench.harness", "--json"]);
    let result: Value = serde_json::from_slice(&run.stdout).unwrap();
    let noise = result["runs"][0]["readings"]["noise"]["value"].as_f64().unwrap();
    assert!((noise - 0.1).abs() < 1e-3 * 0.1, "1 A through 100 mohm is 100 mV, not {noise} V");
    assert!(!folder.0.join("quietrail-out").exists());
    let run = folder.run(&["compare", "bench.harness", "--json", "--out", "there"]);
    let printed: Value = serde_json::from_slice(&run.stdout).unwrap();
    let written: Value =
        serde_json::from_slice(&fs::read(folder.0.join("there/result.json")).unwrap()).unwrap();
    assert_eq!(printed, written);
}

#[test]
fn a_setting_reaches_the_result() {
    let folder = Folder::new("set");
    let run = folder.run(&["compare", "bench.harness", "--json", "--set", "pack.resistance=200 mohm"]);
    let result: Value = serde_json::from_slice(&run.stdout).unwrap();
    let noise = result["runs"][0]["readings"]["noise"]["value"].as_f64().unwrap();
    assert!((noise - 0.2).abs() < 1e-3 * 0.2, "1 A through 200 mohm is 200 mV, not {noise} V");
}

#[test]
fn wrong_input_is_told_in_plain_words_with_code_2() {
    let folder = Folder::new("input");
    fs::write(folder.0.join("latin.harness"), b"harness \"caf\xe9\"\n").unwrap();
    let wrong: [(&[&str], &str); 8] = [
        (&["compare", "absent.harness"], "There is no file absent.harness"),
        (&["compare", "bench"], "Perhaps bench.harness was meant"),
        (&["check", "."], "is a folder"),
        (&["check", "latin.harness"], "not UTF-8 text: the first byte that does not fit is on line 1"),
        (&["compare", "bench.harness", "--only", "filter=smoth"], "did you mean smooth?"),
        (&["compare", "bench.harness", "--only", "filter"], "AXIS=OPTION"),
        (&["check", "bench.harness", "--set", "pack.resistance=1 V"], "ohms"),
        (&["compare", "bench.harness", "--accuracy", "NaN"], "1e-8 to 1e-2"),
    ];
    for (arguments, expected) in wrong {
        let run = folder.run(arguments);
        assert_eq!(code(&run), 2, "{arguments:?}");
        assert!(told(&run.stderr).contains(expected), "{arguments:?}: {}", told(&run.stderr));
        assert!(run.stdout.is_empty(), "{arguments:?}");
    }
    assert!(!folder.0.join("quietrail-out").exists());
}

#[test]
fn every_mistake_is_told_with_its_line() {
    let folder = Folder::new("mistakes");
    let text = BENCH.replace("load eye", "laod eye").replace("esr 10 mohm", "esr 10 mF");
    fs::write(folder.0.join("wrong.harness"), text).unwrap();
    let run = folder.run(&["compare", "wrong.harness"]);
    assert_eq!(code(&run), 2);
    let errors = told(&run.stderr);
    assert!(errors.contains("wrong.harness:5:") && errors.contains("wrong.harness:10:"), "{errors}");
}

#[test]
fn check_says_what_the_file_describes() {
    let folder = Folder::new("check");
    let run = folder.run(&["check", "bench.harness"]);
    assert_eq!(code(&run), 0, "{}", told(&run.stderr));
    let text = told(&run.stdout);
    assert!(text.starts_with("bench.harness is in order: Bench.\n  - 5 parts in the baseline\n"), "{text}");
    assert!(text.contains("choice filter: none (baseline), smooth"), "{text}");
    assert!(text.contains("1 test point, 1 reading and 1 requirement"), "{text}");
    assert!(!folder.0.join("quietrail-out").exists());
}

#[test]
fn a_file_in_the_way_of_the_folder_is_a_failure_of_the_machine() {
    let folder = Folder::new("disk");
    fs::write(folder.0.join("taken"), "").unwrap();
    let run = folder.run(&["compare", "bench.harness", "--out", "taken"]);
    assert_eq!(code(&run), 4);
    assert!(told(&run.stderr).contains("Could not make the folder taken"), "{}", told(&run.stderr));
    assert!(told(&run.stdout).starts_with("Bench\n"), "the result is told all the same");
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let folder = Folder::new("pipe");
    let mut child = folder
        .command(&["compare", "bench.harness", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let run = child.wait_with_output().unwrap();
    assert_eq!(code(&run), 0);
    assert!(!told(&run.stderr).contains("panicked"), "{}", told(&run.stderr));
}

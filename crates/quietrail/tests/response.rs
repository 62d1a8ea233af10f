//! `quietrail response` as its users and their scripts meet it: exit codes, streams, files.

use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

const BENCH: &str = r#"harness "Bench"
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive motor   bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rise 200 ns, fall 200 ns
load eye      bus -> gnd  current 100 mA
choice bulk { option none { } option large { capacitor c bus -> gnd  capacitance 1 mF, esr 10 mohm } }
frequency 10 Hz .. 100 kHz, points 10
response path = transfer(voltage(bus), motor)
"#;

/// A folder of its own for a test; gone when dropped.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, text: &str) -> Self {
        let path = std::env::temp_dir().join(format!("quietrail-response-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        fs::write(path.join("bench.harness"), text).unwrap();
        Self(path)
    }

    fn run(&self, arguments: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
        command.args(arguments).current_dir(&self.0).output().unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

#[test]
fn the_table_is_printed_and_the_files_are_written() {
    let folder = Folder::new("files", BENCH);
    let output = folder.run(&["response", "bench.harness"]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    let told = String::from_utf8(output.stdout).unwrap();
    assert!(told.contains("path = transfer(voltage(bus), motor), in ohm"), "{told}");
    let out = folder.0.join("quietrail-out/bench");
    for name in ["response.txt", "response.json", "response.csv", "response_path.svg"] {
        assert!(out.join(name).is_file() && told.contains(name), "{name}");
    }
}

#[test]
fn json_stands_alone_and_obeys_picks_and_settings() {
    let folder = Folder::new("json", BENCH);
    let arguments =
        ["response", "bench.harness", "--json", "--only", "bulk=none", "--set", "pack.resistance=0.2 ohm"];
    let output = folder.run(&arguments);
    assert_eq!(output.status.code(), Some(0));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["runs"].as_array().map(Vec::len), Some(1));
    assert_eq!(value["runs"][0]["responses"]["path"]["re"][0].as_f64(), Some(-0.2));
    assert!(!folder.0.join("quietrail-out").exists());
}

#[test]
fn exit_codes() {
    let folder = Folder::new("codes", BENCH);
    assert_eq!(folder.run(&["response", "missing.harness"]).status.code(), Some(2));
    assert_eq!(folder.run(&["response", "bench.harness", "--only", "bulk=huge"]).status.code(), Some(2));
    // A file stands where the folder should.
    let blocked = folder.run(&["response", "bench.harness", "--out", "bench.harness"]);
    assert_eq!(blocked.status.code(), Some(4));
    let without = Folder::new("without", BENCH.split("response").next().unwrap());
    let output = without.run(&["response", "bench.harness"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("asks for no response"));
    let wrong = Folder::new("wrong", &BENCH.replace("voltage(bus)", "voltage(buss)"));
    let output = wrong.run(&["response", "bench.harness"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("perhaps `bus` was meant"));
    // Two supplies of different voltage without resistance between them: that option fails, the other is told.
    let ill = "capacitor c bus -> gnd  capacitance 1 mF, esr 10 mohm";
    let loops = "supply a gnd -> x voltage 5 V, resistance 0 ohm; supply b gnd -> x voltage 6 V, resistance 0 ohm; \
                 resistor r x -> bus resistance 1 ohm";
    let failing = Folder::new("failing", &BENCH.replace(ill, loops));
    let output = failing.run(&["response", "bench.harness", "--json"]);
    assert_eq!(output.status.code(), Some(3), "{}", String::from_utf8_lossy(&output.stderr));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(value["runs"][0]["responses"]["path"].is_object());
    assert_eq!(value["runs"][1]["responses"]["path"], Value::Null);
}

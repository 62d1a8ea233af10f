//! Running the program, and folders that clean up after themselves.

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The repository's top folder.
pub(crate) fn repository() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").canonicalize().expect("the repository is there")
}

/// A harness file of the tests' own, as a path that the program can be given.
pub(crate) fn harness(name: &str) -> String {
    repository().join("tests/harnesses").join(name).display().to_string()
}

/// A harness file that ships with the project.
pub(crate) fn netlist(name: &str) -> String {
    repository().join("netlists").join(name).display().to_string()
}

/// An empty folder of a test's own; gone when dropped.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("quietrail-end-to-end-{}-{number}", std::process::id()));
        fs::create_dir_all(&path).expect("the folder for temporary files can be written");
        Self(path)
    }

    /// Puts a file into the folder.
    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.0.join(name), text).expect("the folder can be written");
    }

    /// What a file in the folder says.
    pub(crate) fn read(&self, name: &str) -> String {
        let path = self.0.join(name);
        fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
    }

    /// The names of what lies in the folder, sorted.
    pub(crate) fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).expect("the folder can be read");
        let mut names: Vec<String> = entries
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// Runs the program in this folder.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        self.run_with(arguments, &[])
    }

    /// The same with variables of the environment.
    pub(crate) fn run_with(&self, arguments: &[&str], environment: &[(&str, &str)]) -> Ran {
        let mut command = Command::new(env!("CARGO_BIN_EXE_quietrail"));
        command.args(arguments).envs(environment.iter().copied()).current_dir(&self.0);
        Ran::from(command.output().expect("the program starts"))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // Nothing to be done about a folder that stays.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// What the program did.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) errors: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
        let errors = text(output.stderr);
        let code = output.status.code().unwrap_or_else(|| panic!("ended by a signal: {errors}"));
        Self { code, out: text(output.stdout), errors }
    }
}

impl Ran {
    /// Standard output as JSON.
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("{error}\n{}\n{}", self.out, self.errors))
    }
}

/// The readme's main command, run once for all tests that look at its result.
pub(crate) struct Crawler {
    pub(crate) code: i32,
    pub(crate) table: String,
    pub(crate) json: Value,
    pub(crate) picture: String,
}

pub(crate) static CRAWLER: LazyLock<Crawler> = LazyLock::new(|| {
    let folder = Folder::new();
    let ran = folder.run(&["compare", &netlist("crawler.harness"), "--out", "result"]);
    assert!(ran.errors.is_empty(), "{}", ran.errors);
    Crawler {
        code: ran.code,
        json: serde_json::from_str(&folder.read("result/result.json")).expect("result.json is JSON"),
        picture: folder.read("result/rail.svg"),
        table: ran.out,
    }
});

/// A reading's value in the run of a result that `at` describes, in SI units.
pub(crate) fn reading(result: &Value, at: &[(&str, &str)], name: &str) -> f64 {
    let runs = result["runs"].as_array().expect("runs");
    let run = runs.iter().find(|run| at.iter().all(|(axis, point)| run["at"][axis] == *point));
    let run = run.unwrap_or_else(|| panic!("no run at {at:?}"));
    run["readings"][name]["value"].as_f64().unwrap_or_else(|| panic!("no {name} at {at:?}: {run:#}"))
}

/// Whether two values agree to a fraction of the second.
pub(crate) fn close(value: f64, expected: f64, fraction: f64) -> bool {
    (value - expected).abs() <= fraction * expected.abs()
}

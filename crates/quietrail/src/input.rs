//! Reading the user's file, and those that it includes.

use crate::Stop;
use language::{Loader, MOST_TEXT};
use std::fs::{self, File};
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::SystemTime;

/// The text of the file.
///
/// # Errors
/// A plain sentence with the path and what to try, and the exit code that goes with it.
pub(crate) fn read(path: &Path) -> Result<String, Stop> {
    let shown = path.display();
    if path.is_dir() {
        return Err(Stop::input(format!("{shown} is a folder. Name the .harness file itself.")));
    }
    let bytes = fs::read(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => Stop::input(format!("There is no file {shown}.{}", similar(path))),
        ErrorKind::PermissionDenied => {
            Stop::machine(format!("{shown} may not be read: permission denied. Change its permissions."))
        }
        _ => Stop::machine(format!("{shown} could not be read: {error}. Check the path and the disk.")),
    })?;
    utf8(&shown.to_string(), bytes)
}

/// The bytes of `shown` as text.
///
/// # Errors
/// A plain sentence with the line where they are none.
pub(crate) fn utf8(shown: &str, bytes: Vec<u8>) -> Result<String, Stop> {
    text(bytes).map_err(|reason| Stop::input(format!("{shown} is {reason}. Save it as UTF-8.")))
}

/// The bytes as text, or in words that they are none and from where on.
fn text(bytes: Vec<u8>) -> Result<String, String> {
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..valid].iter().filter(|byte| **byte == b'\n').count() + 1;
        format!("not UTF-8 text: the first byte that does not fit is on line {line}")
    })
}

/// Included files and traces, from the disk.
#[derive(Debug, Default)]
pub(crate) struct Disk {
    /// What was asked for, as it was just before it was read.
    asked: Mutex<Vec<(PathBuf, Stamp)>>,
}

/// What tells one state of a file from another: when it was written and how long it is; nothing where it is not there.
pub(crate) type Stamp = Option<(SystemTime, u64)>;

/// The state that a file is in.
pub(crate) fn stamp(path: &Path) -> Stamp {
    let known = fs::metadata(path).ok()?;
    Some((known.modified().ok()?, known.len()))
}

impl Disk {
    /// Every file that was asked for, with the state that it was in.
    pub(crate) fn asked(self) -> Vec<(PathBuf, Stamp)> {
        self.asked.into_inner().unwrap_or_default()
    }
}

impl Loader for Disk {
    fn name(&self, path: &str, from: &str) -> String {
        let folder = Path::new(from).parent().unwrap_or(Path::new(""));
        folder.join(path).display().to_string()
    }

    fn identity(&self, name: &str) -> String {
        // One that is not there is told when it is loaded.
        fs::canonicalize(name).map_or_else(|_| name.to_owned(), |path| path.display().to_string())
    }

    fn load(&self, name: &str) -> Result<String, String> {
        if let Ok(mut asked) = self.asked.lock() {
            asked.push((name.into(), stamp(Path::new(name))));
        }
        if Path::new(name).is_dir() {
            return Err("it is a folder".to_owned());
        }
        let mut bytes = Vec::new();
        let plain = |error: std::io::Error| match error.kind() {
            ErrorKind::NotFound => "there is no such file".to_owned(),
            ErrorKind::PermissionDenied => "it may not be read".to_owned(),
            _ => error.to_string(),
        };
        let file = File::open(name).map_err(plain)?;
        // A device may go on without end.
        file.take(MOST_TEXT as u64 + 1).read_to_end(&mut bytes).map_err(plain)?;
        text(bytes).map_err(|reason| format!("it is {reason}"))
    }
}

/// ` Did you mean …?` when the name with `.harness` at its end is there, or nothing else would help but to look again.
fn similar(path: &Path) -> String {
    let with_ending = path.with_extension("harness");
    if with_ending != path && with_ending.is_file() {
        format!(" Perhaps {} was meant.", with_ending.display())
    } else {
        " Check the name and the folder.".to_owned()
    }
}

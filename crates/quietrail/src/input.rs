//! Reading the user's file.

use crate::Stop;
use std::fs;
use std::io::ErrorKind;
use std::path::Path;

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
    String::from_utf8(bytes).map_err(|error| {
        let valid = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..valid].iter().filter(|byte| **byte == b'\n').count() + 1;
        Stop::input(format!(
            "{shown} is not UTF-8 text: the first byte that does not fit is on line {line}. Save it as UTF-8."
        ))
    })
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

//! Text to the terminal or a pipe. A reader that goes away, as `head` does, is no failure.

use crate::Stop;
use std::io::{self, Write};

/// Writes to standard output; colours are dropped where the reader is no terminal or does not want them.
///
/// # Errors
/// When standard output cannot be written although somebody reads it: a full disk, for one.
pub(crate) fn print(text: &str) -> Result<(), Stop> {
    let mut stdout = anstream::stdout().lock();
    let written = stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush());
    match written {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Stop::machine(format!(
            "Standard output could not be written: {error}. Check where it is redirected to."
        ))),
        _ => Ok(()),
    }
}

/// Writes to standard error. If that fails too, there is nobody left to tell.
pub(crate) fn complain(text: &str) {
    let _ = writeln!(anstream::stderr(), "{}", text.trim_end());
}

/// With a capital, as a sentence begins.
pub(crate) fn capitalised(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().chain(characters).collect())
}

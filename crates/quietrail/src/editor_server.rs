//! `quietrail serve-editor`: mistakes, completion and explanations in an editor.

use crate::output;
use editor::Ending;
use std::process::ExitCode;

/// Serves until the editor leaves; the exit code is the protocol's: 0 after a regular end, 1 otherwise.
pub(crate) fn run() -> ExitCode {
    match editor::serve() {
        Ok(Ending::Regular) => ExitCode::SUCCESS,
        Ok(Ending::Irregular) => ExitCode::FAILURE,
        Err(error) => {
            output::complain(&format!(
                "The conversation with the editor broke off: {error}. Editors start this command themselves; it \
                 expects messages of the Language Server Protocol on standard input."
            ));
            ExitCode::FAILURE
        }
    }
}

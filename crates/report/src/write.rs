//! Files are written beside their place and renamed into it, so that a reader never meets half a file.

use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Why a file could not be written.
#[derive(Debug)]
pub struct WriteError {
    /// The file or folder in question.
    pub path: PathBuf,
    /// What was being done: `make the folder`, `write`, `replace`.
    pub action: &'static str,
    /// What the system said.
    pub source: io::Error,
}

impl fmt::Display for WriteError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { path, action, source } = self;
        write!(formatter, "could not {action} {}: {source}. {}", path.display(), advice(source.kind()))
    }
}

impl std::error::Error for WriteError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}

fn advice(kind: io::ErrorKind) -> &'static str {
    match kind {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "Choose a folder that you may write to with --out DIR."
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "Free some space, or choose another disk with --out DIR."
        }
        io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory | io::ErrorKind::IsADirectory => {
            "Something of another kind stands in its place: move it away, or choose another folder with --out DIR."
        }
        _ => "Check the path and the disk, or choose another folder with --out DIR.",
    }
}

/// Writes `files` (name, content) into `folder`, which is made if missing; existing files are replaced whole. The paths
/// written come back in the same order.
///
/// # Errors
/// The first folder or file that could not be made; files before it stand complete, its own old text is untouched.
pub fn files<C: AsRef<[u8]>>(folder: &Path, files: &[(String, C)]) -> Result<Vec<PathBuf>, WriteError> {
    fs::create_dir_all(folder).map_err(|source| WriteError {
        path: folder.to_owned(),
        action: "make the folder",
        source,
    })?;
    files.iter().map(|(name, content)| file(&folder.join(name), content)).collect()
}

/// Writes one file whole and gives its path back.
///
/// # Errors
/// When the folder is missing, full or closed to the user, or a folder stands in the file's place.
pub fn file(path: &Path, content: impl AsRef<[u8]>) -> Result<PathBuf, WriteError> {
    let beside = beside(path);
    let told = |action, source| WriteError { path: path.to_owned(), action, source };
    let written = fs::write(&beside, content).map_err(|source| told("write", source));
    let placed = written.and_then(|()| fs::rename(&beside, path).map_err(|source| told("replace", source)));
    if placed.is_err() {
        // Tidying up; the error that matters is already at hand.
        let _ = fs::remove_file(&beside);
    }
    placed.map(|()| path.to_owned())
}

/// A name in the same folder, so that the rename stays on one disk; the process number keeps two runs apart.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("quietrail-report-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        folder
    }

    #[test]
    fn missing_folders_are_made_and_old_files_replaced_without_leftovers() {
        let folder = scratch("replace");
        let inner = folder.join("a").join("b");
        let pair = |text: &str| vec![("one.txt".to_owned(), text.to_owned())];
        files(&inner, &pair("a much longer first text")).unwrap();
        let paths = files(&inner, &pair("second")).unwrap();
        assert_eq!(fs::read_to_string(&paths[0]).unwrap(), "second");
        assert_eq!(fs::read_dir(&inner).unwrap().count(), 1);
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_folder_in_the_way_is_told_with_its_path_and_what_to_try() {
        let folder = scratch("in-the-way");
        fs::create_dir_all(folder.join("one.txt").join("inside")).unwrap();
        let error = files(&folder, &[("one.txt".to_owned(), "")]).unwrap_err();
        let told = error.to_string();
        assert!(told.contains("one.txt") && told.contains("--out"), "{told}");
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "the part file is tidied away");
        fs::remove_dir_all(&folder).unwrap();
    }
}

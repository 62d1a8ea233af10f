//! The folder of a sweep: rows go to files beside their places, which can be gone on with after a kill at any moment.
//!
//! `sweep.json` says what the sweep is of. While it runs, rows are added to `sweep.csv.part` and `sweep.jsonl.part`; in the end both
//! are renamed into place. Rows come in the order of their numbers, so the lines that are there say where to go on; a line that a kill
//! has cut off is dropped, in both files down to the same row.

use crate::Stop;
use rayon::prelude::*;
use report::sweep::Line;
use std::fs::{self, File, OpenOptions};
use std::io::{self, BufRead, BufReader, Read, Seek, Write};
use std::path::{Path, PathBuf};

pub(super) const MANIFEST: &str = "sweep.json";
pub(super) const CSV: &str = "sweep.csv";
pub(super) const JSON: &str = "sweep.jsonl";

/// Rows that are read at once.
const AT_ONCE: usize = 1024;

pub(super) struct Folder {
    path: PathBuf,
    /// Open while rows are added.
    csv: Option<File>,
    json: Option<File>,
}

/// What was there.
pub(super) enum Begun {
    /// All rows, in place.
    Complete,
    /// So many rows.
    Partly(usize),
    /// So many rows of another sweep, which had not come to its end; they are gone.
    Another(usize),
}

impl Folder {
    /// One to which nothing is added.
    pub(super) fn of(path: &Path) -> Self {
        Self { path: path.to_owned(), csv: None, json: None }
    }

    /// Opens the folder for the sweep that `manifest` tells; what is there of another sweep is removed.
    pub(super) fn begin(path: &Path, manifest: &str, rows: usize, anew: bool) -> Result<(Self, Begun), Stop> {
        let mut folder = Self::of(path);
        fs::create_dir_all(path).map_err(|error| folder.told("make", &error))?;
        let same = fs::read_to_string(folder.place(MANIFEST)).is_ok_and(|known| known == manifest);
        let lines = whole_lines(&folder.part(JSON), usize::MAX);
        let lost = if same || anew { 0 } else { lines.map_or(0, |(lines, _)| lines) };
        if !same || anew {
            for name in [CSV, JSON] {
                for file in [folder.place(name), folder.part(name)] {
                    remove(&file).map_err(|error| folder.told("replace rows in", &error))?;
                }
            }
            report::write::file(&folder.place(MANIFEST), manifest)
                .map_err(|error| Stop::machine(error.to_string()))?;
        }
        let done = folder.resume(rows).map_err(|error| folder.told("go on in", &error))?;
        Ok((folder, if lost > 0 { Begun::Another(lost) } else { done }))
    }

    /// Brings both files to the same number of whole rows and opens them where some are missing.
    fn resume(&mut self, rows: usize) -> io::Result<Begun> {
        let placed = [CSV, JSON].map(|name| self.place(name).exists());
        if placed == [true; 2] && self.rows(JSON)? >= rows && self.rows(CSV)? >= rows + usize::from(rows > 0)
        {
            return Ok(Begun::Complete);
        }
        // A kill between the two renames leaves one file in place.
        for (name, placed) in [CSV, JSON].into_iter().zip(placed) {
            if placed {
                fs::rename(self.place(name), self.part(name))?;
            }
        }
        let lines = |path: PathBuf| if path.exists() { whole_lines(&path, usize::MAX) } else { Ok((0, 0)) };
        let (headed, _) = lines(self.part(CSV))?;
        let (json, _) = lines(self.part(JSON))?;
        let done = json.min(headed.saturating_sub(1)).min(rows);
        let heading = usize::from(done > 0);
        self.csv = Some(cut(&self.part(CSV), done + heading)?);
        self.json = Some(cut(&self.part(JSON), done)?);
        Ok(Begun::Partly(done))
    }

    fn rows(&self, name: &str) -> io::Result<usize> {
        whole_lines(&self.place(name), usize::MAX).map(|(lines, _)| lines)
    }

    /// Adds rows to both files.
    pub(super) fn append(&mut self, csv: &str, json: &str) -> Result<(), Stop> {
        let write = |file: &mut Option<File>, text: &str| match file {
            Some(file) => file.write_all(text.as_bytes()),
            None => Ok(()),
        };
        let written = write(&mut self.csv, csv).and_then(|()| write(&mut self.json, json));
        written.map_err(|error| self.told("write rows into", &error))
    }

    /// All rows are there: both files come to their places.
    pub(super) fn finish(&mut self) -> Result<(), Stop> {
        (self.csv, self.json) = (None, None);
        let renamed =
            [CSV, JSON].into_iter().try_for_each(|name| fs::rename(self.part(name), self.place(name)));
        renamed.map_err(|error| self.told("place rows in", &error))
    }

    /// Hands on each row, in order.
    pub(super) fn each_line(&self, take: impl FnMut(&str)) -> Result<(), Stop> {
        self.each_line_of(&self.place(JSON), take)
    }

    /// The same while rows are added.
    pub(super) fn each_line_so_far(&self, take: impl FnMut(&str)) -> Result<(), Stop> {
        self.each_line_of(&self.part(JSON), take)
    }

    fn each_line_of(&self, path: &Path, mut take: impl FnMut(&str)) -> Result<(), Stop> {
        let read = || -> io::Result<()> {
            let mut reader = BufReader::new(File::open(path)?);
            let mut line = String::new();
            while reader.read_line(&mut line)? > 0 {
                take(&line);
                line.clear();
            }
            Ok(())
        };
        let mut read = read;
        read().map_err(|error| self.told("read rows of", &error))
    }

    /// Hands on what each row says, in order; threads share the reading of them.
    pub(super) fn each_parsed(&self, mut take: impl FnMut(Option<Line>)) -> Result<(), Stop> {
        let mut lines = Vec::with_capacity(AT_ONCE);
        let mut parse = |lines: &mut Vec<String>| {
            let parsed: Vec<_> = lines.par_iter().map(|line| report::sweep::parse(line)).collect();
            parsed.into_iter().for_each(&mut take);
            lines.clear();
        };
        self.each_line(|line| {
            lines.push(line.to_owned());
            if lines.len() == AT_ONCE {
                parse(&mut lines);
            }
        })?;
        parse(&mut lines);
        Ok(())
    }

    fn place(&self, name: &str) -> PathBuf {
        self.path.join(name)
    }

    fn part(&self, name: &str) -> PathBuf {
        self.path.join(format!("{name}.part"))
    }

    fn told(&self, action: &str, error: &io::Error) -> Stop {
        Stop::machine(format!(
            "could not {action} {}: {error}. Check the path and the disk, or choose another folder with --out DIR.",
            self.path.display()
        ))
    }
}

fn remove(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

/// Whole lines of a file, `most` at most, and the bytes that they take.
fn whole_lines(path: &Path, most: usize) -> io::Result<(usize, u64)> {
    let mut file = File::open(path)?;
    let mut buffer = vec![0_u8; 1 << 16];
    let (mut lines, mut read, mut end) = (0, 0_u64, 0_u64);
    loop {
        let count = file.read(&mut buffer)?;
        if count == 0 {
            return Ok((lines, end));
        }
        for (index, byte) in buffer[..count].iter().enumerate() {
            if lines == most {
                return Ok((lines, end));
            }
            if *byte == b'\n' {
                lines += 1;
                end = read + index as u64 + 1;
            }
        }
        read += count as u64;
    }
}

/// Opens a file to add to, cut down to so many lines.
fn cut(path: &Path, lines: usize) -> io::Result<File> {
    let mut file = OpenOptions::new().create(true).read(true).write(true).truncate(false).open(path)?;
    let (_, end) = whole_lines(path, lines)?;
    file.set_len(end)?;
    file.seek(io::SeekFrom::End(0))?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("quietrail-folder-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        folder
    }

    fn rows(begun: &Begun) -> Option<usize> {
        match begun {
            Begun::Complete => None,
            Begun::Partly(rows) => Some(*rows),
            Begun::Another(_) => Some(0),
        }
    }

    #[test]
    fn goes_on_after_the_last_row_that_both_files_have() {
        let path = scratch("go-on");
        let (mut folder, begun) = Folder::begin(&path, "m", 3, false).unwrap();
        assert_eq!(rows(&begun), Some(0));
        folder.append("head\n0\n1\n", "{0}\n{1}\n").unwrap();
        drop(folder);
        // A kill in the midst of a row, with one file ahead of the other.
        fs::write(path.join("sweep.csv.part"), "head\n0\n1\n2").unwrap();
        fs::write(path.join("sweep.jsonl.part"), "{0}\n").unwrap();
        let (mut folder, begun) = Folder::begin(&path, "m", 3, false).unwrap();
        assert_eq!(rows(&begun), Some(1));
        folder.append("1\n2\n", "{1}\n{2}\n").unwrap();
        folder.finish().unwrap();
        assert_eq!(fs::read_to_string(path.join(CSV)).unwrap(), "head\n0\n1\n2\n");
        assert_eq!(fs::read_to_string(path.join(JSON)).unwrap(), "{0}\n{1}\n{2}\n");
        assert_eq!(rows(&Folder::begin(&path, "m", 3, false).unwrap().1), None);
        // One file renamed, the other not yet.
        fs::rename(path.join(JSON), path.join("sweep.jsonl.part")).unwrap();
        assert_eq!(rows(&Folder::begin(&path, "m", 3, false).unwrap().1), Some(3));
        fs::remove_dir_all(&path).unwrap();
    }

    #[test]
    fn another_sweep_begins_from_nothing() {
        let path = scratch("another");
        let (mut folder, _) = Folder::begin(&path, "m", 1, false).unwrap();
        folder.append("head\n0\n", "{0}\n").unwrap();
        folder.finish().unwrap();
        let (_, begun) = Folder::begin(&path, "other", 1, false).unwrap();
        assert_eq!(rows(&begun), Some(0));
        assert!(!path.join(CSV).exists());
        fs::remove_dir_all(&path).unwrap();
    }
}

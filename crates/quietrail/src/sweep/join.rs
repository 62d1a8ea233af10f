//! `quietrail join`: shares of a sweep put together, equal to the sweep run at once.

use super::folder::{CSV, Folder, JSON, MANIFEST};
use super::told::{self, aside, exit};
use crate::Stop;
use crate::arguments::JoinArguments;
use crate::exit::Exit;
use report::sweep::{Outline, Summary};
use std::fs::{self, File};
use std::io::{self, BufRead, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

/// A share that was found.
struct Found {
    folder: PathBuf,
    manifest: String,
    number: usize,
    of: usize,
}

pub(crate) fn run(arguments: &JoinArguments) -> Result<Exit, Stop> {
    let mut shares =
        arguments.folders.iter().map(|folder| look(folder)).collect::<Result<Vec<Found>, Stop>>()?;
    shares.sort_by_key(|share| share.number);
    let whole = check(&shares)?;
    let out = &arguments.out;
    let told = |error: io::Error| {
        Stop::machine(format!(
            "could not write the joined rows into {}: {error}. Check the path and the disk.",
            out.display()
        ))
    };
    fs::create_dir_all(out).map_err(told)?;
    for (name, headed) in [(CSV, true), (JSON, false)] {
        let part = out.join(format!("{name}.part"));
        append_all(&shares, name, headed, &part).map_err(told)?;
        fs::rename(&part, out.join(name)).map_err(told)?;
    }
    report::write::file(&out.join(MANIFEST), &whole).map_err(|error| Stop::machine(error.to_string()))?;
    aside(arguments.quiet, &format!("{} shares joined in {}", shares.len(), out.display()));
    let outline = Outline::read(&whole).ok_or_else(|| {
        Stop::input(format!(
            "The rows are joined, but {MANIFEST} does not say what they are of, so there is neither summary nor picture. Shares of an earlier version can be run once more."
        ))
    })?;
    let mut summary = Summary::new(outline);
    Folder::of(out).each_parsed(|line| summary.extend(line))?;
    told::everything(out, &summary, arguments.quiet)?;
    Ok(exit(&summary, arguments.strict.all))
}

fn look(folder: &Path) -> Result<Found, Stop> {
    let text = fs::read_to_string(folder.join(MANIFEST)).map_err(|error| {
        Stop::input(format!(
            "{} holds no sweep: {MANIFEST} can't be read ({error}). Name the folders that `quietrail sweep --share` wrote to.",
            folder.display()
        ))
    })?;
    for name in [CSV, JSON] {
        if !folder.join(name).exists() {
            return Err(Stop::input(format!(
                "The share in {} is not complete: {name} is missing. Start its sweep again; it goes on where it stopped.",
                folder.display()
            )));
        }
    }
    let share = report::sweep::share_of(&text);
    let (number, of) = share
        .ok_or_else(|| Stop::input(format!("{} of {} can't be made out.", MANIFEST, folder.display())))?;
    Ok(Found { folder: folder.to_owned(), manifest: text, number, of })
}

/// The manifest of the whole, where the shares are all of one sweep.
fn check(shares: &[Found]) -> Result<String, Stop> {
    let Some(first) = shares.first() else { return Err(Stop::input("There are no shares to join.")) };
    let whole = report::sweep::with_share(&first.manifest, 1, 1).unwrap_or_default();
    for share in shares {
        if report::sweep::with_share(&share.manifest, 1, 1).as_deref() != Some(&whole) {
            return Err(Stop::input(format!(
                "{} and {} are not of one sweep: the harness, the settings or the program differ. Run the shares with the same file, --set, --only, --draws and --seed.",
                first.folder.display(),
                share.folder.display()
            )));
        }
    }
    let numbers: Vec<usize> = shares.iter().map(|share| share.number).collect();
    let missing: Vec<String> =
        (1..=first.of).filter(|number| !numbers.contains(number)).map(|number| number.to_string()).collect();
    if !missing.is_empty() || shares.iter().any(|share| share.of != first.of) {
        return Err(Stop::input(format!(
            "Of {} shares these are missing: {}.",
            first.of,
            if missing.is_empty() {
                "some; the folders divide the sweep differently".to_owned()
            } else {
                missing.join(", ")
            }
        )));
    }
    if let Some(pair) = shares.windows(2).find(|pair| pair[0].number == pair[1].number) {
        return Err(Stop::input(format!(
            "{} and {} hold the same share.",
            pair[0].folder.display(),
            pair[1].folder.display()
        )));
    }
    Ok(whole)
}

/// The rows of all shares, in order; a heading line only once.
fn append_all(shares: &[Found], name: &str, headed: bool, to: &Path) -> io::Result<()> {
    let mut out = BufWriter::new(File::create(to)?);
    let mut has_heading = false;
    for share in shares {
        let mut reader = BufReader::new(File::open(share.folder.join(name))?);
        if headed {
            let mut heading = Vec::new();
            reader.read_until(b'\n', &mut heading)?;
            if !has_heading {
                out.write_all(&heading)?;
                has_heading = !heading.is_empty();
            }
        }
        io::copy(&mut reader, &mut out)?;
    }
    out.flush()
}

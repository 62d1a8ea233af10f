//! `sweep --format parquet`: the rows once more, for tools that read columns.

#[cfg(not(feature = "parquet"))]
pub(super) use absent::{available, write};
#[cfg(feature = "parquet")]
pub(super) use present::{available, write};

pub(super) const FILE: &str = "sweep.parquet";

#[cfg(not(feature = "parquet"))]
mod absent {
    use crate::Stop;
    use crate::sweep::folder::Folder;
    use std::path::Path;

    /// Told before anything runs.
    pub(in crate::sweep) fn available() -> Result<(), Stop> {
        Err(Stop::input(
            "This program was built without Parquet. Build it with `cargo build --release --features parquet`, or take sweep.csv: it has the same columns.",
        ))
    }

    pub(in crate::sweep) fn write(_: &Folder, _: &Path) -> Result<(), Stop> {
        available()
    }
}

#[cfg(feature = "parquet")]
mod present {
    use crate::Stop;
    use crate::sweep::folder::Folder;
    use report::sweep::ParquetRows;
    use std::fs::{self, File};
    use std::path::Path;

    pub(in crate::sweep) fn available() -> Result<(), Stop> {
        Ok(())
    }

    /// Writes all rows of the folder, beside the place first.
    pub(in crate::sweep) fn write(folder: &Folder, place: &Path) -> Result<(), Stop> {
        let told = |error: &dyn std::fmt::Display| {
            Stop::machine(format!(
                "could not write {}: {error}. Check the path and the disk, or choose another folder with --out DIR.",
                place.display()
            ))
        };
        let part = place.with_extension("parquet.part");
        let mut rows = None;
        let mut failed = Ok(());
        folder.each_line(|line| {
            if failed.is_err() {
                return;
            }
            failed = match &mut rows {
                Some(rows) => ParquetRows::push(rows, line).map_err(|error| told(&error)),
                None => File::create(&part).map_err(|error| told(&error)).and_then(|file| {
                    let mut new = ParquetRows::new(file, line).map_err(|error| told(&error))?;
                    new.push(line).map_err(|error| told(&error))?;
                    rows = Some(new);
                    Ok(())
                }),
            };
        })?;
        failed?;
        let Some(rows) = rows else { return Ok(()) };
        rows.finish().map_err(|error| told(&error))?;
        fs::rename(&part, place).map_err(|error| told(&error))
    }
}

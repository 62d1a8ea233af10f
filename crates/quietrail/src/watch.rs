//! `quietrail watch`: the page of a file, written anew whenever the file is saved.
//!
//! The page asks once a second for a small script beside it that says which state it should show; a page from the disk may read
//! nothing else. The script is written after the page, so that what is loaded is always whole.

use crate::arguments::PageArguments;
use crate::exit::Exit;
use crate::input::{Disk, Stamp, stamp};
use crate::report_page::{PAGE, Report, write};
use crate::{Stop, output, terminal};
use report::page::{Live, refused};
use report::table;
use std::path::PathBuf;
use std::thread;
use std::time::Duration;

/// Name of the script that tells the page's state.
const STATE: &str = "report-state.js";
/// How often the files are looked at. A file must stay as it is for as long, lest half a save be read.
const LOOK: Duration = Duration::from_millis(200);

pub(crate) fn run(arguments: &PageArguments) -> Result<Exit, Stop> {
    let mut good: Option<Report> = None;
    let quiet = arguments.quiet.on;
    let begun = format!("{:x}", std::process::id());
    for turn in 1_u64.. {
        let own = stamp(&arguments.subject.file);
        let disk = Disk::default();
        let ran = Report::run(arguments, &disk);
        let mut files = vec![(arguments.subject.file.clone(), own)];
        files.extend(disk.asked());
        let mistakes = match ran {
            Ok(report) => {
                if !quiet {
                    output::print(&format!(
                        "{}{}",
                        if turn > 1 { "\n" } else { "" },
                        table::answer(report.comparison(), terminal::style())
                    ))?;
                }
                good = Some(report);
                None
            }
            Err(stop) if stop.exit == Exit::MachineFailed => return Err(stop),
            Err(stop) => {
                output::complain(&format!("\n{}", stop.told));
                Some(anstream::adapter::strip_str(&stop.told).to_string())
            }
        };
        let state = format!("{begun}-{turn}");
        let live = Live { state: &state, script: STATE, mistakes: mistakes.as_deref() };
        let page = match &good {
            Some(report) => report.page(arguments, Some(live)),
            None => refused(&arguments.subject.file.display().to_string(), live, env!("CARGO_PKG_VERSION")),
        };
        let script = format!("quietrailState({state:?});\n");
        let paths = write(arguments, &[(PAGE.to_owned(), page), (STATE.to_owned(), script)])?;
        if turn == 1 && !quiet {
            output::print(&format!(
                "\nOpen in a browser: {}\nIt follows each time you save. Ctrl-C ends.\n",
                paths[0].display()
            ))?;
        }
        wait_for_a_save(&files);
    }
    Ok(Exit::Met)
}

/// Comes back once a file is another than it was, and has come to rest.
fn wait_for_a_save(files: &[(PathBuf, Stamp)]) {
    let states = || files.iter().map(|(path, _)| stamp(path)).collect::<Vec<_>>();
    let read: Vec<Stamp> = files.iter().map(|(_, stamp)| *stamp).collect();
    let mut before = states();
    loop {
        thread::sleep(LOOK);
        let now = states();
        if now != read && now == before {
            return;
        }
        before = now;
    }
}

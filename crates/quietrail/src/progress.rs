//! How far a run is, on a terminal that somebody looks at.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::thread;
use std::time::Duration;

/// What takes no longer than this needs no bar.
const PATIENCE: Duration = Duration::from_millis(700);
/// The time that is left is told anew this often, even while a point runs long.
const TICK: Duration = Duration::from_millis(250);

/// A bar for so many points, with the time that is left; silent where standard error is no terminal.
pub(crate) fn bar(points: usize, done: usize, quiet: bool) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(points as u64), ProgressDrawTarget::hidden());
    if let Ok(style) = ProgressStyle::with_template("{pos} of {len} points [{wide_bar}] {eta} left") {
        bar.set_style(style.progress_chars("=> "));
    }
    bar.set_position(done as u64);
    bar.reset_eta();
    show_late(&bar, quiet);
    bar
}

/// Does `work` while a sign with these words tells that it goes on.
pub(crate) fn while_working<T>(words: &'static str, quiet: bool, work: impl FnOnce() -> T) -> T {
    let sign = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
    if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}, {elapsed}") {
        sign.set_style(style);
    }
    sign.set_message(words);
    show_late(&sign, quiet);
    let done = work();
    sign.finish_and_clear();
    done
}

/// Shows a bar once it has been worked on for a while.
fn show_late(bar: &ProgressBar, quiet: bool) {
    if quiet {
        return;
    }
    let late = bar.downgrade();
    thread::spawn(move || {
        thread::sleep(PATIENCE);
        if let Some(bar) = late.upgrade().filter(|bar| !bar.is_finished()) {
            bar.set_draw_target(ProgressDrawTarget::stderr());
            bar.enable_steady_tick(TICK);
        }
    });
}

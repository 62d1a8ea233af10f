//! `quietrail design`: filters of the parts that one owns.

use crate::arguments::DesignArguments;
use crate::compare::{capitalised, folder, list};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use indicatif::{ProgressBar, ProgressStyle};
use report::{design as told, table, write};
use study::Options;
use study::design::{Design, Progress, Search, Topology};

pub(crate) fn run(arguments: &DesignArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.study.file)?;
    let study = Study::read(&arguments.study.file, text, &arguments.study.set)?;
    let stock = Study::stock(&arguments.stock, input::read(&arguments.stock)?)?;
    let options = study.options(&arguments.study.only, arguments.accuracy)?;
    let search = Search {
        choice: arguments.choice.clone(),
        topologies: if arguments.form.is_empty() { Topology::ALL.to_vec() } else { arguments.form.clone() },
        turns: usize::from(arguments.turns),
        draws: arguments.draws,
        seed: arguments.seed,
        most: arguments.most,
        prune: !arguments.exhaustive,
        options: Options { pictures: false, ..options },
    };
    study.remark_lines().iter().for_each(|remark| output::complain(remark));
    let threads = arguments.threads.map_or(0, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| Stop::machine(format!("No threads could be started: {error}.")))?;
    let bar = if arguments.quiet { ProgressBar::hidden() } else { ProgressBar::new(0) };
    let show = Show(&bar);
    let design = {
        // Nothing but the search runs in the pool: its progress is told from here.
        let search = &search;
        pool.scope(|_| study.design(&stock, &arguments.study.set, search, &|progress| show.tell(progress)))
    }?;
    bar.finish_and_clear();
    let printed = if arguments.study.json {
        output::print(&told::json(&design))
    } else {
        output::print(&table::design(&design))
    };
    let folder = folder(&arguments.study.file, arguments.study.out.as_deref(), arguments.study.json);
    match folder.map(|folder| write::files(&folder, &files(&design))) {
        Some(Ok(paths)) => list(&paths, arguments.study.json)?,
        Some(Err(error)) => return Err(Stop::machine(capitalised(&error.to_string()))),
        None => {}
    }
    printed?;
    Ok(if design.winners.is_empty() { Exit::NotMet } else { Exit::Met })
}

/// The table, the result, the options, and a sheet for each filter.
fn files(design: &Design) -> Vec<(String, String)> {
    let mut files = vec![
        ("design.txt".to_owned(), table::design(design)),
        ("design.json".to_owned(), told::json(design)),
        ("options.txt".to_owned(), told::options(design)),
    ];
    let winners = design.winners.iter().chain(design.nearest.iter().map(|(winner, _)| winner));
    let sheets: Vec<String> = winners.map(|winner| told::sheet(design, winner)).collect();
    files.push(("sheets.txt".to_owned(), sheets.join(&format!("\n{}\n\n", "=".repeat(table::WIDTH)))));
    files
}

/// On a terminal a bar; silent elsewhere.
struct Show<'b>(&'b ProgressBar);

impl Show<'_> {
    fn tell(&self, progress: Progress) {
        let Progress { of, done, run, holding } = progress;
        let template = format!(
            "{{pos}} of {{len}} filters, {run} of them run, {holding} lead [{{wide_bar}}] {{elapsed}}"
        );
        if let Ok(style) = ProgressStyle::with_template(&template) {
            self.0.set_style(style.progress_chars("=> "));
        }
        self.0.set_length(of as u64);
        self.0.set_position(done as u64);
        self.0.tick();
    }
}

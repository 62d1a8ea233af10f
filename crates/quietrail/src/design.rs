//! `quietrail design`: filters of the parts that one owns.

use crate::arguments::DesignArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, deliver, input, output, terminal};
use indicatif::{ProgressBar, ProgressStyle};
use report::{design as told, table};
use study::Options;
use study::design::{Design, Progress, Search, Topology};

pub(crate) fn run(arguments: &DesignArguments) -> Result<Exit, Stop> {
    let (asked, points) = (&arguments.study, &arguments.study.subject.points);
    let quiet = asked.telling.quiet.on;
    let study = Study::open(&asked.subject)?;
    let stock = Study::stock(&arguments.stock, input::read(&arguments.stock)?)?;
    let options = study.options(&points.only, arguments.accuracy.fraction)?;
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
    study.remark(quiet);
    let threads = arguments.threads.map_or(0, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| Stop::machine(format!("No threads could be started: {error}.")))?;
    let bar = if quiet { ProgressBar::hidden() } else { ProgressBar::new(0) };
    let show = Show(&bar);
    let design = {
        // Nothing but the search runs in the pool: its progress is told from here.
        let search = &search;
        pool.scope(|_| study.design(&stock, &points.set, search, &|progress| show.tell(progress)))
    }?;
    bar.finish_and_clear();
    let printed = deliver::tell(asked.telling, |style| table::design(&design, style), || told::json(&design));
    deliver::keep(asked, || files(&design))?;
    printed?;
    if !asked.telling.json && !quiet {
        output::print(&format!("\n{}\n", told::next(&design, terminal::style())))?;
    }
    Ok(if design.winners.is_empty() { Exit::NotMet } else { Exit::Met })
}

/// The table, the result, the options, a sheet for each filter, and what less of one thing costs of another.
fn files(design: &Design) -> Vec<(String, String)> {
    let mut files = vec![
        ("design.txt".to_owned(), table::design(design, table::Style::default())),
        ("design.json".to_owned(), told::json(design)),
        ("options.txt".to_owned(), told::options(design)),
    ];
    let winners = design.winners.iter().chain(design.nearest.iter().map(|(winner, _)| winner));
    let sheets: Vec<String> = winners.map(|winner| told::sheet(design, winner)).collect();
    files.extend(told::pictures(design).into_iter().map(|picture| (picture.file_name, picture.text)));
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

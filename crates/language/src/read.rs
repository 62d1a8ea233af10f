//! From text to a description: parse, gather names, look at study points.

use crate::description::{Axis, Description, DrawsOfTolerances, Harness};
use crate::include::{Alone, Loader};
use crate::kinds::WITHOUT_EFFECT_YET;
use crate::mistake::{Mistake, Sink};
use crate::parser::{parse, setting};
use crate::point::{Draws, resolve};
use crate::program::{Program, sample};
use crate::source::Source;
use crate::syntax::File;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A file with all that it includes, read.
#[derive(Clone, Debug)]
pub struct Read {
    /// What it describes, or every mistake in it, sorted by place.
    pub description: Result<Description, Vec<Mistake>>,
    /// The texts that spans speak of: those of [`Source::with_settings`], then the included files in the order in which they
    /// were taken in.
    pub sources: Vec<Source>,
}

/// Reads a file with the settings of the command line (`NAME=VALUE` of a `let`, or `PART.PROPERTY=VALUE`). It can't include
/// others.
///
/// # Errors
/// Every mistake of the file and the settings, sorted by place. Spans speak of the texts that
/// [`Source::with_settings`] lists.
pub fn read(source: &Source, settings: &[String]) -> Result<Description, Vec<Mistake>> {
    read_with(source, settings, &Alone).description
}

/// Reads a file with the settings of the command line, and whatever it includes by way of the loader.
#[must_use]
pub fn read_with(source: &Source, settings: &[String], loader: &dyn Loader) -> Read {
    let mut sink = Sink::default();
    let (file, included) = parse(source, settings.len(), loader, &mut sink);
    let mut sources = Source::with_settings(source, settings);
    sources.extend(included);
    Read { description: describe(source, settings, file, sink), sources }
}

fn describe(
    source: &Source,
    settings: &[String],
    mut file: File,
    mut sink: Sink,
) -> Result<Description, Vec<Mistake>> {
    file.settings =
        settings.iter().enumerate().filter_map(|(index, text)| setting(text, index + 1, &mut sink)).collect();
    let program = Program::new(file, stem(&source.name), &mut sink);
    program.names.remark_lonely_nodes(&program.axes, &mut sink);
    remark_records(&program.file, &mut sink);
    let mut first = None;
    for chosen in points_to_check(&program) {
        if sink.full() {
            break;
        }
        sink.begin_point(&chosen);
        let harness = resolve(&program, &chosen, &Draws::default(), &mut sink);
        first.get_or_insert((chosen, Arc::new(harness)));
    }
    if sink.count() == 0 {
        tell_empty_sweeps(&program, &mut sink);
    }
    let (mistakes, mut remarks) = sink.finish(&program.axes, &program.file);
    remarks.sort_by_key(|remark| remark.code == WITHOUT_EFFECT_YET);
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    Ok(Description { program: Arc::new(program), remarks, first })
}

/// A sweep whose target has no value where nothing is set or swept, although it has one at every study point.
fn tell_empty_sweeps(program: &Program, sink: &mut Sink) {
    for (node, axis) in program.file.axes().zip(&program.axes) {
        let Some(sweep) = node.sweep.as_ref().filter(|_| axis.points.is_empty()) else { continue };
        sink.push(
            Mistake::new("empty_sweep", sweep.target.span, "the values of this sweep can't be worked out")
                .label("has no value as stated")
                .help("state a value that holds without the other axes"),
        );
    }
}

/// Traces are not written yet.
fn remark_records(file: &File, sink: &mut Sink) {
    for record in file.transients.iter().filter_map(|transient| transient.record.as_ref()) {
        sink.push(
            Mistake::remark(
                WITHOUT_EFFECT_YET,
                record.span,
                "`record` has no effect on voltages or readings; it is used by the traces of a later edition",
            )
            .label("nothing is recorded at this spacing yet"),
        );
    }
}

/// A file's name without folder and ending.
fn stem(name: &str) -> &str {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    match file.rsplit_once('.') {
        Some((stem, _)) if !stem.is_empty() => stem,
        _ => file,
    }
}

/// Most study points that are looked at one by one; beyond, the product of the axes grows without bound.
const MOST_POINTS: usize = 1000;
/// Most statements that are looked at over all points.
const MOST_WORK: usize = 1_000_000;

fn baseline_point(axes: &[Axis]) -> Vec<usize> {
    axes.iter().map(|axis| axis.baseline.unwrap_or(0)).collect()
}

/// The whole product where it is small. Otherwise each option against the baseline of all other axes: enough to meet
/// every statement once, though not every pair of statements; of a long sweep its ends and some points between.
fn points_to_check(program: &Program) -> Vec<Vec<usize>> {
    let counts: Vec<usize> = program.axes.iter().map(|axis| axis.points.len().max(1)).collect();
    let most = (MOST_WORK / program.file.size()).clamp(1, MOST_POINTS);
    let product = counts
        .iter()
        .try_fold(1_usize, |product, count| product.checked_mul(*count).filter(|product| *product <= most));
    let base = baseline_point(&program.axes);
    let Some(product) = product else {
        let alone = program.axes.iter().enumerate().flat_map(|(axis, points)| {
            let base = &base;
            sample(points).into_iter().filter(move |option| *option != base[axis]).map(move |option| {
                let mut point = base.clone();
                point[axis] = option;
                point
            })
        });
        let alone: Vec<_> = alone.take(MOST_POINTS).collect();
        return std::iter::once(base.clone()).chain(alone).collect();
    };
    let digits = |mut number: usize| {
        let mut point = vec![0; counts.len()];
        for (digit, count) in point.iter_mut().zip(&counts).rev() {
            *digit = number % count;
            number /= count;
        }
        point
    };
    (0..product).map(digits).collect()
}

impl Description {
    /// The title after `harness`; the file's name where there is none.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.program.title
    }

    /// The axes in the file's order.
    #[must_use]
    pub fn axes(&self) -> &[Axis] {
        &self.program.axes
    }

    /// How the file wants its tolerances drawn; `None` where it says nothing.
    #[must_use]
    pub fn draws(&self) -> Option<DrawsOfTolerances> {
        self.program.file.draws
    }

    /// Worth knowing for every result, but no mistakes.
    #[must_use]
    pub fn remarks(&self) -> &[Mistake] {
        self.remarks_by_effect().0
    }

    /// Remarks on what the file says that has no effect in this edition: worth knowing when the file is checked, while the
    /// results are what they would be without it.
    #[must_use]
    pub fn without_effect(&self) -> &[Mistake] {
        self.remarks_by_effect().1
    }

    /// Reading has put those without effect last.
    fn remarks_by_effect(&self) -> (&[Mistake], &[Mistake]) {
        self.remarks.split_at(self.remarks.partition_point(|remark| remark.code != WITHOUT_EFFECT_YET))
    }

    /// The harness at one study point: for each axis the index of its option or case.
    ///
    /// A missing index stands for the baseline, one too large for the last option. Where the product of the axes is so
    /// large that reading the file could not look at every point, use [`Description::check_at`] first: this function
    /// leaves out what is wrong.
    #[must_use]
    pub fn at(&self, point: &[usize]) -> Harness {
        let point = self.clamped(point);
        match self.known(&point) {
            Some(known) => known.as_ref().clone(),
            None => resolve(&self.program, &point, &Draws::default(), &mut Sink::default()),
        }
    }

    /// The harness at one study point.
    ///
    /// # Errors
    /// The mistakes that only this combination of options and cases shows.
    pub fn check_at(&self, point: &[usize]) -> Result<Harness, Vec<Mistake>> {
        self.drawn(point, &BTreeMap::new())
    }

    /// The harness at one study point, with other values of lets than the nominal ones: by the names of [`Harness::lets`], in SI
    /// units. What is worked out from them follows; properties with a tolerance of their own stay nominal.
    ///
    /// # Errors
    /// The mistakes that only this combination shows, such as a value that a property does not take.
    pub fn drawn(&self, point: &[usize], draws: &BTreeMap<String, f64>) -> Result<Harness, Vec<Mistake>> {
        self.resolved(point, &Draws { lets: draws.clone(), ..Draws::default() })
    }

    /// The harness at one study point with other values of sweeps than those of their points: by the names of their axes, in SI
    /// units.
    ///
    /// # Errors
    /// The mistakes that only this combination shows, such as a value that a property does not take.
    pub fn between(&self, point: &[usize], swept: &BTreeMap<String, f64>) -> Result<Harness, Vec<Mistake>> {
        self.resolved(point, &Draws { swept: swept.clone(), ..Draws::default() })
    }

    fn resolved(&self, point: &[usize], draws: &Draws) -> Result<Harness, Vec<Mistake>> {
        let mut sink = Sink::default();
        let harness = resolve(&self.program, &self.clamped(point), draws, &mut sink);
        let (mistakes, _) = sink.finish(self.axes(), &self.program.file);
        if mistakes.is_empty() { Ok(harness) } else { Err(mistakes) }
    }

    /// The harness at a point that reading has worked out already and found in order.
    pub(crate) fn known(&self, point: &[usize]) -> Option<Arc<Harness>> {
        self.first.as_ref().filter(|first| first.0 == point).map(|first| Arc::clone(&first.1))
    }

    /// The harness with the first case of every condition and the baseline of every choice, without a copy where it is known.
    #[must_use]
    pub fn baseline(&self) -> Arc<Harness> {
        self.known(&self.clamped(&[])).unwrap_or_else(|| Arc::new(self.at(&[])))
    }

    pub(crate) fn clamped(&self, point: &[usize]) -> Vec<usize> {
        let mut chosen = baseline_point(&self.program.axes);
        for ((slot, wanted), axis) in chosen.iter_mut().zip(point).zip(&self.program.axes) {
            *slot = (*wanted).min(axis.points.len().saturating_sub(1));
        }
        chosen
    }
}

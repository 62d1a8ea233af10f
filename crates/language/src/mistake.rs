//! A mistake as data, and the place where mistakes are gathered.

use crate::description::Axis;
use crate::source::Span;
use crate::syntax::File;
use rustc_hash::FxHashMap as HashMap;
use std::borrow::Cow;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// Nothing runs while it stands.
    Mistake,
    /// Worth knowing; everything runs.
    Remark,
}

/// Something to tell the writer of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Stable name, words joined by `_`.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// The text it is about.
    pub span: Span,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What was expected there; may be empty.
    pub label: String,
    /// What to try.
    pub help: Option<String>,
    /// Other places that matter, each with what it is.
    pub others: Vec<(Span, String)>,
    /// The options that it stands with, `filter = coil`; `None` where it always stands.
    pub point: Option<String>,
    /// Tells mistakes of one code at one place apart, such as two missing properties.
    pub(crate) subject: Cow<'static, str>,
}

impl Mistake {
    pub(crate) fn new(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Mistake,
            span,
            message: message.into(),
            label: String::new(),
            help: None,
            others: Vec::new(),
            point: None,
            subject: Cow::Borrowed(""),
        }
    }

    /// One whose code another crate gives.
    pub(crate) fn coded(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self::new(code, span, message)
    }

    pub(crate) fn remark(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self { severity: Severity::Remark, ..Self::new(code, span, message) }
    }

    pub(crate) fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    pub(crate) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    pub(crate) fn also(mut self, span: Span, what: impl Into<String>) -> Self {
        self.others.push((span, what.into()));
        self
    }

    pub(crate) fn about(mut self, subject: impl Into<Cow<'static, str>>) -> Self {
        self.subject = subject.into();
        self
    }

    /// Adds `perhaps `word`` as help where a word is close.
    pub(crate) fn near(self, word: Option<&str>) -> Self {
        match word {
            Some(word) => self.help(format!("perhaps `{word}` was meant")),
            None => self,
        }
    }
}

/// Proof that a mistake has been told, so that its consequences need not be.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Told(());

/// What is known of a mistake that was told.
struct Known {
    /// Its entry in the list.
    entry: usize,
    /// Number of study points that showed it, and the last of them.
    seen: usize,
    last_seen: usize,
    /// For each axis the option that all of them have in common; empty for a mistake that no study point was needed for.
    common: Vec<Option<usize>>,
}

impl Known {
    fn new(entry: usize, point_number: usize, point: Option<&[usize]>) -> Self {
        let common = point.into_iter().flatten().map(|option| Some(*option)).collect();
        Self { entry, seen: 1, last_seen: point_number, common }
    }

    fn narrow(&mut self, point: Option<&[usize]>) {
        for (common, option) in self.common.iter_mut().zip(point.into_iter().flatten()) {
            *common = common.filter(|common| common == option);
        }
    }

    /// `filter = coil`: the options without which the mistake does not show.
    fn place(&self, points: usize, axes: &[Axis]) -> Option<String> {
        if self.seen >= points {
            return None;
        }
        let named = axes.iter().zip(&self.common).filter(|(axis, _)| axis.points.len() > 1);
        let words: Vec<String> = named
            .filter_map(|(axis, option)| Some(format!("{} = {}", axis.name, axis.points.get((*option)?)?)))
            .collect();
        (!words.is_empty()).then(|| words.join(", "))
    }
}

/// Gathers mistakes; the same mistake at the same place is kept once.
#[derive(Default)]
pub(crate) struct Sink {
    list: Vec<Mistake>,
    /// Entries of `list` by severity.
    mistakes: usize,
    remarks: usize,
    known: HashMap<(&'static str, Span, Cow<'static, str>), Known>,
    /// The study point that is being looked at.
    point: Option<Vec<usize>>,
    /// Its number from 1; 0 before the first.
    point_number: usize,
    /// The instance of an assembly that is being looked into.
    instance: Option<FittedAt>,
}

/// What a mistake inside an assembly adds of the instance that showed it.
struct FittedAt {
    assembly: Span,
    fit: Span,
    name: String,
}

impl Sink {
    /// Beyond so many mistakes nobody reads on, and a file of noise would fill the memory with them.
    const MOST: usize = 500;
    pub(crate) const MOST_REMARKS: usize = 100;

    pub(crate) fn push(&mut self, mut mistake: Mistake) -> Told {
        let key = (mistake.code, mistake.span, mistake.subject.clone());
        if let Some(known) = self.known.get_mut(&key) {
            if known.last_seen < self.point_number {
                known.last_seen = self.point_number;
                known.seen += 1;
                known.narrow(self.point.as_deref());
            }
            return Told(());
        }
        if self.has_room(mistake.severity) {
            if let Some(at) = self.instance.as_ref().filter(|at| at.assembly.holds(mistake.span)) {
                mistake.others.push((at.fit, format!("fitted here, as `{}`", at.name)));
            }
            self.known.insert(key, Known::new(self.list.len(), self.point_number, self.point.as_deref()));
            self.list.push(mistake);
        }
        Told(())
    }

    /// Takes over what another one has gathered, as mistakes of the point that is being looked at.
    pub(crate) fn absorb(&mut self, other: Self) {
        for mistake in other.list {
            self.push(mistake);
        }
    }

    /// For a consequence of something that has been told elsewhere.
    pub(crate) fn already_told(&self) -> Told {
        Told(())
    }

    /// How many have been told, to see whether something went without any.
    pub(crate) fn count(&self) -> usize {
        self.mistakes
    }

    pub(crate) fn full(&self) -> bool {
        self.mistakes >= Self::MOST
    }

    fn has_room(&mut self, severity: Severity) -> bool {
        let (count, most) = match severity {
            Severity::Mistake => (&mut self.mistakes, Self::MOST),
            Severity::Remark => (&mut self.remarks, Self::MOST_REMARKS),
        };
        let room = *count < most;
        *count += usize::from(room);
        room
    }

    /// From here on mistakes belong to the study point with these options, one an axis.
    pub(crate) fn begin_point(&mut self, chosen: &[usize]) {
        self.point = Some(chosen.to_vec());
        self.point_number += 1;
    }

    /// From here on mistakes in the text of an assembly say that they were met in this instance.
    pub(crate) fn begin_instance(&mut self, assembly: Span, fit: Span, name: &str) {
        self.instance = Some(FittedAt { assembly, fit, name: name.to_owned() });
    }

    pub(crate) fn end_instance(&mut self) {
        self.instance = None;
    }

    /// Mistakes and remarks, each sorted by place. Those of an included file say where it is included.
    pub(crate) fn finish(mut self, axes: &[Axis], file: &File) -> (Vec<Mistake>, Vec<Mistake>) {
        for known in self.known.values() {
            self.list[known.entry].point = known.place(self.point_number, axes);
        }
        if self.full()
            && let Some(last) = self.list.last()
        {
            let mistake = Mistake::new("too_many", last.span, "more mistakes than are told at once")
                .help("mend the ones above, then look again");
            self.list.push(mistake);
        }
        if file.names_missing {
            self.list.retain(|mistake| !OF_MISSING_NAMES.contains(&mistake.code));
        }
        for mistake in &mut self.list {
            let mut source = mistake.span.source;
            while let Some(at) = file.included_at.get(&source) {
                mistake.others.push((*at, "included here".to_owned()));
                source = at.source;
            }
        }
        self.list.sort_by_key(|mistake| mistake.span);
        self.list.into_iter().partition(|mistake| mistake.severity == Severity::Mistake)
    }
}

/// Codes of what may be a consequence of a file that could not be taken in.
const OF_MISSING_NAMES: &[&str] = &[
    "no_frequency",
    "no_response",
    "no_transient",
    "unknown_assembly",
    "unknown_instance",
    "unknown_let",
    "unknown_name",
    "unknown_node",
    "unknown_part",
    "unknown_response",
    "unknown_testpoint",
    "unknown_transient",
];

/// Names that lead from one to the next, for a sentence; the middle is left out where there are many.
pub(crate) fn chain(names: &[&str]) -> String {
    /// Names that are shown at the beginning and at the end of a long one.
    const SHOWN: usize = 4;
    if names.len() <= 2 * SHOWN {
        names.join(" -> ")
    } else {
        format!("{} -> … -> {}", names[..SHOWN].join(" -> "), names[names.len() - SHOWN..].join(" -> "))
    }
}

/// The candidate nearest to `word`, where one is near enough to be meant; the first by letters among equals.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const LONGEST: usize = 40;
    /// Comparing takes time; a file with more names than that is made by a program, which does not misspell.
    const MOST_CANDIDATES: usize = 5000;
    let length = word.chars().count();
    if length > LONGEST {
        return None;
    }
    let allowed = (length / 3).max(1);
    let candidates: Vec<&str> = candidates.into_iter().take(MOST_CANDIDATES).collect();
    // Capitals and `_` alone, as in `ESR` or `LiPo`, leave no doubt; comparing letters would count each of them as a slip.
    let bare = |text: &str| text.replace('_', "").to_lowercase();
    let wanted = bare(word);
    if let Some(same) = candidates.iter().find(|candidate| **candidate != word && bare(candidate) == wanted) {
        return Some(same);
    }
    candidates
        .into_iter()
        .filter(|candidate| candidate.chars().count().abs_diff(length) <= allowed + 2 && *candidate != word)
        .map(|candidate| (strsim::damerau_levenshtein(&wanted, &bare(candidate)), candidate))
        .filter(|(distance, candidate)| *distance <= allowed && *distance < candidate.len())
        .min_by_key(|(distance, candidate)| {
            (*distance, strsim::damerau_levenshtein(word, candidate), *candidate)
        })
        .map(|(_, candidate)| candidate)
}

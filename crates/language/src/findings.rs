//! Mistakes that show only once the equations of the parts are known, told at their place like the language's own.

use crate::description::{Description, Harness};
use crate::mistake::{Mistake, Sink};
use crate::point::{Draws, Standing, resolve};
use crate::source::Span;
use rustc_hash::FxHashMap as HashMap;
use std::sync::Arc;

/// A value of a part that can't be.
#[derive(Clone, Copy, Debug)]
pub struct Finding<'f> {
    /// Stable code, words joined by `_`.
    pub code: &'static str,
    /// The part's full name.
    pub part: &'f str,
    /// The property at fault.
    pub property: &'f str,
    /// What is wrong, in one sentence.
    pub message: &'f str,
    /// What to try; may be empty.
    pub help: &'f str,
}

/// Gathers what is found point by point; what several points have in common is told once.
pub struct Findings<'d> {
    description: &'d Description,
    point: Vec<usize>,
    /// What stands at the point, once it is asked for.
    standing: Option<Standing<'d>>,
    sink: Sink,
}

/// The harness at a point, and what is wrong with its text there.
pub struct Resolved {
    point: Vec<usize>,
    /// `None` where its text is wrong.
    pub harness: Option<Arc<Harness>>,
    sink: Sink,
}

impl Resolved {
    /// Works a point out.
    #[must_use]
    pub fn new(description: &Description, point: &[usize]) -> Self {
        let point = description.clamped(point);
        let mut sink = Sink::default();
        let known = description.known(&point);
        let harness = known.or_else(|| {
            let harness = resolve(&description.program, &point, &Draws::default(), &mut sink);
            (sink.count() == 0).then(|| Arc::new(harness))
        });
        Self { point, harness, sink }
    }
}

impl<'d> Findings<'d> {
    /// Nothing found yet.
    #[must_use]
    pub fn new(description: &'d Description) -> Self {
        Self { description, point: Vec::new(), standing: None, sink: Sink::default() }
    }

    /// Goes on to the next point, to which all that is told from here on belongs.
    pub fn begin(&mut self, resolved: Resolved) {
        self.point = resolved.point;
        self.standing = None;
        self.sink.begin_point(&self.point);
        self.sink.absorb(resolved.sink);
    }

    /// Tells all that one look at the parts has found at the point.
    pub fn tell<'f>(&mut self, found: impl IntoIterator<Item = Finding<'f>>) {
        // A part may have two mistakes at one property, which every point shows in the same order.
        let mut told: HashMap<(&str, &str, &str), usize> = HashMap::default();
        for finding in found {
            if self.sink.full() {
                return;
            }
            let before = told.entry((finding.code, finding.part, finding.property)).or_default();
            *before += 1;
            let subject = format!("{} {before}", finding.property);
            let mistake = self.mistake(&finding).about(subject);
            self.sink.push(mistake);
        }
    }

    /// Where a part is named, then where the file that it stands in is included, and so on outwards. Nothing for what is no part.
    pub fn places(&mut self, part: &str) -> Vec<Span> {
        let included_at = &self.description.program.file.included_at;
        std::iter::successors(self.standing().name(part), |span| included_at.get(&span.source).copied())
            .collect()
    }

    /// Every mistake, sorted by place.
    #[must_use]
    pub fn finish(self) -> Vec<Mistake> {
        self.sink.finish(self.description.axes(), &self.description.program.file).0
    }

    fn standing(&mut self) -> &Standing<'d> {
        let (program, point) = (&self.description.program, &self.point);
        self.standing.get_or_insert_with(|| Standing::new(program, point))
    }

    fn mistake(&mut self, finding: &Finding<'_>) -> Mistake {
        let Finding { code, part, property, message, help } = *finding;
        let standing = self.standing();
        let own = standing.name(part);
        let (setting, stated) = (standing.setting(part, property), standing.stated(part, property));
        let span = setting.or(stated).or(own).unwrap_or_default();
        let named = format!("`{part}`");
        let message =
            if message.contains(&named) { message.to_owned() } else { format!("{named}: {message}") };
        let mut mistake = Mistake::coded(code, span, message);
        if !help.is_empty() {
            mistake = mistake.help(help);
        }
        if setting.is_some()
            && let Some(at) = stated.or(own)
        {
            mistake = mistake.also(at, if stated.is_some() { "stated here first" } else { "of this part" });
        } else if stated.is_none() {
            mistake = mistake.label(format!("`{property}` is not stated"));
        }
        match standing.fitted(part) {
            Some((fit, instance)) => mistake.also(fit, format!("fitted here, as `{instance}`")),
            None => mistake,
        }
    }
}

//! Where a filter may go, and the file with further options written into it.

use super::Description;
use crate::include::Loader;
use crate::kinds::is_reserved;
use crate::names::Bearer;
use crate::read::{Read, read_with};
use crate::source::{Source, Span};

/// What a `place` says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The choice that it stands in.
    pub choice: String,
    /// Index of that choice among the axes.
    pub axis: usize,
    /// Node on the source's side.
    pub from: String,
    /// Node on the load's side.
    pub to: String,
    /// Node that parts across go to.
    pub back: String,
    /// The closing brace of the choice.
    close: Span,
}

impl Description {
    /// The places of the file, in its order.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        let axes = self.program.file.axes().enumerate();
        let placed = axes.filter_map(|(axis, node)| {
            let place = node.place.as_ref()?;
            Some(Place {
                choice: node.name.text.clone(),
                axis,
                from: place.from.text.clone(),
                to: place.to.text.clone(),
                back: place.back.as_ref().map_or("gnd", |back| &back.text).to_owned(),
                close: place.close?,
            })
        });
        placed.collect()
    }

    /// Whether a part or a node of an option of this place may bear the name: nothing outside the choice does.
    #[must_use]
    pub fn is_free(&self, name: &str, place: &Place) -> bool {
        let names = &self.program.names;
        let own = |axis: Option<usize>| axis == Some(place.axis);
        match names.bearer(name) {
            None => !is_reserved(name) && !matches!(name, "gnd" | "pi"),
            Some(Bearer::Part) => names.parts.get(name).is_some_and(|part| own(part.axis())),
            Some(Bearer::Node) => names.nodes.get(name).is_some_and(|node| node.sites().all(own)),
            Some(_) => false,
        }
    }
}

impl Place {
    /// Reads the file anew with `options` as further options of the choice, and `more` after its last statement.
    ///
    /// `sources` are those of [`Read::sources`] from when the file was read with the same settings and loader.
    #[must_use]
    pub fn filled(
        &self,
        sources: &[Source],
        settings: &[String],
        loader: &dyn Loader,
        options: &str,
        more: &str,
    ) -> Read {
        let texts = self.texts(sources, options, more);
        let overlaid = Overlaid { loader, texts: &texts };
        match texts.first() {
            Some(file) => read_with(file, settings, &overlaid),
            None => read_with(&Source { name: String::new(), text: String::new() }, settings, loader),
        }
    }

    /// The text in which the choice stands, with `options` written before its closing brace.
    #[must_use]
    pub fn text_with(&self, sources: &[Source], options: &str) -> Option<Source> {
        self.texts(sources, options, "").into_iter().nth(self.close.source)
    }

    fn texts(&self, sources: &[Source], options: &str, more: &str) -> Vec<Source> {
        let mut texts = sources.to_vec();
        if let Some(source) = texts.get_mut(self.close.source) {
            let at = self.close.start.min(source.text.len());
            let line = source.text[..at].rfind('\n').map_or(0, |end| end + 1);
            let alone = source.text[line..at].trim().is_empty();
            let (at, before) = if alone { (line, "") } else { (at, "\n") };
            source.text.insert_str(at, &format!("{before}{options}"));
        }
        if let Some(file) = texts.first_mut().filter(|_| !more.is_empty()) {
            file.text.push('\n');
            file.text.push_str(more);
        }
        texts
    }
}

/// A loader with some texts in place of those that it would load.
struct Overlaid<'a> {
    loader: &'a dyn Loader,
    texts: &'a [Source],
}

impl Loader for Overlaid<'_> {
    fn name(&self, path: &str, from: &str) -> String {
        self.loader.name(path, from)
    }

    fn identity(&self, name: &str) -> String {
        self.loader.identity(name)
    }

    fn load(&self, name: &str) -> Result<String, String> {
        match self.texts.iter().skip(1).find(|source| source.name == name) {
            Some(source) => Ok(source.text.clone()),
            None => self.loader.load(name),
        }
    }
}

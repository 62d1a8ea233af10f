//! Other files whose statements a file takes in: where their texts come from, and which have been taken in already.

use crate::source::{Source, Span};
use rustc_hash::{FxHashMap as HashMap, FxHashSet as HashSet};
use std::rc::Rc;

/// Where the texts of included files come from. The language itself opens no file.
///
/// A closure from a name to its text is a loader too, which knows names as they are written, without folders that lead back.
pub trait Loader {
    /// The name by which a file is told and loaded: `path` as written in the file named `from`. A relative path starts at the
    /// folder of that file.
    fn name(&self, path: &str, from: &str) -> String {
        match from.rsplit_once('/') {
            Some((folder, _)) if !path.starts_with('/') => format!("{folder}/{path}"),
            _ => path.to_owned(),
        }
    }

    /// What all names of one file have in common, by which a second way to it is known.
    fn identity(&self, name: &str) -> String {
        name.to_owned()
    }

    /// The text of the file.
    ///
    /// # Errors
    /// Why it can't be read, as the end of a sentence; the operating system's reason where there is one.
    fn load(&self, name: &str) -> Result<String, String>;
}

impl<F: Fn(&str) -> Result<String, String>> Loader for F {
    fn load(&self, name: &str) -> Result<String, String> {
        self(name)
    }
}

/// For a text that stands alone.
pub(crate) struct Alone;

impl Loader for Alone {
    fn load(&self, _: &str) -> Result<String, String> {
        Err("only this text is at hand, no other file".to_owned())
    }
}

/// Most bytes of a file and all that it includes: a harness is a page, and places are kept in 32 bits.
pub const MOST_TEXT: usize = 64 << 20;
/// Most levels of files that include each other.
pub(crate) const DEEPEST: usize = 50;

/// What has been included so far.
#[derive(Default)]
pub(crate) struct Includes {
    /// The index that the next text has among all texts.
    pub(crate) next: usize,
    /// Texts in the order in which they were taken in.
    pub(crate) texts: Vec<Rc<Source>>,
    /// For the index of each text the path in the statement that took it in.
    pub(crate) at: HashMap<usize, Span>,
    /// Bytes of all texts.
    pub(crate) bytes: usize,
    /// Files that are being read, each inside the one before: name and identity.
    pub(crate) open: Vec<(String, String)>,
    /// Identities of those that were read.
    done: HashSet<String>,
}

impl Includes {
    /// With the file that includes the others, before any of them.
    pub(crate) fn new(file: &Source, settings: usize, loader: &dyn Loader) -> Self {
        let open = vec![(file.name.clone(), loader.identity(&file.name))];
        Self { next: settings + 1, bytes: file.text.len(), open, ..Self::default() }
    }

    /// The names from the file with this identity down to it again, where it is being read.
    pub(crate) fn circle(&self, identity: &str) -> Option<Vec<&str>> {
        let from = self.open.iter().position(|(_, open)| open == identity)?;
        let down = &self.open[from..];
        Some(down.iter().chain(down.first()).map(|(name, _)| name.as_str()).collect())
    }

    pub(crate) fn is_done(&self, identity: &str) -> bool {
        self.done.contains(identity)
    }

    /// From here on the file counts as read.
    pub(crate) fn pass_over(&mut self, identity: String) {
        self.done.insert(identity);
    }

    /// Begins a text that the statement with a path at `at` takes in, and gives its index.
    pub(crate) fn begin(&mut self, source: Source, identity: String, at: Span) -> (Rc<Source>, usize) {
        let index = self.next;
        self.next += 1;
        self.bytes += source.text.len();
        self.at.insert(index, at);
        self.open.push((source.name.clone(), identity));
        let text = Rc::new(source);
        self.texts.push(Rc::clone(&text));
        (text, index)
    }

    /// Ends the text that was begun last.
    pub(crate) fn end(&mut self) {
        self.done.extend(self.open.pop().map(|(_, identity)| identity));
    }
}

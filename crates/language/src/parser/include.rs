//! Another file's statements, taken in where they are named.

use super::{Parsed, Parser, shown};
use crate::include::{DEEPEST, MOST_TEXT};
use crate::mistake::{Mistake, Told, chain};
use crate::source::Source;
use crate::syntax::Word;
use std::rc::Rc;

impl Parser<'_> {
    /// `include "path"`. A file's statements are taken in once, by whichever way it is reached first.
    pub(super) fn include(&mut self) -> Parsed<()> {
        self.bump();
        let path = self.quoted("the other file's path in quotes", "write `include \"parts.harness\"`")?;
        let (name, identity) = match self.includes.open.last() {
            Some((from, _)) => {
                let name = self.loader.name(&path.text, from);
                let identity = self.loader.identity(&name);
                (name, identity)
            }
            // Only this text is looked at.
            None => return Ok(()),
        };
        if self.includes.is_done(&identity) {
            return Ok(());
        }
        if let Some(circle) = self.includes.circle(&identity) {
            let message = format!("`{}` would include itself: {}", shown(&path.text), chain(&circle));
            let mistake = Mistake::new("include_in_itself", path.span, message)
                .label("a file can include others, never itself");
            return Err(self.misses(mistake));
        }
        if self.includes.open.len() > DEEPEST {
            let message = format!("files include each other more than {DEEPEST} levels deep");
            let mistake = Mistake::new("too_deep", path.span, message).label("one level too many");
            return Err(self.misses(mistake));
        }
        let text = match self.loader.load(&name) {
            Ok(text) => text,
            Err(reason) => {
                let told = self.tell_unreadable(&path, &name, &reason);
                // Another file that includes it has nothing new to tell.
                self.includes.pass_over(identity);
                return Err(told);
            }
        };
        if self.includes.bytes + text.len() > MOST_TEXT {
            let message = format!(
                "this file and all that it includes are larger than {} MiB together",
                MOST_TEXT >> 20
            );
            let mistake = Mistake::new("too_large", path.span, message)
                .label("too much with this one")
                .help("a harness is a page or a few: look whether the path is right");
            return Err(self.misses(mistake));
        }
        self.take_in(Source { name, text }, identity, &path);
        Ok(())
    }

    /// Reads the statements of another text as if they stood here.
    fn take_in(&mut self, source: Source, identity: String, path: &Word) {
        let mut includes = std::mem::take(&mut self.includes);
        let (source, index): (Rc<Source>, usize) = includes.begin(source, identity, path.span);
        let mut inner = Parser::new(&source.text, index, self.sink);
        inner.loader = self.loader;
        inner.includes = includes;
        inner.file = std::mem::take(&mut self.file);
        inner.whole_file();
        let (file, mut includes) = (inner.file, inner.includes);
        includes.end();
        self.file = file;
        self.includes = includes;
    }

    fn tell_unreadable(&mut self, path: &Word, name: &str, reason: &str) -> Told {
        let message = format!("`{}` can't be read: {reason}", shown(&path.text));
        let mistake = Mistake::new("unreadable_file", path.span, message)
            .label("expected a file that can be read")
            .help(format!("looked for `{name}`: a path starts at the folder of the file that it stands in"));
        self.misses(mistake)
    }

    /// Tells a mistake that leaves a file's statements out of sight: nothing can be said of what they may have named.
    pub(super) fn misses(&mut self, mistake: Mistake) -> Told {
        self.file.parts_missing = true;
        self.file.names_missing = true;
        self.sink.push(mistake)
    }
}

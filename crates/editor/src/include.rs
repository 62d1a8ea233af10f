//! Files that a text includes: as they are open in the editor, else as they are on the disk.

use crate::document::Document;
use language::outline::{Lexeme, Sort};
use language::{Loader, MOST_TEXT};
use lsp_types::Uri;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::str::FromStr;

/// The texts that are open, by their address.
pub(crate) struct Files<'a>(pub(crate) &'a BTreeMap<String, Document>);

impl Files<'_> {
    /// The open text of a file.
    fn open(&self, identity: &str) -> Option<&Document> {
        self.0.values().find(|document| self.identity(&document.source.name) == identity)
    }
}

impl Loader for Files<'_> {
    fn name(&self, path: &str, from: &str) -> String {
        let folder = Path::new(from).parent().unwrap_or(Path::new(""));
        folder.join(path).display().to_string()
    }

    fn identity(&self, name: &str) -> String {
        // One that is not there is told when it is loaded.
        fs::canonicalize(name).map_or_else(|_| name.to_owned(), |path| path.display().to_string())
    }

    fn load(&self, name: &str) -> Result<String, String> {
        let identity = self.identity(name);
        if let Some(document) = self.open(&identity) {
            return Ok(document.text().to_owned());
        }
        // A pipe would keep the editor waiting.
        if !Path::new(name).metadata().map_err(|error| error.to_string())?.is_file() {
            return Err("it is no file".to_owned());
        }
        let mut bytes = Vec::new();
        let file = File::open(name).map_err(|error| error.to_string())?;
        file.take(MOST_TEXT as u64 + 1).read_to_end(&mut bytes).map_err(|error| error.to_string())?;
        String::from_utf8(bytes).map_err(|_| "it is not UTF-8 text".to_owned())
    }
}

/// Files looked at for names at most.
const MOST_FILES: usize = 100;

/// Every text that a text includes, and those that they include, each once. One that can't be read is left out.
pub(crate) fn included(document: &Document, files: &Files<'_>) -> Vec<Document> {
    let mut known = vec![files.identity(&document.source.name)];
    let mut found: Vec<Document> = Vec::new();
    let mut next = 0;
    let mut waiting = paths(document);
    loop {
        for (from, path) in std::mem::take(&mut waiting) {
            let name = files.name(&path, &from);
            let identity = files.identity(&name);
            if found.len() >= MOST_FILES || known.contains(&identity) {
                continue;
            }
            let open = files.open(&identity);
            let read = open.map_or_else(|| read(&name, &identity, files), |open| Some(open.again()));
            found.extend(read);
            known.push(identity);
        }
        let Some(document) = found.get(next) else { return found };
        waiting = paths(document);
        next += 1;
    }
}

fn read(name: &str, identity: &str, files: &Files<'_>) -> Option<Document> {
    let uri = Uri::from_str(&address_of(identity)).ok()?;
    Some(Document::new(uri, 0, files.load(name).ok()?))
}

/// The paths in a text's `include` statements, each with the name of the text.
fn paths(document: &Document) -> Vec<(String, String)> {
    let includes = document.outline.statements.iter().filter(|each| document.keyword(each) == "include");
    let texts = includes.filter_map(|statement| document.lexemes(statement).get(1));
    let texts = texts.filter(|lexeme| lexeme.sort == Sort::Text);
    let path = |lexeme: &Lexeme| document.part(lexeme.span).trim_matches('"').to_owned();
    texts.map(|lexeme| (document.source.name.clone(), path(lexeme))).collect()
}

/// The path behind an address `file:///a%20b`; the address itself where it is none of a file.
pub(crate) fn path_of(address: &str) -> String {
    let Some(rest) = address.strip_prefix("file://") else { return address.to_owned() };
    // `file://host/path` and `file:///path`.
    let path = rest.find('/').map_or(rest, |at| &rest[at..]);
    let mut bytes = Vec::with_capacity(path.len());
    let mut left = path.as_bytes();
    while let [first, after @ ..] = left {
        let digits = after.get(..2).filter(|_| *first == b'%').and_then(|two| std::str::from_utf8(two).ok());
        match digits.and_then(|two| u8::from_str_radix(two, 16).ok()) {
            Some(byte) => {
                bytes.push(byte);
                left = &after[2..];
            }
            None => {
                bytes.push(*first);
                left = after;
            }
        }
    }
    let path = String::from_utf8_lossy(&bytes).into_owned();
    // `/C:/folder` is `C:/folder` where drives have letters.
    let has_drive = cfg!(windows) && path.as_bytes().get(2) == Some(&b':');
    if has_drive { path[1..].to_owned() } else { path }
}

/// The address of a file, which is absolute.
pub(crate) fn address_of(path: &str) -> String {
    let path = path.replace('\\', if cfg!(windows) { "/" } else { "\\" });
    let lead = if path.starts_with('/') { "file://" } else { "file:///" };
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-._~:".contains(&byte);
    let each = path
        .bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") });
    format!("{lead}{}", each.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Percent-encoding by RFC 3986, section 2.1.
    #[test]
    fn addresses_become_paths_and_back() {
        assert_eq!(path_of("file:///a%20b/%C3%BC.harness"), "/a b/\u{fc}.harness");
        assert_eq!(address_of("/a b/\u{fc}.harness"), "file:///a%20b/%C3%BC.harness");
        assert_eq!(path_of("file:///half%2"), "/half%2");
        assert_eq!(path_of("untitled:New"), "untitled:New");
    }
}

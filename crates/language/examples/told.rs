//! Tells the mistakes and remarks of a file.
use quietrail_language::{Source, read, render};
fn main() {
    let mut arguments = std::env::args().skip(1);
    let name = arguments.next().unwrap_or_default();
    let settings: Vec<String> = arguments.collect();
    let text = std::fs::read_to_string(&name).unwrap_or_default();
    let source = Source { name, text };
    let sources = Source::with_settings(&source, &settings);
    let told = match read(&source, &settings) {
        Ok(d) => d.remarks().to_vec(),
        Err(m) => m,
    };
    eprint!("{}", render(&told, &sources, false));
}

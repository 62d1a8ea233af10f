//! Any text is read, drawn and laid out without a crash; what is laid out stays as it is.

#![no_main]

use libfuzzer_sys::fuzz_target;
use quietrail_language::{Source, format, read, render};

fuzz_target!(|text: &str| {
    let source = Source { name: "fuzz.harness".to_owned(), text: text.to_owned() };
    let sources = [source.clone()];
    match read(&source, &[]) {
        Ok(description) => drop(render(description.remarks(), &sources, false)),
        Err(mistakes) => assert!(!render(&mistakes, &sources, false).is_empty()),
    }
    match format(&source) {
        Ok(once) => {
            let again = format(&Source { name: source.name, text: once.clone() });
            assert_eq!(again.as_ref(), Ok(&once));
        }
        Err(mistakes) => assert!(mistakes.iter().all(|mistake| mistake.code != "not_formatted"), "{text}"),
    }
});

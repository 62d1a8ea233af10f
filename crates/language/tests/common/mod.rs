//! What the tests share: reading a text that is right, and one that is wrong.

#![allow(dead_code)]

use quietrail_language::{Description, Mistake, Source, read};

pub(crate) fn source(text: &str) -> Source {
    Source { name: "test.harness".to_owned(), text: text.to_owned() }
}

pub(crate) fn right(text: &str) -> Description {
    right_with(text, &[])
}

pub(crate) fn right_with(text: &str, settings: &[&str]) -> Description {
    let settings: Vec<String> = settings.iter().map(|each| (*each).to_owned()).collect();
    let source = source(text);
    read(&source, &settings).unwrap_or_else(|mistakes| {
        let sources = Source::with_settings(&source, &settings);
        panic!("{}", quietrail_language::render(&mistakes, &sources, false))
    })
}

pub(crate) fn wrong(text: &str) -> Vec<Mistake> {
    read(&source(text), &[]).expect_err("the text has a mistake")
}

pub(crate) fn wrong_with(text: &str, settings: &[&str]) -> Vec<Mistake> {
    let settings: Vec<String> = settings.iter().map(|each| (*each).to_owned()).collect();
    read(&source(text), &settings).expect_err("the text or its settings have a mistake")
}

/// A circuit without mistakes for statements to stand in.
pub(crate) const CIRCUIT: &str = "\
battery pack gnd -> bus emf 12 V, resistance 40 mohm
wire link bus -> cam resistance 1 mohm
load eye cam -> gnd current 160 mA
testpoint rail = voltage(cam)
transient run span 1 ms, start steady
";

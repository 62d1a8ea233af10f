//! What tests share that begin with the text of a harness.
#![allow(dead_code, reason = "each test takes what it needs")]

use language::{Description, Source};
use study::result::{Amplitude, Run};
use study::{Options, compare, responses};

/// The description that a text gives.
pub(crate) fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The first point of a text.
pub(crate) fn run(text: &str) -> Run {
    let mut comparison = compare(&read(text), &Options::default()).expect("every point is asked for");
    comparison.runs.remove(0)
}

/// The readings of the first point, by name.
pub(crate) fn readings(text: &str) -> impl Fn(&str) -> f64 + use<> {
    let run = run(text);
    assert_eq!(run.error, None);
    move |name: &str| {
        let reading = run.readings.iter().find(|reading| reading.name == name);
        reading.and_then(|reading| reading.value).expect("a reading of that name with a value")
    }
}

/// The values of the only response at the given frequencies, which the text must ask for.
pub(crate) fn curve(text: &str) -> Vec<Amplitude> {
    let found = responses(&read(text), &Options::default()).expect("every point is asked for");
    let curve = found.curves[0][0].as_ref().expect("a curve");
    curve.values.iter().map(|value| value.expect("an answer")).collect()
}

/// Whether `found` is `expected` to a relative tolerance.
#[track_caller]
pub(crate) fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// sin(pi x)/(pi x).
pub(crate) fn sinc(x: f64) -> f64 {
    let angle = std::f64::consts::PI * x;
    if angle == 0.0 { 1.0 } else { angle.sin() / angle }
}

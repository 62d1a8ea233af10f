//! Mistakes that others find are told where the value that counts is written.

use crate::common;

use common::{CIRCUIT, right, right_with, source};
use quietrail_language::{Description, Finding, Findings, Mistake, Resolved, Source, read_with};

const OF_EYE: Finding<'_> =
    Finding { code: "impossible_value", part: "eye", property: "current", message: "no", help: "try" };

/// What is told of findings at the points of a description.
fn told(description: &Description, found: &[(&[usize], &[Finding<'_>])]) -> Vec<Mistake> {
    let mut findings = Findings::new(description);
    for (point, here) in found {
        let resolved = Resolved::new(description, point);
        assert!(resolved.harness.is_some());
        findings.begin(resolved);
        findings.tell(here.iter().copied());
    }
    findings.finish()
}

/// The text that a mistake underlines.
fn underlined<'t>(text: &'t str, mistake: &Mistake) -> &'t str {
    assert_eq!(mistake.span.source, 0);
    &text[mistake.span.start..mistake.span.end]
}

#[test]
fn the_place_is_the_property_the_setting_or_the_name() {
    let text = format!("{CIRCUIT}condition c {{ case a {{ }} case b {{ set eye.current = 1 A }} }}\n");
    let description = right(&text);
    let other = Finding { property: "below", ..OF_EYE };
    let all = told(&description, &[(&[0], &[OF_EYE, other]), (&[1], &[OF_EYE])]);
    let texts: Vec<&str> = all.iter().map(|mistake| underlined(&text, mistake)).collect();
    assert_eq!(texts, ["eye", "current 160 mA", "set eye.current = 1 A"]);
    assert_eq!(all[0].label, "`below` is not stated");
    let points: Vec<Option<&str>> = all.iter().map(|mistake| mistake.point.as_deref()).collect();
    assert_eq!(points, [Some("c = a"), Some("c = a"), Some("c = b")]);
    assert_eq!((all[1].message.as_str(), all[1].help.as_deref()), ("`eye`: no", Some("try")));
    // The setting leads to what it changes.
    assert_eq!(&text[all[2].others[0].0.start..all[2].others[0].0.end], "current 160 mA");
}

#[test]
fn what_every_point_shows_is_told_once_and_of_no_point() {
    let text = format!("{CIRCUIT}condition c {{ case a {{ }} case b {{ }} }}\n");
    let description = right(&text);
    // Two of one part at one property are two mistakes.
    let second = Finding { message: "nor that", ..OF_EYE };
    let here: &[Finding<'_>] = &[OF_EYE, second];
    let all = told(&description, &[(&[0], here), (&[1], here)]);
    let messages: Vec<&str> = all.iter().map(|mistake| mistake.message.as_str()).collect();
    assert_eq!(messages, ["`eye`: no", "`eye`: nor that"]);
    assert!(all.iter().all(|mistake| mistake.point.is_none()), "{all:#?}");
}

#[test]
fn the_command_line_and_a_sweep_have_places_too() {
    let description = right_with(CIRCUIT, &["eye.current=2 A"]);
    let all = told(&description, &[(&[], &[OF_EYE])]);
    assert_eq!((all[0].span.source, all[0].span.start), (1, 0));
    let text = format!("{CIRCUIT}sweep s over eye.current [1 A, 2 A]\n");
    let description = right(&text);
    let all = told(&description, &[(&[1], &[OF_EYE])]);
    assert!(underlined(&text, &all[0]).ends_with("2 A"), "{all:#?}");
}

#[test]
fn an_assembly_says_where_it_is_fitted_and_a_file_where_it_is_included() {
    let text = format!(
        "{CIRCUIT}assembly a(x) p {{ load inner p -> gnd current x }}\nfit a one bus  x 1 A\nfit a two bus  x 2 A\n"
    );
    let description = right(&text);
    let finding = Finding { part: "two.inner", ..OF_EYE };
    let all = told(&description, &[(&[], &[finding])]);
    assert_eq!(underlined(&text, &all[0]), "current x");
    let (at, what) = &all[0].others[0];
    assert_eq!((&text[at.start..at.end], what.as_str()), ("two", "fitted here, as `two`"));

    let main = source(&CIRCUIT.replace("load eye cam -> gnd current 160 mA\n", "include \"eye.harness\"\n"));
    let loader = |_: &str| Ok("load eye cam -> gnd  current 160 mA\n".to_owned());
    let read = read_with(&main, &[], &loader);
    let description = read.description.expect("no mistake");
    let all = told(&description, &[(&[], &[OF_EYE])]);
    let Source { text, .. } = &read.sources[all[0].span.source];
    assert_eq!(&text[all[0].span.start..all[0].span.end], "current 160 mA");
    assert_eq!(all[0].others[0].1, "included here");
    let mut findings = Findings::new(&description);
    findings.begin(Resolved::new(&description, &[]));
    let places = findings.places("eye");
    assert_eq!(places.iter().map(|span| span.source).collect::<Vec<_>>(), [1, 0]);
    assert!(findings.places("nobody").is_empty());
}

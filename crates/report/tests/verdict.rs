//! Verdicts against figures worked out by hand.

use crate::support;

use quietrail_report::options::{Outcome, picks};
use quietrail_report::verdict::{answer, facts::facts, sentences};
use study::result::{Comparison, Run};

fn second(comparison: &Comparison) -> String {
    sentences(comparison)[1].clone()
}

#[test]
fn forty_times_less_is_32_decibels() {
    // 20 log10(2 / 0.05) = 20 log10(40) = 20 (2 x 0.30103 + 1) = 32.0412
    let comparison = support::by_hand(2.0, 0.05, 0.93);
    let found = facts(&comparison, &picks(&comparison)[1]);
    assert!((found.level.as_ref().unwrap().reduction().unwrap() - 32.0412).abs() < 1e-4);
    assert!((found.cost.unwrap() - 0.06).abs() < 1e-12);
    assert_eq!(
        second(&comparison),
        "coil: noise at rail falls from 2 V to 50 mV, 32.0 dB less; costs 60 mV; \
         choke keeps 93 % of its inductance at 170 mA; meets every requirement."
    );
}

#[test]
fn twice_as_much_is_6_decibels_more() {
    // 20 log10(2) = 6.0206
    let told = second(&support::by_hand(0.5, 1.0, 0.93));
    assert!(told.contains("rises from 500 mV to 1 V, 6.0 dB more;"), "{told}");
    assert!(told.contains("fails noise < 60 mV by 940 mV."), "{told}");
}

#[test]
fn a_coil_is_told_by_what_is_left_of_it() {
    let told = |left: f64| second(&support::by_hand(2.0, 0.05, left));
    assert!(told(0.06).contains("choke is saturated, 6.0 % of its inductance left at 170 mA"));
    assert!(
        told(0.55).contains("choke is past its saturation current, 55 % of its inductance left at 170 mA")
    );
    assert!(told(0.7).contains("choke keeps 70 % of its inductance"));
}

/// The run with the greatest noise among some.
fn noisiest(runs: &[Run]) -> &Run {
    runs.iter().max_by(|a, b| noise(a).total_cmp(&noise(b))).unwrap()
}

fn noise(run: &Run) -> f64 {
    run.readings[0].value.unwrap()
}

#[test]
fn worst_is_compared_with_worst() {
    let comparison = support::crawler();
    let before = noisiest(&comparison.runs[..6]);
    for (at, pick) in picks(&comparison).iter().enumerate().skip(1) {
        let here = noisiest(&comparison.runs[6 * at..6 * at + 6]);
        let level = facts(&comparison, pick).level.unwrap();
        assert_eq!(level.here.value, noise(here), "{}", pick.label);
        assert_eq!(level.before.as_ref().unwrap().value, noise(before));
        let expected = 20.0 * (noise(before) / noise(here)).log10();
        assert!((level.reduction().unwrap() - expected).abs() < 1e-9);
    }
    // `none` is noisiest at fresh, full; most of what passes the damped filter is left at soft, full.
    let told = sentences(&comparison)[5].clone();
    assert!(told.starts_with("coil_cap_damped: worst-case noise at rail falls from "), "{told}");
    assert!(told.contains(" (fresh, full) to ") && told.contains(" (soft, full), "), "{told}");
    assert!(told.contains("costs up to "), "{told}");
}

#[test]
fn where_an_option_makes_it_worse_is_told_with_its_condition() {
    let mut comparison = support::crawler();
    let set = |run: &mut Run, noise: f64| {
        let seen = run.testpoints[0].as_mut().unwrap();
        (seen.minimum, seen.maximum) = (seen.mean - noise / 2.0, seen.mean + noise / 2.0);
    };
    // `none`: 1 V everywhere but 100 mV at soft, full and 50 mV at soft, idle; `coil`: 200, 110, 56 and 10 mV.
    for at in 0..6 {
        set(&mut comparison.runs[at], [1.0, 1.0, 1.0, 0.05, 1.0, 0.1][at]);
        set(&mut comparison.runs[12 + at], [0.01, 0.01, 0.01, 0.056, 0.01, 0.2][at]);
    }
    let told = sentences(&comparison)[2].clone();
    // 20 log10(2) = 6.0 dB; 56 / 50 is 0.98 dB and not told.
    assert!(told.contains("; but at soft, full it rises from 100 mV to 200 mV, 6.0 dB more; "), "{told}");
    set(&mut comparison.runs[15], 0.057);
    // 57 / 50 is 1.14 dB.
    let told = sentences(&comparison)[2].clone();
    assert!(told.contains("6.0 dB more (also worse at soft, idle); "), "{told}");
    assert!(!sentences(&comparison)[0].contains("but at"), "the baseline is never worse than itself");
}

#[test]
fn the_quietest_of_those_that_meet_everything_is_named() {
    let comparison = support::by_hand(0.05, 0.02, 0.93);
    assert_eq!(
        answer(&comparison),
        "Both options meet every requirement. coil leaves the least noise at rail: 20 mV."
    );
    let alike = support::by_hand(0.05, 0.05, 0.93);
    assert_eq!(answer(&alike), "Both options meet every requirement.");
}

#[test]
fn without_a_baseline_nothing_is_compared() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    comparison.runs.remove(0);
    let told = &sentences(&comparison)[0];
    assert!(told.starts_with("coil: noise at rail is 50 mV; choke keeps"), "{told}");
}

#[test]
fn a_failed_run_leaves_an_option_unjudged() {
    let comparison = support::crawler_with_gaps();
    let coil = &picks(&comparison)[2];
    assert_eq!(coil.outcome(), Outcome::Fails, "another of its runs misses a requirement");
    let told = sentences(&comparison)[2].clone();
    assert!(told.contains("no result at 1 of 6 points"), "{told}");
}

#[test]
fn without_requirements_every_option_holds() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    for run in &mut comparison.runs {
        run.requirements.clear();
    }
    assert!(picks(&comparison).iter().all(|pick| pick.outcome() == Outcome::Meets));
    assert_eq!(
        answer(&comparison),
        "Nothing is required, so every option is as good as it reads below. coil leaves the least noise at rail: 50 mV."
    );
    assert!(second(&comparison).ends_with("at 170 mA."), "{}", second(&comparison));
}

#[test]
fn a_requirement_on_an_absent_part_is_neither_met_nor_missed() {
    let mut comparison = support::by_hand(0.05, 0.05, 0.93);
    let met = comparison.runs[0].requirements[0].clone();
    let baseline = &mut comparison.runs[0].requirements[0];
    (baseline.value, baseline.met, baseline.applies) = (None, None, false);
    // With nothing that applies there is nothing to hold.
    assert_eq!(picks(&comparison)[0].outcome(), Outcome::Unknown);
    assert!(sentences(&comparison)[0].contains("has nothing that a requirement speaks of"));
    comparison.runs[0].requirements.push(met);
    assert_eq!(picks(&comparison)[0].outcome(), Outcome::Meets);
    comparison.runs[0].requirements[0].applies = true;
    assert_eq!(picks(&comparison)[0].outcome(), Outcome::Unknown);
}

#[test]
fn a_file_without_axes_has_one_pick() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    comparison.axes.clear();
    comparison.runs.remove(0);
    comparison.runs[0].at.clear();
    assert_eq!(answer(&comparison), "The harness as drawn meets every requirement.");
    assert!(sentences(&comparison)[0].starts_with("as drawn: noise at rail is 50 mV"));
}

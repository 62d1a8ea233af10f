//! Verdicts against figures worked out by hand.

mod support;

use quietrail_report::options::{Outcome, picks};
use quietrail_report::verdict::{answer, facts::facts, sentences};
use study::result::Comparison;

fn second(comparison: &Comparison) -> String {
    sentences(comparison)[1].clone()
}

#[test]
fn forty_times_less_is_32_decibels() {
    // 20 log10(2 / 0.05) = 20 log10(40) = 20 (2 x 0.30103 + 1) = 32.0412
    let comparison = support::by_hand(2.0, 0.05, 0.93);
    let found = facts(&comparison, &picks(&comparison)[1]);
    assert!((found.noise.as_ref().unwrap().reduction().unwrap() - 32.0412).abs() < 1e-4);
    assert!((found.cost.unwrap() - 0.06).abs() < 1e-12);
    assert_eq!(
        second(&comparison),
        "coil: noise at rail falls from 2 V to 50 mV peak to peak (32.0 dB less), costs 60 mV, \
         choke keeps 93 % of its inductance at 170 mA; every requirement is met."
    );
}

#[test]
fn twice_as_much_is_6_decibels_more() {
    // 20 log10(2) = 6.0206
    let told = second(&support::by_hand(0.5, 1.0, 0.93));
    assert!(told.contains("rises from 500 mV to 1 V peak to peak (6.0 dB more)"), "{told}");
    assert!(told.contains("fails noise < 60 mV: 1 V, 940 mV over"), "{told}");
}

#[test]
fn a_coil_is_told_by_what_is_left_of_it() {
    let told = |left: f64| second(&support::by_hand(2.0, 0.05, left));
    assert!(told(0.06).contains("choke is saturated: 6.0 % of its inductance left at 170 mA"));
    assert!(
        told(0.55).contains("choke is past its saturation current: 55 % of its inductance left at 170 mA")
    );
    assert!(told(0.7).contains("choke keeps 70 % of its inductance"));
}

#[test]
fn the_worst_condition_is_where_most_noise_is_left() {
    let comparison = support::crawler();
    for pick in picks(&comparison) {
        let noise = facts(&comparison, &pick).noise.unwrap();
        let spans = pick.runs.iter().map(|run| run.readings[0].value.unwrap());
        assert_eq!(noise.here, spans.fold(0.0, f64::max), "{}", pick.label);
    }
}

#[test]
fn the_baseline_is_met_under_the_same_conditions() {
    let comparison = support::crawler();
    let damped = &picks(&comparison)[5];
    let noise = facts(&comparison, damped).noise.unwrap();
    assert_eq!(noise.condition, "soft, full");
    // The sixth run is `none` at soft, full.
    assert_eq!(noise.before, comparison.runs[5].readings[0].value);
}

#[test]
fn without_a_baseline_nothing_is_compared() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    comparison.runs.remove(0);
    let told = &sentences(&comparison)[0];
    assert!(told.starts_with("coil: noise at rail is 50 mV peak to peak, choke keeps"), "{told}");
}

#[test]
fn a_failed_run_leaves_an_option_unjudged_and_says_why() {
    let comparison = support::crawler_with_gaps();
    let coil = &picks(&comparison)[2];
    assert_eq!(coil.outcome(), Outcome::Fails, "another of its runs misses a requirement");
    let told = sentences(&comparison)[2].clone();
    assert!(told.contains("no result at 1 of 6 points (No steady state was found"), "{told}");
}

#[test]
fn without_requirements_every_option_holds() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    for run in &mut comparison.runs {
        run.requirements.clear();
    }
    assert!(picks(&comparison).iter().all(|pick| pick.outcome() == Outcome::Meets));
    assert_eq!(answer(&comparison), "Nothing is required, so every option is as good as it reads below.");
    assert!(second(&comparison).ends_with("; nothing is required."), "{}", second(&comparison));
}

#[test]
fn a_requirement_on_an_absent_part_is_neither_met_nor_missed() {
    let mut comparison = support::by_hand(0.05, 0.05, 0.93);
    let baseline = &mut comparison.runs[0].requirements[0];
    (baseline.value, baseline.met, baseline.applies) = (None, None, false);
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

#[test]
fn where_the_baseline_was_worst_is_told_when_most_is_left_elsewhere() {
    let comparison = support::crawler();
    // `none` is noisiest at fresh, full; most of what passes the damped filter is left at soft, full.
    let told = sentences(&comparison)[5].clone();
    assert!(told.contains("worst case soft, full"), "{told}");
    assert!(told.contains("where it was worst before (fresh, full) it falls from"), "{told}");
    assert!(!sentences(&comparison)[0].contains("worst before"));
}

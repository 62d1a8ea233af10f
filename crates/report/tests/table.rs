//! The table as a builder meets it on a terminal of 80 columns.

use crate::support;

use network::lowered::Warning;
use quietrail_report::table::{Style, WIDTH, comparison};
use quietrail_report::{table, verdict};
use study::result::{Road, TransientWork, Work};

#[test]
fn no_line_is_wider_than_the_page() {
    let mut long = support::crawler();
    long.axes[0].points[4] = "coil_with_a_rather_long_name_and_two_capacitors".into();
    for run in &mut long.runs {
        let text = "minimum(rail) - 0.5 * peak_to_peak(rail) - mean(another_testpoint) > 9 V".to_owned();
        run.requirements[1].text = text;
    }
    for sample in [support::crawler(), support::crawler_with_gaps(), long, support::by_hand(2.0, 0.02, 0.5)] {
        let text = comparison(&sample, Style::default());
        for line in text.lines() {
            assert!(line.chars().count() <= WIDTH, "{} characters: {line}", line.chars().count());
        }
    }
}

#[test]
fn the_answer_comes_first() {
    let text = comparison(&support::crawler(), Style::default());
    let answer = text.lines().nth(1).unwrap();
    assert_eq!(answer, "coil_cap_damped meets every requirement under all 6 conditions (1 of 6 options).");
}

#[test]
fn every_point_has_its_row_with_every_reading() {
    let sample = support::crawler();
    let text = comparison(&sample, Style::default());
    let detail = text.split("Every point").nth(1).unwrap();
    for reading in &sample.runs[0].readings {
        assert!(detail.contains(&reading.name), "{}", reading.name);
    }
    let rows = |text: &str| detail.lines().filter(|line| line.trim_start().starts_with(text)).count();
    let tables = detail.lines().filter(|line| line.starts_with("──")).count();
    // Twice in each table and option: under fresh and under soft.
    assert_eq!(rows("soft, cruise") + rows("fresh, cruise"), 2 * 6 * tables);
}

#[test]
fn an_unlimited_value_is_shown_only_where_it_differs_by_more_than_a_tenth() {
    let mut sample = support::by_hand(2.0, 0.05, 0.93);
    sample.runs[0].readings[0].unlimited = Some(2.19);
    assert!(!comparison(&sample, Style::default()).contains("2.19 V"));
    sample.runs[0].readings[0].unlimited = Some(2.21);
    assert!(comparison(&sample, Style::default()).contains("*2.21 V"));
}

#[test]
fn missing_values_and_failures_are_told() {
    let text = comparison(&support::crawler_with_gaps(), Style::default());
    assert!(text.contains("n/a"));
    assert!(text.contains("No steady state was found within 200 periods"));
    assert!(text.contains("[coil (fresh, cruise)]"));
    assert!(text.contains("? not judged"));
}

#[test]
fn one_warning_of_several_points_is_told_once_with_the_points() {
    let text = comparison(&support::crawler(), Style::default());
    assert_eq!(text.matches("bulk carries").count(), 1);
    let words: Vec<&str> = text.split_whitespace().collect();
    let place = "bulk carries 9 A of ripple, over its rating: its life is short. \
                 [worst at every option at soft, full; also at every option at fresh, full]";
    assert!(words.join(" ").contains(place), "{text}");
    assert!(text.contains("[coil (soft, full)]"));
}

#[test]
fn colour_adds_escapes_and_takes_no_words_away() {
    let plain = comparison(&support::crawler(), Style::default());
    let coloured = comparison(&support::crawler(), Style { colour: true, ..Style::default() });
    assert!(!plain.contains('\u{1b}'));
    assert!(coloured.contains('\u{1b}'));
    let stripped = ["\u{1b}[32m", "\u{1b}[1;31m", "\u{1b}[33m", "\u{1b}[0m"]
        .iter()
        .fold(coloured, |text, escape| text.replace(escape, ""));
    assert_eq!(stripped, plain);
}

#[test]
fn a_missing_value_keeps_an_option_from_passing() {
    let mut sample = support::by_hand(2.0, 0.05, 0.93);
    sample.runs[1].requirements[0].value = None;
    sample.runs[1].requirements[0].met = None;
    let answer = verdict::answer(&sample);
    assert!(answer.starts_with("No option meets every requirement"), "{answer}");
    assert!(answer.ends_with("Not fully judged: coil."), "{answer}");
}

#[test]
fn what_is_only_rounding_reads_as_nothing() {
    let mut sample = support::by_hand(2.0, 0.05, 0.93);
    sample.runs[1].readings[0].value = Some(3.55e-15);
    sample.runs[1].requirements[0].value = Some(3.55e-15);
    sample.runs[1].readings[0].unlimited = Some(7.11e-15);
    let text = comparison(&sample, Style::default());
    let row = text.lines().rfind(|line| line.starts_with(" coil")).unwrap();
    assert!(row.contains(" 0 V "), "{row}");
    assert!(!text.contains("fV"), "{text}");
}

#[test]
fn warnings_that_differ_in_figures_alone_stand_together() {
    let mut sample = support::crawler();
    for (at, run) in sample.runs.iter_mut().enumerate() {
        run.warnings.clear();
        if run.at[0] == 2 {
            let text = format!(
                "choke: {}.5 % left ({} uH) at {} mA; use a larger core",
                50 + at,
                170 + at,
                110 + at
            );
            run.warnings.push(Warning {
                code: "coil_saturated",
                about: "choke".into(),
                weight: if run.at == [2, 1, 0] { 0.9 } else { 0.5 },
                text,
            });
        }
    }
    let text = comparison(&sample, Style::default());
    assert_eq!(text.matches("use a larger core").count(), 1, "{text}");
    let told: Vec<&str> = text.split_whitespace().collect();
    // The sixteenth run is `coil` at soft, idle.
    assert!(text.contains("choke: 65.5 % left"), "{text}");
    let place = "[worst at coil (soft, idle); also at coil (fresh, idle; fresh, cruise; fresh, full; soft, cruise; soft, full)]";
    assert!(told.join(" ").contains(place), "{text}");
}

/// Eight options under six conditions with five readings.
fn large(long: bool) -> study::result::Comparison {
    let mut sample = support::crawler();
    let more: Vec<_> = (6..8)
        .flat_map(|option| {
            sample.runs[..6].iter().map(move |run| {
                let mut run = run.clone();
                run.at[0] = option;
                run
            })
        })
        .collect();
    sample.runs.extend(more);
    sample.axes[0].points.extend(["seventh".to_owned(), "eighth".to_owned()]);
    for run in &mut sample.runs {
        run.readings.truncate(5);
        run.readings[0].unlimited = None;
    }
    if long {
        for (at, option) in sample.axes[0].points.iter_mut().enumerate() {
            *option = format!("an_option_of_thirty_letters_{at}_");
        }
        for (axis, cases) in [(1, 2), (2, 3)] {
            for case in 0..cases {
                sample.axes[axis].points[case] = format!("a_case_with_a_long_name_{case}");
            }
        }
        for run in &mut sample.runs {
            run.readings.iter_mut().for_each(|one| one.name = format!("{}_at_the_far_end_of_it", one.name));
        }
    }
    sample
}

#[test]
fn a_large_comparison_stays_readable() {
    let text = comparison(&large(false), Style::default());
    let detail = text.split("Every point").nth(1).unwrap();
    assert_eq!(
        detail.lines().filter(|line| line.starts_with("──")).count(),
        1,
        "one table holds it:\n{detail}"
    );
    let text = comparison(&large(true), Style::default());
    let detail = text.split("Every point").nth(1).unwrap();
    assert!(detail.lines().filter(|line| line.starts_with("──")).count() <= 3, "{detail}");
    for line in text.lines() {
        assert!(line.chars().count() <= WIDTH, "{} characters: {line}", line.chars().count());
    }
}

#[test]
fn without_readings_the_test_points_are_shown() {
    let mut sample = support::by_hand(2.0, 0.05, 0.93);
    for run in &mut sample.runs {
        run.readings.clear();
        run.requirements.clear();
    }
    let text = comparison(&sample, Style::default());
    assert!(text.contains("peak to peak\n") && text.contains("50 mV\n"), "{text}");
    for run in &mut sample.runs {
        run.testpoints.clear();
    }
    sample.testpoints.clear();
    assert!(!comparison(&sample, Style::default()).contains("Every point"));
}

#[test]
fn what_it_took_fits_the_page_and_adds_up() {
    let mut comparison = support::crawler();
    for (index, run) in comparison.runs.iter_mut().enumerate() {
        let work = Work { steps: 1_000_000 + index, solves: 3, ..Work::default() };
        let transient = (index % 2 == 0).then(|| "ripple".to_owned());
        run.work = vec![TransientWork { transient, road: Road::Semilinear, settled: 9.0, work }];
    }
    let text = table::work(&comparison, Style::default()).unwrap();
    assert!(text.lines().all(|line| line.chars().count() <= table::WIDTH), "{text}");
    let runs = comparison.runs.len();
    let steps = 1_000_000 * runs + runs * (runs - 1) / 2;
    // Where the columns do not fit beside each other they come in two tables, each with its last row.
    let all: Vec<&str> = text.lines().filter(|line| line.trim().starts_with("all")).collect();
    let told = |count: usize| all.iter().any(|line| line.contains(&count.to_string()));
    assert!(told(steps) && told(3 * runs), "{text}");
    comparison.runs.iter_mut().for_each(|run| run.work.clear());
    assert_eq!(table::work(&comparison, Style::default()), None);
}

#[test]
fn what_is_assumed_of_many_parts_is_told_once() {
    let mut sentences: Vec<String> =
        (0..100).map(|part| format!("c{part}: no `rated` voltage given, so it is not checked")).collect();
    sentences.insert(1, "eye: input capacitance 10 uF with 0.2 ohm".to_owned());
    let text = table::section(table::ASSUMED, &sentences, Style::default()).expect("a section");
    let lines: Vec<&str> = text.lines().skip(1).collect();
    assert_eq!(
        lines,
        [
            "  - c0, c1, c2 and 97 more: no `rated` voltage given, so it is not checked",
            "  - eye: input capacitance 10 uF with 0.2 ohm"
        ]
    );
}

/// Readings that take two tables in 80 columns take one in 200; the words stay as narrow as they can be read.
#[test]
fn a_wide_terminal_is_used() {
    let (sample, wide) = (support::crawler(), Style { width: 200, ..Style::default() });
    let tables = |style: Style| {
        let text = comparison(&sample, style);
        let (_, detail) = text.split_once("Every point\n").expect("the detail");
        detail.split("\n\n").next().expect("a table").lines().next().expect("a heading").to_owned()
    };
    let (narrow, broad) = (tables(Style::default()), tables(wide));
    assert!(
        broad.contains("requirements") && broad.chars().count() > narrow.chars().count(),
        "{narrow}\n{broad}"
    );
    for line in
        comparison(&sample, wide).lines().filter(|line| line.starts_with("- ") || line.starts_with("  - "))
    {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

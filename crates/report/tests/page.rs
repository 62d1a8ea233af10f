//! The page as text: everything escaped, nothing fetched, curves that keep their extremes. How it behaves in a browser is tested
//! in `browser/`.

use crate::support::crawler;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use language::{Description, Source};
use quietrail_report::page::{Subject, page};
use serde_json::Value;
use study::result::{Comparison, Responses};

const TEXT: &str = include_str!("../../../netlists/crawler.harness");

fn description() -> Description {
    let source = Source { name: "crawler.harness".to_owned(), text: TEXT.to_owned() };
    language::read(&source, &[]).expect("the demo is in order")
}

fn drawn(comparison: &Comparison, source: &Source) -> String {
    drawn_with(comparison, None, source)
}

fn drawn_with(comparison: &Comparison, responses: Option<&Responses>, source: &Source) -> String {
    let description = description();
    page(&Subject {
        comparison,
        responses,
        description: &description,
        sources: std::slice::from_ref(source),
        asked: &["--set \"pack.charge=<30 %>\"".to_owned()],
        remarks: &[],
        version: "0.0.0",
        cameras: None,
        influences: None,
        winding: None,
        live: None,
    })
}

fn plain() -> Source {
    Source { name: "crawler.harness".to_owned(), text: TEXT.to_owned() }
}

/// The data of the charts, as the page's own script reads it.
fn data(page: &str) -> Value {
    let (_, rest) = page.split_once("<script type=\"application/json\" id=\"curves\">").expect("data");
    let (text, _) = rest.split_once("</script>").expect("an end of the data");
    serde_json::from_str(text).expect("the data is JSON")
}

#[test]
fn what_a_file_says_never_becomes_markup() {
    let nasty = "</script><script>alert(1)</script><img src=x onerror=alert(1)>&\"'";
    let mut comparison = crawler();
    comparison.harness = nasty.to_owned();
    comparison.testpoints[0].signal = nasty.to_owned();
    comparison.assumptions = vec![nasty.to_owned()];
    comparison.cautions = vec![nasty.to_owned()];
    comparison.axes[0].points[1] = nasty.to_owned();

    comparison.runs[3].error = Some(nasty.to_owned());
    for run in &mut comparison.runs {
        run.requirements[0].text = nasty.to_owned();
        run.requirements[0].why = Some(nasty.to_owned());
        run.warnings.iter_mut().for_each(|warning| warning.text = nasty.to_owned());
    }
    let source = Source { name: nasty.to_owned(), text: nasty.to_owned() };
    let page = drawn(&comparison, &source);
    assert!(!page.contains("<script>alert") && !page.contains("<img src=x"), "markup of the file's own");
    assert!(page.contains("&lt;script&gt;alert(1)"), "the words are still there");
    // Two scripts and the data; an end of one for each.
    assert_eq!(page.matches("</script>").count(), page.matches("<script").count());
    assert_eq!(data(&page).as_array().map(Vec::len), Some(2), "the data is whole");
}

/// Besides names of namespaces, and the library's own address in its first comment.
#[test]
fn nothing_is_fetched() {
    let page = drawn(&crawler(), &plain());
    let known =
        ["http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink", "https://github.com/leeoniya/uPlot"];
    for at in page
        .match_indices("http")
        .map(|(at, _)| at)
        .filter(|at| page[*at..].starts_with("http://") || page[*at..].starts_with("https://"))
    {
        assert!(known.iter().any(|one| page[at..].starts_with(one)), "{}", &page[at..at + 60]);
    }
    for fetching in [" src=\"", "<link", "@import", "url(http", "<iframe"] {
        assert!(!page.contains(fetching), "{fetching}");
    }
    assert!(page.contains("default-src 'none'"));
    assert!(page.contains("Copyright (c) 2022 Leon Sorokin"), "the library's licence goes with it");
}

/// The greatest and least value of a packed curve are those of the run, to 16 bits of the swing, the thinning of runs (1e-4 of it)
/// and that of the page (0.07 of 4000).
#[test]
fn packed_curves_keep_their_extremes() {
    let comparison = crawler();
    let data = data(&drawn(&comparison, &plain()));
    for (run, at) in comparison.runs.iter().zip(0..) {
        let (option, condition) = (at / 6, at % 6);
        let seen = run.testpoints[0].as_ref().expect("the rail is seen everywhere");
        let packed = &data[0]["curves"][condition][option]["overview"];
        let range = |axis: &str, end: usize| packed[axis][end].as_f64().expect("a number");
        let bytes = STANDARD.decode(packed["points"].as_str().expect("text")).expect("base64");
        let words: Vec<u16> = bytes.chunks(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
        let values: Vec<f64> = words
            .chunks(2)
            .map(|pair| {
                range("value", 0) + (range("value", 1) - range("value", 0)) * f64::from(pair[1]) / 65535.0
            })
            .collect();
        let (least, greatest) = (
            values.iter().copied().fold(f64::INFINITY, f64::min),
            values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        );
        let (swing, drawn) = (seen.maximum - seen.minimum, greatest - least);
        let of_overview = seen.overview.points.iter().map(|point| point.1);
        let known =
            of_overview.clone().fold(f64::NEG_INFINITY, f64::max) - of_overview.fold(f64::INFINITY, f64::min);
        assert!((drawn - known).abs() <= 3e-4 * swing, "{at}: {drawn} of {known}");
        assert!(words.chunks(2).zip(words.chunks(2).skip(1)).all(|(a, b)| a[0] <= b[0]), "times rise");
    }
}

#[test]
fn every_option_has_its_row_and_every_section_its_place_in_the_contents() {
    let page = drawn(&crawler(), &plain());
    for option in ["none", "resistor_cap", "coil", "cap", "coil_cap", "coil_cap_damped"] {
        assert!(page.contains(&format!("<th scope=\"row\">{option}")), "{option}");
    }
    let anchors: Vec<&str> =
        page.split("<section id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(anchors.len() >= 9, "{anchors:?}");
    assert!(anchors.contains(&"spectra") && anchors.contains(&"coils"), "{anchors:?}");
    // Several pictures in one page: every id stands once.
    let mut ids: Vec<&str> = page.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    ids.sort_unstable();
    let all = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), all, "{ids:?}");
    for anchor in anchors {
        assert!(page.contains(&format!("<a href=\"#{anchor}\">")), "{anchor}");
    }
    assert!(page.contains("# A pipe-inspection crawler"), "the text of the file");
}

/// The chart over frequency has what the still picture has: the drives' rhythms, and a dot for each thing that rings where it rings.
#[test]
fn the_chart_over_frequency_has_rhythms_and_tops() {
    let responses = study::responses(&description(), &study::Options::default()).expect("in order");
    let charts = data(&drawn_with(&crawler(), Some(&responses), &plain()));
    let chart = charts.as_array().and_then(|all| all.iter().find(|one| one["kind"] == "frequency"));
    let chart = chart.expect("a chart over frequency");
    let bands = chart["bands"].as_array().expect("a list");
    let told: Vec<&str> = bands.iter().filter_map(|band| band["text"].as_str()).collect();
    assert_eq!(told, ["tracks commutation up to 480 Hz", "tracks PWM 20 kHz"]);
    assert_eq!((bands[0]["low"].as_f64(), bands[0]["high"].as_f64()), (Some(0.0), Some(480.0)));
    let names: Vec<&str> =
        chart["series"].as_array().expect("a list").iter().filter_map(|one| one["name"].as_str()).collect();
    let tops = |condition: usize, option: &str| {
        let at = names.iter().position(|name| *name == option).expect("an option");
        chart["tops"][condition][at].as_array().expect("a list").clone()
    };
    for condition in 0..chart["curves"].as_array().map_or(0, Vec::len) {
        assert!(tops(condition, "resistor_cap").is_empty(), "nothing rings there");
        let coil_cap = tops(condition, "coil_cap");
        // 400 uH or so left of the coil and 330 uF: near 480 Hz, where it is the greatest of the curve.
        let frequency = coil_cap[0][0].as_f64().expect("a frequency");
        assert!((400.0..600.0).contains(&frequency), "{frequency}");
        let at = names.iter().position(|name| *name == "coil_cap").expect("an option");
        let curve = chart["curves"][condition][at].as_array().expect("a list");
        let greatest = curve.iter().filter_map(Value::as_f64).fold(0.0, f64::max);
        let top = coil_cap[0][1].as_f64().expect("a magnitude");
        // Between two of ten points a decade or more, the line misses a little of the top.
        assert!((greatest..1.3 * greatest).contains(&top), "{top}, the curve has {greatest}");
    }
}

//! What every picture owes its readers, whatever kind of chart it is: well formed, named, whole, small, no word on another, and a
//! style and ids that leave the page around it alone. Then each kind: its axes, its series, its labels.

use crate::support::looked_at::{Box, boxes, number, of_class};
use crate::support::{self};
use crate::svg::samples;
use language::{Description, Source};
use quantity::Dimension;
use quietrail_report::svg::{self, Pareto, ParetoPoint, Picture};
use quietrail_report::sweep::{self, Summary};
use roxmltree::Document;
use std::sync::LazyLock;
use study::Options;
use study::sweep::{Drawing, Law, Plan};

const HARNESS: &str = "\
harness \"Bench\"
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive   motor bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rpm 6000 rpm, pole_pairs 7, commutation_depth 10 %
load    eye   cam -> gnd  current 100 mA
choice filter {
    option none   { resistor link bus -> cam  resistance 1 mohm }
    option coil   {
        coil      choke bus -> cam  inductance 330 uH +- 30 %, dcr 0.05 ohm, saturation_current 400 mA
        capacitor store cam -> gnd  capacitance 330 uF +- 20 %, esr 50 mohm +- 40 %
    }
}
condition pack_state { case fresh { } case soft { set pack.resistance = 200 mohm } }
sweep throttle over motor.duty 10 % .. 90 % step 10 %
testpoint rail = voltage(cam)
reading noise = peak_to_peak(rail)
require noise < 30 mV
require minimum(rail) > 11.8 V
transient ripple span 1 ms, start operating
frequency 10 Hz .. 100 kHz, points 10
response path = transfer(voltage(cam), motor)
response gain = path / transfer(voltage(bus), motor)
";

fn description() -> Description {
    let source = Source { name: "bench.harness".into(), text: HARNESS.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The throttle and the pack at which the noise is worst, of each option, found in the rows themselves.
fn worst_places() -> Vec<[usize; 2]> {
    let (description, options) = (description(), Options::default());
    let plan = Plan::new(&description, &options, None).expect("in order");
    let rows = study::sweep::rows(&description, &plan, &options, 0..plan.total());
    let axis = |name: &str| description.axes().iter().position(|axis| axis.name == name).unwrap();
    let [filter, throttle, pack] = ["filter", "throttle", "pack_state"].map(axis);
    let noise = |row: &study::sweep::Row| row.run.readings[0].value.unwrap();
    (0..2)
        .map(|option| {
            let own = rows.iter().filter(|row| row.run.at[filter] == option);
            // Of several that are equally bad the first.
            let worst = own.rev().max_by(|one, other| noise(one).total_cmp(&noise(other))).unwrap();
            [worst.run.at[throttle], worst.run.at[pack]]
        })
        .collect()
}

fn swept(drawing: Option<Drawing>, only: &[(&str, &str)]) -> Vec<Picture> {
    let description = description();
    let only = only.iter().map(|(axis, point)| ((*axis).to_owned(), (*point).to_owned())).collect();
    let options = Options { only, ..Options::default() };
    let plan = Plan::new(&description, &options, drawing).expect("in order");
    let outline = sweep::Outline::of("Bench", description.axes(), &plan, &description.at(&[]));
    let mut summary = Summary::new(outline);
    for row in study::sweep::rows(&description, &plan, &options, 0..plan.total()) {
        summary.extend(sweep::json_line(description.axes(), &plan, &row).1);
    }
    sweep::pictures(&summary)
}

fn drawn(draws: usize) -> Vec<Picture> {
    swept(
        Some(Drawing { draws, seed: 1, law: Law::Uniform }),
        &[("throttle", "50 %"), ("pack_state", "soft")],
    )
}

fn responses() -> Vec<Picture> {
    svg::response_pictures(&study::responses(&description(), &Options::default()).expect("in order"))
}

fn candidates() -> Picture {
    let point = |k: u32| {
        let x = 0.1 * f64::from(k + 1);
        let at = (x, 0.01 / x + 1e-4 * f64::from(k * k % 17));
        let label = format!("candidate number {k}, of some length");
        ParetoPoint { label, at, meets: at.1 < 0.03, front: k.is_multiple_of(7) }
    };
    svg::pareto(&Pareto {
        name: "noise".into(),
        title: "Bench: noise against mass".into(),
        across: ("mass".into(), Dimension::MASS),
        upwards: ("noise".into(), Dimension::VOLTAGE),
        limit: Some(("noise < 30 mV".into(), 0.03)),
        points: (0..60).map(point).collect(),
    })
}

/// One of each kind, and those of all comparisons that try a picture.
static EVERYTHING: LazyLock<Vec<Picture>> = LazyLock::new(|| {
    let mut all: Vec<Picture> = samples().iter().flat_map(svg::of_comparison).collect();
    all.extend(svg::pictures(&many(40)));
    all.extend(responses());
    all.extend(swept(None, &[]));
    all.extend(drawn(200));
    all.push(candidates());
    all
});

/// The crawler with its six filters many times over.
fn many(options: usize) -> study::result::Comparison {
    let mut comparison = support::crawler();
    let runs = std::mem::take(&mut comparison.runs);
    let names = comparison.axes[0].points.clone();
    comparison.axes[0].points = (0..options).map(|at| format!("{}_{at}", names[at % names.len()])).collect();
    for option in 0..options {
        let own = runs.iter().filter(|run| run.at[0] == option % names.len()).cloned();
        comparison.runs.extend(own.map(|mut run| {
            run.at[0] = option;
            run
        }));
    }
    comparison
}

fn named<'p>(pictures: &'p [Picture], name: &str) -> &'p Picture {
    let found = pictures.iter().find(|picture| picture.file_name == name);
    found.unwrap_or_else(|| panic!("{:?}", pictures.iter().map(|one| &one.file_name).collect::<Vec<_>>()))
}

#[test]
fn every_picture_is_well_formed_titled_and_small() {
    for picture in EVERYTHING.iter() {
        let document = Document::parse(&picture.text).unwrap();
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        for name in ["title", "desc"] {
            let node = root.children().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", name)));
            assert!(!node.unwrap().text().unwrap().is_empty());
        }
        assert!(picture.text.len() < 200_000, "{}: {} bytes", picture.file_name, picture.text.len());
        assert!(!picture.text.contains("NaN") && !picture.text.contains("inf\""), "{}", picture.file_name);
    }
}

/// Classes and ids are the pictures' own, and each id stands once among all pictures of a kind of run.
#[test]
fn a_page_may_hold_several() {
    for picture in EVERYTHING.iter() {
        let document = Document::parse(&picture.text).unwrap();
        let stem = format!("qr-{}-", picture.file_name.trim_end_matches(".svg"));
        let mut known = Vec::new();
        for node in document.descendants() {
            if let Some(id) = node.attribute("id") {
                assert!(id.starts_with(&stem) && !known.contains(&id), "{}: {id}", picture.file_name);
                known.push(id);
            }
            for class in node.attribute("class").into_iter().flat_map(|classes| classes.split(' ')) {
                assert!(class.starts_with("qr-"), "{}: {class}", picture.file_name);
            }
        }
        let style = picture.text.split_once("<style>").unwrap().1.split_once("</style>").unwrap().0;
        let rules = style.split('}').filter_map(|rule| rule.trim().split_once('{'));
        for (names, _) in rules.filter(|(names, _)| !names.starts_with('@')) {
            assert!(names.split(',').all(|name| name.starts_with(".qr-")), "{names}");
        }
    }
}

#[test]
fn every_text_lies_inside_the_view_box() {
    for picture in EVERYTHING.iter() {
        let document = Document::parse(&picture.text).unwrap();
        let view: Vec<f64> = document
            .root_element()
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|one| one.parse().unwrap())
            .collect();
        for Box { words, sides: (from, to, top, bottom) } in boxes(&document) {
            let name = &picture.file_name;
            assert!(from >= 0.0 && to <= view[2], "{name}: {words}: {from} to {to} of {}", view[2]);
            assert!(top >= 0.0 && bottom <= view[3], "{name}: {words}: {top} to {bottom} of {}", view[3]);
        }
    }
}

#[test]
fn no_text_runs_into_another_and_none_is_cut() {
    for picture in EVERYTHING.iter() {
        assert!(!picture.text.contains('…'));
        let document = Document::parse(&picture.text).unwrap();
        let boxes = boxes(&document);
        for (at, one) in boxes.iter().enumerate() {
            for other in &boxes[at + 1..] {
                let (a, b) = (one.sides, other.sides);
                let apart = a.1 <= b.0 || b.1 <= a.0 || a.3 <= b.2 || b.3 <= a.2;
                assert!(apart, "{}: `{}` and `{}` {a:?} {b:?}", picture.file_name, one.words, other.words);
            }
        }
    }
}

/// Texts of a picture.
fn words(picture: &Picture) -> Vec<String> {
    let document = Document::parse(&picture.text).unwrap();
    boxes(&document).iter().map(|one| one.words.to_owned()).collect()
}

#[test]
fn many_options_are_small_pictures_on_one_scale() {
    let comparison = many(40);
    let pictures = svg::pictures(&comparison);
    let rail = named(&pictures, "rail.svg");
    let document = Document::parse(&rail.text).unwrap();
    assert_eq!(of_class(&document, "panel").count(), 40);
    assert_eq!(of_class(&document, "row").count(), 40);
    let fields = of_class(&document, "field").filter_map(|node| node.attribute("width"));
    let mut widths: Vec<&str> = fields.collect();
    widths.dedup();
    assert_eq!(widths.len(), 1);
    assert!(words(rail).iter().any(|word| word == "coil_cap_4"));
}

/// Two choices: behind each option stands the baseline with the same other choice, of which the figures speak.
#[test]
fn each_option_has_its_own_before() {
    let mut comparison = support::by_hand(2.0, 0.05, 0.93);
    let mut other = comparison.axes[0].clone();
    (other.name, other.points, other.baseline) = ("pack".into(), vec!["small".into(), "large".into()], None);
    comparison.axes.push(other);
    let runs = std::mem::take(&mut comparison.runs);
    comparison.runs = runs
        .iter()
        .flat_map(|run| (0..2).map(|pack| study::result::Run { at: vec![run.at[0], pack], ..run.clone() }))
        .collect();
    let pictures = svg::pictures(&comparison);
    let document = Document::parse(&pictures[0].text).unwrap();
    let uses: Vec<&str> = document.descendants().filter_map(|node| node.attribute("href")).collect();
    assert_eq!(uses, ["#qr-rail-before", "#qr-rail-before-1"]);
}

/// The bench's coil and capacitor do, at 1 / (2 pi sqrt(L C)) = 482 Hz.
#[test]
fn a_response_has_log_axes_bands_and_its_resonance() {
    let pictures = responses();
    let path = named(&pictures, "response_path.svg");
    let words = words(path);
    for tick in ["10 Hz", "100 Hz", "1 kHz", "10 kHz", "100 kHz", "frequency"] {
        assert!(words.iter().any(|word| word == tick), "{tick}: {words:?}");
    }
    for band in ["motor PWM 20 kHz", "motor commutation up to 4.2 kHz", "motor rotation up to 100 Hz"] {
        assert!(words.iter().any(|word| word == band), "{band}: {words:?}");
    }
    let document = Document::parse(&path.text).unwrap();
    assert_eq!(of_class(&document, "band").count(), 2, "the PWM stands still");
    // Decades lie equally far apart.
    let at = |tick: &str| {
        let node = of_class(&document, "tick").find(|node| node.text() == Some(tick)).unwrap();
        number(node, "x")
    };
    assert!((at("1 kHz") - at("100 Hz") - (at("10 kHz") - at("1 kHz"))).abs() < 0.3);
    let label = of_class(&document, "label").filter_map(|node| node.text()).next().unwrap();
    let frequency: f64 = label.split(" at ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!((frequency / 482.0 - 1.0).abs() < 0.06, "{label}");
    let dot = of_class(&document, "dot").next().unwrap();
    let place = at("100 Hz") + (at("1 kHz") - at("100 Hz")) * (frequency / 100.0).log10();
    assert!((number(dot, "cx") - place).abs() < 1.0, "{label}");
    // A ratio is drawn in dB.
    assert!(self::words(named(&pictures, "response_gain.svg")).iter().any(|word| word.ends_with(" dB")));
}

#[test]
fn a_spectrum_names_its_largest_lines() {
    let comparison = support::crawler();
    let pictures = svg::spectra(&comparison);
    let rail = named(&pictures, "spectrum_rail.svg");
    let document = Document::parse(&rail.text).unwrap();
    assert_eq!(of_class(&document, "row").count(), 6);
    assert_eq!((of_class(&document, "stem").count(), of_class(&document, "before-stem").count()), (6, 5 + 1));
    let words = words(rail);
    assert!(words.iter().any(|word| word.starts_with("largest") && word.contains("at 20 kHz")), "{words:?}");
    assert!(words.iter().any(|word| word == "100 kHz") && words.iter().any(|word| word == "frequency"));
    // Before and after on one scale: the same lines stand behind every row, a row's height apart.
    let behind: Vec<usize> = of_class(&document, "before-stem")
        .filter_map(|node| node.attribute("d"))
        .map(|data| data.matches('M').count())
        .collect();
    assert!(behind.len() == 5 && behind.iter().all(|count| *count == behind[0]), "{behind:?}");
}

#[test]
fn inductance_is_drawn_with_its_range_and_its_peak() {
    let comparison = support::by_hand(2.0, 0.05, 0.93);
    let picture = svg::inductances(&comparison).unwrap();
    let document = Document::parse(&picture.text).unwrap();
    assert_eq!(of_class(&document, "area").count(), 1 + 1, "the coil's and the key's");
    let dot = of_class(&document, "dot").next().unwrap();
    let ticks: Vec<(f64, f64)> = of_class(&document, "tick")
        .filter_map(|node| {
            let (number_of, unit) = node.text()?.split_once(' ')?;
            let scale = match unit {
                "mA" => 1e-3,
                "A" => 1.0,
                _ => return None,
            };
            Some((number_of.parse::<f64>().ok()? * scale, number(node, "x")))
        })
        .collect();
    let (one, other) = (ticks[0], ticks[1]);
    let place = one.1 + (other.1 - one.1) * (0.17 / one.0).log10() / (other.0 / one.0).log10();
    assert!((number(dot, "cx") - place).abs() < 0.5, "{ticks:?}");
    assert!(words(&picture).iter().any(|word| word.contains("93 % left at 170 mA")));
    assert_eq!(svg::inductances(&flat_coils()), None);
}

/// Coils that never saturate.
fn flat_coils() -> study::result::Comparison {
    let mut comparison = support::crawler();
    comparison.runs.iter_mut().flat_map(|run| &mut run.coils).for_each(|coil| coil.curve.clear());
    comparison
}

/// Nine throttles by two packs, two options: the cells that are drawn are worth as many places, and the ring lies on the worst.
#[test]
fn a_heat_map_has_a_cell_for_each_place_and_rings_the_worst() {
    let pictures = swept(None, &[]);
    let names: Vec<&str> = pictures.iter().map(|one| one.file_name.as_str()).collect();
    assert_eq!(names, ["heat_map_noise.svg", "heat_map_minimum_rail.svg"]);
    let document = Document::parse(&pictures[0].text).unwrap();
    let rows: Vec<_> = of_class(&document, "row").collect();
    assert_eq!(rows.len(), 2);
    for (row, [throttle, pack]) in rows.into_iter().zip(worst_places()) {
        // Widths of all rectangles in cells: 9 along each of two rows.
        let classes = ["m0", "m1", "m2", "m3", "x0", "x1", "x2", "x3"];
        let paths = row.descendants().filter(|node| {
            node.attribute("class")
                .is_some_and(|class| classes.iter().any(|one| class == format!("qr-{one}")))
        });
        let data: Vec<&str> = paths.map(|path| path.attribute("d").unwrap()).collect();
        let corners: Vec<(f64, f64)> = data
            .iter()
            .flat_map(|data| data.split('M').skip(1))
            .map(|piece| piece.split('h').next().unwrap().split_once(' ').unwrap())
            .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
            .collect();
        let widths: f64 = data
            .iter()
            .flat_map(|data| data.split('h').skip(1))
            .map(|piece| piece.split('v').next().unwrap().parse::<f64>().unwrap())
            .sum();
        let ring = row.descendants().find(|node| node.attribute("class") == Some("qr-ring")).unwrap();
        let cell = number(ring, "width").min(widths);
        assert!((widths / cell - 18.0).abs() < 0.2, "{widths} of {cell}");
        // Columns from the left, rows from below.
        let left = corners.iter().map(|corner| corner.0).fold(f64::INFINITY, f64::min);
        let top = corners.iter().map(|corner| corner.1).fold(f64::INFINITY, f64::min);
        let place = (left + cell * throttle as f64, top + number(ring, "height") * (1 - pack) as f64);
        assert!((number(ring, "x") - place.0).abs() < 1.0, "{place:?}");
        assert!((number(ring, "y") - place.1).abs() < 1.0, "{place:?}");
    }
    let words = words(&pictures[0]);
    assert!(words.iter().any(|word| word.starts_with("worst ")), "{words:?}");
    for side in ["10 %", "90 %", "fresh", "soft", "throttle (up: pack_state)"] {
        assert!(words.iter().any(|word| word == side), "{side}: {words:?}");
    }
}

/// All draws are in the bars: their areas sum to as many per cent.
#[test]
fn a_histogram_holds_every_draw() {
    let pictures = drawn(400);
    let names: Vec<&str> = pictures.iter().map(|one| one.file_name.as_str()).collect();
    assert_eq!(names, ["histogram_noise.svg", "histogram_minimum_rail.svg"]);
    let picture = &pictures[0];
    let document = Document::parse(&picture.text).unwrap();
    let bars: Vec<_> = of_class(&document, "bar").collect();
    assert_eq!(bars.len(), 2);
    let ticks: Vec<(f64, f64)> = of_class(&document, "tick")
        .filter_map(|node| Some((node.text()?.strip_suffix(" %")?.parse().ok()?, number(node, "y"))))
        .collect();
    // The last row's axis: from 0 % to its next tick.
    let zero = ticks.iter().rposition(|tick| tick.0 == 0.0).unwrap();
    let pixels = (ticks[zero].1 - ticks[zero + 1].1) / ticks[zero + 1].0;
    let rises = bars[1].attribute("d").unwrap().split('v').skip(1);
    let sum: f64 = rises.map(|piece| -piece.split('h').next().unwrap().parse::<f64>().unwrap()).sum();
    // Coordinates are rounded to a tenth of a pixel, of twenty bars.
    assert!((sum / pixels - 100.0).abs() < 20.0 * 0.1 / pixels, "{}", sum / pixels);
    assert!(words(picture).iter().any(|word| word.contains("95 % below")));
}

#[test]
fn candidates_are_dots_and_the_best_are_connected() {
    let picture = candidates();
    let document = Document::parse(&picture.text).unwrap();
    let dots = document.descendants().filter(|node| node.tag_name().name() == "circle").count();
    let crosses = of_class(&document, "c1").filter(|node| node.tag_name().name() == "path").count();
    assert_eq!((dots + crosses, crosses > 0), (60, true));
    let line = of_class(&document, "strong").find(|node| node.tag_name().name() == "path").unwrap();
    // Nine of the front, a corner between each two.
    assert_eq!(line.attribute("d").unwrap().matches(['M', 'L']).count(), 9 + 8);
    let words = words(&picture);
    for word in ["mass", "noise"] {
        assert!(words.iter().any(|known| known == word), "{words:?}");
    }
    assert!(words.iter().any(|word| word.starts_with("candidate number")), "{words:?}");
}

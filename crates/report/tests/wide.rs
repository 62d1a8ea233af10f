//! Every result on terminals of 80 columns and of more: no line is too long, and tables that had to be split are whole where there is room.

use language::{Description, Source};
use quietrail_report::sensitivity::{self, Extent};
use quietrail_report::sweep::{self, Outline, Summary};
use quietrail_report::table::{self, Style};
use quietrail_report::worst::Answer;
use quietrail_report::{picture, winding};
use study::Options;
use study::picture::{Counted, Request, Video};
use study::sweep::{Drawing, Law, Plan};
use study::worst::Question;

const HARNESS: &str = "\
harness \"A bench with a name that is as long as people make names of benches when nobody stops them, and then some\"
battery pack   gnd -> bus  emf 12 V, resistance 100 mohm +- 30 %
drive   motors bus -> gnd  current 2 A, pwm 20 kHz, duty 50 %
camera  eye    cam -> gnd  current 100 mA, supply 9 V .. 15 V
choice filter {
    option plain        { resistor link bus -> cam  resistance 1 mohm }
    option with_a_coil  {
        coil      choke bus -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, wire_diameter 0.4 mm
        capacitor store cam -> gnd  capacitance 470 uF +- 20 %, esr 60 mohm
    }
}
sweep throttle over motors.duty [20 %, 50 %, 80 %]
testpoint rail  = voltage(cam)
reading noise = peak_to_peak(rail)
require noise < 50 mV \"lines\"
require minimum(rail) > 9 V \"brown-out\"
require maximum(rail) < 15 V \"broken\"
require mean(rail) > 10 V \"dim\"
require rms_ac(rail) < 20 mV \"haze\"
transient run  span 1 ms, start steady
";

fn description() -> Description {
    let source = Source { name: "bench.harness".into(), text: HARNESS.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The text at 80 and at 150 columns.
fn both(name: &str, text: impl Fn(Style) -> String) -> [String; 2] {
    [80, 150].map(|width| {
        let text = text(Style { colour: false, width });
        for line in text.lines() {
            assert!(line.chars().count() <= width, "{name} at {width}: {line}");
        }
        text
    })
}

fn longest(text: &str) -> usize {
    text.lines().map(|line| line.chars().count()).max().unwrap_or(0)
}

fn tables(text: &str) -> usize {
    text.lines().filter(|line| line.starts_with("──")).count()
}

#[test]
fn a_sweep_takes_the_room_that_there_is() {
    let (description, options) = (description(), Options::default());
    let drawing = Drawing { draws: 8, seed: 1, law: Law::Uniform };
    let plan = Plan::new(&description, &options, Some(drawing)).expect("in order");
    let outline = Outline::of(description.title(), description.axes(), &plan, &description.at(&[]));
    let mut summary = Summary::new(outline);
    for row in study::sweep::rows(&description, &plan, &options, 0..plan.total()) {
        summary.extend(sweep::json_line(description.axes(), &plan, &row).1);
    }
    let [narrow, wide] = both("sweep", |style| table::sweep(&summary, style));
    assert!(tables(&wide) < tables(&narrow), "{narrow}\n{wide}");
    assert!(longest(&wide) > 80, "{wide}");
    // The manifest tells as much as the study itself.
    let manifest = sweep::manifest(
        &Outline::of(description.title(), description.axes(), &plan, &description.at(&[])),
        plan.total(),
        (1, 1),
        "",
    );
    let mut again = Summary::new(Outline::read(&manifest).expect("a manifest"));
    for row in study::sweep::rows(&description, &plan, &options, 0..plan.total()) {
        let (json, line) = sweep::json_line(description.axes(), &plan, &row);
        // A sweep that is gone on with reads what it wrote to the last bit.
        assert_eq!(sweep::parse(&json), line);
        again.extend(line);
    }
    assert_eq!(table::sweep(&again, Style::default()), narrow);
    // Of an earlier version, cut off, or broken by hand.
    for broken in ["", "{}", &manifest.replace("\"run\"", "\"ran\""), &manifest.replace("\"V\"", "\"volts\"")]
    {
        assert!(Outline::read(broken).is_none(), "{broken}");
    }
}

#[test]
fn sentences_run_on_where_there_is_room() {
    let (description, options) = (description(), Options::default());
    let longer = |name: &str, [narrow, wide]: [String; 2]| {
        assert!(longest(&wide) > 80 && wide.lines().count() <= narrow.lines().count(), "{name}\n{wide}");
        // Running words stay readable.
        let prose = wide.lines().filter(|line| !line.contains('─')).all(|line| line.chars().count() <= 150);
        assert!(prose, "{name}");
    };
    let found = study::sensitivity::sensitivities(&description, &options).expect("in order");
    longer("sensitivity", both("sensitivity", |style| sensitivity::table(&found, Extent::Worst, style)));
    let reading = &description.at(&[]).readings[0];
    let question = Question { reading: &reading.name, least: false, over: &["throttle"] };
    let found = study::worst::worst(&description, &question, &options).expect("in order");
    let answer = Answer {
        harness: description.title(),
        reading: (&reading.name, reading.dimension),
        least: false,
        axes: description.axes(),
        found: &found,
    };
    longer("worst", both("worst", |style| answer.text(style)));
    let found = study::picture::pictures(&description, &options, &Request::default()).expect("in order");
    longer("picture", both("picture", |style| picture::summary(&found, style)));
    let counted = Counted { bands: 4.0, slant: None, video: Video::Pal, within: 0.05 };
    let found = study::picture::candidates(&description, &options, &counted).expect("in order");
    longer("bands", both("bands", |style| picture::bands(description.title(), &counted, &found, style)));
    let found = study::winding::sheets(&description, &options).expect("in order");
    longer("winding", both("winding", |style| winding::text(&found.sheets[0], style)));
    let found = study::examine(&description);
    longer("check", both("check", |style| table::parts(&found.parts, style).expect("parts")));
}

//! Assemblies that are in order: what a fitted one stands for.

use crate::common;

use common::{CIRCUIT, right, right_with};
use quietrail_language::Description;
use quietrail_language::description::{
    Expression, Harness, Instance, Measure, Part, ResponseExpression, Signal,
};

const FILTER: &str = "\
assembly filter(l, c) in, out {
    let half = l / 2
    coil first in -> mid inductance half, dcr burden
    coil second mid -> out inductance half
    capacitor store out -> gnd capacitance c
}
let burden = 2 ohm
";

fn description(statements: &str) -> Description {
    right(&format!("{CIRCUIT}{FILTER}{statements}"))
}

fn harness(statements: &str) -> Harness {
    description(statements).at(&[])
}

fn part<'a>(harness: &'a Harness, name: &str) -> &'a Part {
    harness.parts.iter().find(|part| part.name == name).unwrap_or_else(|| panic!("{name}"))
}

fn instance(name: &str, assembly: &str, nodes: &[&str]) -> Instance {
    let nodes = nodes.iter().map(|node| (*node).to_owned()).collect();
    Instance { name: name.to_owned(), assembly: assembly.to_owned(), nodes }
}

#[test]
fn a_fit_stands_for_the_parts_written_by_hand() {
    let fitted = harness("fit filter f bus, cam  l 330 uH, c 10 uF * 2");
    let by_hand = right(&format!(
        "{CIRCUIT}coil first bus -> mid inductance 330 uH / 2, dcr 2 ohm\n\
         coil second mid -> cam inductance 330 uH / 2\ncapacitor store cam -> gnd capacitance 20 uF"
    ))
    .at(&[]);
    assert_eq!(fitted.parts.len(), by_hand.parts.len());
    for (one, other) in fitted.parts.iter().zip(&by_hand.parts) {
        let plain = |name: &str| name.trim_start_matches("f.").to_owned();
        assert_eq!(plain(&one.name), other.name);
        assert_eq!((plain(&one.left), plain(&one.right)), (other.left.clone(), other.right.clone()));
        assert_eq!((one.kind, &one.properties), (other.kind, &other.properties), "{}", one.name);
    }
    assert_eq!(part(&fitted, "f.first").right, "f.mid");
    assert_eq!(fitted.instances, [instance("f", "filter", &["bus", "cam"])]);
    assert_eq!(by_hand.instances, []);
}

#[test]
fn parameters_take_any_dimension_and_hide_the_lets_outside() {
    let harness = harness(
        "assembly divider(ratio, total) top, tap {\n\
             let burden = total * ratio\n\
             resistor upper top -> tap resistance total - burden\n\
             resistor lower tap -> gnd resistance burden\n\
         }\n\
         fit divider d cam, sense  ratio 25 %, total 2 * burden +- 1 %\n\
         load l sense -> gnd current 1 mA",
    );
    assert_eq!(part(&harness, "d.upper").number("resistance"), Some(3.0));
    assert_eq!(part(&harness, "d.lower").number("resistance"), Some(1.0));
    assert_eq!(part(&harness, "d.lower").right, "gnd");
}

#[test]
fn an_assembly_without_parameters_needs_no_parentheses() {
    let harness = harness(
        "assembly link_pair a, b { resistor one a -> b resistance 1 ohm; resistor two a -> b resistance 1 ohm }\n\
         assembly other() a, b { resistor one a -> b resistance 1 ohm }\n\
         fit link_pair p bus, cam\nfit other q bus,\n   cam",
    );
    let names: Vec<_> = harness.instances.iter().map(|each| each.name.as_str()).collect();
    assert_eq!(names, ["p", "q"]);
}

#[test]
fn nested_instances_have_the_names_of_what_holds_them() {
    let harness = harness(
        "assembly double(l) in, out {\n\
             fit filter near in, between  l l * 1, c 1 uF\n\
             fit filter far between, out  l l * 2, c 2 uF\n\
         }\n\
         fit double d bus, cam  l 100 uH\n\
         testpoint t = voltage(d.between, d.near.mid)\n\
         testpoint u = current(d.far.first)\n\
         reading s = saturation(d.far.second)",
    );
    assert_eq!(
        harness.instances,
        [
            instance("d", "double", &["bus", "cam"]),
            instance("d.near", "filter", &["bus", "d.between"]),
            instance("d.far", "filter", &["d.between", "cam"]),
        ]
    );
    let far = part(&harness, "d.far.first");
    assert_eq!((far.left.as_str(), far.right.as_str()), ("d.between", "d.far.mid"));
    assert_eq!(far.number("inductance"), Some(100e-6));
    assert_eq!(part(&harness, "d.near.second").right, "d.between");
    let signals: Vec<_> = harness.testpoints.iter().skip(1).map(|point| point.signal.clone()).collect();
    let name = str::to_owned;
    assert_eq!(
        signals,
        [
            Signal::NodeVoltage(name("d.between"), Some(name("d.near.mid"))),
            Signal::PartCurrent(name("d.far.first")),
        ]
    );
    assert!(
        matches!(&harness.readings[0].expression, Expression::Measure(Measure::Saturation(part)) if part == "d.far.second")
    );
}

#[test]
fn options_fit_alternatives_under_one_name() {
    let description = description(
        "assembly plain(r) in, out { coil first in -> out inductance 1 mH, dcr r }\n\
         choice a {\n\
             option x { fit filter f bus, cam  l 1 mH, c 1 uF }\n\
             option y { fit plain f bus, cam  r 3 ohm; set f.r = 4 ohm }\n\
             option z { }\n\
         }\n\
         condition b { case warm { } case cold { set f.first.dcr = 5 ohm } }\n\
         testpoint t = current(f.first)",
    );
    let at = |point: &[usize]| description.at(point);
    assert_eq!(at(&[0, 0]).instances, [instance("f", "filter", &["bus", "cam"])]);
    assert_eq!(at(&[1, 0]).instances, [instance("f", "plain", &["bus", "cam"])]);
    assert_eq!(at(&[2, 0]).instances, []);
    assert_eq!(at(&[2, 0]).parts.len(), 3);
    assert_eq!(part(&at(&[0, 0]), "f.first").number("dcr"), Some(2.0));
    assert_eq!(part(&at(&[0, 1]), "f.first").number("dcr"), Some(5.0));
    assert_eq!(part(&at(&[1, 0]), "f.first").number("dcr"), Some(4.0));
    assert_eq!(part(&at(&[1, 1]), "f.first").number("dcr"), Some(5.0));
}

#[test]
fn settings_reach_inner_parts_and_the_values_inside() {
    let text = format!("{CIRCUIT}{FILTER}fit filter f bus, cam  l 330 uH, c 10 uF");
    let harness =
        right_with(&text, &["f.store.esr = burden", "f.l = 100 uH", "f.second.inductance=7 uH"]).at(&[]);
    assert_eq!(part(&harness, "f.store").number("esr"), Some(2.0));
    assert_eq!(part(&harness, "f.first").number("inductance"), Some(50e-6));
    assert_eq!(part(&harness, "f.second").number("inductance"), Some(7e-6));
    // A `let` inside can be set, too; the value is seen from outside, where `half` and `l` mean nothing.
    let harness = right_with(&text, &["f.half = 3 uH * 3"]).at(&[]);
    assert_eq!(part(&harness, "f.first").number("inductance"), Some(9e-6));
}

#[test]
fn an_unused_assembly_is_remarked() {
    let description = description("");
    let [remark] = description.without_effect() else { panic!("one remark") };
    assert_eq!(remark.message, "the assembly `filter` has no effect: it is not fitted anywhere");
    assert_eq!(remark.help.as_deref(), Some("write `fit filter NAME in, out`"));
    assert_eq!(description.remarks(), []);
    assert_eq!(harness("").instances, []);
}

#[test]
fn lonely_nodes_and_terminals_inside_are_remarked() {
    let description = description(
        "assembly trap a, b, spare { resistor one a -> bus resistance 1 ohm; resistor two a -> b resistance 1 ohm }\n\
         fit trap t bus, cam, gnd\nfit filter f bus, cam  l 1 mH, c 1 uF",
    );
    let told: Vec<_> = description
        .remarks()
        .iter()
        .map(|remark| (remark.code, &*remark.message, remark.help.as_deref()))
        .collect();
    assert_eq!(
        told,
        [
            ("unused_terminal", "no part of `trap` is on its terminal `spare`", None),
            (
                "node_used_once",
                "only `t.one` touches the node `t.bus`",
                Some("this is not the node `bus` outside: an assembly reaches only `gnd` and its terminals")
            ),
        ]
    );
}

#[test]
fn measures_over_frequency() {
    let harness = harness(
        "drive d bus -> gnd current 1 A, pwm 1 kHz, duty 10 %\nfrequency 10 Hz .. 1 MHz, points 10\n\
         response path = transfer(voltage(f.mid), d)\nresponse loss = insertion_loss(f, 50 ohm, 25 * burden)\n\
         response ratio = 1 / insertion_loss(filter, 50 ohm, 50 ohm)\n\
         fit filter f bus, cam  l 1 mH, c 1 uF\n\
         reading a = peak_gain(path)\nreading b = peak_gain(path, 1 kHz .. 2 * 5 kHz)\n\
         reading c = insertion_loss(f, 1 ohm, 2 ohm)\nreading e = insertion_loss(filter, 1 ohm, 2 ohm, 20 kHz)\n\
         reading g = insertion_loss(f, 1 ohm, 2 ohm, 1 kHz .. 2 kHz)\n\
         reading h = resonances\nreading i = resonances(path)\nreading j = impedance_margin(eye)\n\
         reading k = max(a, peak_gain(loss)) - b\nrequire resonances < 3 dB\nrequire c >= 20 dB",
    );
    let measure = |index: usize| match &harness.readings[index].expression {
        Expression::Measure(measure) => measure.clone(),
        other => panic!("{other:?}"),
    };
    let gain = |band| Measure::PeakGain { response: "path".to_owned(), band };
    let loss = |band| Measure::InsertionLoss { instance: "f".to_owned(), source: 1.0, load: 2.0, band };
    assert_eq!(measure(0), gain(None));
    assert_eq!(measure(1), gain(Some((1e3, 10e3))));
    assert_eq!(measure(2), loss(None));
    assert_eq!(measure(3), loss(Some((20e3, 20e3))));
    assert_eq!(measure(4), loss(Some((1e3, 2e3))));
    assert_eq!(measure(5), Measure::Resonances(None));
    assert_eq!(measure(6), Measure::Resonances(Some("path".to_owned())));
    assert_eq!(measure(7), Measure::ImpedanceMargin("eye".to_owned()));
    assert!(harness.readings.iter().all(|reading| reading.dimension == quantity::Dimension::LEVEL));
    assert_eq!(
        harness.responses[1].expression,
        ResponseExpression::InsertionLoss { instance: "f".to_owned(), source: 50.0, load: 50.0 }
    );
    assert!(harness.responses[1..].iter().all(|response| response.dimension.is_none()));
}

/// Nothing of these is read in time, so no transient is missed.
#[test]
fn measures_over_frequency_need_no_transient() {
    let text = format!(
        "{}{FILTER}fit filter f bus, cam  l 1 mH, c 1 uF\n\
         reading a = insertion_loss(f, 1 ohm, 2 ohm, 20 kHz)\nreading b = 2 * a - 3 dB\nrequire b > 20 dB",
        CIRCUIT.replace("transient run span 1 ms, start steady\n", "")
    );
    assert_eq!(right(&text).at(&[]).transients.len(), 0);
}

/// An assembly's name stands for its instance at each point; where there is none, for one that is absent.
#[test]
fn an_assemblys_name_stands_for_its_only_instance() {
    let description = description(
        "choice a {\n\
             option none { }\n\
             option one { fit filter f bus, cam  l 1 mH, c 1 uF }\n\
             option two { fit filter g bus, cam  l 2 mH, c 1 uF }\n\
         }\n\
         reading loss = insertion_loss(filter, 1 ohm, 2 ohm, 20 kHz)",
    );
    let named = |option: usize| match &description.at(&[option]).readings[0].expression {
        Expression::Measure(Measure::InsertionLoss { instance, .. }) => instance.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!([named(1), named(2)], ["f", "g"]);
    let absent = named(0);
    assert!(description.at(&[0]).instances.iter().all(|instance| instance.name != absent));
}

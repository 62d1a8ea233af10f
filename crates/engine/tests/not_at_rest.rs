//! Networks that can't stand still are refused in the words of the operating point when their steady state is asked for, although that is
//! found without one.

use crate::common::{Builder, Recorder, request};
use engine::equations::Equations;
use engine::{Failure, Method, Start, operating_point};
use network::primitive::Network;

const VOLT: f64 = 12.0;

/// A filter that does have a steady state, with a network beside it that may not.
fn beside_a_filter(nodes: &[&str], add: impl FnOnce(&mut Builder)) -> Network {
    let all: Vec<&str> = ["emf", "out"].iter().chain(nodes).copied().collect();
    let mut builder = Builder::new(&all);
    builder.voltage("pack", "emf", "gnd", VOLT);
    builder.resistor("filter", "emf", "out", 10.0);
    builder.capacitor("filter", "out", "gnd", 1e-6);
    builder.see_voltage("out", None);
    add(&mut builder);
    builder.network
}

fn networks() -> Vec<(&'static str, Network, &'static [&'static str])> {
    let between = |builder: &mut Builder, leak: f64| {
        builder.resistor("leak", "emf", "b", leak);
        builder.resistor("short", "b", "c", 1e-3);
        builder.resistor("leak", "c", "gnd", leak);
    };
    let between_leaks = |builder: &mut Builder| between(builder, 1e13);
    vec![
        ("two nodes that leaks hold", beside_a_filter(&["b", "c"], between_leaks), &["b", "c"]),
        (
            "two nodes that leaks hold by a digit",
            beside_a_filter(&["b", "c"], |builder| between(builder, 9e10)),
            &["b", "c"],
        ),
        (
            "the same with a charge on them",
            beside_a_filter(&["b", "c"], |builder| {
                between_leaks(builder);
                builder.capacitor("charge", "b", "gnd", 1e-6);
            }),
            &["b", "c"],
        ),
        (
            "a node between capacitors",
            beside_a_filter(&["b"], |builder| {
                builder.capacitor("upper", "emf", "b", 1e-6);
                builder.capacitor("lower", "b", "gnd", 2e-6);
            }),
            &["b"],
        ),
        (
            "a loop without resistance",
            beside_a_filter(&["b"], |builder| {
                builder.resistor("feed", "emf", "b", 1.0);
                builder.inductor("one", "b", "gnd", 1e-6);
                builder.inductor("other", "b", "gnd", 2e-6);
            }),
            &[],
        ),
        (
            "a coil across a pack",
            beside_a_filter(&[], |builder| {
                builder.inductor("coil", "emf", "gnd", 1e-6);
            }),
            &[],
        ),
    ]
}

#[test]
fn what_has_no_operating_point_has_no_steady_state() {
    for (what, network, free) in networks() {
        let equations = Equations::new(&network).expect("hangs together");
        let at_rest = operating_point(&equations, &[VOLT]).err();
        let steady = request(Start::Steady { period: Some(1e-4) }, 1e-4, 1e-4, Method::Automatic);
        let found = engine::run(&network, &steady, &mut Recorder::default()).err();
        assert!(at_rest.is_some(), "{what}");
        assert_eq!(found, at_rest, "{what}");
        let Some(Failure::NoOperatingPoint { nodes, .. }) = found else { panic!("{what}: {found:?}") };
        assert_eq!(nodes, free, "{what}");
    }
}

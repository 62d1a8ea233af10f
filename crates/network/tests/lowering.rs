//! Harnesses built by hand, and the networks that they become.

use language::Kind;
use language::description::{Harness, Part, Signal as Asked, Start, Value};
use quantity::{Dimension, Quantity};
use quietrail_network::lowered::{Lowered, LoweredPart};
use quietrail_network::lowering::{LoweringError, lower};
use quietrail_network::primitive::{ChargeLaw, CurrentLaw, Element, FluxLaw, GND, Signal, Term};
use quietrail_network::waveform::Waveform;
use quietrail_network::waveform::period::Period;

/// A part with numbers in SI units.
fn part(kind: Kind, name: &str, ends: &str, numbers: &[(&str, f64)]) -> Part {
    let (left, right) = ends.split_once(" -> ").unwrap();
    let numbers = numbers.iter().map(|&(property, value)| {
        (property.to_owned(), Value::Number(Quantity { value, dimension: Dimension::NONE }, None))
    });
    Part {
        name: name.into(),
        kind,
        left: left.into(),
        right: right.into(),
        second: None,
        properties: numbers.collect(),
    }
}

/// The same with a word.
fn with_word(mut part: Part, property: &str, word: &str) -> Part {
    part.properties.insert(property.to_owned(), Value::Word(word.to_owned()));
    part
}

fn harness(parts: Vec<Part>) -> Harness {
    Harness {
        lets: Vec::new(),
        title: "Test".into(),
        parts,
        instances: Vec::new(),
        testpoints: Vec::new(),
        readings: Vec::new(),
        requirements: Vec::new(),
        transients: Vec::new(),
        frequencies: Vec::new(),
        responses: Vec::new(),
    }
}

fn lowered(parts: Vec<Part>, start: Start) -> Lowered {
    lower(&harness(parts), start).unwrap()
}

fn errors(parts: Vec<Part>) -> Vec<LoweringError> {
    lower(&harness(parts), Start::Steady).unwrap_err()
}

/// Branches of a part as (left node, right node, element).
fn branches<'a>(lowered: &'a Lowered, name: &str) -> Vec<(&'a str, &'a str, &'a Element)> {
    let nodes = &lowered.network.nodes;
    let of_part = lowered.network.branches.iter().filter(|branch| branch.part == name);
    of_part
        .map(|branch| (nodes[branch.left].as_str(), nodes[branch.right].as_str(), &branch.element))
        .collect()
}

/// The terms of a current as (sign, index of the branch among all).
fn current(part: &LoweredPart) -> Vec<(f64, usize)> {
    part.current
        .iter()
        .map(|&(sign, term)| match term {
            Term::BranchCurrent(branch) => (sign, branch),
            Term::NodeVoltage(_) => panic!("a current made of voltages"),
        })
        .collect()
}

fn pack() -> Part {
    let numbers = [("cells", 4.0), ("charge", 0.5), ("cell_resistance", 22e-3)];
    with_word(part(Kind::Battery, "pack", "gnd -> pos", &numbers), "chemistry", "li_ion")
}

fn tracks(more: &[(&str, f64)]) -> Part {
    let mut numbers = vec![("motors", 2.0), ("current", 9.0), ("pwm", 20e3), ("duty", 0.6)];
    numbers.extend_from_slice(more);
    part(Kind::Drive, "tracks", "pos -> gnd", &numbers)
}

#[test]
fn battery_pushes_through_its_resistance_and_inductance() {
    let lowered = lowered(vec![pack()], Start::Steady);
    let branches = branches(&lowered, "pack");
    let [(plus, minus, emf), (r_left, r_right, resistance), (l_left, l_right, inductance)] = branches[..]
    else {
        panic!("{branches:?}")
    };
    // The source's plus is its left node: the inner one.
    assert_eq!((plus, minus), ("pack.resistance", "gnd"));
    let Element::VoltageSource(Waveform::Constant(volt)) = emf else { panic!() };
    // Four cells at half charge, 3.80336 V each (Chen and Rincón-Mora 2006).
    assert!((volt - 15.213_44).abs() < 1e-4);
    assert_eq!((r_left, r_right), ("pack.resistance", "pack.inductance"));
    assert!(matches!(resistance, Element::Resistor(ohm) if (ohm - 88e-3).abs() < 1e-12));
    assert_eq!((l_left, l_right), ("pack.inductance", "pos"));
    let Element::Inductor(FluxLaw::Linear { inductance }) = inductance else { panic!() };
    assert!((inductance - 120e-9).abs() < 1e-15);

    let part = lowered.part("pack").unwrap();
    let pos = lowered.node("pos").unwrap();
    assert_eq!(part.voltage, [(1.0, Term::NodeVoltage(pos))]);
    assert_eq!(current(part), [(1.0, 1)]);
    assert_eq!(part.source, Some(0));
    assert_eq!(lowered.assumptions, ["pack: inductance 120 nH, 30 nH a cell (4 in series, 1 in parallel)"]);
}

#[test]
fn a_lone_source_delivers_what_flows_against_its_branch() {
    let lowered = lowered(vec![part(Kind::Battery, "b", "gnd -> pos", &[("emf", 12.0)])], Start::Rest);
    let branches = branches(&lowered, "b");
    assert_eq!((branches[0].0, branches[0].1, branches.len()), ("pos", "gnd", 1));
    assert_eq!(current(lowered.part("b").unwrap()), [(-1.0, 0)]);
}

#[test]
fn slow_pair_of_a_battery_is_in_series() {
    let slow = [("emf", 12.0), ("polarisation_resistance", 0.02), ("polarisation_capacitance", 500.0)];
    let lowered = lowered(vec![part(Kind::Battery, "b", "gnd -> pos", &slow)], Start::Steady);
    let branches = branches(&lowered, "b");
    assert_eq!(branches.len(), 3);
    assert_eq!((branches[1].0, branches[1].1), ("b.slow", "pos"));
    assert_eq!((branches[2].0, branches[2].1), ("b.slow", "pos"));
}

#[test]
fn capacitor_shows_the_voltage_of_its_charge() {
    let numbers = [
        ("capacitance", 220e-6),
        ("esr", 40e-3),
        ("esl", 15e-9),
        ("leakage", 1e6),
        ("rated", 35.0),
        ("ripple_rating", 1.2),
    ];
    let lowered = lowered(vec![part(Kind::Capacitor, "bulk", "bus -> gnd", &numbers)], Start::Steady);
    let places: Vec<_> = branches(&lowered, "bulk").iter().map(|branch| (branch.0, branch.1)).collect();
    let expected =
        [("bus", "bulk.esr"), ("bulk.esr", "bulk.charge"), ("bulk.charge", "gnd"), ("bulk.charge", "gnd")];
    assert_eq!(places, expected);
    let part = lowered.part("bulk").unwrap();
    let charge = lowered.node("bulk.charge").unwrap();
    assert_eq!(part.charge_voltage, Some(vec![(1.0, Term::NodeVoltage(charge))]));
    assert_eq!((part.limits.rated_voltage, part.limits.ripple_rating), (Some(35.0), Some(1.2)));
    assert_eq!(current(part).len(), 1);
}

#[test]
fn bare_capacitor_counts_its_leakage_as_its_own_current() {
    let numbers = [("capacitance", 1e-6), ("leakage", 1e6), ("esr", 0.0)];
    let lowered = lowered(vec![part(Kind::Capacitor, "c", "a -> b", &numbers)], Start::Steady);
    assert_eq!(current(lowered.part("c").unwrap()), [(1.0, 0), (1.0, 1)]);
    assert_eq!(lowered.network.nodes, ["gnd", "a", "b"]);
}

#[test]
fn coil_is_a_winding_with_its_parasitics_and_its_copper() {
    let numbers = [
        ("inductance", 330e-6),
        ("residual", 9e-6),
        ("saturation_current", 0.35),
        ("dcr", 0.35),
        ("winding_capacitance", 12e-12),
        ("loss_resistance", 20e3),
    ];
    let lowered = lowered(vec![part(Kind::Coil, "choke", "tap -> cam", &numbers)], Start::Steady);
    let branches = branches(&lowered, "choke");
    assert!(matches!(branches[0].2, Element::Inductor(FluxLaw::Saturable { .. })));
    assert!(matches!(branches[1].2, Element::Capacitor(ChargeLaw::Linear { .. })));
    assert!(branches[..3].iter().all(|branch| (branch.0, branch.1) == ("tap", "choke.dcr")));
    assert_eq!((branches[3].0, branches[3].1), ("choke.dcr", "cam"));
    let part = lowered.part("choke").unwrap();
    let core = part.inductor.as_ref().unwrap();
    let law = core.law.clone();
    assert_eq!((core.branch, core.current.as_slice()), (0, &[(1.0, Term::BranchCurrent(0))][..]));
    assert!((law.inductance(0.35) / 330e-6 - 0.7).abs() < 1e-12);
    assert_eq!(current(part), [(1.0, 3)]);
}

#[test]
fn coil_without_copper_adds_up_its_parallel_currents() {
    let numbers = [("inductance", 10e-6), ("winding_capacitance", 5e-12)];
    let lowered = lowered(vec![part(Kind::Coil, "l", "a -> b", &numbers)], Start::Steady);
    assert_eq!(current(lowered.part("l").unwrap()), [(1.0, 0), (1.0, 1)]);
}

#[test]
fn coil_from_its_ring() {
    // IEC 60205: R25.3 x 14.8 x 10 with mu_i = 2200, 10 turns is 235.92 uH; Ae 51.26 mm².
    let numbers = [
        ("outer", 25.3e-3),
        ("inner", 14.8e-3),
        ("height", 10e-3),
        ("permeability", 2200.0),
        ("turns", 10.0),
        ("flux_density_limit", 0.385),
        ("wire_diameter", 0.5e-3),
    ];
    let lowered = lowered(vec![part(Kind::Coil, "l", "a -> b", &numbers)], Start::Steady);
    let law = lowered.part("l").unwrap().inductor.as_ref().unwrap().law.clone();
    let FluxLaw::Saturable { initial, saturation_flux, .. } = law else { panic!("{law:?}") };
    assert!((initial / 235.92e-6 - 1.0).abs() < 1e-3);
    assert!((saturation_flux / (10.0 * 0.385 * 51.26e-6) - 1.0).abs() < 1e-3);
    assert!(matches!(branches(&lowered, "l")[1].2, Element::Resistor(_)));
}

#[test]
fn wire_from_its_making_and_a_link_of_nothing() {
    let run = [("length", 0.24), ("area", 2.5e-6), ("spacing", 4e-3)];
    let run = with_word(part(Kind::Wire, "main", "pos -> bus", &run), "return", "included");
    let lone = part(Kind::Wire, "lone", "bus -> a", &[("length", 0.1), ("gauge", 20.0)]);
    let link = part(Kind::Wire, "link", "a -> b", &[("resistance", 0.0)]);
    let lowered = lowered(vec![run, lone, link], Start::Steady);
    let main = branches(&lowered, "main");
    assert!(
        matches!(main[0].2, Element::Resistor(ohm) if (ohm / (2.0 * 0.24 / 58.0 / 2.5) - 1.0).abs() < 1e-9)
    );
    assert_eq!((main[1].0, main[1].1), ("main.inductance", "bus"));
    assert_eq!(lowered.warnings.len(), 1);
    assert_eq!(lowered.warnings[0].code, "wire_without_spacing");
    assert!(lowered.warnings[0].text.starts_with("lone: "));
    let link = branches(&lowered, "link");
    assert!(
        matches!(link[..], [("a", "b", Element::VoltageSource(Waveform::Constant(volt)))] if *volt == 0.0)
    );
    assert_eq!(current(lowered.part("link").unwrap()), [(1.0, 4)]);
}

#[test]
fn supply_ramps_up_from_rest_only() {
    let bench = || part(Kind::Supply, "bench", "gnd -> v", &[("voltage", 12.0), ("rise", 1e-3)]);
    let waveform = |start| match branches(&lowered(vec![bench()], start), "bench")[0].2 {
        Element::VoltageSource(waveform) => waveform.clone(),
        other => panic!("{other:?}"),
    };
    for start in [Start::Steady, Start::Operating] {
        assert_eq!(waveform(start), Waveform::Constant(12.0));
    }
    assert_eq!(waveform(Start::Rest), Waveform::Ramp { level: 12.0, rise: 1e-3 });
}

#[test]
fn drive_draws_its_current_with_its_periods() {
    let drive = tracks(&[("commutation", 480.0), ("commutation_depth", 0.05)]);
    let steady = lowered(vec![drive.clone()], Start::Steady);
    assert_eq!(Period::common(&steady.periods).unwrap().seconds(), 6.25e-3);
    assert_eq!(steady.part("tracks").unwrap().limits.pwm, Some(20e3));
    assert_eq!(steady.aperiodic, None);
    let current_at = |lowered: &Lowered, time| match branches(lowered, "tracks")[0] {
        ("pos", "gnd", Element::CurrentSource(waveform)) => waveform.piece(time).value,
        ref other => panic!("{other:?}"),
    };
    // After a dip, which lasts for a fifth of 1/480 s, and within an on-time.
    assert!((current_at(&steady, 0.46e-3) - 18.0).abs() < 1e-9);
    let operating = lowered(vec![drive], Start::Operating);
    assert_eq!(current_at(&operating, -0.54e-3), 0.0);
    let late = lowered(vec![tracks(&[("starts", 1e-3)])], Start::Rest);
    assert_eq!(current_at(&late, 0.46e-3), 0.0);
    assert!((current_at(&late, 1.01e-3) - 18.0).abs() < 1e-9);
}

#[test]
fn a_throttle_leaves_no_steady_state() {
    let mut drive = tracks(&[]);
    let number = |value| Quantity { value, dimension: Dimension::NONE };
    let points = vec![(number(0.0), number(0.2)), (number(0.01), number(1.0))];
    drive.properties.insert("throttle".into(), Value::Points(points));
    let lowered = lowered(vec![drive], Start::Operating);
    assert!(lowered.aperiodic.unwrap().contains("tracks"));
}

#[test]
fn a_drive_that_is_off_has_no_period() {
    let lowered = lowered(vec![tracks(&[("duty", 0.0)])], Start::Steady);
    assert!(lowered.periods.is_empty());
    assert_eq!(lowered.part("tracks").unwrap().limits.pwm, None);
}

#[test]
fn jumps_need_more_than_inductance() {
    let wire = || part(Kind::Wire, "w", "pos -> bus", &[("resistance", 0.01), ("inductance", 1e-6)]);
    let mut drive = tracks(&[("fall", 0.0)]);
    drive.left = "bus".into();
    let bare = vec![pack(), wire(), drive.clone()];
    let told = errors(bare.clone());
    assert_eq!((told.len(), told[0].part.as_str(), told[0].property.as_str()), (1, "tracks", "fall"));
    let mut buffered = bare;
    buffered.push(part(Kind::Capacitor, "bulk", "bus -> gnd", &[("capacitance", 1e-3), ("esr", 0.05)]));
    assert!(lower(&harness(buffered), Start::Steady).is_ok());
}

#[test]
fn a_drive_that_is_switched_on_jumps_too() {
    // At 100 % duty the only edge is the one at the start.
    let mut full = tracks(&[("rise", 0.0)]);
    full.properties.extend(part(Kind::Drive, "d", "a -> b", &[("duty", 1.0)]).properties);
    let parts = || vec![pack(), full.clone()];
    assert!(lower(&harness(parts()), Start::Steady).is_ok());
    for start in [Start::Operating, Start::Rest] {
        let told = lower(&harness(parts()), start).unwrap_err();
        assert_eq!((told.len(), told[0].part.as_str(), told[0].property.as_str()), (1, "tracks", "rise"));
    }
    // Nothing jumps where nothing is drawn.
    let mut idle = tracks(&[("rise", 0.0)]);
    idle.properties.extend(part(Kind::Drive, "d", "a -> b", &[("current", 0.0)]).properties);
    assert!(lower(&harness(vec![pack(), idle]), Start::Rest).is_ok());
}

#[test]
fn a_battery_that_feeds_only_a_drive_is_a_network() {
    for start in [Start::Steady, Start::Operating, Start::Rest] {
        // The drive's current leaves the battery's inductance no current of its own.
        let lowered = lowered(vec![pack(), tracks(&[])], start);
        assert_eq!(lowered.network.branches.len(), 4);
        assert_eq!(lowered.aperiodic, None);
    }
}

#[test]
fn a_period_that_cannot_be_counted_leaves_no_steady_state() {
    let mut slow = tracks(&[("rise", 1e-9)]);
    slow.properties.extend(part(Kind::Drive, "d", "a -> b", &[("pwm", 1e-40)]).properties);
    let bulk = part(Kind::Capacitor, "bulk", "pos -> gnd", &[("capacitance", 1e-3)]);
    let lowered = lowered(vec![pack(), slow, bulk], Start::Steady);
    assert!(lowered.periods.is_empty());
    assert!(lowered.aperiodic.unwrap().contains("`tracks`"));
}

#[test]
fn a_generator_starts_when_its_text_says() {
    let text = "generator bench gnd -> a level 5 V, width 10 us, period 50 us, starts 1 ms\n\
                resistor r a -> gnd resistance 50 ohm\n\
                testpoint t = voltage(a)\n\
                transient span 2 ms, start rest\n";
    let source = language::Source { name: "late.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap();
    let value = |start, time| {
        let lowered = lower(&description.at(&[]), start).unwrap();
        let Element::VoltageSource(waveform) = branches(&lowered, "bench")[0].2 else { panic!() };
        waveform.piece(time).value
    };
    assert_eq!((value(Start::Rest, 5e-6), value(Start::Rest, 1.005e-3)), (0.0, 5.0));
    assert_eq!((value(Start::Operating, 5e-6), value(Start::Operating, 1.005e-3)), (0.0, 5.0));
    assert_eq!(value(Start::Steady, 5e-6), 5.0);
}

#[test]
fn camera_is_a_law_with_its_capacitor_beside_it() {
    let mut camera =
        part(Kind::Camera, "eye", "cam -> gnd", &[("current", 0.16), ("input_resistance", 10e3)]);
    let volt = |value| Quantity { value, dimension: Dimension::VOLTAGE };
    camera.properties.insert("supply".into(), Value::Range(volt(9.0), volt(18.0)));
    let lowered = lowered(vec![camera], Start::Steady);
    let branches = branches(&lowered, "eye");
    let Element::Load(law) = branches[0].2 else { panic!() };
    assert_eq!(*law, CurrentLaw::Constant { current: 0.16, threshold: 9.0 });
    assert!(matches!(branches[1], ("cam", "eye.input", Element::Resistor(ohm)) if *ohm == 0.2));
    assert!(
        matches!(branches[2], ("eye.input", "gnd", Element::Capacitor(ChargeLaw::Linear { capacitance })) if *capacitance == 10e-6)
    );
    assert!(matches!(branches[3], ("cam", "gnd", Element::Resistor(_))));
    let part = lowered.part("eye").unwrap();
    assert_eq!(current(part), [(1.0, 0), (1.0, 1), (1.0, 3)]);
    assert_eq!(part.limits.supply_range, Some((9.0, 18.0)));
    assert!(!part.limits.bare_constant_load);
    assert_eq!(lowered.assumptions, ["eye: input capacitance 10 uF with 0.2 ohm"]);
}

#[test]
fn bare_constant_loads_are_marked() {
    let camera = part(Kind::Camera, "eye", "a -> gnd", &[("current", 0.16), ("input_capacitance", 0.0)]);
    let power = part(Kind::Load, "p", "a -> gnd", &[("power", 5.0), ("below", 6.0)]);
    let resistance = part(Kind::Load, "r", "a -> gnd", &[("resistance", 50.0)]);
    let lowered = lowered(vec![camera, power, resistance], Start::Steady);
    let bare = |name| lowered.part(name).unwrap().limits.bare_constant_load;
    assert_eq!((bare("eye"), bare("p"), bare("r")), (true, true, false));
    assert!(matches!(branches(&lowered, "r")[0].2, Element::Resistor(ohm) if *ohm == 50.0));
}

#[test]
fn generator_pushes_pulses_through_its_resistance() {
    let numbers = [("level", 5.0), ("width", 10e-6), ("period", 50e-6), ("resistance", 50.0)];
    let generator = part(Kind::Generator, "bench", "gnd -> a", &numbers);
    let steady = lowered(vec![generator.clone()], Start::Steady);
    let branches = branches(&steady, "bench");
    let ("bench.resistance", "gnd", Element::VoltageSource(waveform)) = branches[0] else { panic!() };
    assert_eq!(waveform.piece(5e-6).value, 5.0);
    assert_eq!(waveform.piece(-45e-6).value, 5.0);
    assert!((waveform.mean().unwrap() - 1.0).abs() < 1e-12);
    assert_eq!(steady.periods.len(), 1);
    let rest = lowered(vec![generator], Start::Rest);
    let Element::VoltageSource(waveform) = &rest.network.branches[0].element else { panic!() };
    assert_eq!((waveform.piece(-45e-6).value, waveform.piece(5e-6).value), (0.0, 5.0));
}

#[test]
fn test_points_are_found_in_the_users_terms() {
    let choke = part(Kind::Coil, "choke", "pos -> cam", &[("inductance", 330e-6)]);
    let lowered = lowered(vec![pack(), choke, tracks(&[])], Start::Steady);
    let (pos, cam) = (lowered.node("pos").unwrap(), lowered.node("cam").unwrap());
    let linear = |asked: &Asked| match lowered.signal(asked) {
        Some(Signal::Linear(sum)) => sum,
        other => panic!("{other:?}"),
    };
    let (plus, minus) = ((1.0, Term::NodeVoltage(pos)), (-1.0, Term::NodeVoltage(cam)));
    assert_eq!(linear(&Asked::NodeVoltage("pos".into(), None)), [plus]);
    assert_eq!(linear(&Asked::NodeVoltage("pos".into(), Some("cam".into()))), [plus, minus]);
    assert_eq!(linear(&Asked::PartVoltage("choke".into())), [plus, minus]);
    assert_eq!(linear(&Asked::NodeVoltage("gnd".into(), None)), []);
    assert_eq!(lowered.node("gnd"), Some(GND));
    let inductor = lowered.part("choke").unwrap().inductor.as_ref().unwrap().branch;
    assert!(
        matches!(lowered.signal(&Asked::PartFlux("choke".into())), Some(Signal::Flux(sign, branch)) if sign == 1.0 && branch == inductor)
    );
    let Some(Signal::Product(voltage, current)) = lowered.signal(&Asked::PartPower("pack".into())) else {
        panic!()
    };
    assert_eq!((voltage.len(), current.len()), (1, 1));
    for absent in [
        Asked::NodeVoltage("nowhere".into(), None),
        Asked::NodeVoltage("pos".into(), Some("nowhere".into())),
        Asked::PartCurrent("nothing".into()),
        Asked::PartFlux("pack".into()),
    ] {
        assert!(lowered.signal(&absent).is_none(), "{absent:?}");
    }
}

#[test]
fn every_error_of_every_part_is_told_at_once() {
    let numbers = [("inductance", 100e-6), ("residual", 90e-6), ("saturation_current", 1.0)];
    let told = errors(vec![
        part(Kind::Coil, "choke", "a -> b", &numbers),
        part(Kind::Capacitor, "c", "a -> b", &[("capacitance", -1.0), ("esr", -1.0)]),
        with_word(part(Kind::Battery, "pack", "gnd -> a", &[("cells", 4.0)]), "chemistry", "plutonium"),
        part(Kind::Camera, "eye", "a -> gnd", &[]),
        part(Kind::Resistor, "r", "a -> gnd", &[("resistance", -1.0)]),
    ]);
    let places: Vec<_> = told.iter().map(|error| (error.part.as_str(), error.property.as_str())).collect();
    let expected = [
        ("choke", "residual"),
        ("c", "capacitance"),
        ("c", "esr"),
        ("pack", "chemistry"),
        ("eye", "current"),
        ("r", "resistance"),
    ];
    assert_eq!(places, expected);
    assert!(told.iter().all(|error| !error.message.is_empty() && !error.help.is_empty()));
}

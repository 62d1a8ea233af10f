//! Wires against gauges, standards and their own contradictions.

use super::*;

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found / expected - 1.0).abs() < tolerance, "{found} is not {expected}");
}

fn metre() -> Wire {
    Wire { length: Some(1.0), gauge: Some(20.0), ..Wire::default() }
}

#[test]
fn resistance_a_metre_of_gauges() {
    // ASTM B258 diameters with IEC 60028 copper.
    close(metre().equivalent().unwrap().resistance, 33.309e-3, 2e-4);
    let fourteen = Wire { gauge: Some(14.0), ..metre() };
    close(fourteen.equivalent().unwrap().resistance, 8.2855e-3, 2e-4);
    let hot = Wire { temperature: Some(353.15), ..metre() };
    close(hot.equivalent().unwrap().resistance, 41.163e-3, 2e-4);
}

#[test]
fn return_doubles_the_resistance_and_not_the_loop() {
    let alone = Wire { spacing: Some(1.6e-3), ..metre() }.equivalent().unwrap();
    let both = Wire { spacing: Some(1.6e-3), return_included: true, ..metre() }.equivalent().unwrap();
    assert_eq!(both.resistance, 2.0 * alone.resistance);
    assert_eq!(both.inductance, alone.inductance);
    close(both.inductance, 648.65e-9, 1e-3);
    assert!(both.remarks.is_empty());
}

#[test]
fn without_spacing_a_lone_wire() {
    let equivalent = metre().equivalent().unwrap();
    assert_eq!(equivalent.remarks[0].code, "wire_without_spacing");
    close(equivalent.inductance, 1550.6e-9, 1e-3);
}

#[test]
fn strands_leave_area_and_gauge_alone_and_count_for_diameter() {
    let solid = Wire { area: Some(2.5e-6), gauge: None, ..metre() };
    let flexible = Wire { strands: Some(50.0), ..solid };
    assert_eq!(solid.equivalent().unwrap().resistance, flexible.equivalent().unwrap().resistance);
    assert!(solid.equivalent().unwrap().inductance > flexible.equivalent().unwrap().inductance);
    let seven = Wire { diameter: Some(0.2e-3), strands: Some(7.0), gauge: None, ..metre() };
    let one = Wire { strands: None, ..seven };
    close(one.equivalent().unwrap().resistance / seven.equivalent().unwrap().resistance, 7.0, 1e-12);
}

#[test]
fn stated_values_stand() {
    let link = Wire { resistance: Some(1e-3), ..Wire::default() }.equivalent().unwrap();
    assert_eq!((link.resistance, link.inductance), (1e-3, 0.0));
    let both = Wire { resistance: Some(1e-3), spacing: Some(1.6e-3), ..metre() }.equivalent().unwrap();
    assert_eq!(both.resistance, 1e-3);
    close(both.inductance, 648.65e-9, 1e-3);
}

#[test]
fn every_contradiction_is_told() {
    let property = |wire: Wire| wire.equivalent().unwrap_err()[0].property;
    assert_eq!(property(Wire::default()), "length");
    assert_eq!(property(Wire { gauge: None, ..metre() }), "length");
    assert_eq!(property(Wire { area: Some(1e-6), ..metre() }), "area");
    assert_eq!(property(Wire { spacing: Some(0.5e-3), ..metre() }), "spacing");
    assert_eq!(property(Wire { gauge: Some(99.0), ..metre() }), "gauge");
    assert_eq!(property(Wire { temperature: Some(20.0), ..metre() }), "temperature");
    let many = Wire { length: Some(-1.0), strands: Some(0.5), ..metre() };
    assert_eq!(many.equivalent().unwrap_err().len(), 2);
}

#[test]
fn flexible_conductors_go_by_their_table() {
    // IEC 60228 class 5, ohm/km at 20 degC; at 80 degC by the law of IEC 60028.
    let class = Some(Class::Flexible);
    let flexible = Wire { gauge: None, area: Some(2.5e-6), class, spacing: Some(4e-3), ..metre() };
    close(flexible.equivalent().unwrap().resistance, 7.98e-3, 1e-12);
    let hot = Wire { temperature: Some(353.15), ..flexible };
    close(hot.equivalent().unwrap().resistance, 7.98e-3 * (1.0 + 60.0 * 0.00393), 1e-12);
    let property = |wire: Wire| wire.equivalent().unwrap_err()[0].property;
    assert_eq!(property(Wire { area: Some(2.6e-6), ..flexible }), "area");
    assert_eq!(property(Wire { area: None, gauge: Some(14.0), ..flexible }), "conductor");
}

#[test]
fn a_twisted_pair_takes_more_wire() {
    // Geometry: sqrt(1 + (pi 1.6/20)^2) = 1.0311.
    let straight = Wire { spacing: Some(1.6e-3), return_included: true, ..metre() };
    let twisted = Wire { pitch: Some(20e-3), ..straight };
    let (straight, twisted) = (straight.equivalent().unwrap(), twisted.equivalent().unwrap());
    close(twisted.resistance / straight.resistance, 1.0311, 1e-4);
    close(twisted.mass.unwrap() / straight.mass.unwrap(), 1.0311, 1e-4);
}

#[test]
fn skin_effect_leaves_direct_current_alone() {
    let plain = Wire { spacing: Some(1.6e-3), return_included: true, ..metre() };
    let (with, without) =
        (Wire { skin_effect: true, ..plain }.equivalent().unwrap(), plain.equivalent().unwrap());
    assert_eq!(with.resistance, without.resistance);
    let inside: f64 = with.sections.iter().map(|section| section.inductance).sum();
    close(with.inductance + inside, without.inductance, 1e-12);
    // The pair's inductance without its inside is 548.65 nH/m. At 30 MHz, where the radius is 34 skin depths, the inside still
    // has 2/34 of its 100 nH; less than that stays beyond.
    assert!(with.inductance > 548.6e-9 && with.inductance < 554.6e-9, "{}", with.inductance);
}

#[test]
fn what_is_outside_a_formula_is_told() {
    let codes = |wire: Wire| -> Vec<&str> {
        wire.equivalent().unwrap().remarks.iter().map(|remark| remark.code).collect()
    };
    let wire = Wire { spacing: Some(1.6e-3), ..metre() };
    assert!(codes(wire).is_empty());
    assert_eq!(codes(Wire { length: Some(150.0), ..wire }), ["wire_implausible"]);
    assert_eq!(codes(Wire { spacing: Some(0.2), ..wire }), ["wire_outside_range"]);
    assert_eq!(codes(Wire { temperature: Some(473.15), ..wire }), ["wire_outside_range"]);
    assert_eq!(codes(Wire { overload_time: Some(30.0), ..wire }), ["wire_outside_range"]);
    assert_eq!(codes(Wire { pitch: Some(2e-3), ..wire }), ["wire_implausible"]);
}

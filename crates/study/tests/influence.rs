//! What a value moves, against Ohm's law.

use crate::common::{assert_close, read};
use study::Options;
use study::influence::influences;

/// 12 V behind 100 mohm into 2 A: 11.8 V; half as much again takes 0.1 V more, two thirds 0.0667 V less. The load alone is 12 V less
/// 0.1 V for each ampere.
#[test]
fn a_resistance_moves_the_rail_as_ohm_says() {
    let text = "battery pack gnd -> bus  emf 12 V, resistance 100 mohm
        load eye bus -> gnd  current 2 A, input_capacitance 0 F
        testpoint rail = voltage(bus)
        require minimum(rail) > 11.7 V
        transient run  span 1 ms, start steady";
    let found = influences(&read(text), &[vec![]], &Options::default());
    let of = |part: &str, property: &str| {
        let one = found.iter().find(|one| one.part == part && one.property == property);
        let one = one.unwrap_or_else(|| panic!("{part}.{property}: {found:?}"));
        (one.requirements[0].0.unwrap(), one.requirements[0].1.unwrap())
    };
    let (low, high) = of("pack", "resistance");
    assert_close(low, 12.0 - 2.0 * 0.1 / 1.5, 1e-9);
    assert_close(high, 12.0 - 2.0 * 0.1 * 1.5, 1e-9);
    let (low, high) = of("eye", "current");
    assert_close(low, 12.0 - 0.1 * 2.0 / 1.2, 1e-9);
    assert_close(high, 12.0 - 0.1 * 2.0 * 1.2, 1e-9);
}

#[test]
fn a_tolerance_of_the_file_goes_before_what_is_usual() {
    let text = "battery pack gnd -> bus  emf 12 V, resistance 100 mohm +- 5 mohm
        load eye bus -> gnd  resistance 6 ohm
        testpoint rail = voltage(bus)
        require minimum(rail) > 11.7 V
        transient run  span 1 ms, start steady";
    let found = influences(&read(text), &[vec![]], &Options::default());
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].stated);
    assert_close(found[0].ends.0, 0.095, 1e-12);
    assert_close(found[0].requirements[0].1.unwrap(), 12.0 * 6.0 / 6.105, 1e-9);
}

/// An inductance between an ideal pack and a constant current changes nothing; it is the pack's own 30 nH a cell that is moved, to
/// half and double.
#[test]
fn the_inductance_that_is_assumed_of_a_pack_is_moved_too() {
    let text = "battery pack gnd -> bus  cells 4, chemistry li_ion, charge 60 %, cell_resistance 20 mohm
        load eye bus -> gnd  current 2 A, input_capacitance 0 F
        testpoint rail = voltage(bus)
        require minimum(rail) > 11.7 V
        transient run  span 1 ms, start steady";
    let found = influences(&read(text), &[vec![]], &Options::default());
    let one = found.iter().find(|one| one.property == "inductance").expect("it is moved");
    assert!(one.assumed && !one.stated);
    assert_close(one.value, 120e-9, 1e-12);
    assert_close(one.ends.0, 60e-9, 1e-12);
    assert_close(one.ends.1, 240e-9, 1e-12);
    let (low, high) = one.requirements[0];
    assert_close(low.expect("a value"), high.expect("a value"), 1e-6);
    let stated = text.replace("cells 4", "cells 4, inductance 50 nH");
    let found = influences(&read(&stated), &[vec![]], &Options::default());
    assert!(found.iter().all(|one| !one.assumed), "{found:?}");
}

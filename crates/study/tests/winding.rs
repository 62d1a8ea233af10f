//! Winding sheets, from the text of a harness on.

use crate::common::{assert_close, read};
use study::Options;
use study::winding::{Spread, sheets};

const RING: &str = "outer 25.3 mm, inner 14.8 mm, height 10 mm, wire_diameter 0.5 mm";

/// By hand: 10 turns of 250 uH make 2.5 uH a turn squared; 82 turns lie on the bore; a turn takes (OD - ID) + 2 h + pi d = 32.209 mm
/// with the 0.544 mm of IEC 60317-0-1; copper of IEC 60028 has 0.0172414 ohm mm2/m.
#[test]
fn a_sheet_says_what_the_hand_says() {
    let text = format!(
        "battery pack gnd -> bus cells 4, chemistry li_ion
        camera eye cam -> gnd current 110 mA
        coil choke bus -> cam {RING}, test_turns 10, test_inductance 250 uH, turns 9
        capacitor store cam -> gnd capacitance 470 uF, rated 25 V
        capacitor small cam -> gnd capacitance 100 nF, rated 25 V, type film"
    );
    let found = sheets(&read(&text), &Options::default()).unwrap();
    assert!(found.without.is_empty() && found.sheets.len() == 1, "{found:?}");
    let sheet = &found.sheets[0];
    assert_close(sheet.inductance.nominal, 202.5e-6, 1e-9);
    assert_eq!(sheet.inductance.spread, Spread::Measured);
    assert_close(sheet.miscounted.0, 160e-6, 1e-9);
    assert_close(sheet.miscounted.1, 250e-6, 1e-9);
    assert_close(sheet.wire.length, 9.0 * 32.209e-3, 1e-4);
    // A tenth would be 29 mm, too little to hold on to.
    assert_close(sheet.wire.cut, sheet.wire.length + 0.06, 1e-9);
    let area = std::f64::consts::PI / 4.0 * 0.25;
    assert_close(sheet.resistance.nominal, 0.017_241_4 * sheet.wire.length / area, 1e-4);
    assert_close(sheet.fill, 9.0 * (0.544_f64 / 14.8).powi(2), 1e-9);
    assert_eq!((sheet.one_layer, sheet.layers.as_slice()), (82.0, [9.0].as_slice()));
    assert_eq!(sheet.cans.len(), 1, "a film capacitor has no stripe: {:?}", sheet.cans);
    assert_eq!((sheet.cans[0].plus.as_str(), sheet.cans[0].minus.as_str()), ("cam", "gnd"));
    assert_close(sheet.camera_current, 0.11, 1e-12);
    assert!(sheet.cautions.iter().any(|caution| caution.contains("Lithium")));
}

#[test]
fn a_stated_tolerance_is_the_range_and_long_wire_gets_a_tenth() {
    let coil = |more: &str| {
        format!("coil choke bus -> gnd {RING}, turns 80, {more}\nload lamp bus -> gnd resistance 1 ohm")
    };
    let range = |more: &str| {
        let sheet = sheets(&read(&coil(more)), &Options::default()).unwrap().sheets.remove(0);
        assert_close(sheet.wire.cut, 1.1 * sheet.wire.length, 1e-9);
        let nominal = sheet.inductance.nominal;
        ((1.0 - sheet.inductance.range.0 / nominal) * 100.0).round()
    };
    assert_eq!(range("al 100 nH +- 8 %"), 8.0);
    assert_eq!(range("al 100 nH +- 8 nH"), 8.0);
    assert_eq!(range("al 100 nH"), 25.0);
    assert_eq!(range("al 100 nH, material powder"), 10.0);
    assert_eq!(range("permeability 2000 +- 20 %"), 20.0);
}

#[test]
fn picks_are_named_and_what_is_missing_is_told() {
    let text = format!(
        "battery pack gnd -> bus emf 12 V
        load eye cam -> gnd current 100 mA
        choice filter {{
            option none {{ wire link bus -> cam resistance 1 mohm }}
            option bought {{ coil choke bus -> cam inductance 100 uH }}
            option wound {{ coil choke bus -> cam {RING}, al 2.5 uH, turns 9 }}
            option damped {{
                coil choke bus -> mid {RING}, al 2.5 uH, turns 9
                resistor damper mid -> cam resistance 1 ohm
                capacitor store cam -> gnd capacitance 470 uF, rated 25 V
            }}
        }}"
    );
    let description = read(&text);
    let found = sheets(&description, &Options::default()).unwrap();
    let by: Vec<&[String]> = found.sheets.iter().map(|sheet| sheet.fitted_by.as_slice()).collect();
    assert_eq!(by, [["filter wound".to_owned()].as_slice(), ["filter damped".to_owned()].as_slice()]);
    // The capacitor of the same pick goes with the coil, though no node is shared.
    assert_eq!((found.sheets[0].cans.len(), found.sheets[1].cans.len()), (0, 1));
    assert_eq!(found.without[0].0, "choke");
    assert_eq!(found.without[0].1, "`outer`, `inner`, `height`, `turns`, `wire_diameter`");
    let only = Options { only: vec![("filter".into(), "damped".into())], ..Options::default() };
    let found = sheets(&description, &only).unwrap();
    assert_eq!(found.sheets.len(), 1);
    assert_eq!(found.sheets[0].fitted_by, ["filter damped"]);
}

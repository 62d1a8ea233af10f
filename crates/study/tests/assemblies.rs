//! A fitted assembly against the same parts written by hand: the same network, so the same numbers to the last digit.

use language::{Description, Source};
use proptest::prelude::*;
use study::{Options, compare};

const BASE: &str = "\
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive   motor bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 40 %
load    eye   cam -> gnd  current 100 mA
testpoint rail = voltage(cam)
reading noise = peak_to_peak(rail)
reading low   = minimum(rail)
transient ripple span 1 ms, start steady
";

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The readings of a file with statements added to the base, the last of them the peak current of the first coil.
fn values(statements: &str) -> Vec<f64> {
    let comparison = compare(&read(&format!("{BASE}{statements}")), &Options::default()).expect("one point");
    let [run] = comparison.runs.as_slice() else { panic!("one run") };
    assert!(run.error.is_none(), "{:?}", run.error);
    run.readings.iter().map(|reading| reading.value.expect("a value")).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn an_assembly_is_its_parts(l in 20_u32..500, c in 10_u32..500, esr in 10_u32..300) {
        let by_hand = values(&format!(
            "coil choke bus -> mid inductance {l} uH, dcr 0.5 ohm, saturation_current 400 mA\n\
             resistor burden mid -> cam resistance {esr} mohm * 2\n\
             capacitor store cam -> gnd capacitance {c} uF, esr {esr} mohm\n\
             testpoint flow = current(choke)\nreading peak_current = peak(flow)\n"
        ));
        let fitted = values(&format!(
            "assembly filter(l, c, r) in, out {{\n\
                 let twice = r * 2\n\
                 coil choke in -> mid inductance l, dcr 0.5 ohm, saturation_current 400 mA\n\
                 resistor burden mid -> out resistance twice\n\
                 capacitor store out -> gnd capacitance c, esr r\n\
             }}\n\
             testpoint flow = current(f.choke)\nreading peak_current = peak(flow)\n\
             fit filter f bus, cam  l {l} uH, c {c} uF, r {esr} mohm\n"
        ));
        let nested = values(&format!(
            "assembly filter(l, c, r) in, out {{\n\
                 fit series s in, out  l l, r r * 2\n\
                 capacitor store out -> gnd capacitance c, esr r\n\
             }}\n\
             assembly series(l, r) from, to {{\n\
                 coil choke from -> mid inductance l, dcr 0.5 ohm, saturation_current 400 mA\n\
                 resistor burden mid -> to resistance r\n\
             }}\n\
             testpoint flow = current(f.s.choke)\nreading peak_current = peak(flow)\n\
             fit filter f bus, cam  l {l} uH, c {c} uF, r {esr} mohm\n"
        ));
        prop_assert_eq!(&fitted, &by_hand);
        prop_assert_eq!(&nested, &by_hand);
    }
}

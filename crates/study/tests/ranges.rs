//! Values that are possible and yet outside a model's range are told with the range and its reason.

use language::Source;

/// All that is told of a harness with this part, without running it.
fn told(part: &str) -> Vec<String> {
    let text = format!(
        "battery pack gnd -> bus  emf 12 V, resistance 40 mohm\n\
         {part}\n\
         load eye far -> gnd  resistance 100 ohm\n\
         wire join bus -> far  resistance 1 mohm\n\
         testpoint rail = voltage(far)\n\
         transient run  span 1 ms, start steady\n"
    );
    let source = Source { name: "test.harness".into(), text };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{part}: {mistakes:#?}"));
    let examination = study::examine(&description);
    assert!(examination.errors.is_empty(), "{part}: {:#?}", examination.errors);
    examination.warnings.iter().map(|noted| noted.warning.text.clone()).collect()
}

const RING: &str =
    "coil k bus -> far  outer 25.3 mm, inner 14.8 mm, height 10 mm, turns 13, wire_diameter 0.5 mm";

#[test]
fn each_range_is_named_with_its_reason() {
    let cases = [
        (format!("{RING}, material ferrite_mnzn, permeability 2200, gap 8 mm"), ["up to 716", "bulges"]),
        (
            format!("{RING}, material ferrite_mnzn, permeability 2200, temperature -60 degC"),
            ["from -40 degC", "straight line"],
        ),
        (
            format!("{RING}, material ferrite_mnzn, permeability 2200, temperature 195 degC"),
            ["Curie", "210 degC"],
        ),
        (
            format!(
                "{RING}, material ferrite_mnzn, permeability 2200, loss_frequency 5 MHz, loss_flux_density 50 mT"
            ),
            ["up to 1 MHz", "fitted"],
        ),
        (
            format!(
                "{RING}, material ferrite_mnzn, permeability 2200, loss_frequency 100 kHz, loss_flux_density 600 mT"
            ),
            ["up to 0.3 T", "near full"],
        ),
        (format!("{RING}, material powder, permeability 2000"), ["3 to 300", "another material"]),
        (
            "diode d bus -> far  saturation 1 nA, temperature 300 degC".into(),
            ["-55 degC to 175 degC", "silicon"],
        ),
        (
            "wire w bus -> far  length 1 m, gauge 24 AWG, spacing 4 mm, pitch 3 mm".into(),
            ["tighter than 12.57 mm", "45 degrees"],
        ),
        (
            "capacitor c far -> gnd  capacitance 100 uF, type electrolytic, rated 250 V".into(),
            ["6.3 V to 100 V", "nearest row"],
        ),
        (
            "capacitor c far -> gnd  capacitance 100 uF, type electrolytic, rated 25 V, temperature -60 degC"
                .into(),
            ["-40 degC to 105 degC", "nearer end"],
        ),
        (
            "drive d bus -> gnd  current 1 A, pwm 2 MHz, duty 50 %, rise 20 ns, fall 20 ns".into(),
            ["good up to", "model"],
        ),
        (
            "battery b gnd -> far  cells 3, chemistry li_po, cell_resistance 6 mohm, temperature -40 degC"
                .into(),
            ["degC", "-"],
        ),
    ];
    for (part, wanted) in cases {
        let told = told(&part);
        let found = told.iter().any(|text| wanted.iter().all(|each| text.contains(each)));
        assert!(found, "{part}: {told:#?}");
    }
}

/// Ordinary values are told nothing.
#[test]
fn within_the_ranges_nothing_is_told() {
    for part in [
        format!(
            "{RING}, material ferrite_mnzn, permeability 2200, gap 0.2 mm, temperature 60 degC, loss_frequency 20 kHz"
        ),
        "diode d bus -> far  saturation 1 nA, temperature 80 degC".into(),
        "wire w bus -> far  length 1 m, gauge 24 AWG, spacing 2 mm, pitch 20 mm".into(),
        "capacitor c far -> gnd  capacitance 100 uF, type electrolytic, rated 35 V, temperature 0 degC"
            .into(),
    ] {
        assert_eq!(told(&part), [""; 0], "{part}");
    }
}

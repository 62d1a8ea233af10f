//! Each two-terminal part gives the same impedance in time, by a small sine, as over frequency.
//!
//! The two roads share a part's equivalent but no formula: one moves a state through time and takes the first harmonic, the other
//! solves with complex numbers. What is wrong in the equivalent itself is not seen here, and tested with the part.

use language::{Description, Source};
use study::Options;
use study::result::Run;

/// A part `it` between `x` and `gnd`, fed with a direct voltage and a small sine through a resistance.
struct Case {
    what: &'static str,
    part: &'static str,
    /// Direct voltage in volt before the resistance.
    bias: f64,
    /// Resistance in ohm, in the size of the part's impedance.
    feed: f64,
    /// Amplitude of the sine in volt: so small that laws are straight within it.
    amplitude: f64,
    frequencies: [f64; 5],
}

const CASES: &[Case] = &[
    Case {
        what: "a pair of wires",
        part: "wire it x -> gnd  length 1 m, gauge 20 AWG, spacing 2 mm, return included",
        bias: 0.1,
        feed: 1.0,
        amplitude: 1.0,
        frequencies: [100.0, 10e3, 100e3, 1e6, 10e6],
    },
    Case {
        what: "a pair of wires with skin effect",
        part: "wire it x -> gnd  length 1 m, gauge 20 AWG, spacing 2 mm, return included, skin_effect included",
        bias: 0.1,
        feed: 1.0,
        amplitude: 1.0,
        frequencies: [100.0, 50e3, 500e3, 5e6, 20e6],
    },
    Case {
        what: "a bead with current through it",
        part: "bead it x -> gnd  peak_resistance 600 ohm, inductance 1 uH, capacitance 0.2 pF, dcr 0.1 ohm, saturation_current 500 mA",
        bias: 0.3,
        feed: 1.0,
        amplitude: 1e-3,
        frequencies: [100e3, 1e6, 10e6, 100e6, 300e6],
    },
    Case {
        what: "a coil that saturates",
        part: "coil it x -> gnd  inductance 330 uH, dcr 0.35 ohm, saturation_current 350 mA, residual 9 uH, winding_capacitance 20 pF, loss_resistance 20 kohm",
        bias: 0.4,
        feed: 1.0,
        amplitude: 1e-3,
        frequencies: [50.0, 1e3, 20e3, 200e3, 2e6],
    },
    Case {
        what: "an electrolytic capacitor",
        part: "capacitor it x -> gnd  capacitance 470 uF, esr 80 mohm, esl 12 nH, leakage 50 kohm, rated 25 V",
        bias: 12.0,
        feed: 0.1,
        amplitude: 0.1,
        frequencies: [10.0, 1e3, 20e3, 500e3, 5e6],
    },
    Case {
        what: "a ceramic capacitor at voltage",
        part: "capacitor it x -> gnd  capacitance 10 uF, esr 5 mohm, esl 1 nH, half_voltage 4 V, floor 10 %",
        bias: 5.0,
        feed: 1.0,
        amplitude: 1e-3,
        frequencies: [100.0, 10e3, 100e3, 1e6, 20e6],
    },
    Case {
        what: "a battery that recovers slowly",
        part: "battery it gnd -> x  emf 16 V, resistance 60 mohm, inductance 120 nH, polarisation_resistance 40 mohm, polarisation_capacitance 1 F",
        bias: 15.0,
        feed: 0.1,
        amplitude: 0.01,
        frequencies: [1.0, 4.0, 20.0, 10e3, 1e6],
    },
    Case {
        what: "an electrolytic capacitor by its type, in the cold and aged",
        part: "capacitor it x -> gnd  type electrolytic, capacitance 470 uF, rated 25 V, esl 12 nH, temperature -10 degC, age 2",
        bias: 12.0,
        feed: 0.1,
        amplitude: 0.1,
        frequencies: [10.0, 120.0, 20e3, 500e3, 50e6],
    },
    Case {
        what: "a ceramic capacitor by its table, at voltage",
        part: "capacitor it x -> gnd  capacitance_table [0 V: 10 uF, 2 V: 8 uF, 5 V: 4 uF, 10 V: 2 uF], esr 5 mohm, esl 1 nH",
        bias: 4.0,
        feed: 1.0,
        amplitude: 1e-3,
        frequencies: [100.0, 10e3, 100e3, 1e6, 20e6],
    },
    Case {
        what: "a film capacitor with its loss across it",
        part: "capacitor it x -> gnd  type film, capacitance 1 uF, esl 5 nH, loss_factor 1 %, loss_frequency 1 kHz, loss_model parallel",
        bias: 4.0,
        feed: 10.0,
        amplitude: 0.1,
        frequencies: [10.0, 1e3, 100e3, 1e6, 20e6],
    },
    Case {
        what: "a battery with both slow pairs of the published cell",
        part: "battery it gnd -> x  cells 3, chemistry li_po, charge 30 %, capacity 2.2 Ah, cell_model published, temperature 0 degC",
        bias: 11.0,
        feed: 0.1,
        amplitude: 0.01,
        frequencies: [1.0, 4.0, 20.0, 10e3, 1e6],
    },
];

impl Case {
    fn description(&self, frequency: f64) -> Description {
        let text = format!(
            "source test gnd -> s  voltage sine, amplitude {} V, offset {} V, frequency {frequency} Hz\n\
             resistor feed s -> x  resistance {} ohm\n\
             {}\n\
             testpoint across = voltage(x)\n\
             testpoint whole  = voltage(s)\n\
             testpoint drawn  = current(feed)\n\
             reading size = harmonic(across, 1) / harmonic(drawn, 1)\n\
             reading sum  = harmonic(whole, 1) / harmonic(drawn, 1)\n\
             transient swing  span 1 ms, start steady\n\
             frequency [{frequency} Hz]\n\
             response part = transfer(voltage(x), test) / transfer(voltage(s, x), test)\n",
            self.amplitude, self.bias, self.feed, self.part
        );
        let source = Source { name: "test.harness".into(), text };
        language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{}: {mistakes:#?}", self.what))
    }

    /// Size of the part's impedance, and of its sum with the feed's resistance, which tells the angle.
    fn in_time(&self, frequency: f64) -> [f64; 2] {
        let comparison = study::compare(&self.description(frequency), &Options::default()).expect("options");
        let run: &Run = &comparison.runs[0];
        assert_eq!(run.error, None, "{}", self.what);
        [0, 1].map(|index| run.readings[index].value.expect("a value"))
    }

    fn over_frequency(&self, frequency: f64) -> [f64; 2] {
        let responses = study::responses(&self.description(frequency), &Options::default()).expect("options");
        let curve = responses.curves[0][0].as_ref().expect("a curve");
        let ratio = curve.values[0].expect("a value");
        let (re, im) = (ratio.re * self.feed, ratio.im * self.feed);
        [re.hypot(im), (re + self.feed).hypot(im)]
    }
}

#[test]
fn impedances_agree() {
    for case in CASES {
        for frequency in case.frequencies {
            let (time, exact) = (case.in_time(frequency), case.over_frequency(frequency));
            for (time, exact) in time.into_iter().zip(exact) {
                // A run in time is good to 1e-4 of the swing, and two of its readings are divided.
                assert!((time / exact - 1.0).abs() < 1e-3, "{} at {frequency} Hz: {time} {exact}", case.what);
            }
        }
    }
}

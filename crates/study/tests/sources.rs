//! Sources in time against closed forms.

use language::Source;
use study::Options;

/// The values of the named readings.
fn readings(text: &str) -> Vec<f64> {
    let source = Source { name: "test.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let comparison = study::compare(&description, &Options::default()).expect("options");
    let run = &comparison.runs[0];
    assert_eq!(run.error, None);
    run.readings.iter().map(|reading| reading.value.expect("a value")).collect()
}

/// Within the share of the swing that runs are good to.
#[track_caller]
fn close(found: f64, exact: f64, swing: f64) {
    assert!((found - exact).abs() < 1e-4 * swing, "{found}, not {exact}");
}

/// A sine of a volts around b through R into C: amplitude a / sqrt(1 + (2 pi f R C)^2), mean b.
#[test]
fn sine_through_a_low_pass() {
    let found = readings(
        "source s gnd -> in  voltage sine, amplitude 2 V, offset 5 V, frequency 1 kHz, phase 30 %\n\
         resistor r in -> out  resistance 1 kohm\n\
         capacitor c out -> gnd  capacitance 220 nF\n\
         testpoint o = voltage(out)\n\
         testpoint i = voltage(in)\n\
         reading swing = peak_to_peak(o)\n\
         reading level = mean(o)\n\
         reading rms = rms_ac(o)\n\
         reading top = time_of_maximum(i)\n\
         transient run  span 1 ms, start steady\n",
    );
    let amplitude = 2.0 / (std::f64::consts::TAU * 1e3 * 1e3 * 220e-9).hypot(1.0);
    close(found[0], 2.0 * amplitude, amplitude);
    close(found[1], 5.0, amplitude);
    close(found[2], amplitude / 2.0_f64.sqrt(), amplitude);
    // A quarter of a period after the rise through the offset, 0.3 of a period early; a chord is half a microsecond.
    assert!((found[3] - 0.95e-3).abs() < 0.6e-6, "{}", found[3]);
}

/// A current that jumps from 0 to 3 mA at 1 ms into R and C in parallel: 3 mA R (1 - exp(-(t - 1 ms)/RC)).
#[test]
fn a_jump_between_two_points_of_one_time() {
    let found = readings(
        "source s gnd -> out  current points [0 s: 0 A, 1 ms: 0 A, 1 ms: 3 mA]\n\
         resistor r out -> gnd  resistance 1 kohm\n\
         capacitor c out -> gnd  capacitance 1 uF\n\
         testpoint o = voltage(out)\n\
         reading before = at(o, 1 ms)\n\
         reading after = at(o, 2.5 ms)\n\
         transient run  span 4 ms, start rest\n",
    );
    close(found[0], 0.0, 3.0);
    close(found[1], 3.0 * (1.0 - (-1.5_f64).exp()), 3.0);
}

/// A sine of current begins at t = 0 from rest: i = I sin wt into C is v = (I / w C) (1 - cos wt).
#[test]
fn a_sine_from_rest() {
    let found = readings(
        "source s gnd -> out  current sine, amplitude 1 A, frequency 50 Hz\n\
         capacitor c out -> gnd  capacitance 1 mF\n\
         testpoint o = voltage(out)\n\
         reading third = at(o, 10 ms / 3)\n\
         reading top = maximum(o)\n\
         transient run  span 20 ms, start rest\n",
    );
    let size = 1.0 / (std::f64::consts::TAU * 50.0 * 1e-3);
    close(found[0], size * (1.0 - (std::f64::consts::PI / 3.0).cos()), 2.0 * size);
    close(found[1], 2.0 * size, 2.0 * size);
}

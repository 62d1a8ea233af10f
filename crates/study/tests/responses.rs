//! Responses from the text of a harness on, against impedances worked out by hand.

use language::{Description, Source};
use std::f64::consts::TAU;
use study::result::{Curve, Responses, Rhythm};
use study::{Options, responses};

/// A pack of 0.1 ohm feeds a drive; the camera's side hangs on it through a coil.
const HARNESS: &str = "\
battery pack  gnd -> bus  emf 12 V, resistance 100 mohm
drive   motor bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rise 200 ns, fall 200 ns, \
commutation 480 Hz, commutation_depth 5 %
load    eye   cam -> gnd  current 100 mA
choice filter {
    option none   { resistor link bus -> cam  resistance 1 mohm }
    option coil   {
        coil      choke bus -> cam  inductance 330 uH, dcr 0.3 ohm
        capacitor store cam -> gnd  capacitance 330 uF, esr 50 mohm
    }
}
condition throttle { case idle { set motor.duty = 0 % } case cruise { } case pulses { set motor.pwm = 10 kHz } }
testpoint rail = voltage(cam)
frequency 10 Hz .. 100 kHz, points 20
response path  = transfer(voltage(cam), motor)
response pushed = transfer(voltage(cam), pack)
response port  = impedance(cam)
response gain  = path / transfer(voltage(bus), motor)
response across = transfer(voltage(bus, cam), motor)
";

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn found(text: &str) -> Responses {
    responses(&read(text), &Options::default()).expect("every point is asked for")
}

fn curve<'a>(found: &'a Responses, at: &[usize], name: &str) -> &'a Curve {
    let run = found.points.runs.iter().position(|run| run.at == at).expect("that point is run");
    let response =
        found.responses.iter().position(|info| info.name == name).expect("that response is asked for");
    found.curves[run][response].as_ref().expect("a curve")
}

type Complex = engine::Complex<f64>;

/// The filtered camera by hand: the drive's ampere divides the pack's 0.1 ohm and the coil's branch.
fn by_hand(frequency: f64) -> (Complex, Complex) {
    let omega = TAU * frequency;
    let pack = Complex::new(0.1, 0.0);
    let coil = Complex::new(0.3, omega * 330e-6);
    let store = Complex::new(0.05, -1.0 / (omega * 330e-6));
    let bus = -(pack * (coil + store)) / (pack + coil + store);
    (bus * store / (coil + store), bus)
}

#[test]
fn curves_follow_the_circuit() {
    let found = found(HARNESS);
    let (path, gain, across) =
        (curve(&found, &[1, 1], "path"), curve(&found, &[1, 1], "gain"), curve(&found, &[1, 1], "across"));
    assert_eq!((path.frequencies.len(), path.frequencies[0], path.frequencies[80]), (81, 10.0, 100e3));
    for (k, frequency) in path.frequencies.iter().enumerate() {
        let (camera, bus) = by_hand(*frequency);
        for (curve, expected) in [(path, camera), (gain, camera / bus), (across, bus - camera)] {
            let value = curve.values[k].expect("a value");
            let error = (Complex::new(value.re, value.im) - expected).norm() / expected.norm();
            assert!(error < 1e-12, "{frequency} Hz: {value:?}, expected {expected}");
        }
    }
    // One ampere drawn pulls the camera down by the pack's resistance; a volt of the pack arrives whole.
    assert!((path.values[0].expect("a value").re + 0.1).abs() < 1e-3);
    let pushed = curve(&found, &[0, 1], "pushed").values[0].expect("a value");
    assert!((pushed.re - 1.0).abs() < 1e-9, "{pushed:?}");
}

#[test]
fn peaks_lie_between_the_points() {
    let found = found(HARNESS);
    let (frequency, magnitude) = curve(&found, &[1, 1], "gain").peak.expect("a peak");
    // Searched here by brute force.
    let gain = |frequency: f64| {
        let (camera, bus) = by_hand(frequency);
        (camera / bus).norm()
    };
    let tried = (0..100_000).map(|k| 100.0 * f64::powf(10.0, f64::from(k) / 100_000.0));
    let best = tried.max_by(|one, other| gain(*one).total_cmp(&gain(*other))).expect("some");
    assert!((magnitude / gain(best) - 1.0).abs() < 1e-7, "{magnitude}");
    assert!((frequency / best - 1.0).abs() < 1e-3, "{frequency}, {best}");
    assert_eq!(curve(&found, &[0, 1], "path").peak, None);
}

#[test]
fn lines_of_all_points_are_looked_at_everywhere() {
    let found = found(HARNESS);
    let lines: Vec<(Rhythm, f64)> = found.lines.iter().map(|line| (line.what, line.frequency)).collect();
    assert_eq!(lines, [(Rhythm::Commutation, 480.0), (Rhythm::Pwm, 10e3), (Rhythm::Pwm, 20e3)]);
    let path = curve(&found, &[1, 0], "path");
    for (line, magnitude) in found.lines.iter().zip(&path.at_lines) {
        let expected = by_hand(line.frequency).0.norm();
        assert!((magnitude.expect("a value") / expected - 1.0).abs() < 1e-12);
    }
    let decades: Vec<f64> = path.decades.iter().map(|(frequency, _)| *frequency).collect();
    assert_eq!(decades, [10.0, 100.0, 1e3, 10e3, 100e3]);
}

#[test]
fn responses_that_name_what_is_absent_are_null() {
    let found = found(
        "battery pack gnd -> bus emf 12 V, resistance 100 mohm\nload eye bus -> gnd current 100 mA\n\
         choice filter { option none { } option damper { resistor r bus -> far resistance 1 ohm\n\
         capacitor c far -> gnd capacitance 1 uF } }\nfrequency [1 kHz]\nresponse z = impedance(far)",
    );
    assert_eq!(found.curves[0], [None]);
    assert!(found.curves[1][0].is_some());
    assert!(found.points.runs.iter().all(|run| run.error.is_none()));
}

/// Without loss there is no answer at the resonance itself, and the warning says whose it is.
#[test]
fn a_lossless_resonance_is_told() {
    let found = found(
        "coil choke top -> gnd inductance 1 H\ncapacitor c top -> gnd capacitance 1 F\n\
         frequency [0.1 Hz, 1 Hz / (2 * pi), 1 Hz]\nresponse z = impedance(top)",
    );
    let values = &found.curves[0][0].as_ref().expect("a curve").values;
    assert_eq!(values.iter().map(Option::is_some).collect::<Vec<_>>(), [true, false, true]);
    let [warning] = found.points.runs[0].warnings.as_slice() else { panic!("one warning") };
    assert_eq!(warning.code, "no_answer");
    assert!(warning.text.contains("159.2 mHz"), "{}", warning.text);
}

/// The operating point of a load that the pack cannot feed does not exist; the point says so and the other keeps its curve.
#[test]
fn a_point_that_fails_leaves_the_others() {
    let found = found(
        "battery pack gnd -> bus emf 12 V, resistance 100 mohm\nfrequency [1 kHz]\nresponse z = impedance(bus)\n\
         choice c { option well { resistor r bus -> gnd resistance 1 ohm }\n\
         option ill { supply other gnd -> x voltage 5 V, resistance 0 ohm\n supply third gnd -> x voltage 6 V, resistance 0 ohm\n\
         resistor r x -> bus resistance 1 ohm } }",
    );
    assert!(found.curves[0][0].is_some() && found.points.runs[0].error.is_none());
    assert_eq!(found.curves[1], [None]);
    assert!(found.points.runs[1].error.as_deref().is_some_and(|text| text.contains("loop")));
}

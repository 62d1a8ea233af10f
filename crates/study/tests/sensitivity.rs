//! Sensitivities against differences of whole runs, for every value of the crawler, and against closed forms.

use language::description::Value;
use language::{Description, Source};
use quantity::{Quantity, unit_symbol};
use study::sensitivity::{Differentiated, Point, Slope, Stated, sensitivities};
use study::{Options, compare};

const CRAWLER: &str = include_str!("../../../netlists/crawler.harness");

/// Departure to either side in finite differences: their error is this squared times a sixth of a third derivative, 1e-6 of the change where
/// a resonance makes that 40.
const STEP: f64 = 4e-4;
/// Accuracy of their runs; divided by the step and for 1 % of the value it is 2.5e-7 of the swing.
const ACCURACY: f64 = 1e-8;

fn read(text: &str, settings: &[String]) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, settings).unwrap_or_else(|mistakes| panic!("{settings:?}: {mistakes:#?}"))
}

fn options(description: &Description, at: &[usize]) -> Options {
    let only = description
        .axes()
        .iter()
        .zip(at)
        .map(|(axis, index)| (axis.name.clone(), axis.points[*index].clone()));
    Options { only: only.collect(), accuracy: ACCURACY, pictures: false }
}

/// The readings of a point in the order of its sensitivities, with these settings.
fn run(text: &str, at: &[usize], settings: &[String], names: &[String]) -> Vec<f64> {
    let description = read(text, settings);
    let comparison = compare(&description, &options(&description, at)).expect("a point");
    let run = &comparison.runs[0];
    assert_eq!(run.error, None, "{settings:?}");
    let value = |name: &String| {
        let reading = run.readings.iter().find(|reading| reading.name == *name).map(|reading| reading.value);
        let required = run.requirements.iter().find(|one| one.text.starts_with(name.as_str()));
        reading.or_else(|| required.map(|one| one.value)).flatten().expect("a value")
    };
    names.iter().map(value).collect()
}

/// How the command line would set a value.
fn setting(description: &Description, at: &[usize], stated: &Stated, value: f64) -> String {
    let written = |quantity: Quantity| {
        format!(
            "{:e} {}",
            quantity.value,
            match unit_symbol(quantity.dimension).as_str() {
                "1" => return format!("{:e} %", 100.0 * quantity.value),
                unit => unit.to_owned(),
            }
        )
    };
    let quantity = Quantity { value, ..stated.value };
    let ends = ["lower", "upper"].map(|end| stated.name.strip_suffix(&format!(".{end}")));
    let Some(name) = ends[0].or(ends[1]) else { return format!("{}={}", stated.name, written(quantity)) };
    let harness = description.at(at);
    let (part, property) = name.split_once('.').expect("a property");
    let part = harness.parts.iter().find(|known| known.name == part).expect("a part");
    let Value::Range(lower, upper) = part.properties[property] else { panic!("no range") };
    let (lower, upper) = if ends[0].is_some() { (quantity, upper) } else { (lower, quantity) };
    format!("{name}={} .. {}", written(lower), written(upper))
}

/// The greatest departure of a point's sensitivities from finite differences, in what is allowed: a ten-thousandth of the change, or a
/// millionth of the reading for 1 % of the value. With the numbers compared and left out.
fn departure(text: &str, point: &Point, report: &mut String) -> (f64, usize, usize) {
    let description = read(text, &[]);
    let differentiated: Vec<&Differentiated> =
        point.readings.iter().filter(|reading| reading.excluded.is_none()).collect();
    let names: Vec<String> = differentiated.iter().map(|reading| reading.name.clone()).collect();
    let (mut worst, mut compared, mut left_out) = (0.0f64, 0, 0);
    for (index, stated) in point.values.iter().enumerate() {
        if differentiated.iter().all(|reading| reading.slopes[index].known().is_none()) {
            left_out += differentiated.len();
            continue;
        }
        let by = STEP * stated.value.value;
        let side = |by: f64| {
            let setting = setting(&description, &point.at, stated, stated.value.value + by);
            run(text, &point.at, &[setting], &names)
        };
        let (low, high) = (side(-by), side(by));
        for (number, reading) in differentiated.iter().enumerate() {
            let Slope::Known(slope) = reading.slopes[index] else {
                left_out += 1;
                continue;
            };
            let difference = (high[number] - low[number]) / (2.0 * by);
            let apart = (slope - difference).abs() * 0.01 * stated.value.value.abs();
            let allowed = (1e-4 * difference.abs() * 0.01 * stated.value.value.abs())
                .max(1e-6 * reading.value.expect("a value").abs());
            let ratio = if apart == 0.0 { 0.0 } else { apart / allowed };
            compared += 1;
            if ratio > 0.3 || ratio.is_nan() {
                *report += &format!(
                    "{:?} {} by {}: {slope:.8e} {difference:.8e} ({ratio:.2})\n",
                    point.at, reading.name, stated.name
                );
            }
            worst = worst.max(if ratio.is_nan() { f64::INFINITY } else { ratio });
        }
    }
    (worst, compared, left_out)
}

/// Every measure in time but saturation, of voltages, currents, powers and a flux, with and without bandwidth, over windows, and in arithmetic.
const MEASURES: &str = "\
harness \"Measures\"
let gauge_length = 300 mm
let share = 40 %
battery   pack  gnd -> bus  emf 12 V, resistance 50 mohm, inductance 100 nH
capacitor bulk  bus -> gnd  capacitance 220 uF, esr 40 mohm, esl 15 nH
drive     motor bus -> gnd  motors 2, current 3 A, pwm 20 kHz, duty 40 %, rise 1 us, fall 2 us, phase 10 %, stagger 30 %, ripple 20 %,
                            current_exponent 1
wire      feed  bus -> tap  length gauge_length, gauge 24 AWG, spacing 2 mm, temperature 40 degC
coil      choke tap -> cam  inductance 100 uH, dcr 0.2 ohm
capacitor store cam -> gnd  capacitance 10 uF, esr 0.1 ohm
load      lamp  cam -> gnd  resistance 60 ohm
testpoint rail    = voltage(cam), bandwidth 20 MHz
testpoint bare    = voltage(bus)
testpoint ripple  = current(bulk)
testpoint heat    = power(feed)
testpoint link    = flux(choke)
testpoint taken   = current(lamp)
reading average   = mean(rail)
reading noise     = peak_to_peak(rail)
reading lowest    = minimum(bare)
reading highest   = maximum(rail)
reading strongest = peak(ripple)
reading effective = rms(ripple)
reading alternating = rms_ac(bare)
reading sample    = at(rail, 13 us)
reading third     = harmonic(rail, 3)
reading first     = harmonic(bare, motor, 1)
reading low_band  = band(rail, 10 kHz .. 150 kHz)
reading gain      = attenuation(rail, bare)
reading lost      = mean(heat)
reading linked    = maximum(link)
reading draw      = rms(taken)
reading partly    = mean(rail) over 5 us .. 20 us
reading sums      = share * sqrt(noise * alternating) - min(noise, 100 V) ^ 2 / average
transient ripple  span 1 ms, start steady
";

/// The same where a coil and a capacitor bend, and how far the coil does.
const BENT: &str = "\
harness \"Bent\"
supply    pack  gnd -> bus  voltage 12 V, resistance 0.1 ohm
capacitor bulk  bus -> gnd  capacitance 220 uF, esr 40 mohm
drive     motor bus -> gnd  motors 1, current 3 A, pwm 20 kHz, duty 40 %, rise 1 us, fall 1 us
coil      choke bus -> cam  inductance 100 uH, dcr 0.2 ohm, saturation_current 250 mA
capacitor store cam -> gnd  capacitance 10 uF, esr 0.1 ohm, half_voltage 6 V
load      lamp  cam -> gnd  resistance 60 ohm
testpoint rail  = voltage(cam)
reading core  = saturation(choke)
reading noise = peak_to_peak(rail)
reading alternating = rms_ac(rail)
transient ripple  span 1 ms, start steady
";

/// Measures over frequency, around a bias that moves: the coil bends, and a load of constant power follows its voltage.
const OVER_FREQUENCY: &str = "\
harness \"Over frequency\"
let ends = 50 ohm
assembly section(l, c) in, out {
    coil      choke in -> out   inductance l, dcr 50 mohm, saturation_current 400 mA
    capacitor store out -> gnd  capacitance c, esr 20 mohm
}
supply   pack  gnd -> bus  voltage 12 V, resistance 0.1 ohm
drive    motor bus -> gnd  motors 1, current 1 A, pwm 20 kHz, duty 50 %, rise 1 us, fall 1 us
resistor feed  bus -> tap  resistance 50 mohm
fit section f  tap, cam    l 100 uH, c 470 uF
load     dcdc  cam -> gnd  power 3 W, below 6 V
frequency 100 Hz .. 100 kHz, points 5
response gain  = transfer(voltage(cam), pack)
response ratio = impedance(cam) / impedance(bus)
reading loss   = insertion_loss(f, ends, 50 ohm, 10 kHz)
reading least  = insertion_loss(f, 0.1 ohm, 100 ohm, 200 Hz .. 50 kHz)
reading top    = peak_gain(gain)
reading edge   = peak_gain(gain, 5 kHz .. 9 kHz)
reading shape  = peak_gain(ratio, 300 Hz .. 3 kHz)
reading swings = resonances(gain)
reading margin = impedance_margin(dcdc)
";

/// Compares every point of a text, and tells how many derivatives were compared and how many there are not.
fn agree(text: &str, only: &[(&str, &str)]) -> (usize, usize) {
    let description = read(text, &[]);
    let only = only.iter().map(|(axis, point)| ((*axis).to_owned(), (*point).to_owned())).collect();
    let found = sensitivities(&description, &Options { only, ..Options::default() }).expect("points");
    let mut report = String::new();
    let (mut worst, mut compared, mut left_out) = (0.0f64, 0, 0);
    for point in &found.points {
        assert_eq!(point.error, None);
        let of_point = departure(text, point, &mut report);
        eprintln!(
            "{:?}: the worst at {:.4} of what is allowed, {} compared, {} left out",
            point.at, of_point.0, of_point.1, of_point.2
        );
        worst = worst.max(of_point.0);
        compared += of_point.1;
        left_out += of_point.2;
        for reading in &point.readings {
            if let Some(reason) = &reading.excluded {
                eprintln!("{}: {reason}", reading.name);
            }
            for (slope, stated) in reading.slopes.iter().zip(&point.values) {
                if let Slope::Unknown(reason) = slope {
                    eprintln!("{:?} {} by {}: {reason}", point.at, reading.name, stated.name);
                }
            }
        }
    }
    assert!(worst < 1.0, "{report}");
    (compared, left_out)
}

#[test]
fn every_measure_in_time() {
    let (compared, left_out) = agree(MEASURES, &[]);
    assert!(compared >= 440, "{compared} {left_out}");
}

#[test]
fn measures_of_what_bends() {
    let (compared, left_out) = agree(BENT, &[]);
    assert!(compared > 40, "{compared} {left_out}");
}

#[test]
fn every_measure_over_frequency() {
    let (compared, left_out) = agree(OVER_FREQUENCY, &[]);
    assert!(compared > 100, "{compared} {left_out}");
}

/// All values of the crawler with the filter that resonates, at full duty, where that is worst. With `QUIETRAIL_SENSITIVITY` set to
/// pairs such as `throttle=cruise`, or to `all`, those points are compared in place of this one, which takes up to an hour.
#[test]
fn crawler() {
    let asked = std::env::var("QUIETRAIL_SENSITIVITY").unwrap_or_default();
    let pairs: Vec<(&str, &str)> = asked.split_whitespace().filter_map(|pair| pair.split_once('=')).collect();
    let usual = [("filter", "coil_cap"), ("battery_state", "soft"), ("throttle", "full")];
    let (compared, left_out) = agree(CRAWLER, if asked.is_empty() { &usual } else { &pairs });
    // Duty is at its end at full duty: a little less of it has edges.
    assert!(!asked.is_empty() || (compared > 100 && left_out == 3), "{compared} {left_out}");
}

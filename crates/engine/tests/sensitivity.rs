//! Sensitivities against closed forms, and against the derivative of the same closed forms.

use crate::common::Builder;
use engine::sensitivity::{Integrand, MOST_STATES, Orbit, Variation};
use network::primitive::{CurrentLaw, Element, FluxLaw, Junction, Network};
use network::waveform::{Pulse, PulseSettings, Waveform};

/// Relative change of a value to either side.
const SMALL: f64 = 1e-6;

fn square(level: f64, width: f64, period: f64, rise: f64) -> Element {
    let settings = PulseSettings { level, width, period, rise, fall: rise, start: None };
    Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(settings))))
}

/// d ln(peak to peak) / d ln(value) of the first probe for networks made with the value a little lower and higher.
fn of_peak_to_peak(make: &dyn Fn(f64) -> Network, period: f64) -> (f64, f64) {
    let network = make(1.0);
    let orbit = Orbit::new(&network, period, 1e-8).expect("an orbit");
    let extremes = orbit.extremes(0, &[(0.0, period)]).expect("extremes");
    let (top, bottom) = (extremes.greatest[0], extremes.least[0]);
    let numbers = [top, bottom].map(|one| orbit.riding_value(0, one.step, one.place));
    let networks = [make(1.0 - SMALL), make(1.0 + SMALL)];
    let variation =
        Variation { networks: [&networks[0], &networks[1]], periods: [period; 2], width: 2.0 * SMALL };
    let effect = orbit.effect(&variation).expect("sound").expect("alike");
    let found = orbit.sensitivities(&numbers, &mut [effect]).expect("solvable");
    let value = top.value - bottom.value;
    (value, (found[0][0] - found[1][0]) / value)
}

/// 12 V at half duty through R into C: the swing is V tanh(T / 4 R C), so that its logarithm changes by -2 a / sinh(2 a) with
/// ln R, a = T / 4 R C (any textbook of first-order circuits).
#[test]
fn swing_of_a_low_pass() {
    let (period, ohm, farad) = (50e-6, 100.0, 220e-9);
    let make = |factor: f64| {
        let mut builder = Builder::new(&["in", "out"]);
        builder.add("pulses", "in", "gnd", square(12.0, 0.5 * period, period, 0.0));
        builder.resistor("r", "in", "out", ohm * factor);
        builder.capacitor("c", "out", "gnd", farad);
        builder.see_voltage("out", None);
        builder.network
    };
    let (value, sensitivity) = of_peak_to_peak(&make, period);
    let a = period / (4.0 * ohm * farad);
    assert!((value / (12.0 * a.tanh()) - 1.0).abs() < 1e-6, "{value}");
    let expected = -2.0 * a / (2.0 * a).sinh();
    assert!((sensitivity - expected).abs() < 1e-6, "{sensitivity} {expected}");
}

/// The mean behind a divider of R1 and R2 is that of the source times R2 / (R1 + R2), whatever C does: 1 % more of R2 is
/// R1 / (R1 + R2) % more, 1 % more of the duty 1 % more, and C changes nothing.
#[test]
fn mean_behind_a_divider() {
    let period = 50e-6;
    let make = |r2: f64, duty: f64, farad: f64| {
        let mut builder = Builder::new(&["in", "out"]);
        builder.add("pulses", "in", "gnd", square(12.0, 0.3 * duty * period, period, 200e-9));
        builder.resistor("r1", "in", "out", 30.0);
        builder.resistor("r2", "out", "gnd", 10.0 * r2);
        builder.capacitor("c", "out", "gnd", 1e-6 * farad);
        builder.see_voltage("out", Some(20e6));
        builder.network
    };
    let network = make(1.0, 1.0, 1.0);
    let orbit = Orbit::new(&network, period, 1e-8).expect("an orbit");
    let (mean, integral) = orbit.mean(0, &[(0.0, period)]);
    let expected_mean = 12.0 * 0.3 * 0.25;
    assert!((integral / expected_mean - 1.0).abs() < 1e-9, "{integral}");
    let of = |make: &dyn Fn(f64) -> Network| {
        let networks = [make(1.0 - SMALL), make(1.0 + SMALL)];
        let variation =
            Variation { networks: [&networks[0], &networks[1]], periods: [period; 2], width: 2.0 * SMALL };
        let effect = orbit.effect(&variation).expect("sound").expect("alike");
        orbit.sensitivities(std::slice::from_ref(&mean), &mut [effect]).expect("solvable")[0][0] / integral
    };
    let found = [of(&|it| make(it, 1.0, 1.0)), of(&|it| make(1.0, it, 1.0)), of(&|it| make(1.0, 1.0, it))];
    for (found, expected) in found.into_iter().zip([0.75, 1.0, 0.0]) {
        assert!((found - expected).abs() < 1e-7, "{found} {expected}");
    }
}

/// A square wave of +-V into L and C without loss: between jumps v = V - A cos w(t - T/4), and v(T/2) = -v(0) makes
/// A = V / cos(w T / 4). Above resonance the swing is 2 V (1 / cos a - 1), a = T / (4 sqrt(L C)), and its derivative by ln L
/// -V a sin a / cos^2 a. A law that bends too little to be seen takes the other road to the same.
#[test]
fn swing_of_a_coil_and_a_capacitor() {
    let (period, henry, farad) = (50e-6, 330e-6, 1e-6);
    for bent in [false, true] {
        let make = |factor: f64| {
            let mut builder = Builder::new(&["plus", "in", "out"]);
            builder.add("pulses", "plus", "gnd", square(24.0, 0.5 * period, period, 0.0));
            builder.voltage("half", "plus", "in", 12.0);
            let law = if bent {
                FluxLaw::tanh(henry * factor, 1e-6, 1e6)
            } else {
                FluxLaw::Linear { inductance: henry * factor }
            };
            builder.add("l", "in", "out", Element::Inductor(law));
            builder.capacitor("c", "out", "gnd", farad);
            builder.resistor("bleeder", "out", "gnd", 1e9);
            builder.see_voltage("out", None);
            builder.network
        };
        let (value, sensitivity) = of_peak_to_peak(&make, period);
        let a = period / (4.0 * (henry * farad).sqrt());
        let swing = 24.0 * (1.0 / a.cos() - 1.0);
        // The bleeder takes 1e-8 of the capacitor's current.
        assert!((value / swing - 1.0).abs() < 1e-5, "{value} {swing}");
        let expected = -12.0 * a * a.sin() / (a.cos() * a.cos()) / swing;
        assert!((sensitivity - expected).abs() < 1e-5, "{bent}: {sensitivity} {expected}");
    }
}

/// Laws that bend everywhere: pulses through a diode into a capacitor, which feeds a load of constant power. Against differences of the
/// same orbit at other values, whose step leaves a ten-millionth of a third derivative.
#[test]
fn diode_and_constant_power() {
    let period = 50e-6;
    let make = |values: [f64; 5]| {
        let [ohm, farad, power, saturation, width] = values;
        let mut builder = Builder::new(&["in", "a", "out"]);
        builder.add("pulses", "in", "gnd", square(12.0, 0.6 * period * width, period, 1e-6));
        builder.resistor("r", "in", "a", ohm);
        let junction = Junction { saturation: 1e-12 * saturation, thermal_voltage: 0.026, breakdown: None };
        builder.add("d", "a", "out", Element::Load(CurrentLaw::Junction(junction)));
        builder.capacitor("c", "out", "gnd", 10e-6 * farad);
        let threshold = 4.0;
        builder.add("dcdc", "out", "gnd", Element::Load(CurrentLaw::Power { power: 2.0 * power, threshold }));
        builder.resistor("bleeder", "out", "gnd", 1e3);
        builder.see_voltage("out", Some(20e6));
        builder.network
    };
    let nominal = [1.0; 5];
    let departed = |index: usize, by: f64| {
        let mut values = nominal;
        values[index] += by;
        make(values)
    };
    let swing = |network: &Network| {
        let orbit = Orbit::new(network, period, 1e-8).expect("an orbit");
        let extremes = orbit.extremes(0, &[(0.0, period)]).expect("extremes");
        extremes.greatest[0].value - extremes.least[0].value
    };
    for index in 0..nominal.len() {
        let one = |factor: f64| departed(index, factor - 1.0);
        let (value, sensitivity) = of_peak_to_peak(&one, period);
        let step = 3e-4;
        let difference =
            (swing(&departed(index, step)) - swing(&departed(index, -step))) / (2.0 * step * value);
        assert!((sensitivity - difference).abs() < 1e-5, "{index}: {sensitivity} {difference}");
    }
}

/// Nothing moves: 12 V behind 1 ohm and an inductance, a large capacitor, and 2 ohm. v = 12 R2 / (R1 + R2), so that 1 % more of R2 is a
/// third of 1 % more.
#[test]
fn nothing_moves() {
    let make = |factor: f64| {
        let mut builder = Builder::new(&["in", "a", "out", "c"]);
        builder.voltage("pack", "in", "gnd", 12.0);
        builder.resistor("r1", "in", "a", 1.0);
        builder.inductor("l", "a", "out", 100e-9);
        builder.capacitor("bulk", "out", "c", 1e-3);
        builder.resistor("esr", "c", "gnd", 20e-3);
        builder.resistor("r2", "out", "gnd", 2.0 * factor);
        builder.see_voltage("out", Some(20e6));
        builder.network
    };
    let (network, period) = (make(1.0), 1e-3);
    let orbit = Orbit::new(&network, period, 1e-6).expect("an orbit");
    assert!(orbit.extremes(0, &[(0.0, period)]).expect("extremes").still);
    let (mean, value) = orbit.mean(0, &[(0.0, period)]);
    let networks = [make(1.0 - SMALL), make(1.0 + SMALL)];
    let variation =
        Variation { networks: [&networks[0], &networks[1]], periods: [period; 2], width: 2.0 * SMALL };
    let effect = orbit.effect(&variation).expect("sound").expect("alike");
    let found = orbit.sensitivities(&[mean], &mut [effect]).expect("solvable")[0][0];
    assert!((value - 8.0).abs() < 1e-9 && (found / value - 1.0 / 3.0).abs() < 1e-8, "{value} {found}");
}

/// A divider without any coil or capacitor has no state to close; 12 V at 30 % across 1 ohm and 2 ohm.
#[test]
fn nothing_is_stored() {
    let period = 50e-6;
    let make = |factor: f64| {
        let mut builder = Builder::new(&["in", "out"]);
        builder.add("pulses", "in", "gnd", square(12.0, 0.3 * period, period, 200e-9));
        builder.resistor("r1", "in", "out", 1.0);
        builder.resistor("r2", "out", "gnd", 2.0 * factor);
        builder.see_voltage("out", None);
        builder.network
    };
    let (value, sensitivity) = of_peak_to_peak(&make, period);
    assert!((value - 8.0).abs() < 1e-9 && (sensitivity - 1.0 / 3.0).abs() < 1e-8, "{value} {sensitivity}");
}

/// A ladder of more capacitors than are taken is refused in a sentence, before any work.
#[test]
fn too_many_states() {
    let names: Vec<String> = (0..=MOST_STATES).map(|index| format!("n{index}")).collect();
    let nodes: Vec<&str> = names.iter().map(String::as_str).collect();
    let mut builder = Builder::new(&nodes);
    builder.add("pulses", nodes[0], "gnd", square(12.0, 25e-6, 50e-6, 1e-6));
    for pair in nodes.windows(2) {
        builder.resistor("r", pair[0], pair[1], 1.0);
        builder.capacitor("c", pair[1], "gnd", 1e-9);
    }
    assert!(Orbit::new(&builder.network, 50e-6, 1e-3).is_ok());
    builder.inductor("l", nodes[MOST_STATES], "gnd", 1e-6);
    let refused = Orbit::new(&builder.network, 50e-6, 1e-3).err().expect("one too many").to_string();
    assert!(refused.contains("151") && refused.contains("150"), "{refused}");
}

/// A current I with edges of length t in an inductance L: the voltage is L I / t over the rising edge and as much below 0 over the
/// falling one, nothing between, so that it jumps at all four corners, and its mean square is 2 (L I)^2 / (t T). Longer edges: -1; a
/// longer pulse moves the falling edge as it is: 0, wherever it is looked at. Over a window that begins half way up, what is left of
/// the flux is L I / 2, which grows by L I / (2 t) for each second of t; over one that begins half way down, by -L I / t for each
/// second that the pulse grows.
#[test]
fn voltage_that_jumps() {
    let (period, edge, width, henry, ampere) = (50e-6, 1e-6, 20e-6, 2e-6, 3.0);
    let make = |edges: f64, wide: f64| {
        let mut builder = Builder::new(&["a"]);
        let (rise, level) = (edge * edges, ampere);
        let settings = PulseSettings { level, width: width * wide, period, rise, fall: rise, start: None };
        builder.add(
            "pulses",
            "gnd",
            "a",
            Element::CurrentSource(Waveform::Pulse(Box::new(Pulse::new(settings)))),
        );
        builder.inductor("l", "a", "gnd", henry);
        builder.see_voltage("a", None);
        builder.network
    };
    let network = make(1.0, 1.0);
    let orbit = Orbit::new(&network, period, 1e-6).expect("an orbit");
    let square = |_: f64, value: f64| Integrand {
        value: value * value / period,
        by_value: 2.0 * value / period,
        by_time: 0.0,
    };
    let (of_square, mean_square) = orbit.integral(0, &[(0.0, period)], 0.0, &square);
    let volt = henry * ampere / edge;
    assert!((mean_square / (2.0 * volt * volt * edge / period) - 1.0).abs() < 1e-9, "{mean_square}");
    let middle = |time: f64| {
        let (step, place) = orbit.place(time, false);
        orbit.value(0, step, place)
    };
    let flux = |from: f64, to: f64| {
        let (weights, mean) = orbit.mean(0, &[(from, to)]);
        let half = 0.5 * henry * ampere / (to - from);
        assert!((mean.abs() / half - 1.0).abs() < 1e-9, "{mean} {half}");
        weights
    };
    let numbers = [
        of_square,
        middle(0.7 * edge),
        middle(width + 0.7 * edge),
        flux(0.5 * edge, 0.5 * width),
        flux(width + 0.5 * edge, 0.9 * period),
    ];
    let half = 0.5 * henry * ampere;
    let [late, later] = [0.5 * width - 0.5 * edge, 0.9 * period - width - 0.5 * edge];
    let by_edges = [-mean_square, -volt, volt, half / late, -half / later];
    let by_width = [0.0, 0.0, 0.0, 0.0, -2.0 * half * width / edge / later];
    let of = |make: &dyn Fn(f64) -> Network, expected: [f64; 5]| {
        let networks = [make(1.0 - SMALL), make(1.0 + SMALL)];
        let variation =
            Variation { networks: [&networks[0], &networks[1]], periods: [period; 2], width: 2.0 * SMALL };
        let effect = orbit.effect(&variation).expect("sound").expect("alike");
        let found = orbit.sensitivities(&numbers, &mut [effect]).expect("solvable");
        let scales = [mean_square, volt, volt, half / late, half / later];
        for (index, (found, expected)) in found.iter().zip(expected).enumerate() {
            assert!((found[0] - expected).abs() < 1e-7 * scales[index], "{index}: {found:?} {expected}");
        }
    };
    of(&|it| make(it, 1.0), by_edges);
    of(&|it| make(1.0, it), by_width);
}

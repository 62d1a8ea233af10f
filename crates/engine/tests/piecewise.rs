//! Loads that go from one straight stretch of their law to another on the way, and switches, against closed forms.

use crate::common;

use common::{Builder, record, request, tracks};
use engine::{Method, Observer, Request, Road, Start, Stretch};
use network::primitive::{CurrentLaw, Element, FluxLaw, Network};
use network::waveform::{Drive, DriveSettings, Points, Pulse, PulseSettings, Waveform};

const ROADS: [Method; 2] = [Method::Automatic, Method::Stepping];

struct Nobody;

impl Observer for Nobody {
    fn restart(&mut self) {}
    fn stretch(&mut self, _: &Stretch<'_>) {}
}

fn road(network: &Network, request: &Request) -> Road {
    engine::run(network, request, &mut Nobody).expect("a run that works").road
}

/// The exact road errs by its parabolas (a tenth of the accuracy) and by the step, below a thousandth of every time constant, that may
/// end beyond a knee; steps accumulate up to the accuracy.
fn allowed(swing: f64, accuracy: f64) -> f64 {
    swing * accuracy
}

/// 12 V through R into C, which a load of I = 1 A above 6 V discharges, in proportion to the voltage below. Below the knee
/// C v' = (E - v)/R - v I/V, from there C v' = (E - v)/R - I: two exponentials, joined where the first reaches V.
#[test]
fn load_that_wakes_up() {
    let (e, r, c, current, knee) = (12.0, 2.0, 100e-6, 1.0, 6.0);
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.voltage("source", "in", "gnd", e);
    circuit.resistor("r", "in", "out", r);
    circuit.capacitor("c", "out", "gnd", c);
    let law = CurrentLaw::Constant { current, threshold: knee };
    let load = circuit.add("load", "out", "gnd", Element::Load(law));
    circuit.see_voltage("out", None);
    circuit.see_current(load);
    let conductance = 1.0 / r + current / knee;
    let (first_end, first_tau) = (e / r / conductance, c / conductance);
    let woken = first_tau * (first_end / (first_end - knee)).ln();
    let second_end = e - r * current;
    let exact = |t: f64| {
        if t < woken {
            first_end * (1.0 - (-t / first_tau).exp())
        } else {
            second_end + (knee - second_end) * (-(t - woken) / (r * c)).exp()
        }
    };
    for method in ROADS {
        let asked = request(Start::Rest, 2e-3, 1e-6, method);
        let seen = record(&circuit.network, &asked);
        for k in 1..=40 {
            let time = 2e-3 * f64::from(k) / 40.0;
            assert!((seen.at(0, time) - exact(time)).abs() < allowed(e, 1e-6), "{method:?} at {time}");
            let drawn = law.current(exact(time));
            assert!(
                (seen.at(1, time) - drawn).abs() < allowed(current, 1e-6) * e / knee,
                "{method:?} at {time}"
            );
        }
    }
    assert_eq!(road(&circuit.network, &request(Start::Rest, 2e-3, 1e-6, Method::Automatic)), Road::Exact);
}

/// The same load behind nothing but an inductance: once it is awake it holds its current, the inductance keeps no voltage, and the
/// node jumps from the knee to the source's voltage. Before, L i' = E - i V/I.
#[test]
fn bare_load_behind_an_inductance() {
    let (e, l, current, knee) = (12.0, 1e-3, 1.0, 6.0);
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.voltage("source", "in", "gnd", e);
    let coil = circuit.inductor("l", "in", "out", l);
    circuit.add("load", "out", "gnd", Element::Load(CurrentLaw::Constant { current, threshold: knee }));
    circuit.see_current(coil);
    circuit.see_voltage("out", None);
    let (tau, end) = (l * current / knee, e * current / knee);
    let woken = tau * (end / (end - current)).ln();
    let seen = record(&circuit.network, &request(Start::Rest, 1e-3, 1e-6, Method::Automatic));
    for k in 1..=50 {
        let time = 1e-3 * f64::from(k) / 50.0;
        let flowing = if time < woken { end * (1.0 - (-time / tau).exp()) } else { current };
        let voltage = if time < woken { flowing * knee / current } else { e };
        assert!((seen.at(0, time) - flowing).abs() < allowed(current, 1e-6), "{time}");
        assert!((seen.at(1, time) - voltage).abs() < allowed(e, 1e-6), "{time}");
    }
}

/// A switch that closes and opens again on R and C: three exponentials with the two time constants (switch and R in series with
/// the source, and a second R across C).
#[test]
fn switch_by_time() {
    let (e, closed, open, leak, c) = (10.0, 5.0, 1e6, 1e3, 1e-6);
    let (closes, opens) = (1e-3, 3e-3);
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.voltage("source", "in", "gnd", e);
    let control =
        Waveform::Points(Points::new(vec![(closes, 0.0), (closes, 1.0), (opens, 1.0), (opens, 0.0)]));
    circuit.add("s", "in", "out", Element::Switch { closed: 1.0 / closed, open: 1.0 / open, control });
    circuit.resistor("r", "out", "gnd", leak);
    circuit.capacitor("c", "out", "gnd", c);
    circuit.see_voltage("out", None);
    let toward = |from: f64, resistance: f64, time: f64| {
        let end = e * leak / (leak + resistance);
        end + (from - end) * (-time * (1.0 / leak + 1.0 / resistance) / c).exp()
    };
    let resting = e * leak / (leak + open);
    let exact = |t: f64| match t {
        t if t <= closes => resting,
        t if t <= opens => toward(resting, closed, t - closes),
        t => toward(toward(resting, closed, opens - closes), open, t - opens),
    };
    for method in ROADS {
        let seen = record(&circuit.network, &request(Start::Operating, 6e-3, 1e-6, method));
        for k in 1..=60 {
            let time = 6e-3 * f64::from(k) / 60.0 + 1e-6;
            let (seen, exact) = (seen.at(0, time.min(6e-3)), exact(time.min(6e-3)));
            assert!((seen - exact).abs() < allowed(e, 1e-6), "{method:?} at {time}: {seen} {exact}");
        }
    }
    let asked = request(Start::Operating, 6e-3, 1e-6, Method::Automatic);
    assert_eq!(road(&circuit.network, &asked), Road::Exact);
}

/// Square pulses through a diode of the ideal form into R and C, periodic: charged through the diode's resistance while the pulse
/// stands, discharged by R after it. With the period T = t_on + t_off the two exponentials close in the voltage v0 where
/// charging begins: v(t_on) = a + (v0 - a) e^(-t_on/tau1), v0 = v(t_on) e^(-t_off/tau2).
#[test]
fn peak_rectifier_in_steady_state() {
    let (level, drop, on, r, c) = (10.0, 0.6, 1.0, 100.0, 100e-6);
    let (width, period) = (0.4e-3, 1e-3);
    let mut circuit = Builder::new(&["in", "out"]);
    let settings = PulseSettings { level, width, period, rise: 0.0, fall: 0.0, start: None };
    circuit.add(
        "pulse",
        "in",
        "gnd",
        Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(settings)))),
    );
    let leakage = 1e-9;
    let diode = CurrentLaw::Knee { voltage: drop, conductance: 1.0 / on, leakage };
    circuit.add("diode", "in", "out", Element::Load(diode));
    circuit.resistor("r", "out", "gnd", r);
    circuit.capacitor("c", "out", "gnd", c);
    circuit.see_voltage("out", None);
    let charging = 1.0 / on + 1.0 / r;
    let (top, tau1) = ((level - drop + leakage * on * drop) / on / charging, c / charging);
    let discharging = 1.0 / r + leakage;
    let tau2 = c / discharging;
    let (kept_on, kept_off) = ((-width / tau1).exp(), (-(period - width) / tau2).exp());
    let low = top * (1.0 - kept_on) * kept_off / (1.0 - kept_on * kept_off);
    let high = low / kept_off;
    for method in ROADS {
        let asked = request(Start::Steady { period: Some(period) }, period, 1e-6, method);
        let (least, greatest) = record(&circuit.network, &asked).extremes(0);
        let swing = high - low;
        assert!((least - low).abs() < allowed(swing, 1e-6) * 10.0, "{method:?}: {least} {low}");
        assert!((greatest - high).abs() < allowed(swing, 1e-6) * 10.0, "{method:?}: {greatest} {high}");
    }
    let asked = request(Start::Steady { period: Some(period) }, period, 1e-6, Method::Automatic);
    assert_eq!(road(&circuit.network, &asked), Road::Exact);
}

/// Plugging a vehicle in: battery lead, bulk capacitor, a ringing coil and a camera that wakes up at 9 V. Both roads share no
/// formula beyond the network's; each is as good as its accuracy, 1e-8 and 1e-7 of the swing.
#[test]
fn plug_in_on_both_roads() {
    let mut circuit = Builder::new(&["pos", "bus", "esr", "choke", "cam", "store"]);
    circuit.voltage("pack", "pos", "gnd", 14.8);
    let lead = circuit.inductor("lead", "pos", "bus", 0.5e-6);
    circuit.resistor("lead_r", "bus", "esr", 0.04);
    circuit.capacitor("bulk", "esr", "gnd", 220e-6);
    circuit.add("tracks", "bus", "gnd", tracks(2.0, 0.6, 200e-9));
    circuit.resistor("bus_r", "bus", "gnd", 50.0);
    circuit.inductor("coil", "bus", "choke", 33e-6);
    circuit.resistor("dcr", "choke", "cam", 0.1);
    circuit.resistor("store_r", "cam", "store", 0.2);
    circuit.capacitor("store_c", "store", "gnd", 100e-6);
    circuit.add("eye", "cam", "gnd", Element::Load(CurrentLaw::Constant { current: 0.5, threshold: 9.0 }));
    circuit.see_voltage("cam", None);
    circuit.see_current(lead);
    let exact = record(&circuit.network, &request(Start::Rest, 0.5e-3, 1e-8, Method::Automatic));
    let steps = record(&circuit.network, &request(Start::Rest, 0.5e-3, 1e-7, Method::Stepping));
    for probe in 0..2 {
        let (low, high) = exact.extremes(probe);
        for k in 1..=100 {
            let time = 0.5e-3 * f64::from(k) / 100.0;
            let difference = (exact.at(probe, time) - steps.at(probe, time)).abs();
            assert!(difference < 1e-6 * (high - low), "{probe} at {time}: {difference} of {}", high - low);
        }
    }
    let asked = request(Start::Rest, 0.5e-3, 1e-6, Method::Automatic);
    assert_eq!(road(&circuit.network, &asked), Road::Exact);
}

/// The same with a coil that the inrush saturates: bent flux and a waking load at once.
#[test]
fn saturating_plug_in_on_both_roads() {
    let mut circuit = Builder::new(&["pos", "bus", "esr", "choke", "cam", "store"]);
    circuit.voltage("pack", "pos", "gnd", 14.8);
    circuit.inductor("lead", "pos", "bus", 0.5e-6);
    circuit.resistor("lead_r", "bus", "esr", 0.04);
    circuit.capacitor("bulk", "esr", "gnd", 220e-6);
    circuit.resistor("bus_r", "bus", "gnd", 50.0);
    let law = FluxLaw::tanh(330e-6, 9e-6, 0.3e-3);
    let coil = circuit.add("coil", "bus", "choke", Element::Inductor(law));
    circuit.resistor("dcr", "choke", "cam", 0.35);
    circuit.resistor("store_r", "cam", "store", 0.2);
    circuit.capacitor("store_c", "store", "gnd", 100e-6);
    circuit.add("eye", "cam", "gnd", Element::Load(CurrentLaw::Constant { current: 0.5, threshold: 9.0 }));
    circuit.see_voltage("cam", None);
    circuit.see_current(coil);
    let exact = record(&circuit.network, &request(Start::Rest, 1e-3, 1e-7, Method::Automatic));
    let steps = record(&circuit.network, &request(Start::Rest, 1e-3, 1e-7, Method::Stepping));
    for probe in 0..2 {
        let (low, high) = exact.extremes(probe);
        for k in 1..=100 {
            let time = 1e-3 * f64::from(k) / 100.0;
            let difference = (exact.at(probe, time) - steps.at(probe, time)).abs();
            assert!(difference < 1e-6 * (high - low), "{probe} at {time}: {difference} of {}", high - low);
        }
    }
    let asked = request(Start::Rest, 1e-3, 1e-6, Method::Automatic);
    assert_eq!(road(&circuit.network, &asked), Road::Semilinear);
}

/// A square pulse through a saturating coil onto a load that sleeps below 6 V half of the time: the periodic state on both roads.
#[test]
fn load_that_sleeps_in_every_period() {
    let mut circuit = Builder::new(&["in", "out", "store"]);
    let settings =
        PulseSettings { level: 12.0, width: 50e-6, period: 100e-6, rise: 1e-6, fall: 1e-6, start: None };
    circuit.add(
        "pulse",
        "in",
        "gnd",
        Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(settings)))),
    );
    let law = FluxLaw::tanh(100e-6, 5e-6, 0.1e-3);
    let coil = circuit.add("coil", "in", "out", Element::Inductor(law));
    circuit.resistor("store_r", "out", "store", 1.0);
    circuit.capacitor("store_c", "store", "gnd", 10e-6);
    circuit.add("eye", "out", "gnd", Element::Load(CurrentLaw::Constant { current: 1.0, threshold: 6.0 }));
    circuit.see_voltage("out", None);
    circuit.see_current(coil);
    let start = Start::Steady { period: Some(100e-6) };
    let exact = record(&circuit.network, &request(start, 100e-6, 1e-6, Method::Automatic));
    let steps = record(&circuit.network, &request(start, 100e-6, 1e-6, Method::Stepping));
    for probe in 0..2 {
        let (low, high) = exact.extremes(probe);
        assert!(probe == 1 || (low < 6.0 && high > 6.0), "{low} {high}");
        for k in 1..=100 {
            let time = 100e-6 * f64::from(k) / 100.0;
            let difference = (exact.at(probe, time) - steps.at(probe, time)).abs();
            // The two periodic states are each had to the accuracy asked for.
            assert!(difference < 2e-6 * (high - low), "{probe} at {time}: {difference} of {}", high - low);
        }
    }
    assert_eq!(road(&circuit.network, &request(start, 100e-6, 1e-6, Method::Automatic)), Road::Semilinear);
}

/// A feed that rings into a diode's anode after each edge of two staggered motors: in every period the diode conducts again for less
/// than half a microsecond, tens of microseconds after it has let go. No probe looks at its voltage.
#[test]
fn short_conduction_is_not_missed() {
    let mut circuit = Builder::new(&["pos", "b1", "b2", "t1", "tap", "f1", "cam", "s1", "s2", "c1", "e"]);
    circuit.voltage("pack", "e", "gnd", 14.8);
    circuit.resistor("pack_r", "e", "c1", 0.06);
    circuit.inductor("pack_l", "c1", "pos", 270e-9);
    circuit.resistor("bulk_r", "pos", "b1", 0.04);
    circuit.inductor("bulk_l", "b1", "b2", 15e-9);
    circuit.capacitor("bulk", "b2", "gnd", 220e-6);
    let drive = Drive::new(&DriveSettings {
        motors: 2,
        current: 6.0,
        pwm: 20e3,
        duty: 0.45,
        rise: 150e-9,
        fall: 250e-9,
        phase: 0.0,
        stagger: 0.3,
        current_exponent: 0.0,
        ripple: 0.0,
        commutation: None,
        throttle: None,
        starts: None,
        ..DriveSettings::default()
    });
    circuit.add("tracks", "pos", "gnd", Element::CurrentSource(Waveform::Drive(Box::new(drive))));
    circuit.resistor("feed_r", "pos", "t1", 0.067);
    circuit.inductor("feed_l", "t1", "tap", 350e-9);
    circuit.resistor("front_r", "tap", "f1", 0.05);
    circuit.capacitor("front", "f1", "gnd", 1e-6);
    let law = CurrentLaw::Knee { voltage: 0.4, conductance: 10.0, leakage: 1e-9 };
    let diode = circuit.add("block", "tap", "cam", Element::Load(law));
    circuit.resistor("store_r", "cam", "s1", 0.04);
    circuit.inductor("store_l", "s1", "s2", 12e-9);
    circuit.capacitor("store", "s2", "gnd", 100e-6);
    circuit.add("eye", "cam", "gnd", Element::Load(CurrentLaw::Constant { current: 0.11, threshold: 5.0 }));
    circuit.see_voltage("cam", None);
    circuit.see_current(diode);
    let start = Start::Steady { period: Some(50e-6) };
    let asked = |accuracy, method| request(start, 50e-6, accuracy, method);
    assert_eq!(road(&circuit.network, &asked(1e-4, Method::Automatic)), Road::Exact);
    let steps = record(&circuit.network, &asked(1e-6, Method::Stepping));
    for accuracy in [1e-4, 1e-6] {
        let exact = record(&circuit.network, &asked(accuracy, Method::Automatic));
        for probe in 0..2 {
            let ((low, high), (step_low, step_high)) = (exact.extremes(probe), steps.extremes(probe));
            let allowed = (accuracy + 1e-6) * (step_high - step_low);
            assert!((low - step_low).abs() < allowed, "{accuracy} {probe}: {low} {step_low}");
            assert!((high - step_high).abs() < allowed, "{accuracy} {probe}: {high} {step_high}");
        }
        // In a steady state the diode carries what the load draws: the capacitors keep their charge.
        let mean = exact.integral(1) / 50e-6;
        assert!((mean - 0.11).abs() < accuracy * 0.11, "{accuracy}: {mean}");
    }
}

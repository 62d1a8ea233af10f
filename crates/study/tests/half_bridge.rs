//! Motors behind half bridges, from the text of a harness on, against the closed forms of a winding that is switched.

use crate::common;

use common::{assert_close, readings};

const DUTY: f64 = 0.6;
const RESISTANCE: f64 = 0.055;
const INDUCTANCE: f64 = 100e-6;
const PERIOD: f64 = 50e-6;

/// A bridge of 50 mohm and 5 mohm on a stiff 12 V.
fn bridge(emf: f64, rest: &str) -> String {
    format!(
        "supply bench gnd -> bus voltage 12 V
        half_bridge track bus -> gnd pwm 20 kHz, duty 60 %, resistance 50 mohm, inductance 100 uH, back_emf {emf} V,
            on_resistance 5 mohm
        testpoint drawn = current(track)
        {rest}"
    )
}

/// Least and greatest current of the winding in the steady state: exponentials towards (V - E)/R while on and -E/R while off.
fn extremes(supply: f64, emf: f64, duty: f64) -> (f64, f64) {
    let rate = RESISTANCE / INDUCTANCE;
    let (on, off) = ((-duty * PERIOD * rate).exp(), (-(1.0 - duty) * PERIOD * rate).exp());
    let (high, low) = ((supply - emf) / RESISTANCE, -emf / RESISTANCE);
    let least = (low * (1.0 - off) + off * high * (1.0 - on)) / (1.0 - on * off);
    (least, high + (least - high) * on)
}

/// The current drawn is the winding's while on; its mean over the period from the same exponentials. Open switches of 1 Mohm take
/// 12 uA, a part in a million.
#[test]
fn a_winding_follows_its_exponentials() {
    for emf in [0.0, 6.0, 7.0, 9.0] {
        let found = readings(
            &bridge(
                emf,
                "reading first = at(drawn, 10 ns)
            reading level = mean(drawn)
            reading top = maximum(drawn)
            reading bottom = minimum(drawn)
            transient steady span 1 ms, start steady",
            )
            .replace("back_emf 0 V", "back_emf 0.0 V"),
        );
        let (least, greatest) = extremes(12.0, emf, DUTY);
        let scale = least.abs().max(greatest.abs());
        let slope = (12.0 - emf) / INDUCTANCE;
        // Ten nanoseconds into the on-time, whose rise they are part of; curvature is a part in a million of it.
        assert!(
            (found("first") - least - 10e-9 * (slope - RESISTANCE / INDUCTANCE * least)).abs() < 1e-5 * scale
        );
        assert!((found("top").max(-found("bottom")) - scale).abs() < 1e-5 * scale, "{emf}");
        let high = (12.0 - emf) / RESISTANCE;
        let mean = DUTY * high + (least - greatest) * INDUCTANCE / RESISTANCE / PERIOD;
        assert!((found("level") - mean).abs() < 1e-5 * scale, "{emf}: {}, expected {mean}", found("level"));
    }
}

/// The textbook's ripple V D (1 - D)/(L f) and mean D I, I = (D V - E)/R: they neglect what the resistance bends, which is
/// (T/tau)^2/12 = 6e-5 of the ripple, and of the mean D (1 - D) (T/tau)^2 V/(12 R).
#[test]
fn ripple_and_mean_are_the_textbooks() {
    let found = readings(&bridge(
        6.0,
        "reading first = at(drawn, 1 ns)
        reading top = maximum(drawn)
        reading level = mean(drawn)
        transient steady span 1 ms, start steady",
    ));
    assert_close(found("top") - found("first"), 12.0 * DUTY * (1.0 - DUTY) * PERIOD / INDUCTANCE, 3e-4);
    assert_close(found("level"), DUTY * (DUTY * 12.0 - 6.0) / RESISTANCE, 1e-3);
}

/// A back EMF above duty times bus turns the current round: the motor brakes and feeds the supply.
#[test]
fn a_fast_motor_feeds_the_supply() {
    let found = readings(&bridge(
        9.0,
        "testpoint taken = power(track)
        reading level = mean(drawn)
        reading given = mean(taken)
        transient steady span 1 ms, start steady",
    ));
    let expected = DUTY * (DUTY * 12.0 - 9.0) / RESISTANCE;
    assert_close(found("level"), expected, 1e-3);
    assert_close(found("given"), 12.0 * found("level"), 1e-9);
}

/// Where a diode keeps the supply from taking it, the bus is pumped up until a resistor takes all: D i + V/R_load = 0 with
/// i = (D V - E)/R. The link capacitor's ripple moves that by parts in a thousand. Energy is conserved: what the bridge gives, the
/// resistor takes, but for the diode's leakage of 1 nS.
#[test]
fn braking_into_a_blocked_supply_pumps_the_bus_up() {
    let found = readings(
        "supply bench gnd -> raw voltage 12 V
        diode guard raw -> bus drop 0.4 V, resistance 10 mohm
        load brake bus -> gnd resistance 20 ohm
        half_bridge track bus -> gnd pwm 20 kHz, duty 60 %, resistance 50 mohm, inductance 100 uH, back_emf 10 V,
            on_resistance 5 mohm, link_capacitance 2200 uF, link_esr 5 mohm
        testpoint rail = voltage(bus)
        testpoint bridge_power = power(track)
        testpoint brake_power = power(brake)
        testpoint blocked = current(bench)
        reading level = mean(rail)
        reading given = mean(bridge_power)
        reading taken = mean(brake_power)
        reading leakage = peak(blocked)
        transient steady span 1 ms, start steady",
    );
    let expected = (DUTY * 10.0 / RESISTANCE) / (DUTY * DUTY / RESISTANCE + 1.0 / 20.0);
    assert_close(found("level"), expected, 2e-3);
    assert!(found("level") > 16.0);
    // Open switches of 1 Mohm lie within the bridge; the diode lets nanoamperes through. The mean power of a parabola through two
    // sampled waveforms is good to the accuracy of the drawing, a hundred-thousandth of its swing.
    assert!((found("given") + found("taken")).abs() < 1e-4 * found("taken"), "{}", found("given"));
    assert!(found("leakage") < 1e-6);
}

/// Before its start all switches are open, and the bus gives microamperes; from there the current climbs towards its mean with the
/// winding's time constant of 1.8 ms.
#[test]
fn a_bridge_waits_for_its_start() {
    let found = readings(
        &bridge(
            0.001,
            "reading before = maximum(drawn) over 0 ms .. 0.99 ms
            reading later = mean(drawn) over 18 ms .. 20 ms
            transient run span 20 ms, start operating",
        )
        .replace("pwm 20 kHz", "starts 1 ms, pwm 20 kHz"),
    );
    assert!(found("before") < 1e-4, "{}", found("before"));
    // 17 ms are 9.4 time constants: e^-9.4 of it is missing.
    assert_close(found("later"), DUTY * (DUTY * 12.0 - 0.001) / RESISTANCE, 1e-3);
}

/// At 0 % the winding is shorted and the supply gives nothing; at 100 % it lies across the supply.
#[test]
fn a_bridge_at_its_ends_does_not_switch() {
    for (duty, expected) in [("0 %", 0.0), ("100 %", (12.0 - 6.0) / RESISTANCE)] {
        let found = readings(
            &bridge(6.0, "reading level = mean(drawn)\ntransient steady span 1 ms, start steady")
                .replace("60 %", duty),
        );
        assert!((found("level") - expected).abs() < 1e-4, "{duty}: {}", found("level"));
    }
}

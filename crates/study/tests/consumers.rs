//! Servos, transmitters, cameras, regulators and surges, from the text of a harness on, against closed forms and the numbers of
//! standards.

use crate::common;

use common::{assert_close, curve, readings, run, sinc};

/// Peak amplitude of a trapezoid's fundamental: Paul, Introduction to Electromagnetic Compatibility, chapter 3 (from memory).
fn fundamental(duty: f64, edge: f64) -> f64 {
    2.0 * duty * sinc(duty).abs() * sinc(edge).abs()
}

#[test]
fn a_servo_draws_bursts_while_it_moves() {
    let with = |motion: &str| {
        readings(&format!(
            "supply bench gnd -> bus voltage 6 V
            servo arm bus -> gnd peak_current 700 mA, idle_current 10 mA, pulse_length 4 ms, frame_rate 50 Hz,
                rise 100 us, fall 100 us, stall_current 900 mA{motion}
            testpoint drawn = current(arm)
            reading level = mean(drawn)
            reading top = maximum(drawn)
            reading bottom = minimum(drawn)
            reading line = harmonic(drawn, 1)
            transient steady span 20 ms, start steady"
        ))
    };
    let moving = with("");
    assert_close(moving("level"), 0.01 + 0.69 * 0.2, 1e-9);
    assert_close(moving("top"), 0.7, 1e-9);
    assert_close(moving("bottom"), 0.01, 1e-9);
    assert_close(moving("line"), 0.69 * fundamental(0.2, 0.005), 1e-7);
    assert_close(with(", motion stalled")("level"), 0.9, 1e-9);
    assert_close(with(", motion holding")("top"), 0.01, 1e-9);
}

#[test]
fn a_transmitter_steps_around_its_mean() {
    for (rate, step, frequency) in
        [("video pal", 0.04, 50.0), ("video ntsc", 0.04, 4.5e6 / 286.0 / 262.5), ("rate 200 Hz", 0.1, 200.0)]
    {
        let found = readings(&format!(
            "supply bench gnd -> bus voltage 12 V
            transmitter vtx bus -> gnd current 300 mA, step {step} A, step_duty 25 %, {rate}, rise 5 us, fall 5 us
            testpoint drawn = current(vtx)
            reading level = mean(drawn)
            reading swing = peak_to_peak(drawn)
            reading top = maximum(drawn)
            reading line = harmonic(drawn, vtx, 1)
            transient steady span 20 ms, start steady"
        ));
        assert_close(found("level"), 0.3, 1e-9);
        assert_close(found("swing"), step, 1e-9);
        assert_close(found("top"), 0.3 + 0.75 * step, 1e-9);
        assert_close(found("line"), step * fundamental(0.25, 5e-6 * frequency), 1e-6);
    }
}

/// |r (1 + jf/fc)/(1 + j r f/fc)|.
fn passed(decibel: f64, corner: f64, frequency: f64) -> f64 {
    let ratio = 10f64.powf(-decibel / 20.0);
    ratio * (frequency / corner).hypot(1.0) / (ratio * frequency / corner).hypot(1.0)
}

/// Over frequency a regulator of 60 dB with its corner at 10 kHz passes 1e-3 below it, 20 dB a decade more above and all beyond 10 MHz,
/// divided between its resistance and the load.
#[test]
fn a_regulator_loses_its_rejection_above_the_corner() {
    let values = curve(
        "supply bench gnd -> in voltage 12 V
        regulator reg in -> out output 5 V, dropout 0.5 V, rejection 60 dB, rejection_corner 10 kHz, resistance 50 mohm
        load eye out -> gnd resistance 50 ohm
        frequency [100 Hz, 10 kHz, 100 kHz, 1 MHz, 10 MHz, 1 GHz]
        response path = transfer(voltage(out), bench)",
    );
    for (value, frequency) in values.into_iter().zip([100.0, 10e3, 100e3, 1e6, 10e6, 1e9]) {
        assert_close(value.magnitude(), passed(60.0, 10e3, frequency) * 50.0 / 50.05, 1e-9);
    }
}

/// The same in time: each harmonic of a square wave on the input comes through by its own share. The supply is the mean of the wave.
#[test]
fn a_regulator_does_the_same_in_time() {
    let lines: String = [1, 3, 9, 25]
        .iter()
        .map(|k| format!("reading in{k} = harmonic(before, {k})\nreading out{k} = harmonic(after, {k})\n"))
        .collect();
    let found = readings(&format!(
        "supply bench gnd -> low voltage 11 V
        generator wave low -> in level 2 V, width 50 us, period 100 us, rise 1 us, fall 1 us
        regulator reg in -> out output 5 V, dropout 0.5 V, rejection 40 dB, rejection_corner 20 kHz, resistance 50 mohm
        load eye out -> gnd resistance 50 ohm
        testpoint before = voltage(in)
        testpoint after = voltage(out)
        {lines}
        transient steady span 100 us, start steady"
    ));
    for order in [1, 3, 9, 25] {
        let ratio = found(&format!("out{order}")) / found(&format!("in{order}"));
        let expected = passed(40.0, 20e3, 10e3 * f64::from(order)) * 50.0 / 50.05;
        // Parabolas follow the waveform to a hundred-thousandth of its swing, and the 25th line is 1/25 of the first.
        assert_close(ratio, expected, 1e-3);
    }
}

/// In dropout nothing is rejected any more: 100 mV of ripple come through but for the load's share. In regulation r of them do, and with
/// a corner both ramps of 100 mV/us lead the loop by its time constant r/(2 pi fc).
#[test]
fn dropout_takes_the_rejection_away() {
    let lead = 2.0 * 0.999 * 0.1e6 * 1e-3 / (std::f64::consts::TAU * 10e3);
    for (corner, lead) in [("", 0.0), (", rejection_corner 10 kHz", lead)] {
        let ripple = |low: f64| {
            readings(&format!(
                "supply bench gnd -> low voltage {low} V
                generator wave low -> in level 0.1 V, width 50 us, period 100 us, rise 1 us, fall 1 us
                regulator reg in -> out output 5 V, dropout 0.5 V, rejection 60 dB, resistance 50 mohm{corner}
                load eye out -> gnd resistance 50 ohm
                testpoint rail = voltage(out)
                reading noise = peak_to_peak(rail)
                transient steady span 100 us, start steady"
            ))("noise")
        };
        assert_close(ripple(5.2), 0.1 * 50.0 / 50.05, 1e-6);
        assert_close(ripple(12.0), (1e-4 + lead) * 50.0 / 50.05, 1e-5);
    }
}

/// Check 7.26 (Franco, Design with Operational Amplifiers, example 5.5): 0.1 V of ripple at 30 and 150 uV/V, times 1001.
#[test]
fn ripple_comes_through_as_the_rejection_says() {
    for (ratio, expected) in [(30e-6, 3.003e-3), (150e-6, 15.02e-3)] {
        let decibel = -20.0 * f64::log10(ratio);
        let found = readings(&format!(
            "supply bench gnd -> low voltage 12 V
            generator wave low -> in level 0.1 V, width 50 us, period 100 us, rise 1 us, fall 1 us
            regulator reg in -> out output 5 V, dropout 0.5 V, rejection {decibel} dB, resistance 50 mohm
            load eye out -> gnd current 100 mA
            testpoint rail = voltage(out)
            reading noise = 1001 * peak_to_peak(rail)
            transient steady span 100 us, start steady"
        ));
        assert_close(found("noise"), expected, 1e-3);
    }
}

/// Heat of a linear regulator: (u in - u out) times the load's current, and u in times its own.
#[test]
fn a_regulators_power_counts_its_own_current() {
    let found = readings(
        "supply bench gnd -> in voltage 12 V
        regulator reg in -> out output 5 V, dropout 0.5 V, rejection 200 dB, resistance 50 mohm, quiescent 5 mA
        load eye out -> gnd current 100 mA
        testpoint heat = power(reg)
        testpoint given = power(bench)
        testpoint used = power(eye)
        reading lost = mean(heat)
        reading balance = mean(given) - mean(heat) - mean(used)
        transient point span 1 ms, start operating",
    );
    assert_close(found("lost"), (12.0 - 4.995) * 0.1 + 12.0 * 5e-3, 1e-9);
    assert!(found("balance").abs() < 1e-9, "{}", found("balance"));
}

const BUCK: &str = "\
supply bench gnd -> in voltage 12 V
regulator buck in -> out output 5 V, dropout 0.5 V, rejection 60 dB, resistance 50 mohm, efficiency 90 %, load_current 1.8 A
load eye out -> gnd current 1.8 A
testpoint drawn = current(buck)
testpoint taken = power(buck)
testpoint rail = voltage(out)
reading current_in = mean(drawn)
reading power_in = mean(taken)
reading level = mean(rail)
transient point span 1 ms, start operating
";

/// 5 V x 1.8 A / 0.9 are 10 W at any input voltage; below its lockout (5.5 V by default, nothing under 90 % of it) it draws nothing.
#[test]
fn a_switching_regulator_draws_a_constant_power() {
    for voltage in [8.0, 12.0, 24.0] {
        let found = readings(&BUCK.replace("voltage 12 V", &format!("voltage {voltage} V")));
        assert_close(found("current_in"), 10.0 / voltage, 1e-6);
        assert_close(found("power_in"), 10.0, 1e-6);
        assert_close(found("level"), 5.0 + 1e-3 * (voltage - 5.5) - 0.05 * 1.8, 1e-6);
    }
    let found = readings(&BUCK.replace("voltage 12 V", "voltage 4.9 V"));
    assert!(found("current_in").abs() < 1e-9);
    let found = readings(
        &BUCK.replace("voltage 12 V", "voltage 6.9 V").replace("efficiency", "lockout 8 V, efficiency"),
    );
    assert!(found("current_in").abs() < 1e-9);
}

/// Check 5.19 (Middlebrook, IEEE IAS 1976): 20 W at 12 V are -7.2 ohm, so that 100 uH and 100 uF need more than 0.1389 ohm in series
/// to be stable (Routh). The source's voltage makes up for the resistance, so that 12 V stand at the input.
#[test]
fn a_switching_regulator_is_a_negative_resistance() {
    let text = |resistance: f64, rest: &str| {
        format!(
            "battery pack gnd -> pos emf {} V, resistance {resistance} ohm
            coil choke pos -> in inductance 100 uH, dcr 0 ohm
            regulator buck in -> out output 5 V, dropout 0.5 V, rejection 60 dB, resistance 50 mohm, efficiency 100 %,
                load_current 4 A, input_capacitance 100 uF
            load eye out -> gnd current 1 A
            testpoint rail = voltage(in)
            reading level = mean(rail)
            {rest}",
            12.0 + resistance * 20.0 / 12.0
        )
    };
    let steady = "transient ripple span 1 ms, start steady";
    for (resistance, stable) in [(0.1389 * 0.99, false), (0.1389 * 1.01, true)] {
        let error = run(&text(resistance, steady)).error;
        assert_eq!(error.is_none(), stable, "{resistance}: {error:?}");
    }
    // Behind a resistance alone, the input's share of the node's impedance is -7.2 ohm: 1/(1/1 ohm - 1/7.2 ohm).
    let values = curve(&format!(
        "{}
        frequency [10 Hz, 100 Hz]
        response z = impedance(in)
        transient point span 1 ms, start operating",
        text(1.0, "")
            .replace(
                "coil choke pos -> in inductance 100 uH, dcr 0 ohm",
                "resistor choke pos -> in resistance 1 nohm"
            )
            .replace(", input_capacitance 100 uF", "")
    ));
    for value in values {
        assert_close(value.re, 1.0 / (1.0 - 1.0 / 7.2), 1e-4);
    }
    // The margin against the highest impedance of the feed: with 1 ohm alone it is 20 log10(7.2).
    let margin = readings(&format!(
        "{}
        frequency 10 Hz .. 1 MHz, points 10
        reading margin = impedance_margin(buck)
        transient point span 1 ms, start operating",
        text(1.0, "")
            .replace(
                "coil choke pos -> in inductance 100 uH, dcr 0 ohm",
                "resistor choke pos -> in resistance 1 nohm"
            )
            .replace(", input_capacitance 100 uF", "")
    ))("margin");
    assert!((margin - 20.0 * 7.2f64.log10()).abs() < 1e-3, "{margin}");
}

/// What a camera's own rejection leaves: the same law as a regulator's, seen through `picture`.
#[test]
fn a_camera_shows_what_its_rejection_leaves() {
    let found = |rejection: &str| {
        readings(&format!(
            "supply bench gnd -> low voltage 11 V
            generator wave low -> cam level 2 V, width 50 us, period 100 us, rise 1 us, fall 1 us
            camera eye cam -> gnd current 100 mA, input_capacitance 0 F{rejection}
            testpoint supply_ripple = voltage(eye)
            testpoint shown = picture(eye)
            reading before = harmonic(supply_ripple, 3)
            reading after = harmonic(shown, 3)
            reading swing = peak_to_peak(shown)
            transient steady span 100 us, start steady"
        ))
    };
    let plain = found("");
    assert_close(plain("after"), plain("before"), 1e-9);
    let level = found(", rejection 40 dB");
    assert_close(level("after") / level("before"), 0.01, 1e-9);
    assert_close(level("swing"), 0.02, 1e-9);
    let falling = found(", rejection 40 dB, rejection_corner 15 kHz");
    assert_close(falling("after") / falling("before"), passed(40.0, 15e3, 30e3), 1e-4);
}

/// Checks 5.06, 5.07 and 5.09: pulses of ISO 7637-2 at their generator's resistance and a load. Us RL/(RL + Ri) is the peak, at the time
/// that the fit gives; width and rise are as stated. Lines follow the exponentials to 2e-5.
#[test]
fn surges_have_the_shape_of_the_standard() {
    for (level, resistance, load, rise, width, peak, time) in [
        (-100.0_f64, 10.0, 10.0, 1e-6, 2e-3, -50.0, 3.477e-6),
        (50.0, 2.0, 2.0, 1e-6, 50e-6, 25.0, 0.0),
        (-150.0, 50.0, 50.0, 5e-9, 150e-9, -75.0, 9.962e-9),
        (-150.0, 50.0, 1e3, 5e-9, 150e-9, -142.857, 9.962e-9),
        (75.0, 50.0, 50.0, 5e-9, 150e-9, 37.5, 9.962e-9),
    ] {
        let found = readings(&format!(
            "generator surge gnd -> hot level {level} V, shape double_exponential, rise {rise} s, width {width} s,
                resistance {resistance} ohm
            load dummy hot -> gnd resistance {load} ohm
            testpoint across = voltage(hot)
            reading top = peak(across)
            reading least = minimum(across)
            reading most = maximum(across)
            reading when = time_of_maximum(across)
            reading end = at(across, {width} s)
            transient run span {} s, start rest",
            3.0 * width
        ));
        assert_close(found("top"), f64::abs(peak), 1e-4);
        assert_close(if level < 0.0 { found("least") } else { found("most") }, peak, 1e-4);
        if level > 0.0 && time > 0.0 {
            assert_close(found("when"), time, 1e-3);
        }
        // Ten percent are left a width after the ten percent at the beginning, which are a tenth of the rise in.
        let left = found("end") / peak;
        assert!(left > 0.1 && left < 0.105, "{left}");
    }
}

/// Check 5.06: the same by the standard's names, in 12 V systems; a matched load halves the level.
#[test]
fn pulses_of_the_standard_have_names() {
    for (pulse, level, resistance, width) in [
        ("iso_7637_1", -100.0_f64, 10.0, 2e-3),
        ("iso_7637_2a", 50.0, 2.0, 50e-6),
        ("iso_7637_3a", -150.0, 50.0, 150e-9),
        ("iso_7637_3b", 100.0, 50.0, 150e-9),
    ] {
        let text = |level: f64| {
            format!(
                "generator surge gnd -> hot level {level} V, pulse {pulse}
                load dummy hot -> gnd resistance {resistance} ohm
                testpoint across = voltage(hot)
                reading top = peak(across)
                reading end = at(across, {width} s)
                transient run span {} s, start rest",
                3.0 * width
            )
        };
        let found = readings(&text(level));
        assert_close(found("top"), level.abs() / 2.0, 1e-4);
        let left = found("end") / (level / 2.0);
        assert!(left > 0.1 && left < 0.105, "{left}");
        assert!(run(&text(level)).warnings.iter().all(|warning| warning.code != "outside_model_range"));
        assert!(run(&text(-level)).warnings.iter().any(|warning| warning.code == "outside_model_range"));
    }
}

/// Check 5.12: the 5 uH/50 ohm artificial network, its supply side shorted: 50 ohm beside j w L.
#[test]
fn an_artificial_network_has_its_impedance() {
    let values = curve(
        "supply bench gnd -> far voltage 12 V
        coil network far -> port inductance 5 uH, dcr 0 ohm
        resistor receiver port -> gnd resistance 50 ohm
        frequency [100 kHz, 1 MHz, 10 MHz]
        response z = impedance(port)",
    );
    for (value, expected) in values.into_iter().zip([3.1354, 26.601, 49.379]) {
        assert_close(value.magnitude(), expected, 1e-4);
    }
}

/// Checks 5.15 and 5.16 (Erickson and Maksimovic, Fundamentals of Power Electronics, section 10.4): L and C damped by n C in series with
/// R_d = R0 sqrt((4 + 3n)(2 + n)/(2 n^2 (4 + n))) have the peak impedance R0 sqrt(2 (2 + n))/n.
#[test]
fn optimal_damping_has_its_peak() {
    let (inductance, capacitance) = (330e-6, 470e-6);
    let characteristic = f64::sqrt(inductance / capacitance);
    for (n, damping, peak) in [(1.0, 1.4491, 2.4495), (2.5, 0.7981, 1.2), (4.0, 0.6124, 0.8660)] {
        let decibel = readings(&format!(
            "supply bench gnd -> far voltage 12 V
            coil choke far -> port inductance 330 uH, dcr 0 ohm
            capacitor store port -> gnd capacitance 470 uF, esr 0 ohm
            resistor damper port -> mid resistance {} ohm
            capacitor block mid -> gnd capacitance {} uF, esr 0 ohm
            frequency 40 Hz .. 4 kHz, points 200
            response z = impedance(port)
            reading highest = peak_gain(z, 40 Hz .. 4 kHz)",
            damping * characteristic,
            n * 470.0
        ))("highest");
        assert_close(10f64.powf(decibel / 20.0) / characteristic, peak, 1e-3);
    }
    // 5.16: the same with n = 2.5 in ohms.
    assert_close(characteristic, 0.8379, 5e-3);
    assert_close(0.7981 * characteristic, 0.669, 5e-3);
    assert_close(1.2 * characteristic, 1.006, 5e-3);
}

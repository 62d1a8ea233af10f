//! What a drive draws, from the text of a harness on, against closed forms.

use crate::common;

use common::{assert_close, readings, run, sinc};

/// A drive on a stiff supply, what it draws, and further lines.
fn drawing(drive: &str, rest: &str) -> String {
    format!(
        "supply bench gnd -> bus voltage 12 V
        drive motor bus -> gnd {drive}
        testpoint drawn = current(motor)
        {rest}"
    )
}

/// Peak amplitude of the n-th line of trapezoids of level 1, `duty` wide at half their height, with edges of `edge` of the period:
/// Paul, Introduction to Electromagnetic Compatibility, chapter 3 (from memory).
fn trapezoid(order: f64, duty: f64, edge: f64) -> f64 {
    2.0 * duty * sinc(order * duty).abs() * sinc(order * edge).abs()
}

/// Check 7.28: 10 A, 30 %, edges of a hundredth of the period. The arithmetic is exact; 1e-5 is what the entry states.
#[test]
fn a_trapezoid_has_its_published_spectrum() {
    let found = readings(&drawing(
        "current 10 A, pwm 20 kHz, duty 30 %, rise 500 ns, fall 500 ns",
        "reading c0 = mean(drawn)
        reading c1 = harmonic(drawn, motor, 1)
        reading c2 = harmonic(drawn, motor, 2)
        reading c3 = harmonic(drawn, motor, 3)
        reading c10 = harmonic(drawn, motor, 10)
        reading c11 = harmonic(drawn, motor, 11)
        transient steady span 1 ms, start steady",
    ));
    for (name, expected) in
        [("c0", 3.0), ("c1", 5.14951), ("c2", 3.02532), ("c3", 0.654784), ("c11", 0.458951)]
    {
        assert_close(found(name), expected, 1e-5);
    }
    assert!(found("c10") < 1e-6, "a null: {}", found("c10"));
}

/// The same law at other duties, edges and orders. What is left of a line against the level is roundings of the sum.
#[test]
fn other_trapezoids_have_theirs() {
    for (duty, edge, orders) in
        [(0.5, 0.02, [1, 2, 3, 5]), (0.12, 0.05, [1, 4, 7, 20]), (0.75, 0.002, [1, 2, 3, 99])]
    {
        let nanoseconds = edge * 50e3;
        let lines =
            orders.map(|order| format!("reading c{order} = harmonic(drawn, motor, {order})\n")).concat();
        let drive =
            format!("current 4 A, pwm 20 kHz, duty {duty}, rise {nanoseconds} ns, fall {nanoseconds} ns");
        let found = readings(&drawing(&drive, &format!("{lines} transient steady span 1 ms, start steady")));
        for order in orders {
            let expected = 4.0 * trapezoid(f64::from(order), duty, edge);
            let value = found(&format!("c{order}"));
            assert!((value - expected).abs() < 1e-8, "{duty} {order}: {value}, expected {expected}");
        }
    }
}

/// Check 7.30: the pack gives I D, the capacitor carries I sqrt(D (1 - D)), the load I sqrt(D). The capacitor carries all that is not
/// constant but for (f0/f)^2 = 1e-7 of it, f0 = 5 Hz the resonance with the coil.
#[test]
fn a_pulsed_load_shares_its_current_between_pack_and_capacitor() {
    for (duty, pack, capacitor, drive) in
        [(25, 2.5, 4.3301, 5.0), (50, 5.0, 5.0, 7.0711), (90, 9.0, 3.0, 9.486_833)]
    {
        let found = readings(&format!(
            "supply bench gnd -> far voltage 12 V
            coil feed far -> bus inductance 10 mH, dcr 100 mohm
            capacitor bulk bus -> gnd capacitance 100 mF, esr 1 mohm
            drive motor bus -> gnd current 10 A, pwm 20 kHz, duty {duty} %, rise 0 s, fall 0 s
            testpoint given = current(bench)
            testpoint smoothed = current(bulk)
            testpoint drawn = current(motor)
            reading pack_rms = rms(given)
            reading bulk_rms = rms(smoothed)
            reading drive_rms = rms(drawn)
            transient steady span 1 ms, start steady"
        ));
        for (name, expected) in [("pack_rms", pack), ("bulk_rms", capacitor), ("drive_rms", drive)] {
            assert_close(found(name), expected, 1.2e-5);
        }
    }
}

/// A square wave that rises by r over its on-time has the mean I D and the mean square I^2 D (1 + r^2/12).
#[test]
fn a_slope_while_on_keeps_the_mean() {
    let found = readings(&drawing(
        "current 8 A, pwm 25 kHz, duty 40 %, rise 0 s, fall 0 s, ripple 60 %",
        "reading level = mean(drawn)
        reading effective = rms(drawn)
        reading top = maximum(drawn)
        transient steady span 1 ms, start steady",
    ));
    assert_close(found("level"), 3.2, 1e-9);
    assert_close(found("effective"), 8.0 * (0.4_f64 * (1.0 + 0.36 / 12.0)).sqrt(), 1e-9);
    assert_close(found("top"), 8.0 * 1.3, 1e-9);
}

/// At 0 % nothing flows; at 100 % the current stands still and only the commutation is left.
#[test]
fn a_drive_at_its_ends_has_no_edges() {
    for (duty, level) in [(0, 0.0), (100, 7.0)] {
        let found = readings(&drawing(
            &format!("current 7 A, pwm 20 kHz, duty {duty} %, ripple 20 %"),
            "reading level = mean(drawn)
            reading swing = peak_to_peak(drawn)
            transient steady span 1 ms, start steady",
        ));
        assert_eq!((found("level"), found("swing")), (level, 0.0));
    }
}

/// N motors that are a period's Nth apart draw together only the harmonics that N divides, N times as strong.
#[test]
fn staggered_motors_cancel_all_but_every_nth_harmonic() {
    for (motors, stagger) in [(2, "50 %"), (3, "1/3"), (4, "25 %"), (6, "1/6")] {
        let orders: Vec<i32> = (1..=2 * motors).collect();
        let lines: String =
            orders.iter().map(|k| format!("reading c{k} = harmonic(drawn, motor, {k})\n")).collect();
        let drive = format!(
            "motors {motors}, stagger {stagger}, current 2 A, pwm 20 kHz, duty 35 %, rise 500 ns, fall 500 ns"
        );
        let found = readings(&drawing(&drive, &format!("{lines} transient steady span 1 ms, start steady")));
        for order in orders {
            let alike = f64::from(u8::from(order % motors == 0)) * f64::from(motors);
            let expected = 2.0 * alike * trapezoid(f64::from(order), 0.35, 0.01);
            let value = found(&format!("c{order}"));
            assert!(
                (value - expected).abs() < 1e-7,
                "{motors} motors, order {order}: {value}, expected {expected}"
            );
        }
    }
}

/// Motors that are unlike cancel as far as they are alike: of two that differ by the share s the fundamental of s is left.
#[test]
fn unequal_motors_leave_their_difference() {
    for spread in [0.0, 0.1, 1.0] {
        let found = readings(&drawing(
            &format!(
                "motors 2, stagger 50 %, spread {spread}, current 5 A, pwm 20 kHz, duty 30 %, rise 500 ns, fall 500 ns"
            ),
            "reading first = harmonic(drawn, motor, 1)
            reading second = harmonic(drawn, motor, 2)
            reading level = mean(drawn)
            transient steady span 1 ms, start steady",
        ));
        assert!((found("first") - 5.0 * spread * trapezoid(1.0, 0.3, 0.01)).abs() < 1e-8);
        assert_close(found("second"), 10.0 * trapezoid(2.0, 0.3, 0.01), 1e-8);
        assert_close(found("level"), 3.0, 1e-9);
    }
}

/// Lines of triangles of depth d and flanks of w of their period: 2 d w sinc^2(n w).
fn dips(order: f64, depth: f64, flank: f64) -> f64 {
    2.0 * depth * flank * sinc(order * flank).powi(2)
}

/// 6000 rpm with 7 pairs of poles commutate at 6 x 100 Hz x 7 = 4.2 kHz: one common period of 1/4200 s whose lines are those of the
/// dips, 10 % down and 10 % up.
#[test]
fn commutation_follows_speed_and_poles() {
    let found = readings(&drawing(
        "current 5 A, pwm 20 kHz, duty 100 %, rpm 6000 rpm, pole_pairs 7, commutation_depth 20 %",
        "reading c1 = harmonic(drawn, 1)
        reading c2 = harmonic(drawn, 2)
        reading c5 = harmonic(drawn, 5)
        reading line = band(drawn, 4199 Hz .. 4201 Hz)
        reading level = mean(drawn)
        transient steady span 1 ms, start steady",
    ));
    for (name, order) in [("c1", 1.0), ("c2", 2.0), ("c5", 5.0)] {
        assert_close(found(name), 5.0 * dips(order, 0.2, 0.1), 1e-8);
    }
    assert_close(found("line"), 5.0 * dips(1.0, 0.2, 0.1) / 2f64.sqrt(), 1e-8);
    assert_close(found("level"), 5.0 * (1.0 - 0.02), 1e-9);
}

/// One phase of three (or one step of six, or one bar of five) that dips deeper adds lines at all multiples of a third (a sixth, a
/// fifth) of the commutation frequency, of triangles that come so much rarer.
#[test]
fn an_odd_phase_step_or_bar_gives_lines_below_the_commutation() {
    let cases = [
        ("rpm 6000 rpm, pole_pairs 1", "", 3, 600.0),
        ("rpm 6000 rpm, pole_pairs 1", ", imbalance_of step", 6, 600.0),
        ("commutation 480 Hz", ", imbalance_of phase", 3, 480.0),
        ("rpm 12000 rpm, bars 5", "", 5, 2000.0),
        ("rpm 12000 rpm, bars 12, brushes 2", "", 6, 2400.0),
    ];
    for (speed, odd, every, frequency) in cases {
        let cycle = f64::from(every);
        let line = frequency / cycle;
        let found = readings(&drawing(
            &format!(
                "current 5 A, pwm 20 kHz, duty 100 %, {speed}, commutation_depth 5 %, imbalance 8 %{odd}"
            ),
            &format!(
                "reading first = harmonic(drawn, 1)
                reading second = harmonic(drawn, 2)
                reading at_line = band(drawn, {} Hz .. {} Hz)
                reading commutation_line = harmonic(drawn, {every})
                reading level = mean(drawn)
                transient steady span 1 ms, start steady",
                line * 0.99,
                line * 1.01
            ),
        ));
        assert_close(found("first"), 5.0 * dips(1.0, 0.08, 0.1 / cycle), 1e-7);
        assert_close(found("second"), 5.0 * dips(2.0, 0.08, 0.1 / cycle), 1e-7);
        assert_close(found("at_line"), 5.0 * dips(1.0, 0.08, 0.1 / cycle) / 2f64.sqrt(), 1e-7);
        // Both families add at the commutation itself.
        let both = dips(1.0, 0.05, 0.1) + dips(cycle, 0.08, 0.1 / cycle);
        assert_close(found("commutation_line"), 5.0 * both, 1e-7);
        assert_close(found("level"), 5.0 * (1.0 - 0.1 * (0.05 + 0.08 / cycle)), 1e-9);
    }
}

/// A stalled motor draws its own current and has no commutation: of three motors of 4 A, two of which dip by 20 %, the lines are those
/// of 8 A.
#[test]
fn stalled_motors_draw_more_and_do_not_commutate() {
    let found = readings(&drawing(
        "motors 3, current 4 A, stalled 1, stall_current 25 A, pwm 20 kHz, duty 100 %, commutation 500 Hz, commutation_depth 20 %",
        "reading level = mean(drawn)
        reading line = harmonic(drawn, 1)
        transient steady span 1 ms, start steady",
    ));
    assert_close(found("level"), 8.0 * 0.98 + 25.0, 1e-9);
    assert_close(found("line"), 8.0 * dips(1.0, 0.2, 0.1), 1e-8);
}

/// 4000 pulses that are shifted evenly by up to 10 % of a period: the fundamental keeps sinc(0.2) = 0.935 of itself. The mean of N
/// unit phasors scatters by sqrt((1 - sinc^2)/N) = 0.56 %; five times that is exceeded by one seed in a million.
#[test]
fn jitter_weakens_harmonics_by_the_characteristic_function() {
    let with = |jitter: &str| {
        readings(&drawing(
            &format!("current 10 A, pwm 20 kHz, duty 30 %, rise 500 ns, fall 500 ns{jitter}"),
            "reading first = harmonic(drawn, motor, 1)
            reading third = harmonic(drawn, motor, 3)
            reading level = mean(drawn)
            transient run span 200 ms, start operating",
        ))
    };
    let steady = with("");
    let shaken = with(", jitter 10 %, seed 7");
    for (name, order) in [("first", 1.0), ("third", 3.0)] {
        let kept = sinc(2.0 * order * 0.1);
        let scatter = ((1.0 - kept * kept) / 4000.0).sqrt();
        let found = shaken(name) / (10.0 * trapezoid(order, 0.3, 0.01));
        assert!((found - kept).abs() < 5.0 * scatter, "{name}: {found}, expected {kept}");
        assert_close(steady(name), 10.0 * trapezoid(order, 0.3, 0.01), 1e-6);
    }
    // Pulses keep their width: what the mean can lose is part of the last pulse.
    assert!((shaken("level") - 3.0).abs() < 3.0 / 4000.0);
    // A seed gives its sequence again, another one another.
    assert_eq!(with(", jitter 10 %, seed 7")("first"), shaken("first"));
    assert_ne!(with(", jitter 10 %, seed 8")("first"), shaken("first"));
    assert_eq!(with(", jitter 10 %")("first"), with(", jitter 10 %, seed 1")("first"));
}

/// What never repeats has no steady state, and the run says which part it is.
#[test]
fn jitter_and_throttle_exclude_the_steady_state() {
    for (property, word) in [("jitter 1 %", "jitter"), ("throttle [0 s: 20 %, 1 s: 80 %]", "throttle")] {
        let text = drawing(
            &format!("current 1 A, pwm 20 kHz, duty 50 %, {property}"),
            "transient ripple span 1 ms, start steady",
        );
        let error = run(&text).error.expect("no steady state");
        assert!(error.contains("motor") && error.contains(word), "{error}");
    }
}

/// At 100 % there are no edges to shake, and the steady state is as without.
#[test]
fn jitter_has_no_effect_without_edges() {
    let found = readings(&drawing(
        "current 7 A, pwm 20 kHz, duty 100 %, jitter 5 %, seed 3",
        "reading level = mean(drawn)
        transient steady span 1 ms, start steady",
    ));
    assert_eq!(found("level"), 7.0);
}

/// A throttle that rises in a straight line from 20 % to 80 % over 100 ms makes a mean current of I D times its mean; it is taken at
/// each period's start, half a step (1/4000 of its way) late.
#[test]
fn a_throttle_multiplies_the_duty() {
    let found = readings(&drawing(
        "current 10 A, pwm 20 kHz, duty 50 %, rise 0 s, fall 0 s, throttle [0 s: 20 %, 100 ms: 80 %]",
        "reading level = mean(drawn) over 0 ms .. 100 ms
        reading early = mean(drawn) over 0 ms .. 1 ms
        transient run span 100 ms, start operating",
    ));
    let expected = 10.0 * 0.5 * (0.5 - 0.3 / 2000.0);
    assert_close(found("level"), expected, 1e-6);
    // The first millisecond: from 20 % to 20.6 %, twenty periods, the mean of their starts is 0.285 % up.
    assert_close(found("early"), 5.0 * (0.2 + 0.6 * 0.0095 / 2.0), 1e-6);
}

/// The on-current follows duty^n.
#[test]
fn the_on_current_follows_the_exponent() {
    let found = readings(&drawing(
        "current 10 A, pwm 20 kHz, duty 50 %, rise 0 s, fall 0 s, current_exponent 2",
        "reading top = maximum(drawn)
        reading level = mean(drawn)
        transient steady span 1 ms, start steady",
    ));
    assert_close(found("top"), 2.5, 1e-9);
    assert_close(found("level"), 1.25, 1e-9);
}

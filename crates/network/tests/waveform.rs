//! Waveforms against the formula that the language reference gives, written out here a second time without any of the
//! crate's ways of finding corners.

use quietrail_network::waveform::period::Period;
use quietrail_network::waveform::{Drive, DriveSettings, Edge, Points, Pulse, PulseSettings, Waveform};

fn clamp(x: f64) -> f64 {
    x.clamp(0.0, 1.0)
}

/// Current of one motor by the sum over all edges from a few periods before t = 0.
fn motor(settings: &DriveSettings, number: u32, time: f64) -> f64 {
    let period = 1.0 / settings.pwm;
    let phase = (settings.phase + f64::from(number) * settings.stagger).rem_euclid(1.0);
    let width = settings.duty * period;
    let level = settings.current * settings.duty.powf(settings.current_exponent);
    let mut sum = 0.0;
    for period_number in -4..=((time / period) as i64 + 2) {
        let rise = (period_number as f64 + phase) * period;
        if settings.starts.is_some_and(|starts| rise < starts - 1e-12) {
            continue;
        }
        let edges = clamp((time - rise) / settings.rise) - clamp((time - rise - width) / settings.fall);
        let ripple = 1.0 + settings.ripple * (clamp((time - rise) / width) - 0.5);
        sum += level * edges * ripple;
    }
    sum
}

/// The dip by its three straight lines.
fn dip(settings: &DriveSettings, time: f64) -> f64 {
    let Some((frequency, depth)) = settings.commutation else { return 1.0 };
    let place = (time * frequency).rem_euclid(1.0);
    if place < 0.1 {
        1.0 - depth * place * 10.0
    } else if place < 0.2 {
        1.0 - depth * (2.0 - place * 10.0)
    } else {
        1.0
    }
}

fn reference(settings: &DriveSettings, time: f64) -> f64 {
    (0..settings.motors).map(|number| motor(settings, number, time)).sum::<f64>() * dip(settings, time)
}

fn crawler() -> DriveSettings {
    DriveSettings {
        motors: 2,
        current: 9.0,
        pwm: 20e3,
        duty: 0.6,
        rise: 200e-9,
        fall: 300e-9,
        phase: 0.0,
        stagger: 0.0,
        current_exponent: 0.0,
        ripple: 0.0,
        commutation: None,
        throttle: None,
        starts: None,
        ..DriveSettings::default()
    }
}

fn drive(settings: &DriveSettings) -> Waveform {
    Waveform::Drive(Box::new(Drive::new(settings)))
}

/// Settings that stress what the crawler does not: many phases, ripple, dips, overlapping edges, a late start.
fn varied() -> Vec<DriveSettings> {
    vec![
        crawler(),
        DriveSettings { phase: 0.9, stagger: 0.25, motors: 4, ..crawler() },
        DriveSettings { ripple: 0.3, current_exponent: 1.5, duty: 0.35, ..crawler() },
        DriveSettings { commutation: Some((480.0, 0.05)), ripple: 0.1, ..crawler() },
        DriveSettings { commutation: Some((7300.0, 0.4)), stagger: 0.5, ..crawler() },
        DriveSettings { rise: 35e-6, fall: 30e-6, ..crawler() },
        DriveSettings { duty: 0.99, fall: 5e-6, rise: 2e-6, ..crawler() },
        DriveSettings { duty: 0.01, fall: 5e-6, rise: 5e-6, ripple: 0.2, ..crawler() },
        DriveSettings { starts: Some(130e-6), phase: 0.3, stagger: 0.4, ..crawler() },
        DriveSettings { starts: Some(0.0), commutation: Some((480.0, 0.05)), ..crawler() },
    ]
}

/// The greatest distance of a product of two lines from its chord: a quarter of the product of the factors' changes.
fn bow(settings: &DriveSettings, start: f64, end: f64) -> f64 {
    let depth =
        settings.commutation.map_or(0.0, |(frequency, depth)| depth * frequency * 10.0) * (end - start);
    let ripple = settings.ripple * (end - start) * settings.pwm / settings.duty;
    let edge = ((end - start) / settings.rise.min(settings.fall)).min(1.0);
    let level = settings.current * f64::from(settings.motors) * (1.0 + settings.ripple);
    level * (depth * ripple + depth * edge + ripple * edge) / 2.0 + 1e-7
}

#[test]
fn drive_follows_the_formula_between_and_at_corners() {
    for settings in varied() {
        let waveform = drive(&settings);
        let mut time = 0.0;
        while time < 4.3e-3 {
            let piece = waveform.piece(time);
            assert!(piece.end > time, "{settings:?} at {time}");
            let end = piece.end.min(5e-3);
            let at_corner = reference(&settings, time);
            assert!((piece.value - at_corner).abs() < 2e-7, "{settings:?}: {piece:?} {at_corner} at {time}");
            let before_next = reference(&settings, end);
            let reached = piece.value + piece.slope * (end - time);
            assert!((reached - before_next).abs() < 2e-7, "{settings:?}: {reached} {before_next} at {end}");
            for share in [0.21, 0.5, 0.83] {
                let inside = time + share * (end - time);
                let line = waveform.piece(inside);
                assert!((line.value - (piece.value + piece.slope * (inside - time))).abs() < 1e-7);
                assert_eq!(line.end, piece.end, "{settings:?} at {inside}");
                let exact = reference(&settings, inside);
                assert!((line.value - exact).abs() <= bow(&settings, time, end), "{settings:?} at {inside}");
            }
            time = end;
        }
    }
}

#[test]
fn pieces_are_never_of_the_length_of_a_rounding() {
    let settings =
        DriveSettings { motors: 6, stagger: 1.0 / 6.0, commutation: Some((20e3 / 3.0, 0.1)), ..crawler() };
    let waveform = drive(&settings);
    let mut time = 0.0;
    while time < 20e-3 {
        let piece = waveform.piece(time);
        assert!(piece.end - time > 1e-12, "{time} to {}", piece.end);
        time = piece.end;
    }
}

#[test]
fn steady_drive_repeats_after_its_common_period() {
    let settings = DriveSettings { commutation: Some((480.0, 0.05)), stagger: 0.3, ..crawler() };
    let waveform = drive(&settings);
    let common = Period::common(&waveform.periods()).unwrap().seconds();
    assert_eq!(common, 6.25e-3);
    for step in 0..500 {
        let time = f64::from(step) * 13.7e-6;
        let (here, later) = (waveform.piece(time), waveform.piece(time + common));
        assert!((here.value - later.value).abs() < 1e-6);
        assert!((here.end + common - later.end).abs() < 1e-14);
    }
}

#[test]
fn duty_0_draws_nothing_and_full_duty_has_no_edges() {
    let off = drive(&DriveSettings { duty: 0.0, commutation: Some((480.0, 0.05)), ..crawler() });
    assert_eq!(off.piece(1e-3).value, 0.0);
    assert_eq!(off.piece(1e-3).end, f64::INFINITY);
    assert!(off.periods().is_empty());

    let full = DriveSettings { duty: 1.0, ripple: 0.2, ..crawler() };
    assert_eq!(drive(&full).piece(1e-3).value, 18.0);
    assert_eq!(drive(&full).piece(1e-3).end, f64::INFINITY);
    let commutating = drive(&DriveSettings { commutation: Some((500.0, 0.05)), ..full.clone() });
    assert!((commutating.piece(0.2e-3).value - 18.0 * 0.95).abs() < 1e-9);
    assert_eq!(commutating.periods(), vec![Period::from_frequency(500.0).unwrap()]);

    let starting = drive(&DriveSettings { starts: Some(0.0), ..full });
    assert_eq!(starting.piece(-1e-6).value, 0.0);
    assert!((starting.piece(50e-9).value - 4.5).abs() < 1e-7);
    assert_eq!(starting.piece(200e-9).value, 18.0);
    assert_eq!(starting.piece(200e-9).end, f64::INFINITY);
}

#[test]
fn edges_of_no_duration_are_jumps() {
    let waveform = drive(&DriveSettings { rise: 0.0, fall: 0.0, ..crawler() });
    assert_eq!(waveform.piece(0.0).value, 18.0);
    assert_eq!(waveform.piece(0.0).slope, 0.0);
    let fall = waveform.piece(0.0).end;
    assert!((fall - 30e-6).abs() < 1e-15);
    assert_eq!(waveform.piece(fall).value, 0.0);
    assert!((waveform.piece(fall).end - 50e-6).abs() < 1e-15);
}

#[test]
fn throttle_is_taken_at_each_periods_start() {
    // From nothing to full over 400 us in steps of 50 us, full from then on.
    let throttle = Some(Points::new(vec![(0.0, 0.0), (400e-6, 1.0), (500e-6, 1.0), (500e-6, 0.0)]));
    let settings =
        DriveSettings { duty: 1.0, rise: 1e-6, fall: 2e-6, throttle, starts: Some(0.0), ..crawler() };
    let waveform = drive(&settings);
    assert!(!waveform.is_periodic());
    // Period 0 has no pulse; in period n the pulse lasts n/8 of it.
    assert_eq!(waveform.piece(25e-6).value, 0.0);
    for number in 1..8 {
        let start = f64::from(number) * 50e-6;
        let width = f64::from(number) / 8.0 * 50e-6;
        assert!((waveform.piece(start + 0.5e-6).value - 9.0).abs() < 1e-6);
        assert!((waveform.piece(start + width - 0.1e-6).value - 18.0).abs() < 1e-6);
        assert!((waveform.piece(start + width + 1e-6).value - 9.0).abs() < 1e-6);
    }
    // Periods 8 and 9 are full and join without a notch; then the throttle shuts.
    for step in 0..90 {
        let time = 402e-6 + f64::from(step) * 1.05e-6;
        assert!((waveform.piece(time).value - 18.0).abs() < 1e-6, "{time}");
    }
    assert!((waveform.piece(501e-6).value - 9.0).abs() < 1e-6);
    assert_eq!(waveform.piece(600e-6).value, 0.0);
}

/// Mean and rms over one period from the pieces; the square of a line integrates exactly by Simpson's rule.
fn mean_and_rms(waveform: &Waveform) -> (f64, f64) {
    let period = Period::common(&waveform.periods()).unwrap().seconds();
    let (mut time, mut area, mut square) = (0.0, 0.0, 0.0);
    while time < period {
        let piece = waveform.piece(time);
        let span = piece.end.min(period) - time;
        let (a, b) = (piece.value, piece.value + piece.slope * span);
        area += span * (a + b) / 2.0;
        square += span * (a * a + a * b + b * b) / 3.0;
        time += span;
    }
    (area / period, (square / period).sqrt())
}

#[test]
fn trapezoid_train_has_the_textbook_mean() {
    // C. R. Paul, Introduction to EMC, ch. 3: c0 = A D for equal edges, D at half height.
    for period in [50e-6, 1e-3] {
        let settings = PulseSettings {
            level: 10.0,
            width: 0.3 * period,
            period,
            rise: 0.01 * period,
            fall: 0.01 * period,
            start: None,
        };
        let waveform = Waveform::Pulse(Box::new(Pulse::new(settings)));
        assert!((waveform.mean().unwrap() - 3.0).abs() < 1e-9);
        assert!((mean_and_rms(&waveform).0 - 3.0).abs() < 1e-9);
    }
}

#[test]
fn pulsed_load_has_the_elementary_mean_and_rms() {
    // Source DC I D, load rms I sqrt(D), capacitor rms I sqrt(D (1 - D)) for square pulses.
    for (duty, dc, capacitor, load) in [(0.25, 2.5, 4.3301, 5.0), (0.5, 5.0, 5.0, 7.0711)] {
        let settings = DriveSettings { motors: 1, current: 10.0, duty, rise: 0.0, fall: 0.0, ..crawler() };
        let (mean, rms) = mean_and_rms(&drive(&settings));
        assert!((mean - dc).abs() < 1e-9);
        assert!((rms / load - 1.0).abs() < 1e-5);
        assert!(((rms * rms - mean * mean).sqrt() / capacitor - 1.0).abs() < 1e-5);
    }
}

#[test]
fn mean_counts_edges_dip_and_ripple() {
    // (w + fall/2 - rise/2) / T by elementary geometry.
    let mean = drive(&crawler()).mean().unwrap();
    assert!((mean - 18.0 * (30e-6 + 0.05e-6) / 50e-6).abs() < 1e-9);
    // The dip is a triangle over a fifth of the commutation period.
    let full = DriveSettings { duty: 1.0, commutation: Some((480.0, 0.2)), ..crawler() };
    assert!((drive(&full).mean().unwrap() - 18.0 * (1.0 - 0.2 * 0.1)).abs() < 1e-9);
    // No common period: the product of both means.
    let odd = DriveSettings { commutation: Some((479.123_456_789, 0.2)), ..crawler() };
    assert!((drive(&odd).mean().unwrap() - mean * 0.98).abs() < 1e-9);
}

#[test]
fn generator_starts_when_told() {
    let settings =
        PulseSettings { level: -3.0, width: 2e-6, period: 10e-6, rise: 1e-6, fall: 1e-6, start: Some(5e-6) };
    let waveform = Waveform::Pulse(Box::new(Pulse::new(settings)));
    assert_eq!(waveform.piece(0.0).value, 0.0);
    assert_eq!(waveform.piece(0.0).end, 5e-6);
    assert!((waveform.piece(5.5e-6).value + 1.5).abs() < 1e-9);
    assert!((waveform.piece(6.5e-6).value + 3.0).abs() < 1e-9);
    assert!((waveform.piece(15.5e-6).value + 1.5).abs() < 1e-9);
    assert_eq!(waveform.mean(), None);
}

#[test]
fn ramp_rises_to_its_level() {
    let ramp = Waveform::Ramp { level: 12.0, rise: 1e-3 };
    assert_eq!(ramp.piece(-1.0).value, 0.0);
    assert!((ramp.piece(0.25e-3).value - 3.0).abs() < 1e-12);
    assert_eq!(ramp.piece(1e-3).value, 12.0);
    assert_eq!(Waveform::Ramp { level: 12.0, rise: 0.0 }.piece(0.0).value, 12.0);
    assert_eq!(ramp.piece(0.5e-3).end, 1e-3);
    assert!(!ramp.is_periodic());
}

#[test]
fn a_period_that_cannot_be_counted_is_not_taken_for_a_constant() {
    for pwm in [1e-40, 1e40] {
        let fast = DriveSettings { pwm, rise: 0.0, fall: 0.0, ..crawler() };
        let dipping = DriveSettings { duty: 1.0, commutation: Some((pwm, 0.1)), ..crawler() };
        let pulse = PulseSettings {
            level: 1.0,
            width: 0.5 / pwm,
            period: 1.0 / pwm,
            rise: 0.0,
            fall: 0.0,
            start: None,
        };
        for waveform in [drive(&fast), drive(&dipping), Waveform::Pulse(Box::new(Pulse::new(pulse)))] {
            assert!(waveform.periods().is_empty());
            assert!(waveform.has_unknown_period() && !waveform.is_periodic());
            assert_eq!(waveform.mean(), None);
        }
        // Where nothing repeats, there is no period to know.
        assert!(!drive(&DriveSettings { duty: 0.0, ..fast.clone() }).has_unknown_period());
        assert!(!drive(&DriveSettings { current: 0.0, ..fast }).has_unknown_period());
    }
}

#[test]
fn jumps_are_where_the_value_is_two() {
    let throttle = |factor| Some(Points::new(vec![(0.0, factor)]));
    let begins = Some(1e-3);
    let square = DriveSettings { rise: 0.0, fall: 0.0, ..crawler() };
    let cases = [
        (crawler(), None),
        (square.clone(), Some(Edge::Rise)),
        (DriveSettings { fall: 0.0, ..crawler() }, Some(Edge::Fall)),
        (DriveSettings { current: 0.0, ..square.clone() }, None),
        (DriveSettings { duty: 0.0, ..square.clone() }, None),
        (DriveSettings { duty: 1.0, ..square.clone() }, None),
        (DriveSettings { duty: 1.0, starts: begins, ..square.clone() }, Some(Edge::Rise)),
        (DriveSettings { duty: 1.0, starts: begins, fall: 0.0, ..crawler() }, None),
        (DriveSettings { throttle: throttle(0.0), starts: begins, ..square.clone() }, None),
        (DriveSettings { throttle: throttle(0.5), duty: 1.0, fall: 0.0, ..crawler() }, Some(Edge::Fall)),
    ];
    for (settings, expected) in cases {
        let waveform = drive(&settings);
        assert_eq!(waveform.jump(), expected, "{settings:?}");
        // A walk over the pieces finds a jump exactly there.
        let mut time = -1e-6;
        let mut jumps = false;
        while time < 2e-3 {
            let piece = waveform.piece(time);
            let reached = piece.value + piece.slope * (piece.end - time);
            jumps |= piece.end.is_finite() && (waveform.piece(piece.end).value - reached).abs() > 0.1;
            time = piece.end;
        }
        assert_eq!(jumps, expected.is_some(), "{settings:?}");
    }
}

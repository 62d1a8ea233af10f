//! The picture of a pure sine on a camera's supply, against the closed form, on the values of pixels; and what was counted in one.

use crate::common::read;
use study::Options;
use study::picture::{Fit, Pictures, Request, SourceLine, Video, What, candidates, pictures, rhythms};

/// A camera on a supply with a sine of 70 mV on top: a tenth of black to white.
fn sine(frequency: &str, camera: &str) -> String {
    format!(
        "supply bench gnd -> low voltage 12 V
        source hum low -> cam voltage sine, amplitude 70 mV, frequency {frequency}
        camera eye cam -> gnd current 100 mA, input_capacitance 0 F{camera}"
    )
}

fn seen(text: &str) -> Pictures {
    pictures(&read(text), &Options::default(), &Request::default()).unwrap()
}

/// The values of a column in the rows of one field.
fn column(found: &Pictures, x: usize, field: usize) -> Vec<f64> {
    let raster = &found.seen[0].shown.as_ref().unwrap().raster;
    (field..raster.height).step_by(2).map(|row| f64::from(raster.at(x, row))).collect()
}

/// Cycles a step of a sampled sine by its own recurrence, s(k-1) + s(k+1) = 2 cos(w) s(k), in least squares: counted by phase, with no
/// frequency put in.
fn cycles_a_step(values: &[f64]) -> f64 {
    let sums = values.windows(3).fold((0.0, 0.0), |(product, square), three| {
        (product + three[1] * (three[0] + three[2]), square + three[1] * three[1])
    });
    (sums.0 / (2.0 * sums.1)).acos() / std::f64::consts::TAU
}

/// ITU-R BT.1700: 312.5 lines a field of 50, 262.5 of 59.94 a second.
#[test]
fn n_times_the_field_rate_gives_n_cycles_a_field() {
    for (video, frequency, lines, n) in [
        ("pal", "50 Hz", 312.5, 1.0),
        ("pal", "350 Hz", 312.5, 7.0),
        ("pal", "1 kHz", 312.5, 20.0),
        ("ntsc", "300 Hz", 262.5, 300.0 / 59.940_06),
    ] {
        let found = seen(&sine(frequency, &format!(", rejection 0 dB, video {video}")));
        for field in [0, 1] {
            let cycles = lines * cycles_a_step(&column(&found, 100, field));
            assert!((cycles - n).abs() < 1e-3 * n, "{frequency} in {video}: {cycles}");
        }
    }
}

/// A line is as long as its own cycle: down a column only what is over counts.
#[test]
fn line_rate_and_field_rate_slant_by_a_cycle_a_field() {
    let found = seen(&sine("15675 Hz", ", rejection 0 dB, video pal"));
    let down = 312.5 * cycles_a_step(&column(&found, 300, 0));
    assert!((down - 1.0).abs() < 1e-3, "{down}");
    let raster = &found.seen[0].shown.as_ref().unwrap().raster;
    let row: Vec<f64> = (0..raster.width).map(|x| f64::from(raster.at(x, 200))).collect();
    let across = 768.0 * cycles_a_step(&row);
    // 52 us of 64 us are seen of every line.
    assert!((across - 15_675.0 * 52e-6).abs() < 1e-3, "{across}");
    // The line rate itself stands upright: all lines are alike.
    let found = seen(&sine("15625 Hz", ", rejection 0 dB, video pal"));
    let same = column(&found, 300, 0);
    assert!(same.iter().all(|value| (value - same[0]).abs() < 1e-5), "{:?}", &same[..3]);
}

/// Each pixel is the sine at its time, less what it changes within the pixel: row 2k at line 23 + k, row 2k + 1 at line 336 + k, the
/// picture from 10.5 us after the leading edge of sync on. Seen to fail with rows 1 % late, pixels 1 % wide and the sign turned; the two
/// counts above fail with rows 1 % late too.
#[test]
fn every_pixel_is_the_closed_form() {
    for frequency in [350.0, 15_675.0] {
        let found = seen(&sine(&format!("{frequency} Hz"), ", rejection 0 dB, video pal"));
        let raster = &found.seen[0].shown.as_ref().unwrap().raster;
        let mut worst = 0.0f64;
        for row in 0..576 {
            let line = if row % 2 == 0 { 22 + row / 2 } else { 335 + row / 2 };
            for x in 0..768 {
                let time = line as f64 * 64e-6 + 10.5e-6 + (x as f64 + 0.5) * 52e-6 / 768.0;
                let expected = 0.07 * (std::f64::consts::TAU * frequency * time).sin();
                worst = worst.max((f64::from(raster.at(x, row)) - expected).abs());
            }
        }
        // The accuracy asked for is 1e-4 of the swing of 140 mV.
        assert!(worst < 14e-6, "{frequency} Hz: {worst} V");
    }
}

/// |r (1 + jf/fc)/(1 + j r f/fc)| of what the camera's own regulator lets through; of a flat rejection the amplitude alone.
#[test]
fn the_cameras_rejection_is_in_the_picture() {
    let greatest = |camera: &str| {
        let found = seen(&sine("20 kHz", camera));
        let shown = found.seen[0].shown.as_ref().unwrap();
        let level = shown.levels[0];
        shown.raster.values.iter().fold(0.0f64, |most, value| most.max(f64::from(*value).abs())) * level.share
    };
    let near =
        |found: f64, expected: f64| assert!((found / expected - 1.0).abs() < 1e-3, "{found}, {expected}");
    near(greatest(", rejection 40 dB"), 0.7e-3);
    near(
        greatest(", rejection 40 dB, rejection_corner 5 kHz"),
        0.7e-3 * 17f64.sqrt() / (1.0 + 0.04f64.powi(2)).sqrt(),
    );
    // Nothing said: the weakest of three that are assumed.
    near(greatest(""), 7e-3);
    let found = seen(&sine("20 kHz", ""));
    let levels = &found.seen[0].shown.as_ref().unwrap().levels;
    assert_eq!(levels.iter().map(|level| level.decibel).collect::<Vec<_>>(), [20.0, 40.0, 60.0]);
    assert!(levels.iter().all(|level| !level.stated) && !found.seen[0].video_stated);
    // Asked for beats the file.
    let asked = Request { rejections: vec![30.0] };
    let text = sine("20 kHz", ", rejection 40 dB");
    let found = pictures(&read(&text), &Options::default(), &asked).unwrap();
    let levels = &found.seen[0].shown.as_ref().unwrap().levels;
    assert_eq!((levels.len(), levels[0].decibel, levels[0].stated), (1, 30.0, false));
}

const ROVER: &str = "battery pack gnd -> bus emf 12 V, resistance 50 mohm
    drive motors bus -> gnd current 5 A, pwm 20 kHz, duty 60 %, rpm 4800 rpm, pole_pairs 7, commutation_depth 5 %
    servo arm bus -> gnd peak_current 0.7 A, idle_current 10 mA, pulse_length 4 ms, frame_rate 50 Hz, motion holding
    camera eye cam -> gnd current 100 mA, rejection 20 dB, video pal
    choice filter {
        option none { wire link bus -> cam resistance 1 mohm }
        option rc { resistor r bus -> cam resistance 2 ohm
            capacitor c cam -> gnd capacitance 470 uF, esr 50 mohm }
    }
    condition throttle { case half { set motors.duty = 50 % } case full { set motors.duty = 100 % } }";

#[test]
fn each_pick_is_shown_at_its_worst() {
    let found = seen(ROVER);
    let of: Vec<(&str, bool, &str)> =
        found.seen.iter().map(|seen| (seen.option.as_str(), seen.baseline, seen.case.as_str())).collect();
    assert_eq!(of[0], ("none", true, "throttle half"));
    assert_eq!((of[1].0, of[1].1), ("rc", false));
    let strongest = &found.seen[0].shown.as_ref().unwrap().strongest[0];
    assert_eq!((strongest.line.what, strongest.harmonic), (What::Pwm, 1));
}

/// What can't be run is told, and leaves the others alone.
#[test]
fn without_a_common_period_the_reason_is_told() {
    let text = ROVER
        .replace("set motors.duty = 100 %", "set motors.pwm = 19999.37 Hz")
        .replace("rpm 4800 rpm", "rpm 4801.3 rpm");
    let found = seen(&text);
    let reason = found.seen[0].shown.as_ref().unwrap_err();
    assert!(reason.contains("no common period"), "{reason}");
}

/// 4800 rpm are 80 revolutions a second, and with 7 pole pairs 80 x 7 x 6 commutations; a servo that holds has no frames.
#[test]
fn rhythms_of_all_points_are_known() {
    let found = rhythms(&read(ROVER), &Options::default()).unwrap();
    let line = |what, frequency| SourceLine { part: "motors".into(), what, frequency };
    assert_eq!(
        found,
        [line(What::Rotation, 80.0), line(What::Commutation, 3360.0), line(What::Pwm, 20_000.0)]
    );
}

/// 62 bands in 287.5 of 312.5 lines are 67.4 a field and 3370 Hz; 3360 Hz make 61.8.
#[test]
fn a_count_leads_to_the_rhythm() {
    let description = read(ROVER);
    let ask = |bands, slant| {
        let counted = study::picture::Counted { bands, slant, video: Video::Pal, within: 0.02 };
        candidates(&description, &Options::default(), &counted).unwrap()
    };
    let found = ask(62.0, Some(0.0));
    assert_eq!((found[0].line.what, found[0].harmonic, found[0].fit), (What::Commutation, 1, Fit::Off(0.0)));
    assert!((found[0].pattern.visible_bands() - 61.824).abs() < 1e-3);
    // 20 kHz are 15.625 kHz and 4375 Hz: 80.5 bands seen, a stripe along a line.
    let found = ask(80.0, Some(1.0));
    assert_eq!((found[0].line.what, found[0].harmonic), (What::Pwm, 1));
    // A fifth of a line's cycles: none of them.
    assert!(
        ask(20.0, Some(0.0))
            .iter()
            .all(|one| !matches!(one.fit, Fit::Off(_)) || one.line.what == What::Rotation)
    );
}

//! The test card with a pattern in it, as PNG, on its pixels.

use quietrail_report::picture::{bands, images, page, pattern, summary};
use quietrail_report::table::Style;
use study::Options;
use study::picture::{Counted, Pattern, Pictures, Request, Video, candidates, pictures};

fn read(text: &str) -> language::Description {
    let source = language::Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// A camera on a supply with a sine of 70 mV on top: a tenth of black to white.
fn sine(frequency: &str, camera: &str) -> Pictures {
    let text = format!(
        "supply bench gnd -> low voltage 12 V
        source hum low -> cam voltage sine, amplitude 70 mV, frequency {frequency}
        camera eye cam -> gnd current 100 mA, input_capacitance 0 F, {camera}"
    );
    pictures(&read(&text), &Options::default(), &Request::default()).unwrap()
}

/// Red, green and blue of every pixel.
fn decoded(png: &[u8]) -> (usize, usize, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    assert_eq!((info.color_type, info.bit_depth), (png::ColorType::Rgb, png::BitDepth::Eight));
    (info.width as usize, info.height as usize, bytes)
}

/// Of 625 lines row 2k is line 23 + k, row 2k + 1 line 336 + k; 52 us of each are seen from 10.5 us on (ITU-R BT.1700). White is 0.7 V.
/// The grey field at the foot has level 128, the steps above it are eleven; the sine adds 255 x 0.07/0.7 levels at its time. Seen to fail
/// with rows 1 % late, pixels 1 % wide, the sign turned, and every level 2 higher.
#[test]
fn levels_are_within_one_of_the_closed_form() {
    for (frequency, hertz) in [("350 Hz", 350.0), ("15675 Hz", 15_675.0)] {
        let found = sine(frequency, "rejection 0 dB, video pal");
        let images = images(&found);
        assert_eq!((images.len(), images[0].file_name.as_str()), (1, "picture.png"));
        let (width, height, bytes) = decoded(&images[0].png);
        assert_eq!((width, height), (768, 576));
        for row in 231..576 {
            let line = if row % 2 == 0 { 22 + row / 2 } else { 335 + row / 2 };
            for x in 0..768 {
                let time = line as f64 * 64e-6 + 10.5e-6 + (x as f64 + 0.5) * 52e-6 / 768.0;
                let card = if row < 346 { (25.5 * (x * 11 / 768) as f64).round() } else { 128.0 };
                let sine = 25.5 * (std::f64::consts::TAU * hertz * time).sin();
                let expected = (card + sine).clamp(0.0, 255.0);
                let at = (row * width + x) * 3;
                let [red, green, blue] = [bytes[at], bytes[at + 1], bytes[at + 2]];
                assert!(red == green && green == blue, "a ripple has no colour");
                assert!(
                    (f64::from(red) - expected).abs() <= 1.0,
                    "{frequency}, {x} of {row}: {red}, {expected}"
                );
            }
        }
    }
}

#[test]
fn three_levels_where_the_rejection_is_unknown() {
    let found = sine("350 Hz", "video ntsc");
    let (page, images) = page(&found);
    let names: Vec<&str> = images.iter().map(|image| image.file_name.as_str()).collect();
    assert_eq!(names, ["picture_20dB.png", "picture_40dB.png", "picture_60dB.png"]);
    assert!(images.iter().all(|image| image.size == (640, 480)));
    // 20 dB leave a hundredth of black to white to either side, of 0.714 V.
    let reach = |png: &[u8]| {
        let (width, _, bytes) = decoded(png);
        let field = bytes[300 * width * 3..].iter().map(|byte| i32::from(*byte) - 128);
        field.fold((0, 0), |(low, high), value| (low.min(value), high.max(value)))
    };
    assert_eq!(reach(&images[0].png), (-3, 3));
    assert_eq!(reach(&images[1].png), (0, 0), "a quarter of a level rounds to none");
    for said in
        ["pattern, not level", "analogue video only", "picture_40dB.png", "20 dB (assumed)", "2.0 % of black"]
    {
        assert!(page.contains(said), "{said}");
    }
    let words = summary(&found, Style::default());
    assert!(words.contains("pattern, not level") && words.contains("350 Hz (sine of hum)"), "{words}");
    assert!(words.lines().all(|line| line.chars().count() <= 80));
}

#[test]
fn patterns_in_words() {
    for (frequency, said) in [
        (100.0, "2 level bands a field, 1.8 of them seen, standing still"),
        (101.0, "2 level bands a field, 1.9 of them seen, rolling up by 1 a second"),
        (149.8, "3 level bands a field, 2.8 of them seen, rolling down by one in 5 s"),
        (31_250.0, "1.6 stripes across, upright, standing still"),
        (15_675.0, "0.9 bands from top to bottom, climbing by 0.8 of their spacing"),
        (15_625.0 - 400.0, "7.4 bands from top to bottom, falling by 0.8 of their spacing"),
        (62_600.0, "3.3 stripes across, leaning to the right by 1.8 of their spacing"),
    ] {
        let words = pattern(&Pattern::of(Video::Pal, frequency));
        assert!(words.contains(said), "{frequency}: {words}");
    }
}

#[test]
fn the_way_back_shows_its_arithmetic() {
    let description = read(
        "battery pack gnd -> bus emf 12 V, resistance 50 mohm
        drive motors bus -> gnd current 5 A, pwm 16 kHz, duty 60 %, commutation 380 Hz, commutation_depth 5 %
        camera eye bus -> gnd current 100 mA",
    );
    let ask = |bands_counted, slant| {
        let counted = Counted { bands: bands_counted, slant, video: Video::Pal, within: 0.02 };
        let found = candidates(&description, &Options::default(), &counted).unwrap();
        let text = bands("Rover", &counted, &found, Style::default());
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let text = ask(7.0, None);
    for said in [
        "7 / 0.920 = 7.6 a field, x 50 Hz = 380 Hz (353 Hz to 408 Hz",
        "motors commutation = 380 Hz: 380 Hz / 50 Hz = 7.6 bands a field, x 0.920 = 7 seen; level",
        "motors PWM = 16 kHz: 1 x 15.625 kHz + 375 Hz; 375 Hz / 50 Hz = 7.5 bands a field",
        "x 52.0 us = 0.8 stripes along a line",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let level = ask(7.0, Some(0.0));
    assert!(
        level.contains("motors commutation = 380 Hz") && !level.contains("motors PWM = 16 kHz"),
        "{level}"
    );
    assert!(ask(3.0, Some(0.0)).contains("None of the file's rhythms"));
}

/// On the page for a browser the pictures are part of the file; a file whose camera shows nothing has none.
#[test]
fn the_page_has_the_pictures_in_it() {
    let text = |amplitude: &str| {
        format!(
            "supply bench gnd -> low voltage 12 V
            source hum low -> cam voltage sine, amplitude {amplitude}, frequency 350 Hz
            camera eye cam -> gnd current 100 mA, input_capacitance 0 F, video pal
            testpoint rail = voltage(cam)
            transient ripple span 1 ms, start steady"
        )
    };
    let drawn = |amplitude: &str| {
        let text = text(amplitude);
        let description = read(&text);
        let comparison = study::compare(&description, &Options::default()).unwrap();
        let cameras = pictures(&description, &Options::default(), &Request::default()).unwrap();
        quietrail_report::page::page(&quietrail_report::page::Subject {
            comparison: &comparison,
            responses: None,
            influences: None,
            cameras: Some(&cameras),
            winding: None,
            description: &description,
            sources: &[language::Source { name: "test.harness".into(), text }],
            asked: &[],
            remarks: &[],
            version: "0.0.0",
            live: None,
        })
    };
    let page = drawn("70 mV");
    assert_eq!(page.matches("data:image/png;base64,iVBOR").count(), 3, "a PNG file begins so in base 64");
    for said in ["What the camera shows", "pattern, not level; analogue video only", "7 level bands a field"]
    {
        assert!(page.contains(said), "{said}");
    }
    assert!(!drawn("1 uV").contains("What the camera shows"));
}

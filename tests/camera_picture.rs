//! `picture`, `bands` and `winding` as a user meets them.

use crate::support::{Folder, netlist};
use std::fs;

const ROVER: &str = "\
harness \"My rover\"
battery pack   gnd -> bus  cells 3, chemistry li_po, charge 50 %, cell_resistance 12 mohm
drive   motors bus -> gnd  motors 2, current 6 A, pwm 16 kHz, duty 70 %
camera  eye    cam -> gnd  current 100 mA, supply 9 V .. 15 V
choice filter {
    option none     { wire link bus -> cam  resistance 1 mohm }
    option coil_cap {
        coil      choke bus -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25,
                                    wire_diameter 0.4 mm, flux_density_limit 300 mT
        capacitor store cam -> gnd  capacitance 470 uF, esr 60 mohm, rated 25 V
    }
}
";

/// A PNG file begins with eight bytes of its own, then the length of its head, its name, width and height (ISO/IEC 15948).
fn size(folder: &Folder, name: &str) -> (u32, u32) {
    let bytes = fs::read(folder.0.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n", "{name}");
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[test]
fn pictures_before_and_after_stand_on_a_page() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["picture", "rover.harness", "--out", "out"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    for said in
        ["pattern, not level", "none: eye (625/50 lines and fields, assumed)", "16 kHz (PWM of motors)"]
    {
        assert!(ran.out.contains(said), "{said} is not in\n{}", ran.out);
    }
    for option in ["none", "coil_cap"] {
        for level in [20, 40, 60] {
            assert_eq!(size(&folder, &format!("out/picture_{option}_{level}dB.png")), (768, 576));
        }
    }
    let page = folder.read("out/picture.html");
    assert!(page.contains("none (before)") && page.contains("picture_coil_cap_60dB.png"));
    // What is asked for beats the three levels, and 525 lines have a frame of their own.
    let ran = folder.run(&[
        "picture",
        "rover.harness",
        "--out",
        "one",
        "--rejection",
        "30 dB",
        "--only",
        "filter=none",
        "--set",
        "eye.video=ntsc",
    ]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert_eq!(folder.names(), ["one", "out", "rover.harness"]);
    assert_eq!(size(&folder, "one/picture_none.png"), (640, 480));
}

#[test]
fn a_file_without_a_camera_is_told_what_to_add() {
    let folder = Folder::new();
    folder
        .write("dark.harness", "battery pack gnd -> bus emf 12 V\nload lamp bus -> gnd resistance 10 ohm\n");
    let ran = folder.run(&["picture", "dark.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("no camera") && ran.errors.contains("camera eye"), "{}", ran.errors);
    let ran = folder.run(&["winding", "dark.harness"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("no coil") && ran.errors.contains("turns 25"), "{}", ran.errors);
    assert_eq!(folder.names(), ["dark.harness"]);
}

/// The demo's motors commutate at 480 Hz: 9.6 bands a field of 50, of which 287.5 of 312.5 lines show 8.8.
#[test]
fn bands_lead_to_the_rhythm_and_say_by_their_code_whether_one_fits() {
    let folder = Folder::new();
    let crawler = netlist("crawler.harness");
    let ran = folder.run(&["bands", &crawler, "--count", "9", "--slant", "0"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    assert!(ran.out.contains("tracks commutation = 480 Hz") && !ran.out.contains("PWM = 20"), "{}", ran.out);
    let ran = folder.run(&["bands", &crawler, "--count", "3", "--slant", "0"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("None of the file's rhythms"), "{}", ran.out);
    let ran = folder.run(&["bands", &crawler, "--count", "seven"]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("as in 7"), "{}", ran.errors);
}

#[test]
fn a_winding_sheet_is_text_and_a_drawing() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    let ran = folder.run(&["winding", "rover.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    for said in ["25 turns", "LC meter", "eye protection", "Lithium pack"] {
        assert!(ran.out.contains(said), "{said}");
    }
    let text = folder.read("quietrail-out/rover/winding.txt");
    assert!(ran.out.starts_with(&text));
    assert!(folder.read("quietrail-out/rover/winding_choke.svg").contains("mm\" height="));
    // A bought coil can't be wound: what its line lacks is told.
    let ran = folder.run(&["winding", &netlist("crawler.harness")]);
    assert_eq!(ran.code, 2);
    assert!(ran.errors.contains("choke: no sheet") && ran.errors.contains("`turns`"), "{}", ran.errors);
}

//! A harness in several files, as they lie on the disk.

use crate::support::{Folder, close, reading};
use std::fs;

const VEHICLE: &str = "\
harness \"Vehicle\"
include \"parts/supply.harness\"
include \"parts/camera.harness\"
testpoint rail = voltage(cam)
reading low = minimum(rail)
require low > 9 V \"the camera goes black\"
transient run span 1 ms, start operating
";
const SUPPLY: &str = "\
include \"../values.harness\"
battery pack gnd -> cam emf volts, resistance 1 ohm
";
const CAMERA: &str = "\
include \"../values.harness\"
resistor eye cam -> gnd resistance volts / 1 A - 1 ohm
";

/// 12 V over 1 ohm and the 11 ohm that follow from it.
fn vehicle() -> Folder {
    let folder = Folder::new();
    fs::create_dir_all(folder.0.join("parts")).expect("the folder can be written");
    folder.write("vehicle.harness", VEHICLE);
    folder.write("parts/supply.harness", SUPPLY);
    folder.write("parts/camera.harness", CAMERA);
    folder.write("values.harness", "let volts = 12 V\n");
    folder
}

/// What is told without the line ends that fit it to the terminal.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_vehicle_in_four_files_gives_what_its_parts_give() {
    let folder = vehicle();
    let ran = folder.run(&["compare", "--json", "vehicle.harness"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    // Ohm's law, to the rounding of a double.
    assert!(close(reading(&ran.json(), &[], "low"), 11.0, 1e-12), "{}", ran.out);
    let ran = folder.run(&["compare", "--json", "vehicle.harness", "--set", "volts=10 V"]);
    assert!(close(reading(&ran.json(), &[], "low"), 9.0, 1e-12), "{}", ran.out);
    // From another folder the paths are the same, since they start at the files.
    let from_above = format!("{}/vehicle.harness", folder.0.file_name().unwrap().to_string_lossy());
    fs::create_dir_all(folder.0.join("elsewhere")).expect("the folder can be written");
    let ran = folder.run(&["check", &format!("../{from_above}")]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
}

#[test]
fn a_mistake_is_told_with_its_file_and_the_way_to_it() {
    let folder = vehicle();
    folder.write("parts/camera.harness", "\nresistor eye cam -> gnd resistance 1 uF\n");
    let ran = folder.run(&["check", "vehicle.harness"]);
    assert_eq!(ran.code, 2);
    for words in ["parts/camera.harness:2:36", "vehicle.harness:3:9", "included here", "ohms, not farads"] {
        assert!(ran.errors.contains(words), "{words}:\n{}", ran.errors);
    }
}

#[test]
fn what_can_not_be_read_is_told_with_the_reason() {
    let folder = vehicle();
    fs::remove_file(folder.0.join("values.harness")).expect("the file is there");
    let ran = folder.run(&["check", "vehicle.harness"]);
    assert_eq!(ran.code, 2);
    // It is told where it is included first, and nothing else is: what `volts` is can't be known.
    let told = unwrapped(&ran.errors);
    assert!(told.contains("`../values.harness` can't be read: there is no such file"), "{told}");
    assert!(told.contains("looked for `parts/../values.harness`"), "{told}");
    assert_eq!(ran.errors.lines().filter(|line| line.starts_with("mistake")).count(), 1, "{}", ran.errors);
    fs::create_dir_all(folder.0.join("values.harness")).expect("the folder can be written");
    let ran = folder.run(&["check", "vehicle.harness"]);
    assert!(unwrapped(&ran.errors).contains("can't be read: it is a folder"), "{}", ran.errors);
}

#[test]
fn text_that_is_none_is_told_with_its_line() {
    let folder = vehicle();
    fs::write(folder.0.join("values.harness"), b"let volts = 12 V\n# \xff\n").expect("it can be written");
    let ran = folder.run(&["check", "vehicle.harness"]);
    let words = "it is not UTF-8 text: the first byte that does not fit is on line 2";
    let told = unwrapped(&ran.errors);
    assert!(ran.code == 2 && told.contains(words), "{told}");
}

#[test]
fn a_file_is_known_by_whatever_name_it_is_reached() {
    let folder = vehicle();
    folder.write("values.harness", "include \"./parts/../vehicle.harness\"\nlet volts = 12 V\n");
    let ran = folder.run(&["check", "vehicle.harness"]);
    let told = unwrapped(&ran.errors);
    assert!(ran.code == 2 && told.contains("would include itself: vehicle.harness -> parts/supply.harness -> parts/../values.harness -> vehicle.harness"), "{told}");
}

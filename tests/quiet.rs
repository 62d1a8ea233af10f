//! `--quiet`: nothing is said, and nothing else is different.

use crate::support::Folder;
use std::fs;

const ROVER: &str = "\
harness \"Rover\"
battery pack   gnd -> bus  cells 3, chemistry li_po, charge 50 %, cell_resistance 12 mohm
drive   motors bus -> gnd  motors 2, current 6 A, pwm 16 kHz, duty 70 %
camera  eye    cam -> gnd  current 100 mA, supply 9 V .. 15 V
choice filter {
    option none     { wire link bus -> cam  resistance 1 mohm }
    option coil_cap {
        coil      choke bus -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25,
                                    wire_diameter 0.4 mm, flux_density_limit 300 mT
        capacitor store cam -> gnd  capacitance 470 uF +- 20 %, esr 60 mohm
    }
}
sweep duty over motors.duty [50 %, 70 %]
testpoint rail  = voltage(cam)
reading   noise = peak_to_peak(rail)
require noise < 50 mV \"lines in the picture\"
transient ripple  span 1 ms, start steady
frequency 10 Hz .. 1 MHz, points 5
response path = transfer(voltage(cam), motors)
";

/// Names and bytes of what lies in a folder.
fn kept(folder: &Folder, name: &str) -> Vec<(String, Vec<u8>)> {
    let Ok(entries) = fs::read_dir(folder.0.join(name)) else { return Vec::new() };
    let mut all: Vec<(String, Vec<u8>)> = entries
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, fs::read(path).expect("it can be read"))
        })
        .collect();
    all.sort();
    all
}

#[test]
fn the_quiet_say_nothing_and_do_the_same() {
    let folder = Folder::new();
    folder.write("rover.harness", ROVER);
    for share in ["1", "2"] {
        let ran = folder.run(&[
            "sweep",
            "rover.harness",
            "--quiet",
            "--out",
            share,
            "--share",
            &format!("{share}/2"),
        ]);
        assert!(ran.code <= 1 && ran.out.is_empty() && ran.errors.is_empty(), "{}{}", ran.out, ran.errors);
    }
    let commands: [&[&str]; 11] = [
        &["check", "rover.harness"],
        &["compare", "rover.harness"],
        &["response", "rover.harness"],
        &["sweep", "rover.harness", "--draws", "4"],
        &["worst", "rover.harness", "noise"],
        &["sensitivity", "rover.harness"],
        &["picture", "rover.harness"],
        &["bands", "rover.harness", "--count", "3"],
        &["winding", "rover.harness"],
        &["report", "rover.harness"],
        &["join", "1", "2"],
    ];
    for command in commands {
        let keeps = !["check", "worst", "bands"].contains(&command[0]);
        let run = |out: &str, quiet: &[&str]| {
            let to: &[&str] = if keeps { &["--out", out] } else { &[] };
            folder.run(&[command, to, quiet].concat())
        };
        let (loud, quiet) = (run("loud", &[]), run("quiet", &["--quiet"]));
        assert!(!loud.out.is_empty(), "{command:?}: {}", loud.errors);
        assert_eq!((quiet.out.as_str(), quiet.errors.as_str()), ("", ""), "{command:?}");
        assert_eq!(quiet.code, loud.code, "{command:?}");
        assert_eq!(kept(&folder, "quiet"), kept(&folder, "loud"), "{command:?}");
        assert_eq!(kept(&folder, "quiet").is_empty(), !keeps, "{command:?}");
        for out in ["loud", "quiet"] {
            let _ = fs::remove_dir_all(folder.0.join(out));
        }
    }
    // What is wrong is told all the same.
    let wrong = folder.run(&["worst", "rover.harness", "nois", "--quiet"]);
    assert!(wrong.code == 2 && wrong.errors.contains("noise"), "{}", wrong.errors);
    let json = folder.run(&["compare", "rover.harness", "--quiet", "--json"]);
    assert_eq!(json.json()["harness"], "Rover");
    assert_eq!(json.errors, "");
}

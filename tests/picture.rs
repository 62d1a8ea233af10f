//! The pictures that readme and documents show are the ones that the program draws.
//!
//! `QUIETRAIL_REFRESH=1 cargo test -p quietrail --test end_to_end picture` draws them anew.

use crate::support::{CRAWLER, Folder, harness, netlist, repository};
use std::collections::BTreeMap;
use std::fs;

/// A picture in `crates/quietrail/doc`, the command that draws it, and the file that it draws.
struct Committed {
    name: &'static str,
    command: &'static [&'static str],
    file: &'static str,
}

const COMMITTED: [Committed; 7] = [
    Committed { name: "crawler.svg", command: &["compare", "crawler"], file: "rail.svg" },
    Committed { name: "crawler_spectrum.svg", command: &["compare", "crawler"], file: "spectrum_rail.svg" },
    Committed { name: "crawler_response.svg", command: &["response", "crawler"], file: "response_path.svg" },
    Committed { name: "coils.svg", command: &["compare", "three_coils"], file: "inductance.svg" },
    Committed {
        name: "rover_heat_map.svg",
        command: &["sweep", "rover_tolerances"],
        file: "heat_map_noise.svg",
    },
    Committed {
        name: "rover_histogram.svg",
        command: &[
            "sweep",
            "rover_tolerances",
            "--draws",
            "400",
            "--only",
            "throttle=70 %",
            "--only",
            "charge=10 %",
        ],
        file: "histogram_noise.svg",
    },
    Committed { name: "many_filters.svg", command: &["compare", "many_filters"], file: "rail.svg" },
];

/// The picture as the program draws it today.
fn drawn(committed: &Committed) -> String {
    if committed.name == "crawler.svg" {
        return CRAWLER.picture.clone();
    }
    let [command, name, rest @ ..] = committed.command else { panic!("{:?}", committed.command) };
    let file = format!("{name}.harness");
    let shipped = repository().join("netlists").join(&file).exists();
    let path = if shipped { netlist(&file) } else { harness(&file) };
    let folder = Folder::new();
    let mut arguments = vec![*command, path.as_str(), "--out", "result"];
    arguments.extend(rest);
    folder.run(&arguments);
    folder.read(&format!("result/{}", committed.file))
}

/// What a picture is made of: its texts without figures in their order, and how often each kind of element and each class of what
/// is drawn occurs. Figures and curves may differ in their last digits between machines.
fn structure(svg: &str) -> (Vec<String>, BTreeMap<String, usize>) {
    let texts = svg.split("<text ").skip(1).filter_map(|rest| {
        let text = rest.split_once('>')?.1.split_once("</text>")?.0;
        (!text.contains(|character: char| character.is_ascii_digit())).then(|| text.to_owned())
    });
    let mut counts = BTreeMap::new();
    for element in ["<svg", "<g", "<rect", "<circle", "<path", "<title", "<desc"] {
        counts.insert(element.to_owned(), svg.matches(element).count());
    }
    // Series, axes and marks by their classes; labels of ticks may come and go with a figure's last digit.
    let body = svg.split_once("</style>").expect("a style").1;
    for classes in body.split(" class=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
        if !classes.contains("qr-tick") && !classes.contains("qr-grid") && !classes.contains("qr-zero") {
            *counts.entry(classes.to_owned()).or_default() += 1;
        }
    }
    (texts.collect(), counts)
}

#[test]
fn the_committed_pictures_have_the_current_structure() {
    for committed in &COMMITTED {
        let path = repository().join("crates/quietrail/doc").join(committed.name);
        let new = drawn(committed);
        assert!(new.len() < 200_000, "{}: {} bytes", committed.name, new.len());
        if std::env::var_os("QUIETRAIL_REFRESH").is_some() {
            fs::write(&path, &new).expect("the picture can be written");
            continue;
        }
        let old = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        assert_eq!(
            structure(&old),
            structure(&new),
            "{}: QUIETRAIL_REFRESH=1 cargo test -p quietrail --test end_to_end picture",
            committed.name
        );
    }
}

#[test]
fn the_picture_names_every_option_and_its_axes() {
    for text in ["none", "resistor_cap", "coil", "cap", "coil_cap", "coil_cap_damped", "peak to peak", "time"]
    {
        assert!(CRAWLER.picture.contains(text), "{text}");
    }
    assert!(CRAWLER.picture.contains("mV") && CRAWLER.picture.contains("ms"), "axes have units");
    assert!(!CRAWLER.picture.contains("NaN") && !CRAWLER.picture.contains("inf"));
}

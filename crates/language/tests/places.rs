//! Places for filters: what is read of them, and the file with options written into it.

use quietrail_language::description::Description;
use quietrail_language::{Read, Source, read, read_with};

const PARTS: &str = "battery pack gnd -> bus emf 12 V, resistance 40 mohm
wire feed bus -> tap resistance 10 mohm
load eye cam -> gnd current 160 mA, below 5 V
testpoint rail = voltage(cam)
transient run span 1 ms, start steady
";

fn source(text: &str) -> Source {
    Source { name: "place.harness".into(), text: text.into() }
}

fn description(text: &str) -> Description {
    read(&source(text), &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn codes(choice: &str) -> Vec<&'static str> {
    let text = format!("{PARTS}{choice}\n");
    read(&source(&text), &[]).err().unwrap_or_default().iter().map(|mistake| mistake.code).collect()
}

#[test]
fn a_place_names_its_nodes() {
    let text = format!(
        "{PARTS}choice filter {{ place tap -> cam; option none {{ wire link tap -> cam resistance 1 mohm }} }}\n"
    );
    let places = description(&text).places();
    let [place] = places.as_slice() else { panic!("{places:?}") };
    assert_eq!((place.choice.as_str(), place.axis), ("filter", 0));
    assert_eq!([&place.from, &place.to, &place.back], ["tap", "cam", "gnd"]);
}

#[test]
fn names_are_free_unless_something_outside_the_choice_bears_them() {
    let text = format!(
        "{PARTS}choice filter {{ place tap -> cam; option none {{ wire link tap -> cam resistance 1 mohm }} }}\n"
    );
    let description = description(&text);
    let place = &description.places()[0];
    for (name, free) in
        [("link", true), ("choke", true), ("pack", false), ("tap", false), ("rail", false), ("coil", false)]
    {
        assert_eq!(description.is_free(name, place), free, "{name}");
    }
}

#[test]
fn options_are_written_before_the_closing_brace() {
    let text = format!(
        "{PARTS}choice filter {{\n    place tap -> cam\n    option none {{ wire link tap -> cam resistance 1 mohm }}\n}}\nlet after = 1 V\n"
    );
    let Read { description, sources } = read_with(&source(&text), &[], &|_: &str| Err("none".to_owned()));
    let place = description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}")).places().remove(0);
    let option = "    option ohm { resistor r tap -> cam resistance 1 ohm }\n";
    let filled =
        place.filled(&sources, &[], &|_: &str| Err("none".to_owned()), option, "reading level = mean(rail)");
    let description = filled.description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    assert_eq!(description.axes()[0].points, ["none", "ohm"]);
    assert_eq!(description.at(&[1]).parts.iter().filter(|part| part.name == "r").count(), 1);
    assert_eq!(description.at(&[1]).readings.len(), 1);
    assert!(filled.sources[0].text.contains("1 mohm }\n    option ohm"), "{}", filled.sources[0].text);
}

/// The choice may stand in an included file.
#[test]
fn options_go_into_the_file_that_the_choice_stands_in() {
    let inner =
        "choice filter { place tap -> cam\n option none { wire link tap -> cam resistance 1 mohm } }\n";
    let outer = format!("include \"filter.harness\"\n{PARTS}");
    let loader =
        |name: &str| if name == "filter.harness" { Ok(inner.to_owned()) } else { Err("none".to_owned()) };
    let Read { description, sources } = read_with(&source(&outer), &[], &loader);
    let place = description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}")).places().remove(0);
    let filled =
        place.filled(&sources, &[], &loader, "option ohm { resistor r tap -> cam resistance 1 ohm }\n", "");
    let description = filled.description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    assert_eq!(description.axes()[0].points, ["none", "ohm"]);
}

#[test]
fn wrong_places_are_told() {
    let none = "option none { wire link tap -> cam resistance 1 mohm }";
    assert_eq!(codes(&format!("choice filter {{ place tap -> cm; {none} }}")), ["unknown_node"]);
    assert_eq!(codes(&format!("choice filter {{ place tap -> tap; {none} }}")), ["same_node_twice"]);
    assert_eq!(
        codes(&format!("choice filter {{ place tap -> cam; place tap -> cam; {none} }}")),
        ["stated_twice"]
    );
    assert_eq!(codes(&format!("choice filter {{ place tap cam; {none} }}")), ["unexpected"]);
    assert_eq!(codes(&format!("place tap -> cam; choice filter {{ {none} }}")), ["misplaced"]);
    let wired = "choice filter { option none { wire link tap -> cam resistance 1 mohm } }";
    assert_eq!(codes(&format!("{wired}\ncondition c {{ place tap -> cam; case a {{ }} }}")), ["misplaced"]);
}

//! Features against small texts in which `|` marks the place.

use crate::document::Document;
use crate::include::{Files, included};
use crate::names::View;
use crate::{completion, definition, diagnostics, format, hover, rename, symbols};
use lsp_types::{CompletionTextEdit, Diagnostic, DocumentSymbol, HoverContents, Position};
use std::collections::BTreeMap;
use std::str::FromStr;

const START: &str = "\
battery pack gnd -> bus cells 4, charge 50 %
let run = 2 m
assembly lc(l, c) in, out {
    coil choke in -> out inductance l
    capacitor store out -> gnd capacitance c
}
fit lc f bus, cam  l 1 mH, c 1 uF
camera eye cam -> gnd current 100 mA, supply 9 V .. 12 V
testpoint rail = voltage(cam)
reading noise = rms(rail)
response path = impedance(cam)
transient first span 1 ms, start steady
";

fn document(text: &str) -> Document {
    let uri = lsp_types::Uri::from_str("file:///a.harness").unwrap();
    Document::new(uri, 1, text.to_owned())
}

fn told(document: &Document) -> Vec<Diagnostic> {
    diagnostics::diagnostics(document, &Files(&BTreeMap::new()))
}

/// The document of `START` and the text without its mark, and where the mark was.
fn marked(text: &str) -> (Document, Position) {
    let whole = format!("{START}{text}");
    let byte = whole.find('|').expect("a mark");
    let document = document(&whole.replacen('|', "", 1));
    let position = document.lines.position(document.text(), byte);
    (document, position)
}

fn offered(text: &str) -> Vec<String> {
    let (document, position) = marked(text);
    completion::completion(document.alone(), position).into_iter().map(|item| item.label).collect()
}

/// Whether all of the first are offered and none of the second.
fn check(text: &str, wanted: &[&str], unwanted: &[&str]) {
    let offered = offered(text);
    let has = |word: &&str| offered.iter().any(|each| each == word);
    assert!(wanted.iter().all(has), "{text}: {wanted:?} in {offered:?}");
    assert!(!unwanted.iter().any(has), "{text}: not {unwanted:?} in {offered:?}");
}

#[test]
fn a_statement_begins_with_a_kind_or_its_word() {
    check("|", &["wire", "camera", "let", "sweep"], &["set", "option", "rail"]);
    check("wi|", &["wire"], &["set"]);
    check("choice x { | }", &["option"], &["wire", "case"]);
    check("condition x { case a { set pack.charge = 1 % ; | } }", &["set", "wire"], &["let", "case"]);
    check("# | comment", &[], &["wire"]);
    assert!(offered("harness \"w|").is_empty() && offered("wire |").is_empty());
}

#[test]
fn nodes_stand_around_the_arrow() {
    check("wire w |", &["bus", "cam", "gnd"], &["in", "length", "rail"]);
    check("wire w bus -> |", &["cam"], &["length"]);
    assert_eq!(offered("wire w bus |"), ["->"]);
    check("coupled m bus -> cam, |", &["bus"], &["inductance"]);
    check("assembly x() a, b { wire w |}", &["a", "b", "gnd"], &["bus"]);
}

#[test]
fn properties_follow_the_nodes_and_each_comma() {
    check("wire w bus -> cam |", &["length", "resistance"], &["capacitance", "bus"]);
    check("wire w bus -> cam len|", &["length"], &["bus"]);
    check("wire w bus -> cam length 1 m, |", &["area"], &["length"]);
    check("wire w bus -> cam length 1 m,\n    area 1 mm2, |", &["spacing"], &["length", "area"]);
    check("coupled m bus -> cam, bus -> cam |", &["coupling"], &["bus"]);
}

#[test]
fn a_value_is_a_word_a_name_or_a_number_with_a_unit_that_fits() {
    assert_eq!(offered("battery b gnd -> bus chemistry |").first().map(String::as_str), Some("li_ion"));
    check("wire w bus -> cam length |", &["run", "sqrt"], &["m", "rail"]);
    let units = offered("capacitor c bus -> gnd esr 10 |");
    assert_eq!(units.first().map(String::as_str), Some("mohm"), "the usual one comes first");
    check("capacitor c bus -> gnd esr 10 m|", &["mohm", "kohm"], &["uF"]);
    check("capacitor c bus -> gnd capacitance 10 uF +- 20 |", &["%", "uF"], &["ohm"]);
    assert_eq!(offered("battery b gnd -> bus charge 50 % +- 3 |"), ["points", "%"]);
    check("capacitor c bus -> gnd capacitance 10 uF, esr 1 |", &["ohm"], &["uF"]);
    check("drive d bus -> gnd throttle [0 |", &["s"], &["%"]);
    check("drive d bus -> gnd throttle [0 s: 20 |", &["%"], &["s"]);
    check("drive d bus -> gnd throttle [0 s: 20 %, 1 |", &["ms"], &["%"]);
    check("camera c bus -> gnd supply 9 V .. 12 |", &["V"], &["ohm"]);
    check("let x = 1 |", &["V", "uF", "mm2"], &["run"]);
    check("let x = |", &["run", "pi"], &["rail"]);
    check("assembly x(p) a, b { wire w a -> b length |}", &["p"], &["run"]);
}

#[test]
fn readings_and_settings_name_what_the_file_has() {
    check("testpoint t = |", &["voltage", "flux"], &["cam"]);
    check("testpoint t = voltage(|", &["cam", "eye", "f.choke"], &["rail", "length"]);
    check("testpoint t = current(f.|", &["f.choke", "f.store"], &["cam"]);
    assert_eq!(offered("testpoint t = voltage(cam), |"), ["bandwidth"]);
    check("testpoint t = voltage(cam), bandwidth 20 |", &["MHz"], &["V"]);
    check("reading r = |", &["peak_to_peak", "noise", "run"], &["rail"]);
    check("reading r = rms(|", &["rail"], &["cam", "eye"]);
    check("reading r = peak_gain(|", &["path"], &["rail"]);
    check("reading r = rms(rail) in |", &["first"], &["rail"]);
    check("require |", &["noise", "minimum"], &[]);
    check("require minimum(|", &["rail"], &[]);
    check("response r = |", &["transfer", "impedance"], &["rms"]);
    check("response r = impedance(|", &["cam"], &["rail"]);
    check("choice x { option a { set |", &["pack", "run", "f.choke"], &["rail", "cam"]);
    check("choice x { option a { set pack.|", &["charge"], &["length"]);
    check("choice x { option a { set pack.charge = 5 |", &["%"], &["V"]);
    check("choice x { option a { set f.store.|", &["esr"], &["charge"]);
    check("fit |", &["lc"], &["cam"]);
    check("fit lc g |", &["bus"], &["l"]);
    check("fit lc g bus, cam |", &["l", "c"], &["bus"]);
    check("fit lc g bus, cam l 1 mH, |", &["c"], &["l"]);
    check("transient t span 1 ms, |", &["start"], &["rail"]);
    check("transient t span 1 ms, start |", &["steady", "rest"], &["span"]);
    check("frequency 1 |", &["kHz"], &["V"]);
    check("sweep s over |", &["pack", "run"], &["rail"]);
    check("sweep s over pack.|", &["charge"], &["length"]);
    check("sweep s over pack.charge 5 |", &["%"], &["V"]);
    assert_eq!(offered("sweep s over pack.charge 5 % .. 95 % |"), ["step", "steps", "log", "series"]);
    assert_eq!(offered("sweep s over pack.charge 5 % .. 95 % step 5 |"), ["%"]);
    assert_eq!(offered("frequency 1 Hz .. 1 kHz, |"), ["points"]);
}

/// The word under the cursor is replaced, with what stands before its dots where they belong to it.
#[test]
fn a_choice_replaces_the_word_that_is_being_typed() {
    for (text, wanted, replaced) in [
        ("wire w bus -> cam len|", "length", "len"),
        ("testpoint t = current(f.ch|", "f.choke", "f.ch"),
        ("choice x { option a { set pack.ch|", "charge", "ch"),
    ] {
        let (document, position) = marked(text);
        let items = completion::completion(document.alone(), position);
        let item = items.into_iter().find(|item| item.label == wanted).expect(wanted);
        let Some(CompletionTextEdit::Edit(edit)) = item.text_edit else { panic!("no edit") };
        let (start, end) = (document.byte(edit.range.start), document.byte(edit.range.end));
        assert_eq!(&document.text()[start..end], replaced);
    }
}

fn explained(text: &str) -> String {
    let (document, position) = marked(text);
    match hover::hover(document.alone(), position).map(|hover| hover.contents) {
        Some(HoverContents::Markup(markup)) => markup.value,
        _ => String::new(),
    }
}

#[test]
fn words_are_explained() {
    let says = |text: &str, words: &[&str]| {
        let said = explained(text);
        assert!(words.iter().all(|word| said.contains(word)), "{text}: {said}");
    };
    says("wi|re w bus -> cam length run", &["wire, or a pair", "`length`"]);
    says("let| x = 1", &["Gives a value a name"]);
    says("sweep s over run 1 m .. 2 m ste|ps 3", &["equal steps"]);
    says(
        "battery b gnd -> bus cells 3, char|ge 50 %",
        &["state of charge", "from 0 % to 100 %", "100 % (an assumption)"],
    );
    says("battery b gnd -> bus chemistry li|_po", &["kind of cell"]);
    says("wire w bus -> cam length ru|n", &["let run = 2 m"]);
    says("testpoint t = current(f.cho|ke)", &["coil choke in -> out"]);
    says("wire w bu|s -> cam length run", &["node `bus`", "`pack`", "`f`"]);
    says("require peak_to|_peak(rail) < 1 V", &["a testpoint"]);
    says("transient t span 1 ms, start re|st", &["discharged"]);
    assert_eq!(explained("# wi|re"), "");
    assert_eq!(explained("let x = 2 m|m"), "");
}

#[test]
fn names_lead_to_their_definitions() {
    let leads = |text: &str, wanted: &[&str]| {
        let (document, position) = marked(text);
        let found = definition::definition(document.alone(), position);
        let lines = found.iter().map(|location| {
            let line = location.range.start.line as usize;
            document.text().lines().nth(line).unwrap_or_default().trim()
        });
        let lines: Vec<&str> = lines.collect();
        assert!(lines.len() == wanted.len(), "{text}: {lines:?}");
        assert!(lines.iter().zip(wanted).all(|(line, start)| line.starts_with(start)), "{text}: {lines:?}");
    };
    leads("require rms(ra|il) < 1 V", &["testpoint rail"]);
    leads("require noi|se < 1 V", &["reading noise"]);
    leads("wire w bus -> cam length ru|n", &["let run"]);
    leads("testpoint t = current(f.cho|ke)", &["coil choke"]);
    leads("fit l|c g bus, cam l 1 H", &["assembly lc"]);
    leads("assembly x(p) a, b { wire w a -> b length |p }", &["assembly x"]);
    leads("choice x { option a { set pac|k.charge = 5 % } }", &["battery pack"]);
    leads("choice x { option a { set pack.cha|rge = 5 % } }", &["battery pack"]);
    leads(
        "choice x {\n option a { wire w bus -> cam length run }\n option b { wire w bus -> cam length run }\n}\ntestpoint t = current(|w)",
        &["option a", "option b"],
    );
}

#[test]
fn the_outline_nests_options_and_assemblies() {
    fn shown(symbols: &[DocumentSymbol]) -> String {
        let each = |symbol: &DocumentSymbol| match &symbol.children {
            Some(children) => format!("{}({})", symbol.name, shown(children)),
            None => symbol.name.clone(),
        };
        symbols.iter().map(each).collect::<Vec<_>>().join(" ")
    }
    let text = format!("{START}choice x {{ option a {{ wire w bus -> cam length run }} option b {{ }} }}");
    let expected = "pack run lc(choke store) f eye rail noise path first x(a(w) b)";
    assert_eq!(shown(&symbols::symbols(&document(&text))), expected);
}

#[test]
fn places_that_matter_too_are_told_with_a_mistake() {
    let text = "resistor r a -> gnd resistance 1 ohm\nresistor r a -> gnd resistance 1 ohm\n";
    let document = document(text);
    let told = told(&document);
    let twice = told.iter().find(|each| each.related_information.is_some()).expect("a name given twice");
    let related = twice.related_information.as_ref().expect("a place");
    assert_eq!((twice.range.start.line, related[0].location.range.start.line), (1, 0));
}

/// A mistake of an included file is told where it is included, with its own place beside it; what is open counts.
#[test]
fn mistakes_of_included_files_lead_there() {
    let address = "file:///nowhere/parts.harness";
    let parts = Document::new(
        lsp_types::Uri::from_str(address).unwrap(),
        1,
        "# parts\nwire w bus -> cam resistance 1\n".to_owned(),
    );
    let open = BTreeMap::from([(address.to_owned(), parts)]);
    let uri = lsp_types::Uri::from_str("file:///nowhere/a.harness").unwrap();
    let text = "let a = 1 V\ninclude \"parts.harness\"\n";
    let main = Document::new(uri, 1, text.to_owned());
    let told = diagnostics::diagnostics(&main, &Files(&open));
    let mistake = told.iter().find(|each| each.message.contains("ohm")).expect("no unit");
    assert_eq!(mistake.range.start.line, 1, "{told:?}");
    let places = mistake.related_information.as_ref().expect("the place itself");
    assert!(
        places
            .iter()
            .any(|place| { place.location.uri.as_str() == address && place.location.range.start.line == 1 })
    );
}

#[test]
fn impossible_values_are_told_at_their_property() {
    let text = "\
battery pack gnd -> bus emf 12 V, resistance 1 ohm
coil k bus -> gnd inductance 1 mH, dcr 1 ohm, saturation_current 1 A, residual 0.9 mH
transient t span 1 ms, start rest
";
    let told = told(&document(text));
    let error = told.iter().find(|each| each.severity == Some(lsp_types::DiagnosticSeverity::ERROR));
    assert_eq!(error.map(|each| each.range.start.line), Some(1), "{told:?}");
}

/// A text that includes one with parts, an assembly and a let, which is open beside it.
fn with_parts(text: &str) -> (Document, Vec<Document>, BTreeMap<String, Document>) {
    let address = "file:///nowhere/parts.harness";
    let parts = "battery pack gnd -> bus cells 4\nlet far = 2 m\nassembly lc(l, c) in, out {\n    coil choke in -> out inductance l\n    capacitor store out -> gnd capacitance c\n}\n";
    let parts = Document::new(lsp_types::Uri::from_str(address).unwrap(), 1, parts.to_owned());
    let open = BTreeMap::from([(address.to_owned(), parts)]);
    let uri = lsp_types::Uri::from_str("file:///nowhere/a.harness").unwrap();
    let main = Document::new(uri, 1, format!("include \"parts.harness\"\n{text}"));
    let included = included(&main, &Files(&open));
    assert_eq!(included.len(), 1);
    (main, included, open)
}

#[test]
fn names_of_included_files_are_completed_explained_and_led_to() {
    let at = |text: &str| {
        let whole = text.replacen('|', "", 1);
        let (main, included, _) = with_parts(&whole);
        let byte = main.text().len() - whole.len() + text.find('|').expect("a mark");
        let position = main.lines.position(main.text(), byte);
        (main, included, position)
    };
    for (text, wanted) in [
        ("wire w |", "bus"),
        ("wire w bus -> cam length |", "far"),
        ("fit |", "lc"),
        ("fit lc f bus, cam |", "c"),
        ("choice x { option a { set |", "pack"),
        ("choice x { option a { set pack.|", "charge"),
        ("fit lc f bus, cam l 1 mH, c 1 uF\ntestpoint t = current(|", "f.choke"),
        ("fit lc f bus, cam l 1 mH, c 1 uF\nchoice x { option a { set f.store.|", "esr"),
    ] {
        let (own, included, position) = at(text);
        let items = completion::completion(View { own: &own, included: &included }, position);
        assert!(items.iter().any(|item| item.label == wanted), "{text}: {wanted}");
    }
    for (text, line) in [
        ("wire w bus -> cam length fa|r", 1),
        ("wire w bu|s -> cam length far", 0),
        ("fit l|c f bus, cam l 1 mH, c 1 uF", 2),
        ("fit lc f bus, cam l 1 mH, c 1 uF\ntestpoint t = current(f.cho|ke)", 3),
        ("choice x { option a { set pack.ch|arge = 5 % } }", 0),
    ] {
        let (own, included, position) = at(text);
        let found = definition::definition(View { own: &own, included: &included }, position);
        let places: Vec<_> = found.iter().map(|one| (one.uri.as_str(), one.range.start.line)).collect();
        assert_eq!(places, [("file:///nowhere/parts.harness", line)], "{text}");
    }
    let (own, included, position) = at("wire w bus -> cam length fa|r");
    assert!(hover::hover(View { own: &own, included: &included }, position).is_some());
}

/// The text after the name at the mark has become `new`, or why it can't.
fn renamed(text: &str, new: &str) -> Result<String, String> {
    let (document, position) = marked(text);
    let edit = rename::rename(document.alone(), position, new, &Files(&BTreeMap::new()))?;
    let (uri, edits) = edit.changes.into_iter().flatten().next().expect("a text that changes");
    assert_eq!(uri, document.uri);
    let mut text = document.text().to_owned();
    for edit in edits.iter().rev() {
        text.replace_range(document.byte(edit.range.start)..document.byte(edit.range.end), &edit.new_text);
    }
    Ok(text)
}

/// What else the text says stays as it is, whatever else is spelt like the name.
#[test]
fn a_name_is_changed_wherever_the_text_speaks_of_it() {
    let rest = "wire w bus -> cam length run\ntestpoint t = voltage(cam, bus), bandwidth 1 MHz\n\
                choice rail { option noise { set run = 3 m; set pack.charge = 5 % } option b { set f.store.esr = 1 ohm } }\n\
                require rms(rail) - noise < 1 V\ntestpoint i = current(f.choke)\n";
    let whole = |place: &str| rest.replacen(&place.replace('|', ""), place, 1);
    let check = |place: &str, new: &str, pairs: &[(&str, &str)]| {
        let expected = pairs.iter().fold(format!("{START}{rest}"), |text, (old, new)| {
            assert!(text.contains(old), "{old}");
            text.replace(old, new)
        });
        assert_eq!(renamed(&whole(place), new), Ok(expected), "{place}");
    };
    check(
        "length ru|n",
        "way",
        &[("let run", "let way"), ("length run", "length way"), ("set run", "set way")],
    );
    check(
        "-> ca|m length",
        "eye_in",
        &[
            ("bus, cam ", "bus, eye_in "),
            ("eye cam", "eye eye_in"),
            ("(cam", "(eye_in"),
            ("-> cam", "-> eye_in"),
        ],
    );
    check("set pa|ck", "cells", &[("battery pack", "battery cells"), ("set pack", "set cells")]);
    check("rms(ra|il)", "probe", &[("testpoint rail", "testpoint probe"), ("rms(rail)", "rms(probe)")]);
    check("- noi|se", "ripple", &[("reading noise", "reading ripple"), ("- noise", "- ripple")]);
    check("option noi|se", "quiet", &[("option noise", "option quiet")]);
    check("choice ra|il", "pick", &[("choice rail", "choice pick")]);
    check("current(f.cho|ke)", "core", &[("coil choke", "coil core"), ("f.choke", "f.core")]);
    check(
        "current(f|.choke)",
        "lpf",
        &[("lc f ", "lc lpf "), ("f.choke", "lpf.choke"), ("f.store", "lpf.store")],
    );
    // What is inside of an assembly is its own affair.
    let outside = "wire w bus -> ou|t length run\nload far out -> gnd resistance 1 ohm\n";
    let expected = format!("{START}{}", outside.replace('|', "").replace("out", "lamp"));
    assert_eq!(renamed(outside, "lamp"), Ok(expected));
    let inside = "assembly a(x) p { resistor run p -> gnd resistance x }\nfit a g bus  x 1 ohm\nwire w bus -> cam length ru|n\n";
    let expected = format!("{START}{}", inside.replace('|', "").replace("length run", "length way"));
    assert_eq!(renamed(inside, "way"), Ok(expected.replace("let run", "let way")));
}

#[test]
fn a_name_that_can_not_be_changed_is_refused_with_a_sentence() {
    let refuses = |text: &str, new: &str, words: &str| {
        let told = renamed(text, new).expect_err(text);
        assert!(told.contains(words) && told.ends_with('.'), "{text}: {told}");
    };
    refuses("wire w bus -> cam len|gth run", "x", "no name of a part");
    refuses("wire w bus -> cam length ru|n", "bus", "the name `bus` is taken");
    refuses("wire w bus -> cam length ru|n", "a b", "one word");
    refuses("wire w bus -> cam length ru|n", "wire", "can't be renamed to `wire`");
    refuses("wire w bus -> g|nd length run", "minus", "no name of a part");
    refuses("wire w bus -> cam length 1 m|m", "x", "no name of a part");
    // Inside the assembly the let would be hidden by its parameter.
    refuses(
        "assembly a(x) p { resistor r p -> gnd resistance x * ru|n / run }\nfit a g bus x 1 ohm",
        "x",
        "mean something else",
    );
    let (main, included, open) =
        with_parts("wire w bus -> cam length far\nload l cam -> gnd resistance 1 ohm\n");
    let view = View { own: &main, included: &included };
    let told = |mark: &str| {
        let position = main.lines.position(main.text(), main.text().find(mark).expect("the mark"));
        rename::rename(view, position, "other", &Files(&open))
    };
    assert!(told("far").is_err_and(|told| told.contains("comes from /nowhere/parts.harness")));
    assert!(told("bus").is_err_and(|told| told.contains("parts.harness")));
    assert!(told("cam").is_ok() && told("w bus").is_ok());
}

/// The edit, put in its place, gives what the language lays out, and touches no line that stays.
#[test]
fn a_text_is_laid_out_by_the_smallest_change_of_lines() {
    let text = "let a = 1 V\n\nlet   b = 2 V\n\n# the end \u{1f600}\nlet c = 3 V\n";
    let laid_out = |text: &str| {
        let document = document(text);
        let edits = format::format(&document).expect("no mistakes");
        let mut text = document.text().to_owned();
        for edit in &edits {
            text.replace_range(
                document.byte(edit.range.start)..document.byte(edit.range.end),
                &edit.new_text,
            );
        }
        (text, edits)
    };
    let (new, edits) = laid_out(text);
    assert_eq!(Ok(&new), language::format(&document(text).source).as_ref());
    assert_eq!((edits.len(), edits[0].range.start.line, edits[0].range.end.line), (1, 2, 3), "{edits:?}");
    assert!(laid_out(&new).1.is_empty(), "laid out already");
    let all = text.replace("\nlet", "\nlet  ").replace("let a", "let  a");
    assert_eq!(laid_out(&all).0, new);
    assert!(format::format(&document("let = 1")).is_err_and(|told| told.contains("mistakes")));
}

/// Every beginning of a file, with every place in it asked about: nothing may panic.
#[test]
fn half_typed_texts_are_borne_everywhere() {
    let whole =
        format!("{START}choice x {{ option a {{ set pack.charge = 5 % }} }}\n{}", "# \u{1f600}\u{b5} \"\n");
    let ends: Vec<usize> = whole.char_indices().map(|(at, _)| at).collect();
    for end in ends.into_iter().step_by(3) {
        let document = document(&whole[..end]);
        for column in [0, 1, 5, 30, 1000] {
            let line = u32::try_from(document.text().lines().count()).unwrap().saturating_sub(1);
            for position in [Position::new(line, column), Position::new(line / 2, column)] {
                completion::completion(document.alone(), position);
                hover::hover(document.alone(), position);
                definition::definition(document.alone(), position);
            }
        }
        symbols::symbols(&document);
    }
    for garbage in [
        "}{",
        "\"",
        "set .",
        "fit",
        "sweep a over",
        "sweep a over b.",
        "a.b.",
        "[(",
        "->->",
        "{".repeat(20_000).as_str(),
    ] {
        let document = document(garbage);
        for column in 0..12 {
            completion::completion(document.alone(), Position::new(0, column));
            hover::hover(document.alone(), Position::new(0, column));
        }
        symbols::symbols(&document);
        told(&document);
    }
}

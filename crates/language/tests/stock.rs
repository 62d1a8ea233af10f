//! Tables of parts: what is read of them, and that mistakes are told at the cell, all at once.

use quietrail_language::stock::{StockKind, read_stock};
use quietrail_language::{Mistake, Source};

fn source(text: &str) -> Source {
    Source { name: "stock.csv".into(), text: text.into() }
}

fn mistakes(text: &str) -> Vec<Mistake> {
    read_stock(&source(text)).expect_err("something is wrong")
}

/// Code and underlined text of each mistake.
fn told(text: &str) -> Vec<(&'static str, &str)> {
    let told =
        mistakes(text).into_iter().map(|mistake| (mistake.code, &text[mistake.span.start..mistake.span.end]));
    told.collect()
}

#[test]
fn a_line_is_read_with_its_units() {
    let text = "name,kind,quantity,mass,cost,length,capacitance,rated,capacitance_table,outer,inner,height,al,wire_diameter\n\
                can 470,capacitor,3,2.2 g,0.25,,470 uF +- 20 %,25 V,,,,,,\n\
                chip,capacitor,,,,,,,\"[0 V: 10 uF, 10 V: 4 uF]\",,,,,\n\
                ring,ring,2,2 g,,,,,,12.7 mm,7.1 mm,4.8 mm,1100 nH +- 25 %,\n\
                thin,winding_wire,1,,0.1,20 m,,,,,,,,0.3 mm\n";
    let stock = read_stock(&source(text)).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let kinds: Vec<StockKind> = stock.items.iter().map(|item| item.kind).collect();
    assert_eq!(kinds, [StockKind::Capacitor, StockKind::Capacitor, StockKind::Ring, StockKind::WindingWire]);
    let can = &stock.items[0];
    assert_eq!((can.quantity, can.mass, can.cost), (3, Some(2.2e-3), Some(0.25)));
    assert_eq!(can.text("capacitance"), Some("470 uF +- 20 %"));
    assert_eq!(can.part.as_ref().and_then(|part| part.number("capacitance")), Some(470e-6));
    assert_eq!((stock.items[1].quantity, stock.items[1].mass), (1, None));
    assert_eq!((stock.items[3].length, stock.items[3].wire_diameter), (Some(20.0), 0.3e-3));
}

#[test]
fn every_mistake_is_told_at_its_cell() {
    let text = "name,kind,mas,capacitance,rated,quantity\n\
                a,capacitor,,470 uH,25 V,2\n\
                b,capacitr,,470 uF,25 V,2\n\
                c,capacitor,,470 uF,25 parsec,2.5\n\
                a,capacitor,,470 uF,25 V,1\n";
    let told = told(text);
    for expected in [
        ("wrong_stock", "mas"),
        ("wrong_stock", "capacitr"),
        ("wrong_dimension", "470 uH"),
        ("unknown_unit", "parsec"),
    ] {
        assert!(told.contains(&expected), "{expected:?} in {told:?}");
    }
    // The second line of one name.
    assert!(told.contains(&("wrong_stock", "a")), "{told:?}");
    let near = mistakes(text).into_iter().find(|mistake| mistake.message.contains("`mas`"));
    assert_eq!(near.and_then(|mistake| mistake.help).as_deref(), Some("perhaps `mass` was meant"));
}

#[test]
fn what_does_not_belong_to_a_kind_is_told() {
    let text = "name,kind,capacitance,esr,outer,inner,height,al,wire_diameter,length\n\
                r,ring,470 uF,,12 mm,7 mm,5 mm,1 uH,,\n\
                w,winding_wire,,,,,,,,2 m\n";
    let told = told(text);
    assert!(told.contains(&("unknown_property", "470 uF")), "{told:?}");
    assert!(told.contains(&("wrong_stock", "w")), "wire without a diameter: {told:?}");
}

#[test]
fn quantities_are_whole_and_masses_are_masses() {
    let text = "name,kind,quantity,mass,resistance\na,resistor,2.5,3 mm,1 ohm\n";
    assert_eq!(told(text), [("wrong_stock", "2.5"), ("wrong_stock", "3 mm")]);
}

#[test]
fn headings_that_are_missing_or_too_few_are_told() {
    assert_eq!(told("name,resistance\na,1 ohm\n")[0], ("wrong_stock", "name"));
    assert!(told("name,kind\na,resistor,1 ohm\n").contains(&("wrong_stock", "1 ohm")));
    assert_eq!(mistakes("")[0].code, "wrong_stock");
}

/// Whatever the bytes, there is an answer.
#[test]
fn noise_is_no_panic() {
    for text in [
        "\"",
        "name,kind\n\"\"\"",
        "name;kind\n;;;\n",
        "name,kind\nµ,ring\n",
        "\u{feff}",
        "name,kind,name\n\"a\nb\",coil",
    ] {
        let _ = read_stock(&source(text));
    }
}

//! Filters found in small stocks: against the whole of the stock run without bounds, and with answers that follow by hand.

use crate::common;

use common::assert_close;
use language::stock::{Stock, read_stock};
use language::{Description, Read, Source, read_with};
use study::design::{Design, Search, Task, Topology, design};
use study::{Options, compare};

/// A drive whose commutation is at `commutation`, behind a wire, and a place for a filter in front of the camera.
fn harness(commutation: &str, limit: &str, more: &str) -> String {
    format!(
        "battery pack gnd -> bus emf 12 V, resistance 60 mohm, inductance 100 nH
         capacitor bulk bus -> gnd capacitance 220 uF, esr 40 mohm
         drive motor bus -> gnd motors 1, current 4 A, pwm 20 kHz, duty 60 %, rise 200 ns, fall 200 ns,
             commutation {commutation}, commutation_depth 10 %
         wire feed bus -> tap resistance 50 mohm, inductance 200 nH
         camera eye cam -> gnd current 110 mA, supply 9 V .. 30 V, input_capacitance 10 uF, input_esr 0.2 ohm
         choice filter {{
             place tap -> cam
             option none {{ wire link tap -> cam resistance 1 mohm }}
             {more}
         }}
         condition state {{ case full {{ set motor.duty = 100 % }} case cruise {{ set motor.duty = 60 % }} }}
         testpoint rail = voltage(cam), bandwidth 20 MHz
         reading noise = peak_to_peak(rail)
         require noise < {limit} \"lines\"
         require minimum(rail) > 10 V \"dark\"
         transient ripple span 1 ms, start steady\n"
    )
}

const STOCK: &str = "\
name,kind,quantity,mass,cost,inductance,residual,saturation_current,dcr,capacitance,esr,rated,resistance,outer,inner,height,al,flux_density_limit,wire_diameter
drum 220,coil,2,1.1 g,0.8,220 uH +- 10 %,4 uH,400 mA,0.5 ohm,,,,,,,,,,
air 330,coil,1,9 g,3,330 uH,,,0.4 ohm,,,,,,,,,,
can 100,capacitor,2,0.7 g,0.1,,,,,100 uF +- 20 %,0.25 ohm,25 V,,,,,,,
can 470,capacitor,2,2.2 g,0.2,,,,,470 uF +- 20 %,60 mohm,25 V,,,,,,,
weak,capacitor,2,0.5 g,0.1,,,,,470 uF +- 20 %,60 mohm,6.3 V,,,,,,,
1R,resistor,2,0.2 g,0.05,,,,,,,,1 ohm +- 5 %,,,,,,
10R,resistor,2,0.2 g,0.05,,,,,,,,10 ohm +- 5 %,,,,,,
ring,ring,2,2 g,0.5,,,,,,,,,12.7 mm,7.1 mm,4.8 mm,1000 nH +- 25 %,300 mT,
thin,winding_wire,1,,0.1,,,,,,,,,,,,,,0.3 mm
";

fn stock(text: &str) -> Stock {
    let source = Source { name: "stock.csv".into(), text: text.into() };
    read_stock(&source).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn alone(_: &str) -> Result<String, String> {
    Err("nothing else is at hand".to_owned())
}

fn read(text: &str) -> Read {
    read_with(&Source { name: "test.harness".into(), text: text.into() }, &[], &alone)
}

fn description(text: &str) -> Description {
    read(text).description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

fn found(text: &str, stock_text: &str, search: &Search) -> Design {
    let Read { description, sources } = read(text);
    let description = description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let stock = stock(stock_text);
    let task =
        Task { description: &description, sources: &sources, settings: &[], loader: &alone, stock: &stock };
    design(&task, search, &|_| {}).unwrap_or_else(|error| panic!("{error}"))
}

fn quick() -> Search {
    let topologies = vec![
        Topology::ResistorCapacitor,
        Topology::Coil,
        Topology::CoilCapacitor,
        Topology::CoilCapacitorDamped,
    ];
    Search { topologies, turns: 1, draws: 2, ..Search::default() }
}

/// What is dropped by bounds, or because another beats it, never belonged to the answer: every filter run in time gives the same one.
#[test]
fn bounds_drop_no_filter_that_belongs_to_the_answer() {
    let text = harness("480 Hz", "40 mV", "");
    let pruned = found(&text, STOCK, &quick());
    let whole = found(&text, STOCK, &Search { prune: false, ..quick() });
    let options = |design: &Design| -> Vec<String> {
        design.winners.iter().map(|winner| winner.option.clone()).collect()
    };
    assert!(whole.winners.len() > 2, "{:#?}", whole.counts);
    assert_eq!(options(&pruned), options(&whole));
    for (one, other) in pruned.winners.iter().zip(&whole.winners) {
        assert_eq!((&one.nominal, &one.drawn), (&other.nominal, &other.drawn), "{}", one.name);
    }
    let all: usize = whole.counts.considered.iter().map(|(_, count)| count).sum();
    assert_eq!(whole.counts.run, all);
    assert!(pruned.counts.run < all, "{:#?}", pruned.counts);
    let dropped: usize = pruned.counts.dropped.iter().map(|each| each.filters).sum();
    assert_eq!(pruned.counts.run + dropped, all, "{:#?}", pruned.counts);
    let by =
        |word: &str| pruned.counts.dropped.iter().any(|each| each.rule.contains(word) && each.filters > 0);
    assert!(by("rated") && by("beaten"), "{:#?}", pruned.counts);
}

/// The same with filters of every form, two stages and a damped branch among them, coils that saturate and a ceramic that bends.
#[test]
fn bounds_drop_no_filter_of_any_form() {
    let stock = "name,kind,quantity,mass,inductance,saturation_current,dcr,peak_resistance,capacitance,esr,half_voltage,rated,resistance\n\
                 drum,coil,2,1.1 g,220 uH +- 10 %,300 mA,0.5 ohm,,,,,,\n\
                 small,coil,2,0.6 g,68 uH +- 10 %,180 mA,0.2 ohm,,,,,,\n\
                 can,capacitor,2,2.2 g,,,,,470 uF +- 20 %,60 mohm,,25 V,\n\
                 chip,capacitor,2,0.1 g,,,,,22 uF +- 20 %,4 mohm,8 V,25 V,\n\
                 ohm,resistor,2,0.2 g,,,,,,,,,2.2 ohm +- 5 %\n\
                 bead,bead,1,0.1 g,1.5 uH,500 mA,0.15 ohm,600 ohm,,,,,\n";
    let text = harness("480 Hz", "60 mV", "");
    let search = Search { draws: 1, ..Search::default() };
    let pruned = found(&text, stock, &search);
    let whole = found(&text, stock, &Search { prune: false, ..search });
    let told = |design: &Design| -> Vec<_> {
        design
            .winners
            .iter()
            .map(|winner| (winner.option.clone(), winner.nominal.clone(), winner.drawn.clone()))
            .collect()
    };
    assert!(whole.winners.len() > 2 && pruned.counts.run < whole.counts.run, "{:#?}", pruned.counts);
    assert!(
        whole.counts.considered.iter().filter(|(_, count)| *count > 0).count() >= 8,
        "{:?}",
        whole.counts
    );
    assert_eq!(told(&pruned), told(&whole));
}

/// 330 uH and 330 uF resonate at 482 Hz: with the commutation there the undamped filter misses what the one with an ohm in series
/// meets; with the commutation far above, both do.
#[test]
fn the_damped_filter_wins_where_a_line_meets_the_undamped_resonance() {
    let stock = "name,kind,mass,inductance,dcr,capacitance,esr,rated,resistance\n\
                 coil,coil,2 g,330 uH,0.12 ohm,,,,\n\
                 can,capacitor,2 g,,,330 uF,40 mohm,25 V,\n\
                 ohm,resistor,0.2 g,,,,,,1 ohm\n";
    let forms = vec![Topology::CoilCapacitor, Topology::CoilCapacitorDamped];
    let search = Search { topologies: forms, draws: 0, ..Search::default() };
    let names = |commutation: &str| -> Vec<&'static str> {
        let design = found(&harness(commutation, "20 mV", ""), stock, &search);
        design.winners.iter().map(|winner| winner.topology.word()).collect()
    };
    assert_eq!(names("480 Hz"), ["coil_cap_damped"]);
    // What wins although it resonates where the commutation passes is told so.
    let design = found(&harness("480 Hz", "1 V", ""), stock, &search);
    let undamped = design.winners.iter().find(|winner| winner.topology == Topology::CoilCapacitor);
    let warnings = &undamped.expect("it holds where so much is allowed").warnings;
    assert!(warnings.iter().any(|warning| warning.contains("resonate")), "{warnings:?}");
    assert!(names("2 kHz").contains(&"coil_cap"));
}

/// A limit that nothing in the stock reaches: the binding requirement is told, and a filter that was run in full.
#[test]
fn where_nothing_holds_the_nearest_miss_is_told() {
    let design = found(&harness("480 Hz", "10 uV", ""), STOCK, &quick());
    assert!(design.winners.is_empty());
    let (winner, bindings) = design.nearest.as_ref().expect("a nearest miss");
    let noise = winner.nominal.requirements[0].expect("a value");
    assert!(noise > 10e-6 && noise < 1e-1, "{noise}");
    let best = bindings[0].best.expect("a best");
    assert!(bindings[0].missing > 0 && best <= noise && best > 10e-6);
    assert_eq!(bindings[1].missing, 0, "the supply holds");
}

/// What is told of a filter is what its option gives once it is pasted into the file, to the accuracy of a run.
#[test]
fn a_pasted_option_gives_what_was_told_of_it() {
    let design = found(&harness("480 Hz", "40 mV", ""), STOCK, &quick());
    for winner in &design.winners {
        let pasted = description(&harness("480 Hz", "40 mV", &winner.option));
        let only = vec![("filter".to_owned(), winner.name.clone())];
        let result = compare(&pasted, &Options { only, ..Options::default() }).expect("the option is there");
        let worst = result.runs.iter().filter_map(|run| run.requirements[0].value).fold(0.0, f64::max);
        assert!(result.runs.iter().all(|run| run.requirements.iter().all(|each| each.met == Some(true))));
        assert_close(worst, winner.nominal.requirements[0].expect("a noise"), 1e-4);
    }
}

/// What the stock does not have enough of, and what would burst, is in no answer.
#[test]
fn neither_missing_parts_nor_weak_capacitors_are_used() {
    let search = Search { topologies: vec![Topology::CoilCapacitorCoil], draws: 0, ..quick() };
    let design = found(&harness("480 Hz", "40 mV", ""), STOCK, &search);
    for winner in &design.winners {
        let uses = |name: &str| winner.pieces.iter().filter(|piece| piece.stock == name).count();
        assert_eq!(uses("weak"), 0, "{}", winner.name);
        assert!(uses("air 330") <= 1, "{}", winner.name);
    }
    assert!(design.counts.dropped.iter().any(|each| each.rule.contains("stock")), "{:?}", design.counts);
}

/// Turns, length, resistance and inductance of a winding by hand: a layer of 0.3 mm (0.334 mm overall) wire on a hole of 7.1 mm holds
/// pi / asin(0.334 / 6.766) = 63 turns; a turn takes 12.7 - 7.1 + 2 x 4.8 + pi x 0.334 = 16.25 mm; copper has 0.0172 ohm mm2/m.
#[test]
fn a_winding_is_told_in_full() {
    let search =
        Search { topologies: vec![Topology::CoilCapacitorDamped], turns: 1, draws: 0, ..Search::default() };
    let stock = "name,kind,capacitance,esr,rated,resistance,outer,inner,height,al,wire_diameter\n\
                 can,capacitor,470 uF,60 mohm,25 V,,,,,,\n\
                 ohm,resistor,,,,1 ohm,,,,,\n\
                 ring,ring,,,,,12.7 mm,7.1 mm,4.8 mm,100 nH +- 20 %,\n\
                 wire,winding_wire,,,,,,,,,0.3 mm\n";
    let design = found(&harness("480 Hz", "100 mV", ""), stock, &search);
    let winding = design.winners[0].pieces[0].winding.as_ref().expect("a ring is wound");
    assert_eq!((winding.turns, winding.one_layer), (63.0, 63.0));
    assert_close(winding.length, 63.0 * 16.25e-3, 2e-3);
    assert_close(winding.cut, 1.1 * winding.length, 1e-12);
    assert_close(winding.resistance, 0.0172 * winding.length / (std::f64::consts::PI / 4.0 * 0.09), 5e-3);
    for (found, share) in winding.inductance.iter().zip([1.0, 0.8, 1.2]) {
        assert_close(*found, share * 63.0 * 63.0 * 100e-9, 1e-9);
    }
    // The stock says nothing of the can's and the resistor's mass: they are not counted as nothing.
    assert_eq!(design.winners[0].mass.unknown, [0, 1]);
}

/// A ring is wound only as far as its core bears the load: seven tenths are left where .02 + .98 / cosh^2 x = 0.7, at x = 0.6223 =
/// .98 al N I / (B A) (the coil's law with 2 % left in the end), with I of 0.11 A and a reserve of 1.6: 14.5 turns of 1 uH on 12.7 x 7.1 x
/// 4.8 mm at 300 mT. A drum that keeps seven tenths at 60 mA only is dropped without a run, and the runs that are left out would not
/// have let it pass either.
#[test]
fn a_coil_that_the_load_saturates_is_no_answer() {
    let stock = "name,kind,mass,inductance,saturation_current,dcr,capacitance,esr,rated,outer,inner,height,al,flux_density_limit,wire_diameter\n\
                 weak,coil,1 g,1 mH,60 mA,0.2 ohm,,,,,,,,,\n\
                 ring,ring,2 g,,,,,,,12.7 mm,7.1 mm,4.8 mm,1000 nH,300 mT,\n\
                 wire,winding_wire,,,,,,,,,,,,,0.3 mm\n\
                 can,capacitor,2 g,,,,1000 uF,40 mohm,25 V,,,,,,\n";
    let search = Search { topologies: vec![Topology::CoilCapacitor], draws: 0, ..Search::default() };
    let text = harness("2 kHz", "100 mV", "");
    let design = found(&text, stock, &search);
    let turns: Vec<f64> = design
        .winners
        .iter()
        .filter_map(|winner| winner.pieces[0].winding.as_ref())
        .map(|wound| wound.turns)
        .collect();
    assert_eq!((design.winners.len(), turns.as_slice()), (1, &[14.0][..]), "{:?}", design.counts);
    let by_load = design.counts.dropped.iter().find(|each| each.rule.contains("coil keeps"));
    assert_eq!(by_load.map(|each| each.filters), Some(1), "{:?}", design.counts);
    let whole = found(&text, stock, &Search { prune: false, ..search });
    assert_eq!((whole.winners.len(), whole.counts.saturating), (1, 1), "{:?}", whole.counts);
}

/// A camera that bears little more than the pack: what rings beyond at plug-in is no answer, and is counted for itself.
#[test]
fn what_lifts_the_supply_beyond_its_range_is_no_answer() {
    let stock = "name,kind,mass,inductance,dcr,capacitance,esr,rated,resistance\n\
                 coil,coil,2 g,330 uH,0.12 ohm,,,,\n\
                 can,capacitor,2 g,,,330 uF,40 mohm,25 V,\n\
                 ohm,resistor,0.2 g,,,,,,1 ohm\n";
    let forms = vec![Topology::CoilCapacitor, Topology::CoilCapacitorDamped];
    let search = Search { topologies: forms, draws: 0, ..Search::default() };
    let text = harness("2 kHz", "20 mV", "").replace("9 V .. 30 V", "9 V .. 15 V");
    let design = found(&text, stock, &search);
    let names: Vec<&str> = design.winners.iter().map(|winner| winner.topology.word()).collect();
    assert_eq!(names, ["coil_cap_damped"]);
    assert_eq!(design.counts.over_supply, 1, "{:?}", design.counts);
}

/// A search that is told to stop says how many filters it has not looked at.
#[test]
fn a_search_that_stops_early_counts_what_it_left() {
    let design =
        found(&harness("480 Hz", "40 mV", ""), STOCK, &Search { most: Some(1), draws: 0, ..quick() });
    let all: usize = design.counts.considered.iter().map(|(_, count)| count).sum();
    let dropped: usize = design.counts.dropped.iter().map(|each| each.filters).sum();
    assert!(design.counts.unseen > 0, "{:?}", design.counts);
    assert_eq!(design.counts.run + dropped + design.counts.unseen, all, "{:?}", design.counts);
}

//! What is told of filters without a run, against runs of many filters drawn at random.

use super::{buildable, judge, screen, the_place};
use crate::design::candidate::{Candidate, candidates};
use crate::design::judge::Judge;
use crate::design::outcome::Counts;
use crate::design::screen::{Screen, Verdict};
use crate::design::survey::{Survey, filled};
use crate::design::task::{Search, Task};
use crate::design::topology::Topology;
use crate::design::worst::{Fault, Worst};
use language::stock::read_stock;
use language::{Read, Source, read_with};
use std::fmt::Write as _;

const HARNESS: &str = "
    battery pack gnd -> bus emf 14 V, resistance 90 mohm, inductance 120 nH
    capacitor bulk bus -> gnd capacitance 220 uF, esr 40 mohm
    drive tracks bus -> gnd motors 2, current 4.5 A, pwm 20 kHz, duty 60 %, rise 200 ns, fall 200 ns,
        commutation 500 Hz, commutation_depth 5 %
    wire feed bus -> tap resistance 60 mohm, inductance 250 nH
    camera eye cam -> gnd current 110 mA, supply 9 V .. 30 V, input_capacitance 10 uF, input_esr 0.2 ohm
    choice filter { place tap -> cam; option none { wire link tap -> cam resistance 1 mohm } }
    condition throttle { case cruise { set tracks.duty = 60 % } case full { set tracks.duty = 100 % } }
    testpoint rail = voltage(cam), bandwidth 20 MHz
    reading noise = peak_to_peak(rail)
    require noise < 60 mV \"lines\"
    require rms_ac(rail) < 10 mV \"haze\"
    require minimum(rail) > 9 V \"dark\"
    transient ripple span 1 ms, start steady
";

/// Numbers in [0, 1), the same each time (a linear congruential generator; multiplier from Knuth).
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly over the decades between two values.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.next())
    }
}

/// A stock of coils that saturate now and then, of ceramics that lose most of what they have, and of straight parts.
fn stock(draws: &mut Draws) -> String {
    let mut text = "name,kind,quantity,inductance,saturation_current,dcr,peak_resistance,capacitance,esr,half_voltage,resistance\n".to_owned();
    for number in 0..8 {
        let (henry, ampere) = (draws.between(30e-6, 5e-3), draws.between(0.1, 0.5));
        let ohm = draws.between(0.03, 1.5);
        let _ = writeln!(text, "coil {number},coil,2,{henry} H,{ampere} A,{ohm} ohm,,,,,");
    }
    for number in 0..5 {
        let (farad, ohm) = (draws.between(20e-6, 2e-3), draws.between(0.01, 0.5));
        let _ = writeln!(text, "can {number},capacitor,2,,,,,{farad} F,{ohm} ohm,,");
    }
    for number in 0..4 {
        let (farad, volts) = (draws.between(1e-6, 50e-6), draws.between(4.0, 25.0));
        let _ = writeln!(text, "ceramic {number},capacitor,2,,,,,{farad} F,4 mohm,{volts} V,");
    }
    for ohm in [0.3, 1.0, 3.3, 12.0] {
        let _ = writeln!(text, "resistor {ohm},resistor,2,,,,,,,,{ohm} ohm");
    }
    text.push_str("bead,bead,2,1.5 uH,500 mA,0.15 ohm,600 ohm,,,,\n");
    text
}

/// Filters drawn of each form.
const OF_EACH: usize = 20;

/// What bounds say holds in runs: what they drop fails for that very reason, and nothing comes to less than its lower bounds.
#[test]
fn what_bounds_say_of_random_filters_holds_in_runs() {
    let mut draws = Draws(1);
    let stock = Source { name: "stock.csv".into(), text: stock(&mut draws) };
    let stock = read_stock(&stock).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let alone = |_: &str| Err("nothing else is at hand".to_owned());
    let text = Source { name: "test.harness".into(), text: HARNESS.into() };
    let Read { description, sources } = read_with(&text, &[], &alone);
    let description = description.unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let task =
        Task { description: &description, sources: &sources, settings: &[], loader: &alone, stock: &stock };
    let search = Search { draws: 0, ..Search::default() };
    let place = the_place(&description, None).expect("there is one");
    let first = description.baseline();
    let comparisons: Vec<_> = first.requirements.iter().map(|each| each.comparison).collect();
    let mut judge = judge(&task, &search, place, &first).expect("it can be judged");
    let mut counts = Counts::default();
    let survey = Survey::new(&mut judge, &comparisons, &mut counts).expect("the baseline runs");
    let (all, lones) = buildable(&stock, 1, survey.through, &mut counts);
    let screen: Screen =
        screen(&judge, &survey, &first, &lones, vec![None; all.len()]).expect("it can be screened");
    let mut picked: Vec<Candidate> = Vec::new();
    for topology in Topology::ALL {
        let (found, _) = candidates(&all, &stock, &[topology]);
        picked.extend(
            (0..OF_EACH.min(found.len())).map(|_| found[(draws.next() * found.len() as f64) as usize]),
        );
    }
    let options: String = picked
        .iter()
        .enumerate()
        .map(|(index, candidate)| {
            candidate.option(&format!("random_{index}"), &all, &judge.place, &judge.names)
        })
        .collect();
    let more = Judge::statements(&judge.place, judge.span);
    let description = filled(&task, &judge.place, &options, &more).expect("they can be written");
    let axis = &description.axes()[judge.place.axis];
    let first_option = axis.points.len() - picked.len();
    let (mut fails, mut saturates, mut open) = (0, 0, 0);
    for (index, candidate) in picked.iter().enumerate() {
        let verdict = screen.look(candidate);
        let (worst, _) = judge.whole(&description, first_option + index, &comparisons);
        let Worst { faults, requirements, drop, peak, .. } = worst;
        let told = || format!("{verdict:?} of {candidate:?}: {faults:?} {requirements:?}");
        match &verdict {
            Verdict::Fails { requirement, .. } => {
                fails += 1;
                assert!(faults.contains(&Fault::Misses(*requirement)), "{}", told());
            }
            Verdict::Saturates => {
                saturates += 1;
                assert!(faults.contains(&Fault::Saturated), "{}", told());
            }
            Verdict::Open(bounds) => {
                open += 1;
                let noise = requirements[0].expect("a value");
                assert!(noise >= bounds.noise && drop >= bounds.drop && peak >= bounds.peak, "{}", told());
            }
        }
    }
    assert!(fails > 20 && saturates > 5 && open > 20, "{fails} {saturates} {open}");
}

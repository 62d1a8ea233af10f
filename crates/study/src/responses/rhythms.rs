//! The rhythms of drives: PWM, commutation and rotation, at one point and over all of them.

use crate::result::{Band, Line, Rhythm};
use language::Kind;
use language::description::{Harness, Part};
use network::lowered::{Lowered, LoweredPart};

/// The rhythms of all drives that draw a current, at their stated speed.
pub(crate) fn rhythms(harness: &Harness, lowered: &Lowered) -> Vec<Line> {
    let mut lines = Vec::new();
    let switching = |part: &&LoweredPart| matches!(part.kind, Kind::Drive | Kind::HalfBridge);
    for part in lowered.parts.iter().filter(switching) {
        let stated = harness.parts.iter().find(|stated| stated.name == part.name);
        let number = |name: &str| stated.and_then(|stated: &Part| stated.number(name)).unwrap_or(0.0);
        let draws = number("duty") > 0.0 && (part.kind == Kind::HalfBridge || number("current") > 0.0);
        // Revolutions per second, as every frequency in hertz.
        let rotation = Some(number("rpm")).filter(|frequency| *frequency > 0.0 && draws);
        let known = [
            (Rhythm::Pwm, part.limits.pwm.filter(|_| draws)),
            (Rhythm::Commutation, part.limits.commutation),
            (Rhythm::Rotation, rotation),
        ];
        lines.extend(known.into_iter().filter_map(|(what, frequency)| {
            Some(Line { drive: part.name.clone(), what, frequency: frequency? })
        }));
    }
    lines
}

/// Where each rhythm runs over the points and the throttle: what turns passes every frequency from standstill up to its greatest, a
/// PWM stands where it is stated.
pub(super) fn bands<'a>(points: impl Iterator<Item = (&'a Harness, &'a Lowered)>) -> Vec<Band> {
    let mut bands: Vec<Band> = Vec::new();
    for Line { drive, what, frequency } in points.flat_map(|(harness, lowered)| rhythms(harness, lowered)) {
        let low = if what == Rhythm::Pwm { frequency } else { 0.0 };
        match bands.iter_mut().find(|known| known.drive == drive && known.what == what) {
            Some(known) => {
                known.low = known.low.min(low);
                known.high = known.high.max(frequency);
            }
            None => bands.push(Band { drive, what, low, high: frequency }),
        }
    }
    bands.sort_by(|one, other| one.high.total_cmp(&other.high));
    bands
}

#[cfg(test)]
mod tests {
    use super::*;
    use language::Source;
    use language::description::Start;

    /// 6000 rpm are 100 revolutions a second, and 7 pole pairs with six steps each commutate 4200 times; at 20 kHz and 24 kHz of
    /// two cases the PWM runs between both.
    #[test]
    fn what_turns_runs_from_standstill() {
        let text = "\
battery pack gnd -> bus emf 12 V, resistance 0.1 ohm
drive props bus -> gnd motors 1, current 5 A, pwm 20 kHz, duty 50 %, rpm 6000 rpm, pole_pairs 7, commutation_depth 5 %
load eye bus -> gnd current 0.1 A
condition speed { case slow { set props.rpm = 3000 rpm } case fast { set props.pwm = 24 kHz } }
transient span 1 ms, start operating
";
        let source = Source { name: "t".into(), text: text.into() };
        let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
        let points: Vec<(Harness, Lowered)> = (0..2)
            .map(|at| {
                let harness = description.at(&[at]);
                let lowered = network::lowering::lower(&harness, Start::Steady).expect("it can be lowered");
                (harness, lowered)
            })
            .collect();
        let found = bands(points.iter().map(|(harness, lowered)| (harness, lowered)));
        let told: Vec<(Rhythm, f64, f64)> =
            found.iter().map(|band| (band.what, band.low, band.high)).collect();
        let expected =
            [(Rhythm::Rotation, 0.0, 100.0), (Rhythm::Commutation, 0.0, 4200.0), (Rhythm::Pwm, 20e3, 24e3)];
        assert_eq!(told.len(), 3, "{told:?}");
        for (told, expected) in told.iter().zip(expected) {
            assert_eq!((told.0, told.1), (expected.0, expected.1));
            assert!((told.2 / expected.2 - 1.0).abs() < 1e-12, "{told:?}");
        }
    }
}

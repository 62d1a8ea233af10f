//! What every flux law owes the engine, for laws drawn at random: it rises, its inverse undoes it, the inductance is its slope, and the
//! stored energy is the work done on it.

use proptest::prelude::*;
use quietrail_parts::flux_law::FluxLaw;
use quietrail_parts::flux_table::FluxTable;
use quietrail_parts::saturation_curve::SaturationCurve;
use std::sync::Arc;

fn curve() -> impl Strategy<Value = SaturationCurve> {
    use SaturationCurve::{Arctan, Froehlich, Langevin, Tanh};
    prop_oneof![Just(Tanh), Just(Arctan), Just(Froehlich), Just(Langevin)]
}

/// Coils from a microhenry to a henry, with cores that are full at 10 mA to 100 A.
fn saturable() -> impl Strategy<Value = FluxLaw> {
    (curve(), -6.0..0.0, 0.001..0.5, -2.0..2.0).prop_map(|(curve, initial, share, scale)| {
        let initial = 10_f64.powf(initial);
        let saturation_flux = initial * 10_f64.powf(scale);
        FluxLaw::Saturable { curve, initial, residual: share * initial, saturation_flux }
    })
}

/// Tables of 2 to 8 points with steps of current from 10 mA and inductances from 1 to 1000 uH.
fn table() -> impl Strategy<Value = FluxLaw> {
    (prop::collection::vec((0.01..0.5, 1e-6..1e-3), 2..8), any::<bool>()).prop_map(
        |(steps, of_inductance)| {
            let (mut current, mut flux, mut points) = (0.0, 0.0, Vec::new());
            for (step, inductance) in steps {
                points.push((current, if of_inductance { inductance } else { flux }));
                current += step;
                flux += step * inductance;
            }
            let made = if of_inductance {
                FluxTable::of_inductance("inductance_table", &points)
            } else {
                FluxTable::of_flux("flux_table", &points)
            };
            FluxLaw::Table(Arc::new(made.unwrap()))
        },
    )
}

fn law() -> impl Strategy<Value = FluxLaw> {
    prop_oneof![saturable(), table()]
}

/// A current in ampere at which the law bends, as a share of where a tenth of its inductance is lost, or of an ampere.
fn scale(law: &FluxLaw) -> f64 {
    law.current_at_drop(0.1).filter(|&current| current > 0.0).unwrap_or(1.0)
}

/// Gauss' two points integrate cubics exactly; a panel is halved until its halves come to the same by a share of 1e-9 of the whole, which finds the
/// kinks of a table wherever they are, down to panels too short to matter.
fn integral(f: &dyn Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let panel = |low: f64, high: f64| {
        let (middle, offset) = (f64::midpoint(low, high), (high - low) / 12_f64.sqrt());
        (high - low) / 2.0 * (f(middle - offset) + f(middle + offset))
    };
    let allowed = 1e-9 * panel(low, high).abs();
    let (mut sum, mut left) = (0.0, vec![(low, high, 0)]);
    while let Some((low, high, depth)) = left.pop() {
        let middle = f64::midpoint(low, high);
        let halves = panel(low, middle) + panel(middle, high);
        if depth >= 6 && (depth == 40 || (halves - panel(low, high)).abs() <= allowed) {
            sum += halves;
        } else {
            left.extend([(low, middle, depth + 1), (middle, high, depth + 1)]);
        }
    }
    sum
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn it_rises_and_is_odd(law in law(), low in -30.0..30.0, more in 0.001..30.0) {
        let (low, more) = (low * scale(&law), more * scale(&law));
        prop_assert!(law.flux(low + more) > law.flux(low));
        prop_assert_eq!(law.flux(-low), -law.flux(low));
        prop_assert!(law.inductance(low) > 0.0);
        prop_assert_eq!(law.inductance(-low), law.inductance(low));
        prop_assert_eq!(law.energy(-low), law.energy(low));
        prop_assert_eq!(law.flux(0.0), 0.0);
    }

    #[test]
    fn its_inverse_undoes_it(law in law(), at in -30.0..30.0) {
        let current = at * scale(&law);
        let back = law.current(law.flux(current));
        // A rounding of the flux moves the current by as much times chord over slope. Langevin's function is a difference of large numbers: where its
        // series ends, at y = 0.2, a unit in the last place of 1/y is 3/y^2 = 75 of them in y/3, and there are three such roundings.
        let chord = if current == 0.0 { 0.0 } else { law.flux(current) / law.inductance(current) };
        prop_assert!((back - current).abs() <= 6e-14 * (chord.abs() + current.abs()), "{current} came back as {back}");
    }

    #[test]
    fn inductance_is_its_slope(law in law(), at in 0.01..10.0) {
        let (low, high) = (at * scale(&law), at * scale(&law) * 1.01);
        let sum = integral(&|current| law.inductance(current), low, high);
        let rise = law.flux(high) - law.flux(low);
        prop_assert!((sum / rise - 1.0).abs() < 1e-5, "{sum} {rise}");
    }

    #[test]
    fn energy_is_the_work_of_current_over_flux(law in law(), at in 0.01..10.0) {
        // i dflux = i L di.
        let (low, high) = (at * scale(&law), at * scale(&law) * 1.1);
        let sum = integral(&|current| current * law.inductance(current), low, high);
        let rise = law.energy(high) - law.energy(low);
        // A tenth more of current is a fifth more of energy, so that the difference loses a digit of the fifteen.
        prop_assert!((sum / rise - 1.0).abs() < 1e-5, "{sum} {rise}");
    }

    #[test]
    fn the_inductance_has_fallen_where_it_says(law in law(), drop in 0.02..0.6) {
        if let Some(current) = law.current_at_drop(drop) {
            let left = law.inductance(current) / law.initial_inductance();
            // Tables are searched among 64 places a piece and halved to a rounding; the curves have closed forms.
            prop_assert!((left - (1.0 - drop)).abs() < 1e-9, "{left}");
        }
    }
}

//! Tables against curves that are known.

use super::*;

#[test]
fn two_points_make_a_linear_coil() {
    let law = FluxTable::of_flux("flux_table", &[(0.0, 0.0), (0.5, 50e-6)]).unwrap();
    for current in [-3.0, -0.2, 0.0, 0.1, 0.5, 7.0] {
        assert!((law.inductance(current) - 100e-6).abs() < 1e-18);
        assert!((law.flux(current) - 100e-6 * current).abs() < 1e-18);
        assert!((law.energy(current) - 50e-6 * current * current).abs() < 1e-17);
    }
}

#[test]
fn an_odd_cubic_is_met_in_its_first_interval() {
    // psi = i - i³/10 through 0, 1 and 2 A, in mWb: the slope at 0 must be 1 mH. At 1 A the parabola through the three points has
    // the slope (psi(2) - psi(0))/2 = 0.6 mH, where the cubic's own is 0.7 mH.
    let points = [(0.0, 0.0), (1.0, 0.9e-3), (2.0, 1.2e-3)];
    let law = FluxTable::of_flux("flux_table", &points).unwrap();
    assert!((law.inductance(0.0) - 1e-3).abs() < 1e-15, "{}", law.inductance(0.0));
    assert!((law.inductance(1.0) - 0.6e-3).abs() < 1e-15);
    // From the last point on the secant 0.3 mH goes on.
    assert!((law.flux(4.0) - (1.2e-3 + 2.0 * 0.3e-3)).abs() < 1e-15);
}

#[test]
fn an_inductance_table_is_integrated_exactly() {
    // 400 uH at 0 A, 320 uH at 0.2 A. Between two points with the slopes m0 = 0 and m1 = -400 uH/A, Hermite's cubic over the
    // width w has the integral w (y0 + y1)/2 + w² (m0 - m1)/12 = 72 uWb + 0.04 x 400/12 uWb.
    let law = FluxTable::of_inductance("inductance_table", &[(0.0, 400e-6), (0.2, 320e-6)]).unwrap();
    let expected = 0.2 * 360e-6 + 0.04 * 400e-6 / 12.0;
    assert!((law.flux(0.2) / expected - 1.0).abs() < 1e-14, "{}", law.flux(0.2));
    assert!((law.flux(1.2) - law.flux(0.2) - 320e-6).abs() < 1e-17);
    assert_eq!((law.inductance(0.0), law.inductance(5.0)), (400e-6, 320e-6));
}

#[test]
fn energy_is_the_integral_of_current_over_flux() {
    // Simpson's rule with 1000 intervals a piece: exact to 1e-12 for the quintics here.
    let points = [(0.0, 400e-6), (0.2, 320e-6), (0.5, 90e-6), (1.0, 12e-6)];
    let law = FluxTable::of_inductance("inductance_table", &points).unwrap();
    let mut sum = 0.0;
    for pair in points.windows(2) {
        let step = (pair[1].0 - pair[0].0) / 1000.0;
        for index in 0..1000 {
            let left = pair[0].0 + step * f64::from(index);
            let work = |current: f64| current * law.inductance(current);
            sum += step / 6.0 * (work(left) + 4.0 * work(left + step / 2.0) + work(left + step));
        }
        assert!((law.energy(pair[1].0) / sum - 1.0).abs() < 1e-10, "{sum}");
    }
}

#[test]
fn a_table_of_a_known_curve_is_close_to_it() {
    // tanh with 21 points up to 4 scales, w = 0.2 apart. With exact slopes a cubic is off by w^4/384 times the fourth derivative (4.1
    // at most); slopes by three points are off by w^2/6 times the third (2 at most), which moves the cubic by a quarter of w times that.
    let points: Vec<(f64, f64)> = (0..=20).map(|k| f64::from(k) * 0.2).map(|x| (x, x.tanh())).collect();
    let law = FluxTable::of_flux("flux_table", &points).unwrap();
    for k in 0..400 {
        let x = f64::from(k) * 0.01;
        assert!((law.flux(x) - x.tanh()).abs() < 6.9e-4, "{x}");
    }
}

#[test]
fn where_the_inductance_has_fallen() {
    let points = [(0.0, 400e-6), (0.2, 320e-6), (0.5, 90e-6)];
    let law = FluxTable::of_inductance("inductance_table", &points).unwrap();
    assert!((law.current_at_inductance(320e-6).unwrap() - 0.2).abs() < 1e-12);
    let half = law.current_at_inductance(200e-6).unwrap();
    assert!((law.inductance(half) - 200e-6).abs() < 1e-15);
    assert_eq!(law.current_at_inductance(50e-6), None);
}

#[test]
fn what_is_no_law_is_refused() {
    let flux = |points: &[(f64, f64)]| FluxTable::of_flux("flux_table", points).unwrap_err().message;
    assert!(flux(&[(0.0, 0.0)]).contains("too few"));
    assert!(flux(&[(0.1, 0.0), (0.2, 1.0)]).contains("begins at 0.1 A"));
    assert!(flux(&[(0.0, 1.0), (0.2, 2.0)]).contains("at no current"));
    assert!(flux(&[(0.0, 0.0), (0.2, 2.0), (0.2, 3.0)]).contains("currents"));
    assert!(flux(&[(0.0, 0.0), (0.2, 2.0), (0.4, 2.0)]).contains("does not rise"));
    let inductance = FluxTable::of_inductance("inductance_table", &[(0.0, 1.0), (0.2, 0.0)]);
    assert!(inductance.unwrap_err().message.contains("inductance of 0 H at 0.2 A"));
}

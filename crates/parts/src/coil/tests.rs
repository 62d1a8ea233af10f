//! Coils against what data sheets define.

use super::*;

fn choke() -> Coil {
    Coil {
        inductance: 330e-6,
        residual: Some(9e-6),
        saturation_current: Some(0.35),
        dcr: Some(0.35),
        ..Coil::default()
    }
}

#[test]
fn scale_current_of_the_hyperbolic_tangent() {
    // IEC 62024-2's drops for tanh: the current in units of the curve's scale is acosh(1 / sqrt(1 - p)).
    for (drop, scaled) in [(0.1, 0.327_45), (0.2, 0.481_212), (0.3, 0.615_122)] {
        // L0 = 1, Lr = 0, Is = 1: the scale is I0 = ls / L0.
        let scale = saturation_flux(SaturationCurve::Tanh, [1.0, 0.0], 1.0, drop).unwrap();
        assert!((1.0 / scale - scaled).abs() < 1e-5, "{}", 1.0 / scale);
    }
}

#[test]
fn the_stated_drop_is_met_at_the_stated_current() {
    for drop in [None, Some(0.1), Some(0.5)] {
        let law = Coil { drop, ..choke() }.equivalent().unwrap().law;
        let left = law.inductance(0.35) / 330e-6;
        assert!((left - (1.0 - drop.unwrap_or(0.3))).abs() < 1e-12, "{left}");
        assert!((law.inductance(0.0) / 330e-6 - 1.0).abs() < 1e-15);
    }
}

#[test]
fn every_curve_meets_the_stated_drop() {
    use SaturationCurve::{Arctan, Froehlich, Langevin, Tanh};
    for curve in [Tanh, Arctan, Froehlich, Langevin] {
        let coil = Coil { curve: Some(curve), ..choke() };
        let equivalent = coil.equivalent().unwrap();
        assert!((equivalent.law.inductance(0.35) / (0.7 * 330e-6) - 1.0).abs() < 1e-12, "{curve:?}");
        let [tenth, three] = [0, 1].map(|index| equivalent.facts[index].value);
        assert!((three / 0.35 - 1.0).abs() < 1e-12 && tenth < three);
    }
}

#[test]
fn a_winding_resonates_with_its_capacitance() {
    // Roddy and Coolen, Electronic Communications, example 1.5.1: 1 uH and 7 pF resonate at 60.155 MHz.
    assert!((self_resonance(1e-6, 7e-12) / 60.155e6 - 1.0).abs() < 1e-4);
    let coil = Coil { inductance: 1e-6, winding_capacitance: Some(7e-12), ..Coil::default() };
    assert_eq!(coil.equivalent().unwrap().facts[0].name, "self_resonance");
}

#[test]
fn without_saturation_a_coil_is_linear() {
    let equivalent = Coil { saturation_current: None, ..choke() }.equivalent().unwrap();
    assert_eq!(equivalent.law, FluxLaw::Linear { inductance: 330e-6 });
    assert_eq!(equivalent.remarks.len(), 1);
}

#[test]
fn residual_defaults_to_two_per_cent_and_says_so() {
    let equivalent = Coil { residual: None, drop: Some(0.2), ..choke() }.equivalent().unwrap();
    assert!((equivalent.law.inductance(1e3) / 6.6e-6 - 1.0).abs() < 1e-12);
    assert_eq!(equivalent.assumptions, ["in saturation 6.6 uH are left, 2 % of the inductance"]);
}

#[test]
fn contradictions_are_mistakes() {
    let property = |coil: Coil| coil.equivalent().unwrap_err()[0].property;
    assert_eq!(property(Coil { residual: Some(250e-6), ..choke() }), "residual");
    assert_eq!(property(Coil { residual: Some(231e-6), ..choke() }), "residual");
    assert_eq!(property(Coil { residual: Some(400e-6), ..choke() }), "residual");
    assert_eq!(property(Coil { residual: Some(0.0), ..choke() }), "residual");
    let by_flux = Coil { saturation_current: None, saturation_flux: Some(1e-4), ..choke() };
    assert_eq!(property(Coil { residual: Some(0.0), ..by_flux }), "residual");
    assert_eq!(property(Coil { residual: None, drop: Some(0.99), ..choke() }), "drop");
    assert_eq!(property(Coil { saturation_flux: Some(1e-4), ..choke() }), "saturation_flux");
    assert_eq!(property(Coil { drop: Some(1.0), ..choke() }), "drop");
    assert_eq!(property(Coil { inductance: 0.0, ..choke() }), "inductance");
    assert_eq!(property(Coil { loss_resistance: Some(0.0), ..choke() }), "loss_resistance");
}

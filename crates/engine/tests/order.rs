//! Order of convergence by halving the step, through the integrator's own interface: slopes from theory.

use engine::integrator::{Integrator, Problem, Rule};
use engine::linear::Stamp;

/// A saturable coil behind a resistor on a sine: psi(i)' = V sin(w t) - R i with psi = Lr i + ls tanh(i / knee).
struct SaturableCoil;

impl SaturableCoil {
    fn flux(x: f64) -> f64 {
        0.1 * x + x.tanh()
    }
}

impl Problem for SaturableCoil {
    fn size(&self) -> usize {
        1
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out[0] = Self::flux(x[0]);
    }
    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        out[0] = 0.5 * x[0] - 1.5 * (2.0 * time).sin();
    }
    fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight * (0.1 + x[0].cosh().powi(-2)));
    }
    fn current_slopes(&self, _: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight * 0.5);
    }
}

/// y' = -y, whose growth over a step is known for each rule.
struct Decay;

impl Problem for Decay {
    fn size(&self) -> usize {
        1
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out[0] = x[0];
    }
    fn currents(&self, x: &[f64], _: f64, out: &mut [f64]) {
        out[0] = x[0];
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight);
    }
    fn current_slopes(&self, _: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight);
    }
    fn is_linear(&self) -> bool {
        true
    }
}

fn end(problem: &impl Problem, start: f64, rule: Rule, steps: usize, span: f64) -> f64 {
    let mut integrator = Integrator::new(problem, 0.0, vec![start]);
    let step = span / steps as f64;
    for _ in 0..steps {
        integrator.attempt(problem, rule, step).expect("a step that converges");
        integrator.accept(step);
    }
    integrator.x[0]
}

/// Slope of log error against log step by least squares over four halvings.
fn slope(errors: &[(f64, f64)]) -> f64 {
    let points: Vec<(f64, f64)> = errors.iter().map(|(step, error)| (step.ln(), error.ln())).collect();
    let count = points.len() as f64;
    let (x, y) =
        points.iter().fold((0.0, 0.0), |sum, point| (sum.0 + point.0 / count, sum.1 + point.1 / count));
    let above: f64 = points.iter().map(|point| (point.0 - x) * (point.1 - y)).sum();
    let below: f64 = points.iter().map(|point| (point.0 - x).powi(2)).sum();
    above / below
}

#[test]
fn orders_on_linear_and_saturable_problems() {
    for (rule, order) in [(Rule::BackwardEuler, 1.0), (Rule::Trapezoidal, 2.0), (Rule::TrBdf2, 2.0)] {
        let linear = |steps: usize| (end(&Decay, 1.0, rule, steps, 1.0) - f64::exp(-1.0)).abs();
        // The same problem by steps so small that what is left of the error does not show: order 2 at 1/64 of the finest step.
        let reference = end(&SaturableCoil, 0.0, Rule::TrBdf2, 1 << 16, 3.0);
        let saturable = |steps: usize| (end(&SaturableCoil, 0.0, rule, steps, 3.0) - reference).abs();
        for (name, error) in [("linear", &linear as &dyn Fn(usize) -> f64), ("saturable", &saturable)] {
            let errors: Vec<(f64, f64)> =
                [128, 256, 512, 1024].map(|steps| (1.0 / steps as f64, error(steps))).to_vec();
            let fitted = slope(&errors);
            assert!((fitted - order).abs() < 0.1, "{rule:?} on the {name} problem: order {fitted}");
        }
    }
}

/// Halving a step below a twentieth of the time constant halves the error of backward Euler and quarters that of the rules of order two, within
/// 5 %: the next term of the error is a share of the order of the step itself.
#[test]
fn halving_the_step_of_a_decay() {
    for (rule, ratio) in [(Rule::BackwardEuler, 2.0), (Rule::Trapezoidal, 4.0), (Rule::TrBdf2, 4.0)] {
        let error = |steps: usize| (end(&Decay, 1.0, rule, steps, 1.0) - f64::exp(-1.0)).abs();
        for steps in [20, 40, 80, 160] {
            let found = error(steps) / error(2 * steps);
            assert!((found / ratio - 1.0).abs() < 0.05, "{rule:?}, {steps} steps: {found}");
        }
    }
}

/// Growth over one step at z = -1, -10, -1e6 (Bank et al., IEEE Trans. CAD 1985; Hosea and Shampine, Appl. Numer. Math. 1996).
#[test]
fn growth_factors() {
    let published = [
        (1.0, [0.5, 0.333_333, 0.35044]),
        (10.0, [0.090_909_1, -0.666_667, -0.203_552]),
        (1e6, [9.99999e-7, -0.999_996, -4.82838e-6]),
    ];
    for (z, factors) in published {
        let rules = [Rule::BackwardEuler, Rule::Trapezoidal, Rule::TrBdf2];
        for (rule, factor) in rules.into_iter().zip(factors) {
            let grown = end(&Decay, 1.0, rule, 1, z);
            assert!((grown - factor).abs() < 1e-6, "{rule:?} at z = -{z}: {grown} against {factor}");
        }
    }
}

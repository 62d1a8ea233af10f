//! Published test problems through the integrator's own interface, against their published end values.
//!
//! Source, where nothing else is said: F. Mazzia and C. Magherini, Test Set for Initial Value Problem Solvers, University of Bari;
//! end values as in its reference programs.

use engine::integrator::{Integrator, Problem, Rule, Solution, Tolerances, integrate};
use engine::linear::Stamp;

/// A system x' = g(x) with its slopes dg/dx, row by row.
trait Rates<const N: usize> {
    fn rates(&self, x: &[f64]) -> [f64; N];
    fn slopes(&self, x: &[f64]) -> [[f64; N]; N];
}

/// It as a problem: q(x) = x, f(x) = -g(x).
struct Explicit<R, const N: usize>(R);

impl<R: Rates<N>, const N: usize> Problem for Explicit<R, N> {
    fn size(&self) -> usize {
        N
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out.copy_from_slice(x);
    }
    fn currents(&self, x: &[f64], _: f64, out: &mut [f64]) {
        for (out, rate) in out.iter_mut().zip(self.0.rates(x)) {
            *out = -rate;
        }
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        (0..N).for_each(|k| matrix.add(k, k, weight));
    }
    fn current_slopes(&self, x: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        for (row, slopes) in self.0.slopes(x).iter().enumerate() {
            for (column, slope) in slopes.iter().enumerate() {
                matrix.add(row, column, -weight * slope);
            }
        }
    }
}

/// A problem with what is published of it.
struct Published<P> {
    problem: P,
    end_time: f64,
    start: Vec<f64>,
    end: Vec<f64>,
    /// What counts as little in each unknown.
    scale: Vec<f64>,
}

impl<P: Problem> Published<P> {
    fn tolerances(&self, relative: f64) -> Tolerances {
        Tolerances { relative, absolute: self.scale.iter().map(|scale| relative * scale).collect() }
    }

    fn solve(&self, rule: Rule, relative: f64) -> Solution {
        let tolerances = self.tolerances(relative);
        integrate(&self.problem, rule, 0.0, self.end_time, self.start.clone(), &tolerances)
            .expect("a solution exists")
    }

    /// The worst error at the end in units of a tolerance.
    fn error(&self, solution: &Solution, relative: f64) -> f64 {
        let tolerances = self.tolerances(relative);
        let errors = solution.x.iter().zip(&self.end).enumerate();
        errors.map(|(k, (x, exact))| (x - exact).abs() / tolerances.weight(k, *exact)).fold(0.0, f64::max)
    }

    /// Solves to `asked`, which must be enough for the published values to 1e-6. No step may add more than its share of the
    /// tolerance, asked^(1/2) for a rule of order 2; so the error is at most the sum of the shares, where the problem lets none
    /// of it grow.
    fn check(&self, name: &str, asked: f64) {
        let solution = self.solve(Rule::TrBdf2, asked);
        let sum = solution.work.steps as f64 * asked.sqrt();
        let error = self.error(&solution, asked);
        assert!(error < sum, "{name}: {error} of the tolerance, the steps were allowed {sum}");
        let published = self.error(&solution, 1e-6);
        assert!(published < 1.0, "{name}: {published} of 1e-6");
        // Errors fall at least in proportion to what is asked: local ones of order h^3 add up to order h^2. A tenth is left to the
        // exponent, over a factor of 100.
        let coarse = self.error(&self.solve(Rule::TrBdf2, 100.0 * asked), 100.0 * asked);
        let most = f64::powf(100.0, 0.1);
        assert!(
            error < most * coarse,
            "{name}: {coarse} and, asked for 100 times less, {error} of the tolerance"
        );
    }
}

/// Two stages in common emitter connection, eight node voltages, charges on five capacitors: index 1, since the charge matrix has
/// rank 5. Test Set, problem `transamp`; Hairer and Wanner, Solving Ordinary Differential Equations II.
struct TransistorAmplifier;

impl TransistorAmplifier {
    const SUPPLY: f64 = 6.0;
    const THERMAL: f64 = 0.026;
    const ALPHA: f64 = 0.99;
    const BETA: f64 = 1e-6;
    const R0: f64 = 1000.0;
    const R: f64 = 9000.0;
    /// Capacitance and the nodes it joins; -1 stands for ground.
    const CAPACITORS: [(f64, usize, Option<usize>); 5] =
        [(1e-6, 0, Some(1)), (2e-6, 2, None), (3e-6, 3, Some(4)), (4e-6, 5, None), (5e-6, 6, Some(7))];
    /// Base, emitter and collector.
    const TRANSISTORS: [[usize; 3]; 2] = [[1, 2, 3], [4, 5, 6]];

    fn emitter(v: f64) -> (f64, f64) {
        let growth = (v / Self::THERMAL).exp();
        (Self::BETA * (growth - 1.0), Self::BETA / Self::THERMAL * growth)
    }
    /// Conductance of each node to fixed voltages.
    fn conductances() -> [f64; 8] {
        let (g0, g) = (1.0 / Self::R0, 1.0 / Self::R);
        [g0, 2.0 * g, g, g, 2.0 * g, g, g, g]
    }
    /// Share of each transistor's emitter current that leaves at base, emitter and collector.
    const SHARES: [f64; 3] = [1.0 - Self::ALPHA, -1.0, Self::ALPHA];
}

impl Problem for TransistorAmplifier {
    fn size(&self) -> usize {
        8
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (capacitance, plus, minus) in Self::CAPACITORS {
            let charge = capacitance * (x[plus] - minus.map_or(0.0, |minus| x[minus]));
            out[plus] += charge;
            if let Some(minus) = minus {
                out[minus] -= charge;
            }
        }
    }
    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        for ((out, conductance), x) in out.iter_mut().zip(Self::conductances()).zip(x) {
            *out = conductance * x;
        }
        out[0] -= 0.1 * (200.0 * std::f64::consts::PI * time).sin() / Self::R0;
        [1, 3, 4, 6].into_iter().for_each(|node| out[node] -= Self::SUPPLY / Self::R);
        for transistor in Self::TRANSISTORS {
            let (current, _) = Self::emitter(x[transistor[0]] - x[transistor[1]]);
            for (node, share) in transistor.into_iter().zip(Self::SHARES) {
                out[node] += share * current;
            }
        }
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        for (capacitance, plus, minus) in Self::CAPACITORS {
            matrix.add(plus, plus, weight * capacitance);
            if let Some(minus) = minus {
                matrix.add(minus, minus, weight * capacitance);
                matrix.add(plus, minus, -weight * capacitance);
                matrix.add(minus, plus, -weight * capacitance);
            }
        }
    }
    fn current_slopes(&self, x: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        for (node, conductance) in Self::conductances().into_iter().enumerate() {
            matrix.add(node, node, weight * conductance);
        }
        for transistor in Self::TRANSISTORS {
            let [base, emitter, _] = transistor;
            let (_, slope) = Self::emitter(x[base] - x[emitter]);
            for (node, share) in transistor.into_iter().zip(Self::SHARES) {
                matrix.add(node, base, weight * share * slope);
                matrix.add(node, emitter, -weight * share * slope);
            }
        }
    }
}

/// Van der Pol's oscillator at 1/eps = 1e6. Test Set, problem `vdpol`.
struct VanDerPol;

impl Rates<2> for VanDerPol {
    fn rates(&self, x: &[f64]) -> [f64; 2] {
        [x[1], ((1.0 - x[0] * x[0]) * x[1] - x[0]) / 1e-6]
    }
    fn slopes(&self, x: &[f64]) -> [[f64; 2]; 2] {
        [[0.0, 1.0], [(-2.0 * x[0] * x[1] - 1.0) / 1e-6, (1.0 - x[0] * x[0]) / 1e-6]]
    }
}

/// Robertson's three reactions. Test Set, problem `rober`.
struct Robertson;

impl Rates<3> for Robertson {
    fn rates(&self, x: &[f64]) -> [f64; 3] {
        let (slow, back, fast) = (0.04 * x[0], 1e4 * x[1] * x[2], 3e7 * x[1] * x[1]);
        [back - slow, slow - back - fast, fast]
    }
    fn slopes(&self, x: &[f64]) -> [[f64; 3]; 3] {
        let (to_second, to_third, fast) = (1e4 * x[2], 1e4 * x[1], 6e7 * x[1]);
        [[-0.04, to_second, to_third], [0.04, -to_second - fast, -to_third], [0.0, fast, 0.0]]
    }
}

/// Field and Noyes' Oregonator. Test Set, problem `orego`.
struct Oregonator;

impl Oregonator {
    const S: f64 = 77.27;
    const Q: f64 = 8.375e-6;
    const W: f64 = 0.161;
}

impl Rates<3> for Oregonator {
    fn rates(&self, x: &[f64]) -> [f64; 3] {
        [
            Self::S * (x[1] + x[0] * (1.0 - Self::Q * x[0] - x[1])),
            (x[2] - (1.0 + x[0]) * x[1]) / Self::S,
            Self::W * (x[0] - x[2]),
        ]
    }
    fn slopes(&self, x: &[f64]) -> [[f64; 3]; 3] {
        [
            [Self::S * (1.0 - 2.0 * Self::Q * x[0] - x[1]), Self::S * (1.0 - x[0]), 0.0],
            [-x[1] / Self::S, -(1.0 + x[0]) / Self::S, 1.0 / Self::S],
            [Self::W, 0.0, -Self::W],
        ]
    }
}

/// High irradiance response of a plant, eight reactants. Test Set, problem `hires`.
struct Hires;

impl Rates<8> for Hires {
    fn rates(&self, x: &[f64]) -> [f64; 8] {
        let meeting = 280.0 * x[5] * x[7];
        [
            -1.71 * x[0] + 0.43 * x[1] + 8.32 * x[2] + 0.0007,
            1.71 * x[0] - 8.75 * x[1],
            -10.03 * x[2] + 0.43 * x[3] + 0.035 * x[4],
            8.32 * x[1] + 1.71 * x[2] - 1.12 * x[3],
            -1.745 * x[4] + 0.43 * (x[5] + x[6]),
            -meeting + 0.69 * x[3] + 1.71 * x[4] - 0.43 * x[5] + 0.69 * x[6],
            meeting - 1.81 * x[6],
            1.81 * x[6] - meeting,
        ]
    }
    fn slopes(&self, x: &[f64]) -> [[f64; 8]; 8] {
        let (by_sixth, by_eighth) = (280.0 * x[7], 280.0 * x[5]);
        [
            [-1.71, 0.43, 8.32, 0.0, 0.0, 0.0, 0.0, 0.0],
            [1.71, -8.75, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, -10.03, 0.43, 0.035, 0.0, 0.0, 0.0],
            [0.0, 8.32, 1.71, -1.12, 0.0, 0.0, 0.0, 0.0],
            [0.0, 0.0, 0.0, 0.0, -1.745, 0.43, 0.43, 0.0],
            [0.0, 0.0, 0.0, 0.69, 1.71, -0.43 - by_sixth, 0.69, -by_eighth],
            [0.0, 0.0, 0.0, 0.0, 0.0, by_sixth, -1.81, by_eighth],
            [0.0, 0.0, 0.0, 0.0, 0.0, -by_sixth, 1.81, -by_eighth],
        ]
    }
}

#[test]
fn transistor_amplifier() {
    let published = Published {
        problem: TransistorAmplifier,
        end_time: 0.2,
        start: vec![0.0, 3.0, 3.0, 6.0, 3.0, 3.0, 6.0, 0.0],
        end: vec![
            -0.5562145012262709e-2,
            3.006522471903042,
            2.849958788608128,
            2.926422536206241,
            2.704617865010554,
            2.761837778393145,
            4.770927631616772,
            1.236995868091548,
        ],
        scale: vec![1.0; 8],
    };
    published.check("transistor amplifier", 1e-6);
}

/// The published second value is the slope in the time of mu = 1000, a thousandth of that in the time used here.
#[test]
fn van_der_pol() {
    let published = Published {
        problem: Explicit(VanDerPol),
        end_time: 2.0,
        start: vec![2.0, 0.0],
        end: vec![1.706_167_732_170_469, -0.892_809_701_024_812_5],
        scale: vec![1.0; 2],
    };
    published.check("van der Pol", 1e-7);
}

#[test]
fn robertson() {
    let published = Published {
        problem: Explicit(Robertson),
        end_time: 1e11,
        start: vec![1.0, 0.0, 0.0],
        end: vec![0.2083340149701255e-7, 0.8333360770334713e-13, 0.999_999_979_166_505],
        scale: vec![1e-8, 1e-14, 1.0],
    };
    published.check("Robertson", 1e-6);
}

#[test]
fn oregonator() {
    let published = Published {
        problem: Explicit(Oregonator),
        end_time: 360.0,
        start: vec![1.0, 2.0, 3.0],
        end: vec![1.000_814_870_318_523, 1_228.178_521_549_917, 132.055_494_284_670_6],
        scale: vec![1.0; 3],
    };
    published.check("Oregonator", 3e-8);
}

fn hires() -> Published<Explicit<Hires, 8>> {
    Published {
        problem: Explicit(Hires),
        end_time: 321.8122,
        start: vec![1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0057],
        end: vec![
            0.7371312573325668e-3,
            0.1442485726316185e-3,
            0.5888729740967575e-4,
            0.1175651343283149e-2,
            0.2386356198831331e-2,
            0.6238968252742796e-2,
            0.2849998395185769e-2,
            0.2850001604814231e-2,
        ],
        scale: vec![1e-4; 8],
    }
}

#[test]
fn high_irradiance_response() {
    hires().check("HIRES", 1e-7);
}

/// The other rules under the same control: each step's error in its share, asked^(1/p), and their sum as the limit.
#[test]
fn every_rule_keeps_to_its_tolerance() {
    for (rule, asked) in [(Rule::Trapezoidal, 1e-6), (Rule::BackwardEuler, 1e-4)] {
        let published = hires();
        let solution = published.solve(rule, asked);
        let sum = solution.work.steps as f64 * f64::powf(asked, 1.0 / f64::from(rule.order()));
        let error = published.error(&solution, asked);
        assert!(error < sum, "{rule:?}: {error} of the tolerance, the steps were allowed {sum}");
        assert!(solution.work.iterations >= solution.work.steps && solution.work.factorizations > 0);
    }
}

/// A diode fed from a voltage through a resistor, with a capacitance across it so that it comes to rest: the operating point is
/// where it ends. Neamen, Electronic Circuit Analysis and Design, examples 1.5 and 1.6: I = Is (exp(V / VT) - 1), VT = 26 mV.
struct FedDiode;

impl FedDiode {
    const SATURATION: f64 = 1e-13;
    const THERMAL: f64 = 0.026;
    const SUPPLY: f64 = 5.0;
    const RESISTANCE: f64 = 2000.0;
    const CAPACITANCE: f64 = 1e-9;

    fn current(saturation: f64, voltage: f64) -> f64 {
        saturation * (voltage / Self::THERMAL).exp_m1()
    }
}

impl Problem for FedDiode {
    fn size(&self) -> usize {
        1
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out[0] = Self::CAPACITANCE * x[0];
    }
    fn currents(&self, x: &[f64], _: f64, out: &mut [f64]) {
        out[0] = Self::current(Self::SATURATION, x[0]) - (Self::SUPPLY - x[0]) / Self::RESISTANCE;
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight * Self::CAPACITANCE);
    }
    fn current_slopes(&self, x: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        let slope = Self::SATURATION / Self::THERMAL * (x[0] / Self::THERMAL).exp();
        matrix.add(0, 0, weight * (slope + 1.0 / Self::RESISTANCE));
    }
}

#[test]
fn diode_comes_to_its_operating_point() {
    let current = FedDiode::current(1e-14, 0.7);
    assert!((current - 4.927e-3).abs() < 1e-4 * 4.927e-3, "{current}");
    // Five hundred times R C.
    let tolerances = Tolerances::uniform(1e-4, 1e-4, 1);
    let solution = integrate(&FedDiode, Rule::TrBdf2, 0.0, 1e-3, vec![0.0], &tolerances).expect("it rests");
    let voltage = solution.x[0];
    assert!((voltage - 0.619_06).abs() < tolerances.weight(0, 0.619_06), "{voltage}");
    let through = (FedDiode::SUPPLY - voltage) / FedDiode::RESISTANCE;
    assert!((through - 2.1905e-3).abs() < 1e-4 * 2.1905e-3, "{through}");
}

/// An inductor and a capacitor without loss, in units that make its angular frequency 1: C v' + i = 0, L i' - v = 0.
struct Tank;

impl Problem for Tank {
    fn size(&self) -> usize {
        2
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out.copy_from_slice(x);
    }
    fn currents(&self, x: &[f64], _: f64, out: &mut [f64]) {
        out[0] = x[1];
        out[1] = -x[0];
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight);
        matrix.add(1, 1, weight);
    }
    fn current_slopes(&self, _: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 1, weight);
        matrix.add(1, 0, -weight);
    }
    fn is_linear(&self) -> bool {
        true
    }
}

/// Angle and growth of one step: trapezoidal turns by 2 atan(w h / 2) and keeps the amplitude, backward Euler turns by atan(w h) and
/// shrinks it by 1 / sqrt(1 + (w h)^2). From (1 + z/2) / (1 - z/2) and 1 / (1 - z) at z = i w h.
#[test]
fn lossless_tank_turns_and_shrinks_as_each_rule_says() {
    for (step, frequency, shrinking) in [
        (0.1, 0.999_167_9, 0.995_037),
        (0.5, 0.979_914_7, 0.894_427),
        (1.0, 0.927_295_2, std::f64::consts::FRAC_1_SQRT_2),
    ] {
        let turned = |rule: Rule| {
            let mut integrator = Integrator::new(&Tank, 0.0, vec![1.0, 0.0]);
            integrator.attempt(&Tank, rule, step).expect("a step that converges");
            let [voltage, current] = [integrator.proposed()[0], integrator.proposed()[1]];
            (current.atan2(voltage).abs(), voltage.hypot(current))
        };
        let (angle, amplitude) = turned(Rule::Trapezoidal);
        assert!((angle / step - frequency).abs() < 1e-6, "trapezoidal turns by {angle} at {step}");
        assert!((amplitude - 1.0).abs() < 1e-12, "trapezoidal keeps {amplitude} at {step}");
        let (angle, amplitude) = turned(Rule::BackwardEuler);
        assert!((angle - f64::atan(step)).abs() < 1e-12, "backward Euler turns by {angle} at {step}");
        assert!((amplitude - shrinking).abs() < 1e-6, "backward Euler keeps {amplitude} at {step}");
    }
}

/// x' = -x.
struct Decay;

impl Rates<1> for Decay {
    fn rates(&self, x: &[f64]) -> [f64; 1] {
        [-x[0]]
    }
    fn slopes(&self, _: &[f64]) -> [[f64; 1]; 1] {
        [[-1.0]]
    }
}

/// Error of one step of x' = -x from 1 (exact less numeric), and the step's own estimate of its size, both divided by
/// h^(p+1) x^(p+1). The trapezoidal rule has its estimate from the step before, so it makes two.
fn leading_error(rule: Rule, step: f64) -> (f64, f64) {
    let problem = Explicit(Decay);
    let mut integrator = Integrator::new(&problem, 0.0, vec![1.0]);
    integrator.attempt(&problem, rule, step).expect("a step that converges");
    let power = i32::from(rule.order()) + 1;
    let unit = (-step).powi(power);
    let error = ((-step).exp() - integrator.proposed()[0]) / unit;
    integrator.accept(step);
    let start = integrator.x[0];
    integrator.attempt(&problem, rule, step).expect("a step that converges");
    (error, integrator.error[0].abs() / (unit.abs() * start))
}

/// Published leading constants: backward Euler -1/2, trapezoidal -1/12 (Hairer and Wanner, Solving Ordinary Differential Equations
/// II), TR-BDF2 -0.040440115 (Bank et al., IEEE Trans. CAD 4, 1985). What the step says of its own error has the same one.
#[test]
fn leading_error_constants() {
    let rules =
        [(Rule::BackwardEuler, -0.5), (Rule::Trapezoidal, -1.0 / 12.0), (Rule::TrBdf2, -0.040_440_115)];
    for (rule, published) in rules {
        // The constant is the limit at h = 0. Measured at h, h/2 and h/4, extrapolation leaves a term in h^3: 1e-6 of the constant
        // at h = 0.02; rounding adds 1e-16 / (h/4)^3.
        let limit = |of: &dyn Fn(f64) -> f64| {
            let [whole, half, quarter] = [0.02, 0.01, 0.005].map(of);
            (8.0 * quarter - 6.0 * half + whole) / 3.0
        };
        let error = limit(&|step| leading_error(rule, step).0);
        assert!((error - published).abs() < 1e-5 * published.abs(), "{rule:?}: {error}");
        let estimate = limit(&|step| leading_error(rule, step).1);
        assert!((estimate + published).abs() < 1e-5 * published.abs(), "{rule:?} says {estimate} of itself");
    }
}

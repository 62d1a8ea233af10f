//! The linear crawler in periodic steady state against a solution written here from the circuit's own differential
//! equations, by the matrix exponential of nalgebra: no nodal analysis, no code of the engine.

use crate::common;

use common::{Builder, Recorder, record, request, tracks};
use engine::{Method, Start};
use nalgebra::{DMatrix, DVector};
use network::primitive::{CurrentLaw, Element, Network};

const EMF: f64 = 15.2;
const R1: f64 = 0.1; // pack and main wire
const L1: f64 = 0.42e-6;
const RB: f64 = 0.04; // bulk capacitor
const LB: f64 = 15e-9;
const CB: f64 = 220e-6;
const RF: f64 = 0.42; // feed wire and coil
const LW: f64 = 0.5e-6;
const LC: f64 = 330e-6;
const RI: f64 = 0.2; // camera input
const CI: f64 = 10e-6;
const RS: f64 = 0.08; // store
const LS: f64 = 12e-9;
const CS: f64 = 330e-6;
const CAMERA: f64 = 0.16;
const DRIVE: f64 = 18.0;
const PERIOD: f64 = 50e-6;
const EDGE: f64 = 200e-9;
const DUTY: f64 = 0.6;

fn crawler() -> Network {
    let mut circuit = Builder::new(&["emf", "a", "bus", "b1", "b2", "tap", "t1", "cam", "c1", "s1", "s2"]);
    circuit.voltage("pack", "emf", "gnd", EMF);
    circuit.resistor("pack", "emf", "a", R1);
    circuit.inductor("main", "a", "bus", L1);
    circuit.resistor("bulk", "bus", "b1", RB);
    circuit.inductor("bulk", "b1", "b2", LB);
    circuit.capacitor("bulk", "b2", "gnd", CB);
    circuit.add("tracks", "bus", "gnd", tracks(DRIVE, DUTY, EDGE));
    circuit.inductor("feed", "bus", "tap", LW);
    circuit.resistor("choke", "tap", "t1", RF);
    circuit.inductor("choke", "t1", "cam", LC);
    let law = CurrentLaw::Constant { current: CAMERA, threshold: 9.0 };
    circuit.add("eye", "cam", "gnd", Element::Load(law));
    circuit.resistor("eye", "cam", "c1", RI);
    circuit.capacitor("eye", "c1", "gnd", CI);
    circuit.resistor("store", "cam", "s1", RS);
    circuit.inductor("store", "s1", "s2", LS);
    circuit.capacitor("store", "s2", "gnd", CS);
    circuit.see_voltage("cam", None);
    circuit.see_voltage("bus", None);
    circuit.see_voltage("bus", Some(20e6));
    circuit.network
}

/// States: pack current, feed current, bulk voltage, camera capacitor voltage, store current, store voltage. Inputs: 1, drive
/// current, its slope. Kirchhoff's laws by hand:
/// bus: i1 = if + ib + I, so ib' = i1' - if' - I'; LB ib' = vb - vB - RB ib; L1 i1' = EMF - R1 i1 - vb;
/// (LW + LC) if' = vb - RF if - vc; vc = vi + RI (if - is - CAMERA); LS is' = vc - vs - RS is.
struct Hand {
    a: DMatrix<f64>,
    b: DMatrix<f64>,
    /// Rows of the camera's and the bus' voltage: state, then inputs.
    camera: (DVector<f64>, DVector<f64>),
    bus: (DVector<f64>, DVector<f64>),
}

fn hand() -> Hand {
    let lf = LW + LC;
    let row = |pairs: &[(usize, f64)], size: usize| {
        let mut vector = DVector::zeros(size);
        pairs.iter().for_each(|(index, value)| vector[*index] += value);
        vector
    };
    // vc = vi + RI (if - is) - RI CAMERA
    let camera = (row(&[(3, 1.0), (1, RI), (4, -RI)], 6), row(&[(0, -RI * CAMERA)], 3));
    // (EMF - R1 i1 - vb)/L1 - (vb - RF if - vc)/lf - I' = (vb - vB - RB (i1 - if - I))/LB
    let inverse = 1.0 / L1 + 1.0 / lf + 1.0 / LB;
    let mut bus_state = row(&[(0, -R1 / L1 + RB / LB), (1, RF / lf - RB / LB), (2, 1.0 / LB)], 6);
    bus_state += &camera.0 / lf;
    let mut bus_input = row(&[(0, EMF / L1), (1, -RB / LB), (2, -1.0)], 3);
    bus_input += &camera.1 / lf;
    let bus = (bus_state / inverse, bus_input / inverse);
    let mut a = DMatrix::zeros(6, 6);
    let mut b = DMatrix::zeros(6, 3);
    let mut set = |index: usize, state: DVector<f64>, input: DVector<f64>| {
        a.set_row(index, &state.transpose());
        b.set_row(index, &input.transpose());
    };
    set(0, (row(&[(0, -R1)], 6) - &bus.0) / L1, (row(&[(0, EMF)], 3) - &bus.1) / L1);
    set(1, (row(&[(1, -RF)], 6) + &bus.0 - &camera.0) / lf, (&bus.1 - &camera.1) / lf);
    set(2, row(&[(0, 1.0), (1, -1.0)], 6) / CB, row(&[(1, -1.0)], 3) / CB);
    set(3, row(&[(1, 1.0), (4, -1.0)], 6) / CI, row(&[(0, -CAMERA)], 3) / CI);
    set(4, (row(&[(4, -RS), (5, -1.0)], 6) + &camera.0) / LS, camera.1.clone() / LS);
    set(5, row(&[(4, 1.0)], 6) / CS, row(&[], 3));
    Hand { a, b, camera, bus }
}

/// Edges of the drive's current as (start, end, current at start, slope).
fn segments() -> Vec<(f64, f64, f64, f64)> {
    let fall = DUTY * PERIOD;
    vec![
        (0.0, EDGE, 0.0, DRIVE / EDGE),
        (EDGE, fall, DRIVE, 0.0),
        (fall, fall + EDGE, DRIVE, -DRIVE / EDGE),
        (fall + EDGE, PERIOD, 0.0, 0.0),
    ]
}

impl Hand {
    /// Exact move by the exponential of the system augmented with its inputs (Van Loan 1978).
    fn advance(&self, y: &DVector<f64>, current: f64, slope: f64, time: f64) -> DVector<f64> {
        let mut big = DMatrix::zeros(9, 9);
        big.view_mut((0, 0), (6, 6)).copy_from(&self.a);
        big.view_mut((0, 6), (6, 3)).copy_from(&self.b);
        big[(7, 8)] = 1.0;
        let mut start = DVector::zeros(9);
        start.view_mut((0, 0), (6, 1)).copy_from(y);
        start[6] = 1.0;
        start[7] = current;
        start[8] = slope;
        ((big * time).exp() * start).rows(0, 6).into_owned()
    }

    fn steady(&self) -> DVector<f64> {
        let over = |start: &DVector<f64>| {
            segments().iter().fold(start.clone(), |y, (from, to, current, slope)| {
                self.advance(&y, *current, *slope, to - from)
            })
        };
        let offset = over(&DVector::zeros(6));
        let mut matrix = DMatrix::identity(6, 6);
        for k in 0..6 {
            let mut unit = DVector::zeros(6);
            unit[k] = 1.0;
            let column = over(&unit) - &offset;
            matrix.set_column(k, &(matrix.column(k) - column));
        }
        matrix.full_piv_lu().solve(&offset).expect("a damped circuit")
    }

    /// Values of a row at `count` times per segment, both one-sided limits at corners included.
    fn sample(&self, row: &(DVector<f64>, DVector<f64>), count: usize) -> Vec<(f64, f64)> {
        let mut y = self.steady();
        let mut samples = Vec::new();
        for (from, to, current, slope) in segments() {
            for k in 0..=count {
                // Dense near the start of a segment, where fast modes decay.
                let time = (to - from) * (k as f64 / count as f64).powi(3);
                let state = self.advance(&y, current, slope, time);
                let input = DVector::from_vec(vec![1.0, current + slope * time, slope]);
                samples.push((from + time, row.0.dot(&state) + row.1.dot(&input)));
            }
            y = self.advance(&y, current, slope, to - from);
        }
        samples
    }
}

fn spread(samples: &[(f64, f64)]) -> (f64, f64) {
    let values = samples.iter().map(|(_, value)| *value);
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

fn compare(seen: &Recorder, share: f64) {
    let hand = hand();
    for (probe, row) in [(0, &hand.camera), (1, &hand.bus)] {
        let samples = hand.sample(row, 300);
        let (low, high) = spread(&samples);
        let ripple = high - low;
        for pair in samples.windows(2) {
            let (time, value) = pair[1];
            // Away from corners, where the value is one-sided.
            if time > pair[0].0 && segments().iter().all(|(_, end, ..)| (time - end).abs() > 1e-12) {
                let error = (seen.at(probe, time) - value).abs();
                assert!(error < share * ripple, "probe {probe} at {time}: {error} of {ripple}");
            }
        }
        let (seen_low, seen_high) = seen.extremes(probe);
        // Sampled extremes lie inside the true ones by less than the sampling shows: 1e-5 of the ripple here.
        assert!((seen_low - low).abs() < (share + 1e-5) * ripple, "probe {probe}: low {seen_low} {low}");
        assert!((seen_high - high).abs() < (share + 1e-5) * ripple, "probe {probe}: high {seen_high} {high}");
    }
}

#[test]
fn exact_road() {
    let network = crawler();
    let start = Start::Steady { period: Some(PERIOD) };
    compare(&record(&network, &request(start, 1e-3, 1e-4, Method::Automatic)), 1e-5);
}

#[test]
fn stepping_road() {
    let network = crawler();
    let start = Start::Steady { period: Some(PERIOD) };
    compare(&record(&network, &request(start, 1e-3, 1e-4, Method::Stepping)), 1e-4);
}

/// The probe with a bandwidth.
const FILTERED: usize = 2;
/// What the decay in a filter adds as a fraction of the swing, however small the accuracy asked for: parabolas over a tenth of its time
/// constant are off by 0.1^3 / (72 sqrt 3) of the decay's height (interpolation at three equidistant points), which is at most the swing;
/// two recordings by twice that.
const FILTER: f64 = 2.0 * 1e-3 / (72.0 * 1.732_050_8);

/// Two roads in one code base, each asked for more and more: they differ by no more than both together may, `accuracy` each.
#[test]
fn roads_agree() {
    let network = crawler();
    let start = Start::Steady { period: Some(PERIOD) };
    for accuracy in [1e-4, 1e-6, 1e-7] {
        let exact = record(&network, &request(start, 1e-3, accuracy, Method::Automatic));
        let steps = record(&network, &request(start, 1e-3, accuracy, Method::Stepping));
        for probe in 0..3 {
            let (low, high) = exact.extremes(probe);
            let ripple = high - low;
            let share = 2.0 * accuracy + if probe == FILTERED { FILTER } else { 0.0 };
            for k in 1..2000 {
                let time = PERIOD * f64::from(k) / 2000.0 + 1e-10;
                let error = (exact.at(probe, time) - steps.at(probe, time)).abs();
                assert!(error < share * ripple, "{accuracy}: probe {probe} at {time}: {error} of {ripple}");
            }
        }
    }
}

/// The crawler with a saturating coil, and the same with winding capacitance across it.
fn saturating(winding_capacitance: Option<f64>) -> Network {
    use network::primitive::FluxLaw;
    let mut network = crawler();
    for branch in &mut network.branches {
        if let (Element::Inductor(_), "choke") = (&branch.element, branch.part.as_str()) {
            // 30 % of 330 uH lost at 150 mA, below the camera's current: ripple moves along the bend.
            let saturation_flux = (LC - 9e-6) * 0.15 / 0.6;
            branch.element = Element::Inductor(FluxLaw::tanh(LC, 9e-6, saturation_flux));
        }
    }
    if let Some(capacitance) = winding_capacitance {
        let law = network::primitive::ChargeLaw::Linear { capacitance };
        let choke = network
            .branches
            .iter()
            .find(|branch| branch.part == "choke" && matches!(branch.element, Element::Inductor(_)));
        let choke = choke.expect("a coil").clone();
        network.branches.push(network::primitive::Branch { element: Element::Capacitor(law), ..choke });
    }
    network
}

/// Exponential collocation against TR-BDF2: no common formula but the network's own laws.
///
/// The smooth road draws its parabolas to a tenth of what is asked and finds the periodic state to another tenth; what steps leave is less.
/// So half of what is asked holds, also for what is no state. TR-BDF2, asked for a tenth of the finest, adds at most that.
#[test]
fn saturating_roads_agree() {
    let network = saturating(None);
    let start = Start::Steady { period: Some(PERIOD) };
    let steps = record(&network, &request(start, 1e-3, 1e-7, Method::Stepping));
    for accuracy in [1e-4, 1e-5, 1e-6] {
        let smooth = record(&network, &request(start, 1e-3, accuracy, Method::Automatic));
        for probe in 0..3 {
            let (low, high) = steps.extremes(probe);
            let share = 0.5 * accuracy + if probe == FILTERED { FILTER } else { 1e-7 };
            for k in 1..2000 {
                let time = PERIOD * f64::from(k) / 2000.0 + 1e-10;
                let error = (smooth.at(probe, time) - steps.at(probe, time)).abs();
                assert!(
                    error < share * (high - low),
                    "{accuracy}: probe {probe} at {time}: {error} of {}",
                    high - low
                );
            }
        }
    }
}

/// Twelve picofarad across the winding ring at megahertz for hundreds of cycles, hardly damped: integrators of fixed order need
/// thousands of steps a period there. What is read must be as accurate as asked; the phase of so many cycles slips by more.
#[test]
fn ringing_winding() {
    let network = saturating(Some(12e-12));
    let start = Start::Steady { period: Some(PERIOD) };
    let coarse = record(&network, &request(start, 1e-3, 1e-4, Method::Automatic));
    let fine = record(&network, &request(start, 1e-3, 1e-6, Method::Automatic));
    for probe in 0..3 {
        let (low, high) = fine.extremes(probe);
        let (coarse_low, coarse_high) = coarse.extremes(probe);
        let allowed = 1e-4 * (high - low);
        assert!((coarse_low - low).abs() < allowed, "probe {probe}: {coarse_low} against {low}");
        assert!((coarse_high - high).abs() < allowed, "probe {probe}: {coarse_high} against {high}");
        let mean = (coarse.integral(probe) - fine.integral(probe)) / PERIOD;
        assert!(mean.abs() < allowed, "probe {probe}: means differ by {mean}");
    }
}

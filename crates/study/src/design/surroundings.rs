//! The harness around the place, as two ports: what it gives with almost a short in the place, and how it answers currents there.

use super::harmonics::coefficients;
use crate::point::common_period;
use engine::Complex;
use engine::frequency::{Bias, Excitation, Means, Path, frequency_response};
use language::description::{Harness, Place, Signal, Start};
use network::lowered::Lowered;
use network::primitive::{CurrentLaw, Element, GND, NodeIndex, Signal as Probed, Term};
use std::f64::consts::TAU;

/// Resistance in ohm of the wire that stands in the place while its surroundings are looked at.
pub(super) const TIE: f64 = 1e-3;
/// Lines of the sources that are looked at to find those that matter.
const MOST_LINES: usize = 4096;
/// Lines kept beyond those that waveforms are drawn of: the strongest as they are, and the strongest behind a filter that takes the
/// square of the frequency.
const KEPT: usize = 12;
/// Lines that waveforms are drawn of.
const DRAWN: usize = 128;
/// Moments at which waveforms are drawn.
pub(super) const MOMENTS: usize = 48;
/// A line whose sources are that much weaker than the strongest is none.
const NOTHING: f64 = 1e-9;
/// Harmonics of the fastest source that are looked at.
const HARMONICS: f64 = 5.0;

pub(super) type Matrix = [[Complex<f64>; 2]; 2];

/// One line: everything at one frequency.
#[derive(Clone, Debug)]
pub(super) struct Line {
    pub(super) frequency: f64,
    /// Voltages of the ports, from and to, against the return.
    pub(super) ports: [Complex<f64>; 2],
    /// Volts at a port for an ampere into a port.
    pub(super) impedance: Matrix,
    /// For each test point its value, and what an ampere into each port adds.
    pub(super) seen: Vec<(Complex<f64>, [Complex<f64>; 2])>,
}

/// The surroundings at one study point.
#[derive(Clone, Debug)]
pub(super) struct Surroundings {
    /// Direct voltages and currents first, then those that waveforms are drawn of, then others that matter.
    pub(super) lines: Vec<Line>,
    pub(super) drawing: Drawing,
    /// Least voltage in volt at which a load draws all of its current.
    pub(super) knee: f64,
    /// Mean voltage in volt of the load's side.
    pub(super) level: f64,
    /// Mean current in ampere through the place.
    pub(super) current: f64,
}

/// How a waveform is drawn of its lowest lines.
#[derive(Clone, Debug, Default)]
pub(super) struct Drawing {
    /// For each line, from the second of the point on, how it turns. The drawn sum is the waveform's own mean around each moment, with
    /// Fejer's kernel, which is nowhere negative.
    pub(super) turns: Vec<Turns>,
}

/// How a line turns.
#[derive(Clone, Debug)]
pub(super) struct Turns {
    /// What its amplitude counts with.
    pub(super) weight: f64,
    /// Cosine and sine at each moment, both with the weight.
    cosine: [f64; MOMENTS],
    sine: [f64; MOMENTS],
}

impl Turns {
    /// Adds a line of this complex amplitude to a drawn waveform.
    pub(super) fn add(&self, amplitude: Complex<f64>, drawn: &mut [f64; MOMENTS]) {
        for ((value, cosine), sine) in drawn.iter_mut().zip(&self.cosine).zip(&self.sine) {
            *value += amplitude.re * cosine - amplitude.im * sine;
        }
    }
}

/// Means over the period of the ports and the test points.
pub(super) struct Levels {
    pub(super) ports: [f64; 2],
    pub(super) seen: Vec<f64>,
    /// Mean current through the place in ampere.
    pub(super) current: f64,
}

/// The surroundings of a place with the tie in it, for the test points given by index.
///
/// # Errors
/// Why bounds over frequency would prove nothing here: the end of a sentence that begins with `because`.
pub(super) fn surroundings(
    harness: &Harness,
    place: &Place,
    testpoints: &[usize],
    levels: &Levels,
) -> Result<Surroundings, String> {
    let lowered = network::lowering::lower(harness, Start::Steady)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let knee = straight(&lowered)?;
    if let Some(part) = &lowered.aperiodic {
        return Err(part.clone());
    }
    let node = |name: &str| lowered.node(name).ok_or_else(|| format!("the node {name} is absent"));
    let back = node(&place.back)?;
    let ports = [(node(&place.from)?, back), (node(&place.to)?, back)];
    let seen = testpoints.iter().map(|index| ends(&lowered, &harness.testpoints[*index].signal));
    let seen =
        seen.collect::<Option<Vec<_>>>().ok_or("a requirement looks at more than a voltage of nodes")?;
    let bandwidths: Vec<Option<f64>> =
        testpoints.iter().map(|index| harness.testpoints[*index].bandwidth).collect();
    let (spectrum, sources, period) = spectrum(&lowered)?;
    let outputs: Vec<(NodeIndex, NodeIndex)> = ports.iter().chain(&seen).copied().collect();
    let injections = ports.map(|(into, out_of)| Excitation::Injection { into, out_of });
    let excitations = sources.iter().map(|branch| Excitation::Source(*branch)).chain(injections);
    let paths: Vec<Path> = excitations
        .flat_map(|excitation| {
            outputs.iter().map(move |(plus, minus)| Path { excitation, plus: *plus, minus: *minus })
        })
        .collect();
    let frequencies: Vec<f64> = std::iter::once(0.0).chain(spectrum.iter().map(|line| line.0)).collect();
    let bias = Bias::resting(&lowered.network).map_err(|failure| failure.to_string())?;
    let curves = frequency_response(&lowered.network, &bias, &paths, &frequencies)
        .map_err(|failure| failure.to_string())?;
    let value = |path: usize, at: usize| curves.values[path][at].unwrap_or(Complex::new(f64::NAN, 0.0));
    let width = outputs.len();
    let mut lines: Vec<Line> = Vec::with_capacity(frequencies.len());
    for (at, frequency) in frequencies.iter().enumerate() {
        let driven = |output: usize| -> Complex<f64> {
            let amplitudes = at.checked_sub(1).map(|line| &spectrum[line].1);
            amplitudes.map_or(Complex::new(0.0, 0.0), |amplitudes| {
                amplitudes.iter().enumerate().map(|(source, c)| *c * value(source * width + output, at)).sum()
            })
        };
        let injected = |port: usize, output: usize| value((sources.len() + port) * width + output, at);
        let is_direct = at == 0;
        let port_voltages = if is_direct {
            levels.ports.map(|level| Complex::new(level, 0.0))
        } else {
            [driven(0), driven(1)]
        };
        let seen = (0..seen.len()).map(|index| {
            let filter = bandwidths[index]
                .map_or(Complex::new(1.0, 0.0), |bandwidth| Complex::new(1.0, frequency / bandwidth).inv());
            let own = if is_direct { Complex::new(levels.seen[index], 0.0) } else { driven(2 + index) };
            let level = if is_direct { own } else { own * filter };
            (level, [0, 1].map(|port| injected(port, 2 + index) * filter))
        });
        let line = Line {
            frequency: *frequency,
            ports: port_voltages,
            impedance: [0, 1].map(|output| [0, 1].map(|port| injected(port, output))),
            seen: seen.collect(),
        };
        let entries = line.ports.iter().chain(line.impedance.iter().flatten());
        if entries
            .chain(line.seen.iter().flat_map(|(own, by)| std::iter::once(own).chain(by)))
            .all(|each| each.is_finite())
        {
            lines.push(line);
        } else if is_direct {
            return Err("nothing fixes the direct voltages around the place".to_owned());
        }
    }
    let (lines, drawing) = sorted(lines, period);
    Ok(Surroundings { lines, drawing, knee, level: levels.ports[1], current: levels.current })
}

/// The direct line, the lowest, and those that matter most; and how the lowest make a waveform.
fn sorted(mut lines: Vec<Line>, period: f64) -> (Vec<Line>, Drawing) {
    let mut rest = lines.split_off(1);
    let strength = |line: &Line| line.ports[1].norm();
    let behind = |line: &Line| strength(line) / (line.frequency * line.frequency);
    let most = rest.iter().map(strength).fold(0.0, f64::max);
    rest.retain(|line| strength(line) > NOTHING * most);
    let Some(main) = rest.iter().max_by(|one, other| behind(one).total_cmp(&behind(other))) else {
        return (lines, Drawing::default());
    };
    let moment = |moment: usize| moment as f64 / (MOMENTS as f64 * main.frequency);
    let moments: Vec<f64> = (0..MOMENTS).map(moment).collect();
    let drawn = DRAWN.min(rest.len());
    // The first line that is not among them, as a multiple of the lowest frequency.
    let order = rest.get(drawn).or(rest.last()).map_or(1.0, |line| line.frequency * period)
        + if drawn == rest.len() { 1.0 } else { 0.0 };
    let turns = |line: &Line| {
        let weight = 1.0 - line.frequency * period / order;
        let angle = |moment: usize| TAU * line.frequency * moments[moment];
        Turns {
            weight,
            cosine: std::array::from_fn(|moment| weight * angle(moment).cos()),
            sine: std::array::from_fn(|moment| weight * angle(moment).sin()),
        }
    };
    let drawing = Drawing { turns: rest[..drawn].iter().map(turns).collect() };
    lines.extend(rest.drain(..drawn));
    rest.sort_by(|one, other| strength(other).total_cmp(&strength(one)));
    lines.extend(rest.drain(..KEPT.min(rest.len())));
    rest.sort_by(|one, other| behind(other).total_cmp(&behind(one)));
    lines.extend(rest.drain(..KEPT.min(rest.len())));
    (lines, drawing)
}

/// Whether everything around the place is straight, loads of a constant current counted as such; gives the least voltage where they
/// are.
fn straight(lowered: &Lowered) -> Result<f64, String> {
    if !Means::new(&mut lowered.network.clone()).is_idle() {
        return Err("a part around the place bends (a saturating coil, a constant power, a diode)".to_owned());
    }
    let mut knee: f64 = f64::INFINITY;
    for branch in &lowered.network.branches {
        match &branch.element {
            Element::Load(CurrentLaw::Constant { threshold, .. }) => knee = knee.min(*threshold),
            Element::Load(CurrentLaw::Conductance(_)) => {}
            Element::Load(_) | Element::Controlled { .. } => {
                return Err(format!("{} has a law that bends or switches", branch.part));
            }
            Element::Switch { .. } => return Err(format!("{} switches", branch.part)),
            _ => {}
        }
    }
    Ok(if knee.is_finite() { knee } else { 0.0 })
}

/// The nodes between which a test point looks.
fn ends(lowered: &Lowered, signal: &Signal) -> Option<(NodeIndex, NodeIndex)> {
    let Probed::Linear(terms) = lowered.signal(signal)? else { return None };
    let node = |wanted: f64| {
        let mut of_sign = terms.iter().filter(|(sign, _)| *sign == wanted);
        match (of_sign.next(), of_sign.next()) {
            (None, _) => Some(GND),
            (Some((_, Term::NodeVoltage(node))), None) => Some(*node),
            _ => None,
        }
    };
    let plain = terms.iter().all(|(sign, _)| sign.abs() == 1.0);
    if plain { Some((node(1.0)?, node(-1.0)?)) } else { None }
}

type Spectrum = Vec<(f64, Vec<Complex<f64>>)>;

/// Lines of all sources that move: frequency, and the amplitude of each source; the sources' branches; and the period in seconds.
fn spectrum(lowered: &Lowered) -> Result<(Spectrum, Vec<usize>, f64), String> {
    let moving: Vec<usize> = (0..lowered.network.branches.len())
        .filter(|index| match &lowered.network.branches[*index].element {
            Element::CurrentSource(waveform) | Element::VoltageSource(waveform) => {
                !waveform.periods().is_empty()
            }
            _ => false,
        })
        .collect();
    if moving.is_empty() {
        return Ok((Vec::new(), Vec::new(), 1.0));
    }
    let period = common_period(lowered).ok_or("the sources have no common period that can be waited for")?;
    let shortest =
        lowered.periods.iter().map(network::waveform::period::Period::seconds).fold(period, f64::min);
    let count = ((HARMONICS * period / shortest).ceil() as usize).clamp(DRAWN, MOST_LINES);
    let mut amplitudes = Vec::with_capacity(moving.len());
    for index in &moving {
        let (Element::CurrentSource(waveform) | Element::VoltageSource(waveform)) =
            &lowered.network.branches[*index].element
        else {
            continue;
        };
        amplitudes
            .push(coefficients(waveform, period, count).ok_or("a source has too many corners a period")?);
    }
    let line = |index: usize| {
        let frequency = (index + 1) as f64 / period;
        (frequency, amplitudes.iter().map(|source| source[index]).collect())
    };
    Ok(((0..count).map(line).collect(), moving, period))
}

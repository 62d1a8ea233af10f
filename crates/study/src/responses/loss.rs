//! Insertion loss of an assembly by CISPR 17: what it takes away between a source and a load that are both resistances.

use super::peak::{between, highest};
use super::view::View;
use crate::result::{InstanceLoss, Line};
use engine::Complex;
use engine::frequency::{Bias, Neighbours, Path, Sloped, frequency_response, resonances, slopes};
use language::description::{Harness, Start};
use network::lowered::Lowered;
use network::primitive::{Branch, Element, GND, Network, NodeIndex};
use network::waveform::Waveform;
use std::collections::HashMap;

/// Names of the branches that stand around the assembly; no part can bear them.
const SOURCE: &str = "(source)";
const LOAD: &str = "(load)";

/// An instance of an assembly alone between source and load, with the voltages of its coils and capacitors as in the vehicle.
///
/// Its parts stand between the first two terminals and gnd; further terminals are tied to gnd, as the return of a filter is.
pub(crate) struct Loss {
    network: Network,
    bias: Bias,
    path: Path,
    /// Voltage of the load for one volt of the source without the assembly, Zl / (Zs + Zl).
    without: f64,
}

impl Loss {
    /// The network of an instance; `None` where it is absent, or its first two terminals are no two nodes apart from gnd.
    pub(crate) fn new(
        harness: &Harness,
        lowered: &Lowered,
        bias: &Bias,
        instance: &str,
        [source, load]: [f64; 2],
    ) -> Option<Self> {
        let instance = harness.instances.iter().find(|known| known.name == instance)?;
        let inside = format!("{}.", instance.name);
        let mut alone = harness.clone();
        alone.parts.retain(|part| part.name.starts_with(&inside));
        let found = network::lowering::lower(&alone, Start::Steady).ok()?;
        let mut network = found.network;
        let owners = |network: &Network| -> Vec<String> {
            network.branches.iter().map(|branch| branch.part.clone()).collect()
        };
        let mut same = same_of_same(&owners(&network), &owners(&lowered.network));
        let owners = |network: &Network| -> Vec<String> {
            network.cores.iter().map(|core| core.part.clone()).collect()
        };
        let same_cores = same_of_same(&owners(&network), &owners(&lowered.network));
        let mut terminals = instance.nodes.iter().map(|node| node_of(&mut network, node));
        let (input, output) = (terminals.next()?, terminals.next()?);
        let others: Vec<NodeIndex> = terminals.collect();
        if input == output || input == GND || output == GND {
            return None;
        }
        network.nodes.push(SOURCE.to_owned());
        let emf = network.nodes.len() - 1;
        let mut add = |part: &str, left, right, element| {
            network.branches.push(Branch { part: part.to_owned(), left, right, element });
            network.branches.len() - 1
        };
        let branch = add(SOURCE, emf, GND, Element::VoltageSource(Waveform::Constant(0.0)));
        add(SOURCE, emf, input, Element::Resistor(source));
        add(LOAD, output, GND, Element::Resistor(load));
        let mut tied = vec![GND, input, output];
        for node in others {
            if !tied.contains(&node) {
                tied.push(node);
                add(SOURCE, node, GND, Element::VoltageSource(Waveform::Constant(0.0)));
            }
        }
        same.resize(network.branches.len(), None);
        let path = Path::transfer(branch, output, GND);
        Some(Self {
            network,
            bias: bias.carried_over(&same, &same_cores),
            path,
            without: load / (source + load),
        })
    }

    /// V20 / V2 at each frequency: the load's voltage without the assembly by that with it.
    pub(crate) fn at(&self, frequencies: &[f64]) -> Result<Vec<Option<Complex<f64>>>, String> {
        let found = frequency_response(&self.network, &self.bias, &[self.path], frequencies)
            .map_err(|failure| failure.to_string())?;
        let ratio = |with: &Option<Complex<f64>>| {
            let ratio = Complex::new(self.without, 0.0) / (*with)?;
            (ratio.re.is_finite() && ratio.im.is_finite()).then_some(ratio)
        };
        Ok(found.values[0].iter().map(ratio).collect())
    }

    /// V20 / V2 at one frequency, and its slope by each value, given the same instance with each value a little lower and higher.
    pub(super) fn slopes(
        &self,
        frequency: f64,
        others: &[([&Self; 2], f64)],
    ) -> Result<Option<Sloped>, String> {
        let neighbours: Vec<Neighbours<'_>> = others
            .iter()
            .map(|(pair, width)| Neighbours {
                networks: pair.map(|loss| (&loss.network, &loss.bias)),
                width: *width,
            })
            .collect();
        let found = slopes(&self.network, &self.bias, &self.path, frequency, &neighbours)
            .map_err(|failure| failure.to_string())?;
        let Some((with, by_value)) = found else { return Ok(None) };
        let ratio = Complex::new(self.without, 0.0) / with;
        let slope = |(([low, high], width), slope): (&([&Self; 2], f64), &Complex<f64>)| {
            -ratio * slope / with + Complex::new((high.without - low.without) / width, 0.0) / with
        };
        let by_value = others.iter().zip(&by_value).map(slope).collect();
        Ok((ratio.re.is_finite() && ratio.im.is_finite()).then_some((ratio, by_value)))
    }

    /// The least |V20 / V2| between two frequencies in hertz.
    pub(crate) fn least(&self, band: (f64, f64)) -> Result<Option<f64>, String> {
        Ok(self.lowest(band)?.map(|(_, ratio)| ratio))
    }

    /// The same with its frequency before it.
    pub(super) fn lowest(&self, (low, high): (f64, f64)) -> Result<Option<(f64, f64)>, String> {
        let swings = resonances(&self.network, &self.bias).map_err(|failure| failure.to_string())?;
        let inverse = |frequencies: &[f64]| -> Result<Vec<Option<f64>>, String> {
            Ok(self.at(frequencies)?.iter().map(|ratio| ratio.map(|ratio| 1.0 / ratio.norm())).collect())
        };
        Ok(highest(&inverse, between(low, high, &swings))?
            .map(|(frequency, inverse)| (frequency, 1.0 / inverse)))
    }
}

/// Resistances before and after in ohm: the usual ones, and the two extremes, of CISPR 17.
const ENDS: [[f64; 2]; 3] = [[50.0, 50.0], [0.1, 100.0], [100.0, 0.1]];

/// The losses of every instance of a point at frequencies of its choice.
pub(super) fn losses(view: &View<'_>, decades: &[f64], lines: &[Line]) -> Result<Vec<InstanceLoss>, String> {
    let all: Vec<f64> = decades.iter().copied().chain(lines.iter().map(|line| line.frequency)).collect();
    let mut losses = Vec::new();
    for instance in &view.harness.instances {
        for ends in ENDS {
            let Some(loss) = Loss::new(view.harness, view.lowered, &view.bias, &instance.name, ends) else {
                continue;
            };
            let ratios: Vec<Option<f64>> =
                loss.at(&all)?.iter().map(|ratio| ratio.map(Complex::norm)).collect();
            let (at_decades, at_lines) = ratios.split_at(decades.len());
            losses.push(InstanceLoss {
                instance: instance.name.clone(),
                source: ends[0],
                load: ends[1],
                decades: decades.iter().copied().zip(at_decades.iter().copied()).collect(),
                at_lines: at_lines.to_vec(),
            });
        }
    }
    Ok(losses)
}

/// The node of that name, made where no part of the instance touches it.
fn node_of(network: &mut Network, name: &str) -> NodeIndex {
    network.nodes.iter().position(|known| known == name).unwrap_or_else(|| {
        network.nodes.push(name.to_owned());
        network.nodes.len() - 1
    })
}

/// For each of some things that parts own, the place of the same one of the same part among others: a part is lowered alike wherever
/// it stands.
fn same_of_same(owners: &[String], others: &[String]) -> Vec<Option<usize>> {
    let mut by_part: HashMap<&str, Vec<usize>> = HashMap::new();
    for (index, owner) in others.iter().enumerate() {
        by_part.entry(owner).or_default().push(index);
    }
    let mut seen: HashMap<&str, usize> = HashMap::new();
    let same = owners.iter().map(|owner| {
        let seen = seen.entry(owner).or_default();
        *seen += 1;
        by_part.get(owner.as_str())?.get(*seen - 1).copied()
    });
    same.collect()
}

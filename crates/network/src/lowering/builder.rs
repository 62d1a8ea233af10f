//! The network while it is made: nodes by name, and parts as chains of links between two nodes.

use super::LoweringError;
use super::cutset;
use crate::lowered::{Limits, Lowered, LoweredPart, Sum, Warning, voltage_between};
use crate::primitive::{Branch, BranchIndex, Core, Element, GND, Network, NodeIndex, Term};
use crate::waveform::Waveform;
use crate::waveform::period::Period;
use language::Kind;
use language::description::{Harness, Part, Start};
use rustc_hash::FxHashMap as HashMap;

/// The network while it is made.
pub(super) struct Builder {
    pub(super) start: Start,
    network: Network,
    by_name: HashMap<String, NodeIndex>,
    parts: Vec<LoweredPart>,
    assumptions: Vec<String>,
    warnings: Vec<Warning>,
    periods: Vec<Period>,
    aperiodic: Option<String>,
    errors: Vec<LoweringError>,
}

/// One link of a chain: elements in parallel.
pub(super) struct Link {
    /// What it is; the node where it begins, if that is inside the part, is called `PART.place`.
    place: &'static str,
    elements: Vec<Element>,
}

/// A link that is in the network.
pub(super) struct Placed {
    pub(super) left: NodeIndex,
    pub(super) right: NodeIndex,
    /// One branch an element, in the link's order.
    pub(super) branches: Vec<BranchIndex>,
    /// Whether the branches point from right to left.
    reversed: bool,
}

impl Link {
    /// Elements in parallel; none make the link vanish.
    pub(super) fn new(place: &'static str, elements: Vec<Element>) -> Self {
        Self { place, elements }
    }

    /// A resistance in ohm, left out where 0.
    pub(super) fn resistance(place: &'static str, resistance: f64) -> Self {
        Self::new(place, if resistance > 0.0 { vec![Element::Resistor(resistance)] } else { Vec::new() })
    }

    /// A linear inductance in henry, left out where 0.
    pub(super) fn inductance(place: &'static str, inductance: f64) -> Self {
        let law = parts::flux_law::FluxLaw::Linear { inductance };
        Self::new(place, if inductance > 0.0 { vec![Element::Inductor(law)] } else { Vec::new() })
    }

    /// A voltage that pushes current to the right.
    pub(super) fn push(waveform: Waveform) -> Self {
        Self::new(PUSH, vec![Element::VoltageSource(waveform)])
    }

    /// Whether current that flows to the right through the chain flows against the branch: a source's branch has its plus
    /// on the left, and one that pushes has it on the right.
    fn is_reversed(&self) -> bool {
        self.place == PUSH
    }
}

/// Place of a pushing voltage.
const PUSH: &str = "emf";

impl Placed {
    /// Current through the link from left to right.
    pub(super) fn current(&self) -> Sum {
        let sign = if self.reversed { -1.0 } else { 1.0 };
        self.branches.iter().map(|&branch| (sign, Term::BranchCurrent(branch))).collect()
    }

    /// Voltage of the link's left end against its right end.
    pub(super) fn voltage(&self) -> Sum {
        voltage_between(self.left, self.right)
    }
}

impl Builder {
    pub(super) fn new(start: Start) -> Self {
        let gnd = "gnd".to_owned();
        Self {
            start,
            network: Network { nodes: vec![gnd.clone()], ..Network::default() },
            by_name: std::iter::once((gnd, GND)).collect(),
            parts: Vec::new(),
            assumptions: Vec::new(),
            warnings: Vec::new(),
            periods: Vec::new(),
            aperiodic: None,
            errors: Vec::new(),
        }
    }

    /// The node of that name, made where there is none yet.
    pub(super) fn node(&mut self, name: &str) -> NodeIndex {
        if let Some(&node) = self.by_name.get(name) {
            return node;
        }
        let node = self.network.nodes.len();
        self.network.nodes.push(name.to_owned());
        self.by_name.insert(name.to_owned(), node);
        node
    }

    /// Both ends of a part.
    pub(super) fn ends(&mut self, part: &Part) -> (NodeIndex, NodeIndex) {
        (self.node(&part.left), self.node(&part.right))
    }

    /// Adds one branch of a part.
    pub(super) fn branch(
        &mut self,
        part: &Part,
        left: NodeIndex,
        right: NodeIndex,
        element: Element,
    ) -> BranchIndex {
        self.network.branches.push(Branch { part: part.name.clone(), left, right, element });
        self.network.branches.len() - 1
    }

    /// Adds a core that couples inductor branches.
    pub(super) fn core(&mut self, core: Core) {
        self.network.cores.push(core);
    }

    /// Adds a part's links one after another from `left` to `right`; a short where nothing is left of them.
    pub(super) fn chain(
        &mut self,
        part: &Part,
        left: NodeIndex,
        right: NodeIndex,
        links: Vec<Link>,
    ) -> Vec<Placed> {
        let mut links: Vec<Link> = links.into_iter().filter(|link| !link.elements.is_empty()).collect();
        if links.is_empty() {
            links.push(Link::new("short", vec![Element::VoltageSource(Waveform::Constant(0.0))]));
        }
        let begins: Vec<NodeIndex> = links
            .iter()
            .enumerate()
            .map(
                |(index, link)| {
                    if index == 0 { left } else { self.node(&format!("{}.{}", part.name, link.place)) }
                },
            )
            .collect();
        let mut placed = Vec::with_capacity(links.len());
        for (index, link) in links.into_iter().enumerate() {
            let (begin, end) = (begins[index], begins.get(index + 1).copied().unwrap_or(right));
            let reversed = link.is_reversed();
            let (plus, minus) = if reversed { (end, begin) } else { (begin, end) };
            let branches =
                link.elements.into_iter().map(|element| self.branch(part, plus, minus, element)).collect();
            placed.push(Placed { left: begin, right: end, branches, reversed });
        }
        placed
    }

    /// Enters a part that is in the network, with its current from left to right.
    ///
    /// Batteries, supplies, generators and sources of voltage push: their voltage is right minus left. For both, the current from left to right
    /// is the one that the language counts.
    pub(super) fn enter(&mut self, part: &Part, current: Sum) -> &mut LoweredPart {
        let (left, right) = self.ends(part);
        let pushes = match part.kind {
            Kind::Battery | Kind::Supply | Kind::Generator => true,
            Kind::Source => part.properties.contains_key("voltage"),
            _ => false,
        };
        let voltage = if pushes { voltage_between(right, left) } else { voltage_between(left, right) };
        self.parts.push(LoweredPart {
            name: part.name.clone(),
            kind: part.kind,
            left,
            right,
            voltage,
            current,
            inductor: None,
            source: None,
            charge_voltage: None,
            also: Vec::new(),
            picture: None,
            facts: Vec::new(),
            mass: part.number("mass"),
            limits: Limits::default(),
        });
        let last = self.parts.len() - 1;
        &mut self.parts[last]
    }

    /// Enters a part whose links all carry its current; a link of few branches makes the shortest sum.
    pub(super) fn enter_chain(&mut self, part: &Part, placed: &[Placed]) -> &mut LoweredPart {
        let shortest = placed.iter().min_by_key(|link| (link.branches.len(), link.reversed));
        self.enter(part, shortest.map_or_else(Vec::new, Placed::current))
    }

    /// Takes note of the periods of a source that is on.
    pub(super) fn add_periods(&mut self, waveform: &Waveform) {
        for period in waveform.periods() {
            if !self.periods.contains(&period) {
                self.periods.push(period);
            }
        }
    }

    /// A period that can't be held exactly can't be brought together with others.
    fn look_for_unknown_periods(&mut self) {
        let unknown = self.network.branches.iter().find(|branch| match &branch.element {
            Element::VoltageSource(waveform)
            | Element::CurrentSource(waveform)
            | Element::Switch { control: waveform, .. } => waveform.has_unknown_period(),
            _ => false,
        });
        if let Some(part) = unknown.map(|branch| branch.part.clone()) {
            self.set_aperiodic(format!(
                "a period of `{part}` is too long or too short to be counted exactly"
            ));
        }
    }

    /// Takes note that no steady state exists.
    pub(super) fn set_aperiodic(&mut self, reason: String) {
        self.aperiodic.get_or_insert(reason);
    }

    pub(super) fn assume(&mut self, part: &Part, assumptions: Vec<String>) {
        let sentences = assumptions.into_iter().map(|assumption| format!("{}: {assumption}", part.name));
        self.assumptions.extend(sentences);
    }

    pub(super) fn warn(&mut self, part: &Part, code: &'static str, text: &str) {
        let about = part.name.clone();
        self.warnings.push(Warning { code, about, weight: 0.0, text: format!("{}: {text}", part.name) });
    }

    pub(super) fn remark(&mut self, part: &Part, remarks: Vec<parts::Remark>) {
        for remark in remarks {
            self.warn(part, remark.code, &remark.text);
        }
    }

    pub(super) fn add_errors(&mut self, part: &Part, mistakes: Vec<parts::Mistake>) {
        self.errors.extend(mistakes.into_iter().map(|mistake| LoweringError {
            code: mistake.code,
            part: part.name.clone(),
            property: mistake.property.to_owned(),
            message: mistake.message,
            help: mistake.help,
        }));
    }

    /// The lowered harness, or every error.
    pub(super) fn finish(mut self, harness: &Harness) -> Result<Lowered, Vec<LoweringError>> {
        self.look_for_unknown_periods();
        if self.errors.is_empty() {
            self.errors = cutset::jumps_into_inductance(harness, &self.network);
            self.errors.extend(cutset::jumps_into_capacitance(harness, &self.network, self.start));
        }
        if !self.errors.is_empty() {
            return Err(self.errors);
        }
        Ok(Lowered {
            network: self.network,
            parts: self.parts,
            assumptions: self.assumptions,
            warnings: self.warnings,
            periods: self.periods,
            aperiodic: self.aperiodic,
        })
    }
}

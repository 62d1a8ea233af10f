//! What can be told from the drawing alone: which nodes hang together, which storage elements are not independent.
//!
//! Two patterns make the equations of a network differential-algebraic of index 2 (Bächle and Ebert, "Element-based
//! topological index reduction for differential-algebraic equations in circuit simulation", 2005, from memory):
//! a cut that only inductors and current sources cross, where the currents are bound and the voltage follows from
//! their slopes; and a loop of capacitors and voltage sources, where the voltages are bound and the current follows from
//! their slopes. Both are found here, by contracting the drawing, so that the rest of the engine never differentiates
//! numerically.

use crate::equations::{Ends, Equations};
use crate::failure::Failure;
use network::primitive::{Element, Network, NodeIndex};

/// Joins nodes into groups.
#[derive(Clone, Debug)]
pub(crate) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    pub(crate) fn new(nodes: usize) -> Self {
        Self { parent: (0..nodes).collect() }
    }

    pub(crate) fn find(&mut self, node: usize) -> usize {
        let mut root = node;
        while self.parent[root] != root {
            root = self.parent[root];
        }
        let mut at = node;
        while self.parent[at] != root {
            at = std::mem::replace(&mut self.parent[at], root);
        }
        root
    }

    /// Joins both groups; false when they were one already.
    pub(crate) fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.find(a), self.find(b));
        // The smaller index stays root, so that gnd's group has root 0.
        self.parent[a.max(b)] = a.min(b);
        a != b
    }
}

/// Checks that every node hangs together and that no sources contradict each other.
pub(crate) fn check(network: &Network) -> Result<(), Failure> {
    let mut any = Groups::new(network.nodes.len());
    let mut without_currents = Groups::new(network.nodes.len());
    let mut voltages = Groups::new(network.nodes.len());
    for (index, branch) in network.branches.iter().enumerate() {
        any.join(branch.left, branch.right);
        if !matches!(branch.element, Element::CurrentSource(_)) {
            without_currents.join(branch.left, branch.right);
        }
        if matches!(branch.element, Element::VoltageSource(_)) && !voltages.join(branch.left, branch.right) {
            return Err(source_loop(network, index));
        }
    }
    for node in 1..network.nodes.len() {
        let failure = if any.find(node) != 0 {
            |node, parts| Failure::FloatingNode { node, parts }
        } else if without_currents.find(node) != 0 {
            |node, parts| Failure::OnlyCurrents { node, parts }
        } else {
            continue;
        };
        return Err(failure(network.nodes[node].clone(), touching(network, node)));
    }
    Ok(())
}

fn touching(network: &Network, node: NodeIndex) -> Vec<String> {
    let touches = network.branches.iter().filter(|branch| branch.left == node || branch.right == node);
    touches.map(|branch| branch.part.clone()).collect()
}

/// The voltage sources on the path that `closing` closes to a loop.
fn source_loop(network: &Network, closing: usize) -> Failure {
    let last = &network.branches[closing];
    let edges: Vec<(usize, NodeIndex, NodeIndex)> = network.branches[..closing]
        .iter()
        .enumerate()
        .filter(|(_, branch)| matches!(branch.element, Element::VoltageSource(_)))
        .map(|(index, branch)| (index, branch.left, branch.right))
        .collect();
    let path = path(&edges, network.nodes.len(), last.left, last.right);
    let mut parts: Vec<String> = path.iter().map(|(edge, _)| network.branches[*edge].part.clone()).collect();
    parts.push(last.part.clone());
    Failure::SourceLoop { parts }
}

/// Edges, each with the sign of travel, from one node to another in a forest.
fn path(
    edges: &[(usize, NodeIndex, NodeIndex)],
    nodes: usize,
    from: NodeIndex,
    to: NodeIndex,
) -> Vec<(usize, f64)> {
    let mut adjacent: Vec<Vec<(usize, NodeIndex, f64)>> = vec![Vec::new(); nodes];
    for &(edge, left, right) in edges {
        adjacent[left].push((edge, right, 1.0));
        adjacent[right].push((edge, left, -1.0));
    }
    let mut arrived: Vec<Option<(usize, NodeIndex, f64)>> = vec![None; nodes];
    let mut todo = vec![from];
    while let Some(node) = todo.pop() {
        for &(edge, next, sign) in &adjacent[node] {
            if next != from && arrived[next].is_none() {
                arrived[next] = Some((edge, node, sign));
                todo.push(next);
            }
        }
    }
    let mut steps = Vec::new();
    let mut at = to;
    while at != from {
        let Some((edge, before, sign)) = arrived[at] else { return Vec::new() };
        steps.push((edge, sign));
        at = before;
    }
    steps
}

/// A group of nodes that only inductors and fixed currents leave: those currents sum to zero.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    /// The node whose sum of currents repeats what the cut says.
    pub(crate) node: NodeIndex,
    /// Inductors that cross, +1 where the current leaves the group.
    pub(crate) inductors: Vec<(usize, f64)>,
    /// Sources (see [`Storage::loads_offset`]) that cross.
    pub(crate) sources: Vec<(usize, f64)>,
}

/// A capacitor whose voltage is bound by other capacitors and voltage sources.
#[derive(Clone, Debug)]
pub(crate) struct Loop {
    /// The bound capacitor.
    pub(crate) capacitor: usize,
    /// Its voltage is the signed sum of these capacitors' voltages …
    pub(crate) capacitors: Vec<(usize, f64)>,
    /// … and of these sources.
    pub(crate) sources: Vec<(usize, f64)>,
}

/// Which storage elements are independent of each other.
#[derive(Clone, Debug)]
pub(crate) struct Storage {
    pub(crate) cuts: Vec<Cut>,
    /// One inductor a cut, whose current follows from the others'.
    pub(crate) bound_inductors: Vec<usize>,
    pub(crate) free_inductors: Vec<usize>,
    pub(crate) loops: Vec<Loop>,
    pub(crate) free_capacitors: Vec<usize>,
}

impl Storage {
    /// Contracts the drawing. `fixed[k]` tells whether load k draws a fixed current where it works now; the constant part
    /// of load k's current counts as source number `sources + k`.
    pub(crate) fn new(equations: &Equations<'_>, fixed: &[bool]) -> Result<Self, Failure> {
        let (loops, free_capacitors) = loops(equations);
        let (cuts, bound_inductors) = cuts(equations, fixed)?;
        let free_inductors =
            (0..equations.inductors.len()).filter(|k| !bound_inductors.contains(k)).collect();
        Ok(Self { cuts, bound_inductors, free_inductors, loops, free_capacitors })
    }
}

fn loops(equations: &Equations<'_>) -> (Vec<Loop>, Vec<usize>) {
    let nodes = equations.network.nodes.len();
    let mut groups = Groups::new(nodes);
    // Edges numbered: voltage sources first, then capacitors.
    let sources = equations.voltage_sources.len();
    let mut edges = Vec::new();
    for (k, (ends, _)) in equations.voltage_sources.iter().enumerate() {
        groups.join(ends.left, ends.right);
        edges.push((k, ends.left, ends.right));
    }
    let (mut loops, mut free) = (Vec::new(), Vec::new());
    for (k, (ends, _)) in equations.capacitors.iter().enumerate() {
        if groups.join(ends.left, ends.right) {
            edges.push((sources + k, ends.left, ends.right));
            free.push(k);
            continue;
        }
        let mut bound = Loop { capacitor: k, capacitors: Vec::new(), sources: Vec::new() };
        for (edge, sign) in path(&edges, nodes, ends.left, ends.right) {
            if edge < sources {
                bound.sources.push((equations.voltage_sources[edge].1, sign));
            } else {
                bound.capacitors.push((edge - sources, sign));
            }
        }
        loops.push(bound);
    }
    (loops, free)
}

fn cuts(equations: &Equations<'_>, fixed: &[bool]) -> Result<(Vec<Cut>, Vec<usize>), Failure> {
    let nodes = equations.network.nodes.len();
    let mut groups = Groups::new(nodes);
    let mut joined = |ends: &Ends| {
        groups.join(ends.left, ends.right);
    };
    equations.resistors.iter().for_each(|(ends, _)| joined(ends));
    equations.capacitors.iter().for_each(|(ends, _)| joined(ends));
    equations.voltage_sources.iter().for_each(|(ends, _)| joined(ends));
    let loads = equations.loads.iter().zip(fixed);
    loads.filter(|(_, fixed)| !**fixed).for_each(|(load, _)| joined(&load.ends));

    let roots: Vec<usize> = (0..nodes).map(|node| groups.find(node)).collect();
    let mut cuts = Vec::new();
    let mut bound = Vec::new();
    for node in (1..nodes).filter(|node| roots[*node] == *node) {
        let crossing = |ends: &Ends| match (roots[ends.left] == node, roots[ends.right] == node) {
            (true, false) => Some(1.0),
            (false, true) => Some(-1.0),
            _ => None,
        };
        let inductors = equations.inductors.iter().enumerate();
        let inductors = inductors.filter_map(|(k, (ends, _))| crossing(ends).map(|sign| (k, sign))).collect();
        let currents = equations.current_sources.iter().map(|(ends, source)| (*source, ends));
        let loads = equations.loads.iter().enumerate();
        let loads = loads.map(|(k, load)| (equations.sources.len() + k, &load.ends));
        let sources =
            currents.chain(loads).filter_map(|(s, ends)| crossing(ends).map(|sign| (s, sign))).collect();
        cuts.push(Cut { node, inductors, sources });
    }
    // A spanning tree of inductors over the groups: as many bound currents as cuts.
    let mut trees = Groups::new(nodes);
    for (k, (ends, _)) in equations.inductors.iter().enumerate() {
        if trees.join(roots[ends.left], roots[ends.right]) {
            bound.push(k);
        }
    }
    for cut in &cuts {
        if trees.find(cut.node) != 0 {
            let network = equations.network;
            let members =
                (1..nodes).find(|node| roots[*node] == cut.node && !touching(network, *node).is_empty());
            let node = members.unwrap_or(cut.node);
            return Err(Failure::OnlyCurrents {
                node: network.nodes[node].clone(),
                parts: touching(network, node),
            });
        }
    }
    Ok((cuts, bound))
}

//! The complex equations of a network around a bias.

use super::carriers::Carriers;
use super::spread::Spread;
use crate::equations::{Ends, Equations, stamp_current, stamp_transconductance, stamp_voltage};
use crate::linear::{Assembly, Factors, Singular, Stamp, depth_first, minimum_degree};
use crate::snapshot::Slopes;
use nalgebra::Complex;
use network::primitive::NodeIndex;

/// From this capacitance in farad on, a capacitor's current is an unknown of its own. A battery's slow pair of farads is a thousand million
/// siemens at 30 MHz: as the difference of two rounded node voltages times that, its current would lose its digits.
const LARGE: f64 = 1e-2;

/// Pivots that were chosen at another frequency are kept while each is this part of its column: a third of what fresh ones are at least.
pub(super) const SOUND: f64 = 0.03;

/// Slopes of all laws.
pub(super) struct Linear {
    /// Of the loads, in siemens.
    pub(super) conductances: Vec<f64>,
    pub(super) storage: Slopes,
}

/// The laws' slopes at a bias, and the factors of their equations.
pub(super) struct SmallSignal<'e, 'n> {
    equations: &'e Equations<'n>,
    /// Ends, controlling nodes, conductance.
    conductances: Vec<(Ends, Ends, f64)>,
    storage: Slopes,
    carriers: Carriers,
    /// Where each unknown of the equations stands among those that are solved for, and the other way round; those of large capacitors are
    /// behind all others.
    places: Vec<u32>,
    unknowns: Vec<u32>,
    /// Ends and capacitances of capacitors whose currents are unknowns, behind all others.
    large: Vec<(Ends, f64)>,
    assembly: Assembly<Complex<f64>>,
    /// Unknown that is eliminated last.
    last: Option<usize>,
    order: Vec<u32>,
    factors: Option<Factors<Complex<f64>>>,
    spread: Option<Spread>,
    room: Vec<Complex<f64>>,
}

impl<'e, 'n> SmallSignal<'e, 'n> {
    /// All unknowns of the equations.
    pub(super) fn new(equations: &'e Equations<'n>, linear: Linear) -> Self {
        Self::with_carriers(equations, linear, Carriers::alone(equations))
    }

    /// Without nodes that lie inside a branch, but with those to be kept.
    pub(super) fn reduced(equations: &'e Equations<'n>, linear: Linear, kept: &[NodeIndex]) -> Self {
        Self::with_carriers(equations, linear, Carriers::with_resistors(equations, kept))
    }

    fn with_carriers(equations: &'e Equations<'n>, linear: Linear, carriers: Carriers) -> Self {
        let resistors = equations.resistors.iter().zip(&carriers.spent).filter(|(_, spent)| !**spent);
        let resistors = resistors.map(|((ends, conductance), _)| (*ends, *ends, *conductance));
        let loads = equations.loads.iter().zip(linear.conductances);
        let loads = loads.map(|(load, conductance)| (load.ends, load.control, conductance));
        let capacitors = equations.capacitors.iter().zip(&linear.storage.capacitances);
        let large: Vec<(Ends, f64)> = capacitors
            .filter(|(_, capacitance)| **capacitance >= LARGE)
            .map(|((ends, _), capacitance)| (*ends, *capacitance))
            .collect();
        let all = equations.size() + large.len();
        let mut places = vec![0; all];
        let mut unknowns = Vec::with_capacity(all);
        for (unknown, place) in places.iter_mut().enumerate() {
            // Nodes come first among the unknowns.
            if unknown >= equations.nodes || !carriers.inner[unknown + 1] {
                *place = unknowns.len() as u32;
                unknowns.push(unknown as u32);
            }
        }
        Self {
            equations,
            conductances: resistors.chain(loads).collect(),
            storage: linear.storage,
            carriers,
            places,
            assembly: Assembly::new(unknowns.len()),
            unknowns,
            large,
            last: None,
            order: Vec::new(),
            factors: None,
            spread: None,
            room: Vec::new(),
        }
    }

    /// Where an unknown of the equations stands among those that are solved for.
    pub(super) fn place(&self, unknown: usize) -> usize {
        self.places[unknown] as usize
    }

    /// Has an unknown eliminated last: where it alone is looked at, no other has to be solved for.
    pub(super) fn with_last(mut self, unknown: Option<usize>) -> Self {
        self.last = unknown;
        self
    }

    /// What frequencies that are solved side by side start from: the factors of the frequency that was solved last, and the matrix as it
    /// keeps its pattern; `None` before, and where so much fills in that no plan pays.
    pub(super) fn base(&self) -> Option<(&Factors<Complex<f64>>, &Spread)> {
        let factors = self.factors.as_ref().filter(|factors| factors.can_be_listed());
        factors.zip(self.spread.as_ref())
    }

    /// Number of unknowns that are solved for.
    pub(super) fn size(&self) -> usize {
        self.unknowns.len()
    }

    /// Factors G + j omega C at an angular frequency in rad/s.
    pub(super) fn factor(&mut self, omega: f64) -> Result<(), Singular> {
        self.spread_out();
        let matrix = match &mut self.spread {
            Some(spread) if omega > spread.from => spread.at(omega),
            _ => {
                self.stamp(omega);
                self.assembly.finish().0
            }
        };
        if self.order.is_empty() {
            self.order = depth_first(matrix, self.last);
        }
        let sound = |factors: &Factors<_>| factors.weakest_pivot() >= SOUND;
        let kept = self.factors.take().and_then(|mut factors| factors.refactor(matrix).then_some(factors));
        self.factors = match kept.filter(sound) {
            Some(factors) => Some(factors),
            None => match Factors::new(matrix, &self.order) {
                Ok(factors) => Some(factors),
                Err(singular) => return Err(self.told(singular)),
            },
        };
        Ok(())
    }

    /// Solves (G + j omega C) x = b in place with the factors that are there.
    pub(super) fn solve(&mut self, right: &mut [Complex<f64>]) {
        if let Some(factors) = &self.factors {
            factors.solve_with(right, &mut self.room);
        }
    }

    /// The column in terms of the network's own unknowns: a large capacitor's current is told by one of its nodes.
    fn told(&self, singular: Singular) -> Singular {
        let column = self.unknowns[singular.column] as usize;
        let ends = column.checked_sub(self.equations.size()).and_then(|index| self.large.get(index));
        let column = ends.map_or(column, |(ends, _)| ends.left.max(ends.right).saturating_sub(1));
        Singular { column }
    }

    /// Separates what changes with frequency from what does not, once.
    fn spread_out(&mut self) {
        if self.spread.is_some() {
            return;
        }
        // Without large capacitors the matrix is written the same way at all frequencies, zero among them.
        let from = self.large.iter().map(|(_, capacitance)| 1.0 / capacitance).fold(-1.0, f64::max);
        // Conductances are real and susceptances imaginary, so that nothing is lost where they are told apart. Large capacitors are
        // written the same way at all of these.
        let omega = 2.0 * from.max(0.0) + 1.0;
        self.stamp(omega);
        // Only where there are large capacitors is a matrix of another frequency still stamped.
        let matrix = if self.large.is_empty() {
            let empty = Assembly::new(self.size());
            std::mem::replace(&mut self.assembly, empty).into_matrix()
        } else {
            self.assembly.finish().0.clone()
        };
        let parts = matrix.values.iter().map(|value| [value.re, value.im / omega]).collect();
        let places = self.large.iter().enumerate().map(|(k, (_, capacitance))| {
            let unknown = self.place(self.equations.size() + k);
            matrix.place(unknown, unknown).map(|place| (place, *capacitance))
        });
        let Some(large) = places.collect::<Option<Vec<_>>>() else { return };
        self.spread = Some(Spread { matrix, parts, large, from });
    }

    /// Solves (G + j omega C) x = b, and the transposed system for y, all unknowns included that large capacitors bring.
    pub(super) fn solve_both(
        &mut self,
        omega: f64,
        x: &mut Vec<Complex<f64>>,
        y: &mut Vec<Complex<f64>>,
    ) -> Result<(), Singular> {
        self.stamp(omega);
        let whole = self.size();
        let (matrix, _) = self.assembly.finish();
        let factors = Factors::new(matrix, &minimum_degree(matrix))?;
        for right in [&mut *x, &mut *y] {
            right.resize(whole, Complex::new(0.0, 0.0));
        }
        factors.solve(x);
        factors.solve_transposed(y);
        Ok(())
    }

    /// (G + j omega C) x.
    pub(super) fn times(&mut self, omega: f64, x: &[Complex<f64>]) -> Vec<Complex<f64>> {
        self.stamp(omega);
        self.assembly.finish().0.times(x)
    }

    /// Always in the same order, so that the pattern is searched once.
    fn stamp(&mut self, omega: f64) {
        let equations = self.equations;
        let Carriers { sources, inductors, .. } = &self.carriers;
        self.assembly.clear();
        let shunts = self.conductances.len() + equations.capacitors.len();
        self.assembly.reserve(4 * shunts + 5 * (sources.len() + inductors.len() + self.large.len()));
        let matrix = &mut Renumbered { assembly: &mut self.assembly, places: &self.places };
        for (ends, control, conductance) in &self.conductances {
            stamp_transconductance(*ends, *control, Complex::new(*conductance, 0.0), matrix);
        }
        let capacitors = equations.capacitors.iter().zip(&self.storage.capacitances);
        for ((ends, _), capacitance) in capacitors.filter(|(_, capacitance)| **capacitance < LARGE) {
            stamp_transconductance(*ends, *ends, Complex::new(0.0, omega * capacitance), matrix);
        }
        for (k, (ends, capacitance)) in self.large.iter().enumerate() {
            let unknown = equations.size() + k;
            let susceptance = Complex::new(0.0, omega * capacitance);
            // v - i / (j omega C) = 0, or j omega C v - i = 0 down to standing still.
            let (voltage, current) = if susceptance.im > 1.0 {
                (Complex::new(1.0, 0.0), -susceptance.inv())
            } else {
                (susceptance, Complex::new(-1.0, 0.0))
            };
            stamp_current(*ends, unknown, Complex::new(1.0, 0.0), matrix);
            stamp_voltage(*ends, unknown, voltage, matrix);
            matrix.add(unknown, unknown, current);
        }
        for (k, (ends, resistance)) in sources.iter().enumerate() {
            let unknown = equations.source_current(k);
            incidence(*ends, unknown, matrix);
            if *resistance > 0.0 {
                matrix.add(unknown, unknown, Complex::new(-resistance, 0.0));
            }
        }
        for (k, (ends, resistance)) in inductors.iter().enumerate() {
            let unknown = equations.inductor_current(k);
            incidence(*ends, unknown, matrix);
            let inductance = self.storage.inductances[k];
            matrix.add(unknown, unknown, Complex::new(-resistance, -omega * inductance));
        }
        for (core, inductance) in equations.cores.iter().zip(&self.storage.cores) {
            core.stamp(
                -omega * inductance,
                |k| equations.inductor_current(k),
                |row, column, value| {
                    matrix.add(row, column, Complex::new(0.0, value));
                },
            );
        }
    }
}

/// A branch whose current is an unknown: it leaves the left node, and its equation begins with the branch's voltage.
fn incidence(ends: Ends, unknown: usize, matrix: &mut impl Stamp<Complex<f64>>) {
    let one = Complex::new(1.0, 0.0);
    for (node, sign) in [(ends.left, one), (ends.right, -one)] {
        if node > 0 {
            matrix.add(node - 1, unknown, sign);
            matrix.add(unknown, node - 1, sign);
        }
    }
}

/// Stamps into the matrix of the unknowns that are solved for.
struct Renumbered<'a> {
    assembly: &'a mut Assembly<Complex<f64>>,
    places: &'a [u32],
}

impl Stamp<Complex<f64>> for Renumbered<'_> {
    fn add(&mut self, row: usize, column: usize, value: Complex<f64>) {
        self.assembly.add(self.places[row] as usize, self.places[column] as usize, value);
    }
}

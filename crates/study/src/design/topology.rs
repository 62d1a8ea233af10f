//! How parts are put together: each topology as a ladder of parts between the place's nodes.

use super::element::{Element, Role};

/// A form of filter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Topology {
    /// A resistor, then a capacitor across.
    ResistorCapacitor,
    /// A coil alone.
    Coil,
    /// A bead, then a ceramic capacitor across.
    BeadCeramic,
    /// A coil, then a capacitor across.
    CoilCapacitor,
    /// A coil and a resistor in series, then a capacitor across.
    CoilCapacitorDamped,
    /// A coil, then a capacitor across and beside it another with a resistor in series.
    CoilCapacitorBranch,
    /// A coil, a capacitor across, a coil.
    CoilCapacitorCoil,
    /// A coil and a capacitor across, twice.
    TwoStages,
    /// A regulator, then a capacitor across.
    RegulatorCapacitor,
}

/// A node of a ladder: the place's own, or one inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    From,
    To,
    Back,
    Inside(usize),
}

/// What may stand at one position of a topology.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    /// Name of the part.
    pub(super) name: &'static str,
    pub(super) takes: &'static [Role],
    /// Whether of what is wound only the fullest layers are taken: where coils meet in pairs there would be too many.
    pub(super) fullest: bool,
    pub(super) left: Node,
    pub(super) right: Node,
}

const CAPACITOR: &[Role] = &[Role::Capacitor, Role::Ceramic];

const fn slot(name: &'static str, takes: &'static [Role], left: Node, right: Node) -> Slot {
    Slot { name, takes, fullest: false, left, right }
}

const fn full(name: &'static str, left: Node, right: Node) -> Slot {
    Slot { name, takes: &[Role::Coil], fullest: true, left, right }
}

impl Topology {
    /// All of them, the simple ones first.
    pub const ALL: [Self; 9] = [
        Self::ResistorCapacitor,
        Self::Coil,
        Self::BeadCeramic,
        Self::CoilCapacitor,
        Self::CoilCapacitorDamped,
        Self::CoilCapacitorBranch,
        Self::CoilCapacitorCoil,
        Self::TwoStages,
        Self::RegulatorCapacitor,
    ];

    /// The name that options of it begin with.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::ResistorCapacitor => "resistor_cap",
            Self::Coil => "coil",
            Self::BeadCeramic => "bead_ceramic",
            Self::CoilCapacitor => "coil_cap",
            Self::CoilCapacitorDamped => "coil_cap_damped",
            Self::CoilCapacitorBranch => "coil_cap_branch",
            Self::CoilCapacitorCoil => "coil_cap_coil",
            Self::TwoStages => "two_stages",
            Self::RegulatorCapacitor => "regulator_cap",
        }
    }

    /// The topology of that name.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|each| each.word() == word)
    }

    /// Whether there is a coil in it.
    #[must_use]
    pub fn has_coil(self) -> bool {
        self.slots().iter().any(|slot| slot.takes.contains(&Role::Coil))
    }

    /// Its parts, from the source's side on.
    pub(super) fn slots(self) -> &'static [Slot] {
        use Node::{Back, From, Inside, To};
        const COIL: &[Role] = &[Role::Coil];
        const RESISTOR: &[Role] = &[Role::Resistor];
        match self {
            Self::ResistorCapacitor => {
                const { &[slot("series", RESISTOR, From, To), slot("store", CAPACITOR, To, Back)] }
            }
            Self::Coil => const { &[slot("choke", COIL, From, To)] },
            Self::BeadCeramic => {
                const { &[slot("bead_in", &[Role::Bead], From, To), slot("store", &[Role::Ceramic], To, Back)] }
            }
            Self::CoilCapacitor => {
                const { &[slot("choke", COIL, From, To), slot("store", CAPACITOR, To, Back)] }
            }
            Self::CoilCapacitorDamped => {
                const {
                    &[
                        slot("choke", COIL, From, Inside(0)),
                        slot("damper", RESISTOR, Inside(0), To),
                        slot("store", CAPACITOR, To, Back),
                    ]
                }
            }
            Self::CoilCapacitorBranch => {
                const {
                    &[
                        slot("choke", COIL, From, To),
                        slot("store", CAPACITOR, To, Back),
                        slot("damper", RESISTOR, To, Inside(0)),
                        slot("damping", CAPACITOR, Inside(0), Back),
                    ]
                }
            }
            Self::CoilCapacitorCoil => {
                const {
                    &[
                        full("choke", From, Inside(0)),
                        slot("store", CAPACITOR, Inside(0), Back),
                        full("choke_2", Inside(0), To),
                    ]
                }
            }
            Self::TwoStages => {
                const {
                    &[
                        full("choke", From, Inside(0)),
                        slot("store", CAPACITOR, Inside(0), Back),
                        full("choke_2", Inside(0), To),
                        slot("store_2", CAPACITOR, To, Back),
                    ]
                }
            }
            Self::RegulatorCapacitor => {
                const { &[slot("regulator_in", &[Role::Regulator], From, To), slot("store", CAPACITOR, To, Back)] }
            }
        }
    }
}

impl Slot {
    pub(super) fn fits(&self, element: &Element) -> bool {
        self.takes.contains(&element.role) && (!self.fullest || element.fullest)
    }
}

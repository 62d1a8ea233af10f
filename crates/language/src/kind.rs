//! The kinds of parts.

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Kind {
    Resistor,
    Capacitor,
    Coil,
    Wire,
    Battery,
    Supply,
    Drive,
    Load,
    Camera,
    Generator,
    Diode,
    Switch,
    Regulator,
    Bead,
    Source,
}

impl Kind {
    /// Whether the part has a core whose flux and saturation can be read.
    #[must_use]
    pub fn has_core(self) -> bool {
        matches!(self, Self::Coil | Self::Bead)
    }
}

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
    Coupled,
    Diode,
    Switch,
    Regulator,
    Bead,
    Source,
    Servo,
    Transmitter,
    HalfBridge,
    Fuse,
    Connector,
    Clamp,
}

impl Kind {
    /// Whether the part has a second pair of nodes.
    #[must_use]
    pub fn has_second_pair(self) -> bool {
        self == Self::Coupled
    }

    /// Kinds with a core whose flux and saturation can be read.
    pub const WITH_CORE: &'static [Self] = &[Self::Coil, Self::Bead, Self::Coupled];

    /// Whether the part has a core whose flux and saturation can be read.
    #[must_use]
    pub fn has_core(self) -> bool {
        Self::WITH_CORE.contains(&self)
    }
}

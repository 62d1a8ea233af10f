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
}

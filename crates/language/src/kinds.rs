//! What each kind of part can say: the one place that parsing, checking, the manual and completion read.

mod battery;
mod bead;
mod camera;
mod capacitor;
mod clamp;
mod coil;
mod connector;
mod coupled;
mod describe;
mod diode;
mod drive;
mod fuse;
mod generator;
mod half_bridge;
mod load;
mod regulator;
mod resistor;
mod servo;
mod source;
mod supply;
mod switch;
mod table;
mod transmitter;
mod wire;

pub use table::{Allowed, KindTable, Property, Rule, Shape};
pub(crate) use table::{Stated, StatedValue, WITHOUT_EFFECT_YET};

use crate::kind::Kind;

/// The tables of all kinds of this edition.
pub const TABLES: &[&KindTable] = &[
    &resistor::TABLE,
    &capacitor::TABLE,
    &coil::TABLE,
    &wire::TABLE,
    &battery::TABLE,
    &supply::TABLE,
    &drive::TABLE,
    &load::TABLE,
    &camera::TABLE,
    &generator::TABLE,
    &coupled::TABLE,
    &diode::TABLE,
    &switch::TABLE,
    &regulator::TABLE,
    &bead::TABLE,
    &source::TABLE,
    &servo::TABLE,
    &transmitter::TABLE,
    &half_bridge::TABLE,
    &fuse::TABLE,
    &connector::TABLE,
    &clamp::TABLE,
];

impl Kind {
    /// What the kind can say.
    #[must_use]
    pub fn table(self) -> &'static KindTable {
        match self {
            Self::Resistor => &resistor::TABLE,
            Self::Capacitor => &capacitor::TABLE,
            Self::Coil => &coil::TABLE,
            Self::Wire => &wire::TABLE,
            Self::Battery => &battery::TABLE,
            Self::Supply => &supply::TABLE,
            Self::Drive => &drive::TABLE,
            Self::Load => &load::TABLE,
            Self::Camera => &camera::TABLE,
            Self::Generator => &generator::TABLE,
            Self::Coupled => &coupled::TABLE,
            Self::Diode => &diode::TABLE,
            Self::Switch => &switch::TABLE,
            Self::Regulator => &regulator::TABLE,
            Self::Bead => &bead::TABLE,
            Self::Source => &source::TABLE,
            Self::Servo => &servo::TABLE,
            Self::Transmitter => &transmitter::TABLE,
            Self::HalfBridge => &half_bridge::TABLE,
            Self::Fuse => &fuse::TABLE,
            Self::Connector => &connector::TABLE,
            Self::Clamp => &clamp::TABLE,
        }
    }

    /// The word that stands for it in a file.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.table().word
    }

    /// The kind that `word` stands for.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        TABLES.iter().find(|table| table.word == word).map(|table| table.kind)
    }
}

/// Whether `word` is a kind of part.
pub(crate) fn is_reserved(word: &str) -> bool {
    Kind::from_word(word).is_some()
}

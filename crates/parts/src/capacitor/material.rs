//! What capacitors are made of.

/// A kind of capacitor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Aluminium with a liquid electrolyte.
    Electrolytic,
    /// Aluminium or tantalum with a conducting polymer.
    Polymer,
    /// Tantalum with manganese dioxide.
    Tantalum,
    /// Plastic film.
    Film,
    /// Ceramic whose value stays (C0G and the like).
    CeramicClass1,
    /// Ceramic of high permittivity, whose value falls with voltage (X7R and the like).
    CeramicClass2,
}

impl Material {
    /// All of them with the words of the harness language.
    pub const ALL: [(&'static str, Self); 6] = [
        ("electrolytic", Self::Electrolytic),
        ("polymer", Self::Polymer),
        ("tantalum", Self::Tantalum),
        ("film", Self::Film),
        ("ceramic_class_1", Self::CeramicClass1),
        ("ceramic_class_2", Self::CeramicClass2),
    ];

    /// The kind that `word` names.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(known, _)| *known == word).map(|(_, kind)| *kind)
    }

    /// The word that names it.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, kind)| *kind == self).map_or("", |(word, _)| word)
    }

    /// Whether it has a plus and a minus.
    #[must_use]
    pub fn is_polarised(self) -> bool {
        matches!(self, Self::Electrolytic | Self::Polymer | Self::Tantalum)
    }
}

//! Cell chemistries: open-circuit voltage against charge, and what a cell's resistance is like.

/// A cell chemistry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chemistry {
    /// Lithium-ion with a graphite anode and a layered oxide cathode, in a can.
    LithiumIon,
    /// The same chemistry in a pouch, built for high currents.
    LithiumPolymer,
    /// Lithium iron phosphate.
    LithiumIronPhosphate,
    /// Nickel metal hydride.
    NickelMetalHydride,
    /// Lead acid.
    LeadAcid,
    /// Alkaline manganese (primary cells).
    Alkaline,
}

impl Chemistry {
    /// The words of the harness language, in the order of [`Self::ALL`].
    pub const WORDS: [&str; 6] = ["li_ion", "li_po", "li_fe", "ni_mh", "lead_acid", "alkaline"];

    /// All chemistries.
    pub const ALL: [Self; 6] = [
        Self::LithiumIon,
        Self::LithiumPolymer,
        Self::LithiumIronPhosphate,
        Self::NickelMetalHydride,
        Self::LeadAcid,
        Self::Alkaline,
    ];

    /// The chemistry that `word` names.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().position(|known| *known == word).map(|index| Self::ALL[index])
    }

    /// The word that names it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::LithiumIon => "li_ion",
            Self::LithiumPolymer => "li_po",
            Self::LithiumIronPhosphate => "li_fe",
            Self::NickelMetalHydride => "ni_mh",
            Self::LeadAcid => "lead_acid",
            Self::Alkaline => "alkaline",
        }
    }

    /// Open-circuit voltage in volt of one cell at `charge`, 0 (empty) to 1 (full), near room temperature.
    #[must_use]
    pub fn open_circuit_voltage(self, charge: f64) -> f64 {
        let charge = charge.clamp(0.0, 1.0);
        match self {
            Self::LithiumIon | Self::LithiumPolymer => lithium(charge),
            Self::LithiumIronPhosphate => interpolate(&IRON_PHOSPHATE, charge),
            Self::NickelMetalHydride => interpolate(&NICKEL, charge),
            Self::LeadAcid => interpolate(&LEAD, charge),
            Self::Alkaline => interpolate(&ALKALINE, charge),
        }
    }

    /// Resistance in ohm of one cell in fair condition at room temperature, where nothing is said (from memory, to a factor
    /// of two: pouch cells of 1 to 5 Ah for models, high-drain cans of 2.5 Ah, lead of 7 Ah, alkaline of size AA).
    #[must_use]
    pub fn usual_resistance(self) -> f64 {
        match self {
            Self::LithiumIon => 30e-3,
            Self::LithiumPolymer => 6e-3,
            Self::LithiumIronPhosphate | Self::NickelMetalHydride => 15e-3,
            Self::LeadAcid => 5e-3,
            Self::Alkaline => 150e-3,
        }
    }
}

impl Chemistry {
    /// Capacity in ampere-hour of the cell whose [`Self::usual_resistance`] is given (from memory): larger cells of a make have as much
    /// less resistance.
    #[must_use]
    pub fn usual_capacity(self) -> f64 {
        match self {
            Self::LithiumPolymer => 2.2,
            Self::LithiumIon | Self::LithiumIronPhosphate | Self::Alkaline => 2.5,
            Self::NickelMetalHydride => 2.0,
            Self::LeadAcid => 7.0,
        }
    }

    /// Voltage in volt to which a cell may be charged, and under which it must not go (from memory). Cells in cans go down to 2.5 V,
    /// pouches to 3 V.
    #[must_use]
    pub fn voltage_limits(self) -> (f64, f64) {
        match self {
            Self::LithiumIon => (4.2, 2.5),
            Self::LithiumPolymer => (4.2, 3.0),
            Self::LithiumIronPhosphate => (3.65, 2.5),
            Self::NickelMetalHydride => (1.5, 0.9),
            Self::LeadAcid => (2.45, 1.75),
            Self::Alkaline => (1.65, 0.8),
        }
    }

    /// Voltage in volt by which a cell is sold (from memory).
    #[must_use]
    pub fn nominal_voltage(self) -> f64 {
        match self {
            Self::LithiumIon => 3.6,
            Self::LithiumPolymer => 3.7,
            Self::LithiumIronPhosphate => 3.2,
            Self::NickelMetalHydride => 1.2,
            Self::LeadAcid => 2.0,
            Self::Alkaline => 1.5,
        }
    }

    /// Energy in watt-hour that a kilogram of packs holds (from memory, to a quarter).
    #[must_use]
    pub fn energy_density(self) -> f64 {
        match self {
            Self::LithiumIon => 200.0,
            Self::LithiumPolymer => 150.0,
            Self::LithiumIronPhosphate => 110.0,
            Self::NickelMetalHydride => 70.0,
            Self::LeadAcid => 33.0,
            Self::Alkaline => 120.0,
        }
    }
}

/// Chen and Rincón-Mora, Accurate electrical battery model, IEEE Transactions on Energy Conversion 21 (2006): an 850 mAh
/// lithium-polymer cell; other cells of the class differ by some 0.1 V.
fn lithium(charge: f64) -> f64 {
    -1.031 * (-35.0 * charge).exp() + 3.685 + charge * (0.2156 + charge * (-0.1178 + charge * 0.3201))
}

/// Charge and volt of a rested lithium iron phosphate cell (from memory).
const IRON_PHOSPHATE: [(f64, f64); 8] =
    [(0.0, 2.5), (0.05, 3.0), (0.1, 3.2), (0.3, 3.28), (0.5, 3.3), (0.7, 3.32), (0.95, 3.35), (1.0, 3.45)];

/// Charge and volt of a rested nickel metal hydride cell (from memory).
const NICKEL: [(f64, f64); 6] =
    [(0.0, 1.0), (0.05, 1.15), (0.2, 1.23), (0.5, 1.28), (0.9, 1.34), (1.0, 1.42)];

/// Charge and volt of a rested lead acid cell, a sixth of the usual figures for 12 V batteries (from memory).
const LEAD: [(f64, f64); 5] = [(0.0, 1.96), (0.25, 2.0), (0.5, 2.04), (0.75, 2.08), (1.0, 2.12)];

/// Charge and volt of a rested alkaline cell (from memory).
const ALKALINE: [(f64, f64); 6] = [(0.0, 0.9), (0.1, 1.1), (0.3, 1.2), (0.5, 1.27), (0.8, 1.42), (1.0, 1.6)];

/// Straight lines between the points, level outside.
fn interpolate(points: &[(f64, f64)], at: f64) -> f64 {
    let after = points.partition_point(|point| point.0 <= at).clamp(1, points.len() - 1);
    let ((left, from), (right, to)) = (points[after - 1], points[after]);
    from + (to - from) * ((at - left) / (right - left)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lithium_cell_of_chen_and_rincon_mora() {
        for (charge, volt) in
            [(0.1, 3.674_57), (0.3, 3.747_69), (0.5, 3.803_36), (0.8, 3.945_98), (1.0, 4.1029)]
        {
            let found = Chemistry::LithiumPolymer.open_circuit_voltage(charge);
            assert!((found / volt - 1.0).abs() < 1e-5, "{found}");
        }
    }

    #[test]
    fn voltage_rises_with_charge_and_stays_within_the_cells_limits() {
        // Usual limits of a cell, 0.05 V (IEC 62133-2 practice and data sheets for the lithium cells).
        let limits = [(2.5, 4.2), (2.5, 4.2), (2.5, 3.65), (0.9, 1.5), (1.75, 2.45), (0.8, 1.65)];
        for (chemistry, (low, high)) in Chemistry::ALL.into_iter().zip(limits) {
            let volts: Vec<f64> =
                (0..=100).map(|percent| chemistry.open_circuit_voltage(f64::from(percent) / 100.0)).collect();
            assert!(volts.windows(2).all(|pair| pair[1] > pair[0]), "{chemistry:?}");
            assert!(volts[0] >= low && volts[100] <= high + 0.05, "{chemistry:?}");
        }
    }

    #[test]
    fn words_and_chemistries_match() {
        for (word, chemistry) in Chemistry::WORDS.into_iter().zip(Chemistry::ALL) {
            assert_eq!(Chemistry::from_word(word), Some(chemistry));
            assert_eq!(chemistry.word(), word);
        }
        assert_eq!(Chemistry::from_word("unobtainium"), None);
    }
}

//! The dimension of a quantity as exponents of base units.

/// Exponents of the base units: five of the SI, and three scales that must not mix with plain ratios.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Dimension {
    /// Metre.
    pub metre: i8,
    /// Kilogram.
    pub kilogram: i8,
    /// Second.
    pub second: i8,
    /// Ampere.
    pub ampere: i8,
    /// Kelvin.
    pub kelvin: i8,
    /// Decibel, a logarithmic ratio.
    pub decibel: i8,
    /// Gauge number of the American wire gauge (ASTM B258).
    pub gauge: i8,
}

impl Dimension {
    const fn new(metre: i8, kilogram: i8, second: i8, ampere: i8, kelvin: i8) -> Self {
        Self { metre, kilogram, second, ampere, kelvin, decibel: 0, gauge: 0 }
    }
    /// A plain number or ratio.
    pub const NONE: Self = Self::new(0, 0, 0, 0, 0);
    /// Metre.
    pub const LENGTH: Self = Self::new(1, 0, 0, 0, 0);
    /// Square metre.
    pub const AREA: Self = Self::new(2, 0, 0, 0, 0);
    /// Second.
    pub const TIME: Self = Self::new(0, 0, 1, 0, 0);
    /// Hertz.
    pub const FREQUENCY: Self = Self::new(0, 0, -1, 0, 0);
    /// Kilogram.
    pub const MASS: Self = Self::new(0, 1, 0, 0, 0);
    /// Kelvin.
    pub const TEMPERATURE: Self = Self::new(0, 0, 0, 0, 1);
    /// Ampere.
    pub const CURRENT: Self = Self::new(0, 0, 0, 1, 0);
    /// Coulomb.
    pub const CHARGE: Self = Self::new(0, 0, 1, 1, 0);
    /// Volt.
    pub const VOLTAGE: Self = Self::new(2, 1, -3, -1, 0);
    /// Ohm.
    pub const RESISTANCE: Self = Self::new(2, 1, -3, -2, 0);
    /// Farad.
    pub const CAPACITANCE: Self = Self::new(-2, -1, 4, 2, 0);
    /// Henry.
    pub const INDUCTANCE: Self = Self::new(2, 1, -2, -2, 0);
    /// Weber.
    pub const FLUX: Self = Self::new(2, 1, -2, -1, 0);
    /// Tesla.
    pub const FLUX_DENSITY: Self = Self::new(0, 1, -2, -1, 0);
    /// Watt.
    pub const POWER: Self = Self::new(2, 1, -3, 0, 0);
    /// Joule.
    pub const ENERGY: Self = Self::new(2, 1, -2, 0, 0);
    /// Decibel.
    pub const LEVEL: Self = Self { decibel: 1, ..Self::NONE };
    /// American wire gauge number.
    pub const GAUGE: Self = Self { gauge: 1, ..Self::NONE };
}

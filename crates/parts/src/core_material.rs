//! Classes of core material: what any ring of the class has in common, and what no such ring can have.
//!
//! A class is no grade: two cores of one class differ by as much as the ranges here say. Where a grade's data is at hand, its
//! permeability and flux density stand in the harness and these numbers only check them.

use crate::mistake::{shown, with_unit};
use crate::remark::Remark;
use crate::saturation_curve::SaturationCurve;

/// A class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CoreMaterial {
    /// Manganese-zinc ferrite: black, conducts a little, permeability in the thousands.
    FerriteMnzn,
    /// Nickel-zinc ferrite: insulates, permeability in the hundreds.
    FerriteNizn,
    /// Pressed powder of iron or an alloy, whose grains lie apart: permeability in the tens.
    Powder,
}

/// Numbers of a class, or of a part of it.
struct Class {
    /// Words for messages.
    words: &'static str,
    /// Least and greatest relative initial permeability.
    permeability: [f64; 2],
    /// Flux density in tesla of the full core at 25 °C and at 100 °C.
    full: [f64; 2],
    /// Least and greatest flux density in tesla at 25 °C that grades of the class have.
    full_range: [f64; 2],
    /// Temperature in kelvin at which the usual grade has lost its magnetism.
    curie: f64,
    /// Density in kilogram a cubic metre.
    density: f64,
    /// Coefficient and exponents of Steinmetz' law `k f^a B^b`, in watt a cubic metre with hertz and tesla.
    loss: [f64; 3],
}

/// Temperatures in kelvin between which flux densities lie on a straight line, and by which it goes on.
const TEMPERATURES: [f64; 2] = [298.15, 373.15];

/// Permeability from which a manganese-zinc ferrite is one for suppressing noise, which is full earlier than one for power.
const HIGH_PERMEABILITY: f64 = 4000.0;

/// Power ferrites: flux densities of three grades' data sheets in a public data base of materials (0.494, 0.487 and 0.527 T at 25 °C,
/// 0.385, 0.402 and 0.4145 T at 100 °C), rounded; the rest from memory. The loss law is fitted to four rows of a public set of
/// measurements of one such grade at room temperature (50 and 100 kHz, 0.09 and 0.18 T), which it meets within 2 %.
const POWER: Class = Class {
    words: "manganese-zinc ferrite",
    permeability: [500.0, 18_000.0],
    full: [0.5, 0.4],
    full_range: [0.3, 0.55],
    curie: 483.15,
    density: 4800.0,
    loss: [51.4, 1.159, 2.312],
};

/// Manganese-zinc ferrites of high permeability: from memory, as the data sheets of permeabilities of 4300 to 10000 have it.
const HIGH: Class = Class {
    words: "manganese-zinc ferrite of high permeability",
    full: [0.38, 0.24],
    full_range: [0.3, 0.45],
    curie: 403.15,
    density: 4900.0,
    ..POWER
};

/// Nickel-zinc ferrites: all from memory; grades of permeability 100 to 900 have 0.25 to 0.38 T. Their losses are a few times those of a
/// power ferrite.
const NICKEL: Class = Class {
    words: "nickel-zinc ferrite",
    permeability: [10.0, 2500.0],
    full: [0.3, 0.2],
    full_range: [0.2, 0.42],
    curie: 403.15,
    density: 5000.0,
    loss: [150.0, 1.16, 2.3],
};

/// Powder cores of iron, iron-silicon-aluminium and nickel-iron: all from memory; 0.75 to 1.5 T, and little less when warm. The losses are
/// those of the better alloys; iron powder has about five times as much.
const POWDER: Class = Class {
    words: "powder",
    permeability: [3.0, 300.0],
    full: [1.0, 0.95],
    full_range: [0.5, 1.7],
    curie: 673.15,
    density: 6000.0,
    loss: [4.0, 1.4, 2.1],
};

impl CoreMaterial {
    /// The class by its word in a harness.
    #[must_use]
    pub fn by_word(word: &str) -> Option<Self> {
        match word {
            "ferrite_mnzn" => Some(Self::FerriteMnzn),
            "ferrite_nizn" => Some(Self::FerriteNizn),
            "powder" => Some(Self::Powder),
            _ => None,
        }
    }

    fn class(self, permeability: Option<f64>) -> &'static Class {
        match self {
            Self::FerriteMnzn if permeability.is_some_and(|value| value >= HIGH_PERMEABILITY) => &HIGH,
            Self::FerriteMnzn => &POWER,
            Self::FerriteNizn => &NICKEL,
            Self::Powder => &POWDER,
        }
    }

    /// Flux density in tesla of the full core at `temperature` in kelvin, for a core of `permeability`; 0 from the Curie temperature
    /// on.
    ///
    /// A straight line through 25 °C and 100 °C. Beyond, it goes on at most to the Curie temperature.
    #[must_use]
    pub fn flux_density_limit(self, permeability: Option<f64>, temperature: f64) -> f64 {
        let class = self.class(permeability);
        if temperature >= class.curie {
            return 0.0;
        }
        let slope = (class.full[1] - class.full[0]) / (TEMPERATURES[1] - TEMPERATURES[0]);
        (class.full[0] + slope * (temperature - TEMPERATURES[0])).max(0.0)
    }

    /// Density in kilogram a cubic metre.
    #[must_use]
    pub fn density(self, permeability: Option<f64>) -> f64 {
        self.class(permeability).density
    }

    /// How it saturates: a ferrite at once, a powder gradually since its grains are full one after another.
    #[must_use]
    pub fn curve(self) -> SaturationCurve {
        match self {
            Self::FerriteMnzn | Self::FerriteNizn => SaturationCurve::Tanh,
            Self::Powder => SaturationCurve::Arctan,
        }
    }

    /// Losses in watt a cubic metre at `frequency` in hertz and a sine of flux density of the `amplitude` in tesla: Steinmetz' law
    /// `k f^a B^b` (Proceedings of the AIEE 1892, with the exponent of frequency that came later), of the right order for a class.
    #[must_use]
    pub fn loss(self, permeability: Option<f64>, frequency: f64, amplitude: f64) -> f64 {
        let [k, a, b] = self.class(permeability).loss;
        k * frequency.powf(a) * amplitude.powf(b)
    }

    /// What does not fit the class: the relative `permeability`, the flux density limit in tesla, the temperature in kelvin.
    pub(crate) fn remarks(
        self,
        permeability: Option<f64>,
        flux_density_limit: Option<f64>,
        temperature: Option<f64>,
    ) -> Vec<Remark> {
        let class = self.class(permeability);
        let mut remarks = Vec::new();
        let [least, most] = class.permeability;
        if let Some(value) = permeability.filter(|value| !(least..=most).contains(value)) {
            remarks.push(Remark::new(
                "permeability_unlike_material",
                format!(
                    "a permeability of {} is not that of {}, which has {} to {}; check the ring's size and the test winding, or name another material",
                    shown(value), class.words, shown(least), shown(most)
                ),
            ));
        }
        let [least, most] = class.full_range;
        if let Some(value) = flux_density_limit.filter(|value| !(least..=most).contains(value)) {
            remarks.push(Remark::new(
                "flux_density_unlike_material",
                format!(
                    "a flux density limit of {} is not that of {}, which is full at {} to {}; leave it out for the class' own",
                    with_unit(value, "T"), class.words, with_unit(least, "T"), with_unit(most, "T")
                ),
            ));
        }
        if let Some(value) = temperature.filter(|value| *value >= 0.9 * (class.curie - 273.15) + 273.15) {
            remarks.push(Remark::new(
                "core_near_curie_temperature",
                format!(
                    "at {} degC {} has lost its magnetism or is about to, its Curie temperature is about {} degC; do not count on the inductance that is computed",
                    shown(value - 273.15), class.words, shown(class.curie - 273.15)
                ),
            ));
        }
        remarks
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use CoreMaterial::{FerriteMnzn, FerriteNizn, Powder};

    #[test]
    fn power_ferrites_are_full_where_data_sheets_say() {
        // Three grades at 25 °C and 100 °C, measured at about 1200 A/m (public data base of materials). One number stands for all of them:
        // the tolerance is half of the spread of grades, 0.02 T, and the check's own 0.01 T.
        for (celsius, grades) in [(25.0, [0.494, 0.487, 0.527]), (100.0, [0.385, 0.402, 0.4145])] {
            let found = FerriteMnzn.flux_density_limit(Some(2200.0), celsius + 273.15);
            for grade in grades {
                assert!((found - grade).abs() <= 0.03, "{found} at {celsius}: {grade}");
            }
        }
        // Between them a straight line: half way at 62.5 °C.
        assert!((FerriteMnzn.flux_density_limit(None, 335.65) - 0.45).abs() < 1e-12);
        assert_eq!(FerriteMnzn.flux_density_limit(Some(10_000.0), 410.0), 0.0);
        assert!(FerriteMnzn.flux_density_limit(Some(10_000.0), 298.15) < 0.4);
    }

    #[test]
    fn losses_are_of_the_right_order() {
        // Four rows of a public set of measurements of one power ferrite at room temperature, W/m³. The law is fitted to
        // these very rows with three numbers for four, so that it must meet them within a few per cent; a class is right within a factor of two.
        let rows = [
            (50e3, 0.0923, 58_730.0),
            (50e3, 0.1865, 291_628.0),
            (100e3, 0.0904, 122_016.0),
            (100e3, 0.181, 622_352.0),
        ];
        for (frequency, amplitude, measured) in rows {
            let found = FerriteMnzn.loss(None, frequency, amplitude) / measured;
            assert!(
                (found - 1.0).abs() < 0.03,
                "{found} times the measured at {frequency} Hz, {amplitude} T"
            );
        }
        // The same order of growth with flux density as the rows: exponents of 2.28 and 2.35.
        let growth = FerriteMnzn.loss(None, 1e5, 0.2) / FerriteMnzn.loss(None, 1e5, 0.1);
        assert!((growth.log2() - 2.31).abs() < 0.05);
    }

    #[test]
    fn what_does_not_fit_is_told() {
        let codes = |material: CoreMaterial, permeability, limit, celsius: f64| -> Vec<_> {
            let remarks = material.remarks(Some(permeability), Some(limit), Some(celsius + 273.15));
            remarks.iter().map(|remark| remark.code).collect()
        };
        assert_eq!(codes(FerriteNizn, 20_000.0, 0.3, 25.0), ["permeability_unlike_material"]);
        assert_eq!(codes(Powder, 60.0, 0.3, 25.0), ["flux_density_unlike_material"]);
        assert_eq!(codes(FerriteMnzn, 10_000.0, 0.38, 150.0), ["core_near_curie_temperature"]);
        assert!(codes(FerriteMnzn, 2200.0, 0.4, 100.0).is_empty());
    }
}

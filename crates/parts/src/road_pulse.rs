//! The test pulses of ISO 7637-2 for supplies of road vehicles with 12 V.

use crate::range::Ranges;
use crate::remark::Remark;

/// A test pulse of ISO 7637-2:2011, clause 5.6, for 12 V (row 3b as printed there, the others from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoadPulse {
    /// A supply that is cut off from an inductive load.
    One,
    /// A current that stops in the inductance of the wiring.
    TwoA,
    /// Switching, negative.
    ThreeA,
    /// Switching, positive.
    ThreeB,
}

impl RoadPulse {
    /// The pulse that a word of the language stands for.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "iso_7637_1" => Some(Self::One),
            "iso_7637_2a" => Some(Self::TwoA),
            "iso_7637_3a" => Some(Self::ThreeA),
            "iso_7637_3b" => Some(Self::ThreeB),
            _ => None,
        }
    }

    /// Resistance of its generator in ohm.
    #[must_use]
    pub fn resistance(self) -> f64 {
        match self {
            Self::One => 10.0,
            Self::TwoA => 2.0,
            Self::ThreeA | Self::ThreeB => 50.0,
        }
    }

    /// Rise from 10 % to 90 % in seconds.
    #[must_use]
    pub fn rise(self) -> f64 {
        match self {
            Self::One | Self::TwoA => 1e-6,
            Self::ThreeA | Self::ThreeB => 5e-9,
        }
    }

    /// Length from 10 % to 10 % in seconds.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            Self::One => 2e-3,
            Self::TwoA => 50e-6,
            Self::ThreeA | Self::ThreeB => 150e-9,
        }
    }

    /// Least and greatest level in volt, by size.
    #[must_use]
    pub fn levels(self) -> (f64, f64) {
        match self {
            Self::One => (-75.0, -150.0),
            Self::TwoA => (37.0, 112.0),
            Self::ThreeA => (-112.0, -220.0),
            Self::ThreeB => (75.0, 150.0),
        }
    }

    /// Remarks on a level in volt that the standard doesn't have.
    #[must_use]
    pub fn remarks(self, level: f64) -> Vec<Remark> {
        let (least, most) = self.levels();
        let mut ranges = Ranges::default();
        // Counted in the pulse's own direction, so that a wrong sign is below all of it.
        let (sign, why) = (
            least.signum(),
            "the standard's own test levels, with the sign of `level` turned to the pulse's",
        );
        ranges.at_least("level", Some(level * sign), least.abs(), "V", why);
        ranges.at_most("level", Some(level * sign), most.abs(), "V", why);
        ranges.into_remarks()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_outside_the_standard_are_remarked() {
        assert!(RoadPulse::One.remarks(-100.0).is_empty());
        assert_eq!(RoadPulse::One.remarks(100.0).len(), 1);
        assert_eq!(RoadPulse::ThreeB.remarks(151.0).len(), 1);
        assert!(RoadPulse::TwoA.remarks(37.0).is_empty());
    }
}

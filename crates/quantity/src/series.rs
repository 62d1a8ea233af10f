//! Preferred numbers of resistors, capacitors and coils: the series of IEC 60063.

/// A series of preferred numbers, by how many of them a decade has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Series {
    E3,
    E6,
    E12,
    E24,
    E48,
    E96,
    E192,
}

/// IEC 60063, table of E24, as three digits; E12, E6 and E3 are every second, fourth and eighth of them. They are older than
/// the rule of the finer series: 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7 and 8.2 are no rounded powers.
const E24: [u16; 24] = [
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300, 330, 360, 390, 430, 470, 510, 560, 620, 680,
    750, 820, 910,
];

/// A value this close to the end of a range, as a fraction, lies in it: 4.7 times 1000 is not always 4700.
const ON_END: f64 = 1e-9;

impl Series {
    /// Every series, from the coarsest.
    pub const ALL: [Self; 7] = [Self::E3, Self::E6, Self::E12, Self::E24, Self::E48, Self::E96, Self::E192];

    /// The series of a name such as `E12`.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|series| series.name() == name)
    }

    /// `E12`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::E3 => "E3",
            Self::E6 => "E6",
            Self::E12 => "E12",
            Self::E24 => "E24",
            Self::E48 => "E48",
            Self::E96 => "E96",
            Self::E192 => "E192",
        }
    }

    /// How many numbers a decade has.
    #[must_use]
    pub fn count(self) -> usize {
        match self {
            Self::E3 => 3,
            Self::E6 => 6,
            Self::E12 => 12,
            Self::E24 => 24,
            Self::E48 => 48,
            Self::E96 => 96,
            Self::E192 => 192,
        }
    }

    /// The numbers of one decade as three digits, from 100 to below 1000, rising.
    pub fn numbers(self) -> impl Iterator<Item = u16> {
        let count = self.count();
        (0..count)
            .map(move |at| if count <= E24.len() { E24[at * (E24.len() / count)] } else { fine(at, count) })
    }

    /// Every value of the series from `low` to `high`, both above 0, rising; a value at an end counts where it is off by less
    /// than a billionth. Each is the double nearest to its decimal digits.
    pub fn between(self, low: f64, high: f64) -> impl Iterator<Item = f64> {
        let (low, high) = (low * (1.0 - ON_END), high * (1.0 + ON_END));
        // Three digits are 100 to 999 times a power of ten; one decade more on each side than the logarithms ask for.
        let (first, last) = if low > 0.0 && high < f64::INFINITY {
            (low.log10().floor() as i32 - 3, high.log10().floor() as i32 - 1)
        } else {
            (0, -1)
        };
        let all = (first..=last).flat_map(move |decade| {
            self.numbers().filter_map(move |digits| format!("{digits}e{decade}").parse::<f64>().ok())
        });
        all.filter(move |value| (low..=high).contains(value))
    }
}

/// The `at`-th of `count` numbers of a fine series: 10^(at / count) to three digits (IEC 60063). E192 has 9.20 where the rule
/// gives 9.19; it is in no other series.
fn fine(at: usize, count: usize) -> u16 {
    let rounded = (100.0 * 10_f64.powf(at as f64 / count as f64)).round() as u16;
    if rounded == 919 && count == 192 { 920 } else { rounded }
}

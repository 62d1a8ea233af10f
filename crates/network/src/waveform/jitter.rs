//! The unsteadiness of a pulse train's clock: pulses that come a little early or late, the same ones in every run of a seed.

/// Pulses come early or late by up to `share` of a period, all shifts equally likely and independent of each other.
///
/// In the mean over many pulses a train's n-th harmonic keeps the share `|sinc(2 n share)|` of its line, sinc(x) = sin(pi x)/(pi x):
/// the characteristic function of the even distribution. What is lost becomes noise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Jitter {
    /// Greatest shift as a fraction of the period, 0 to 0.25.
    pub(super) share: f64,
    /// Selects the sequence of shifts.
    pub(super) seed: u64,
    /// Selects the part of the sequence that a motor uses.
    pub(super) stream: u32,
}

impl Jitter {
    /// Shift of the pulse of that number in units of the greatest one, from -1 up to 1.
    pub(super) fn of_pulse(&self, number: f64) -> f64 {
        // Numbers of pulses are far below 2^40, so that the motors' parts of the sequence don't overlap.
        let index = (u64::from(self.stream) << 40).wrapping_add(number as i64 as u64);
        let bits = split_mix(self.seed, index) >> 11;
        // 53 bits make a number from 0 to 1.
        2.0 * (bits as f64 / (1u64 << 53) as f64) - 1.0
    }
}

/// Output `index`, from 0, of the generator SplitMix64 with that seed: a counter times an odd constant, thoroughly mixed (Steele, Lea
/// and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014). Having no other state, it can be asked in any order.
fn split_mix(seed: u64, index: u64) -> u64 {
    let mut z = seed.wrapping_add(index.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15));
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The values that implementations of SplitMix64 are commonly checked with (from memory).
    #[test]
    fn the_sequence_is_the_published_one() {
        let known = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!([0, 1, 2, 3, 4].map(|index| split_mix(1_234_567, index)), known);
        assert_eq!(split_mix(0, 0), 0xe220_a839_7b1d_cdaf);
    }

    /// An even distribution from -1 to 1 has mean 0 and variance 1/3; of N draws the mean scatters by sqrt(1/(3 N)), and the mean
    /// square by sqrt(4/45/N). Five times that is exceeded once in a million seeds.
    #[test]
    fn shifts_are_spread_evenly() {
        const COUNT: u32 = 10_000;
        for stream in [0, 3] {
            let jitter = Jitter { share: 0.01, seed: 7, stream };
            let all: Vec<f64> = (0..COUNT).map(|number| jitter.of_pulse(f64::from(number))).collect();
            let count = f64::from(COUNT);
            let mean = all.iter().sum::<f64>() / count;
            let square = all.iter().map(|shift| shift * shift).sum::<f64>() / count;
            assert!(mean.abs() < 5.0 / (3.0 * count).sqrt(), "{mean}");
            assert!((square - 1.0 / 3.0).abs() < 5.0 * (4.0 / 45.0 / count).sqrt(), "{square}");
            assert!(all.iter().all(|shift| (-1.0..1.0).contains(shift)));
        }
    }
}

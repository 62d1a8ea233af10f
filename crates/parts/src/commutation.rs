//! How often the windings of a motor are switched over while it turns.

/// Commutations a revolution for each pair of poles: six steps of 60 electrical degrees.
const STEPS: f64 = 6.0;
/// Commutations in a row that concern one phase of three: each is switched on at two of six steps.
const PER_PHASE: u32 = 3;

/// Brushes of a motor where nothing is said: small motors have a pair (from memory).
pub(crate) const DEFAULT_BRUSHES: f64 = 2.0;

/// What makes one commutation unlike the others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Odd {
    /// One of three phases: every third commutation.
    #[default]
    Phase,
    /// One of the six steps: every sixth commutation.
    Step,
}

/// A motor as far as its commutation goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Windings {
    /// Three phases in six steps, with so many pairs of poles.
    Poles(f64),
    /// A commutator of so many bars under so many brushes.
    Commutator {
        /// Bars, also called segments.
        bars: f64,
        /// Brushes.
        brushes: f64,
    },
}

impl Windings {
    /// Commutations a revolution.
    ///
    /// Six for each pair of poles. On a commutator a brush goes from bar to bar once a bar; brushes that do so at the same moments
    /// count once, so that it is the least common multiple of bars and evenly spaced brushes: twice the bars where two brushes meet an
    /// odd number, the bars where they meet an even one (from memory; the order of a brushed motor's torque and current ripple).
    #[must_use]
    pub fn per_turn(self) -> f64 {
        match self {
            Self::Poles(pairs) => STEPS * pairs,
            Self::Commutator { bars, brushes } => {
                let (bars, brushes) = (bars as u64, (brushes as u64).max(1));
                (bars / greatest_common_divisor(bars, brushes) * brushes) as f64
            }
        }
    }

    /// Commutations from one odd one to the next. A bar that is unlike the others meets every brush once a turn.
    #[must_use]
    pub fn cycle(self, odd: Odd) -> u32 {
        match (self, odd) {
            (Self::Poles(_), Odd::Phase) => PER_PHASE,
            (Self::Poles(_), Odd::Step) => STEPS as u32,
            (Self::Commutator { brushes, .. }, _) => (self.per_turn() / brushes.max(1.0)).max(1.0) as u32,
        }
    }

    /// Commutation frequency in hertz at `speed` in revolutions per second.
    ///
    /// Speeds are stated in revolutions per minute. Their number is recovered first, so that a round speed gives a round
    /// frequency: whether sources have a common period is a question about exact numbers.
    #[must_use]
    pub fn frequency(self, speed: f64) -> f64 {
        let a_minute = speed * 60.0;
        let rounded = (a_minute * 1e6).round() / 1e6;
        let recovered = if (rounded - a_minute).abs() <= 1e-12 * a_minute { rounded } else { a_minute };
        recovered * self.per_turn() / 60.0
    }
}

fn greatest_common_divisor(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn six_steps_for_each_pair_of_poles() {
        // 6000 rpm with 7 pole pairs: 100 Hz × 7 electrical revolutions × 6 steps.
        assert_eq!(Windings::Poles(7.0).frequency(100.0), 4200.0);
        // 1234 rpm is no finite decimal in hertz, but its commutations are: 1234 / 10.
        assert_eq!(Windings::Poles(1.0).frequency(1234.0 / 60.0), 123.4);
        assert_eq!([Odd::Phase, Odd::Step].map(|odd| Windings::Poles(7.0).cycle(odd)), [3, 6]);
    }

    #[test]
    fn brushes_meet_bars() {
        let motor = |bars, brushes| Windings::Commutator { bars, brushes };
        // Three bars, two brushes: twice three; twelve bars: both brushes switch at once.
        let turns = [(3.0, 2.0), (5.0, 2.0), (12.0, 2.0), (7.0, 4.0), (8.0, 4.0), (6.0, 4.0)];
        let events = turns.map(|(bars, brushes)| motor(bars, brushes).per_turn());
        assert_eq!(events, [6.0, 10.0, 12.0, 28.0, 8.0, 12.0]);
        assert_eq!(motor(5.0, 2.0).cycle(Odd::Phase), 5);
        assert_eq!(motor(5.0, 2.0).frequency(12000.0 / 60.0), 2000.0);
    }
}

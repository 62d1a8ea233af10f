//! The current that a vehicle's drive draws: motors behind pulse-width modulated controllers.

use super::clock::Clock;
use super::corner::{Bracket, Side, tolerance};
use super::dip::Dip;
use super::period::Period;
use super::points::Points;
use super::train::Train;
use super::{Edge, Piece, mean_of_period};

/// Current of all motors of a drive together.
///
/// At its corners (the starts and ends of all edges, and the corners of the commutation dip) the waveform is exactly the
/// product of the edges, the on-current with its ripple, and the commutation dip. Between corners it is the straight
/// line. Two factors that change by `a` and `b` over one piece leave the line by at most `a b / 4` of the current: over an
/// edge of duration `rise` within a dip of `depth` that is `depth rise / (0.4 Tc)` with `Tc` the commutation period (1.2e-5
/// of the current for 200 ns, 5 % and 480 Hz); over an on-time `w` with ripple `r` it is `r depth w / (0.4 Tc)`.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    current: f64,
    /// One train for all motors of one phase, with their number.
    trains: Vec<(f64, Train)>,
    dip: Option<Dip>,
    shortest_period: f64,
}

/// What a drive is set to.
#[derive(Clone, Debug, PartialEq)]
pub struct DriveSettings {
    /// Number of motors.
    pub motors: u32,
    /// Current in ampere drawn by each motor while on, at full duty.
    pub current: f64,
    /// Pulse-width modulation frequency in hertz, above 0.
    pub pwm: f64,
    /// On-time as a fraction of the period, 0 to 1.
    pub duty: f64,
    /// Duration of a rising edge in seconds, 0 to the period.
    pub rise: f64,
    /// Duration of a falling edge in seconds, 0 to the period.
    pub fall: f64,
    /// Phase of the first motor as a fraction of the period.
    pub phase: f64,
    /// Phase of each motor after the one before it, as a fraction of the period.
    pub stagger: f64,
    /// Exponent n: the on-current is current × duty^n.
    pub current_exponent: f64,
    /// Increase of the current over the on-time, as a fraction of its mean.
    pub ripple: f64,
    /// Commutation frequency in hertz and depth of its dip as a fraction.
    pub commutation: Option<(f64, f64)>,
    /// Factor on duty against time in seconds, taken at each period's start.
    pub throttle: Option<Points>,
    /// Earliest time in seconds of the first rise; `None` where the drive has run since ever.
    pub starts: Option<f64>,
}

impl Drive {
    /// The current of a drive.
    #[must_use]
    pub fn new(settings: &DriveSettings) -> Self {
        let clock = Clock::from_frequency(settings.pwm);
        let mut trains: Vec<(f64, Train)> = Vec::new();
        for motor in 0..settings.motors {
            let phase = (settings.phase + f64::from(motor) * settings.stagger).rem_euclid(1.0);
            if let Some((count, _)) = trains.iter_mut().find(|(_, train)| same_phase(train.phase, phase)) {
                *count += 1.0;
                continue;
            }
            let train = Train {
                clock,
                phase,
                duty: settings.duty,
                rise: settings.rise,
                fall: settings.fall,
                ripple: settings.ripple,
                exponent: settings.current_exponent,
                throttle: settings.throttle.clone(),
                first: settings.starts.map(|starts| Train::first_period(&clock, phase, starts)),
            };
            trains.push((1.0, train));
        }
        trains.retain(|(_, train)| !train.is_off());
        let dip = settings
            .commutation
            .filter(|&(frequency, depth)| frequency > 0.0 && depth != 0.0 && !trains.is_empty())
            .map(|(frequency, depth)| Dip { clock: Clock::from_frequency(frequency), depth });
        let shortest_period = dip.map_or(f64::INFINITY, |dip| dip.clock.period()).min(clock.period());
        Self { current: settings.current, trains, dip, shortest_period }
    }

    pub(super) fn piece(&self, time: f64) -> Piece {
        let tolerance = tolerance(time, self.shortest_period);
        let mut bracket = Bracket::around(time, tolerance);
        for (_, train) in &self.trains {
            train.bracket(time, &mut bracket);
        }
        if let Some(dip) = &self.dip {
            dip.bracket(time, &mut bracket);
        }
        bracket.piece(time, |time, side| self.value(time, side, tolerance))
    }

    /// The product that language and physics mean, on one side of `time`.
    fn value(&self, time: f64, side: Side, tolerance: f64) -> f64 {
        let motors: f64 =
            self.trains.iter().map(|(count, train)| count * train.value(time, side, tolerance)).sum();
        self.current * motors * self.dip.map_or(1.0, |dip| dip.factor(time))
    }

    pub(super) fn periods(&self) -> Vec<Period> {
        self.ticks().filter_map(|clock| clock.exact()).collect()
    }

    pub(super) fn has_unknown_period(&self) -> bool {
        self.ticks().any(|clock| clock.exact().is_none())
    }

    /// The clocks of its edges and of its dips, where it has any.
    fn ticks(&self) -> impl Iterator<Item = Clock> {
        let switching = self.trains.iter().map(|(_, train)| train).find(|train| train.switches());
        let draws = self.current != 0.0;
        let both = [switching.map(|train| train.clock), self.dip.map(|dip| dip.clock)];
        both.into_iter().flatten().filter(move |_| draws)
    }

    pub(super) fn jump(&self) -> Option<Edge> {
        let tolerance = tolerance(0.0, self.shortest_period);
        let draws = self.current != 0.0;
        self.trains.iter().find_map(|(_, train)| train.jump(tolerance)).filter(|_| draws)
    }

    pub(super) fn is_periodic(&self) -> bool {
        let forever = |train: &Train| train.first.is_none() && train.throttle.is_none();
        self.trains.iter().all(|(_, train)| forever(train)) && !self.has_unknown_period()
    }

    /// Mean of a drive that has run since ever.
    ///
    /// Where PWM and commutation have no common period, their phases meet in every way equally often, so that the mean of
    /// the product is the product of the means.
    pub(super) fn mean(&self) -> f64 {
        let periods = self.periods();
        match self.dip {
            Some(dip) if periods.len() > 1 && Period::common(&periods).is_none() => {
                Self { dip: None, ..self.clone() }.mean() * dip.mean()
            }
            _ => mean_of_period(|time| self.piece(time), &periods),
        }
    }
}

/// Whether two phases are one, the circle being closed.
fn same_phase(a: f64, b: f64) -> bool {
    let distance = (a - b).abs();
    distance.min(1.0 - distance) < 1e-12
}

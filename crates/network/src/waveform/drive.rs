//! The current that a vehicle's drive draws: motors behind pulse-width modulated controllers.

use super::clock::Clock;
use super::corner::{Bracket, Side, tolerance};
use super::dip::{Dip, Uneven};
use super::jitter::Jitter;
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
    /// One train for all motors of one phase, with the current in ampere that they draw together.
    trains: Vec<(Drawn, Train)>,
    dip: Option<Dip>,
    shortest_period: f64,
}

/// On-current in ampere at full duty of all motors of one phase.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Drawn {
    /// Of motors that turn, and commutate.
    turning: f64,
    /// Of motors that stand still.
    standing: f64,
}

/// What a drive is set to.
#[derive(Clone, Debug, Default, PartialEq)]
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
    /// Commutations whose dip is deeper than the others'; without effect where there is no commutation.
    pub uneven: Option<Uneven>,
    /// Motor m of n draws `1 + spread (m/(n - 1) - 1/2)` of the current: the difference between the last and the first.
    pub spread: f64,
    /// How many of the motors, the last ones, stand still, and the current in ampere that each of them draws instead; they have no
    /// commutation.
    pub stalled: Option<(u32, f64)>,
    /// Greatest shift of a pulse as a fraction of the period, 0 to 0.25, and the seed of the shifts.
    pub jitter: Option<(f64, u64)>,
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
        let mut trains: Vec<(Drawn, Train)> = Vec::new();
        for motor in 0..settings.motors {
            let phase = (settings.phase + f64::from(motor) * settings.stagger).rem_euclid(1.0);
            let drawn = settings.drawn_by(motor);
            // Motors with jitter go their own ways.
            let together = |train: &Train| train.jitter.is_none() && same_phase(train.phase, phase);
            if let Some((sum, _)) = trains.iter_mut().find(|(_, train)| together(train)) {
                sum.turning += drawn.turning;
                sum.standing += drawn.standing;
                continue;
            }
            // What has no edges has nothing to shake.
            let switches = settings.duty < 1.0 || settings.throttle.is_some();
            let jitter = settings.jitter.filter(|(share, _)| *share > 0.0 && switches);
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
                jitter: jitter.map(|(share, seed)| Jitter { share, seed, stream: motor }),
            };
            trains.push((drawn, train));
        }
        trains.retain(|(drawn, train)| !train.is_off() && *drawn != Drawn::default());
        let turns = trains.iter().any(|(drawn, _)| drawn.turning != 0.0);
        let dip = settings
            .commutation
            .map(|(frequency, depth)| {
                let uneven = settings.uneven.filter(|uneven| uneven.extra != 0.0);
                Dip { clock: Clock::from_frequency(frequency), depth, uneven }
            })
            .filter(|dip| dip.clock.period() > 0.0 && dip.clock.period().is_finite())
            .filter(|dip| (dip.depth != 0.0 || dip.uneven.is_some()) && turns);
        let shortest_period = dip.map_or(f64::INFINITY, |dip| dip.clock.period()).min(clock.period());
        Self { trains, dip, shortest_period }
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
        let factor = self.dip.map_or(1.0, |dip| dip.factor(time));
        let currents = self.trains.iter().map(|(drawn, train)| {
            (drawn.turning * factor + drawn.standing) * train.value(time, side, tolerance)
        });
        currents.sum()
    }

    pub(super) fn periods(&self) -> Vec<Period> {
        self.exact_periods().into_iter().flatten().collect()
    }

    pub(super) fn has_unknown_period(&self) -> bool {
        self.exact_periods().iter().any(Option::is_none)
    }

    /// The periods of its edges and of its dips, where it has any; `None` for one that can't be held exactly.
    fn exact_periods(&self) -> Vec<Option<Period>> {
        let switching = self.trains.iter().map(|(_, train)| train).find(|train| train.switches());
        let edges = switching.map(|train| train.clock.exact());
        edges.into_iter().chain(self.dip.map(|dip| dip.exact_period())).collect()
    }

    pub(super) fn jump(&self) -> Option<Edge> {
        let tolerance = tolerance(0.0, self.shortest_period);
        self.trains.iter().find_map(|(_, train)| train.jump(tolerance))
    }

    pub(super) fn is_periodic(&self) -> bool {
        let forever =
            |train: &Train| train.first.is_none() && train.throttle.is_none() && train.jitter.is_none();
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
                let factored = |(drawn, train): &(Drawn, Train)| {
                    let standing = drawn.turning * dip.mean() + drawn.standing;
                    (Drawn { turning: 0.0, standing }, train.clone())
                };
                let trains = self.trains.iter().map(factored).collect();
                Self { dip: None, trains, ..*self }.mean()
            }
            _ => mean_of_period(|time| self.piece(time), &periods),
        }
    }
}

impl DriveSettings {
    /// What one motor, counted from 0, draws while on.
    fn drawn_by(&self, motor: u32) -> Drawn {
        let (stalled, stall_current) = self.stalled.unwrap_or((0, 0.0));
        if motor + stalled >= self.motors {
            return Drawn { turning: 0.0, standing: stall_current };
        }
        let place = if self.motors > 1 { f64::from(motor) / f64::from(self.motors - 1) - 0.5 } else { 0.0 };
        Drawn { turning: self.current * (1.0 + self.spread * place), standing: 0.0 }
    }
}

/// Whether two phases are one, the circle being closed.
fn same_phase(a: f64, b: f64) -> bool {
    let distance = (a - b).abs();
    distance.min(1.0 - distance) < 1e-12
}

//! A train of pulses with finite edges: what pulse-width modulation makes of a steady level.
//!
//! The pulse of period n begins at t_n = (n + phase) T and is, with its width w = duty T,
//!
//! ```text
//! level × (clamp((t - t_n) / rise, 0, 1) - clamp((t - t_n - w) / fall, 0, 1)) × (1 + ripple (clamp((t - t_n) / w, 0, 1) - 1/2))
//! ```
//!
//! and the train is the sum of all pulses, so that edges longer than the on or off time overlap as they should. At 100 %
//! duty there are no edges and no ripple. Jitter shifts each pulse as a whole, and never so far that pulses meet.

use super::Edge;
use super::clock::Clock;
use super::corner::{Bracket, Side, ramp};
use super::jitter::Jitter;
use super::points::Points;

/// A train of pulses of level 1 at full duty.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Train {
    /// Beginnings of the periods.
    pub(super) clock: Clock,
    /// Where in its period a pulse begins, as a fraction of the period, 0 to 1.
    pub(super) phase: f64,
    /// On-time as a fraction of the period, 0 to 1; measured at half height where both edges are alike.
    pub(super) duty: f64,
    /// Duration of a rising edge in seconds; 0 is a jump.
    pub(super) rise: f64,
    /// Duration of a falling edge in seconds; 0 is a jump.
    pub(super) fall: f64,
    /// Increase of the level over the on-time, as a fraction of its mean.
    pub(super) ripple: f64,
    /// Exponent n of duty^n, the level while on.
    pub(super) exponent: f64,
    /// Factor on duty against time in seconds, taken at each period's start.
    pub(super) throttle: Option<Points>,
    /// Number of the first period that has a pulse; `None` where pulses have come since ever.
    pub(super) first: Option<f64>,
    /// How unsteadily the pulses come.
    pub(super) jitter: Option<Jitter>,
}

/// The pulse of one period.
#[derive(Clone, Copy, Debug)]
struct Pulse {
    start: f64,
    width: f64,
    rise: f64,
    fall: f64,
    level: f64,
    ripple: f64,
}

impl Train {
    /// Whether no pulse ever comes.
    pub(super) fn is_off(&self) -> bool {
        self.duty <= 0.0
    }

    /// Whether there are edges again and again.
    pub(super) fn switches(&self) -> bool {
        !self.is_off() && !self.is_always_full()
    }

    /// The first edge no longer than `tolerance` in seconds, at which the train jumps.
    pub(super) fn jump(&self, tolerance: f64) -> Option<Edge> {
        let duties = self.throttle.as_ref().map(|throttle| {
            let factors = || throttle.points().iter().map(|point| self.duty * point.1);
            (factors().fold(f64::INFINITY, f64::min), factors().fold(0.0, f64::max))
        });
        let (least, most) = duties.unwrap_or((self.duty, self.duty));
        let falls = least < 1.0;
        let rises = falls || self.first.is_some();
        if most <= 0.0 {
            None
        } else if rises && self.rise <= tolerance {
            Some(Edge::Rise)
        } else {
            (falls && self.fall <= tolerance).then_some(Edge::Fall)
        }
    }

    /// Number of the first period whose pulse begins at `starts` in seconds or later.
    pub(super) fn first_period(clock: &Clock, phase: f64, starts: f64) -> f64 {
        // A billionth of a period covers the rounding of a start that was meant to be a period's.
        (clock.count(starts) - phase - 1e-9).ceil()
    }

    /// The sum of all pulses at `time` in seconds.
    pub(super) fn value(&self, time: f64, side: Side, tolerance: f64) -> f64 {
        if self.is_off() {
            return 0.0;
        }
        if self.is_always_full() {
            return self.first_start().map_or(1.0, |start| ramp(time, side, start, self.rise, tolerance));
        }
        let newest = self.newest(time);
        let mut number = newest - self.reach();
        let mut sum = 0.0;
        while number <= newest + 1.0 {
            if let Some(pulse) = self.pulse(number) {
                sum += pulse.value(time, side, tolerance);
            }
            number += 1.0;
        }
        sum
    }

    /// Adds the corners around the bracket's moment, which is `time` in seconds.
    pub(super) fn bracket(&self, time: f64, bracket: &mut Bracket) {
        if self.is_off() {
            return;
        }
        if let Some(start) = self.first_start() {
            bracket.add(start);
            if self.is_always_full() {
                bracket.add(start + self.rise);
            }
        }
        if self.is_always_full() {
            return;
        }
        let newest = self.newest(time);
        let mut number = newest - self.reach();
        while number <= newest + 2.0 {
            if let Some(pulse) = self.pulse(number) {
                bracket.add(pulse.start);
                bracket.add(pulse.start + pulse.rise);
                bracket.add(pulse.start + pulse.width);
                bracket.add(pulse.start + pulse.width + pulse.fall);
            } else if self.throttle.is_some() && self.first.is_none_or(|first| number >= first) {
                // A throttle may open again in any later period: none of them may be passed over.
                bracket.add(self.clock.time(number + self.phase));
            }
            number += 1.0;
        }
    }

    fn is_always_full(&self) -> bool {
        self.duty >= 1.0 && self.throttle.is_none()
    }

    fn first_start(&self) -> Option<f64> {
        self.first.map(|first| self.clock.time(first + self.phase))
    }

    /// Number of the last period that began before `time`, give or take a rounding.
    fn newest(&self, time: f64) -> f64 {
        (self.clock.count(time) - self.phase).floor()
    }

    /// For how many periods after its own a pulse may last.
    fn reach(&self) -> f64 {
        let period = self.clock.period();
        let late = self.jitter.map_or(0.0, |jitter| jitter.share);
        ((self.rise / period).max(self.duty.min(1.0) + self.fall.max(self.rise) / period) + late).ceil()
    }

    /// By how much of a period the pulse of that number comes late.
    ///
    /// Half of what two pulses leave between them is the most that one moves towards the other. The very first one comes no earlier
    /// than it was meant to.
    fn shift(&self, number: f64, duty: f64) -> f64 {
        let Some(jitter) = &self.jitter else { return 0.0 };
        let room = (1.0 - duty.max(self.duty_in(number - 1.0))) / 2.0;
        let shift = jitter.of_pulse(number);
        let is_first = self.first == Some(number);
        jitter.share.min(room) * if is_first { shift.abs() } else { shift }
    }

    fn duty_in(&self, number: f64) -> f64 {
        let duty = match &self.throttle {
            Some(throttle) => self.duty * throttle.value(self.clock.time(number + self.phase)),
            None => self.duty,
        };
        duty.clamp(0.0, 1.0)
    }

    fn pulse(&self, number: f64) -> Option<Pulse> {
        if self.first.is_some_and(|first| number < first) {
            return None;
        }
        let duty = self.duty_in(number);
        if duty <= 0.0 {
            return None;
        }
        let full = duty >= 1.0;
        // Under a throttle a full period has no edge towards the next one: its end fades into the next one's rise, which
        // adds up to a level line where both are full.
        let fall = if full && self.duty_in(number + 1.0) > 0.0 { self.rise } else { self.fall };
        Some(Pulse {
            start: self.clock.time(number + self.phase + self.shift(number, duty)),
            width: self.clock.period() * duty,
            rise: self.rise,
            fall,
            level: if self.exponent == 0.0 { 1.0 } else { duty.powf(self.exponent) },
            ripple: if full { 0.0 } else { self.ripple },
        })
    }
}

impl Pulse {
    #[inline]
    fn value(&self, time: f64, side: Side, tolerance: f64) -> f64 {
        let since = time - self.start;
        if since < -tolerance || since > self.rise.max(self.width + self.fall) + 2.0 * tolerance {
            return 0.0;
        }
        let edges = ramp(time, side, self.start, self.rise, tolerance)
            - ramp(time, side, self.start + self.width, self.fall, tolerance);
        let elapsed = (since / self.width).clamp(0.0, 1.0);
        self.level * edges * (1.0 + self.ripple * (elapsed - 0.5))
    }
}

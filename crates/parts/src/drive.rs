//! A vehicle's drive: motors behind pulse-width modulated controllers, as the current that they draw.

use crate::commutation::{DEFAULT_BRUSHES, Odd, Windings};
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::range::Ranges;
use crate::remark::Remark;
use quantity::Dimension;

/// Duration in seconds of an edge where nothing is said: a driver with a gate resistor (from memory, 50 to 500 ns).
pub const DEFAULT_EDGE: f64 = 200e-9;

/// Mean of a commutation's dip over its period as a share of its depth: a triangle of 10 % down and 10 % up.
const DIP: f64 = 0.1;

/// Greatest jitter as a fraction of the period: beyond a quarter, pulses would change their order.
const MOST_JITTER: f64 = 0.25;

/// What is said of a drive.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drive {
    /// Current in ampere drawn by each motor while on.
    pub current: f64,
    /// Number of motors.
    pub motors: Option<f64>,
    /// Pulse-width modulation frequency in hertz.
    pub pwm: f64,
    /// On-time as a fraction of the period.
    pub duty: f64,
    /// Duration of a rising edge in seconds.
    pub rise: Option<f64>,
    /// Duration of a falling edge in seconds.
    pub fall: Option<f64>,
    /// Phase of the first motor as a fraction of the period.
    pub phase: Option<f64>,
    /// Phase of each motor after the one before it.
    pub stagger: Option<f64>,
    /// Exponent n of on-current = current × duty^n.
    pub current_exponent: Option<f64>,
    /// Increase of the current over the on-time as a fraction of its mean.
    pub ripple: Option<f64>,
    /// Commutation frequency in hertz.
    pub commutation: Option<f64>,
    /// Depth of the commutation dip as a fraction.
    pub commutation_depth: Option<f64>,
    /// Speed of the motor in revolutions per second.
    pub speed: Option<f64>,
    /// Pairs of magnetic poles of the motor.
    pub pole_pairs: Option<f64>,
    /// Bars of the commutator of a brushed motor.
    pub bars: Option<f64>,
    /// Its brushes.
    pub brushes: Option<f64>,
    /// By how much some commutations dip deeper than the others, as a fraction of the current.
    pub imbalance: Option<f64>,
    /// Which ones do.
    pub odd: Option<Odd>,
    /// Difference between the currents of the last and the first motor, as a fraction of the current.
    pub spread: Option<f64>,
    /// How many motors stand still.
    pub stalled: Option<f64>,
    /// Current in ampere that each of those draws while on.
    pub stall_current: Option<f64>,
    /// Greatest shift of a pulse as a fraction of the period.
    pub jitter: Option<f64>,
    /// Selects the shifts.
    pub seed: Option<f64>,
    /// Factor on duty against time in seconds.
    pub throttle: Option<Vec<(f64, f64)>>,
    /// Earliest time of the first rise in seconds.
    pub starts: Option<f64>,
}

/// What the current's waveform is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Number of motors.
    pub motors: u32,
    /// Duration of a rising edge in seconds.
    pub rise: f64,
    /// Duration of a falling edge in seconds.
    pub fall: f64,
    /// Commutation frequency in hertz and depth of its dip.
    pub commutation: Option<(f64, f64)>,
    /// How many commutations make a cycle of which one dips deeper, and by how much.
    pub imbalance: Option<(u32, f64)>,
    /// How many of the motors stand still, and the current in ampere that each draws while on.
    pub stalled: Option<(u32, f64)>,
    /// Whether there are edges again and again (duty neither 0 nor 100 %).
    pub switches: bool,
    /// What the values come to at full throttle.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values that have no effect or look odd.
    pub remarks: Vec<Remark>,
}

impl Drive {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("current", Some(self.current));
        checks.whole("motors", self.motors);
        checks.positive("pwm", Some(self.pwm));
        checks.fraction("duty", Some(self.duty));
        checks.edge("rise", self.rise);
        checks.edge("fall", self.fall);
        checks.not_negative("current_exponent", self.current_exponent);
        checks.not_negative("commutation", self.commutation);
        checks.fraction("commutation_depth", self.commutation_depth);
        checks.not_negative("rpm", self.speed);
        checks.whole("pole_pairs", self.pole_pairs);
        checks.whole("bars", self.bars);
        checks.whole("brushes", self.brushes);
        checks.not_negative("starts", self.starts);
        self.check_ripple(&mut checks);
        self.check_differences(&mut checks);
        self.check_commutation(&mut checks);
        self.check_throttle(&mut checks);
        let switches = self.throttle.is_some() || (self.duty > 0.0 && self.duty < 1.0);
        let (rise, fall) = (self.rise.unwrap_or(DEFAULT_EDGE), self.fall.unwrap_or(DEFAULT_EDGE));
        if switches && !checks.failed() {
            self.check_edge("rise", rise, &mut checks);
            self.check_edge("fall", fall, &mut checks);
        }
        if switches && !checks.failed() {
            self.check_direction(rise, fall, &mut checks);
        }
        let assumptions = self.assumptions(switches);
        let remarks = self.remarks(rise, fall, switches);
        checks.finish(|| Equivalent {
            motors: self.motors.unwrap_or(1.0) as u32,
            rise,
            fall,
            commutation: self.commutation(),
            imbalance: self.imbalance(),
            stalled: self.stalled.zip(self.stall_current).map(|(count, current)| (count as u32, current)),
            switches,
            facts: self.facts(),
            assumptions,
            remarks,
        })
    }

    fn commutation(&self) -> Option<(f64, f64)> {
        let by_speed = self.speed.zip(self.windings()).map(|(speed, windings)| windings.frequency(speed));
        let dips = [self.commutation_depth, self.imbalance].into_iter().flatten().any(|depth| depth > 0.0);
        let depth = self.commutation_depth.or(self.imbalance.map(|_| 0.0)).filter(|_| dips);
        self.commutation.or(by_speed).filter(|&frequency| frequency > 0.0).zip(depth)
    }

    /// Currents at full throttle, edges and ripple aside, which change no mean where they are alike; and how often windings switch over.
    fn facts(&self) -> Vec<Fact> {
        let motors = self.motors.unwrap_or(1.0);
        let standing = self.stalled.unwrap_or(0.0);
        let first = 1.0 - self.spread.unwrap_or(0.0) / 2.0;
        let step = if motors > 1.0 { self.spread.unwrap_or(0.0) / (motors - 1.0) } else { 0.0 };
        let turning = (motors - standing).max(0.0);
        // A rising series of currents from the first motor on.
        let shares = if motors > 1.0 { turning * (first + step * (turning - 1.0) / 2.0) } else { turning };
        let level = self.duty.powf(self.current_exponent.unwrap_or(0.0));
        let commutation = self.commutation();
        let dips = commutation.map_or(0.0, |(_, depth)| {
            let extra = self.imbalance().map_or(0.0, |(every, extra)| extra / f64::from(every));
            (depth + extra) * DIP
        });
        let turning_current = self.current * shares * level;
        let standing_current = standing * self.stall_current.unwrap_or(0.0) * level;
        let mean = (turning_current * (1.0 - dips) + standing_current) * self.duty;
        let mut facts = vec![
            Fact::new("on_current", turning_current + standing_current, Dimension::CURRENT),
            Fact::new("mean_current", mean, Dimension::CURRENT),
        ];
        let frequency = commutation.map(|(frequency, _)| frequency);
        facts.extend(frequency.map(|hertz| Fact::new("commutation", hertz, Dimension::FREQUENCY)));
        facts
    }

    fn windings(&self) -> Option<Windings> {
        let brushes = self.brushes.unwrap_or(DEFAULT_BRUSHES);
        let commutator = self.bars.map(|bars| Windings::Commutator { bars, brushes });
        self.pole_pairs.map(Windings::Poles).or(commutator)
    }

    fn imbalance(&self) -> Option<(u32, f64)> {
        let extra = self.imbalance.filter(|&extra| extra > 0.0)?;
        let windings = self.windings().unwrap_or(Windings::Poles(1.0));
        Some((windings.cycle(self.odd.unwrap_or_default()), extra))
    }

    fn assumptions(&self, switches: bool) -> Vec<String> {
        let mut assumptions = Vec::new();
        let edges = [("rise", self.rise), ("fall", self.fall)];
        let left_out: Vec<&str> = edges.iter().filter(|edge| edge.1.is_none()).map(|edge| edge.0).collect();
        if !left_out.is_empty() && switches {
            assumptions.push(format!("{} {}", left_out.join(" and "), with_unit(DEFAULT_EDGE, "s")));
        }
        if self.bars.is_some() && self.brushes.is_none() {
            assumptions.push(format!("{DEFAULT_BRUSHES} brushes, as small motors have"));
        }
        assumptions
    }

    fn remarks(&self, rise: f64, fall: f64, switches: bool) -> Vec<Remark> {
        let mut remarks = self.outside_range();
        let frequency = self.commutation.is_some() || self.speed.is_some();
        if frequency != self.commutation_depth.is_some() {
            remarks.push(Remark::new(
                "commutation_without_effect",
                "commutation needs both a frequency and `commutation_depth`; one alone has no effect",
            ));
        }
        let (on, off) = (self.duty / self.pwm, (1.0 - self.duty) / self.pwm);
        if switches && self.throttle.is_none() && (rise > on || fall > off) {
            let text = format!(
                "the edges ({} and {}) are longer than the on or off time ({} and {}) and overlap",
                with_unit(rise, "s"),
                with_unit(fall, "s"),
                with_unit(on, "s"),
                with_unit(off, "s")
            );
            remarks.push(Remark::new("edges_overlap", text));
        }
        remarks
    }

    /// Values at which real drives do what the model does not.
    fn outside_range(&self) -> Vec<Remark> {
        let mut ranges = Ranges::default();
        let fast = "wiring and half bridges then ring and lose in ways that straight edges don't show";
        ranges.at_most("pwm", Some(self.pwm), 1e6, "Hz", fast);
        let slow =
            "below it the current of small motors comes to rest within the period, and is no trapezoid";
        ranges.at_least("pwm", Some(self.pwm), 50.0, "Hz", slow);
        let turns = "no motor of such a vehicle turns faster; check the unit, which is rpm or Hz";
        ranges.at_most("rpm", self.speed.map(|speed| speed * 60.0), 200e3, "rpm", turns);
        let exponent = "a fan or propeller takes a current between the square and the cube of its duty";
        ranges.at_most("current_exponent", self.current_exponent, 3.0, "", exponent);
        let dip = "a deeper dip is a winding that loses its current, and then the motors brake between steps";
        ranges.at_most(
            "commutation_depth",
            self.commutation_depth.map(|depth| depth * 100.0),
            80.0,
            "%",
            dip,
        );
        ranges.into_remarks()
    }

    fn check_differences(&self, checks: &mut Checks) {
        checks.fraction("imbalance", self.imbalance);
        let deepest = self.imbalance.unwrap_or(0.0) + self.commutation_depth.unwrap_or(0.0);
        if self.imbalance.is_some() && deepest > 1.0 {
            checks.add(
                "imbalance",
                format!("the deepest dip takes {} % of the current away", shown(deepest * 100.0)),
                "`imbalance` adds to `commutation_depth`, and together they can be 100 % at most",
            );
        }
        if let Some(spread) = self.spread.filter(|spread| !(0.0..=2.0).contains(spread)) {
            checks.add(
                "spread",
                format!("`spread` is {} %, but it must be 0 % to 200 %", shown(spread * 100.0)),
                "it is the difference between the last and the first motor, as a share of `current`",
            );
        }
        checks.whole("stalled", self.stalled);
        checks.not_negative("stall_current", self.stall_current);
        let motors = self.motors.unwrap_or(1.0);
        if let Some(stalled) = self.stalled.filter(|&stalled| stalled > motors) {
            checks.add(
                "stalled",
                format!("{} motors are stalled, but there are only {}", shown(stalled), shown(motors)),
                "`stalled` counts among `motors`",
            );
        }
        if let Some(jitter) = self.jitter.filter(|jitter| !(0.0..=MOST_JITTER).contains(jitter)) {
            checks.add(
                "jitter",
                format!("`jitter` is {} %, but it must be 0 % to 25 %", shown(jitter * 100.0)),
                "it is by how much of a period a pulse comes early or late at most",
            );
        }
    }

    fn check_ripple(&self, checks: &mut Checks) {
        if let Some(ripple) = self.ripple.filter(|ripple| !(0.0..=2.0).contains(ripple)) {
            checks.add(
                "ripple",
                format!("`ripple` is {} %, but it must be 0 % to 200 %", shown(ripple * 100.0)),
                "it is the rise of the current over the on-time, as a share of its mean",
            );
        }
    }

    fn check_commutation(&self, checks: &mut Checks) {
        let alone = self.windings().is_some() && self.speed.is_none() && self.commutation.is_none();
        if alone || (self.speed.is_some() && self.windings().is_none()) {
            checks.add(
                "rpm",
                "`rpm` goes together with `pole_pairs`, or with `bars` of a brushed motor",
                "give both, or the commutation frequency as `commutation`",
            );
        }
        if self.pole_pairs.is_some() && self.bars.is_some() {
            checks.add(
                "bars",
                "both `pole_pairs` and `bars` are given, and a motor has a commutator or none",
                "keep `bars` for a motor with brushes, `pole_pairs` for one without",
            );
        }
        if self.commutation.is_some() && self.speed.is_some() {
            checks.add(
                "commutation",
                "both `commutation` and `rpm` are given, and each fixes the commutation frequency",
                "keep one of them",
            );
        }
    }

    fn check_throttle(&self, checks: &mut Checks) {
        for &(time, factor) in self.throttle.iter().flatten() {
            if !(factor.is_finite() && factor >= 0.0 && factor * self.duty <= 1.0 + 1e-12) {
                checks.add(
                    "throttle",
                    format!(
                        "`throttle` at {} makes a duty of {} %",
                        with_unit(time, "s"),
                        shown(factor * self.duty * 100.0)
                    ),
                    "throttle multiplies `duty`, and the product must be 0 % to 100 %",
                );
            }
        }
    }

    fn check_edge(&self, property: &'static str, edge: f64, checks: &mut Checks) {
        let period = 1.0 / self.pwm;
        if edge > period {
            checks.add(
                property,
                format!(
                    "an edge of {} doesn't fit into a period of {}",
                    with_unit(edge, "s"),
                    with_unit(period, "s")
                ),
                "edges of motor drivers last some 50 ns to 1 us; check the unit, or lower `pwm`",
            );
        }
    }

    /// Refuses a pulse whose fall ends before its rise does.
    ///
    /// `clamp(t / rise, 0, 1) - clamp((t - on) / fall, 0, 1)` is least at `t = on + fall`, where it is
    /// `(on + fall) / rise - 1` while the rise still goes on. As no edge is longer than the period, no other pulse makes
    /// up for it. The ripple has come to its end by then.
    fn check_direction(&self, rise: f64, fall: f64, checks: &mut Checks) {
        let Some(duty) = self.least_duty() else { return };
        let on = duty / self.pwm;
        let share = (1.0 - (on + fall) / rise) * (1.0 + self.ripple.unwrap_or(0.0) / 2.0);
        let current = self.current * duty.powf(self.current_exponent.unwrap_or(0.0));
        // A current of 0 has no direction; a rise of 0 makes the share minus infinity.
        if share > BACKWARD && self.current > 0.0 {
            let pulse =
                if self.throttle.is_some() { "the shortest pulse under the throttle" } else { "a pulse" };
            checks.add(
                "rise",
                format!(
                    "the `rise` of {} goes on after {pulse} is over ({} on and {} of `fall`), so that a motor would \
                     draw {}",
                    with_unit(rise, "s"),
                    with_unit(on, "s"),
                    with_unit(fall, "s"),
                    with_unit(-share * current, "A")
                ),
                "a drive draws current and gives none back: make `rise` no longer than the on-time and `fall` together",
            );
        }
    }

    /// Least on-time of a pulse as a fraction of the period, or what it comes near to; `None` where no pulse comes.
    fn least_duty(&self) -> Option<f64> {
        let Some(throttle) = &self.throttle else { return Some(self.duty) };
        let factors = || throttle.iter().map(|point| point.1);
        let opens = self.duty > 0.0 && factors().any(|factor| factor > 0.0);
        opens.then(|| self.duty * factors().fold(f64::INFINITY, f64::min))
    }
}

/// Share of the current that may flow back: the roundings of durations that were meant to be equal.
const BACKWARD: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    fn tracks() -> Drive {
        Drive { current: 9.0, pwm: 20e3, duty: 0.6, ..Drive::default() }
    }

    #[test]
    fn left_out_edges_are_200_nanoseconds() {
        let equivalent = tracks().equivalent().unwrap();
        assert_eq!((equivalent.rise, equivalent.fall, equivalent.motors), (200e-9, 200e-9, 1));
        assert_eq!(equivalent.assumptions, ["rise and fall 200 ns"]);
        assert!(equivalent.switches && equivalent.remarks.is_empty());
    }

    #[test]
    fn commutation_from_speed() {
        // 6000 rpm with 7 pole pairs: 100 Hz × 7 electrical revolutions × 6 steps.
        let drive =
            Drive { speed: Some(100.0), pole_pairs: Some(7.0), commutation_depth: Some(0.05), ..tracks() };
        assert_eq!(drive.equivalent().unwrap().commutation, Some((4200.0, 0.05)));
        let brushed = Drive {
            speed: Some(200.0),
            bars: Some(5.0),
            commutation_depth: Some(0.05),
            imbalance: Some(0.1),
            ..tracks()
        };
        let equivalent = brushed.equivalent().unwrap();
        assert_eq!(equivalent.commutation, Some((2000.0, 0.05)));
        assert_eq!(equivalent.imbalance, Some((5, 0.1)));
        assert!(equivalent.assumptions.contains(&"2 brushes, as small motors have".to_owned()));
    }

    #[test]
    fn currents_add_up() {
        let facts = |drive: Drive| {
            drive.equivalent().unwrap().facts.iter().map(|fact| fact.value).collect::<Vec<f64>>()
        };
        let close = |found: &[f64], expected: &[f64]| {
            assert_eq!(found.len(), expected.len());
            for (found, expected) in found.iter().zip(expected) {
                assert!((found / expected - 1.0).abs() < 1e-12, "{found}, expected {expected}");
            }
        };
        let three = Drive { motors: Some(3.0), spread: Some(0.2), ..tracks() };
        close(&facts(three.clone()), &[27.0, 16.2]);
        // The last of 8.1 A, 9 A and 9.9 A stands still.
        let stuck = Drive { stalled: Some(1.0), stall_current: Some(20.0), ..three };
        close(&facts(stuck), &[37.1, 22.26]);
        let dipping = Drive {
            commutation: Some(480.0),
            commutation_depth: Some(0.05),
            imbalance: Some(0.3),
            ..tracks()
        };
        // A dip of 5 % and one in three of 35 %, a tenth of their depth in the mean.
        close(&facts(dipping), &[9.0, 5.4 * (1.0 - 0.1 * (0.05 + 0.1)), 480.0]);
    }

    #[test]
    fn values_outside_the_model_are_remarked() {
        let remarks = |drive: Drive| drive.equivalent().unwrap().remarks;
        let fast = remarks(Drive { pwm: 2e6, duty: 0.5, rise: Some(10e-9), fall: Some(10e-9), ..tracks() });
        assert_eq!(fast.len(), 1);
        assert!(fast[0].text.starts_with("`pwm` is 2 MHz, and the model is good up to 1 MHz"), "{fast:?}");
        let turning = Drive {
            speed: Some(250e3 / 60.0),
            pole_pairs: Some(1.0),
            commutation_depth: Some(0.05),
            ..tracks()
        };
        assert!(remarks(turning)[0].text.starts_with("`rpm` is 250 krpm"));
        assert_eq!(remarks(Drive { current_exponent: Some(3.5), ..tracks() }).len(), 1);
        assert_eq!(remarks(Drive { current_exponent: Some(3.0), ..tracks() }).len(), 0);
    }

    #[test]
    fn a_drive_at_its_ends_does_not_switch() {
        for duty in [0.0, 1.0] {
            let equivalent = Drive { duty, ..tracks() }.equivalent().unwrap();
            assert!(!equivalent.switches && equivalent.assumptions.is_empty());
        }
    }

    #[test]
    fn overlapping_edges_are_remarked_and_endless_ones_refused() {
        let slow = Drive { fall: Some(25e-6), ..tracks() };
        assert_eq!(slow.equivalent().unwrap().remarks.len(), 1);
        let endless = Drive { fall: Some(1.0), ..tracks() };
        assert_eq!(endless.equivalent().unwrap_err()[0].property, "fall");
    }

    #[test]
    fn a_current_that_would_flow_back_is_refused() {
        // On for 5 us; by the formula the current is least when the fall ends, at 5.2 us of a rise of 20 us.
        let late = Drive { duty: 0.1, rise: Some(20e-6), ..tracks() };
        let told = late.equivalent().unwrap_err();
        assert_eq!((told.len(), told[0].property), (1, "rise"));
        // 9 A × (5.2 / 20 - 1)
        assert!(told[0].message.contains("draw -6.66 A"), "{}", told[0].message);
        assert!(Drive { current: 0.0, ..late.clone() }.equivalent().is_ok());

        // As long as on-time and fall together is allowed, with the roundings of both.
        let just = Drive { duty: 0.1, rise: Some(5.2e-6), ..tracks() };
        assert_eq!(just.equivalent().unwrap().remarks.len(), 1);
        let throttle = |least| Some(vec![(0.0, least), (1e-3, 1.0)]);
        let slow = Drive { rise: Some(300e-9), ..tracks() };
        assert!(Drive { throttle: throttle(0.1), ..slow.clone() }.equivalent().is_ok());
        assert!(Drive { throttle: Some(vec![(0.0, 0.0)]), ..slow.clone() }.equivalent().is_ok());
        let told = Drive { throttle: throttle(0.0), ..slow }.equivalent().unwrap_err();
        assert!(told[0].message.contains("under the throttle"), "{}", told[0].message);
        // The usual edges are alike and never flow back.
        assert!(Drive { throttle: throttle(0.0), ..tracks() }.equivalent().is_ok());
    }

    #[test]
    fn contradictions_are_told() {
        let property = |drive: Drive| drive.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Drive { duty: 1.2, ..tracks() }), "duty");
        assert_eq!(property(Drive { fall: Some(0.9e-12), ..tracks() }), "fall");
        assert_eq!(property(Drive { motors: Some(1.5), ..tracks() }), "motors");
        assert_eq!(property(Drive { speed: Some(10.0), ..tracks() }), "rpm");
        assert_eq!(property(Drive { ripple: Some(3.0), ..tracks() }), "ripple");
        assert_eq!(property(Drive { jitter: Some(0.3), ..tracks() }), "jitter");
        assert_eq!(property(Drive { spread: Some(2.1), ..tracks() }), "spread");
        assert_eq!(property(Drive { stalled: Some(2.0), stall_current: Some(20.0), ..tracks() }), "stalled");
        let deep = Drive {
            commutation: Some(480.0),
            commutation_depth: Some(0.6),
            imbalance: Some(0.5),
            ..tracks()
        };
        assert_eq!(property(deep), "imbalance");
        assert_eq!(property(Drive { throttle: Some(vec![(0.0, 2.0)]), ..tracks() }), "throttle");
        let both = Drive { speed: Some(1.0), pole_pairs: Some(1.0), commutation: Some(6.0), ..tracks() };
        assert_eq!(property(both), "commutation");
    }
}

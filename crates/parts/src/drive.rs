//! A vehicle's drive: motors behind pulse-width modulated controllers, as the current that they draw.

mod checks;
mod facts;

use crate::commutation::{DEFAULT_BRUSHES, Odd, Windings};
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use crate::remark::Remark;

/// Duration in seconds of an edge where nothing is said: a driver with a gate resistor (from memory, 50 to 500 ns).
pub const DEFAULT_EDGE: f64 = 200e-9;

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
        let draws = self.current > 0.0 && self.duty > 0.0;
        if draws && self.commutation.is_none() && self.speed.is_none() {
            assumptions.push("commutation left out, so no ripple at full throttle".to_owned());
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
}

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
        assert_eq!(
            equivalent.assumptions,
            ["rise and fall 200 ns", "commutation left out, so no ripple at full throttle"]
        );
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
            assert!(!equivalent.switches);
            let edges = |assumption: &String| assumption.starts_with("rise");
            assert!(!equivalent.assumptions.iter().any(edges), "{:?}", equivalent.assumptions);
        }
    }

    #[test]
    fn a_drive_without_commutation_says_so() {
        let left_out = |drive: Drive| {
            let assumptions = drive.equivalent().unwrap().assumptions;
            assumptions.iter().any(|assumption| assumption.starts_with("commutation left out"))
        };
        assert!(left_out(tracks()) && left_out(Drive { duty: 1.0, ..tracks() }));
        let commutating = Drive { commutation: Some(480.0), commutation_depth: Some(0.05), ..tracks() };
        assert!(!left_out(commutating));
        // It draws nothing of which a part could be missing.
        assert!(!left_out(Drive { duty: 0.0, ..tracks() }) && !left_out(Drive { current: 0.0, ..tracks() }));
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

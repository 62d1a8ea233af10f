//! A switch: two resistances, and the times at which it changes from one to the other.

use crate::mistake::{Checks, Mistake, with_unit};

/// Resistance in ohm while closed where nothing is said: contacts and small transistors, common practice, no source.
const DEFAULT_CLOSED: f64 = 10e-3;
/// Resistance in ohm while open where nothing is said: common practice, no source.
const DEFAULT_OPEN: f64 = 1e6;

/// What is said of a switch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Switch {
    /// Resistance in ohm while closed.
    pub closed_resistance: Option<f64>,
    /// Resistance in ohm while open.
    pub open_resistance: Option<f64>,
    /// Time in seconds at which it closes.
    pub closes: Option<f64>,
    /// Time in seconds at which it opens.
    pub opens: Option<f64>,
}

/// The electrical equivalent.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Resistance in ohm while closed.
    pub closed_resistance: f64,
    /// Resistance in ohm while open.
    pub open_resistance: f64,
    /// Whether it is closed before it first moves.
    pub begins_closed: bool,
    /// Times in seconds at which it moves, rising.
    pub moves: Vec<f64>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Switch {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("closed_resistance", self.closed_resistance);
        checks.positive("open_resistance", self.open_resistance);
        checks.not_negative("closes", self.closes);
        checks.not_negative("opens", self.opens);
        let closed = self.closed_resistance.unwrap_or(DEFAULT_CLOSED);
        let open = self.open_resistance.unwrap_or(DEFAULT_OPEN);
        if open <= closed {
            let given = self.open_resistance.map_or("closed_resistance", |_| "open_resistance");
            checks.add(
                given,
                format!(
                    "it has {} while open, no more than the {} while closed",
                    with_unit(open, "ohm"),
                    with_unit(closed, "ohm")
                ),
                "give `open_resistance` a larger value",
            );
        }
        if self.closes.is_some() && self.closes == self.opens {
            checks.add("opens", "it closes and opens at the same time", "give the times one after the other");
        }
        checks.finish(|| {
            let mut moves: Vec<f64> = [self.closes, self.opens].into_iter().flatten().collect();
            moves.sort_by(f64::total_cmp);
            // Before its first move it stands the other way.
            let begins_closed = moves.first().is_none_or(|first| self.opens == Some(*first));
            let mut assumptions = Vec::new();
            if self.closed_resistance.is_none() {
                assumptions.push(format!("{} while closed", with_unit(closed, "ohm")));
            }
            if self.open_resistance.is_none() && !moves.is_empty() {
                assumptions.push(format!("{} while open", with_unit(open, "ohm")));
            }
            if self.opens.is_some() {
                assumptions.push(
                    "opens at once and without an arc, so that a coil in its way drives the voltage as high as its resistance while open allows"
                        .to_owned(),
                );
            }
            Equivalent { closed_resistance: closed, open_resistance: open, begins_closed, moves, assumptions }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_stands_the_other_way_before_it_first_moves() {
        let course = |closes: Option<f64>, opens: Option<f64>| {
            let equivalent = Switch { closes, opens, ..Switch::default() }.equivalent().unwrap();
            (equivalent.begins_closed, equivalent.moves)
        };
        assert_eq!(course(None, None), (true, vec![]));
        assert_eq!(course(Some(1.0), None), (false, vec![1.0]));
        assert_eq!(course(None, Some(2.0)), (true, vec![2.0]));
        assert_eq!(course(Some(1.0), Some(2.0)), (false, vec![1.0, 2.0]));
        assert_eq!(course(Some(2.0), Some(1.0)), (true, vec![1.0, 2.0]));
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |switch: Switch| switch.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Switch { open_resistance: Some(1e-3), ..Switch::default() }), "open_resistance");
        assert_eq!(
            property(Switch { closed_resistance: Some(1e7), ..Switch::default() }),
            "closed_resistance"
        );
        assert_eq!(property(Switch { closes: Some(1.0), opens: Some(1.0), ..Switch::default() }), "opens");
        assert_eq!(property(Switch { closes: Some(-1.0), ..Switch::default() }), "closes");
    }
}

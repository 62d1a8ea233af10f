//! A connector: contacts with a resistance, which may close at a time of the run, bounce, and have a resistor go first.

use crate::mistake::{Checks, Mistake, with_unit};

/// Contact resistance in ohm where nothing is said: from 0.5 mohm of a large bullet contact to 20 mohm of a pin header, from memory.
const DEFAULT_CONTACT: f64 = 5e-3;
/// Resistance in ohm while apart: that of an open switch.
const OPEN: f64 = 1e6;
/// By what each bounce is shorter than the one before, as a ball's on a table: common practice, no source.
const SHORTER: f64 = 0.6;
/// How long in seconds contacts bounce where nothing is said: some milliseconds, common practice, no source.
const DEFAULT_BOUNCE_TIME: f64 = 3e-3;
/// How long in seconds the resistor is in touch before the contacts are, where nothing is said: a plug pushed home by hand
/// takes some ten milliseconds for its first millimetres; common practice, no source.
const DEFAULT_ANTI_SPARK_TIME: f64 = 20e-3;
/// More bounces than contacts make.
const MOST_BOUNCES: f64 = 100.0;

/// What is said of a connector.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Connector {
    /// Resistance in ohm of all contacts in the way.
    pub contact_resistance: Option<f64>,
    /// Inductance in henry.
    pub inductance: Option<f64>,
    /// Rated current in ampere.
    pub rated: Option<f64>,
    /// Time in seconds at which it is plugged in.
    pub closes: Option<f64>,
    /// How often its contacts part again before they stay.
    pub bounces: Option<f64>,
    /// How long in seconds they do so.
    pub bounce_time: Option<f64>,
    /// Resistance in ohm of the resistor that touches first.
    pub anti_spark_resistance: Option<f64>,
    /// How long in seconds it is alone.
    pub anti_spark_time: Option<f64>,
}

/// The electrical equivalent: contacts, and a resistor with a contact of its own beside them, in series with an inductance.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Resistance in ohm of the contacts while together.
    pub contact_resistance: f64,
    /// Resistance in ohm while apart.
    pub open_resistance: f64,
    /// Inductance in henry.
    pub inductance: f64,
    /// Times in seconds, rising, at which the contacts move, first together; `None` where they are together throughout.
    pub moves: Option<Vec<f64>>,
    /// The resistor and the time in seconds at which it touches.
    pub anti_spark: Option<(f64, f64)>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Connector {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("contact_resistance", self.contact_resistance);
        checks.not_negative("inductance", self.inductance);
        checks.positive("rated", self.rated);
        checks.not_negative("closes", self.closes);
        checks.whole("bounces", self.bounces);
        checks.positive("bounce_time", self.bounce_time);
        checks.positive("anti_spark_resistance", self.anti_spark_resistance);
        checks.positive("anti_spark_time", self.anti_spark_time);
        if let Some(bounces) = self.bounces.filter(|&bounces| bounces > MOST_BOUNCES) {
            checks.add(
                "bounces",
                format!("contacts that part {bounces} times are loose, not bouncing"),
                format!("give {MOST_BOUNCES} or fewer"),
            );
        }
        let contact = self.contact_resistance.unwrap_or(DEFAULT_CONTACT);
        if let Some(resistance) = self.anti_spark_resistance.filter(|&resistance| resistance <= contact) {
            checks.add(
                "anti_spark_resistance",
                format!(
                    "the resistor has {}, no more than the contacts' {}",
                    with_unit(resistance, "ohm"),
                    with_unit(contact, "ohm")
                ),
                "give some ohms: the pack's voltage over it is the current of the spark",
            );
        }
        checks.finish(|| self.build(contact))
    }

    fn build(&self, contact_resistance: f64) -> Equivalent {
        let mut assumptions = Vec::new();
        if self.contact_resistance.is_none() {
            assumptions.push(format!("contact resistance {}", with_unit(contact_resistance, "ohm")));
        }
        let first = self.closes;
        let anti_spark = first.zip(self.anti_spark_resistance).map(|(time, resistance)| (resistance, time));
        let full = first.map(|time| match anti_spark {
            Some(_) => time + self.anti_spark_time(&mut assumptions),
            None => time,
        });
        let moves = full.map(|time| self.moves(time, &mut assumptions));
        if moves.is_some() {
            assumptions.push(format!("{} while apart", with_unit(OPEN, "ohm")));
        }
        Equivalent {
            contact_resistance,
            open_resistance: OPEN,
            inductance: self.inductance.unwrap_or(0.0),
            moves,
            anti_spark,
            assumptions,
        }
    }

    fn anti_spark_time(&self, assumptions: &mut Vec<String>) -> f64 {
        self.anti_spark_time.unwrap_or_else(|| {
            assumptions.push(format!(
                "the anti-spark resistor touches {} before the contacts",
                with_unit(DEFAULT_ANTI_SPARK_TIME, "s")
            ));
            DEFAULT_ANTI_SPARK_TIME
        })
    }

    /// Together at `first`, then apart and together again, each stretch shorter than the one before, until all time for it is over.
    fn moves(&self, first: f64, assumptions: &mut Vec<String>) -> Vec<f64> {
        let mut moves = vec![first];
        let Some(bounces) = self.bounces else { return moves };
        let whole = self.bounce_time.unwrap_or_else(|| {
            assumptions.push(format!("contacts bounce for {}", with_unit(DEFAULT_BOUNCE_TIME, "s")));
            DEFAULT_BOUNCE_TIME
        });
        // Every bounce has a stretch together and one apart of the same length; the first ones sum up to `whole`.
        let sum = (1.0 - SHORTER.powf(bounces)) / (1.0 - SHORTER);
        let mut length = whole / sum;
        let mut time = first;
        for _ in 0..bounces as u32 {
            moves.push(time + 0.5 * length);
            time += length;
            moves.push(time);
            length *= SHORTER;
        }
        // Of a hundred bounces the last ones are too short to be told apart.
        moves.dedup_by(|next, before| *next - *before < 1e-9 * whole);
        if moves.len() % 2 == 0 {
            moves.pop();
        }
        moves
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mated_connector_is_a_resistance() {
        let mated =
            Connector { contact_resistance: Some(2e-3), ..Connector::default() }.equivalent().unwrap();
        assert_eq!((mated.contact_resistance, mated.moves, mated.anti_spark), (2e-3, None, None));
        assert!(mated.assumptions.is_empty());
    }

    #[test]
    fn bounces_grow_shorter_and_end_in_time() {
        let plug = Connector {
            closes: Some(1e-3),
            bounces: Some(3.0),
            bounce_time: Some(2e-3),
            ..Connector::default()
        };
        let moves = plug.equivalent().unwrap().moves.unwrap();
        assert_eq!(moves.len(), 7);
        assert!((moves[0] - 1e-3).abs() < 1e-15 && (moves[6] - 3e-3).abs() < 1e-12, "{moves:?}");
        let apart: Vec<f64> = moves[1..].chunks(2).map(|pair| pair[1] - pair[0]).collect();
        assert!(apart.windows(2).all(|pair| pair[1] < pair[0]), "{apart:?}");
    }

    #[test]
    fn many_bounces_end_together() {
        for bounces in [1.0, 40.0, 100.0] {
            let plug = Connector { closes: Some(0.0), bounces: Some(bounces), ..Connector::default() };
            let moves = plug.equivalent().unwrap().moves.unwrap();
            assert!(moves.len() % 2 == 1 && moves.windows(2).all(|pair| pair[1] > pair[0]), "{bounces}");
        }
    }

    #[test]
    fn the_resistor_touches_first() {
        let plug = Connector {
            closes: Some(1e-3),
            anti_spark_resistance: Some(10.0),
            anti_spark_time: Some(5e-3),
            ..Connector::default()
        };
        let plug = plug.equivalent().unwrap();
        assert_eq!(plug.anti_spark, Some((10.0, 1e-3)));
        assert_eq!(plug.moves, Some(vec![6e-3]));
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |connector: Connector| connector.equivalent().unwrap_err()[0].property;
        assert_eq!(
            property(Connector { anti_spark_resistance: Some(1e-3), ..Connector::default() }),
            "anti_spark_resistance"
        );
        assert_eq!(property(Connector { bounces: Some(1000.0), ..Connector::default() }), "bounces");
        assert_eq!(
            property(Connector { contact_resistance: Some(0.0), ..Connector::default() }),
            "contact_resistance"
        );
    }
}

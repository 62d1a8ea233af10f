//! What repeats in a harness: the frequencies that could be seen in a picture.

use crate::options::{Options, OptionsError, product};
use language::description::{Harness, Part, Start};
use language::{Description, Kind};
use network::lowered::Lowered;

/// Points of all axes that are looked at.
const MOST_POINTS: usize = 2000;

/// Electrical periods of a motor have six commutations (common practice of three-phase motors).
const COMMUTATIONS: f64 = 6.0;

/// A frequency at which a part shakes the harness.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceLine {
    /// Name of the part.
    pub part: String,
    /// What happens that often.
    pub what: What,
    /// Frequency in hertz.
    pub frequency: f64,
}

/// What a part repeats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// The pulse-width modulation of a drive.
    Pwm,
    /// The commutation of its motors.
    Commutation,
    /// The revolutions of its motors.
    Rotation,
    /// The frames of a servo.
    Frame,
    /// The steps of a transmitter.
    Step,
    /// The pulses of a generator.
    Pulse,
    /// The sine of a source.
    Sine,
}

impl What {
    /// As people say it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pwm => "PWM",
            Self::Commutation => "commutation",
            Self::Rotation => "rotation",
            Self::Frame => "frames",
            Self::Step => "steps",
            Self::Pulse => "pulses",
            Self::Sine => "sine",
        }
    }
}

/// Every rhythm of a harness over the points that the options leave, each once, by rising frequency.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn rhythms(description: &Description, options: &Options) -> Result<Vec<SourceLine>, OptionsError> {
    let mut found: Vec<SourceLine> = Vec::new();
    for point in product(&options.points(description)?).take(MOST_POINTS) {
        let harness = description.at(&point);
        if let Ok(lowered) = network::lowering::lower(&harness, Start::Steady) {
            of_point(&harness, &lowered).iter().for_each(|line| crate::examine::push_new(&mut found, line));
        }
    }
    found.sort_by(|one, other| one.frequency.total_cmp(&other.frequency));
    Ok(found)
}

/// The rhythms of one point.
pub(super) fn of_point(harness: &Harness, lowered: &Lowered) -> Vec<SourceLine> {
    harness.parts.iter().flat_map(|part| of_part(part, lowered)).collect()
}

fn of_part(part: &Part, lowered: &Lowered) -> Vec<SourceLine> {
    let entered = lowered.part(&part.name);
    let limits = entered.map(|entered| entered.limits).unwrap_or_default();
    let fact = |name: &str| entered?.facts.iter().find(|fact| fact.name == name).map(|fact| fact.value);
    let moving = || part.word("motion").is_none_or(|word| word == "moving");
    let rotation = || {
        let by_speed = part.number("rpm");
        let pole_pairs = part.number("pole_pairs");
        by_speed.or_else(|| Some(limits.commutation? / COMMUTATIONS / pole_pairs?))
    };
    let lines = match part.kind {
        Kind::Drive | Kind::HalfBridge => vec![
            (What::Pwm, limits.pwm),
            (What::Commutation, limits.commutation),
            (What::Rotation, rotation()),
        ],
        Kind::Servo => vec![(What::Frame, part.number("frame_rate").filter(|_| moving()))],
        Kind::Transmitter => vec![(What::Step, fact("step_rate"))],
        Kind::Generator => vec![(What::Pulse, part.number("period").map(|period| 1.0 / period))],
        Kind::Source => vec![(What::Sine, part.number("frequency"))],
        _ => Vec::new(),
    };
    lines
        .into_iter()
        .filter_map(|(what, frequency)| {
            let frequency = frequency.filter(|frequency| frequency.is_finite() && *frequency > 0.0)?;
            Some(SourceLine { part: part.name.clone(), what, frequency })
        })
        .collect()
}

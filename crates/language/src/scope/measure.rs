//! Readings of waveforms: which there are, what they take, what dimension they have.

use super::{Scope, Speaks, Typed, in_words, over_frequency, tell_arguments};
use crate::description::{Expression, Measure};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::names::Bearer;
use crate::syntax::{Node, NodeKind, Word};
use quantity::Dimension;

use super::Wanted;

/// Every reading of a waveform with the arguments it takes, in words.
const MEASURES: &[(&str, &str)] = &[
    ("mean", "a testpoint"),
    ("minimum", "a testpoint"),
    ("maximum", "a testpoint"),
    ("peak", "a testpoint"),
    ("peak_to_peak", "a testpoint"),
    ("rms", "a testpoint"),
    ("rms_ac", "a testpoint"),
    ("at", "a testpoint and a time"),
    ("time_of_maximum", "a testpoint"),
    ("harmonic", "a testpoint, perhaps a drive, and the harmonic's number"),
    ("band", "a testpoint and a range of frequencies"),
    ("attenuation", "two testpoints"),
    ("saturation", "a coil"),
];

/// Whether `word` is a reading of a testpoint.
pub(crate) fn is_reading(word: &str) -> bool {
    MEASURES.iter().any(|(name, _)| *name == word)
}

/// Those over frequency, too.
fn all_measures() -> impl Iterator<Item = &'static (&'static str, &'static str)> {
    MEASURES.iter().chain(over_frequency::MEASURES)
}

/// Every reading with what it takes, for those who list the language's words.
pub(crate) fn readings() -> impl Iterator<Item = (&'static str, &'static str)> {
    all_measures().copied()
}

/// Highest harmonic: a count that fits the description, far above any that a waveform resolves.
const HIGHEST_HARMONIC: f64 = 1e6;

impl Scope<'_> {
    pub(super) fn measure(
        &self,
        word: &Word,
        arguments: &[Node],
        speaks: Speaks,
        sink: &mut Sink,
    ) -> Result<Typed, Told> {
        let Some((_, takes)) = all_measures().find(|(name, _)| *name == word.text) else {
            return Err(sink.push(unknown_function(word)));
        };
        if speaks == Speaks::OfNumbers {
            return Err(sink.push(
                Mistake::new(
                    "reading_in_value",
                    word.span,
                    format!("`{}` is a reading, which is known only after a run", word.text),
                )
                .label("expected a number with its unit, or the name of a `let`"),
            ));
        }
        if over_frequency::MEASURES.iter().any(|(name, _)| *name == word.text) {
            let measure = self.measure_over_frequency(word, arguments, takes, sink)?;
            return Ok(Typed { expression: Expression::Measure(measure), dimension: Dimension::LEVEL });
        }
        let (measure, dimension) = match (word.text.as_str(), arguments) {
            ("saturation", [part]) => (
                Measure::Saturation(self.part_of_kind(part, Kind::WITH_CORE, "coil", sink)?),
                Dimension::NONE,
            ),
            ("at", [point, time]) => {
                let point = self.testpoint(point, sink);
                let time = self.dimensioned(time, "the time", Wanted::new(Dimension::TIME, "ms"), sink);
                let (name, dimension) = point?;
                (Measure::At(name, time?.value), dimension)
            }
            ("band", [point, range]) => {
                let (name, dimension) = self.testpoint(point, sink)?;
                let (low, high) = self.frequencies(range, "band(TESTPOINT, 1 kHz .. 20 kHz)", sink)?;
                (Measure::Band(name, low, high), dimension)
            }
            ("attenuation", [one, other]) => self.attenuation(one, other, sink)?,
            ("harmonic", [point, order]) => self.harmonic(point, None, order, sink)?,
            ("harmonic", [point, drive, order]) => self.harmonic(point, Some(drive), order, sink)?,
            ("time_of_maximum", [point]) => {
                (Measure::TimeOfMaximum(self.testpoint(point, sink)?.0), Dimension::TIME)
            }
            (name, [point]) => {
                let Some(measure) = plain(name) else { return Err(tell_arguments(word, takes, sink)) };
                let (testpoint, dimension) = self.testpoint(point, sink)?;
                (measure(testpoint), dimension)
            }
            _ => return Err(tell_arguments(word, takes, sink)),
        };
        Ok(Typed { expression: Expression::Measure(measure), dimension })
    }

    fn testpoint(&self, node: &Node, sink: &mut Sink) -> Result<(String, Dimension), Told> {
        let NodeKind::Name(name) = &node.kind else {
            return Err(sink.push(
                Mistake::new("not_a_testpoint", node.span, "a reading looks at a testpoint")
                    .label("expected a testpoint's name")
                    .help("name the waveform first: `testpoint NAME = voltage(NODE)`"),
            ));
        };
        if let Some(dimension) = self.testpoints.get(name.as_str()) {
            return match dimension {
                Some(dimension) => Ok((name.clone(), *dimension)),
                None => Err(sink.already_told()),
            };
        }
        let shown = crate::parser::shown(name);
        Err(sink.push(match self.names.bearer(name) {
            Some(bearer) => {
                let article = if bearer == Bearer::Node { "voltage" } else { "current" };
                let mistake = Mistake::new(
                    "not_a_testpoint",
                    node.span,
                    format!("`{shown}` is a {}, not a testpoint", bearer.word()),
                )
                .label("expected a testpoint's name");
                match bearer {
                    Bearer::Node | Bearer::Part => {
                        mistake.help(format!("declare one first: `testpoint NAME = {article}({shown})`"))
                    }
                    _ => mistake,
                }
            }
            None => Mistake::new("unknown_testpoint", node.span, format!("there is no testpoint `{shown}`"))
                .label("expected a testpoint's name")
                .help(format!("declare it first: `testpoint {shown} = voltage(NODE)`"))
                .near(self.names.near(name, &[Bearer::Testpoint])),
        }))
    }

    /// The name of a part of one of the kinds, which are `wanted` in words.
    pub(super) fn part_of_kind(
        &self,
        node: &Node,
        kinds: &[Kind],
        wanted: &str,
        sink: &mut Sink,
    ) -> Result<String, Told> {
        let name = match &node.kind {
            NodeKind::Name(name) => name,
            _ => {
                return Err(sink.push(
                    Mistake::new("not_a_part", node.span, format!("this must be the name of a {wanted}"))
                        .label(format!("expected a {wanted}'s name")),
                ));
            }
        };
        let shown = crate::parser::shown(name);
        let Some(entry) = self.names.parts.get(name) else {
            let near = self.names.near(name, &[Bearer::Part]);
            return Err(sink.push(
                Mistake::new("unknown_part", node.span, format!("there is no part `{shown}`"))
                    .label(format!("expected a {wanted}'s name"))
                    .near(near),
            ));
        };
        if entry.kinds.iter().any(|each| each.is_none_or(|each| kinds.contains(&each))) {
            return Ok(name.clone());
        }
        Err(sink.push(
            Mistake::new("wrong_kind", node.span, format!("`{shown}` is no {wanted}"))
                .label(format!("expected a {wanted}'s name")),
        ))
    }

    pub(super) fn frequencies(
        &self,
        node: &Node,
        example: &str,
        sink: &mut Sink,
    ) -> Result<(f64, f64), Told> {
        let NodeKind::Range(low, high) = &node.kind else {
            return Err(sink.push(
                Mistake::new("not_a_range", node.span, "a band is a range of frequencies")
                    .label("expected `A .. B`")
                    .help(format!("write `{example}`")),
            ));
        };
        let wanted = Wanted::new(Dimension::FREQUENCY, "kHz");
        let from = self.dimensioned(low, "a frequency", wanted, sink);
        let to = self.dimensioned(high, "a frequency", wanted, sink);
        let (from, to) = (from?.value, to?.value);
        if from < 0.0 || to <= from {
            return Err(sink.push(
                Mistake::new("wrong_range", node.span, "a band rises from its lower to its upper frequency")
                    .label("expected the lower frequency first"),
            ));
        }
        Ok((from, to))
    }

    fn attenuation(&self, one: &Node, other: &Node, sink: &mut Sink) -> Result<(Measure, Dimension), Told> {
        let (left, right) = (self.testpoint(one, sink), self.testpoint(other, sink));
        let ((left, left_dimension), (right, right_dimension)) = (left?, right?);
        if left_dimension != right_dimension {
            let (first, second) = (in_words(left_dimension), in_words(right_dimension));
            return Err(sink.push(
                Mistake::new(
                    "unlike_dimensions",
                    other.span,
                    format!("{first} and {second} have no ratio in dB"),
                )
                .label(format!("expected a testpoint in {first}, this is in {second}"))
                .also(one.span, format!("this is in {first}")),
            ));
        }
        Ok((Measure::Attenuation(left, right), Dimension::LEVEL))
    }

    fn harmonic(
        &self,
        point: &Node,
        drive: Option<&Node>,
        order: &Node,
        sink: &mut Sink,
    ) -> Result<(Measure, Dimension), Told> {
        let point = self.testpoint(point, sink);
        let switching = &[Kind::Drive, Kind::HalfBridge, Kind::Servo, Kind::Transmitter];
        let drive = drive.map(|drive| self.part_of_kind(drive, switching, "drive", sink)).transpose();
        let number =
            self.dimensioned(order, "a harmonic's number", Wanted::new(Dimension::NONE, ""), sink)?.value;
        if number.fract() != 0.0 || !(1.0..=HIGHEST_HARMONIC).contains(&number) {
            return Err(sink.push(
                Mistake::new("not_a_count", order.span, "a harmonic's number is 1, 2, 3 and so on")
                    .label("expected a whole number from 1"),
            ));
        }
        let (testpoint, dimension) = point?;
        Ok((Measure::Harmonic { testpoint, drive: drive?, order: number as u32 }, dimension))
    }
}

/// Readings that take one testpoint and keep its dimension.
fn plain(name: &str) -> Option<fn(String) -> Measure> {
    Some(match name {
        "mean" => Measure::Mean,
        "minimum" => Measure::Minimum,
        "maximum" => Measure::Maximum,
        "peak" => Measure::Peak,
        "peak_to_peak" => Measure::PeakToPeak,
        "rms" => Measure::Rms,
        "rms_ac" => Measure::RmsAc,
        _ => return None,
    })
}

fn unknown_function(word: &Word) -> Mistake {
    let shown = crate::parser::shown(&word.text);
    let functions = super::FUNCTIONS.iter().map(|(name, _)| *name);
    let near = nearest(&word.text, functions.chain(all_measures().map(|(name, _)| *name)));
    let mistake = Mistake::new("unknown_function", word.span, format!("there is no function `{shown}`"))
        .label("expected a function or a reading");
    if matches!(word.text.as_str(), "voltage" | "current" | "power" | "flux" | "picture") {
        return mistake.help(format!("name the waveform first: `testpoint NAME = {shown}(…)`"));
    }
    mistake.near(near)
}

//! Readings over frequency: gain, resonances, insertion loss and impedance margin.

use super::{Scope, Wanted, tell_arguments};
use crate::description::Measure;
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::parser::shown;
use crate::syntax::{Node, NodeKind, Word};
use quantity::Dimension;

/// The readings over frequency with the arguments they take, in words.
pub(super) const MEASURES: &[(&str, &str)] = &[
    ("peak_gain", "a response, and perhaps a range of frequencies"),
    (
        INSERTION_LOSS,
        "a fitted assembly, the resistances of source and load, and perhaps a frequency or a range",
    ),
    (RESONANCES, "a response, or nothing for all of them"),
    ("impedance_margin", "a load or camera"),
];

/// The one whose name alone is a reading.
pub(super) const RESONANCES: &str = "resonances";
/// The one that is a response, too.
pub(super) const INSERTION_LOSS: &str = "insertion_loss";

/// Whether an expression names one of them, however wrong it is.
pub(crate) fn names_over_frequency(node: &Node) -> bool {
    let known = |name: &str| MEASURES.iter().any(|(measure, _)| *measure == name);
    match &node.kind {
        NodeKind::Number(_) | NodeKind::Known(_) => false,
        NodeKind::Name(name) => name == RESONANCES,
        NodeKind::Negate(inner) => names_over_frequency(inner),
        NodeKind::Binary(_, left, right) | NodeKind::Range(left, right) | NodeKind::Unknown(left, right) => {
            names_over_frequency(left) || names_over_frequency(right)
        }
        NodeKind::Call(function, arguments) => {
            known(&function.text) || arguments.iter().any(names_over_frequency)
        }
    }
}

impl Scope<'_> {
    /// A reading over frequency; all of them are in dB.
    pub(super) fn measure_over_frequency(
        &self,
        word: &Word,
        arguments: &[Node],
        takes: &str,
        sink: &mut Sink,
    ) -> Result<Measure, Told> {
        Ok(match (word.text.as_str(), arguments) {
            ("peak_gain", [response]) => {
                Measure::PeakGain { response: self.response(response, sink)?, band: None }
            }
            ("peak_gain", [response, range]) => {
                let response = self.response(response, sink);
                let band = self.band(range, "peak_gain(RESPONSE, 1 kHz .. 20 kHz)", sink)?;
                Measure::PeakGain { response: response?, band: Some(band) }
            }
            (INSERTION_LOSS, [instance, source, load]) => {
                self.need_frequencies(word, sink)?;
                let (instance, source, load) = self.insertion([instance, source, load], sink)?;
                Measure::InsertionLoss { instance, source, load, band: None }
            }
            (INSERTION_LOSS, [instance, source, load, at]) => {
                let insertion = self.insertion([instance, source, load], sink);
                let band = match at.kind {
                    NodeKind::Range(..) => self.band(at, "", sink)?,
                    _ => self.frequency(at, sink).map(|frequency| (frequency, frequency))?,
                };
                let (instance, source, load) = insertion?;
                Measure::InsertionLoss { instance, source, load, band: Some(band) }
            }
            (RESONANCES, []) if self.file.responses.is_empty() => {
                return Err(sink.push(
                    Mistake::new(
                        "no_response",
                        word.span,
                        "there is no `response` to look for resonances in",
                    )
                    .label("needs a response")
                    .help("add `response NAME = transfer(voltage(NODE), DRIVE)`"),
                ));
            }
            (RESONANCES, []) => Measure::Resonances(None),
            (RESONANCES, [response]) => Measure::Resonances(Some(self.response(response, sink)?)),
            ("impedance_margin", [part]) => {
                let kinds = &[Kind::Load, Kind::Camera, Kind::Regulator];
                let part = self.part_of_kind(part, kinds, "load, camera or switching regulator", sink)?;
                self.need_frequencies(word, sink)?;
                Measure::ImpedanceMargin(part)
            }
            _ => return Err(tell_arguments(word, takes, sink)),
        })
    }

    fn need_frequencies(&self, word: &Word, sink: &mut Sink) -> Result<(), Told> {
        if !self.file.frequencies.is_empty() {
            return Ok(());
        }
        Err(sink.push(
            Mistake::new("no_frequency", word.span, "there is no `frequency` to compute this at")
                .label("needs frequencies")
                .help("add `frequency 10 Hz .. 30 MHz, points 40`"),
        ))
    }

    fn frequency(&self, node: &Node, sink: &mut Sink) -> Result<f64, Told> {
        let wanted = Wanted::new(Dimension::FREQUENCY, "kHz");
        let value = self.dimensioned(node, "a frequency", wanted, sink)?.value;
        if value > 0.0 {
            return Ok(value);
        }
        Err(sink.push(
            Mistake::new("out_of_range", node.span, "a frequency must be above 0 Hz")
                .label("expected a frequency above 0 Hz"),
        ))
    }

    fn band(&self, range: &Node, example: &str, sink: &mut Sink) -> Result<(f64, f64), Told> {
        let (low, high) = self.frequencies(range, example, sink)?;
        match &range.kind {
            NodeKind::Range(node, _) if low <= 0.0 => self.frequency(node, sink).map(|low| (low, high)),
            _ => Ok((low, high)),
        }
    }

    /// The name of a response, which may stand anywhere in the file.
    fn response(&self, node: &Node, sink: &mut Sink) -> Result<String, Told> {
        const EXPECTED: &str = "expected a response's name";
        let NodeKind::Name(name) = &node.kind else {
            return Err(sink.push(
                Mistake::new("not_a_response", node.span, "this must be the name of a response")
                    .label(EXPECTED)
                    .help("name the curve first: `response NAME = transfer(voltage(NODE), DRIVE)`"),
            ));
        };
        let names = || self.file.responses.iter().map(|response| response.name.text.as_str());
        if names().any(|response| response == name) {
            return Ok(name.clone());
        }
        let message = match self.names.bearer(name) {
            Some(bearer) => format!("`{}` is a {}, not a response", shown(name), bearer.word()),
            None => format!("there is no response `{}`", shown(name)),
        };
        let mistake = Mistake::new("unknown_response", node.span, message).label(EXPECTED);
        Err(sink.push(mistake.near(nearest(name, names()))))
    }
}

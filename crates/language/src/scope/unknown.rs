//! Names that stand for no number where they are used.

use super::{Scope, Speaks};
use crate::mistake::{Mistake, Sink, Told};
use crate::names::Bearer;
use crate::source::Span;

impl Scope<'_> {
    pub(super) fn tell_unknown_name(&self, name: &str, span: Span, speaks: Speaks, sink: &mut Sink) -> Told {
        let shown = crate::parser::shown(name);
        // The names inside an assembly hide those outside.
        let inner = self.inside.as_ref().map(|inside| inside.names);
        let names = inner.filter(|inner| inner.bearer(name).is_some()).unwrap_or(self.names);
        let mistake = match names.bearer(name) {
            Some(bearer @ (Bearer::Let | Bearer::Reading))
                if bearer == Bearer::Let || speaks == Speaks::OfWaveforms =>
            {
                let mistake =
                    Mistake::new("used_before_defined", span, format!("`{shown}` is defined further down"))
                        .label("not known yet here")
                        .help(format!("move `{} {shown} = …` above this line", bearer.word()));
                match names.place(name) {
                    Some(place) => mistake.also(place, "defined here"),
                    None => mistake,
                }
            }
            Some(Bearer::Testpoint) if speaks == Speaks::OfWaveforms => Mistake::new(
                "waveform_as_number",
                span,
                format!("`{shown}` is a testpoint: a waveform, not a number"),
            )
            .label("expected a reading of it")
            .help(format!("write `maximum({shown})` or another reading")),
            Some(bearer) => {
                Mistake::new("not_a_number", span, format!("`{shown}` is a {}, not a number", bearer.word()))
                    .label("expected a number or the name of a `let`")
            }
            None if self.is_inner_value(name) => {
                Mistake::new("inner_value", span, format!("`{shown}` is known only inside its assembly"))
                    .label("expected a number or the name of a `let`")
                    .help("name the value with a `let` out here, and hand it over in the `fit`")
            }
            None => {
                let mut bearers = vec![Bearer::Let];
                if speaks == Speaks::OfWaveforms {
                    bearers.push(Bearer::Reading);
                }
                let label = match speaks {
                    Speaks::OfNumbers => "expected a number with its unit, or the name of a `let`",
                    Speaks::OfWaveforms => "expected a reading, a number or the name of a `let`",
                };
                let mistake =
                    Mistake::new("unknown_name", span, format!("`{shown}` is not known")).label(label);
                let mistake = match help_of_form(name) {
                    Some(help) => mistake.help(help),
                    None => mistake,
                };
                mistake.near(
                    inner
                        .and_then(|inner| inner.near(name, &bearers))
                        .or_else(|| self.names.near(name, &bearers)),
                )
            }
        };
        sink.push(mistake)
    }

    /// Whether a name is `INSTANCE.VALUE`.
    fn is_inner_value(&self, name: &str) -> bool {
        let Some((instance, value)) = name.rsplit_once('.') else { return false };
        let mut assemblies = self.names.assemblies(instance).into_iter().flatten();
        assemblies.any(|index| self.file.assemblies[index].has_value(value))
    }
}

/// What helps with a name by its form alone: a reading without its parentheses, a unit before its number.
fn help_of_form(name: &str) -> Option<String> {
    if let Some((testpoint, reading)) = name.rsplit_once('.') {
        let meant = match reading {
            "min" => "minimum",
            "max" => "maximum",
            "avg" | "average" => "mean",
            "pp" | "pk_pk" | "vpp" => "peak_to_peak",
            other => other,
        };
        if super::measure::is_reading(meant) {
            return Some(format!("a reading stands before its testpoint: write `{meant}({testpoint})`"));
        }
    }
    if super::measure::is_reading(name) {
        return Some(format!(
            "write `{name}(TESTPOINT)`; `-` subtracts, so words are joined by `_`, as in `peak_to_peak`"
        ));
    }
    let (unit, number) = name.split_at(name.find(|each: char| each.is_ascii_digit())?);
    let follows = number.parse::<f64>().is_ok() && quantity::parse_unit(unit).is_ok();
    follows.then(|| format!("a unit follows its number: write `{number} {unit}`"))
}

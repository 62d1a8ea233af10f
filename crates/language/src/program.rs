//! A whole file with its names: everything that does not depend on the study point is checked here.

mod sets;
mod sweep;

pub(crate) use sweep::sample;

use crate::assemblies::Assemblies;
use crate::description::{Axis, AxisKind, Signal};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, nearest};
use crate::names::{Bearer, Names};
use crate::parser::shown;
use crate::source::Span;
use crate::syntax::{AxisNode, File, TestpointNode, Word};
use rustc_hash::FxHashMap as HashMap;

/// A checked file.
#[derive(Clone, Debug)]
pub(crate) struct Program {
    pub(crate) file: File,
    pub(crate) names: Names,
    pub(crate) assemblies: Assemblies,
    pub(crate) axes: Vec<Axis>,
    pub(crate) title: String,
    /// For each testpoint of the file what it looks at; `None` where that is wrong and has been told.
    pub(crate) signals: Vec<Option<Signal>>,
}

impl Program {
    /// Checks a file as far as that goes without a study point.
    pub(crate) fn new(mut file: File, default_title: &str, sink: &mut Sink) -> Self {
        let assemblies = Assemblies::settle(&mut file, sink);
        let names = Names::gather(&file, sink);
        let axes = axes(&file, &names, sink);
        sets::check_sets(&file, &names, sink);
        check_places(&file, &names, sink);
        check_statement_names(&file, sink);
        let signals = file.testpoints.iter().map(|each| signal(each, &file, &names, sink)).collect();
        let title = file.title.as_ref().map_or(default_title, |title| title.text.as_str()).to_owned();
        Self { file, names, assemblies, axes, title, signals }
    }
}

fn axes(file: &File, names: &Names, sink: &mut Sink) -> Vec<Axis> {
    let mut known: HashMap<&str, Span> = HashMap::default();
    for axis in file.axes() {
        tell_repeated(&axis.name, &mut known, "axis", sink);
        let mut options = HashMap::default();
        let word = if axis.kind == AxisKind::Choice { "option" } else { "case" };
        for option in &axis.options {
            tell_repeated(&option.name, &mut options, word, sink);
        }
    }
    let baseline = baseline(file, sink);
    let mut sweeps = sweep::Sweeps::new(file, names);
    let describe = |(index, axis): (usize, &AxisNode)| {
        let of_options =
            || (axis.options.iter().map(|option| option.name.text.clone()).collect(), Vec::new());
        let (points, values) =
            axis.sweep.as_ref().map_or_else(of_options, |sweep| sweeps.points(index, sweep, sink));
        Axis {
            name: axis.name.text.clone(),
            kind: axis.kind,
            points,
            values,
            baseline: baseline.filter(|(at, _)| *at == index).map(|(_, option)| option),
        }
    };
    // An axis whose options are all wrong would make the product empty; it has been told.
    file.axes().enumerate().map(describe).collect()
}

pub(crate) fn tell_repeated<'a>(
    name: &'a Word,
    known: &mut HashMap<&'a str, Span>,
    what: &str,
    sink: &mut Sink,
) {
    let first = *known.entry(&name.text).or_insert(name.span);
    if first != name.span {
        sink.push(
            Mistake::new(
                "duplicate_name",
                name.span,
                format!("there is {} {what} `{}` already", article(what), name.text),
            )
            .label("expected another name")
            .also(first, "the first one"),
        );
    }
}

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// The axis and option that others are compared with: the marked one, else the first option of the first choice.
fn baseline(file: &File, sink: &mut Sink) -> Option<(usize, usize)> {
    let choices = || file.axes().enumerate().filter(|(_, axis)| axis.kind == AxisKind::Choice);
    let mut marked: Option<(usize, usize, Span)> = None;
    for (index, axis) in choices() {
        for (option, node) in axis.options.iter().enumerate() {
            let Some(span) = node.baseline else { continue };
            match marked {
                None => marked = Some((index, option, span)),
                Some((.., first)) => {
                    sink.push(
                        Mistake::new("second_baseline", span, "there is a baseline already")
                            .label("only one option can be the baseline")
                            .also(first, "the first one"),
                    );
                }
            }
        }
    }
    marked.map(|(axis, option, _)| (axis, option)).or_else(|| choices().next().map(|(index, _)| (index, 0)))
}

/// Transients and responses have names of their own.
fn check_statement_names(file: &File, sink: &mut Sink) {
    let transients = file.transients.iter().filter_map(|transient| transient.name.as_ref());
    let mut known = HashMap::default();
    transients.for_each(|name| tell_repeated(name, &mut known, "transient", sink));
    let mut known = HashMap::default();
    file.responses.iter().for_each(|response| tell_repeated(&response.name, &mut known, "response", sink));
}

fn signal(testpoint: &TestpointNode, file: &File, names: &Names, sink: &mut Sink) -> Option<Signal> {
    let (what, arguments) = testpoint.signal.as_ref()?;
    let part = |sink: &mut Sink, looks: Looks| part_looked_at(what, &arguments[0], looks, names, file, sink);
    let one = arguments.len() == 1;
    match what.text.as_str() {
        "voltage" => voltage(what, arguments, names, file, sink),
        "current" if one => part(sink, Looks::Any).map(Signal::PartCurrent),
        "power" if one => part(sink, Looks::Any).map(Signal::PartPower),
        "flux" if one => part(sink, Looks::Core).map(Signal::PartFlux),
        "picture" if one => part(sink, Looks::Camera).map(Signal::Picture),
        "current" | "power" | "flux" | "picture" => {
            sink.push(
                Mistake::new("wrong_arguments", arguments[1].span, format!("`{}` takes one part", what.text))
                    .label("one too many"),
            );
            None
        }
        other => {
            let near = nearest(other, crate::words::SIGNALS.iter().copied());
            let mistake = Mistake::new(
                "unknown_signal",
                what.span,
                format!("a testpoint can't look at `{}`", shown(other)),
            )
            .label("expected `voltage`, `current`, `power`, `flux` or `picture`");
            let mistake = match near {
                Some(_) => mistake.near(near),
                None => mistake.help(
                    "take readings of it in a statement of its own: `reading NAME = maximum(TESTPOINT)`",
                ),
            };
            sink.push(mistake);
            None
        }
    }
}

fn voltage(what: &Word, arguments: &[Word], names: &Names, file: &File, sink: &mut Sink) -> Option<Signal> {
    match arguments {
        [one] if names.parts.contains_key(&one.text) => Some(Signal::PartVoltage(one.text.clone())),
        [one] => node(one, names, file, true, sink).then(|| Signal::NodeVoltage(one.text.clone(), None)),
        [one, other] => {
            let (first, second) =
                (node(one, names, file, false, sink), node(other, names, file, false, sink));
            (first && second).then(|| Signal::NodeVoltage(one.text.clone(), Some(other.text.clone())))
        }
        _ => {
            sink.push(
                Mistake::new("wrong_arguments", what.span, "`voltage` takes a node, two nodes or a part")
                    .label("expected one or two names in its parentheses"),
            );
            None
        }
    }
}

/// Whether `word` is a node; where parts are missing it may have been one of theirs.
pub(crate) fn node(word: &Word, names: &Names, file: &File, or_part: bool, sink: &mut Sink) -> bool {
    if names.nodes.contains_key(&word.text) || word.text == "gnd" {
        return true;
    }
    let name = shown(&word.text);
    let bearer = names.bearer(&word.text);
    if bearer.is_none() && file.parts_missing {
        let near = names.near(&word.text, &[Bearer::Node]);
        if near.is_none() {
            return false;
        }
    }
    let message = match bearer {
        Some(bearer) => format!("`{name}` is a {}, not a node", bearer.word()),
        None => format!("no part touches a node `{name}`"),
    };
    let label = if or_part { "expected a node or a part" } else { "expected a node" };
    let bearers: &[Bearer] = if or_part { &[Bearer::Node, Bearer::Part] } else { &[Bearer::Node] };
    sink.push(help_with_name(
        Mistake::new("unknown_node", word.span, message).label(label),
        word,
        names,
        bearers,
    ));
    false
}

/// The nodes of places.
fn check_places(file: &File, names: &Names, sink: &mut Sink) {
    for place in file.axes().filter_map(|axis| axis.place.as_ref()) {
        let ends = [Some(&place.from), Some(&place.to), place.back.as_ref()];
        ends.into_iter().flatten().for_each(|word| {
            node(word, names, file, false, sink);
        });
        let back = place.back.as_ref();
        let pairs = [(&place.from, Some(&place.to)), (&place.from, back), (&place.to, back)];
        for (one, other) in pairs.into_iter().filter_map(|(one, other)| Some((one, other?))) {
            if one.text == other.text {
                let message = format!("the place has the node `{}` twice", other.text);
                let mistake = Mistake::new("same_node_twice", other.span, message)
                    .label("expected another node")
                    .also(one.span, "the first time");
                sink.push(mistake);
            }
        }
    }
}

/// Adds the nearest name; where an assembly is named, how its parts are.
fn help_with_name(mistake: Mistake, word: &Word, names: &Names, bearers: &[Bearer]) -> Mistake {
    if names.bearer(&word.text) == Some(Bearer::Instance) {
        return mistake.help(format!("one of its parts is `{}.PART`", shown(&word.text)));
    }
    mistake.near(names.near(&word.text, bearers))
}

/// What kinds of parts a waveform is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Looks {
    /// All.
    Any,
    /// Those with a core.
    Core,
    /// Cameras.
    Camera,
}

fn part_looked_at(
    what: &Word,
    word: &Word,
    looks: Looks,
    names: &Names,
    file: &File,
    sink: &mut Sink,
) -> Option<String> {
    let name = shown(&word.text);
    let Some(entry) = names.parts.get(&word.text) else {
        let bearer = names.bearer(&word.text);
        let near = names.near(&word.text, &[Bearer::Part]);
        if bearer.is_none() && near.is_none() && file.parts_missing {
            return None;
        }
        let message = match bearer {
            Some(bearer) => format!("`{name}` is a {}; `{}` is of a part", bearer.word(), what.text),
            None => format!("there is no part `{name}`"),
        };
        let mistake = Mistake::new("unknown_part", word.span, message).label("expected a part's name");
        sink.push(help_with_name(mistake, word, names, &[Bearer::Part]));
        return None;
    };
    let is_camera = |kind: &Option<Kind>| kind.is_none_or(|kind| kind == Kind::Camera);
    if looks == Looks::Camera && !entry.kinds.iter().any(is_camera) {
        sink.push(
            Mistake::new(
                "wrong_kind",
                word.span,
                format!("`{name}` is no camera: only a camera has a picture"),
            )
            .label("expected a camera's name"),
        );
        return None;
    }
    if looks == Looks::Core && !entry.kinds.iter().any(|kind| kind.is_none_or(Kind::has_core)) {
        sink.push(
            Mistake::new("wrong_kind", word.span, format!("`{name}` is no coil: only a coil has a flux"))
                .label("expected a coil's name"),
        );
        return None;
    }
    Some(word.text.clone())
}

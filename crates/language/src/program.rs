//! A whole file with its names: everything that does not depend on the study point is checked here.

use crate::assemblies::Assemblies;
use crate::description::{Axis, AxisKind, Signal};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, nearest};
use crate::names::{Bearer, Names, Site};
use crate::parser::shown;
use crate::source::Span;
use crate::syntax::{AxisNode, File, SetNode, TestpointNode, Word};
use std::collections::HashMap;

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
        let axes = axes(&file, sink);
        check_sets(&file, &names, sink);
        check_statement_names(&file, sink);
        let signals = file.testpoints.iter().map(|each| signal(each, &file, &names, sink)).collect();
        let title = file.title.as_ref().map_or(default_title, |title| title.text.as_str()).to_owned();
        Self { file, names, assemblies, axes, title, signals }
    }
}

fn axes(file: &File, sink: &mut Sink) -> Vec<Axis> {
    let mut known: HashMap<&str, Span> = HashMap::new();
    for axis in file.axes() {
        tell_repeated(&axis.name, &mut known, "axis", sink);
        let mut options = HashMap::new();
        let word = if axis.kind == AxisKind::Choice { "option" } else { "case" };
        for option in &axis.options {
            tell_repeated(&option.name, &mut options, word, sink);
        }
    }
    let baseline = baseline(file, sink);
    let describe = |(index, axis): (usize, &AxisNode)| Axis {
        name: axis.name.text.clone(),
        kind: axis.kind,
        points: axis.options.iter().map(|option| option.name.text.clone()).collect(),
        baseline: baseline.filter(|(at, _)| *at == index).map(|(_, option)| option),
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

type SetKey<'a> = (&'a str, Option<&'a str>);

fn check_sets(file: &File, names: &Names, sink: &mut Sink) {
    let mut by_site: HashMap<(SetKey<'_>, Site), Span> = HashMap::new();
    let mut by_target: HashMap<SetKey<'_>, (Site, Span)> = HashMap::new();
    for (axis, node) in file.axes().enumerate() {
        for (option, each) in node.options.iter().enumerate() {
            let site = Site::Option { axis, option };
            for set in &each.sets {
                check_target(set, site, file, names, sink);
                let key = (set.target.text.as_str(), set.property.as_ref().map(|word| word.text.as_str()));
                let first = *by_target.entry(key).or_insert((site, set.span));
                let same_site = *by_site.entry((key, site)).or_insert(set.span);
                let clash = if same_site != set.span {
                    Some(same_site)
                } else if first.1 != set.span && first.0.meets(site) {
                    Some(first.1)
                } else {
                    None
                };
                if let Some(other) = clash {
                    tell_set_twice(set, other, sink);
                }
            }
        }
    }
    let mut settings: HashMap<SetKey<'_>, Span> = HashMap::new();
    for set in &file.settings {
        check_target(set, Site::Always, file, names, sink);
        let key = (set.target.text.as_str(), set.property.as_ref().map(|word| word.text.as_str()));
        let first = *settings.entry(key).or_insert(set.span);
        if first != set.span {
            tell_set_twice(set, first, sink);
        }
    }
}

fn tell_set_twice(set: &SetNode, other: Span, sink: &mut Sink) {
    let target = match &set.property {
        Some(property) => format!("{}.{}", set.target.text, property.text),
        None => set.target.text.clone(),
    };
    sink.push(
        Mistake::new("set_twice", set.span, format!("`{target}` is set twice at one study point"))
            .label("only one can hold")
            .also(other, "set here too"),
    );
}

fn check_target(set: &SetNode, site: Site, file: &File, names: &Names, sink: &mut Sink) {
    let target = &set.target;
    let name = shown(&target.text);
    let bearer = names.bearer(&target.text);
    let Some(property) = &set.property else {
        if bearer != Some(Bearer::Let) {
            let mistake = match bearer {
                Some(Bearer::Part) => Mistake::new(
                    "set_without_property",
                    target.span,
                    format!("`{name}` is a part: say which property is set"),
                )
                .label("expected `.PROPERTY` after this"),
                _ => Mistake::new("unknown_let", target.span, format!("there is no `let {name}`"))
                    .label("expected `PART.PROPERTY` or the name of a `let`")
                    .near(names.near(&target.text, &[Bearer::Let, Bearer::Part])),
            };
            sink.push(mistake);
        }
        return;
    };
    if names.bearer(&target.text) == Some(Bearer::Instance) {
        check_inner_value(target, property, site, file, names, sink);
        return;
    }
    if !names.parts.contains_key(&target.text) {
        let message = match bearer {
            Some(bearer) => format!("`{name}` is a {}, not a part", bearer.word()),
            None => format!("there is no part `{name}`"),
        };
        sink.push(
            Mistake::new("unknown_part", target.span, message)
                .label("expected a part's name")
                .near(names.near(&target.text, &[Bearer::Part])),
        );
        return;
    }
    let kinds = names.kinds_meeting(&target.text, site);
    if kinds.is_empty() {
        sink.push(
            Mistake::new(
                "part_in_other_option",
                target.span,
                format!("`{name}` does not stand in this option"),
            )
            .label("only in another option of the same axis")
            .help("set the value in the option that holds the part"),
        );
    }
    for kind in kinds.into_iter().flatten() {
        check_set_property(kind, property, &name, sink);
    }
}

/// `set INSTANCE.VALUE`: a parameter or `let` of the assembly.
fn check_inner_value(target: &Word, value: &Word, site: Site, file: &File, names: &Names, sink: &mut Sink) {
    let (name, value_name) = (shown(&target.text), shown(&value.text));
    let full = target.inner(value);
    if names.parts.contains_key(&full.text) {
        sink.push(
            Mistake::new(
                "set_without_property",
                full.span,
                format!("`{name}.{value_name}` is a part: say which property is set"),
            )
            .label("expected `.PROPERTY` after this"),
        );
        return;
    }
    let mut assemblies = names.assemblies_meeting(&target.text, site).peekable();
    if assemblies.peek().is_none() {
        sink.push(
            Mistake::new(
                "part_in_other_option",
                target.span,
                format!("`{name}` does not stand in this option"),
            )
            .label("only in another option of the same axis")
            .help("set the value in the option that fits it"),
        );
    }
    for assembly in assemblies.filter_map(|index| file.assemblies.get(index)) {
        if assembly.has_value(&value.text) {
            continue;
        }
        let near = nearest(&value.text, assembly.values());
        sink.push(
            Mistake::new(
                "unknown_parameter",
                value.span,
                format!("`{}` has no parameter or `let` `{value_name}`", assembly.name.text),
            )
            .label("expected one of its values")
            .help(match near {
                Some(near) => format!("perhaps `{near}` was meant"),
                None => format!("a property of a part inside is `{name}.PART.PROPERTY`"),
            }),
        );
    }
}

fn check_set_property(kind: Kind, property: &Word, part: &str, sink: &mut Sink) {
    let table = kind.table();
    if table.property(&property.text).is_some() {
        return;
    }
    let near = nearest(&property.text, table.properties.iter().map(|each| each.name));
    sink.push(
        Mistake::new(
            "unknown_property",
            property.span,
            format!("`{part}` is a {}, which has no property `{}`", table.word, shown(&property.text)),
        )
        .label("expected one of its properties")
        .near(near),
    );
}

/// Transients and responses have names of their own.
fn check_statement_names(file: &File, sink: &mut Sink) {
    let transients = file.transients.iter().filter_map(|transient| transient.name.as_ref());
    let mut known = HashMap::new();
    transients.for_each(|name| tell_repeated(name, &mut known, "transient", sink));
    let mut known = HashMap::new();
    file.responses.iter().for_each(|response| tell_repeated(&response.name, &mut known, "response", sink));
}

fn signal(testpoint: &TestpointNode, file: &File, names: &Names, sink: &mut Sink) -> Option<Signal> {
    let (what, arguments) = testpoint.signal.as_ref()?;
    let part = |sink: &mut Sink, coil: bool| part_looked_at(what, &arguments[0], coil, names, file, sink);
    let one = arguments.len() == 1;
    match what.text.as_str() {
        "voltage" => voltage(what, arguments, names, file, sink),
        "current" if one => part(sink, false).map(Signal::PartCurrent),
        "power" if one => part(sink, false).map(Signal::PartPower),
        "flux" if one => part(sink, true).map(Signal::PartFlux),
        "current" | "power" | "flux" => {
            sink.push(
                Mistake::new("wrong_arguments", arguments[1].span, format!("`{}` takes one part", what.text))
                    .label("one too many"),
            );
            None
        }
        other => {
            let near = nearest(other, ["voltage", "current", "power", "flux"]);
            let mistake = Mistake::new(
                "unknown_signal",
                what.span,
                format!("a testpoint can't look at `{}`", shown(other)),
            )
            .label("expected `voltage`, `current`, `power` or `flux`");
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
    sink.push(
        Mistake::new("unknown_node", word.span, message).label(label).near(names.near(&word.text, bearers)),
    );
    false
}

fn part_looked_at(
    what: &Word,
    word: &Word,
    coil: bool,
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
        sink.push(
            Mistake::new("unknown_part", word.span, message).label("expected a part's name").near(near),
        );
        return None;
    };
    if coil && !entry.kinds.iter().any(|kind| kind.is_none_or(|kind| kind == Kind::Coil)) {
        sink.push(
            Mistake::new("wrong_kind", word.span, format!("`{name}` is no coil: only a coil has a flux"))
                .label("expected a coil's name"),
        );
        return None;
    }
    Some(word.text.clone())
}

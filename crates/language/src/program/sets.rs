//! Settings, of options and cases and of the command line: what they may set.

use crate::kind::Kind;
use crate::kinds::TABLES;
use crate::mistake::{Mistake, Sink, nearest};
use crate::names::{Bearer, Names, Site};
use crate::other_words;
use crate::parser::shown;
use crate::source::Span;
use crate::syntax::{File, SetNode, Word};
use rustc_hash::FxHashMap as HashMap;

pub(super) type SetKey<'a> = (&'a str, Option<&'a str>);

/// What a setting sets.
pub(super) fn key(set: &SetNode) -> SetKey<'_> {
    (set.target.text.as_str(), set.property.as_ref().map(|word| word.text.as_str()))
}

/// Tells what no setting can set, and what is set twice at one study point. What a sweep sweeps is looked at with its points.
pub(super) fn check_sets(file: &File, names: &Names, sink: &mut Sink) {
    let mut by_site: HashMap<(SetKey<'_>, Site), Span> = HashMap::default();
    let mut by_target: HashMap<SetKey<'_>, (Site, Span)> = HashMap::default();
    let mut swept: HashMap<SetKey<'_>, Span> = HashMap::default();
    for sweep in file.axes().filter_map(|node| node.sweep.as_ref()) {
        let target = &sweep.target;
        let first = *swept.entry(key(target)).or_insert(target.span);
        if first != target.span {
            let message = format!("`{}` is swept already", name_of(target));
            let mistake = Mistake::new("swept_twice", target.span, message)
                .label("one value can't go two ways")
                .also(first, "swept here too");
            sink.push(mistake);
        }
    }
    for (axis, node) in file.axes().enumerate() {
        for (option, each) in node.options.iter().enumerate() {
            let site = Site::Option { axis, option };
            for set in &each.sets {
                check_target(set, site, file, names, sink);
                let key = key(set);
                if let Some(sweep) = swept.get(&key) {
                    let message = format!("`{}` is set and swept at one study point", name_of(set));
                    let mistake = Mistake::new("set_twice", set.span, message)
                        .label("only one can hold")
                        .also(*sweep, "swept here");
                    sink.push(mistake);
                }
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
    let mut settings: HashMap<SetKey<'_>, Span> = HashMap::default();
    for set in &file.settings {
        check_target(set, Site::Always, file, names, sink);
        let first = *settings.entry(key(set)).or_insert(set.span);
        if first != set.span {
            tell_set_twice(set, first, sink);
        }
    }
}

/// `PART.PROPERTY` or the name of the `let`.
fn name_of(set: &SetNode) -> String {
    match &set.property {
        Some(property) => format!("{}.{}", set.target.text, property.text),
        None => set.target.text.clone(),
    }
}

fn tell_set_twice(set: &SetNode, other: Span, sink: &mut Sink) {
    let target = name_of(set);
    sink.push(
        Mistake::new("set_twice", set.span, format!("`{target}` is set twice at one study point"))
            .label("only one can hold")
            .also(other, "set here too"),
    );
}

pub(super) fn check_target(set: &SetNode, site: Site, file: &File, names: &Names, sink: &mut Sink) {
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
                    .help(if TABLES.iter().any(|table| table.property(&target.text).is_some()) {
                        format!("say of which part: `set PART.{name} = VALUE`")
                    } else {
                        "write `set PART.PROPERTY = VALUE`, or name a `let` of this file".to_owned()
                    })
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
    let near = nearest(&property.text, table.properties.iter().map(|each| each.name))
        .or_else(|| other_words::of_property(&property.text, table));
    sink.push(
        Mistake::new(
            "unknown_property",
            property.span,
            format!("`{part}` is {}, which has no property `{}`", table.noun(), shown(&property.text)),
        )
        .label("expected one of its properties")
        .near(near),
    );
}

//! Numbers as written: units, value codes, and what to try where the unit is wrong.

use super::in_words;
use crate::mistake::{Mistake, Sink, Told};
use crate::parser::shown;
use crate::source::Span;
use crate::syntax::{Literal, Node, NodeKind, Word};
use quantity::{
    Dimension, Quantity, UnitError, looks_like_value_code, parse_unit, parse_value_code, unit_symbol,
};

/// What an expression is wanted for.
#[derive(Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) dimension: Dimension,
    /// The unit that such values usually have; empty for a plain number.
    pub(crate) usual: &'a str,
    /// Whether the number itself must have the dimension, rather than a product that it stands in.
    direct: bool,
    /// Whether a number without unit may as well be meant in thousandths of the unit: a limit of 60 can be 60 mV or 60 V.
    or_thousandths: bool,
}

impl<'a> Wanted<'a> {
    pub(crate) fn new(dimension: Dimension, usual: &'a str) -> Self {
        Self { dimension, usual, direct: true, or_thousandths: false }
    }

    /// For the limit of a requirement, whose size nothing tells.
    pub(crate) fn limit(dimension: Dimension, usual: &'a str) -> Self {
        Self { or_thousandths: true, ..Self::new(dimension, usual) }
    }

    pub(super) fn within(self) -> Self {
        Self { direct: false, ..self }
    }
}

/// `sign` times the number, in SI units.
pub(super) fn value(
    literal: &Literal,
    span: Span,
    sign: f64,
    wanted: Option<Wanted<'_>>,
    sink: &mut Sink,
) -> Result<Quantity, Told> {
    let number = sign * literal.number;
    let Some(unit) = &literal.unit else { return Ok(Quantity::ratio(number)) };
    let code = wanted.filter(|_| literal.glued).and_then(|wanted| {
        let value = parse_value_code(&format!("{}{}", literal.digits, unit.text), wanted.dimension)?;
        Some((Quantity::new(sign * value, wanted.dimension), wanted.direct))
    });
    match (parse_unit(&unit.text), code) {
        (Ok(_), _) if unit.text == "points" => Err(sink.push(
            Mistake::new("points_without_tolerance", span, "points only stand in the tolerance of a % value")
                .label("expected %")
                .help(format!("try {} %", literal.digits)),
        )),
        // `100m` is a tenth of a farad where farads are wanted, a hundred metres elsewhere.
        (Ok(found), Some((quantity, true))) if found.dimension != quantity.dimension => Ok(quantity),
        (Ok(found), _) => Ok(found.of(number)),
        (Err(_), Some((quantity, _))) => Ok(quantity),
        (Err(error), None) => Err(tell_unit(literal, unit, span, &error, wanted, sink)),
    }
}

fn tell_unit(
    literal: &Literal,
    unit: &Word,
    span: Span,
    error: &UnitError,
    wanted: Option<Wanted<'_>>,
    sink: &mut Sink,
) -> Told {
    let text = shown(&unit.text);
    let whole = format!("{}{}", literal.digits, unit.text);
    if literal.glued && looks_like_value_code(&whole) && unit.text.chars().count() > 1 {
        return sink.push(
            Mistake::new("value_code", span, format!("`{whole}` is a value code, which has no meaning here"))
                .label(match wanted {
                    Some(wanted) if wanted.direct => format!("expected {}", in_words(wanted.dimension)),
                    _ => "value codes stand where a property is in ohm, farad or henry".to_owned(),
                })
                .help("write the number and its unit, such as `4.7 kohm`"),
        );
    }
    let fitting = wanted.filter(|wanted| wanted.direct);
    let try_this = fitting.map(|wanted| format!("try {}", corrected(literal, wanted)));
    let mistake = match error {
        UnitError::BarePrefix(prefix) => {
            let mistake =
                Mistake::new("bare_prefix", unit.span, format!("`{prefix}` is a prefix without a unit"));
            match fitting {
                Some(wanted) => mistake.label(format!("expected {}", in_words(wanted.dimension))),
                None => mistake.label("expected a unit after the prefix"),
            }
        }
        UnitError::Unknown(near) => {
            let mistake = Mistake::new("unknown_unit", unit.span, format!("`{text}` is not a unit"))
                .label("a word right after a number is its unit");
            if let Some(help) = foreign_length(&unit.text, literal.number) {
                return sink.push(mistake.help(help));
            }
            if !near.is_empty() {
                return sink.push(mistake.help(format!("perhaps `{}` was meant", near.join("` or `"))));
            }
            mistake
        }
    };
    sink.push(match try_this {
        Some(help) => mistake.help(help),
        None => mistake,
    })
}

/// Lengths of the trade that are no units here, in metre: the international inch of 1959 and what is made of it.
const FOREIGN_LENGTHS: &[(&[&str], f64)] = &[
    (&["in", "inch", "inches", "\""], 25.4e-3),
    (&["mil", "mils", "thou"], 25.4e-6),
    (&["ft", "foot", "feet"], 304.8e-3),
];

/// What a length in inches and the like is in units that are known.
fn foreign_length(unit: &str, number: f64) -> Option<String> {
    let lower = unit.to_lowercase();
    let (_, metre) = FOREIGN_LENGTHS.iter().find(|(names, _)| names.contains(&lower.as_str()))?;
    let shown = |value: f64| quantity::engineering(Quantity::new(value, Dimension::LENGTH), 4);
    let name = if lower == "\"" { "in" } else { &lower };
    Some(format!("1 {name} is {}: try {}", shown(*metre), shown(number * metre)))
}

/// Tells that a value has the wrong dimension, and what it would be with the right one.
pub(crate) fn wrong_dimension(node: &Node, what: &str, wanted: Wanted<'_>, found: Dimension) -> Mistake {
    let expected = in_words(wanted.dimension);
    let mistake = if found.is_none() && bare(node) {
        Mistake::new("missing_unit", node.span, format!("{what} needs a unit: it is in {expected}"))
    } else {
        // A number without a dimension is one, not in one.
        let within = if wanted.dimension.is_none() { "" } else { "in " };
        let message = format!("{what} must be {within}{expected}, not {}", in_words(found));
        Mistake::new("wrong_dimension", node.span, message)
    };
    let mistake = mistake.label(format!("expected {expected}"));
    match literal_of(node) {
        Some(("", literal))
            if wanted.dimension == Dimension::CAPACITANCE && printed_code(literal).is_some() =>
        {
            let value = printed_code(literal).unwrap_or_default();
            let shown = quantity::engineering(Quantity::new(value, Dimension::CAPACITANCE), 4);
            mistake.help(format!(
                "try {}; but `{}` printed on a ceramic means {shown}: then write {shown}",
                corrected(literal, wanted),
                literal.digits
            ))
        }
        Some((sign, literal)) => mistake.help(format!("try {sign}{}", corrected(literal, wanted))),
        None => mistake,
    }
}

/// What three digits without a unit mean when they are printed on a capacitor, in farad: two digits and the number of noughts, in
/// picofarad; 8 and 9 stand for two and one place after the point (IEC 60062, from memory).
fn printed_code(literal: &Literal) -> Option<f64> {
    let digits: Vec<i32> =
        literal.digits.chars().filter_map(|digit| digit.to_digit(10)).map(|digit| digit as i32).collect();
    let &[tens, ones, noughts] = digits.as_slice() else { return None };
    // 330 is as likely 330 uF without its unit.
    if literal.unit.is_some() || literal.digits.len() != 3 || tens == 0 || matches!(noughts, 0 | 7) {
        return None;
    }
    let power = if noughts > 7 { noughts - 10 } else { noughts };
    Some(f64::from(10 * tens + ones) / 10_f64.powi(12 - power))
}

fn bare(node: &Node) -> bool {
    literal_of(node).is_none_or(|(_, literal)| literal.unit.is_none())
}

fn literal_of(node: &Node) -> Option<(&'static str, &Literal)> {
    match &node.kind {
        NodeKind::Number(literal) => Some(("", literal)),
        NodeKind::Negate(inner) => match &inner.kind {
            NodeKind::Number(literal) => Some(("-", literal)),
            _ => None,
        },
        _ => None,
    }
}

/// Whether a number without unit is more likely meant in the unit without prefix: 0.16 in A rather than mA, 20000 in Hz rather
/// than kHz.
fn is_in_base_unit(number: f64, usual: &str) -> bool {
    let one = parse_unit(usual).map_or(1.0, |unit| unit.of(1.0).value - unit.of(0.0).value);
    let size = number.abs();
    (one < 1.0 && size < 1.0) || (one > 1.0 && size >= 1000.0)
}

/// Whether thousandths of the unit are as usual as the unit itself.
fn in_thousandths(dimension: Dimension) -> bool {
    use Dimension as D;
    [D::VOLTAGE, D::CURRENT, D::POWER, D::TIME, D::RESISTANCE, D::FLUX, D::ENERGY].contains(&dimension)
}

/// The number with the wanted unit, the prefix kept where there is one.
fn corrected(literal: &Literal, wanted: Wanted<'_>) -> String {
    let base = unit_symbol(wanted.dimension);
    let kept = literal.unit.as_ref().and_then(|unit| {
        let prefix = unit.text.chars().next()?;
        // `m` alone may be a metre or a forgotten unit's prefix; a whole unit such as `min` is no prefix.
        let prefixed = unit.text.chars().count() == 1 || parse_unit(&unit.text[prefix.len_utf8()..]).is_ok();
        let symbol = format!("{prefix}{base}");
        (prefixed && parse_unit(&symbol).is_ok_and(|found| found.dimension == wanted.dimension))
            .then_some(symbol)
    });
    // Parts of a unit, such as 0.06 V, are meant in the unit itself.
    if wanted.or_thousandths && kept.is_none() && literal.number >= 1.0 && in_thousandths(wanted.dimension) {
        return format!("{0} m{base} or {0} {base}", literal.digits);
    }
    let unit = kept.unwrap_or_else(|| {
        if literal.unit.is_none() && is_in_base_unit(literal.number, wanted.usual) {
            return base;
        }
        wanted.usual.to_owned()
    });
    format!("{} {unit}", literal.digits).trim_end().to_owned()
}

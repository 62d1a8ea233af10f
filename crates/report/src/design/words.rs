//! Winners in words.

use crate::text;
use quantity::Dimension;
use study::design::{Amount, Design, Winner};

/// `ring FT50, 25 turns of wire 0.4; can 470`: the stock's names, in the filter's order.
pub(crate) fn parts_of(winner: &Winner) -> String {
    let piece = |piece: &study::design::Piece| match &piece.winding {
        Some(winding) => format!("{} with {} turns of {}", piece.stock, winding.turns, winding.wire),
        None => piece.stock.clone(),
    };
    winner.pieces.iter().map(piece).collect::<Vec<_>>().join(", ")
}

/// A mass, and what of it is unknown: `4.2 g`, `over 1.2 g (without can 470)`.
pub(crate) fn amount(mass: &Amount, design: &Design) -> String {
    let known = text::value(mass.known, Dimension::MASS);
    if mass.unknown.is_empty() { known } else { format!("over {known} (without {})", unknown(mass, design)) }
}

/// A cost as a plain number; `+` where some of it is unknown.
pub(crate) fn price(cost: &Amount) -> String {
    let more = if cost.unknown.is_empty() { "" } else { "+" };
    format!("{:.2}{more}", cost.known)
}

fn unknown(amount: &Amount, design: &Design) -> String {
    let mut names: Vec<String> =
        amount.unknown.iter().filter_map(|line| design.lines.get(*line).cloned()).collect();
    names.dedup();
    text::list(&names)
}

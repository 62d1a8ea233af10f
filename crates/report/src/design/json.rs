//! A search for filters as JSON.

use crate::json::number;
use quantity::unit_symbol;
use serde_json::{Map, Value, json};
use study::design::{Amount, Design, Piece, Standing, Winner};

/// The result as text, indented, with a line end at its end; values in SI units at full precision.
#[must_use]
pub fn design(design: &Design) -> String {
    let counts = &design.counts;
    let considered: Map<String, Value> = counts
        .considered
        .iter()
        .map(|(topology, count)| (topology.word().to_owned(), json!(count)))
        .collect();
    let dropped: Vec<Value> =
        counts.dropped.iter().map(|each| json!({"rule": each.rule, "filters": each.filters})).collect();
    let nearest = design.nearest.as_ref().map(|(winner, bindings)| {
        let binding = bindings.iter().map(|each| {
            let requirement = &design.requirements[each.requirement];
            json!({
                "text": requirement.text,
                "missing": each.missing,
                "best": number(each.best),
                "limit": requirement.limit,
                "unit": unit_symbol(requirement.dimension),
            })
        });
        json!({"filter": of_winner(design, winner), "requirements": binding.collect::<Vec<_>>()})
    });
    let value = json!({
        "schema": 1,
        "harness": design.harness,
        "choice": design.choice,
        "place": {"from": design.nodes[0], "to": design.nodes[1], "return": design.nodes[2]},
        "baseline": of_standing(design, &design.baseline),
        "filters": design.winners.iter().map(|winner| of_winner(design, winner)).collect::<Vec<_>>(),
        "nearest": nearest,
        "points": design.points,
        "draws": design.draws,
        "counts": {
            "considered": considered,
            "dropped": dropped,
            "run": counts.run,
            "failing": counts.failing,
            "saturating": counts.saturating,
            "over_supply": counts.over_supply,
            "beaten": counts.outrun,
            "failing_with_tolerances": counts.intolerant,
            "not_looked_at": counts.unseen,
            "runs": counts.runs,
        },
        "not_screened": design.unscreened,
    });
    format!("{value:#}\n")
}

fn of_winner(design: &Design, winner: &Winner) -> Value {
    json!({
        "name": winner.name,
        "topology": winner.topology.word(),
        "parts": winner.pieces.iter().map(of_piece).collect::<Vec<_>>(),
        "mass": of_amount(design, &winner.mass, "kg"),
        "cost": winner.cost.as_ref().map(|cost| of_amount(design, cost, "1")),
        "nominal": of_standing(design, &winner.nominal),
        "with_tolerances": (!winner.drawn.requirements.is_empty()).then(|| of_standing(design, &winner.drawn)),
        "warnings": winner.warnings,
        "option": winner.option,
    })
}

fn of_piece(piece: &Piece) -> Value {
    let winding = piece.winding.as_ref().map(|winding| {
        json!({
            "wire": winding.wire,
            "turns": winding.turns,
            "turns_in_one_layer": winding.one_layer,
            "length": winding.length,
            "cut": winding.cut,
            "inductance": {"nominal": winding.inductance[0], "least": winding.inductance[1], "greatest": winding.inductance[2], "unit": "H"},
            "resistance": winding.resistance,
            "copper": winding.copper,
        })
    });
    json!({"part": piece.part, "stock": piece.stock, "winding": winding})
}

fn of_amount(design: &Design, amount: &Amount, unit: &str) -> Value {
    let unknown: Vec<&String> = amount.unknown.iter().filter_map(|line| design.lines.get(*line)).collect();
    json!({"value": number(Some(amount.known)), "unit": unit, "without": unknown})
}

fn of_standing(design: &Design, standing: &Standing) -> Value {
    let values: Map<String, Value> = design
        .objectives
        .iter()
        .zip(&standing.values)
        .map(|(objective, value)| {
            (
                objective.name.clone(),
                json!({"value": number(*value), "unit": unit_symbol(objective.dimension)}),
            )
        })
        .collect();
    let requirements = design.requirements.iter().zip(&standing.requirements).map(|(requirement, value)| {
        json!({
            "text": requirement.text,
            "value": number(*value),
            "limit": requirement.limit,
            "unit": unit_symbol(requirement.dimension),
        })
    });
    json!({"values": values, "requirements": requirements.collect::<Vec<_>>()})
}

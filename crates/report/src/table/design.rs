//! What a search for filters found, as a builder reads it.

use super::Style;
use super::grid::{Column, draw};
use crate::design::{amount, parts_of, price};
use crate::text::{self, count, wrap};
use quantity::Dimension;
use study::design::{Binding, Design, Standing, Winner};

/// Winners that the table shows; the files have all.
const MOST_SHOWN: usize = 60;

/// The result as text, with a line end at its end.
#[must_use]
pub fn design(design: &Design, style: Style) -> String {
    let prose = style.prose();
    let mut sections =
        vec![[design.harness.clone(), answer(design)].map(|line| wrap(&line, "", prose)).join("\n")];
    if let Some((winner, bindings)) = &design.nearest {
        sections.push(miss(design, winner, bindings, prose));
    } else if !design.winners.is_empty() {
        let shown: Vec<&Winner> = design.winners.iter().take(MOST_SHOWN).collect();
        sections.push(front(design, &shown, style));
        sections.push(made_of(design, &shown, prose));
    }
    sections.push(counts(design, prose));
    format!("{}\n", sections.join("\n\n"))
}

fn answer(design: &Design) -> String {
    let considered: usize = design.counts.considered.iter().map(|(_, count)| count).sum();
    let place = format!("from {} to {}", design.nodes[0], design.nodes[1]);
    match design.winners.len() {
        0 => format!("None of {considered} filters {place} meets every requirement."),
        found => {
            let drawn = if design.draws > 0 {
                format!(", {} of tolerances at each", count(design.draws, "draw"))
            } else {
                String::new()
            };
            format!(
                "Of {considered} filters {place} {} every requirement at {}{drawn}, and {} beaten by no other in everything. None of them is best: lighter, quieter, less drop, less peak; pick.",
                if found == 1 { "one meets" } else { "these meet" },
                count(design.points, "study point"),
                if found == 1 { "is" } else { "are" },
            )
        }
    }
}

fn front(design: &Design, shown: &[&Winner], style: Style) -> String {
    let cells =
        |of: &dyn Fn(&Winner) -> String| -> Vec<String> { shown.iter().map(|winner| of(winner)).collect() };
    let mut columns = vec![
        Column::left("filter", with_baseline(cells(&|winner| winner.name.clone()), "(baseline)")),
        Column::right("mass", with_baseline(cells(&|winner| mass(winner)), "")),
    ];
    if design.has_costs {
        let cost = cells(&|winner| winner.cost.as_ref().map_or_else(String::new, price));
        columns.push(Column::right("cost", with_baseline(cost, "")));
    }
    let shows_drawn = shown.iter().any(|winner| !winner.drawn.requirements.is_empty());
    for (index, objective) in design.objectives.iter().enumerate() {
        let at = |standing: &Standing| {
            text::value_or_missing(standing.values.get(index).copied().flatten(), objective.dimension)
        };
        let own = cells(&|winner| at(&winner.nominal));
        columns.push(Column::right(&objective.name, with_baseline(own, &at(&design.baseline))));
        if shows_drawn && index > 0 {
            let drawn = cells(&|winner| {
                if winner.drawn.requirements.is_empty() { String::new() } else { at(&winner.drawn) }
            });
            columns.push(Column::right("at most", with_baseline(drawn, "")));
        }
    }
    let mut notes = vec![
        "Filters within a step of each other in everything (mass and cost 25 %, drop 50 %, noise 3 dB, peak 5 %; less than 1 g, than 50 mV of drop and than a quarter of the noise's limit is no better) count as equal: the lightest stands for them."
            .to_owned(),
        "Worst over all study points; drop is the mean that the load loses against the baseline, peak its greatest voltage, plugging in included (motors still)."
            .to_owned(),
    ];
    let is_wound = |winner: &&Winner| winner.topology.has_coil();
    if shown.iter().any(is_wound) {
        notes.push("Each coil keeps seven tenths of its inductance or more while the load runs; plugging in saturates it, which the peak counts.".to_owned());
    }
    if shows_drawn {
        notes.push("`at most` is the greatest over all draws of tolerances.".to_owned());
    }
    if shown.iter().any(|winner| !winner.mass.unknown.is_empty()) {
        notes.push("`>`: the stock does not say what a part of it weighs.".to_owned());
    }
    if design.winners.len() > shown.len() {
        notes.push(format!(
            "{} more stand in the files, heavier than these.",
            design.winners.len() - shown.len()
        ));
    }
    format!("{}\n{}", draw(&columns, style.width), wrap(&notes.join(" "), "", style.prose()))
}

fn with_baseline(mut cells: Vec<String>, baseline: &str) -> Vec<String> {
    cells.push(baseline.to_owned());
    cells
}

fn mass(winner: &Winner) -> String {
    let known = text::value(winner.mass.known, Dimension::MASS);
    if winner.mass.unknown.is_empty() { known } else { format!(">{known}") }
}

fn made_of(design: &Design, shown: &[&Winner], width: usize) -> String {
    let mut lines = vec!["What they are made of".to_owned()];
    for winner in shown {
        let without = if winner.mass.unknown.is_empty() {
            String::new()
        } else {
            format!("; {}", amount(&winner.mass, design))
        };
        lines.push(wrap(&format!("{}: {}{without}", winner.name, parts_of(winner)), "  - ", width));
        let warnings = winner.warnings.iter();
        lines.extend(warnings.map(|warning| wrap(warning, "    ! ", width)));
    }
    lines.join("\n")
}

fn miss(design: &Design, winner: &Winner, bindings: &[Binding], width: usize) -> String {
    let mut lines = vec!["What stops them (of the nearest, each looked at in full)".to_owned()];
    for binding in bindings {
        let requirement = &design.requirements[binding.requirement];
        let best = text::value_or_missing(binding.best, requirement.dimension);
        let line = if binding.missing == 0 {
            format!("{}: none of the nearest misses it (the best has {best}).", requirement.text)
        } else {
            let by = binding.best.map(|best| (best - requirement.limit).abs());
            let by = text::value_or_missing(by, requirement.dimension);
            let whole = !requirement.comparison.holds(binding.best.unwrap_or(f64::NAN), requirement.limit);
            if whole {
                format!("{} binds: the best of the nearest has {best}, {by} short of it.", requirement.text)
            } else {
                format!(
                    "{}: {} of the nearest miss it; the best has {best}.",
                    requirement.text, binding.missing
                )
            }
        };
        lines.push(wrap(&line, "  - ", width));
    }
    lines.push(format!("\nThe nearest miss\n{}", wrap(&parts_of(winner), "  - ", width)));
    for (requirement, value) in design.requirements.iter().zip(&winner.nominal.requirements) {
        let met = value.is_some_and(|value| requirement.comparison.holds(value, requirement.limit));
        let value = text::value_or_missing(*value, requirement.dimension);
        lines.push(format!("    {}: {value}, {}", requirement.text, if met { "met" } else { "not met" }));
    }
    lines.extend(winner.warnings.iter().map(|warning| wrap(warning, "    ! ", width)));
    lines.join("\n")
}

fn counts(design: &Design, width: usize) -> String {
    let counts = &design.counts;
    let mut lines = vec!["What became of all filters".to_owned()];
    let considered: Vec<String> = counts
        .considered
        .iter()
        .filter(|(_, count)| *count > 0)
        .map(|(topology, count)| format!("{count} {}", topology.word()))
        .collect();
    lines.push(wrap(&format!("looked at: {}", considered.join(", ")), "  ", width));
    for dropped in &counts.dropped {
        lines.push(wrap(&format!("{} dropped: {}", dropped.filters, dropped.rule), "  ", width));
    }
    if let Some(reason) = &design.unscreened {
        lines.push(wrap(&format!("none dropped over frequency, because {reason}"), "  ", width));
    }
    let held = counts.run - counts.failing - counts.saturating - counts.over_supply - counts.outrun;
    let run = format!(
        "{} run in time: {} fail, {} saturate a coil, {} let a camera's supply rise beyond its range, {} are beaten, {held} are left; of those {} fail with tolerances",
        counts.run, counts.failing, counts.saturating, counts.over_supply, counts.outrun, counts.intolerant
    );
    lines.push(wrap(&run, "  ", width));
    if counts.unseen > 0 {
        let unseen = format!(
            "{} not looked at, since the search was told to stop (--most): among them may be filters that beat these",
            counts.unseen
        );
        lines.push(wrap(&unseen, "  ", width));
    }
    lines.push(format!("  {} runs in all", counts.runs));
    lines.join("\n")
}

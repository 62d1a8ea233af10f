//! `quietrail check`: is the file in order, and what does it describe?

use crate::arguments::CheckArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output, terminal};
use language::description::{Axis, AxisKind};
use report::table::{ASSUMED, Style, WARNINGS, section};
use report::text::{count, list, wrap};
use std::path::Path;

pub(crate) fn run(arguments: &CheckArguments) -> Result<Exit, Stop> {
    let mut exit = Exit::Met;
    // One file's mistakes do not keep the others from being looked at.
    for (at, path) in arguments.files.iter().enumerate() {
        let checked =
            if arguments.telling.json { json(path, arguments) } else { text(path, arguments, at > 0) };
        exit = exit.or_graver(checked.unwrap_or_else(|stop| {
            output::complain(&stop.told);
            stop.exit
        }));
    }
    Ok(exit)
}

fn json(path: &Path, arguments: &CheckArguments) -> Result<Exit, Stop> {
    let text = input::read(path)?;
    let points = &arguments.points;
    let (json, in_order) = Study::check_json(path, text, &points.set, &points.only)?;
    output::print(&json)?;
    Ok(if in_order { Exit::Met } else { Exit::InputWrong })
}

fn text(path: &Path, arguments: &CheckArguments, follows: bool) -> Result<Exit, Stop> {
    let style = terminal::style();
    let text = input::read(path)?;
    // The program ends soon: the system takes the memory back at once, where piece by piece it would take a tenth of the time.
    let study = std::mem::ManuallyDrop::new(Study::read(path, text, &arguments.points.set)?);
    let points = study.points(&arguments.points.only)?;
    let remarks = study.remarks();
    let mut sections = vec![summary(&path.display().to_string(), &study, points, style)];
    if !remarks.is_empty() {
        sections.push(remarks.trim_end().to_owned());
    }
    let found = study.examination();
    let warnings: Vec<String> = found.warnings.iter().map(|noted| noted.warning.text.clone()).collect();
    sections.extend(section(WARNINGS, &warnings, style));
    if arguments.parts {
        sections.extend(report::table::parts(&found.parts, style));
    }
    sections.extend(section(ASSUMED, &found.assumptions, style));
    if !arguments.telling.quiet.on {
        let gap = if follows { "\n" } else { "" };
        output::print(&format!("{gap}{}\n", sections.join("\n\n")))?;
    }
    Ok(Exit::Met)
}

fn summary(file: &str, study: &Study, points: Option<usize>, style: Style) -> String {
    let baseline = study.baseline();
    let mut lines = vec![
        wrap(&format!("{file} is in order: {}.", study.title()), "", style.prose()),
        wrap(&format!("{} in the baseline", count(baseline.parts.len(), "part")), "  - ", style.prose()),
    ];
    lines.extend(study.axes().iter().map(|axis| wrap(&axis_line(axis), "  - ", style.prose())));
    let found = study.examination();
    lines.push(match points {
        Some(points) => format!("  - {} to run", count(points, "point")),
        None => "  - too many points to run at once: pick some with --only".to_owned(),
    });
    if found.passed_over > 0 {
        lines.push(format!("  - {} not looked at for contradictions", count(found.passed_over, "point")));
    }
    let seen = [
        count(baseline.testpoints.len(), "test point"),
        count(baseline.readings.len(), "reading"),
        count(baseline.requirements.len(), "requirement"),
    ];
    lines.push(format!("  - {}", list(&seen)));
    lines.join("\n")
}

/// `sweep esr: 10 mohm, 20 mohm .. 200 mohm (20 values)`.
fn sweep_line(axis: &Axis) -> String {
    const MOST_LISTED: usize = 6;
    let points = match axis.points.as_slice() {
        [first, second, .., last] if axis.points.len() > MOST_LISTED => {
            format!("{first}, {second} .. {last}")
        }
        points => points.join(", "),
    };
    format!("sweep {}: {points} ({})", axis.name, count(axis.points.len(), "value"))
}

/// `choice filter: none (baseline), coil, coil_cap`.
fn axis_line(axis: &Axis) -> String {
    let kind = match axis.kind {
        AxisKind::Choice => "choice",
        AxisKind::Condition => "condition",
        AxisKind::Sweep => return sweep_line(axis),
    };
    let named = axis.points.iter().enumerate().map(|(at, name)| {
        if axis.baseline == Some(at) { format!("{name} (baseline)") } else { name.clone() }
    });
    format!("{kind} {}: {}", axis.name, named.collect::<Vec<_>>().join(", "))
}

//! `quietrail check`: is the file in order, and what does it describe?

use crate::arguments::CheckArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use language::description::{Axis, AxisKind};
use report::table::{ASSUMED, WARNINGS, WIDTH, section};
use report::text::{count, list, wrap};

pub(crate) fn run(arguments: &CheckArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.file)?;
    let study = Study::read(&arguments.file, text, &arguments.set)?;
    let remarks = study.remarks();
    let mut sections = vec![summary(&arguments.file.display().to_string(), &study)];
    if !remarks.is_empty() {
        sections.push(remarks.trim_end().to_owned());
    }
    let found = study.examination();
    let warnings: Vec<String> = found.warnings.iter().map(|warning| warning.text.clone()).collect();
    sections.extend(section(WARNINGS, &warnings));
    sections.extend(section(ASSUMED, &found.assumptions));
    output::print(&format!("{}\n", sections.join("\n\n")))?;
    Ok(Exit::Met)
}

fn summary(file: &str, study: &Study) -> String {
    let baseline = study.baseline();
    let mut lines = vec![
        wrap(&format!("{file} is in order: {}.", study.title()), "", WIDTH),
        wrap(&format!("{} in the baseline", count(baseline.parts.len(), "part")), "  - ", WIDTH),
    ];
    lines.extend(study.axes().iter().map(|axis| wrap(&axis_line(axis), "  - ", WIDTH)));
    let found = study.examination();
    lines.push(match found.points {
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

//! A trace from a file: lines of a time in second and a value, as oscilloscopes and spreadsheets save them.

/// Most points of a trace: more than an oscilloscope keeps, and each is a corner that the engine stops at.
const MOST_POINTS: usize = 4_000_000;

/// What is wrong with a trace, as the end of a sentence, and what to try.
pub(crate) struct Wrong {
    pub(crate) message: String,
    pub(crate) help: &'static str,
}

/// The points of a trace. Columns are separated by `,`, `;`, tab or spaces; the first two are read. Lines before the first
/// number are headings; empty lines and those that begin with `#` are left out. With `;` or a tab between the columns a comma is a decimal one.
///
/// # Errors
/// The first line that is no pair of numbers or turns back in time, or that there are no points.
pub(crate) fn read(text: &str) -> Result<Vec<(f64, f64)>, Wrong> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let number = index + 1;
        let Some(point) = pair(line) else {
            if points.is_empty() && !begins_with_number(line) {
                continue;
            }
            return Err(Wrong {
                message: format!("line {number} is no pair of numbers"),
                help: "each line has a time in second and a value in volt or ampere: `0.001, 5.2`",
            });
        };
        add(&mut points, point).map_err(|what| Wrong {
            message: format!("line {number} {what}"),
            help: "times rise from line to line; two lines of one time are a jump",
        })?;
    }
    if points.is_empty() {
        return Err(Wrong {
            message: "no line has a pair of numbers".to_owned(),
            help: "each line has a time in second and a value in volt or ampere: `0.001, 5.2`",
        });
    }
    Ok(points)
}

fn add(points: &mut Vec<(f64, f64)>, point: (f64, f64)) -> Result<(), &'static str> {
    let at_once = points.iter().rev().take_while(|known| known.0 == point.0).count();
    if points.last().is_some_and(|last| point.0 < last.0) {
        return Err("turns back in time");
    }
    if at_once > 1 {
        return Err("is the third of one time");
    }
    if points.len() == MOST_POINTS {
        return Err("is beyond the 4 million points that a trace may have");
    }
    points.push(point);
    Ok(())
}

fn pair(line: &str) -> Option<(f64, f64)> {
    let separated = line.contains([';', '\t']);
    let mut columns = line
        .split(|mark: char| if separated { matches!(mark, ';' | '\t') } else { mark == ',' || mark == ' ' })
        .map(str::trim)
        .filter(|column| !column.is_empty());
    let mut number = || {
        let column = columns.next()?;
        let column = if separated { column.replace(',', ".") } else { column.to_owned() };
        column.parse::<f64>().ok().filter(|number| number.is_finite())
    };
    Some((number()?, number()?))
}

fn begins_with_number(line: &str) -> bool {
    let first = line.split([',', ';', '\t', ' ']).next().unwrap_or_default();
    first.replace(',', ".").parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_forms() {
        let wanted = vec![(0.0, 1.5), (1e-3, -2.0)];
        for text in [
            "0,1.5\n1e-3,-2\n",
            "\u{feff}time (s),volt\r\n\r\n0, 1.5\r\n0.001, -2\r\n",
            "# from the bench\nt;u\n0;1,5\n0,001;-2\n",
            "0\t1.5\n0.001\t-2",
            "  0   1.5 9\n 1e-3  -2.0 9\n",
        ] {
            assert_eq!(read(text).ok(), Some(wanted.clone()), "{text:?}");
        }
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        for (text, told) in [
            ("", "no line has"),
            ("time,volt\n", "no line has"),
            ("0,1\n1,x\n", "line 2 is no pair"),
            ("0,1\n0,inf\n", "line 2 is no pair"),
            ("5\n", "line 1 is no pair"),
            ("0,1\n2,1\n1,1\n", "line 3 turns back"),
            ("0,1\n0,2\n0,3\n", "line 3 is the third"),
        ] {
            let wrong = read(text).err().map(|wrong| wrong.message).unwrap_or_default();
            assert!(wrong.starts_with(told), "{text:?}: {wrong}");
        }
    }
}

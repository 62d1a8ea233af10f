//! A winding sheet as a page to print: ring and cans to scale, what meters should read, and boxes to tick.

mod can;
mod plan;
mod ring;
mod section;
mod shapes;

use super::facts;
use crate::svg::canvas::{Anchor, Canvas, coordinate, escape};
use crate::svg::document::Ids;
use crate::svg::style::Face;
use crate::text::with_micro;
use crate::theme::{STYLE, WINDING};
use crate::words::winding as words;
use plan::Plan;
use study::winding::Sheet;

/// A drawing ready to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// The coil that it shows.
    pub part: String,
    /// A name for its file: `winding_choke.svg`.
    pub file_name: String,
    /// The SVG document, in true size where it is printed at 100 %.
    pub text: String,
}

/// Units of the document for a millimetre of paper.
const UNITS: f64 = 4.0;
/// The page in units; what fits an A4 and a letter sheet within their margins.
const WIDTH: f64 = 190.0 * UNITS;
const MARGIN: f64 = 20.0;
/// Between the two columns of words.
const GUTTER: f64 = 28.0;
/// Running words are 3.25 mm on paper, so that a sheet is one page.
const FINE: Face = Face { class: "sheet-fine", size: 13.0, character: 0.53 };
const TITLE: Face = Face { class: "sheet-title", size: 24.0, character: 0.62 };
const SUBTITLE: Face = Face { class: "sheet-subtitle", size: 15.0, character: 0.57 };
const NAME: Face = Face { class: "sheet-name", size: 17.0, character: 0.64 };
const PITCH: f64 = 17.0;
const BOX: f64 = 10.0;
const INDENT: f64 = 18.0;

/// A drawing of each sheet.
#[must_use]
pub fn drawings(sheets: &[Sheet]) -> Vec<Drawing> {
    let alone = |sheet: &Sheet| sheets.iter().filter(|other| other.part == sheet.part).count() == 1;
    let name = |sheet: &Sheet| {
        if alone(sheet) {
            return format!("winding_{}", sheet.part);
        }
        // `filter coil_cap`: the option is what tells them apart.
        let by = sheet.fitted_by.first().map_or("", String::as_str);
        let options: Vec<&str> = by.split(", ").filter_map(|pick| pick.split(' ').next_back()).collect();
        format!("winding_{}_{}", sheet.part, options.join("_"))
    };
    sheets
        .iter()
        .map(|sheet| {
            let name = name(sheet);
            let text = draw(sheet, &Ids::new(&name));
            Drawing { part: sheet.part.clone(), file_name: format!("{name}.svg"), text }
        })
        .collect()
}

fn draw(sheet: &Sheet, ids: &Ids) -> String {
    let mut body = Canvas::default();
    let mut y = MARGIN + TITLE.size;
    for line in TITLE.lines(&facts::title(sheet), WIDTH - 2.0 * MARGIN) {
        body.text(MARGIN, y, Anchor::Start, TITLE.class, &line);
        y += 28.0;
    }
    y = plan::draw(&mut body, &Plan::new(sheet), y);
    let column = (WIDTH - 2.0 * MARGIN - GUTTER) / 2.0;
    let cans: Vec<String> = sheet.cans.iter().map(facts::can).collect();
    let left = [
        ("To be wound", facts::making(sheet), Mark::Dash),
        ("Capacitors that go with it", cans, Mark::Dash),
        ("How", words::winding(sheet), Mark::Dash),
    ];
    let right = [
        ("What meters should read", words::readings(sheet), Mark::Dash),
        ("Before power comes on", words::checks(sheet), Mark::Box),
    ];
    let ends = [
        listed(&mut body, &left, (MARGIN, column), y),
        listed(&mut body, &right, (MARGIN + column + GUTTER, column), y),
    ];
    let care = [("Take care", words::cautions(sheet), Mark::Dash)];
    y = listed(&mut body, &care, (MARGIN, WIDTH - 2.0 * MARGIN), ends[0].max(ends[1])) + MARGIN;
    let height = coordinate(y);
    let [width, tall] = [WIDTH / UNITS, y / UNITS].map(coordinate);
    let title = escape(&facts::title(sheet));
    let id = ids.of("title");
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"qr-chart\" viewBox=\"0 0 {WIDTH} {height}\" width=\"{width}mm\" \
         height=\"{tall}mm\" role=\"img\" aria-labelledby=\"{id}\">\n<title id=\"{id}\">{title}</title>\n<style>{STYLE}\n{WINDING}</style>\n\
         <rect class=\"qr-page\" width=\"100%\" height=\"100%\"/>\n{}</svg>\n",
        body.finish()
    )
}

/// What stands before a line.
#[derive(Clone, Copy)]
enum Mark {
    Dash,
    /// To be ticked.
    Box,
}

/// Headings with their lines below them in a column with its left edge and width, from `top` on; gives where it ends.
fn listed(
    canvas: &mut Canvas,
    sections: &[(&str, Vec<String>, Mark)],
    (left, width): (f64, f64),
    top: f64,
) -> f64 {
    let mut y = top;
    for (heading, lines, mark) in sections.iter().filter(|(_, lines, _)| !lines.is_empty()) {
        y += 12.0 + NAME.size;
        canvas.text(left, y, Anchor::Start, NAME.class, heading);
        y += 4.0;
        for text in lines {
            let first = y + PITCH;
            for line in FINE.lines(&with_micro(text), width - INDENT) {
                y += PITCH;
                canvas.text(left + INDENT, y, Anchor::Start, FINE.class, &line);
            }
            match mark {
                Mark::Dash => canvas.text(left, first, Anchor::Start, FINE.class, "–"),
                Mark::Box => canvas.rectangle((left, first - BOX), (BOX, BOX), "box"),
            }
        }
    }
    y
}

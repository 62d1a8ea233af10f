//! A heat map: what is asked over two axes, a panel for each option, the worst place ringed.
//!
//! Blue keeps to the limit, the stronger the further; orange does not, the stronger the worse. Where there is no limit the worst is
//! the strongest.

mod steps;

use super::canvas::{Anchor, Canvas, coordinate};
use super::document::{Heading, Ids, Keys, Sample, close, open};
use super::style::{FIGURES, MARGIN, NAME, PITCH, TICK, WIDTH};
use crate::sweep::{Cell, Grid, Summary};
use crate::text;
use quantity::Dimension;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use steps::Steps;

/// Panels at most.
const MOST: usize = 24;
const GAP: f64 = 24.0;
/// A cell's height: at least, and what panels grow to.
const CELL: (f64, f64) = (3.0, 44.0);
/// A panel's height at most.
const HIGHEST: f64 = 300.0;

/// A panel's option.
struct Panel<'a> {
    name: &'a str,
    cells: &'a [Cell],
    /// Number of its worst cell.
    worst: Option<usize>,
    words: Vec<String>,
    told: String,
}

/// What all panels share.
struct Layout {
    columns: usize,
    /// Width of a panel with the names of its rows, of those names, and of a cell.
    column: f64,
    left: f64,
    cell: (f64, f64),
    /// Every so many cells of a side carry their name.
    stride: (usize, usize),
}

/// The document for what is asked under this index; nothing where the sweep has no two axes.
pub(super) fn draw(title: &str, summary: &Summary, index: usize, ids: &Ids) -> Option<String> {
    let grid = summary.grid.as_ref()?;
    let asked = &summary.asked[index];
    let of_pick = |pick: usize| grid.cells(pick, index);
    let all = || (0..summary.picks.len()).flat_map(of_pick).filter_map(|cell| Some(cell.worst?.0));
    let steps = Steps::new(asked, all())?;
    let shown = summary.picks.len().min(MOST);
    let layout = Layout::new(summary, grid, shown);
    let panels: Vec<Panel<'_>> =
        (0..shown).map(|pick| panel(summary, grid, index, pick, layout.column)).collect();
    let names = (&grid.across.of(&summary.outline.axes).name, &grid.upwards.of(&summary.outline.axes).name);
    let title = format!("{title}: {} over {} and {}", asked.text, names.0, names.1);
    let mut subtitles = vec![match asked.limit {
        Some(_) => {
            "Blue keeps to the limit, the stronger the further; orange does not, the stronger the worse"
                .to_owned()
        }
        None => "The stronger, the worse".to_owned(),
    }];
    if !grid.others.is_empty() {
        subtitles.push(format!("In each cell the worst over {}", text::list(&grid.others)));
    }
    if summary.picks.len() > shown {
        subtitles
            .push(format!("{} more options are in the files of rows alone", summary.picks.len() - shown));
    }
    let heading = Heading::new(&title, &subtitles);
    let mut entries: Vec<(Sample, String)> = steps
        .legend()
        .into_iter()
        .map(|(class, words)| (Sample::Field(class), text::with_micro(&words)))
        .collect();
    entries.push((Sample::Field("ring".to_owned()), "the worst".to_owned()));
    let keys = Keys::new(entries);
    let top = heading.height() + 6.0 + keys.height() + 16.0;
    let body = layout.cell.1 * grid.upwards.cells() as f64;
    let heads: Vec<f64> = panels
        .chunks(layout.columns)
        .map(|line| line.iter().map(|panel| PITCH * (1 + panel.words.len()) as f64).fold(0.0, f64::max) + 8.0)
        .collect();
    let foot = 2.0 * PITCH;
    let height = top + heads.iter().map(|head| head + body + foot + GAP).sum::<f64>();
    let told: Vec<&str> = panels.iter().map(|panel| panel.told.as_str()).collect();

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, height, &title, &format!("{title}. {}.", told.join(". ")));
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 6.0);
    let mut y = top;
    for (line, head) in panels.chunks(layout.columns).zip(heads) {
        for (at, panel) in line.iter().enumerate() {
            let x = MARGIN + at as f64 * (layout.column + GAP);
            canvas.group("row", panel.name);
            canvas.text(x, y + 18.0, Anchor::Start, NAME.class, panel.name);
            for (at, words) in panel.words.iter().enumerate() {
                canvas.text(x, y + 18.0 + PITCH * (at + 1) as f64, Anchor::Start, FIGURES.class, words);
            }
            let corner = (x + layout.left, y + head);
            cells(&mut canvas, panel, grid, &steps, &layout, corner, asked.dimension);
            sides(&mut canvas, summary, grid, &layout, corner);
            canvas.end();
        }
        y += head + body + foot + GAP;
    }
    Some(close(canvas))
}

fn panel<'a>(summary: &'a Summary, grid: &'a Grid, index: usize, pick: usize, room: f64) -> Panel<'a> {
    let asked = &summary.asked[index];
    let cells = grid.cells(pick, index);
    let known = cells.iter().enumerate().filter_map(|(at, cell)| Some((at, cell.worst?)));
    let worst = known.reduce(|one, other| if asked.worse(other.1.0, one.1.0) { other } else { one });
    let name = summary.picks[pick].label.as_str();
    let told = worst.map_or_else(
        || "no value".to_owned(),
        |(_, (value, number))| {
            let value = text::with_micro(&text::value(value, asked.dimension));
            format!("worst {value} at {}", summary.place(number, true))
        },
    );
    Panel {
        name,
        cells,
        worst: worst.map(|(at, _)| at),
        words: FIGURES.lines(&told, room),
        told: format!("{name}: {told}"),
    }
}

impl Layout {
    fn new(summary: &Summary, grid: &Grid, panels: usize) -> Self {
        let (nx, ny) = (grid.across.cells(), grid.upwards.cells());
        let widest = |count: usize, name: &dyn Fn(usize) -> String| {
            (0..count).map(|at| TICK.width(&name(at))).fold(0.0, f64::max)
        };
        let left = widest(ny, &|at| grid.upwards.name(&summary.outline.axes, at)).min(260.0) + 10.0;
        let label = widest(nx, &|at| grid.across.name(&summary.outline.axes, at)) + 8.0;
        let column = |columns: usize| (WIDTH - 2.0 * MARGIN - (columns - 1) as f64 * GAP) / columns as f64;
        let width = |columns: usize| (column(columns) - left) / nx as f64;
        // Cases cannot be guessed from their neighbours: their names all want room.
        let roomy = |columns: &usize| nx > 6 || width(*columns) >= label;
        let columns = (1..=panels.clamp(1, 3)).rev().find(roomy).unwrap_or(1);
        let width = width(columns);
        let cell = (HIGHEST / ny as f64).clamp(CELL.0, CELL.1);
        let stride = |room: f64, each: f64| (room / each).ceil().max(1.0) as usize;
        Self {
            columns,
            column: column(columns),
            left,
            cell: (width, cell),
            stride: (stride(label, width), stride(20.0, cell)),
        }
    }

    /// Upper left corner of a cell within its panel: the first row is the lowest.
    fn corner(&self, grid: &Grid, at: usize) -> (f64, f64) {
        let (nx, ny) = (grid.across.cells(), grid.upwards.cells());
        (self.cell.0 * (at % nx) as f64, self.cell.1 * (ny - 1 - at / nx) as f64)
    }
}

fn cells(
    canvas: &mut Canvas,
    panel: &Panel<'_>,
    grid: &Grid,
    steps: &Steps,
    layout: &Layout,
    (left, top): (f64, f64),
    dimension: Dimension,
) {
    let mut data: BTreeMap<&'static str, String> = BTreeMap::new();
    let nx = grid.across.cells();
    let class = |at: usize| panel.cells[at].worst.map_or("none", |(value, _)| steps.class(value));
    let mut at = 0;
    while at < panel.cells.len() {
        // Neighbours of one class in a row are one rectangle.
        let end_of_row = (at / nx + 1) * nx;
        let alike = (at..end_of_row).take_while(|other| class(*other) == class(at)).count();
        let (x, y) = layout.corner(grid, at);
        let [x, y, width, height] =
            [left + x, top + y, layout.cell.0 * alike as f64, layout.cell.1].map(coordinate);
        let _ = write!(data.entry(class(at)).or_default(), "M{x} {y}h{width}v{height}H{x}z");
        at += alike;
    }
    for (class, data) in data {
        canvas.path(&data, class);
    }
    let words: Vec<(usize, String)> = panel
        .cells
        .iter()
        .enumerate()
        .filter_map(|(at, cell)| Some((at, text::with_micro(&text::value(cell.worst?.0, dimension)))))
        .collect();
    let roomy =
        layout.cell.1 >= 22.0 && words.iter().all(|(_, words)| TICK.width(words) <= layout.cell.0 - 6.0);
    for (at, words) in words.iter().filter(|_| roomy) {
        let (x, y) = layout.corner(grid, *at);
        let dark = ["m0", "x3"].contains(&class(*at));
        canvas.text(
            left + x + 0.5 * layout.cell.0,
            top + y + 0.5 * layout.cell.1 + 5.5,
            Anchor::Middle,
            if dark { "cell on" } else { "cell" },
            words,
        );
    }
    if let Some(worst) = panel.worst {
        let (x, y) = layout.corner(grid, worst);
        // Around a small cell there is room enough to be seen.
        let grow = (0.5 * (14.0 - layout.cell.0.min(layout.cell.1))).max(0.0);
        let corner = (left + x - grow, top + y - grow);
        let size = (layout.cell.0 + 2.0 * grow, layout.cell.1 + 2.0 * grow);
        canvas.rectangle(corner, size, "halo");
        canvas.rectangle(corner, size, "ring");
    }
}

/// The names of the cells along both sides, and of the axes.
fn sides(canvas: &mut Canvas, summary: &Summary, grid: &Grid, layout: &Layout, (left, top): (f64, f64)) {
    let (nx, ny) = (grid.across.cells(), grid.upwards.cells());
    for row in (0..ny).step_by(layout.stride.1) {
        let y = top + layout.cell.1 * ((ny - 1 - row) as f64 + 0.5) + 5.5;
        canvas.text(
            left - 8.0,
            y,
            Anchor::End,
            TICK.class,
            &text::with_micro(&grid.upwards.name(&summary.outline.axes, row)),
        );
    }
    let bottom = top + layout.cell.1 * ny as f64;
    for column in (0..nx).step_by(layout.stride.0) {
        let name = text::with_micro(&grid.across.name(&summary.outline.axes, column));
        let middle = left + layout.cell.0 * (column as f64 + 0.5);
        // The last name of a long row must not leave the page.
        let half = 0.5 * TICK.width(&name);
        let middle = middle.min(WIDTH - 4.0 - half);
        canvas.text(middle, bottom + 20.0, Anchor::Middle, TICK.class, &name);
    }
    let axes = &summary.outline.axes;
    let words = format!("{} (up: {})", grid.across.of(axes).name, grid.upwards.of(axes).name);
    let middle = left + 0.5 * layout.cell.0 * nx as f64;
    canvas.text(middle, bottom + 20.0 + PITCH, Anchor::Middle, TICK.class, &words);
}

//! The parts that one owns: a table with a heading, one part a line, checked like a harness.
//!
//! Headings are the names of properties as the harness language has them, and a few of the table's own (see [`OWN_COLUMNS`]). Each
//! line becomes a statement of a harness that nobody sees, so that properties, units and ranges are judged by one set of tables; what
//! is told of that harness is told at the cell it came from.

mod cells;
mod rows;

use crate::description::{Description, Part};
use crate::mistake::Mistake;
use crate::source::{Source, Span};
use std::sync::Arc;

/// The columns that are no properties of a harness' parts, each with what it means.
pub const OWN_COLUMNS: &[(&str, &str)] = &[
    ("name", "what you call it; each once"),
    ("kind", "`ring`, `winding_wire`, `coil`, `capacitor`, `resistor`, `bead` or `regulator`"),
    ("quantity", "how many there are; 1 where it is empty"),
    ("mass", "of one, as in `2.1 g`; of a ring without wire"),
    ("cost", "of one, a plain number in any currency; of winding wire that of a metre"),
    ("length", "of winding wire: how much there is, as in `5 m`; without end where it is empty"),
];

/// What a line of a stock is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StockKind {
    /// A core to be wound.
    Ring,
    /// Enamelled wire to wind with.
    WindingWire,
    /// A coil as bought.
    Coil,
    /// A capacitor.
    Capacitor,
    /// A resistor.
    Resistor,
    /// A ferrite bead.
    Bead,
    /// A regulator.
    Regulator,
}

impl StockKind {
    const ALL: [(Self, &'static str); 7] = [
        (Self::Ring, "ring"),
        (Self::WindingWire, "winding_wire"),
        (Self::Coil, "coil"),
        (Self::Capacitor, "capacitor"),
        (Self::Resistor, "resistor"),
        (Self::Bead, "bead"),
        (Self::Regulator, "regulator"),
    ];

    /// The word in the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    fn from_word(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, known)| *known == word).map(|(kind, _)| *kind)
    }

    /// The kind of part in a harness that its properties are those of; winding wire has none.
    fn part(self) -> Option<&'static str> {
        match self {
            Self::Ring => Some("coil"),
            Self::WindingWire => None,
            other => Some(other.word()),
        }
    }
}

/// A line of a stock.
#[derive(Clone, Debug)]
pub struct StockItem {
    /// As written.
    pub name: String,
    /// What it is.
    pub kind: StockKind,
    /// How many there are.
    pub quantity: usize,
    /// Mass of one in kilogram, where it is stated.
    pub mass: Option<f64>,
    /// Cost of one (of winding wire: of a metre), where it is stated.
    pub cost: Option<f64>,
    /// Length of winding wire in metre, where it is stated.
    pub length: Option<f64>,
    /// Diameter of winding wire in metre; 0 for all else.
    pub wire_diameter: f64,
    /// Its properties as written, name and value, in the order of the columns.
    pub properties: Vec<(String, String)>,
    /// The same, read: of a ring as a coil of one turn; `None` for winding wire.
    pub part: Option<Part>,
}

impl StockItem {
    /// A property as written.
    #[must_use]
    pub fn text(&self, property: &str) -> Option<&str> {
        self.properties.iter().find(|(name, _)| name == property).map(|(_, value)| value.as_str())
    }
}

/// A stock that was read.
#[derive(Clone, Debug)]
pub struct Stock {
    /// Its lines in the table's order.
    pub items: Vec<StockItem>,
    description: Description,
    map: Arc<Vec<Segment>>,
}

/// A stretch of the harness that is made of a stock, and the stretch of the stock that it came from.
#[derive(Clone, Copy, Debug)]
struct Segment {
    made: Span,
    from: Span,
}

impl Stock {
    /// The harness that its lines make, for those who look at what values come to.
    #[must_use]
    pub fn description(&self) -> &Description {
        &self.description
    }

    /// A mistake of that harness, told at the cell that it came from.
    #[must_use]
    pub fn at_cell(&self, mistake: Mistake) -> Mistake {
        moved(mistake, &self.map)
    }
}

/// Reads a stock. Commas stand between cells, or semicolons where the heading has no comma; a cell with commas in it stands in double
/// quotes; a line that begins with `#` is a comment.
///
/// # Errors
/// Every mistake, sorted by place; spans speak of the stock's own text as source 0.
pub fn read_stock(source: &Source) -> Result<Stock, Vec<Mistake>> {
    let mut mistakes = Vec::new();
    let made = rows::make(source, &mut mistakes);
    let harness = Source { name: source.name.clone(), text: made.text };
    let read = crate::read(&harness, &[]);
    let description = match read {
        Ok(description) if mistakes.is_empty() => description,
        read => {
            mistakes.extend(read.err().into_iter().flatten().map(|mistake| moved(mistake, &made.map)));
            mistakes.sort_by_key(|mistake| mistake.span);
            return Err(mistakes);
        }
    };
    match rows::items(&description, made.rows) {
        Ok(items) => Ok(Stock { items, description, map: Arc::new(made.map) }),
        Err(mistakes) => Err(mistakes),
    }
}

fn moved(mut mistake: Mistake, map: &[Segment]) -> Mistake {
    mistake.span = place(mistake.span, map);
    mistake.others.iter_mut().for_each(|(span, _)| *span = place(*span, map));
    mistake
}

/// Where a stretch of the made harness came from: the narrowest segment that it begins in.
fn place(span: Span, map: &[Segment]) -> Span {
    let around = map.iter().filter(|segment| (segment.made.start..=segment.made.end).contains(&span.start));
    let narrowest = around.min_by_key(|segment| segment.made.end - segment.made.start);
    let Some(segment) = narrowest else { return Span::default() };
    // A value is copied letter by letter, so that a part of it can be pointed at.
    if segment.made.end - segment.made.start == segment.from.end - segment.from.start {
        let start = segment.from.start + (span.start - segment.made.start);
        let end = (start + (span.end - span.start)).min(segment.from.end).max(start);
        return Span { source: 0, start, end };
    }
    segment.from
}

//! What the sources do, as long as they stay the same.

use network::waveform::Waveform;
use std::rc::Rc;

/// Moments that are remembered at a time, and spans, whose legs may be many.
const MOST: usize = 8;
const MOST_SPANS: usize = 2;

/// Values and corners of a list of sources.
#[derive(Default)]
pub(crate) struct KnownSources {
    waveforms: Vec<Waveform>,
    means: Option<Vec<Option<f64>>>,
    values: Vec<(f64, Vec<f64>)>,
    tables: Vec<Rc<Table>>,
}

/// All legs of a span.
pub(crate) struct Table {
    pub(crate) span: f64,
    /// What is drawn besides by loads, which stands still.
    pub(crate) offsets: Vec<f64>,
    /// Start, end, and whether a source jumps at the start.
    pub(crate) times: Vec<(f64, f64, bool)>,
    /// Extended sources just after the start of each leg and their slopes, one leg after the other.
    pub(crate) values: Vec<f64>,
}

impl KnownSources {
    /// Forgets all of them but those of these sources.
    pub(crate) fn keep_of(&mut self, waveforms: &[&Waveform]) {
        let same = self.waveforms.len() == waveforms.len()
            && self.waveforms.iter().zip(waveforms).all(|(known, waveform)| known == *waveform);
        if !same {
            let waveforms = waveforms.iter().map(|waveform| (*waveform).clone()).collect();
            *self = Self { waveforms, ..Self::default() };
        }
    }

    /// Mean of each source, where it has one.
    pub(crate) fn means(&mut self) -> &[Option<f64>] {
        self.means.get_or_insert_with(|| self.waveforms.iter().map(Waveform::mean).collect())
    }

    /// Value of each source at a time in seconds.
    pub(crate) fn at(&mut self, time: f64) -> Vec<f64> {
        if let Some((_, values)) = self.values.iter().find(|(known, _)| *known == time) {
            return values.clone();
        }
        if self.values.len() >= MOST {
            self.values.clear();
        }
        let values: Vec<f64> = self.waveforms.iter().map(|waveform| waveform.piece(time).value).collect();
        self.values.push((time, values.clone()));
        values
    }

    /// The legs of a span, if they are known.
    pub(crate) fn table(&self, span: f64, offsets: &[f64]) -> Option<Rc<Table>> {
        self.tables.iter().find(|table| table.span == span && table.offsets == offsets).cloned()
    }

    /// Remembers the legs of a span.
    pub(crate) fn remember(&mut self, table: &Rc<Table>) {
        if self.tables.len() >= MOST_SPANS {
            self.tables.clear();
        }
        self.tables.push(Rc::clone(table));
    }
}

//! Words beside dots in a field, none on another.

use super::canvas::{Anchor, Canvas};
use super::field::Place;
use super::style::TICK;

/// The labels of a field.
pub(super) struct Labels {
    field: Place,
    /// Left, right, top and bottom of what is taken.
    taken: Vec<[f64; 4]>,
}

impl Labels {
    pub(super) fn within(field: Place) -> Self {
        Self { field, taken: Vec::new() }
    }

    /// Keeps a dot free of labels.
    pub(super) fn keep_free(&mut self, (x, y): (f64, f64), radius: f64) {
        self.taken.push([x - radius, x + radius, y - radius, y + radius]);
    }

    /// Words above a dot, at its right, at its left or below, wherever they lie in the field and on nothing that is taken; where
    /// none of these places is free they are left out, and whatever else tells of the dot must do.
    pub(super) fn put(&mut self, canvas: &mut Canvas, (x, y): (f64, f64), words: &str) {
        let width = TICK.width(words);
        let places = [
            (x - 0.5 * width, y - 13.0),
            (x + 12.0, y + 5.0),
            (x - 12.0 - width, y + 5.0),
            (x - 0.5 * width, y + 25.0),
            (x + 8.0, y - 16.0),
            (x - 8.0 - width, y - 16.0),
            (x + 8.0, y + 24.0),
            (x - 8.0 - width, y + 24.0),
        ];
        let around = |(left, baseline): (f64, f64)| [left, left + width, baseline - 15.0, baseline + 5.0];
        let free = places.into_iter().find(|at| {
            let own = around(*at);
            let inside = own[0] >= self.field.x
                && own[1] <= self.field.right()
                && own[2] >= self.field.y
                && own[3] <= self.field.bottom();
            let apart = |other: &[f64; 4]| {
                own[1] <= other[0] || other[1] <= own[0] || own[3] <= other[2] || other[3] <= own[2]
            };
            inside && self.taken.iter().all(apart)
        });
        if let Some(at) = free {
            self.taken.push(around(at));
            canvas.text(at.0, at.1, Anchor::Start, "label", words);
        }
    }
}

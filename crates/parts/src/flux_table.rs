//! Flux linkage by a table: measured points of flux or of inductance over current, with smooth curves between.

use crate::mistake::{Mistake, shown, with_unit};
use crate::monotone::{cubic, slopes};

/// Flux linkage over current through given points: odd, strictly rising, with a continuous inductance. Beyond the last point it goes
/// on straight.
#[derive(Clone, Debug, PartialEq)]
pub struct FluxTable {
    /// Pieces by rising current; the first begins at 0, the last goes on for ever.
    pieces: Vec<Piece>,
}

/// One stretch of the law, by powers of t, the current less that at its start.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    /// Current in ampere where it begins.
    start: f64,
    /// Flux linkage in weber there.
    flux: f64,
    /// Stored energy in joule there.
    energy: f64,
    /// Differential inductance in henry as a polynomial in t: of 1, t, t², t³.
    inductance: [f64; 4],
}

impl Piece {
    fn inductance(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.inductance;
        a + t * (b + t * (c + t * d))
    }

    fn flux(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.inductance;
        self.flux + t * (a + t * (b / 2.0 + t * (c / 3.0 + t * d / 4.0)))
    }

    /// The energy at the start, and the integral of (start + t) L dt since.
    fn energy(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.inductance;
        let by_time = t * t * (a / 2.0 + t * (b / 3.0 + t * (c / 4.0 + t * d / 5.0)));
        self.energy + self.start * (self.flux(t) - self.flux) + by_time
    }
}

impl FluxTable {
    /// The curve through points of current in ampere and flux linkage in weber, named `property` in messages: a monotone piecewise
    /// cubic (Fritsch and Carlson 1980). Its slope at no current is that of the odd cubic through the first two points, at the last
    /// point that of the straight line from the point before.
    ///
    /// # Errors
    /// Fewer than two points, a first one that is not 0 A and 0 Wb, currents or fluxes that do not rise.
    pub fn of_flux(property: &'static str, points: &[(f64, f64)]) -> Result<Self, Mistake> {
        check(property, points)?;
        if points[0].1 != 0.0 {
            return Err(Mistake::new(
                property,
                format!("`{property}` has a flux of {} at no current", with_unit(points[0].1, "Wb")),
                "begin with `0 A: 0 Wb`; a core that stays magnetised is not in this model",
            ));
        }
        if let Some(pair) = points.windows(2).find(|pair| pair[1].1 <= pair[0].1) {
            return Err(Mistake::new(
                property,
                format!(
                    "the flux in `{property}` does not rise between {} and {}, an inductance of nothing or less",
                    with_unit(pair[0].0, "A"),
                    with_unit(pair[1].0, "A")
                ),
                "the flux rises with the current even in saturation, by the inductance that is left; check the points",
            ));
        }
        let (currents, fluxes): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let secant =
            |index: usize| (fluxes[index + 1] - fluxes[index]) / (currents[index + 1] - currents[index]);
        let slopes = slopes(&currents, &fluxes, odd_slope(points), secant(points.len() - 2));
        let pieces = (0..points.len() - 1).map(|index| {
            let (width, next) = (currents[index + 1] - currents[index], index + 1);
            let [_, b, c, d] = cubic(width, [fluxes[index], fluxes[next]], [slopes[index], slopes[next]]);
            (currents[index], [b, 2.0 * c, 3.0 * d, 0.0])
        });
        let last = (currents[points.len() - 1], [slopes[points.len() - 1], 0.0, 0.0, 0.0]);
        Ok(Self::chain(pieces.chain(std::iter::once(last))))
    }

    /// The curve whose differential inductance runs through points of current in ampere and inductance in henry, named `property` in
    /// messages: a piecewise cubic that stays between neighbouring points (Fritsch and Carlson 1980), level at no current since the law
    /// is odd, integrated exactly.
    ///
    /// # Errors
    /// Fewer than two points, a first one that is not at 0 A, currents that do not rise, inductances of 0 or below.
    pub fn of_inductance(property: &'static str, points: &[(f64, f64)]) -> Result<Self, Mistake> {
        check(property, points)?;
        if let Some(point) = points.iter().find(|point| !(point.1.is_finite() && point.1 > 0.0)) {
            return Err(Mistake::new(
                property,
                format!(
                    "`{property}` has an inductance of {} at {}",
                    with_unit(point.1, "H"),
                    with_unit(point.0, "A")
                ),
                "an inductance is above 0 H even in saturation: the winding in air keeps some nanohenry per turn",
            ));
        }
        let (currents, inductances): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let last = points.len() - 1;
        let secant = (inductances[last] - inductances[last - 1]) / (currents[last] - currents[last - 1]);
        let slopes = slopes(&currents, &inductances, 0.0, secant);
        let pieces = (0..last).map(|index| {
            let width = currents[index + 1] - currents[index];
            let ends = [inductances[index], inductances[index + 1]];
            (currents[index], cubic(width, ends, [slopes[index], slopes[index + 1]]))
        });
        Ok(Self::chain(pieces.chain(std::iter::once((currents[last], [inductances[last], 0.0, 0.0, 0.0])))))
    }

    /// Joins stretches, each with its start and its inductance.
    fn chain(stretches: impl Iterator<Item = (f64, [f64; 4])>) -> Self {
        let mut pieces: Vec<Piece> = Vec::new();
        for (start, inductance) in stretches {
            let (flux, energy) = pieces.last().map_or((0.0, 0.0), |before| {
                let width = start - before.start;
                (before.flux(width), before.energy(width))
            });
            pieces.push(Piece { start, flux, energy, inductance });
        }
        Self { pieces }
    }

    /// The piece at a current of 0 or above, and the current since its start.
    fn piece(&self, current: f64) -> (&Piece, f64) {
        let after = self.pieces.partition_point(|piece| piece.start <= current);
        let piece = &self.pieces[after.saturating_sub(1)];
        (piece, current - piece.start)
    }

    /// Flux linkage in weber at `current` in ampere.
    #[must_use]
    pub fn flux(&self, current: f64) -> f64 {
        let (piece, t) = self.piece(current.abs());
        piece.flux(t).copysign(current)
    }

    /// Differential inductance in henry at `current` in ampere.
    #[must_use]
    pub fn inductance(&self, current: f64) -> f64 {
        let (piece, t) = self.piece(current.abs());
        piece.inductance(t)
    }

    /// Stored energy in joule at `current` in ampere.
    #[must_use]
    pub fn energy(&self, current: f64) -> f64 {
        let (piece, t) = self.piece(current.abs());
        piece.energy(t)
    }

    /// Current in ampere at `flux` in weber.
    #[must_use]
    pub fn current(&self, flux: f64) -> f64 {
        let size = flux.abs();
        let index = self.pieces.partition_point(|piece| piece.flux <= size).saturating_sub(1);
        let piece = &self.pieces[index];
        let Some(next) = self.pieces.get(index + 1) else {
            return (piece.start + (size - piece.flux) / piece.inductance[0]).copysign(flux);
        };
        let (mut low, mut high) = (0.0, next.start - piece.start);
        let mut guess = high * (size - piece.flux) / (next.flux - piece.flux);
        for _ in 0..200 {
            let miss = piece.flux(guess) - size;
            if miss < 0.0 {
                low = guess;
            } else {
                high = guess;
            }
            let newton = guess - miss / piece.inductance(guess);
            let new = if newton > low && newton < high { newton } else { f64::midpoint(low, high) };
            if (new - guess).abs() <= 1e-15 * (piece.start + guess) {
                break;
            }
            guess = new;
        }
        (piece.start + guess).copysign(flux)
    }

    /// The least current in ampere at which the inductance has fallen to `inductance` in henry; `None` where it never does.
    #[must_use]
    pub fn current_at_inductance(&self, inductance: f64) -> Option<f64> {
        /// Places looked at in each piece: within one the inductance is a parabola or a rising or falling cubic.
        const PLACES: usize = 64;
        let mut before = 0.0;
        for (index, piece) in self.pieces.iter().enumerate() {
            let width = self.pieces.get(index + 1).map_or(0.0, |next| next.start - piece.start);
            for place in 0..=PLACES {
                let current = piece.start + width * place as f64 / PLACES as f64;
                if self.inductance(current) <= inductance {
                    let (mut low, mut high) = (before, current);
                    for _ in 0..100 {
                        let middle = f64::midpoint(low, high);
                        if self.inductance(middle) > inductance { low = middle } else { high = middle }
                    }
                    return Some(high);
                }
                before = current;
            }
        }
        None
    }

    /// The current in ampere of the last point, from which on the law is straight.
    #[must_use]
    pub fn last_current(&self) -> f64 {
        self.pieces.last().map_or(0.0, |piece| piece.start)
    }
}

/// Slope at the origin of a i + b i³ through the first two points after it, but no less than a third of that of the line to the first;
/// with one point, that of the line.
fn odd_slope(points: &[(f64, f64)]) -> f64 {
    let secant = |point: (f64, f64)| point.1 / point.0;
    match (points.get(1), points.get(2)) {
        (Some(&near), Some(&far)) => {
            let (near_square, far_square) = (near.0 * near.0, far.0 * far.0);
            let odd = (secant(near) * far_square - secant(far) * near_square) / (far_square - near_square);
            odd.max(secant(near) / 3.0)
        }
        (Some(&only), None) => secant(only),
        _ => 0.0,
    }
}

/// What both tables must hold.
fn check(property: &'static str, points: &[(f64, f64)]) -> Result<(), Mistake> {
    if points.len() < 2 {
        return Err(Mistake::new(
            property,
            format!("`{property}` has {} point, too few for a curve", points.len()),
            "give at least two points, the first at 0 A; for a coil that never saturates give `inductance` alone",
        ));
    }
    if points[0].0 != 0.0 {
        return Err(Mistake::new(
            property,
            format!("`{property}` begins at {}, not at 0 A", with_unit(points[0].0, "A")),
            "begin with the point at 0 A; currents the other way follow, for a core is alike in both directions",
        ));
    }
    if let Some(pair) =
        points.windows(2).find(|pair| pair[1].0.partial_cmp(&pair[0].0) != Some(std::cmp::Ordering::Greater))
    {
        return Err(Mistake::new(
            property,
            format!(
                "the currents in `{property}` do not rise: {} A after {} A",
                shown(pair[1].0),
                shown(pair[0].0)
            ),
            "sort the points by current, each current once",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests;

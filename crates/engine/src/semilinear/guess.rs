//! A first guess of the periodic state: that of the network with the bent rest standing still where the means of the sources put it.

use super::walk::{Leg, Semilinear};
use crate::clock::Clock;
use crate::exact::Passage;
use crate::failure::Failure;
use nalgebra::{DVector, Dyn, FullPivLU};
use std::rc::Rc;

/// The start of a search for the periodic state.
pub(crate) struct Guess {
    pub(crate) y: DVector<f64>,
    /// 1 - e^(A T): how what a period misses by is spread over the periods to come.
    spread: Option<FullPivLU<f64, Dyn, Dyn>>,
}

impl Guess {
    /// Where the search goes from `y` when a period leads to `image`.
    pub(crate) fn next(&self, y: &DVector<f64>, image: DVector<f64>) -> DVector<f64> {
        let Some(spread) = &self.spread else { return image };
        match spread.solve(&(&image - y)) {
            Some(step) if step.iter().all(|value| value.is_finite()) => y + step,
            _ => image,
        }
    }
}

impl Semilinear<'_, '_, '_> {
    /// From scaled states where all sources have their means. Takes note of how far states swing.
    pub(crate) fn guess(&mut self, mean: DVector<f64>, period: f64) -> Result<Guess, Failure> {
        let nothing = |y| Ok(Guess { y, spread: None });
        let sources = self.base.equations.sources.clone();
        let values = sources.iter().map(|source| source.mean()).collect::<Option<Vec<f64>>>();
        let Some(values) = values.filter(|_| !mean.is_empty()) else { return nothing(mean) };
        let x = self.ports_of(&mean, &DVector::from_vec(self.base.extend(&values)));
        self.choose_reference(&x)?;
        let reference = Rc::clone(&self.current);
        let rest = Self::rest(&self.bent, &reference).value(x.as_slice());
        let shift = &reference.reduced.ports.drive * &rest;
        let change = Passage::change(&reference.reduced.a, period);
        let size = change.nrows();
        let spread = (-change).full_piv_lu();
        let offset = self.stand_through(DVector::zeros(size), &rest, period, |_, _| {});
        let Some(xi) = spread.solve(&offset).filter(|xi| xi.iter().all(|value| value.is_finite())) else {
            return nothing(mean);
        };
        let mut seen = vec![(f64::INFINITY, f64::NEG_INFINITY); size];
        let mut felt = std::mem::take(&mut self.felt);
        self.stand_through(xi.clone(), &rest, period, |xi, leg| {
            let y = xi + &shift;
            for (seen, value) in seen.iter_mut().zip(y.iter()) {
                *seen = (seen.0.min(*value), seen.1.max(*value));
            }
            felt.iter_mut().for_each(|felt| felt.see(&reference, &y, leg));
        });
        self.felt = felt;
        self.swings = seen.iter().map(|(low, high)| high - low).collect();
        self.seen = seen;
        Ok(Guess { y: xi + shift, spread: Some(spread) })
    }

    /// Goes through a period with a rest that stands still, looking at xi at every corner.
    fn stand_through(
        &self,
        mut xi: DVector<f64>,
        rest: &DVector<f64>,
        period: f64,
        mut look: impl FnMut(&DVector<f64>, &Leg),
    ) -> DVector<f64> {
        let reference = &self.current;
        let sources = self.base.equations.sources.clone();
        let mut clock = Clock::new(&sources, 0.0);
        while clock.time < period {
            let corner = clock.next_corner(period);
            let leg = self.leg(clock.time, corner, &clock.values, &clock.slopes);
            look(&xi, &leg);
            let halvings = reference.halvings(corner - clock.time);
            let passage = &halvings.passages[0];
            xi += &passage.change * &xi
                + &passage.of_sources * &leg.sources
                + &passage.of_slopes * &leg.slopes
                + reference.standing(passage, rest);
            let late = &leg.sources + &leg.slopes * (corner - clock.time);
            if clock.advance(corner) {
                let now = DVector::from_vec(self.base.extend(&clock.values));
                reference.snapshot.keep_charge(&self.scale, &mut xi, &late, &now);
            }
        }
        xi
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::DMatrix;

    /// A linear map's fixed point is found in one step from anywhere.
    #[test]
    fn spreads_what_a_period_misses_by() {
        let transition = DMatrix::from_row_slice(2, 2, &[0.9, 0.05, -0.2, 0.99]);
        let offset = DVector::from_vec(vec![1.0, -2.0]);
        let spread = (DMatrix::identity(2, 2) - &transition).full_piv_lu();
        let guess = Guess { y: DVector::zeros(2), spread: Some(spread) };
        let start = DVector::from_vec(vec![30.0, -7.0]);
        let next = guess.next(&start, &transition * &start + &offset);
        assert!((&transition * &next + &offset - &next).amax() < 1e-12);
    }
}

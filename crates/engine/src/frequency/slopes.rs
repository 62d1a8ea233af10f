//! How a response at one frequency changes with what the network is made of: with (G + j omega C) x = b and the response c'x,
//! its change is -y' d(G + j omega C) x, where (G + j omega C)' y = c (Director and Rohrer, IEEE Transactions on Circuit Theory 16,
//! 1969). One solve each of the matrix and its transpose serves all values.

use super::small_signal::SmallSignal;
use super::sweep::excite;
use super::{Bias, Path};
use crate::equations::Equations;
use crate::failure::Failure;
use nalgebra::Complex;
use network::primitive::{Network, NodeIndex};

/// A network with a value a little lower and a little higher, each with its bias, and the difference of the value.
#[derive(Clone, Copy, Debug)]
pub struct Neighbours<'a> {
    /// The networks, of the same branches as the one in between.
    pub networks: [(&'a Network, &'a Bias); 2],
    /// The difference of the value; slopes count by it.
    pub width: f64,
}

/// A value with its slope by each of some values.
pub type Sloped = (Complex<f64>, Vec<Complex<f64>>);

/// A response at one frequency in hertz, and its slope by each value; `None` where the network has no answer there.
///
/// # Errors
/// [`Failure`] of a drawing.
pub fn slopes(
    network: &Network,
    bias: &Bias,
    path: &Path,
    frequency: f64,
    others: &[Neighbours<'_>],
) -> Result<Option<Sloped>, Failure> {
    let omega = std::f64::consts::TAU * frequency;
    let equations = Equations::new(network)?;
    let mut small_signal = SmallSignal::new(&equations, bias.of(&equations));
    let mut x = vec![Complex::new(0.0, 0.0); equations.size()];
    excite(&equations, path.excitation).iter().for_each(|(row, value)| x[*row] += *value);
    let mut y = vec![Complex::new(0.0, 0.0); equations.size()];
    let mut look = |node: NodeIndex, sign: f64| {
        if node > 0 {
            y[node - 1] += sign;
        }
    };
    look(path.plus, 1.0);
    look(path.minus, -1.0);
    let seen = y.clone();
    if small_signal.solve_both(omega, &mut x, &mut y).is_err() {
        return Ok(None);
    }
    let dot = |one: &[Complex<f64>], other: &[Complex<f64>]| -> Complex<f64> {
        one.iter().zip(other).map(|(one, other)| one * other).sum()
    };
    let value = dot(&seen, &x);
    let slope = |beside: &Neighbours<'_>| {
        let product = |(network, bias): (&Network, &Bias)| -> Result<Vec<Complex<f64>>, Failure> {
            let equations = Equations::new(network)?;
            Ok(SmallSignal::new(&equations, bias.of(&equations)).times(omega, &x))
        };
        let [low, high] = [product(beside.networks[0])?, product(beside.networks[1])?];
        Ok((dot(&y, &low) - dot(&y, &high)) / beside.width)
    };
    let slopes = others.iter().map(slope).collect::<Result<Vec<_>, Failure>>()?;
    Ok(Some((value, slopes)))
}

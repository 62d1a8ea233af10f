//! The exponential road for bent storage laws: the linear part moves exactly, only what a law bends is integrated.
//!
//! Each saturable inductor (or ceramic capacitor) is split into a straight part L and the rest: flux L i + F(i). The rest acts
//! on the linear network as a voltage dF/dt in series with L. With y' = A y + b(t) + N dF/dt and y = xi + N F the rest
//! stands without a derivative,
//!
//! xi' = A xi + b(t) + A N F(x),   x = K xi + K_u u + K N F(x),
//!
//! where x holds the currents of the bent inductors. A step moves xi by the matrix exponential and its phi functions, with F
//! replaced by the parabola through its values at the start, the middle and the end of the step: exponential collocation
//! (Hochbruck and Ostermann, Applied Numerical Mathematics 53, 2005, who prove its order and stability for semilinear
//! parabolic problems). The unknowns of a step are x at the middle and the end alone: two numbers a coil. It is implicit
//! in the bent part, so saturation does not limit the step, and ringing parasitics cost nothing while the straight part
//! is near the law's slope: L is chosen anew where they part.
//! Being written in flux and charge, it conserves both.

mod collocation;
mod drawing;
mod felt;
mod guess;
mod laws;
mod lines;
mod pace;
mod recording;
mod reference;
mod step;
mod walk;

pub(crate) use recording::Recording;
pub(crate) use walk::{Look, Semilinear, Tolerances};

//! The exact road: where all laws are straight lines, the state moves by the matrix exponential from corner to corner.
//!
//! The independent inductor currents and capacitor voltages y obey y' = A y + B u + E u' with sources u that are straight
//! lines between corners, so that over a piece of length h
//! y(h) = y(0) + h phi1(Ah) (A y(0) + c0) + h^2 phi2(Ah) c1 with c0 = B u0 + E u', c1 = B u'
//! (Hochbruck and Ostermann, Acta Numerica 19, 2010, equation 2.1 and on). No time step, no stiffness; ringing
//! parasitics cost nothing.
//!
//! Loads whose law is made of straight stretches change from one to the next on the way: there the network becomes another
//! one, with the same charges and fluxes, and the walk goes on.

mod drawing;
mod modal;
mod modes;
mod passage;
mod propagator;
mod reduced;
mod regime;
mod walk;

pub(crate) use modal::{Begin, Instant, Legs, ModalWalk, Passed, Signals, Stride, add_product, show};
pub(crate) use modes::{growing_mode, states_of_mode};
pub(crate) use passage::Passage;
pub(crate) use propagator::{FINER_LEVELS, MOST_KINDS, SAME_DURATION};
pub(crate) use reduced::{Made, Reduced, energy_scale};
pub(crate) use regime::{Regime, Settled, is_near, lines_where};
pub(crate) use walk::{Extremes, Look, Outcome, Walk, settling_time};

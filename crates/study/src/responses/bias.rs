//! Where a point is linearised: at the means of its periodic steady state where something bends, at rest otherwise.

use crate::point::common_period;
use engine::frequency::{Bias, Means};
use network::lowered::{Lowered, Warning};

/// The bias of a network that was lowered for the steady state; with a warning where its laws bend, its sources move, and it has
/// no steady state all the same.
pub(crate) fn bias(lowered: &Lowered, accuracy: f64) -> Result<(Bias, Option<Warning>), String> {
    let network = &lowered.network;
    let resting = || Bias::resting(network).map_err(|failure| failure.to_string());
    let straight = Means::new(&mut network.clone()).is_idle();
    // Where nothing moves the mean is what rests.
    if straight || (lowered.periods.is_empty() && lowered.aperiodic.is_none()) {
        return Ok((resting()?, None));
    }
    let steady = match (&lowered.aperiodic, common_period(lowered)) {
        (Some(reason), _) => Err(reason.clone()),
        (None, None) => Err("the sources have no common period that can be waited for".to_owned()),
        (None, Some(period)) => {
            Bias::steady(network, period, accuracy).map_err(|failure| failure.to_string())
        }
    };
    match steady {
        Ok(bias) => Ok((bias, None)),
        Err(reason) => Ok((resting()?, Some(at_rest(&reason)))),
    }
}

/// Says that responses stand at rest, and why.
fn at_rest(reason: &str) -> Warning {
    Warning {
        code: "bias_at_rest",
        about: String::new(),
        weight: 0.0,
        text: format!(
            "responses, gains and resonances stand where the harness would rest with every source at its mean, not at the mean of its ripple: {reason}"
        ),
    }
}

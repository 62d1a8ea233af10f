//! Why a computation could not be done, in the user's terms: nodes and parts by name.

use std::fmt;

/// A failed computation. Its text says what is wrong, where, and what to try.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// A node (with all it is joined to) has no path to `gnd` through any part.
    FloatingNode {
        /// The node.
        node: String,
        /// Parts that touch it.
        parts: Vec<String>,
    },
    /// Voltage sources and shorts form a loop, so their voltages contradict or leave the current free.
    SourceLoop {
        /// Parts of the loop.
        parts: Vec<String>,
    },
    /// A node is fed by current sources alone.
    OnlyCurrents {
        /// The node.
        node: String,
        /// The sources that meet there.
        parts: Vec<String>,
    },
    /// There is no unique direct-current operating point.
    NoOperatingPoint {
        /// Nodes whose voltage is left free.
        nodes: Vec<String>,
        /// Parts whose current is left free.
        parts: Vec<String>,
    },
    /// There is no unique periodic steady state.
    NoSteadyState {
        /// Parts that keep the energy of what never settles.
        parts: Vec<String>,
        /// Nodes concerned.
        nodes: Vec<String>,
    },
    /// A mode of the network grows by itself, so that it never settles.
    Growing {
        /// Frequency of the mode in hertz; 0 where it runs away without swinging.
        frequency: f64,
        /// Growth rate in 1/s: the mode grows e-fold in its reciprocal.
        rate: f64,
        /// Parts that carry the mode's energy.
        parts: Vec<String>,
        /// Loads that feed it.
        loads: Vec<String>,
    },
    /// Newton's method did not converge.
    NoConvergence {
        /// Time in seconds; `None` at the operating point.
        time: Option<f64>,
        /// Node or part whose equation was worst.
        place: String,
    },
    /// More independent capacitors and inductors than sensitivities are worked out for.
    TooManyStates {
        /// Their number, with the low-passes of what is looked at.
        states: usize,
        /// The most that are taken.
        most: usize,
    },
    /// The state did not settle within the periods allowed.
    NotSettled {
        /// Periods tried.
        periods: usize,
        /// Part whose state still moved most.
        part: String,
        /// Its last change from period to period as a fraction of its swing.
        change: f64,
    },
    /// The time step shrank to nothing.
    StepTooSmall {
        /// Time in seconds.
        time: f64,
        /// Part whose state could not be followed.
        part: String,
    },
    /// A state grew until numbers could not hold it.
    Unbounded {
        /// Time in seconds by which that has happened.
        time: f64,
        /// Part whose state it is.
        part: String,
    },
    /// Without a common period the run has to settle first, and does not within the time allowed.
    TooSlow {
        /// Time allowed in seconds.
        seconds: f64,
        /// What is left of the slowest mode by then, as a fraction.
        left: f64,
    },
    /// A source has no period.
    Aperiodic,
}

/// A mode that runs away in less than so many seconds has nothing but stray inductance to hold it.
const AT_ONCE: f64 = 1e-6;

impl fmt::Display for Failure {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FloatingNode { node, parts } => write!(
                out,
                "node {node} has no path to gnd (it is touched by {}); join it to the rest, or mend its name",
                list(parts)
            ),
            Self::SourceLoop { parts } => {
                write!(out, "{} form a loop without resistance; give one of them a resistance", list(parts))
            }
            Self::OnlyCurrents { node, parts } => write!(
                out,
                "node {node} is fed by fixed currents alone ({}); give the current another path, such as a capacitor or a resistor to gnd",
                list(parts)
            ),
            Self::NoOperatingPoint { nodes, parts } => {
                write!(out, "there is no unique operating point: ")?;
                free(out, nodes, parts)?;
                let misspelt = if nodes.is_empty() { "" } else { "look for a misspelt node, or " };
                write!(out, "; {misspelt}add a resistance or a leakage that fixes it")
            }
            Self::NoSteadyState { nodes, parts } => {
                write!(out, "there is no unique periodic steady state: ")?;
                free(out, nodes, parts)?;
                write!(out, "; give the parts their resistance, or use `start operating`")
            }
            Self::Growing { frequency, rate, parts, loads } => {
                write!(out, "there is no steady state: {} ", list(parts))?;
                if *frequency > 0.0 {
                    write!(out, "swing up at {frequency:.4e} Hz")?;
                } else {
                    write!(out, "run away")?;
                }
                write!(out, ", growing e-fold every {:.3e} s", 1.0 / rate)?;
                if !loads.is_empty() {
                    let remedy = if *frequency == 0.0 && 1.0 / rate < AT_ONCE {
                        "give it the capacitor at its input (`input_capacitance`), without which no inductance can feed it"
                    } else {
                        "add series resistance or a lossy capacitor in front of it"
                    };
                    write!(
                        out,
                        ", because {} draws more current when its voltage falls; {remedy}",
                        list(loads)
                    )?;
                }
                Ok(())
            }
            Self::NoConvergence { time, place } => {
                write!(out, "the equations at {place} could not be solved")?;
                if let Some(time) = time {
                    write!(out, " at t = {time:.6e} s")?;
                }
                write!(
                    out,
                    "; damping and continuation were tried; look for a constant-power load below its supply, or a value far from the others"
                )
            }
            Self::TooManyStates { states, most } => write!(
                out,
                "{states} capacitors and inductors are too many for sensitivities, which are worked out for up to {most}; leave out what hardly matters, or look at a smaller file"
            ),
            Self::NotSettled { periods, part, change } => write!(
                out,
                "no steady state after {periods} periods: the state of {part} still moves by {change:.1e} of its swing each period; use `start operating` to see how it runs away or rings"
            ),
            Self::StepTooSmall { time, part } => write!(
                out,
                "the state of {part} changes too fast to follow at t = {time:.6e} s; check that value, or lower the accuracy"
            ),
            Self::Unbounded { time, part } => write!(
                out,
                "the state of {part} grows without bounds, beyond what numbers can hold by t = {time:.3e} s; look for a negative resistance or a load that draws more current when its voltage falls, add resistance that damps it, or choose a shorter span"
            ),
            Self::TooSlow { seconds, left } => write!(
                out,
                "the sources have no common period, and after {seconds:.3} s of settling {left:.1e} of the slowest swing is left; choose frequencies with a common divisor, or use `start operating` with a span of your own"
            ),
            Self::Aperiodic => write!(
                out,
                "a source without a period (a ramp, points or a throttle profile) has no steady state; use `start operating` or `start rest`"
            ),
        }
    }
}

impl std::error::Error for Failure {}

fn free(out: &mut fmt::Formatter<'_>, nodes: &[String], parts: &[String]) -> fmt::Result {
    match (nodes.is_empty(), parts.is_empty()) {
        (false, true) => {
            // Places inside a part say nothing that its outer nodes do not say.
            let outer: Vec<String> = nodes.iter().filter(|node| !node.contains('.')).cloned().collect();
            write!(
                out,
                "nothing fixes the voltage of {}",
                list(if outer.is_empty() { nodes } else { &outer })
            )
        }
        (true, false) => write!(out, "nothing fixes the current or charge of {}", list(parts)),
        (false, false) => {
            write!(out, "nothing fixes the state of {} (nodes {})", list(parts), list(nodes))
        }
        (true, true) => write!(out, "the equations are singular"),
    }
}

/// `a`, `a and b`, `a, b and c`, at most five.
fn list(names: &[String]) -> String {
    let mut shown: Vec<&str> = Vec::new();
    for name in names {
        if !shown.contains(&name.as_str()) {
            shown.push(name);
        }
    }
    let more = shown.len().saturating_sub(5);
    shown.truncate(5);
    match (shown.as_slice(), more) {
        ([], _) => "nothing".into(),
        ([one], _) => (*one).to_string(),
        ([init @ .., last], 0) => format!("{} and {last}", init.join(", ")),
        (all, more) => format!("{} and {more} more", all.join(", ")),
    }
}

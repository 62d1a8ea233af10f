//! Warnings of values outside what a model was made for.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[beside(
    "outside_model_range",
    "a value outside what a model is good for",
    "The value is possible, and the numbers are computed with it, but the model leaves out what then matters. The message says up to where it is good and why it ends there. Check the unit first: rpm or Hz, kHz or MHz.",
    [
        "drive tracks bus -> gnd  current 9 A, pwm 2 MHz, duty 60 %, rise 20 ns, fall 20 ns",
        "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 20 ns, fall 20 ns",
    ],
)];

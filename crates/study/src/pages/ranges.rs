//! Warnings of values outside what a model was made for.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "outside_model_range",
        "a value outside what a model is good for",
        "The value is possible, and the numbers are computed with it, but the model leaves out what then matters. The message says up to where it is good and why it ends there. Check the unit first: rpm or Hz, kHz or MHz.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 2 MHz, duty 60 %, rise 20 ns, fall 20 ns",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 20 ns, fall 20 ns",
        ],
    ),
    beside(
        "unlikely_value",
        "a value far outside what such parts have",
        "Prefixes are case-sensitive: `m` is a thousandth and `M` a million, so that 5 Mohm is a thousand million times 5 mohm. The value is computed with as it stands; it is remarked where it is about a hundred times beyond anything sold, an esr where it gives a loss factor above 10 at 120 Hz, and a capacitance from 100 mF on where its esr is not that of a double-layer capacitor, and a test point's bandwidth below 1 Hz, through which no noise is seen (all common practice, no source). The message says what is usual and what may have been meant.",
        [
            "capacitor store cam -> gnd  capacitance 220 uF, esr 60 Mohm",
            "capacitor store cam -> gnd  capacitance 220 uF, esr 60 mohm",
        ],
    ),
];

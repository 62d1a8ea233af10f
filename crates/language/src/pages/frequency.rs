//! Mistakes of frequencies and responses.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "second_frequency",
        "the frequencies are stated twice",
        "A file has one `frequency` statement, and all responses are computed at its frequencies. A list may hold any: `frequency [480 Hz, 20 kHz]`.",
        [
            "frequency 10 Hz .. 1 kHz, points 20\nfrequency 1 kHz .. 1 MHz, points 20",
            "frequency 10 Hz .. 1 MHz, points 20",
        ],
    ),
    beside(
        "empty_list",
        "a list with nothing in it",
        "At least one frequency is needed to compute anything.",
        ["frequency [ ]", "frequency [480 Hz, 20 kHz]"],
    ),
    beside(
        "too_many_points",
        "more frequencies than are computed at once",
        "`points` counts frequencies a decade, ten times the frequency; 20 to 100 draw a smooth curve. At most 100 000 are computed in all.",
        ["frequency 10 Hz .. 1 MHz, points 50000", "frequency 10 Hz .. 1 MHz, points 50"],
    ),
    beside(
        "no_frequency",
        "a response without frequencies",
        "Responses, insertion losses and impedance margins are computed at the frequencies that a `frequency` statement lists: add one.",
        [
            "response feeding = impedance(cam)",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(cam)",
        ],
    ),
    beside(
        "no_response",
        "resonances without a response",
        "Resonances are looked for in what a `response` describes; add one, from the drive to the camera's node for example.",
        [
            "reading ring = resonances",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(cam)\nreading ring = resonances",
        ],
    ),
    beside(
        "constant_response",
        "a response that is the same at every frequency",
        "A response is a curve: a `transfer`, an `impedance`, an `insertion_loss`, or a formula with one of them in it.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nresponse level = 2 V",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse level = 2 A * impedance(cam)",
        ],
    ),
    beside(
        "not_a_node",
        "the name of a node is wanted",
        "An impedance is that of a node against `gnd`, or between two nodes.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(2)",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(cam)",
        ],
    ),
    beside(
        "not_a_voltage",
        "a transfer that looks at no voltage",
        "`transfer(voltage(NODE), SOURCE)` is the voltage at a node for each ampere that a drive draws, or each volt that a battery or source pushes.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\nfrequency 10 Hz .. 1 MHz, points 20\nresponse path = transfer(cam, tracks)",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\nfrequency 10 Hz .. 1 MHz, points 20\nresponse path = transfer(voltage(cam), tracks)",
        ],
    ),
    beside(
        "not_a_response",
        "the name of a response is wanted",
        "Gain and resonances are read from a curve that a `response` statement has named.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nreading lift = peak_gain(impedance(cam))",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(cam)\nreading lift = peak_gain(feeding)",
        ],
    ),
    beside(
        "unknown_response",
        "a response that is not in the file, or of an unknown form",
        "The name belongs to no `response` statement, or a response is made of a word that makes none: `transfer`, `impedance` and `insertion_loss` do.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedence(cam)",
            "frequency 10 Hz .. 1 MHz, points 20\nresponse feeding = impedance(cam)",
        ],
    ),
];

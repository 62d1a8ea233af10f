//! Warnings that a run in time gives.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "coil_saturated",
        "a coil that is no coil any more",
        "At its peak current less than 70 % of the inductance are left, so it filters less than its label says; an LC meter measures at almost no current and cannot show this. Take a larger core, or fewer turns with a larger capacitor. The 70 % are common practice, without a source.",
        [
            "coil choke bus -> far  inductance 330 uH, saturation_current 1 A\nload light far -> gnd  resistance 6 ohm",
            "coil choke bus -> far  inductance 330 uH, saturation_current 4 A\nload light far -> gnd  resistance 6 ohm",
        ],
    ),
    beside(
        "bead_without_saturation",
        "a bead with a current and without its bias curve",
        "A bead's impedance falls with the direct current through it, by half at a tenth to a half of its rated current (from memory), and its label says nothing of that. Add `saturation_current` from the curve of its data sheet: the current at which 30 % of the inductance are gone. Below 0.1 A this is not told.",
        [
            "bead grain bus -> far  peak_resistance 600 ohm, inductance 1 uH\nload light far -> gnd  resistance 6 ohm",
            "bead grain bus -> far  peak_resistance 600 ohm, inductance 1 uH, saturation_current 4 A\nload light far -> gnd  resistance 6 ohm",
        ],
    ),
    beside(
        "camera_under_supply",
        "a camera with too little voltage",
        "The supply, seen through 20 MHz, falls below the camera's range: it may go black or restart. Shorten or thicken the feed, take a coil of less resistance, or land with a fuller pack. Where no path for direct current leads to it from a source, the message says so first: a node's name is spelt in two ways then, or a wire is missing.",
        [
            "camera front cam -> gnd  current 100 mA, supply 13 V .. 18 V",
            "camera front cam -> gnd  current 100 mA, supply 9 V .. 18 V",
        ],
    ),
    beside(
        "camera_over_supply",
        "a camera with too much voltage",
        "The supply, seen through 20 MHz, rises above the camera's range. Damp the ringing, or put a regulator in front.",
        [
            "camera front cam -> gnd  current 100 mA, supply 5 V .. 9 V",
            "camera front cam -> gnd  current 100 mA, supply 9 V .. 18 V",
        ],
    ),
    beside(
        "no_common_period",
        "sources whose periods never meet",
        "A steady state repeats itself after the least common multiple of all periods. Where that is longer than 1 s, or holds too many pulses, the run settles first instead, takes longer, and readings cover the span. Two drives of nearly one frequency beat: noise is worst once in a beat, and a span shorter than that may miss it, so make it longer than the message says a beat takes. Or choose frequencies with a common divisor: 480 Hz beside 20 kHz, not 477 Hz.",
        [
            "drive left bus -> gnd  current 1 A, pwm 20 kHz, duty 60 %\ndrive right bus -> gnd  current 1 A, pwm 20.0001 kHz, duty 60 %",
            "drive left bus -> gnd  current 1 A, pwm 20 kHz, duty 60 %\ndrive right bus -> gnd  current 1 A, pwm 20 kHz, duty 60 %",
        ],
    ),
    beside(
        "no_value",
        "a reading that has no value here",
        "All its parts are there, and it has no value all the same: a time outside of what is read, a harmonic of a drive that does not switch, a ratio of ripples that are not there, a formula that divides by zero. The message says which.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 100 %\nreading first = harmonic(rail, tracks, 1)",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\nreading first = harmonic(rail, tracks, 1)",
        ],
    ),
];

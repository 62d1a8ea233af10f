//! Mistakes of values: out of range, of the wrong shape, contradicting each other.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "anti_spark_without_effect",
        "an anti-spark resistor that limits nothing",
        "The resistor of an anti-spark plug touches first, so that capacitors charge through it; it must be far above the resistance of the contacts that follow. Some ohms are usual: the pack's voltage over it is the greatest current.",
        [
            "connector plug bus -> far  closes 1 ms, contact_resistance 10 mohm, anti_spark_resistance 5 mohm\nload light far -> gnd  current 100 mA",
            "connector plug bus -> far  closes 1 ms, contact_resistance 10 mohm, anti_spark_resistance 5 ohm\nload light far -> gnd  current 100 mA",
        ],
    ),
    beside(
        "out_of_range",
        "a value that a property doesn't take",
        "The value has the right unit, but no part can have it: a negative resistance, a duty of 6000 %. A share written without % is the usual cause: `60` is 6000 %.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %",
        ],
    ),
    beside(
        "not_a_count",
        "a count that is no whole number",
        "Motors, cells, turns, strands and the numbers of harmonics are counted: 1, 2, 3 and so on, without a unit.",
        [
            "drive tracks bus -> gnd  motors 1.5, current 9 A, pwm 20 kHz, duty 60 %",
            "drive tracks bus -> gnd  motors 2, current 9 A, pwm 20 kHz, duty 60 %",
        ],
    ),
    beside(
        "wrong_shape",
        "a value of the wrong form",
        "Most properties take one value; some take a range `A .. B`, some a list of points `[0 s: 20 %, 1 s: 80 %]`, some a word. The help shows the form that is wanted.",
        [
            "camera front cam -> gnd  current 100 mA, supply 9 V",
            "camera front cam -> gnd  current 100 mA, supply 9 V .. 15 V",
        ],
    ),
    beside(
        "wrong_range",
        "a range that doesn't rise",
        "A range is written from its lower to its upper end; both ends the same are no range.",
        [
            "camera front cam -> gnd  current 100 mA, supply 15 V .. 9 V",
            "camera front cam -> gnd  current 100 mA, supply 9 V .. 15 V",
        ],
    ),
    beside(
        "unexpected_range",
        "a range where one value is wanted",
        "`A .. B` stands where a property, a band or a window is a range. Elsewhere one value is needed; to try several, use a `choice` or `condition`.",
        ["let a = max(1 V .. 2 V)", "let a = max(1 V, 2 V)"],
    ),
    beside(
        "unknown_value",
        "a word that a property doesn't take",
        "The property takes one of a few words, which the message lists.",
        [
            "battery spare gnd -> bus  cells 3, chemistry lithium_polymer",
            "battery spare gnd -> bus  cells 3, chemistry li_po",
        ],
    ),
    beside(
        "points_not_rising",
        "points out of order",
        "The points of a course over time are written in the order of their times, each later than the one before. A jump takes two points close together: `[1 ms: 0 V, 1.001 ms: 5 V]`.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, throttle [0 s: 20 %, 0 s: 80 %]",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, throttle [0 s: 20 %, 1 s: 80 %]",
        ],
    ),
    beside(
        "missing_value",
        "a property without its value",
        "After a property's word comes its value.",
        ["resistor shunt bus -> cam  resistance", "resistor shunt bus -> cam  resistance 1 ohm"],
    ),
    beside(
        "stated_twice",
        "one thing is stated twice",
        "A property stands once in a part, `span` and `start` once in a transient, a parameter once in a fit. Two values would leave open which holds.",
        [
            "resistor shunt bus -> cam  resistance 1 ohm, resistance 2 ohm",
            "resistor shunt bus -> cam  resistance 1 ohm",
        ],
    ),
    beside(
        "missing_property",
        "something that can't be guessed is missing",
        "Most properties have a default; this one decides the result, so that no default would be honest. Of several that are named, one is enough.",
        [
            "capacitor store cam -> gnd  esr 80 mohm",
            "capacitor store cam -> gnd  esr 80 mohm, capacitance 330 uF",
        ],
    ),
    beside(
        "contradiction",
        "two properties say the same thing in different ways",
        "A wire has its resistance stated, or its length and gauge, from which the resistance follows; both together may disagree. Leave one of them out.",
        [
            "wire feed bus -> cam  resistance 20 mohm, length 400 mm, gauge 24 AWG",
            "wire feed bus -> cam  length 400 mm, gauge 24 AWG",
        ],
    ),
    beside(
        "property_needs_another",
        "a property that says nothing alone",
        "The property belongs to another one that is missing: the length of a wire gives no resistance without its gauge, a commutation no dip without its depth. Add the other, or leave this one out.",
        [
            "wire feed bus -> cam  length 400 mm",
            "wire feed bus -> cam  length 400 mm, gauge 24 AWG, spacing 2 mm",
        ],
    ),
    beside(
        "ring_without_core",
        "a ring whose hole is as wide as the ring",
        "`outer` and `inner` are the diameters of the core; between them must be some core. Perhaps they are swapped, or one is a radius.",
        [
            "coil choke bus -> cam  permeability 2000, turns 10, outer 13 mm, inner 21 mm, height 6.4 mm",
            "coil choke bus -> cam  permeability 2000, turns 10, outer 21 mm, inner 13 mm, height 6.4 mm",
        ],
    ),
    beside(
        "pulse_longer_than_period",
        "a pulse that doesn't end before the next begins",
        "The `width` of a generator's pulse must be at most its `period`. Equal is a constant level.",
        [
            "generator test gnd -> bus  level 5 V, width 2 us, period 1 us",
            "generator test gnd -> bus  level 5 V, width 1 us, period 2 us",
        ],
    ),
    beside(
        "switch_moves_twice",
        "a switch closes and opens at the same time",
        "Which of the two comes first decides how it stands before and after; at one time there is no first.",
        ["switch arm bus -> cam  closes 1 ms, opens 1 ms", "switch arm bus -> cam  closes 1 ms, opens 2 ms"],
    ),
    beside(
        "switch_without_effect",
        "a switch that conducts no less when open",
        "The open resistance must be above the closed one. Perhaps the two are swapped, or `m` (milli) was written for `M` (mega).",
        [
            "switch arm bus -> cam  closed_resistance 10 mohm, open_resistance 1 mohm",
            "switch arm bus -> cam  closed_resistance 10 mohm, open_resistance 1 Mohm",
        ],
    ),
    beside(
        "without_effect_yet",
        "something that no voltage depends on",
        "The text is in order, but it shapes a camera's picture alone (`quietrail picture`), or belongs to an assembly that is not fitted anywhere. All voltages and currents are what they would be without it.",
        [
            "camera front cam -> gnd  current 100 mA, rejection 30 dB",
            "camera front cam -> gnd  current 100 mA",
        ],
    ),
];

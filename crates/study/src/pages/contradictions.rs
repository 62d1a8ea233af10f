//! Mistakes that only the equations of the parts show.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "impossible_value",
        "values with which the part can't exist",
        "Each value alone is one that such a part may have, but not together, or not in this world: more inductance left in saturation than there was at rest, a wire thicker than the hole that it goes through, a pack that is charged beyond its cells. The message says which value meets which. What is underlined is the value that counts: of a property that an option, a case or `--set` changes, the setting.",
        [
            "coil choke bus -> far  inductance 330 uH, saturation_current 1 A, residual 400 uH\nresistor light far -> gnd  resistance 100 ohm",
            "coil choke bus -> far  inductance 330 uH, saturation_current 1 A, residual 9 uH\nresistor light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "jump_into_inductance",
        "a current that would jump where only inductance takes it",
        "A current can't jump in an inductance: that would take an infinite voltage. A drive whose edge lasts no time needs a way for the jump that has none: a resistance, or the capacitor that real drives have at their terminals. Give the edge its duration (200 ns is usual for a motor's bridge), or draw that capacitor.",
        [
            "wire main bus -> far  resistance 1 mohm, inductance 200 nH\ndrive tracks far -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 0 s, fall 200 ns",
            "wire main bus -> far  resistance 1 mohm, inductance 200 nH\ndrive tracks far -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 200 ns, fall 200 ns",
        ],
    ),
    beside(
        "jump_into_capacitance",
        "a voltage that would jump across nothing but capacitance",
        "A voltage can't jump across a capacitance: that would take an infinite current. A source whose voltage jumps needs a resistance or an inductance in every loop of capacitors that it is in; plugging an ideal battery onto an ideal capacitor is such a jump too. Give the source its resistance, or the capacitor its `esr`, or the jump its rise time. Real ones have all three.",
        [
            "generator pulses gnd -> hot  level 2 V, width 5 us, period 100 us\ncapacitor store hot -> gnd  capacitance 10 uF",
            "generator pulses gnd -> hot  level 2 V, width 5 us, period 100 us, resistance 50 ohm\ncapacitor store hot -> gnd  capacitance 10 uF",
        ],
    ),
];

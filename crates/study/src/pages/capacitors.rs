//! Warnings of capacitors: voltage, polarity, ripple, heat, cold.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "capacitor_over_voltage",
        "a capacitor above its rating",
        "The voltage across it goes above `rated`: it may vent or burst. Rate it for the full pack and its surges; ringing after plugging in can nearly double the pack's voltage. An electrolytic withstands its `surge` voltage, 1.15 times the rated one unless stated, for some seconds (IEC 60384-4, from memory); the warning says so where the peak stays below.",
        [
            "supply bench gnd -> far  voltage 12 V, resistance 1 ohm\ncapacitor store far -> gnd  capacitance 220 uF, esr 40 mohm, rated 10 V",
            "supply bench gnd -> far  voltage 12 V, resistance 1 ohm\ncapacitor store far -> gnd  capacitance 220 uF, esr 40 mohm, rated 25 V",
        ],
    ),
    beside(
        "capacitor_reversed",
        "a capacitor the wrong way round",
        "More than about 1 V in reverse destroys an electrolytic capacitor (common practice, no source): the left node is its plus. Swap its nodes, or find what swings the rail below zero. Film and ceramic capacitors have no stripe: say `type film` or `type ceramic_class_2`.",
        [
            "capacitor bulk gnd -> bus  capacitance 220 uF, esr 40 mohm, rated 25 V",
            "capacitor bulk bus -> gnd  capacitance 220 uF, esr 40 mohm, rated 25 V",
        ],
    ),
    beside(
        "capacitor_over_ripple",
        "more ripple current than a capacitor is rated for",
        "The rms current through it heats it from inside, and it ages quickly. Share the current among several, take one with a lower esr and a higher rating, or lower the ripple before it.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncapacitor bulk bus -> gnd  capacitance 220 uF, esr 40 mohm, ripple_rating 0.5 A",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\ncapacitor bulk bus -> gnd  capacitance 220 uF, esr 40 mohm, ripple_rating 5 A",
        ],
    ),
    beside(
        "capacitor_too_hot",
        "a capacitor whose core is hotter than its life allows",
        "Its core is as warm as the air around it and `core_rise`, which goes with the square of the ripple current over `ripple_rating`. Above `life_temperature` it lives shorter than its data sheet promises: each 10 kelvin halve the life (the ten-kelvin rule, from memory; below, each 10 kelvin double it, to fifteen years at most). Cool it, share the current among several, or take one with less esr.",
        [
            "capacitor bulk bus -> gnd  capacitance 220 uF, esr 40 mohm, temperature 95 degC, life 2000 h, life_temperature 85 degC",
            "capacitor bulk bus -> gnd  capacitance 220 uF, esr 40 mohm, temperature 55 degC, life 2000 h, life_temperature 85 degC",
        ],
    ),
    beside(
        "capacitance_not_known",
        "a ceramic beyond the last point of its table",
        "Beyond the last voltage of `capacitance_table` the capacitance is taken as level, while the real one goes on falling. Read more points off the maker's curve.",
        [
            "capacitor front bus -> gnd  capacitance_table [0 V: 10 uF, 5 V: 5 uF], esr 5 mohm",
            "capacitor front bus -> gnd  capacitance_table [0 V: 10 uF, 5 V: 5 uF, 16 V: 1.5 uF], esr 5 mohm",
        ],
    ),
    beside(
        "ceramic_without_bias",
        "a class-2 ceramic whose fall with voltage is not known",
        "Ceramics of high permittivity (X7R, X5R, Y5V and the like) lose capacitance as voltage rises: parts of 10 uF and 6.3 V 50 to 70 % at 5 V, and some 40 to 50 % of the nominal value are left at the rated voltage (two public engineering notes). State `half_voltage` or `capacitance_table` from the data sheet; with `rated` alone a usual fall is assumed.",
        [
            "capacitor front bus -> gnd  capacitance 10 uF, esr 5 mohm, dielectric X7R",
            "capacitor front bus -> gnd  capacitance 10 uF, esr 5 mohm, dielectric X7R, half_voltage 8 V",
        ],
    ),
    beside(
        "outside_dielectric_temperature",
        "a ceramic colder or hotter than its code promises",
        "The three characters say between which temperatures the capacitance stays within how much: X -55, Y -30, Z +10 degC; 5 +85, 6 +105, 7 +125, 8 +150 degC; P 10 %, R 15 %, S 22 %, T +22 % and -33 %, U +22 % and -56 %, V +22 % and -82 % (EIA RS-198, IEC 60384-9; from memory). Outside, it may fall far below. Take a code with a wider range.",
        [
            "capacitor front bus -> gnd  capacitance 10 uF, esr 5 mohm, half_voltage 8 V, dielectric Z5U, temperature 0 degC",
            "capacitor front bus -> gnd  capacitance 10 uF, esr 5 mohm, half_voltage 8 V, dielectric X7R, temperature 0 degC",
        ],
    ),
    beside(
        "outside_electrolytic_temperature",
        "an electrolytic colder or hotter than its esr is known for",
        "Catalogues of general-purpose electrolytics say how far the impedance may grow down to -40 degC; above 105 degC few are rated. Outside, the esr of the nearer end is taken.",
        [
            "capacitor bulk bus -> gnd  type electrolytic, capacitance 220 uF, esr 40 mohm, temperature -50 degC",
            "capacitor bulk bus -> gnd  type electrolytic, capacitance 220 uF, esr 40 mohm, temperature -30 degC",
        ],
    ),
];

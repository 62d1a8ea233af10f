//! Warnings of wires, fuses, connectors, clamps and returns.

use language::pages::{Page, alone, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "wire_over_current",
        "more current than the rule of thumb gives a wire",
        "The rms current of a run is above 500 circular mils an ampere (some 4 A for each mm2), which wire tables give as the most for wires in a bundle; 750 is their figure for good. A single short wire in free air bears two or three times as much, and codes that apply may allow less. `check --parts` lists both figures of every wire, and at which current it melts.",
        [
            "wire feed bus -> far  length 400 mm, gauge 24 AWG, spacing 2 mm, return included\nresistor heater far -> gnd  resistance 6 ohm",
            "wire feed bus -> far  length 400 mm, gauge 18 AWG, spacing 2 mm, return included\nresistor heater far -> gnd  resistance 6 ohm",
        ],
    ),
    beside(
        "wire_outside_range",
        "a wire outside the range of a formula",
        "The formulas hold for runs much longer than their spacing, for copper from -50 degC to 150 degC, and, of the current that melts a wire within a time, for ten seconds at most. Outside, the figure is computed all the same, and may be off by more than the formula's usual per cent.",
        [
            "wire feed bus -> far  length 400 mm, gauge 24 AWG, spacing 80 mm, return included\nload light far -> gnd  current 100 mA",
            "wire feed bus -> far  length 400 mm, gauge 24 AWG, spacing 2 mm, return included\nload light far -> gnd  current 100 mA",
        ],
    ),
    beside(
        "wire_implausible",
        "a wire that nobody has",
        "More than 100 m of wire, or a pair twisted more tightly than its thickness allows: a unit is likely to be wrong. It is computed as stated.",
        [
            "wire feed bus -> far  length 400 m, gauge 24 AWG, spacing 2 mm, return included\nload light far -> gnd  current 100 mA, below 1 V",
            "wire feed bus -> far  length 400 mm, gauge 24 AWG, spacing 2 mm, return included\nload light far -> gnd  current 100 mA, below 1 V",
        ],
    ),
    beside(
        "fuse_over_rating",
        "a fuse that would blow",
        "The rms current of the run is above the fuse's rating. It does not blow in the run: take a larger one together with wires that bear it, or find out why so much flows.",
        [
            "fuse guard bus -> far  rated 1 A\nresistor heater far -> gnd  resistance 6 ohm",
            "fuse guard bus -> far  rated 3 A\nresistor heater far -> gnd  resistance 6 ohm",
        ],
    ),
    beside(
        "fuse_over_voltage",
        "a fuse for less voltage than the pack has",
        "A fuse interrupts up to its voltage rating; above it the arc goes on burning. Blade fuses are made for 32 V or 58 V.",
        [
            "fuse guard bus -> far  rated 2 A, voltage_rating 6 V\nload light far -> gnd  current 100 mA",
            "fuse guard bus -> far  rated 2 A, voltage_rating 32 V\nload light far -> gnd  current 100 mA",
        ],
    ),
    beside(
        "fuse_above_wire",
        "a fuse too large for a wire behind it",
        "A fuse is there for the wire: at a short circuit it must open before the wire gets too hot. Every wire between it and the next fuse, gnd or the users is looked at; the rule of thumb of 500 circular mils an ampere says what it carries, Preece's law at which current it melts, and a blade fuse may let through 135 % of its rating for minutes (ISO 8820-3, from memory). Each thin branch takes a fuse of its own.",
        [
            "fuse guard bus -> far  rated 10 A\nwire feed far -> end  length 400 mm, gauge 26 AWG, spacing 2 mm, return included\nload light end -> gnd  current 100 mA",
            "fuse guard bus -> far  rated 0.5 A\nwire feed far -> end  length 400 mm, gauge 26 AWG, spacing 2 mm, return included\nload light end -> gnd  current 100 mA",
        ],
    ),
    beside(
        "connector_over_rating",
        "more current than a connector is rated for",
        "The rms current of the run is above the connector's rating: its contacts heat up, and hot contacts loosen. Take a larger one.",
        [
            "connector plug bus -> far  rated 1 A\nresistor heater far -> gnd  resistance 6 ohm",
            "connector plug bus -> far  rated 3 A\nresistor heater far -> gnd  resistance 6 ohm",
        ],
    ),
    alone(
        "clamp_over_current",
        "a clamp that takes more than it bears",
        "The peak current through the clamp is above its `peak_current`, which data sheets state for a single pulse of about a millisecond. It fails, most often to a short circuit. Take a larger one, or damp what drives the voltage up.",
        [
            "source surge gnd -> far  voltage [0 s: 0 V, 0.1 ms: 60 V, 0.2 ms: 0 V]\nresistor series far -> end  resistance 0.5 ohm\nclamp guard end -> gnd  standoff 18 V, clamping 29.2 V, peak_current 20.5 A\ntransient surge  span 1 ms, start rest",
            "source surge gnd -> far  voltage [0 s: 0 V, 0.1 ms: 60 V, 0.2 ms: 0 V]\nresistor series far -> end  resistance 4 ohm\nclamp guard end -> gnd  standoff 18 V, clamping 29.2 V, peak_current 20.5 A\ntransient surge  span 1 ms, start rest",
        ],
    ),
    beside(
        "clamp_conducts",
        "a clamp that conducts all the time",
        "A clamp is there for pulses above the rail. Where its standoff voltage lies below the rail, or its arrow points the wrong way (the cathode is on the left: `clamp guard bus -> gnd`), it conducts for good and burns.",
        [
            "resistor series bus -> far  resistance 100 ohm\nclamp guard far -> gnd  standoff 5 V, clamping 9.2 V, peak_current 43 A",
            "resistor series bus -> far  resistance 100 ohm\nclamp guard far -> gnd  standoff 18 V, clamping 29.2 V, peak_current 20.5 A",
        ],
    ),
    alone(
        "shared_return",
        "a camera and a motor share a return wire",
        "On a wire that both use on their way back to the pack's minus, the motor's current makes a voltage that adds to the camera's supply, and to its picture where the video's ground takes another way. `check` tells where, a run how much. Give the camera a return of its own, from its minus to the pack's.",
        [
            "battery pack gnd -> bus  emf 12 V, resistance 40 mohm\nwire back star -> gnd  resistance 10 mohm\ndrive tracks bus -> star  current 2 A, pwm 20 kHz, duty 60 %\ncamera eye bus -> star  current 100 mA, supply 9 V .. 15 V\ntransient run  span 1 ms, start steady",
            "battery pack gnd -> bus  emf 12 V, resistance 40 mohm\nwire back star -> gnd  resistance 10 mohm\ndrive tracks bus -> star  current 2 A, pwm 20 kHz, duty 60 %\nwire own minus -> gnd  resistance 10 mohm\ncamera eye bus -> minus  current 100 mA, supply 9 V .. 15 V\ntransient run  span 1 ms, start steady",
        ],
    ),
    alone(
        "pack_reversed",
        "a pack the wrong way round",
        "The arrow of a battery or supply points to its plus, and what it feeds has its minus on gnd. As drawn, everything is fed backwards: an ordinary camera or drive does not survive this. Turn the arrow round. A `diode` in the feed keeps the current away from what lies behind it.",
        [
            "battery pack bus -> gnd  emf 12 V, resistance 40 mohm\ndiode guard bus -> cam  drop 0.4 V\nload eye cam -> gnd  resistance 100 ohm\ntransient run  span 1 ms, start steady",
            "battery pack gnd -> bus  emf 12 V, resistance 40 mohm\ndiode guard bus -> cam  drop 0.4 V\nload eye cam -> gnd  resistance 100 ohm\ntransient run  span 1 ms, start steady",
        ],
    ),
];

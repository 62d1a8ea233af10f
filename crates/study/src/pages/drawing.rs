//! Warnings that need no run: what the parts and how they are connected give.

use language::pages::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "coil_cannot_act",
        "a coil in front of a load that draws no ripple",
        "A coil drops a voltage only where its current changes. A load of constant current without any capacitance never changes it, so that the coil does nothing in the model; in the vehicle the camera's own capacitor makes it act. Put a capacitor behind the coil, or state the load's input capacitance.",
        [
            "coil choke bus -> far  inductance 330 uH, dcr 0.35 ohm\nload light far -> gnd  current 100 mA",
            "coil choke bus -> far  inductance 330 uH, dcr 0.35 ohm\nload light far -> gnd  current 100 mA\ncapacitor store far -> gnd  capacitance 330 uF, esr 80 mohm",
        ],
    ),
    beside(
        "capacitor_on_source_side",
        "a capacitor on the wrong side of the coil",
        "In front of the coil a capacitor works against the pack's few milliohms and takes almost no ripple away; behind it, it works against the coil. A capacitor right at a drive is not meant: there it belongs to the drive.",
        [
            "coil choke bus -> far  inductance 330 uH, dcr 0.35 ohm\nresistor light far -> gnd  resistance 100 ohm\ncapacitor store bus -> gnd  capacitance 330 uF, esr 80 mohm",
            "coil choke bus -> far  inductance 330 uH, dcr 0.35 ohm\nresistor light far -> gnd  resistance 100 ohm\ncapacitor store far -> gnd  capacitance 330 uF, esr 80 mohm",
        ],
    ),
    beside(
        "user_reversed",
        "a user of current that is the wrong way round",
        "A drive, camera, servo, transmitter or load draws its current from the node left of the arrow to the one on the right, so its plus stands on the left: `bus -> gnd`. Turned round, a drive pushes its current into the rail, which then rises instead of sagging, and a camera or load has a negative voltage and does not draw what it should, so every reading is that of another vehicle. Swap the two nodes. Where the drawing does not show which node is the higher one, the mean voltage of the run tells. A load that is a plain resistance has no direction and is not told.",
        [
            "drive tracks gnd -> bus  current 9 A, pwm 20 kHz, duty 60 %",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %",
        ],
    ),
    beside(
        "wire_without_spacing",
        "a wire whose return is not known",
        "The inductance of a wire is that of the loop with its return: two wires side by side have far less than each alone. Without `spacing` a single wire's is taken, which is an upper bound. State the distance between the centres of the two conductors.",
        [
            "wire feed bus -> far  length 400 mm, gauge 24 AWG\nload light far -> gnd  current 100 mA",
            "wire feed bus -> far  length 400 mm, gauge 24 AWG, spacing 2 mm, return included\nload light far -> gnd  current 100 mA",
        ],
    ),
    beside(
        "edges_overlap",
        "edges of a drive that are longer than its on or off time",
        "The current is still rising when it begins to fall, so that it never reaches what is stated. Shorten the edges, or lower the chopping frequency; at a duty close to 0 % or 100 % it may be meant.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 5 us, fall 22 us",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %, rise 200 ns, fall 200 ns",
        ],
    ),
    beside(
        "more_than_one_layer",
        "more turns than one layer holds",
        "The hole of the ring is too narrow for so many turns side by side. Length and resistance count each layer's longer turns, but the capacitance across the winding is estimated for one layer, and several have much more. Take a thinner wire, fewer turns or a larger ring, or give a measured `winding_capacitance`.",
        [
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 120, wire_diameter 0.4 mm\nresistor light far -> gnd  resistance 100 ohm",
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, wire_diameter 0.4 mm\nresistor light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "permeability_unlike_material",
        "the core's permeability is not that of its material",
        "The ring's size and its inductance, or the permeability given, do not go with the class of the core: a manganese-zinc ferrite has 500 to 18000, a nickel-zinc ferrite 10 to 2500, a powder 3 to 300 (from memory). Usually a size, the turns of the test winding or a unit of the inductance is wrong, or the core is of another material than was thought: that is how a test winding tells them apart.",
        [
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 20000, turns 2, material ferrite_nizn\nresistor light far -> gnd  resistance 100 ohm",
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 850, turns 25, material ferrite_nizn\nresistor light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "flux_density_unlike_material",
        "the flux density limit is not that of the core's material",
        "At 25 degC manganese-zinc ferrites are full at 0.3 to 0.55 T, nickel-zinc ferrites at 0.2 to 0.42 T, powders at 0.5 to 1.7 T (from memory). Check the unit and the material, or leave `flux_density_limit` out: the material's own follows with the temperature.",
        [
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, material ferrite_mnzn, flux_density_limit 1.2 T\nresistor light far -> gnd  resistance 100 ohm",
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, material ferrite_mnzn, flux_density_limit 350 mT\nresistor light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "core_near_curie_temperature",
        "the core is so warm that it loses its magnetism",
        "Above its Curie temperature a ferrite is no core at all, and just below it is full at next to nothing. Ferrites of high permeability and nickel-zinc ferrites reach it near 130 degC, power ferrites near 210 degC (from memory). Take another material, or a place that is cooler.",
        [
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 10000, turns 2, material ferrite_mnzn, temperature 125 degC\nresistor light far -> gnd  resistance 100 ohm",
            "coil choke bus -> far  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 10000, turns 2, material ferrite_mnzn, temperature 60 degC\nresistor light far -> gnd  resistance 100 ohm",
        ],
    ),
    beside(
        "saturation_without_effect",
        "how a coil saturates is stated, but not when",
        "`drop` and `residual` say how the inductance falls, and need a saturation current or flux that says where. In a harness file this is told as the mistake `property_needs_another`; the warning is for programs that describe parts themselves, so there is no example.",
        ["", ""],
    ),
    beside(
        "commutation_without_effect",
        "a commutation of which something is missing",
        "The dip at each commutation needs both how often it comes and how deep it is. In a harness file this is told as the mistake `property_needs_another`; the warning is for programs that describe parts themselves, so there is no example.",
        ["", ""],
    ),
];

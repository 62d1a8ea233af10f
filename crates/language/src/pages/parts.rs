//! Mistakes of parts and what they are connected to.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "missing_node",
        "a part lacks a node",
        "A part stands between two nodes, `NODE -> NODE`, and a `coupled` pair between two times two. A node is a place where wires meet: any word that no part has; `gnd` is the battery's minus.",
        ["capacitor store cam ->  capacitance 330 uF", "capacitor store cam -> gnd  capacitance 330 uF"],
    ),
    beside(
        "missing_arrow",
        "no arrow between a part's nodes",
        "The two nodes of a part are joined by `->`, which also says which way a current counts as positive: from the left to the right node.",
        ["capacitor store cam - gnd  capacitance 330 uF", "capacitor store cam -> gnd  capacitance 330 uF"],
    ),
    beside(
        "same_node_twice",
        "both ends on one node",
        "A part with both ends on one node is shorted out and does nothing, and a node has no voltage against itself. One of the two names is likely to be another node's.",
        ["resistor shunt bus -> bus  resistance 1 ohm", "resistor shunt bus -> cam  resistance 1 ohm"],
    ),
    beside(
        "unknown_property",
        "a property that the kind doesn't have",
        "Each kind has its own properties; `quietrail explain KIND` lists them with their units and defaults. The message names the nearest one, or all of them.",
        [
            "capacitor store cam -> gnd  capacitance 330 uF, ESR 80 mohm",
            "capacitor store cam -> gnd  capacitance 330 uF, esr 80 mohm",
        ],
    ),
    beside(
        "floating_node",
        "no way from a node to gnd",
        "Every node needs a path through parts to `gnd`, or its voltage could be anything. Most often a node's name is misspelt, an option forgets to connect the camera, or the battery's minus is not called `gnd`.",
        ["resistor bleed left -> right  resistance 1 kohm", "resistor bleed bus -> gnd  resistance 1 kohm"],
    ),
    beside(
        "node_used_once",
        "a node that a single part touches",
        "A current that flows into a node must leave it through another part; where there is none, no current flows and the part does nothing. The name is likely to be misspelt. A node that stands for an open end, to look at its voltage, may stay so. It is a remark: everything runs.",
        ["capacitor store cma -> gnd  capacitance 330 uF", "capacitor store cam -> gnd  capacitance 330 uF"],
    ),
];

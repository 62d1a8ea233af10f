//! Mistakes of names: taken, unknown, of the wrong thing.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "duplicate_name",
        "a name is taken",
        "Parts, nodes, lets, testpoints, readings and fitted assemblies share one set of names, so that a name in a formula means one thing. Options of one axis are alternatives: the same part may stand in several of them.",
        ["resistor eye bus -> gnd  resistance 1 kohm", "resistor bleed bus -> gnd  resistance 1 kohm"],
    ),
    beside(
        "reserved_word",
        "a word of the language as a name",
        "The kinds of parts, `gnd` and `pi` have their meaning everywhere and can't name something else.",
        ["let coil = 330 uH", "let coil_1 = 330 uH"],
    ),
    beside(
        "unknown_name",
        "a name that stands for nothing",
        "A formula may use numbers with their units and what a `let` defines (in a reading also other readings). A unit belongs to a number: `mm` alone is a name.",
        ["let half = lenght / 2", "let length = 400 mm\nlet half = length / 2"],
    ),
    beside(
        "used_before_defined",
        "a name is used above its definition",
        "A file is read from top to bottom: a `let`, reading or response must stand above the first line that uses it. Parts and nodes may come in any order.",
        ["let half = length / 2\nlet length = 400 mm", "let length = 400 mm\nlet half = length / 2"],
    ),
    beside(
        "not_a_number",
        "a name that is no number",
        "The name belongs to a part, node or testpoint, which is no value to compute with. A property of a part can't be read back: name its value with a `let` and use that in both places.",
        ["let half = link / 2", "let link_length = 400 mm\nlet half = link_length / 2"],
    ),
    beside(
        "unknown_function",
        "a function that the language doesn't have",
        "Functions are `min max sqrt abs sin cos exp ln log10` and, in readings, those that look at a testpoint, such as `mean` or `peak_to_peak`; `quietrail explain` lists them. A waveform such as `voltage(cam)` is named by a `testpoint` first.",
        ["reading noise = peak2peak(rail)", "reading noise = peak_to_peak(rail)"],
    ),
    beside(
        "wrong_arguments",
        "a function with too few or too many arguments",
        "The message says what the function takes in its parentheses.",
        ["reading level = at(rail)", "reading level = at(rail, 0.2 ms)"],
    ),
    beside(
        "reading_in_value",
        "a reading where a value is needed before the run",
        "Readings are known after a run; the values of parts and `let` before it. Use the reading in a `reading` or `require` statement.",
        ["let sag = 12 V - minimum(rail)", "reading sag = 12 V - minimum(rail)"],
    ),
    beside(
        "unknown_part",
        "a part that is not in the file",
        "The name stands for no part, or for something that is none. Look for a misspelling; a part inside a fitted assembly is `INSTANCE.PART`.",
        ["testpoint draw = current(eey)", "testpoint draw = current(eye)"],
    ),
    beside(
        "unknown_node",
        "a node that no part touches",
        "Nodes exist by being named in parts. A name that appears nowhere else is misspelt, or the part that should touch it is missing.",
        ["testpoint far = voltage(cma)", "testpoint far = voltage(cam)"],
    ),
    beside(
        "wrong_kind",
        "a part of the wrong kind",
        "Some things can be asked only of some kinds: a flux and a saturation of a coil, bead or coupled pair, a harmonic of a drive, a transfer from something that pushes or draws.",
        [
            "reading left = saturation(eye)",
            "coil choke bus -> cam  inductance 330 uH, saturation_current 1 A\nreading left = saturation(choke)",
        ],
    ),
];

//! Mistakes of assemblies and what is fitted.

use super::{Page, alone, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "unknown_assembly",
        "an assembly that is not in the file",
        "`fit` names an assembly that an `assembly` statement defines, anywhere in the file.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit dampr f bus, cam  r 1 ohm",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm",
        ],
    ),
    beside(
        "assembly_in_itself",
        "an assembly that would hold itself",
        "An assembly may fit others, but no chain of them may lead back to itself: it would never end.",
        [
            "assembly damper a, b {\n    resistor r1 a -> b  resistance 1 ohm\n    fit damper inner a, b\n}\nfit damper f bus, cam",
            "assembly damper a, b {\n    resistor r1 a -> b  resistance 1 ohm\n}\nfit damper f bus, cam",
        ],
    ),
    beside(
        "wrong_number_of_nodes",
        "a fit with too few or too many nodes",
        "A fit names one node for each terminal of the assembly, in the same order, with commas between. `gnd` is shared and is no terminal.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus  r 1 ohm",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm",
        ],
    ),
    beside(
        "unknown_parameter",
        "a value that the assembly doesn't take",
        "The parameters of an assembly are the names in the parentheses after its own name.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm, esr 1 ohm",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm",
        ],
    ),
    beside(
        "missing_parameter",
        "a parameter without its value",
        "Every parameter of an assembly gets its value where it is fitted; there are no defaults.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm",
        ],
    ),
    beside(
        "gnd_as_terminal",
        "`gnd` among the terminals",
        "`gnd` is the same everywhere: parts inside an assembly can be on it without a terminal.",
        [
            "assembly store(c) a, gnd { capacitor c1 a -> gnd  capacitance c }\nfit store f cam, gnd  c 1 uF",
            "assembly store(c) a { capacitor c1 a -> gnd  capacitance c }\nfit store f cam  c 1 uF",
        ],
    ),
    beside(
        "unused_terminal",
        "a terminal that nothing inside touches",
        "What is connected to it outside leads nowhere inside. It is a remark: everything runs.",
        [
            "assembly store(c) a, b { capacitor c1 a -> gnd  capacitance c }\nfit store f cam, bus  c 1 uF",
            "assembly store(c) a { capacitor c1 a -> gnd  capacitance c }\nfit store f cam  c 1 uF",
        ],
    ),
    beside(
        "inner_node",
        "a part outside is on a node inside an assembly",
        "An assembly is connected by its terminals and `gnd` alone. A node that others need is made one more terminal.",
        [
            "assembly pair(r) a, b { resistor r1 a -> m  resistance r; resistor r2 m -> b  resistance r }\nfit pair f bus, cam  r 1 ohm\ncapacitor store f.m -> gnd  capacitance 1 uF",
            "assembly pair(r) a, b, m { resistor r1 a -> m  resistance r; resistor r2 m -> b  resistance r }\nfit pair f bus, cam, middle  r 1 ohm\ncapacitor store middle -> gnd  capacitance 1 uF",
        ],
    ),
    beside(
        "inner_value",
        "a value that is known only inside an assembly",
        "Parameters and lets of an assembly have their values inside each fitted one. Name the value with a `let` outside, and hand it over.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nlet double = 2 * f.r",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nlet value = 1 ohm\nfit damper f bus, cam  r value\nlet double = 2 * value",
        ],
    ),
    beside(
        "not_an_assembly",
        "an insertion loss of something that is not fitted",
        "An insertion loss compares a source and a load with and without what is fitted between them: its first argument is the name of a fitted assembly.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(2, 1 ohm, 50 ohm)",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(f, 1 ohm, 50 ohm)",
        ],
    ),
    beside(
        "unknown_instance",
        "no fitted assembly of that name",
        "The name is that of no `fit` and no assembly; a single part has to be put into an assembly to have an insertion loss.",
        [
            "frequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(link, 1 ohm, 50 ohm)",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(f, 1 ohm, 50 ohm)",
        ],
    ),
    beside(
        "several_instances",
        "an assembly that is fitted more than once",
        "The assembly's name stands for its only fit; with several, name the one that is meant.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nfit damper g bus, cam  r 2 ohm\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(damper, 1 ohm, 50 ohm)",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nfit damper g bus, cam  r 2 ohm\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(f, 1 ohm, 50 ohm)",
        ],
    ),
    beside(
        "not_fitted",
        "an assembly that is fitted nowhere",
        "An assembly is only a plan; what is computed is what a `fit` places.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(damper, 1 ohm, 50 ohm)",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(damper, 1 ohm, 50 ohm)",
        ],
    ),
    beside(
        "too_few_terminals",
        "an insertion loss needs a way in and a way out",
        "The first terminal is driven and the second feeds the load, so the assembly must have two at least.",
        [
            "assembly store(c) a { capacitor c1 a -> gnd  capacitance c }\nfit store f cam  c 1 uF\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(f, 1 ohm, 50 ohm)",
            "assembly store(c) a, b {\n    resistor r1 a -> b  resistance 1 ohm\n    capacitor c1 b -> gnd  capacitance c\n}\nfit store f bus, cam  c 1 uF\nfrequency 10 Hz .. 1 MHz, points 20\nreading loss = insertion_loss(f, 1 ohm, 50 ohm)",
        ],
    ),
    alone(
        "too_many_parts",
        "the fitted assemblies stand for too many parts",
        "Assemblies that fit each other several times grow quickly: more than 10 000 parts are refused. There is no example short enough to show.",
        ["", ""],
    ),
];

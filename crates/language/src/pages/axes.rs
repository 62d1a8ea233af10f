//! Mistakes of choices, conditions and what they set.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "empty_axis",
        "a choice or condition with nothing in it",
        "A choice needs at least one option, a condition one case. An option may be empty itself: `option none { }`.",
        ["choice filter { }", "choice filter { option none { } }"],
    ),
    beside(
        "wrong_option_word",
        "`case` in a choice, or `option` in a condition",
        "A `choice` is what the builder picks and has options; a `condition` is what the vehicle meets and has cases. They are judged differently: an option must hold under the worst case.",
        ["choice filter { case none { } }", "choice filter { option none { } }"],
    ),
    beside(
        "baseline_in_condition",
        "a case can't be the baseline",
        "Options are compared with a baseline, what is fitted today. Cases are not compared with each other: the worst of them counts.",
        ["condition pack_state { case full baseline { } }", "condition pack_state { case full { } }"],
    ),
    beside(
        "second_baseline",
        "two options are the baseline",
        "All others are compared with one baseline. Without the word it is the first option of the first choice.",
        [
            "choice filter { option none baseline { } option old baseline { } }",
            "choice filter { option none baseline { } option old { } }",
        ],
    ),
    beside(
        "unknown_let",
        "nothing of that name can be set",
        "`set` changes a property of a part, `set PART.PROPERTY = VALUE`, or what a `let` defines, `set NAME = VALUE`.",
        [
            "condition pack_state { case low { set emf = 11 V } }",
            "condition pack_state { case low { set pack.emf = 11 V } }",
        ],
    ),
    beside(
        "set_without_property",
        "a part is set instead of one of its properties",
        "Say which property gets the value: `set PART.PROPERTY = VALUE`.",
        [
            "condition pack_state { case low { set pack = 11 V } }",
            "condition pack_state { case low { set pack.emf = 11 V } }",
        ],
    ),
    beside(
        "set_twice",
        "one property is set twice at one point",
        "At every point of the study a property has one value. Two settings in one case contradict each other, and so do an option and a case that can meet. On the command line `--set` beats both.",
        [
            "condition pack_state { case low { set pack.emf = 11 V; set pack.emf = 10 V } }",
            "condition pack_state { case low { set pack.emf = 11 V } case empty { set pack.emf = 10 V } }",
        ],
    ),
    beside(
        "part_in_other_option",
        "a setting for a part that doesn't stand here",
        "The part stands only in another option of the same choice, so that this option never has it. Set the value where the part is.",
        [
            "choice filter {\n    option a { resistor damp bus -> gnd  resistance 1 ohm }\n    option b { set damp.resistance = 2 ohm }\n}",
            "choice filter {\n    option a { resistor damp bus -> gnd  resistance 1 ohm }\n    option b { resistor damp bus -> gnd  resistance 2 ohm }\n}",
        ],
    ),
];

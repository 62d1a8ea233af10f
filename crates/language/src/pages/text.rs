//! Mistakes of the text itself: what is no statement, what is not closed, what stands in the wrong place.

use super::{Page, alone, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "wrong_stock",
        "a table of parts that can't be read",
        "The stock of `design` is a table with a heading: `name` and `kind` for every line, `quantity`, `mass`, `cost` and (of winding wire) `length` where you know them, and properties as a harness has them, with their units: `capacitance`, `esr`, `outer`. A cell with a comma in it stands in double quotes, an empty cell says nothing. It is a file beside the harness, so there is no example here.",
        ["", ""],
    ),
    beside(
        "unexpected",
        "something else was expected here",
        "The text goes on with a word or sign that can't follow what stands before it. The message says what was expected and what was found instead; the cause often lies just before the place that is underlined: a forgotten word, sign or quote.",
        ["let run 240 mm", "let run = 240 mm"],
    ),
    beside(
        "unknown_word",
        "a statement begins with a word that the language doesn't have",
        "Every statement begins with a kind of part, such as `wire` or `coil`, or with a word such as `let`, `choice` or `require`. Words are lower case, and each thing has one word: motors behind a chopper are a `drive`, a choke is a `coil`. `quietrail explain` lists all of them.",
        [
            "motor tracks bus -> gnd  current 9 A",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %",
        ],
    ),
    beside(
        "unclosed_text",
        "a text in quotes goes on past its line",
        "A text begins and ends with `\"` on one line. Without the closing quote everything to the line's end would belong to it. An inch mark after a number does the same: write lengths in mm.",
        [
            "require minimum(rail) > 9 V \"camera browns out",
            "require minimum(rail) > 9 V \"camera browns out\"",
        ],
    ),
    beside(
        "unclosed_block",
        "a block is opened and never closed",
        "Every `{` needs a `}` after the last statement of its block. The place shown is the brace that found no partner; the missing one may belong anywhere after it.",
        [
            "choice filter {\n    option none { }\n    option coil { }",
            "choice filter {\n    option none { }\n    option coil { }\n}",
        ],
    ),
    beside(
        "unopened_block",
        "a `}` closes nothing",
        "There is one `}` more than there are blocks open here: remove it, or put back the `{` that it belongs to.",
        ["choice filter { option none { } } }", "choice filter { option none { } }"],
    ),
    beside(
        "misplaced",
        "a statement stands where it can't",
        "Options and cases hold parts, `fit` and `set`; assemblies hold parts, `let` and `fit`; everything else stands at the top of the file. A `set` outside says nothing that the part itself could not say.",
        ["set pack.emf = 11 V", "condition pack_state { case low { set pack.emf = 11 V } }"],
    ),
    beside(
        "second_title",
        "a file has two titles",
        "`harness \"…\"` names the whole file, so it stands once. Where files were put together, keep one of the two.",
        ["harness \"Crawler\"\nharness \"Pipe crawler\"", "harness \"Pipe crawler\""],
    ),
    beside(
        "missing_comma",
        "two things follow each other without a comma",
        "Properties of a part are separated by commas, and so are the nodes of a `fit`. Without the comma the next word would be read as part of the value before it.",
        [
            "capacitor store cam -> gnd  capacitance 330 uF esr 80 mohm",
            "capacitor store cam -> gnd  capacitance 330 uF, esr 80 mohm",
        ],
    ),
    beside(
        "comma_before_statement",
        "a comma at a line's end has drawn the next statement in",
        "A line whose last token is a comma goes on in the next one. Behind the last property there must be none, or the statement that follows is taken for one more property.",
        [
            "capacitor store cam -> gnd  capacitance 330 uF,\nresistor bleed cam -> gnd  resistance 10 kohm",
            "capacitor store cam -> gnd  capacitance 330 uF\nresistor bleed cam -> gnd  resistance 10 kohm",
        ],
    ),
    beside(
        "comma_after_nodes",
        "a comma stands between a fit's nodes and its values",
        "The nodes of a `fit` are separated by commas and end at the first one without a comma after it; the values of its parameters follow. With a comma, the first parameter would be one more node.",
        [
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam, r 1 ohm",
            "assembly damper(r) a, b { resistor r1 a -> b  resistance r }\nfit damper f bus, cam  r 1 ohm",
        ],
    ),
    alone(
        "too_large",
        "the file is larger than 64 MiB",
        "A harness is a page or two of text. A file of more than 64 MiB is something else, or made by a program that should make less of it. There is no example short enough to show.",
        ["", ""],
    ),
    alone(
        "too_many",
        "more mistakes than are told at once",
        "After 500 mistakes no more are told: they are likely to have one cause, such as a file that is no harness at all. Mend the first ones and look again. There is no example short enough to show.",
        ["", ""],
    ),
    alone(
        "too_deep",
        "an expression or assemblies are nested too deeply",
        "An expression may have 100 levels of parentheses and 200 operators in a row, assemblies may hold each other 50 levels deep: beyond anything that a person writes. Name parts of an expression with `let`. There is no example short enough to show.",
        ["", ""],
    ),
];

//! Mistakes of sweeps, and of files that take others in.

use super::{Page, alone, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "unknown_division",
        "a range that is divided by an unknown word",
        "A swept range is divided by `step S` (a distance), `steps N` (N equal ones), `log N` (N points a decade) or `series E6` (preferred values in it).",
        [
            "sweep wiring over pack.resistance 20 mohm .. 80 mohm by 20 mohm",
            "sweep wiring over pack.resistance 20 mohm .. 80 mohm step 20 mohm",
        ],
    ),
    beside(
        "unknown_series",
        "a series of preferred values that there is not",
        "IEC 60063 has E3, E6, E12, E24, E48, E96 and E192: the number counts the values in a decade.",
        [
            "sweep wiring over pack.resistance 10 mohm .. 100 mohm series E7",
            "sweep wiring over pack.resistance 10 mohm .. 100 mohm series E6",
        ],
    ),
    beside(
        "wrong_step",
        "a step that does not lead from one end to the other",
        "A step is above 0 where the range rises and below 0 where it falls, at most as long as the range, and in kelvin between temperatures.",
        [
            "sweep wiring over pack.resistance 20 mohm .. 80 mohm step 0 mohm",
            "sweep wiring over pack.resistance 20 mohm .. 80 mohm step 20 mohm",
        ],
    ),
    beside(
        "empty_sweep",
        "a sweep without any value",
        "No preferred value lies in the range, or the value that is swept can't be worked out as it is stated. Widen the range, or take a finer series.",
        [
            "sweep wiring over pack.resistance 11 mohm .. 21 mohm series E3",
            "sweep wiring over pack.resistance 11 mohm .. 21 mohm series E12",
        ],
    ),
    beside(
        "listed_twice",
        "a value stands in the list twice",
        "Every point of a sweep is run once, so that a value that stands twice would be two points of one name.",
        [
            "sweep wiring over pack.resistance [40 mohm, 0.04 ohm]",
            "sweep wiring over pack.resistance [40 mohm, 80 mohm]",
        ],
    ),
    beside(
        "points_too_close",
        "swept values that cannot be told apart",
        "The ends of the range are so close to each other that some of the values between them are one and the same number.",
        [
            "sweep wiring over pack.resistance 1 ohm .. 1.0000000000000004 ohm steps 10",
            "sweep wiring over pack.resistance 1 ohm .. 2 ohm steps 10",
        ],
    ),
    beside(
        "swept_twice",
        "two sweeps of one value",
        "At every point of the study a value is one number; two sweeps would each want to say which.",
        [
            "sweep wiring over pack.resistance [40 mohm, 80 mohm]\nsweep age over pack.resistance [60 mohm, 90 mohm]",
            "sweep wiring over pack.resistance [40 mohm, 60 mohm, 80 mohm, 90 mohm]",
        ],
    ),
    beside(
        "swept_without_effect",
        "a sweep of something that nothing uses",
        "No part, reading or run depends on the value, so that all points would be alike. Use the `let` in a part, or sweep the part's property itself.",
        [
            "let extra = 40 mohm\nsweep wiring over extra [40 mohm, 80 mohm]",
            "sweep wiring over pack.resistance [40 mohm, 80 mohm]",
        ],
    ),
    beside(
        "varying_sweep",
        "a sweep whose values differ from point to point",
        "The points of an axis are the same whatever the other axes do, so its ends and steps can't use a value that an option, a case or a sweep changes.",
        [
            "let worn = 80 mohm\nload spare cam -> gnd  resistance 1000 * worn\ncondition age { case new { set worn = 50 mohm } case old { } }\nsweep wiring over pack.resistance 20 mohm .. worn steps 2",
            "let worn = 80 mohm\nload spare cam -> gnd  resistance 1000 * worn\nsweep wiring over pack.resistance 20 mohm .. worn steps 2",
        ],
    ),
    beside(
        "include_in_itself",
        "a file that would include itself",
        "A file may include others, but no chain of them may lead back to itself: it would never end. The wrong example is a file `test.harness`.",
        ["include \"test.harness\"", "capacitor store cam -> gnd  capacitance 330 uF, esr 80 mohm"],
    ),
    beside(
        "unreadable_file",
        "another file that can't be read",
        "There is no file of that name, or it may not be read. A path starts at the folder of the file that it stands in.",
        ["include \"gone.harness\"", "capacitor store cam -> gnd  capacitance 330 uF, esr 80 mohm"],
    ),
    alone(
        "wrong_trace",
        "a file of points over time that can't be made out",
        "Each line has a time in second and a value in volt or ampere, separated by a comma, a semicolon, a tab or spaces; times rise, and two lines of one time are a jump. Headings above the first number and lines that begin with # are passed over. It takes a second file, so there is no example.",
        ["", ""],
    ),
    alone(
        "not_formatted",
        "a file that can't be laid out without changing its meaning",
        "The formatter compares the file with what it would write and found a difference, so the file is left as it is. It is a fault of the formatter: simplify the blocks and comments, and report it. There is no example.",
        ["", ""],
    ),
];

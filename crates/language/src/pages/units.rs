//! Mistakes of numbers and their units.

use super::{Page, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "missing_unit",
        "a number without its unit",
        "A property with a dimension takes no bare number, since `220` may be meant in farads, microfarads or picofarads. The help shows the number with the unit that such values usually have.",
        ["capacitor store cam -> gnd  capacitance 330", "capacitor store cam -> gnd  capacitance 330 uF"],
    ),
    beside(
        "wrong_dimension",
        "a value in a unit of something else",
        "Every property, limit and argument has a dimension, and only units of that dimension fit: a capacitance is in farads, a length in metres, a flux in webers (a flux density is in teslas). Often two values have been swapped, or a prefix and unit were mixed up.",
        ["capacitor store cam -> gnd  capacitance 330 uH", "capacitor store cam -> gnd  capacitance 330 uF"],
    ),
    beside(
        "bare_prefix",
        "a prefix without a unit",
        "`u`, `k`, `M` and the like multiply a unit; alone they don't say of what. Write `220 uF`, `4.7 kohm`. Without a space, and where ohm, farad or henry are wanted, a code as printed on parts stands too: `4k7`, `2R2`, `100n`.",
        ["capacitor store cam -> gnd  capacitance 220 u", "capacitor store cam -> gnd  capacitance 220 uF"],
    ),
    beside(
        "unknown_unit",
        "a word after a number that is no unit",
        "A word right after a number is its unit. Units are V A W s Hz ohm H F Wb T J C K m m2 g Ah min h rpm degC dB AWG and %, most of them with the prefixes f p n u m k M G. Capitals matter: `m` is milli, `M` is mega. Inches and other units of their kind are converted by hand: 1 in is 25.4 mm.",
        ["let run = 24 in", "let run = 610 mm"],
    ),
    beside(
        "decimal_comma",
        "a decimal comma",
        "Fractions are written with a point. A comma separates properties, so `6,4 mm` would be the number 6 and then something that is no property.",
        ["resistor shunt bus -> cam  resistance 0,5 ohm", "resistor shunt bus -> cam  resistance 0.5 ohm"],
    ),
    beside(
        "value_code",
        "a value code where it has no meaning",
        "Codes such as `4k7` and `2R2` (IEC 60062) name a resistance, capacitance or inductance and stand only where a property is in ohm, farad or henry. In a `let` nobody could tell which is meant.",
        ["let damping = 4k7", "let damping = 4.7 kohm"],
    ),
    beside(
        "number_too_large",
        "a number beyond what a computer counts with",
        "Numbers go to about 1e308. Larger ones come from a slip of the exponent.",
        ["let big = 1e999", "let big = 1e9"],
    ),
    beside(
        "points_without_tolerance",
        "points that are no tolerance",
        "`points` are percentage points and stand only behind `+-`, on a value in %: there `+- 3 %` would mean three per cent of the value, `+- 3 points` means from 57 % to 63 %.",
        ["let duty = 60 points", "let duty = 60 % +- 3 points"],
    ),
    beside(
        "wrong_tolerance",
        "a tolerance that doesn't fit its value",
        "Behind `+-` stands a share in %, or an amount in the value's own unit; on a value in % an amount is in `points`. It can't be negative, and a share must be below 100 %. A tolerance of a temperature is in K, since 5 degC is 278 K.",
        [
            "capacitor store cam -> gnd  capacitance 330 uF +- 5 mohm",
            "capacitor store cam -> gnd  capacitance 330 uF +- 20 %",
        ],
    ),
    beside(
        "unlike_dimensions",
        "values that can't be added or compared",
        "Only values of one dimension can be added, subtracted or compared: volts with volts. A voltage from a current takes a resistance: `2 A * 40 mohm`.",
        ["let sag = 1 V + 2 A", "let sag = 1 V + 2 A * 40 mohm"],
    ),
    beside(
        "division_by_zero",
        "a division by zero",
        "The divisor is 0, by itself or after it has been worked out.",
        ["let share = 1 / (2 - 2)", "let share = 1 / (3 - 2)"],
    ),
    beside(
        "odd_power",
        "a square root without a unit",
        "The root of volts has no unit that anything is measured in. Take the root of a square, such as volts times volts, or of a plain number.",
        ["let a = sqrt(4 V)", "let a = sqrt(4 V * 4 V)"],
    ),
    beside(
        "wrong_exponent",
        "a power without a meaningful unit",
        "An exponent is a plain number that is known beforehand. Of a value with a unit it must be whole (or a half, where that gives a unit): volts to the power of 0.3 are nothing that is measured.",
        ["let a = (2 V) ^ 0.3", "let a = (2 V) ^ 2"],
    ),
    beside(
        "power_of_unit",
        "a power that may be of the unit or of the whole value",
        "`2.5 mm^2` may be read as 2.5 square millimetres or as the square of 2.5 mm, which is 6.25 square millimetres. Areas and volumes have units of their own, `mm2` and `mm3`; a power of a whole value takes parentheses.",
        [
            "wire feed bus -> cam  length 400 mm, area 2.5 mm^2, spacing 4 mm",
            "wire feed bus -> cam  length 400 mm, area 2.5 mm2, spacing 4 mm",
        ],
    ),
    beside(
        "not_finite",
        "a value that is no finite number",
        "The formula has no value here: a logarithm of 0, a root of a negative number, or an overflow.",
        ["let a = ln(0)", "let a = ln(1)"],
    ),
];

//! Words with parentheses behind them.

use super::{Group, Word};

const fn word(group: Group, word: &'static str, form: &'static str, text: &'static str) -> Word {
    Word { word, group, form, text }
}

const fn signal(name: &'static str, form: &'static str, text: &'static str) -> Word {
    word(Group::Signal, name, form, text)
}

const fn reading(name: &'static str, form: &'static str, text: &'static str) -> Word {
    word(Group::Reading, name, form, text)
}

const fn over_frequency(name: &'static str, form: &'static str, text: &'static str) -> Word {
    word(Group::OverFrequency, name, form, text)
}

const fn curve(name: &'static str, form: &'static str, text: &'static str) -> Word {
    word(Group::Curve, name, form, text)
}

const fn function(name: &'static str, form: &'static str, text: &'static str) -> Word {
    word(Group::Function, name, form, text)
}

pub(super) const WORDS: &[Word] = &[
    signal(
        "voltage",
        "voltage(NODE), voltage(NODE, NODE) or voltage(PART)",
        "A node's voltage against gnd, between two nodes (first minus second), or across a part: left minus right, but right minus left of what pushes (battery, supply, generator, voltage source). In V.",
    ),
    signal(
        "current",
        "current(PART)",
        "The current from the left to the right node through the part; of what pushes, as delivered. In A.",
    ),
    signal("power", "power(PART)", "Voltage times current: absorbed, but of what pushes as delivered. In W."),
    signal(
        "picture",
        "picture(CAMERA)",
        "The supply ripple that is left behind the camera's own `rejection`: what reaches its picture. Its ripple alone means something, peak_to_peak, rms_ac, harmonic or band of it, not its level. In V.",
    ),
    signal("flux", "flux(COIL)", "The flux linkage of a coil, bead or coupled pair. In Wb."),
    reading("mean", "mean(TESTPOINT)", "The average over time, in the testpoint's unit."),
    reading("minimum", "minimum(TESTPOINT)", "The least value, in the testpoint's unit."),
    reading("maximum", "maximum(TESTPOINT)", "The greatest value, in the testpoint's unit."),
    reading("peak", "peak(TESTPOINT)", "The greatest magnitude, whatever its sign, in the testpoint's unit."),
    reading(
        "peak_to_peak",
        "peak_to_peak(TESTPOINT)",
        "The greatest less the least value: what an oscilloscope's cursors span. In the testpoint's unit.",
    ),
    reading("rms", "rms(TESTPOINT)", "The root of the mean square, in the testpoint's unit."),
    reading(
        "rms_ac",
        "rms_ac(TESTPOINT)",
        "The root of the mean square of what differs from the mean: the ripple alone, in the testpoint's unit.",
    ),
    reading("at", "at(TESTPOINT, TIME)", "The value at a time of the run, in the testpoint's unit."),
    reading("time_of_maximum", "time_of_maximum(TESTPOINT)", "When the greatest value occurs. In s."),
    reading(
        "harmonic",
        "harmonic(TESTPOINT, N) or harmonic(TESTPOINT, DRIVE, N)",
        "The peak amplitude of the N-th harmonic of the common period, or of the drive's chopping. In the testpoint's unit.",
    ),
    reading(
        "band",
        "band(TESTPOINT, F1 .. F2)",
        "The rms value of what lies between two frequencies, in the testpoint's unit.",
    ),
    reading(
        "attenuation",
        "attenuation(TESTPOINT, TESTPOINT)",
        "20 log10 of the ratio of the first's rms_ac to the second's: negative where the first is quieter. In dB.",
    ),
    reading(
        "saturation",
        "saturation(COIL)",
        "The share of the inductance that is gone at the peak current: 1 - (d flux/d i at it) / L. A fraction, from 0 %.",
    ),
    over_frequency(
        "peak_gain",
        "peak_gain(RESPONSE) or peak_gain(RESPONSE, F1 .. F2)",
        "The greatest magnitude of a response, as 20 log10 of it in its unit. In dB.",
    ),
    over_frequency(
        "insertion_loss",
        "insertion_loss(FIT, R_SOURCE, R_LOAD [, F or F1 .. F2])",
        "How much less reaches the load with the assembly between the two resistances than without: the least over the frequencies. CISPR 17. In dB.",
    ),
    over_frequency(
        "resonances",
        "resonances, or resonances(RESPONSE)",
        "The height of the tallest resonance, of one response or of all. In dB.",
    ),
    over_frequency(
        "impedance_margin",
        "impedance_margin(LOAD)",
        "How far the impedance that feeds a load or camera stays below the load's own; 6 dB are common practice. In dB.",
    ),
    curve(
        "transfer",
        "transfer(voltage(NODE), SOURCE)",
        "The voltage at a node, or between two, for each ampere that a drive or current source draws (negative at low frequency, in ohm), or for each volt that a battery, supply, generator or voltage source pushes.",
    ),
    curve(
        "impedance",
        "impedance(NODE) or impedance(NODE, NODE)",
        "The impedance seen from a node to gnd or between two nodes. In ohm.",
    ),
    curve(
        "insertion_loss",
        "insertion_loss(FIT, R_SOURCE, R_LOAD)",
        "The voltage at the load without the assembly for each volt with it. CISPR 17.",
    ),
    function("min", "min(A, B, …)", "The least of values of one dimension."),
    function("max", "max(A, B, …)", "The greatest of values of one dimension."),
    function("sqrt", "sqrt(A)", "The square root; of a unit it takes the square of one."),
    function("abs", "abs(A)", "The value without its sign."),
    function("sin", "sin(A)", "The sine of an angle in radian."),
    function("cos", "cos(A)", "The cosine of an angle in radian."),
    function("exp", "exp(A)", "e to the power of a plain number."),
    function("ln", "ln(A)", "The natural logarithm of a plain number."),
    function("log10", "log10(A)", "The decimal logarithm of a plain number."),
];

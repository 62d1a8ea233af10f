//! Mistakes of testpoints, readings, requirements and transients.

use super::{Page, alone, beside};

pub(super) const PAGES: &[Page] = &[
    beside(
        "unknown_signal",
        "something that a testpoint can't look at",
        "A testpoint is a waveform: `voltage` of a node, between two nodes or across a part, `current`, `power` or `flux` of a part. Numbers taken from it, such as its maximum, are readings and have a statement of their own.",
        ["testpoint draw = amps(eye)", "testpoint draw = current(eye)"],
    ),
    beside(
        "unknown_testpoint",
        "a testpoint that is not declared",
        "Readings look at waveforms that a `testpoint` statement has named.",
        ["reading noise = peak_to_peak(rial)", "reading noise = peak_to_peak(rail)"],
    ),
    beside(
        "not_a_testpoint",
        "a reading of something that is no testpoint",
        "Name the waveform first: `testpoint NAME = voltage(NODE)`, with the bandwidth that you want to see it through, and read that.",
        [
            "reading noise = peak_to_peak(cam)",
            "testpoint picture = voltage(cam)\nreading noise = peak_to_peak(picture)",
        ],
    ),
    beside(
        "waveform_as_number",
        "a waveform where a number is wanted",
        "A testpoint has a value at every moment. Say which number of it is meant: `maximum(rail)`, `peak_to_peak(rail)`, `at(rail, 1 ms)`.",
        ["require rail > 9 V", "require minimum(rail) > 9 V"],
    ),
    beside(
        "not_a_range",
        "one frequency where a band is wanted",
        "A band goes from its lower to its upper frequency: `1 kHz .. 20 kHz`.",
        ["reading hum = band(rail, 1 kHz)", "reading hum = band(rail, 1 kHz .. 20 kHz)"],
    ),
    beside(
        "not_a_part",
        "the name of a part is wanted",
        "This argument is a part's name, not a number or formula.",
        [
            "reading left = saturation(2)",
            "coil choke bus -> cam  inductance 330 uH, saturation_current 1 A\nreading left = saturation(choke)",
        ],
    ),
    beside(
        "unknown_transient",
        "a run that is not in the file",
        "`in NAME` narrows a reading to the transient of that name; without it the first one is read.",
        ["reading noise = peak_to_peak(rail) in rnu", "reading noise = peak_to_peak(rail) in run"],
    ),
    beside(
        "window_beyond_span",
        "a window past the end of the run",
        "`over T1 .. T2` narrows a reading to a part of the run, counted from its beginning. Make the transient's span longer, or the window shorter.",
        [
            "reading noise = peak_to_peak(rail) over 0 s .. 2 ms",
            "reading noise = peak_to_peak(rail) over 0.5 ms .. 1 ms",
        ],
    ),
    beside(
        "unknown_start",
        "a way to start that there is not",
        "`start steady` is the state that repeats itself, as after a long time; `start operating` begins with everything charged and all drives off; `start rest` with everything discharged, at the moment of plugging in.",
        ["transient plug span 5 ms, start cold", "transient plug span 5 ms, start rest"],
    ),
    alone(
        "no_transient",
        "a reading without a run to read it from",
        "Readings of waveforms need a run in time: add `transient NAME span 1 ms, start steady`.",
        [
            "battery pack gnd -> bus  emf 12 V\nload    eye  bus -> gnd  current 160 mA\ntestpoint rail = voltage(bus)\nreading level = mean(rail)",
            "battery pack gnd -> bus  emf 12 V\nload    eye  bus -> gnd  current 160 mA\ntestpoint rail = voltage(bus)\nreading level = mean(rail)\ntransient run span 1 ms, start steady",
        ],
    ),
    beside(
        "not_in_time",
        "a window of time on a reading over frequency",
        "Gain, resonances, insertion loss and impedance margin are computed over frequency and belong to no run. A band of frequencies goes into their parentheses.",
        [
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\nfrequency 10 Hz .. 1 MHz, points 20\nresponse path = transfer(voltage(cam), tracks)\nreading lift = peak_gain(path) over 0 s .. 1 ms",
            "drive tracks bus -> gnd  current 9 A, pwm 20 kHz, duty 60 %\nfrequency 10 Hz .. 1 MHz, points 20\nresponse path = transfer(voltage(cam), tracks)\nreading lift = peak_gain(path, 1 kHz .. 100 kHz)",
        ],
    ),
];

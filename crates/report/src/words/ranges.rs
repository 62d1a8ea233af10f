//! Between what an assumed value usually lies, for those who wonder whether to state it.
//!
//! Common practice, no source, where none is named.

/// How an assumption begins or what stands in it, and the range; the first that fits counts.
const RANGES: &[(&str, &str)] = &[
    ("nH a cell", "10 to 50 nH a cell with its share of the leads"),
    (
        "annealed copper at 20 degC",
        "0.393 % more resistance for each kelvin (IEC 60028): 8 % less at 0 degC, 16 % more at 60 degC",
    ),
    ("inductance is down by", "data sheets mean 10, 20 or 30 %: look at the footnote"),
    ("in saturation", "1 to 5 % of the inductance; of an open core more"),
    ("never saturates", "ferrite rings do at tenths of an ampere, powder rings at some amperes"),
    ("its core is full at", "0.2 to 0.35 T of warm ferrite, 0.5 to 1 T of powder"),
    (
        "no `esr` given",
        "10 to 50 mohm of polymer, 30 mohm to 0.4 ohm of electrolytic, a few milliohms of ceramic",
    ),
    ("no `rated` voltage", "at least the full pack and its surges"),
    ("no `dcr` given", "0.05 to 0.5 ohm of hand-wound rings, up to some ohms of small chokes"),
    ("input capacitance", "1 to 100 uF with 5 mohm to 1 ohm, by the regulator behind the socket"),
    ("series resistance of the input", "5 mohm of ceramic to 1 ohm of a small electrolytic"),
    ("rise and fall", "10 to 500 ns of small drives, 5 us of slow ones"),
    ("rise ", "10 to 500 ns of small drives, 5 us of slow ones"),
    ("fall ", "10 to 500 ns of small drives, 5 us of slow ones"),
    ("the battery is full", "a pack is landed at 10 to 20 %"),
    ("contact resistance", "0.2 mohm of a new power connector to some milliohms of a pitted one"),
    ("rejection", "40 to 70 dB at mains frequency, 15 to 35 dB at 1 MHz (data sheets, from memory)"),
    ("coupling", "0.95 to 0.995"),
    ("greatest resistance that IEC 60228 allows", "real cable is a few per cent better"),
];

/// The range of an assumption; nothing where there is none to tell.
pub(crate) fn range(assumption: &str) -> Option<&'static str> {
    RANGES.iter().find(|(part, _)| assumption.contains(part)).map(|(_, range)| *range)
}

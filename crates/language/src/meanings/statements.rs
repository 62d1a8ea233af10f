//! Words that begin a statement or stand inside one.

use super::{Group, Word};

const fn word(word: &'static str, form: &'static str, text: &'static str) -> Word {
    Word { word, group: Group::Statement, form, text }
}

pub(super) const WORDS: &[Word] = &[
    word(
        "harness",
        "harness \"My crawler\"",
        "The title of the file, above all tables and pictures. Without it the file's name stands there.",
    ),
    word(
        "let",
        "let NAME = VALUE [+- TOLERANCE]",
        "Gives a value a name, to be used in every formula below it. Options, cases and `--set` can set it to another value of the same dimension.",
    ),
    word("include", "include \"PATH\"", "Takes the statements of another file in, as if they stood here."),
    word(
        "assembly",
        "assembly NAME(PARAMETER, …) NODE, NODE { … }",
        "A group of parts that is written once and fitted as often as needed, with those nodes as its terminals. It holds parts, `let` and `fit`; `gnd` is shared with everything; other nodes inside belong to what is fitted.",
    ),
    word(
        "fit",
        "fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …",
        "Places an assembly: the nodes that its terminals are on, in order, then a value for each parameter. Its parts are then `NAME.PART`, its values `NAME.PARAMETER`.",
    ),
    word(
        "choice",
        "choice NAME { option … option … }",
        "What the builder picks: an axis of the study. Every option is run under every condition and compared with the baseline.",
    ),
    word(
        "option",
        "option NAME { … }",
        "One pick of a choice: the parts that stand only here, `fit`, and what it sets. An option may be empty.",
    ),
    word(
        "place",
        "place NODE -> NODE [, return NODE]",
        "Inside a choice: between which nodes a filter may go, from the source's side to the load's, and where its parts across go (`gnd` unless `return` names another node). `quietrail design` writes options for it from the parts that one owns; everything else passes it over.",
    ),
    word(
        "baseline",
        "option NAME baseline { … }",
        "Marks the option that others are compared with. Without it, it is the first option of the first choice.",
    ),
    word(
        "condition",
        "condition NAME { case … case … }",
        "What the vehicle meets: an axis of the study. An option is judged by the worst of all cases.",
    ),
    word(
        "case",
        "case NAME { … }",
        "One state of a condition: what it sets, and the parts that stand only here.",
    ),
    word(
        "set",
        "set PART.PROPERTY = VALUE, or set NAME = VALUE",
        "Gives a property of a part, a parameter of what is fitted, or a `let` another value in this option or case. Two settings of one value that can meet are a mistake; `--set` on the command line beats both. The old tolerance stays unless a new one is given.",
    ),
    word(
        "sweep",
        "sweep NAME over TARGET A .. B step S",
        "Runs a range of values of a `let` or `PART.PROPERTY` as an axis of the study: `step S`, `steps N`, `log N` a decade, `series E6`, or a list `[A, B]`.",
    ),
    word(
        "step",
        "sweep NAME over TARGET A .. B step S",
        "From value to value of a sweep, in the unit of the values. The upper end counts where a step meets it.",
    ),
    word(
        "steps",
        "sweep NAME over TARGET A .. B steps N",
        "Divides a sweep into N equal steps: N + 1 values, both ends included.",
    ),
    word(
        "log",
        "sweep NAME over TARGET A .. B log N",
        "Takes N values of a sweep a decade, evenly on a logarithmic scale, both ends included.",
    ),
    word(
        "series",
        "sweep NAME over TARGET A .. B series E6",
        "Takes the preferred numbers that parts are sold in, of the range of a sweep: E3, E6, E12, E24, E48, E96 or E192 a decade (IEC 60063).",
    ),
    word(
        "gnd",
        "KIND NAME NODE -> gnd",
        "The reference node, as a rule the pack's minus: every voltage of a node is against it, and every node must lead to it. It is shared with everything, the inside of assemblies too.",
    ),
    word("pi", "let NAME = 2 * pi", "3.14159…, the ratio of a circle's circumference to its diameter."),
    word(
        "testpoint",
        "testpoint NAME = voltage(NODE) [, bandwidth F]",
        "Names a waveform: where you would hold the probe. With a bandwidth it is seen through a single-pole low-pass, as by an oscilloscope or camera.",
    ),
    word(
        "bandwidth",
        "testpoint NAME = SIGNAL, bandwidth 20 MHz",
        "The frequency at which the probe shows 3 dB less. Unlimited without it.",
    ),
    word(
        "reading",
        "reading NAME = FORMULA [in TRANSIENT] [over T1 .. T2]",
        "Names a number that is taken after a run, or a formula of such numbers.",
    ),
    word(
        "in",
        "reading NAME = FORMULA in TRANSIENT",
        "Says which transient a reading or requirement is taken from. Without it, it is the first.",
    ),
    word(
        "over",
        "reading NAME = FORMULA over T1 .. T2",
        "Narrows a reading or requirement to a window of the run, counted from its beginning. Without it, it is the whole span, or one period of a steady run.",
    ),
    word(
        "require",
        "require FORMULA < VALUE \"why it matters\"",
        "What the vehicle needs, with `<`, `<=`, `>` or `>=`, and why. Every option is judged by it under every condition.",
    ),
    word(
        "transient",
        "transient [NAME] span T, start steady [, record DT]",
        "A run in time. Without any, nothing is read from waveforms.",
    ),
    word(
        "span",
        "transient span 1 ms, start steady",
        "How long the run is. A steady run covers one common period of all sources, whatever the span.",
    ),
    word(
        "start",
        "start steady, start operating, or start rest",
        "steady: the state that repeats itself, t = 0 where a period begins. operating: everything charged, every drive and generator off, each then following its own phase. rest: everything discharged, batteries step and supplies ramp at t = 0.",
    ),
    word(
        "steady",
        "transient span 1 ms, start steady",
        "The run begins in the state that repeats itself, at the beginning of a period, and covers one period that all sources have in common.",
    ),
    word(
        "operating",
        "transient span 20 ms, start operating",
        "The run begins with everything charged and settled, every drive and generator off; each then follows its own phase.",
    ),
    word(
        "rest",
        "transient span 20 ms, start rest",
        "The run begins with everything discharged: plugging in. Batteries step and supplies ramp at t = 0.",
    ),
    word(
        "record",
        "transient span 1 ms, start steady, record 100 ns",
        "The spacing of stored samples. It has no effect in this edition.",
    ),
    word(
        "draws",
        "draws N, seed S, normal",
        "How often `quietrail sweep` draws every value with a tolerance, and every unknown one, at each point of the axes. `seed` (1 unless stated) gives other draws; `normal` draws a bell with a third of the tolerance as standard deviation, evenly otherwise. `--draws` on the command line beats it; all other commands take nominal values.",
    ),
    word("seed", "draws N, seed S", "A whole number: the same gives the same draws, another gives others."),
    word(
        "normal",
        "draws N, normal",
        "Draws a normal distribution with a third of the tolerance as standard deviation, in place of an even one.",
    ),
    word(
        "unknown",
        "PROPERTY unknown A .. B, or let NAME = unknown A .. B",
        "A value that has not been measured: only its ends are known. Runs take the middle of the two, by ratio where both have one sign (so 20 mohm .. 200 mohm is 63 mohm), and say so; `draws` and `--corners` go from end to end, by ratio too. `set` and `--set` make it known.",
    ),
    word(
        "frequency",
        "frequency A .. B, points N, or frequency [F, F]",
        "The frequencies at which responses are computed: N a decade, spaced evenly on a logarithmic scale, both ends included; or a list.",
    ),
    word(
        "points",
        "frequency 10 Hz .. 30 MHz, points 40",
        "How many frequencies a decade. Before a list, `points [0 s: 0 V, 1 ms: 5 V]`, it may stand for the reader's sake. In a tolerance, `+- 3 points`, it counts percentage points.",
    ),
    word(
        "response",
        "response NAME = FORMULA",
        "Names a curve over frequency: a transfer, an impedance, an insertion loss, or a formula of them.",
    ),
];

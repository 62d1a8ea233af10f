//! Headings of the page, and under each the sentence that says what it is good for.

/// Heading and sentence.
pub(crate) type Words = (&'static str, &'static str);

pub(crate) const OPTIONS: Words = (
    "Options side by side",
    "A row for each option. The value is the worst of all conditions, with the condition where it is met. 6 dB is half the noise, 20 dB a tenth, 40 dB a hundredth.",
);
pub(crate) const SENTENCES: Words = (
    "In words",
    "What each option changes, what it costs, and whether its coil still is a coil at that current.",
);
pub(crate) const WAVEFORMS: Words = (
    "What the supply looks like",
    "The voltage as an oscilloscope would show it at the test point, with its mean taken away. The tinted band is what a requirement allows.",
);
pub(crate) const WAVEFORMS_FROM_REST: Words = (
    "What the supply looks like",
    "The run from its start at rest, as an oscilloscope would show it at the test point. The tinted band is what a requirement allows.",
);
pub(crate) const SPECTRA: Words = (
    "What the noise is made of",
    "Each line is a frequency at which the supply moves, as high as it moves there; grey is the baseline. Lines at the PWM and its multiples come from the switching, those below from the commutation and the revolutions.",
);
pub(crate) const COILS: Words = (
    "What the coils are worth in use",
    "A core that is full is a coil no more. Shaded are the currents that occur, the dot is the highest: the height there is what is left of the inductance that a meter shows.",
);
pub(crate) const POINTS: Words = (
    "Every option under every condition",
    "Read down a column to see when it is worst: with a full or an empty pack, at little or at much throttle.",
);
pub(crate) const REASONS: Words = (
    "Why it is so",
    "What the parts' own values say, by formulas of any textbook; of the pack and the wiring in the condition in which they have the most resistance.",
);
pub(crate) const FREQUENCY: Words = (
    "What reaches the camera at each frequency",
    "The lower the curve, the less gets through. A hump is where coil and capacitor swing together: noise that falls there is made larger. Upright lines mark what the drives repeat; shaded is what they pass on the way to full throttle.",
);
pub(crate) const WARNINGS: Words = (
    "Warnings, and what to do",
    "Each of these was found in at least one option under at least one condition.",
);
pub(crate) const ASSUMPTIONS: Words = (
    "What was assumed",
    "The file does not say these, so usual values were taken. If one of them is far from your parts, state it in the file.",
);
pub(crate) const TOLERANCES: &str =
    "Values that the file states with a tolerance. The result above is that of the value itself.";
pub(crate) const PARTS: Words = (
    "Parts list",
    "What each option adds to the vehicle, then what is there anyway. The first node of a part is its plus side, where it has one. What conditions set is told with each value that it takes; what values come to is that of the first condition.",
);
pub(crate) const CAMERA: Words = (
    "What the camera shows",
    "A test card with the ripple in it: the pattern, not its level, and analogue video only. `quietrail picture FILE` writes these as files, `quietrail bands FILE --count N` finds what makes the bands that you count.",
);
pub(crate) const WINDING: Words = (
    "How to wind the coils",
    "Print it at 100 % and the ring is in true size. The same as text: `quietrail winding FILE`.",
);
pub(crate) const WINDING_NONE: Words = (
    "How to wind the coils",
    "What the file tells of them, and what it would have to tell for a winding sheet.",
);
pub(crate) const CAUTIONS: Words = ("Before you solder", "");
pub(crate) const HARNESS_TEXT: Words =
    ("The harness file", "The text that all of the above follows from, as it was when it was read.");
pub(crate) const ABOUT: Words = ("About this report", "");

/// What a model of this kind does not see, whatever the file says.
pub(crate) const LIMITS: &[&str] = &[
    "Nothing radiated: noise that goes through the air from motor wires to an antenna or into the camera is not in the model. If the lines stay while the camera runs from a battery of its own, no filter in its feed will help.",
    "Only the wires that are drawn: currents through the frame, a shield or a second ground connection are absent unless the file has them as wires. A common-mode choke has no effect where only one path is drawn.",
    "How strong the pattern in the picture is: how much of this noise a given camera shows is rarely published. Find your own limit with a known ripple.",
];

/// Where the same file gives the same numbers.
pub(crate) const NO_SEED: &str =
    "Nothing was drawn at random: the same file and version give the same figures, digit for digit.";
pub(crate) const SEEDED: &str = "What is random here comes from the seeds in the file: the same file and version give the same figures, digit for digit.";

/// Over the mistakes of a file that is being worked on.
pub(crate) const STALE: &str =
    "The file has a mistake now. What stands below is the result of its last state that was in order.";
pub(crate) const REFUSED: &str =
    "The file has a mistake, so there is no result yet. Save it again and this page follows.";

//! What the words of statements mean, in a line each, with the form of the statement.

/// A word that begins a statement.
pub(crate) struct Word {
    pub(crate) word: &'static str,
    pub(crate) form: &'static str,
    pub(crate) meaning: &'static str,
}

const fn word(word: &'static str, form: &'static str, meaning: &'static str) -> Word {
    Word { word, form, meaning }
}

/// Every word that begins a statement, kinds of parts aside.
pub(crate) const WORDS: &[Word] = &[
    word("harness", "harness \"TITLE\"", "The title of the vehicle."),
    word("let", "let NAME = VALUE", "Names a value, perhaps with a tolerance, for use in other values."),
    word(
        "choice",
        "choice NAME { option NAME { … } … }",
        "What the builder picks. The first option is what all others are compared with.",
    ),
    word(
        "condition",
        "condition NAME { case NAME { … } … }",
        "What the vehicle meets. Options are judged by the worst case.",
    ),
    word("option", "option NAME { … }", "One pick of a choice: its parts, and the values that it sets."),
    word("case", "case NAME { … }", "One case of a condition: the values that it sets, and its parts."),
    word(
        "set",
        "set PART.PROPERTY = VALUE",
        "Another value of a property, or of a `let`, in this option or case.",
    ),
    word(
        "testpoint",
        "testpoint NAME = voltage(NODE), bandwidth 20 MHz",
        "Where a probe is held: a voltage, or the current, power or flux of a part.",
    ),
    word(
        "reading",
        "reading NAME = peak_to_peak(TESTPOINT)",
        "A number that is read off a waveform or a curve.",
    ),
    word("require", "require READING < VALUE \"why it matters\"", "A limit that options are judged by."),
    word(
        "transient",
        "transient NAME span 1 ms, start steady",
        "A run in time: from the steady state, from the operating point, or from rest.",
    ),
    word(
        "frequency",
        "frequency 10 Hz .. 30 MHz, points 40",
        "The frequencies at which curves are computed; `points` is how many a decade.",
    ),
    word(
        "response",
        "response NAME = transfer(voltage(NODE), DRIVE)",
        "A curve over frequency: a transfer, an impedance or an insertion loss.",
    ),
    word(
        "sweep",
        "sweep NAME over TARGET A .. B step S",
        "Many values of a `let` or a property, one after another.",
    ),
    word("include", "include \"FILE\"", "Takes another file's statements in."),
    word(
        "assembly",
        "assembly NAME(PARAMETER, …) NODE, NODE { … }",
        "Parts that belong together, with their terminals, to be fitted by name.",
    ),
    word("fit", "fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …", "Places an assembly."),
];

pub(crate) fn find(text: &str) -> Option<&'static Word> {
    WORDS.iter().find(|each| each.word == text)
}

/// What a transient's beginnings mean.
pub(crate) fn start(text: &str) -> Option<&'static str> {
    Some(match text {
        "steady" => "the repeating state, over one period that all drives have in common",
        "operating" => "everything charged and settled, drives off; then they start",
        "rest" => "everything discharged, switched on at 0 s",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use language::words::{INNER_STATEMENTS, STARTS, STATEMENTS};

    #[test]
    fn the_words_are_those_of_the_language() {
        let mut own: Vec<&str> = WORDS.iter().map(|each| each.word).collect();
        let mut language = [STATEMENTS, INNER_STATEMENTS].concat();
        own.sort_unstable();
        language.sort_unstable();
        assert_eq!(own, language);
        assert!(WORDS.iter().all(|each| each.form.starts_with(each.word)));
        assert!(STARTS.iter().all(|each| start(each).is_some()));
    }
}

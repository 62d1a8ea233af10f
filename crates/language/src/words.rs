//! The words of the language that are not kinds or properties of parts.

/// Words that begin a statement at the top of a file.
pub const STATEMENTS: &[&str] = &[
    "harness",
    "let",
    "choice",
    "condition",
    "testpoint",
    "reading",
    "require",
    "transient",
    "frequency",
    "response",
    "sweep",
    "draws",
    "include",
    "assembly",
    "fit",
];

/// Words that begin a statement only inside a choice or condition.
pub const INNER_STATEMENTS: &[&str] = &["option", "case", "set", "place"];

/// The waveforms that a test point can look at.
pub const SIGNALS: &[&str] = &["voltage", "current", "power", "flux", "picture"];

/// How a transient can start.
pub const STARTS: &[&str] = &["steady", "operating", "rest"];

/// How the range of a sweep can be divided.
pub const DIVISIONS: &[&str] = &["step", "steps", "log", "series"];

/// The functions of numbers.
pub fn functions() -> impl Iterator<Item = &'static str> {
    crate::scope::functions()
}

/// The readings, each with what it takes, in words.
pub fn readings() -> impl Iterator<Item = (&'static str, &'static str)> {
    crate::scope::readings()
}

/// The curves over frequency, each with what it takes, in words.
pub fn responses() -> impl Iterator<Item = (&'static str, &'static str)> {
    crate::scope::responses()
}

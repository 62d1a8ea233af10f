//! Assemblies as they are fitted.

/// An assembly that is fitted at this study point. Its parts and inner nodes are those whose names start with `NAME.`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instance {
    /// Its name; one inside another is `OUTER.INNER`.
    pub name: String,
    /// Name of the assembly.
    pub assembly: String,
    /// Nodes that its terminals are on, in the order of the terminals.
    pub nodes: Vec<String>,
}

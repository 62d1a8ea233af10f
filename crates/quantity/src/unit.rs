//! Unit symbols with SI prefixes.

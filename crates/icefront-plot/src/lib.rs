//! Charts of a drying run.

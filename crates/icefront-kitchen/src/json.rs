//! Numbers and values as JSON, the same way in every answer.

use std::io::{self, Write};

use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};

/// A value as JSON text: keys are its fields, in SI with the unit in the name; seven digits, since the last bits differ
/// between machines and mean nothing.
///
/// # Errors
/// If the value cannot be written as JSON.
pub fn text(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::new();
    value.serialize(&mut Serializer::with_formatter(&mut bytes, Rounded(PrettyFormatter::new())))?;
    bytes.push(b'\n');
    String::from_utf8(bytes).map_err(serde::ser::Error::custom)
}

/// A value as a tree of JSON, with the numbers of [`text`].
///
/// # Errors
/// If the value cannot be written as JSON.
pub fn value(value: &impl Serialize) -> Result<serde_json::Value, serde_json::Error> {
    serde_json::from_str(&text(value)?)
}

/// Seven digits: the last bits differ between machines and mean nothing.
pub fn rounded(value: f64) -> f64 {
    format!("{value:.6e}").parse().unwrap_or(value)
}

/// Rounded; `None` where it is not known.
pub fn known(value: f64) -> Option<f64> {
    Some(rounded(value)).filter(|v| v.is_finite())
}

/// Lines and indents of `serde_json`, with rounded numbers.
struct Rounded(PrettyFormatter<'static>);

impl Formatter for Rounded {
    fn write_f64<W: ?Sized + Write>(&mut self, to: &mut W, value: f64) -> io::Result<()> {
        self.0.write_f64(to, rounded(value))
    }

    fn begin_array<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.begin_array(to)
    }

    fn end_array<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.end_array(to)
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_array_value(to, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.end_array_value(to)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.begin_object(to)
    }

    fn end_object<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.end_object(to)
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_object_key(to, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.begin_object_value(to)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.0.end_object_value(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Answer {
        z_h: f64,
        a: Vec<Option<f64>>,
        never: f64,
    }

    #[test]
    fn numbers_are_rounded_and_keys_keep_their_order() {
        let answer = Answer { z_h: 1.0 / 3.0, a: vec![Some(2.0e9 / 3.0), None], never: f64::INFINITY };
        let expected = "{\n  \"z_h\": 0.3333333,\n  \"a\": [\n    666666700.0,\n    null\n  ],\n  \"never\": null\n}\n";
        assert_eq!(text(&answer).unwrap(), expected);
    }
}

//! How output looks: with colour, without, or as plain lines for screen readers.

/// Look of one output.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Labels and marks are set off by colour and weight.
    Colour,
    /// The same without them.
    Bare,
    /// No drawings, no alignment: sentences in reading order.
    Plain,
    /// Pieces of a page, as HTML.
    Page,
}

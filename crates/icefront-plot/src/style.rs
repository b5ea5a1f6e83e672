//! Looks shared by all charts: colours, line kinds, letters.
//!
//! Every chart must also read without colour: a tray carries its number on its line, other lines differ by dash,
//! areas by lightness, points by shape.

/// Width of every picture, px.
pub(crate) const PICTURE_WIDTH_PX: f64 = 800.0;
/// Left edge of the panels; the labels of the upright axis stand left of it, px.
pub(crate) const PANEL_LEFT_PX: f64 = 52.0;
/// Right edge of the panels; the legend stands right of it, px.
pub(crate) const PANEL_RIGHT_PX: f64 = 588.0;
/// Left edge of the legend, px.
pub(crate) const LEGEND_LEFT_PX: f64 = 604.0;
/// Nothing is written closer to the picture's edge, px.
pub(crate) const EDGE_PX: f64 = 8.0;

/// Font families named in the SVG; the first is the one that texts are measured with and PNG pictures use.
pub(crate) const FONT_FAMILIES: &str = "DejaVu Sans, sans-serif";

pub(crate) use plotters_backend::text_anchor::HPos as Anchor;

/// Red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Colour(pub u8, pub u8, pub u8);

/// Background.
pub(crate) const PAPER: Colour = Colour(255, 255, 255);
/// Text and main lines.
pub(crate) const INK: Colour = Colour(34, 38, 43);
/// Second-rank text.
pub(crate) const MUTED: Colour = Colour(92, 98, 106);
/// Axis lines and leaders.
pub(crate) const FRAME: Colour = Colour(150, 155, 161);
/// Grid lines.
pub(crate) const GRID: Colour = Colour(228, 230, 233);

/// Trays and other equal members of a group, in this order.
///
/// Chosen by search: any two differ by 29 or more in CIELAB (1976) for full colour sight and for simulated lack of red,
/// green or blue cones (matrices: Machado et al. 2009, doi:10.1109/TVCG.2009.113, severity 1).
const SERIES: [Colour; 8] = [
    Colour(0, 70, 168),
    Colour(132, 47, 3),
    Colour(122, 152, 94),
    Colour(85, 0, 83),
    Colour(180, 154, 35),
    Colour(0, 158, 235),
    Colour(49, 44, 35),
    Colour(208, 106, 156),
];

/// Colour of member `index` of a group.
pub(crate) fn series_colour(index: usize) -> Colour {
    SERIES.get(index % SERIES.len()).copied().unwrap_or(INK)
}

/// Areas stacked on each other, from the bottom up: each lighter than the one below it.
const STACK: [Colour; 7] = [
    Colour(21, 46, 84),
    Colour(131, 46, 28),
    Colour(34, 115, 115),
    Colour(182, 123, 53),
    Colour(112, 185, 110),
    Colour(221, 202, 136),
    Colour(234, 238, 242),
];

/// Colour of area `index` of a stack.
pub(crate) fn stack_colour(index: usize) -> Colour {
    STACK.get(index % STACK.len()).copied().unwrap_or(INK)
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Dash {
    Solid,
    Long,
    Short,
    Dots,
}

impl Dash {
    /// Drawn and left out, px.
    pub(crate) fn pattern_px(self) -> &'static [f64] {
        match self {
            Self::Solid => &[],
            Self::Long => &[9.0, 4.0],
            Self::Short => &[4.0, 3.0],
            Self::Dots => &[1.5, 2.5],
        }
    }
}

/// Line kind of member `index` of a group: unbroken until the colours come round again.
pub(crate) fn series_dash(index: usize) -> Dash {
    if index < SERIES.len() { Dash::Solid } else { Dash::Long }
}

/// Size, colour and anchor of a text.
#[derive(Clone, Copy)]
pub(crate) struct Letters {
    pub size_px: f64,
    pub colour: Colour,
    pub anchor: Anchor,
}

impl Letters {
    pub(crate) const fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    pub(crate) const fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// From the middle of the capitals down to the baseline, px (capitals of the font are 0.73 em high).
    pub(crate) fn half_capital_px(self) -> f64 {
        0.365 * self.size_px
    }
}

/// Heading of a picture.
pub(crate) const HEADING: Letters = Letters { size_px: 15.0, colour: INK, anchor: Anchor::Left };
/// What a panel or axis shows, names in a legend.
pub(crate) const LABEL: Letters = Letters { size_px: 11.5, colour: INK, anchor: Anchor::Left };
/// Tick labels and remarks.
pub(crate) const NOTE: Letters = Letters { size_px: 10.5, colour: MUTED, anchor: Anchor::Left };

#[cfg(test)]
mod tests;

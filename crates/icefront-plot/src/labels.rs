//! Where labels go so that none covers another.

use crate::canvas::Place;
use crate::font;
use crate::style::Letters;

/// A run of labels that touch: how many, how long together, and the sum of their wishes for where it starts.
struct Block {
    count: usize,
    length: f64,
    wishes: f64,
}

impl Block {
    fn start(&self, room: (f64, f64)) -> f64 {
        (self.wishes / self.count as f64).min(room.1 - self.length).max(room.0)
    }
}

/// Middles of labels in a row, as near as possible to where they are wanted.
///
/// `wanted` holds (middle, length) in rising order of the middle; the labels keep `gap` between them and stay in `room`
/// as far as they fit at all. Labels that would touch move apart together, about their common middle.
pub(crate) fn spread(wanted: &[(f64, f64)], room: (f64, f64), gap: f64) -> Vec<f64> {
    let mut blocks: Vec<Block> = Vec::new();
    for &(middle, length) in wanted {
        let mut block = Block { count: 1, length, wishes: middle - length / 2.0 };
        while let Some(before) = blocks.pop_if(|b| b.start(room) + b.length + gap > block.start(room)) {
            let shift = before.length + gap;
            block = Block {
                count: before.count + block.count,
                length: shift + block.length,
                wishes: before.wishes + block.wishes - block.count as f64 * shift,
            };
        }
        blocks.push(block);
    }
    let starts = blocks.iter().flat_map(|block| std::iter::repeat_n(block.start(room), block.count).enumerate());
    let mut free_from = 0.0;
    let middles = starts.zip(wanted).map(|((in_block, start), &(_, length))| {
        let from = if in_block == 0 { start } else { free_from };
        free_from = from + length + gap;
        from + length / 2.0
    });
    middles.collect()
}

/// One place on each of the first `numbered` lines for its number: away from the other lines, from the other numbers
/// and from the edges of `room` (top and bottom).
///
/// Lines that coincide get their numbers one beside the other. A line without points gets none.
pub(crate) fn number_places(
    lines: &[Vec<Place>],
    numbered: usize,
    radius_px: f64,
    room: (f64, f64),
) -> Vec<Option<Place>> {
    /// Room beyond which more does not help, px.
    const ENOUGH_PX: f64 = 14.0;
    const STEP_PX: f64 = 4.0;
    let beads: Vec<Vec<Place>> = lines.iter().map(|line| evenly(line, STEP_PX)).collect();
    let mut taken: Vec<Place> = Vec::new();
    let mut places = Vec::new();
    for (index, own) in beads.iter().take(numbered).enumerate() {
        let others = || beads.iter().enumerate().filter(|(other, _)| *other != index).flat_map(|(_, bead)| bead);
        let merit = |step: usize, place: Place| {
            let to_edges = (place.1 - room.0).min(room.1 - place.1);
            let to_lines = nearest(place, others()).min(to_edges).min(ENOUGH_PX);
            let to_numbers = nearest(place, taken.iter()) - 2.0 * radius_px;
            let off_middle = (step as f64 / own.len() as f64 - 0.5).abs();
            to_lines + 10.0 * to_numbers.min(0.4 * radius_px) - 10.0 * off_middle
        };
        let merits = own.iter().enumerate().map(|(step, &place)| (merit(step, place), place));
        let best = merits.reduce(|best, next| if next.0 > best.0 { next } else { best });
        let place = best.map(|(_, place)| place);
        taken.extend(place);
        places.push(place);
    }
    places
}

fn nearest<'a>(from: Place, others: impl Iterator<Item = &'a Place>) -> f64 {
    let squares = others.map(|other| (other.0 - from.0).powi(2) + (other.1 - from.1).powi(2));
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

/// Points on a line, one each `step_px` along it.
fn evenly(line: &[Place], step_px: f64) -> Vec<Place> {
    let mut points = Vec::new();
    let mut to_next_px = 0.0;
    for (from, to) in line.iter().zip(line.iter().skip(1)) {
        let length_px = libm::hypot(to.0 - from.0, to.1 - from.1);
        while to_next_px < length_px {
            let share = to_next_px / length_px;
            points.push((from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1)));
            to_next_px += step_px;
        }
        to_next_px -= length_px;
    }
    points
}

/// An upright rectangle on the sheet, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extent {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Extent {
    pub(crate) fn around(middle: Place, half_width: f64, half_height: f64) -> Self {
        let (x, y) = middle;
        Self { left: x - half_width, top: y - half_height, right: x + half_width, bottom: y + half_height }
    }

    /// Where the left end of a text that fills it stands.
    pub(crate) fn baseline(&self, letters: Letters) -> Place {
        (self.left, (self.top + self.bottom) / 2.0 + letters.half_capital_px())
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left && other.right <= self.right && self.top <= other.top && other.bottom <= self.bottom
    }
}

/// Room for the name of the point at `place`, beside, above or below it: inside `sheet` and clear of all in `taken`.
pub(crate) fn free_place(
    name: &str,
    letters: Letters,
    place: Place,
    taken: &[Extent],
    sheet: &Extent,
) -> Option<Extent> {
    let (half_width, half_height) = (font::width_px(name, letters.size_px) / 2.0, 0.6 * letters.size_px);
    let (aside, away) = (half_width + 9.0, half_height + 7.0);
    let moves = [(aside, 0.0), (-aside, 0.0), (0.0, -away), (0.0, away)];
    let slanted = [(aside, -away), (-aside, -away), (aside, away), (-aside, away)];
    let boxes = moves
        .iter()
        .chain(&slanted)
        .map(|by| Extent::around((place.0 + by.0, place.1 + by.1), half_width, half_height));
    boxes.into_iter().find(|own| sheet.holds(own) && !taken.iter().any(|other| own.meets(other)))
}

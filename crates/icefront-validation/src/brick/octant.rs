//! The eighth of a brick between its middle and one corner, as equal cubes.

use super::exact::{Ratios, mode};

/// Cells of an octant. Lengths in units of half the least edge. Cell 0 lies in the middle of the brick.
#[derive(Clone, Debug)]
pub struct Octant {
    /// Cells along half of the middle, the longest and the least edge.
    cells: [usize; 3],
    /// Edge of a cell.
    pub edge: f64,
}

impl Octant {
    /// `across` cells in half the least edge; the other edges are rounded to whole cells. An edge without an end takes one
    /// cell, whose outer face is closed.
    pub fn new(ratios: Ratios, across: usize) -> Self {
        let along = |b: f64| if b.is_finite() { (b * across as f64).round() as usize } else { ENDLESS };
        Self { cells: [along(ratios.b1), along(ratios.b2), across], edge: 1.0 / across as f64 }
    }

    /// Number of cells.
    pub fn count(&self) -> usize {
        self.cells.iter().map(|n| (*n).max(1)).product()
    }

    /// Each cell: its number, its neighbours, and how many of its faces are outer ones.
    #[inline]
    pub fn visit(&self, mut f: impl FnMut(usize, &[usize], usize)) {
        let [ny, nz, nx] = self.cells.map(|n| n.max(1));
        let closed = self.cells.map(|n| n == ENDLESS);
        let mut near = [0; 6];
        for y in 0..ny {
            for z in 0..nz {
                for x in 0..nx {
                    let i = (y * nz + z) * nx + x;
                    let mut count = 0;
                    let mut outer = 0;
                    for (at, n, stride, closed) in
                        [(x, nx, 1, closed[2]), (z, nz, nx, closed[1]), (y, ny, nx * nz, closed[0])]
                    {
                        if at > 0 {
                            near[count] = i - stride;
                            count += 1;
                        }
                        if at + 1 < n {
                            near[count] = i + stride;
                            count += 1;
                        } else if !closed {
                            outer += 1;
                        }
                    }
                    f(i, &near[..count], outer);
                }
            }
        }
    }

    /// Conductance from the middle of an outer cell to the surroundings, over that between two cells.
    pub fn outer(&self, biot: f64) -> f64 {
        1.0 / (0.5 + 1.0 / (biot * self.edge))
    }

    /// Best factor of over-relaxation while all cells take part.
    pub fn relaxation(&self, biot: f64) -> f64 {
        let open = self.cells.iter().filter(|n| **n != ENDLESS);
        let lowest: f64 = open.map(|n| (mode(0, *n as f64 * self.edge, biot).0 * self.edge).powi(2)).sum();
        let radius = 1.0 - lowest / 6.0;
        2.0 / (1.0 + (1.0 - radius * radius).sqrt())
    }
}

/// Marks an edge without an end.
const ENDLESS: usize = 0;

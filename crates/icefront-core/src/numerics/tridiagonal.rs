//! Tridiagonal systems by the Thomas algorithm, several right-hand sides at once.

/// One row: `lower x[i-1] + diagonal x[i] + upper x[i+1] = rhs`, for several right-hand sides.
#[derive(Clone, Copy, Debug)]
pub struct Row<const N: usize> {
    /// Coefficient of the unknown before.
    pub lower: f64,
    /// Coefficient of the unknown itself.
    pub diagonal: f64,
    /// Coefficient of the unknown after.
    pub upper: f64,
    /// Right-hand sides; once solved, the unknown for each of them.
    pub rhs: [f64; N],
}

impl<const N: usize> Default for Row<N> {
    fn default() -> Self {
        Self { lower: 0.0, diagonal: 0.0, upper: 0.0, rhs: [0.0; N] }
    }
}

/// Solves in place.
///
/// Without pivoting: every matrix in this crate is diagonally dominant or close to it. Diagonals are overwritten.
pub fn solve<const N: usize>(rows: &mut [Row<N>]) {
    for i in 1..rows.len() {
        let (before, row) = (rows[i - 1], &mut rows[i]);
        let factor = row.lower / before.diagonal;
        row.diagonal -= factor * before.upper;
        for (x, y) in row.rhs.iter_mut().zip(&before.rhs) {
            *x -= factor * y;
        }
    }
    let mut after = [0.0; N];
    for row in rows.iter_mut().rev() {
        let inverse = 1.0 / row.diagonal;
        for (x, y) in row.rhs.iter_mut().zip(&after) {
            *x = (*x - row.upper * y) * inverse;
        }
        after = row.rhs;
    }
}

#[cfg(test)]
mod tests {
    use super::{Row, solve};

    #[test]
    fn agrees_with_a_dense_solve() {
        let n = 7;
        let at = |i: usize, s: f64| (i as f64 * s).sin();
        let mut rows: Vec<Row<2>> = (0..n)
            .map(|i| Row {
                lower: at(i, 1.3),
                diagonal: 3.0 + at(i, 2.1),
                upper: at(i, 0.7),
                rhs: [at(i, 0.4), 1.0 + i as f64],
            })
            .collect();
        let mut dense = nalgebra::DMatrix::<f64>::zeros(n, n);
        for (i, row) in rows.iter().enumerate() {
            dense[(i, i)] = row.diagonal;
            if i > 0 {
                dense[(i, i - 1)] = row.lower;
            }
            if i + 1 < n {
                dense[(i, i + 1)] = row.upper;
            }
        }
        let lu = dense.lu();
        let exact = [0, 1].map(|k| {
            let b = nalgebra::DVector::from_iterator(n, rows.iter().map(|r| r.rhs[k]));
            lu.solve(&b).unwrap()
        });
        solve(&mut rows);
        for (i, row) in rows.iter().enumerate() {
            for (found, exact) in row.rhs.iter().zip(&exact) {
                approx::assert_relative_eq!(*found, exact[i], max_relative = 1e-12);
            }
        }
    }
}

//! Tridiagonal systems by the Thomas algorithm, several right-hand sides at once.

use super::components::Components;

/// One row: `lower x[i-1] + diagonal x[i] + upper x[i+1] = rhs`, for the right-hand sides in `R`.
#[derive(Clone, Copy, Debug, Default)]
pub struct Row<R> {
    /// Coefficient of the unknown before.
    pub lower: f64,
    /// Coefficient of the unknown itself.
    pub diagonal: f64,
    /// Coefficient of the unknown after.
    pub upper: f64,
    /// Right-hand sides; once solved, the unknown for each of them.
    pub rhs: R,
}

/// Solves in place.
///
/// Without pivoting: every matrix in this crate is diagonally dominant or close to it. Diagonals are overwritten.
pub fn solve<R: Components + Copy + Default>(rows: &mut [Row<R>]) {
    for i in 1..rows.len() {
        let (before, row) = (rows[i - 1], &mut rows[i]);
        let factor = row.lower / before.diagonal;
        row.diagonal -= factor * before.upper;
        row.rhs.combine(&before.rhs, &before.rhs, |x, y, _| x - factor * y);
    }
    let mut after = R::default();
    for row in rows.iter_mut().rev() {
        let inverse = 1.0 / row.diagonal;
        let upper = row.upper;
        row.rhs.combine(&after, &after, |x, y, _| (x - upper * y) * inverse);
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
        let mut rows: Vec<Row<[f64; 2]>> = (0..n)
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

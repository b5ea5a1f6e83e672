//! Tridiagonal systems by the Thomas algorithm, several right-hand sides at once.

/// Rows `lower[i] x[i-1] + diagonal[i] x[i] + upper[i] x[i+1] = rhs[i]`.
///
/// Solved without pivoting: every matrix in this crate is diagonally dominant or close to it.
/// `diagonal` is overwritten by the factors.
pub fn solve<const N: usize>(lower: &[f64], diagonal: &mut [f64], upper: &[f64], rhs: &mut [[f64; N]]) {
    let n = diagonal.len();
    for i in 1..n {
        let factor = lower[i] / diagonal[i - 1];
        diagonal[i] -= factor * upper[i - 1];
        let before = rhs[i - 1];
        for (x, y) in rhs[i].iter_mut().zip(before) {
            *x -= factor * y;
        }
    }
    let mut after = [0.0; N];
    for i in (0..n).rev() {
        for (x, y) in rhs[i].iter_mut().zip(after) {
            *x = (*x - upper[i] * y) / diagonal[i];
        }
        after = rhs[i];
    }
}

#[cfg(test)]
mod tests {
    use super::solve;

    #[test]
    fn agrees_with_a_dense_solve() {
        let n = 7;
        let at = |i: usize, s: f64| (i as f64 * s).sin();
        let lower: Vec<f64> = (0..n).map(|i| at(i, 1.3)).collect();
        let upper: Vec<f64> = (0..n).map(|i| at(i, 0.7)).collect();
        let mut diagonal: Vec<f64> = (0..n).map(|i| 3.0 + at(i, 2.1)).collect();
        let mut rhs: Vec<[f64; 2]> = (0..n).map(|i| [at(i, 0.4), 1.0 + i as f64]).collect();
        let mut dense = nalgebra::DMatrix::<f64>::zeros(n, n);
        for i in 0..n {
            dense[(i, i)] = diagonal[i];
            if i > 0 {
                dense[(i, i - 1)] = lower[i];
            }
            if i + 1 < n {
                dense[(i, i + 1)] = upper[i];
            }
        }
        let lu = dense.lu();
        for k in 0..2 {
            let b = nalgebra::DVector::from_iterator(n, rhs.iter().map(|r| r[k]));
            let x = lu.solve(&b).unwrap();
            let mut column: Vec<[f64; 1]> = rhs.iter().map(|r| [r[k]]).collect();
            solve(&lower, &mut diagonal.clone(), &upper, &mut column);
            for i in 0..n {
                approx::assert_relative_eq!(column[i][0], x[i], max_relative = 1e-12);
            }
        }
        solve(&lower, &mut diagonal, &upper, &mut rhs);
        assert!(rhs.iter().flatten().all(|x| x.is_finite()));
    }
}

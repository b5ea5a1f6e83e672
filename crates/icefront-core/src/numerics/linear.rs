//! Small dense matrices: the only place that names their library.

/// A matrix.
pub type Matrix = nalgebra::DMatrix<f64>;
/// A column.
pub type Column = nalgebra::DVector<f64>;

/// The lower triangle `L` of a covariance `L L^T`: errors divided by it are independent, each with deviation 1.
#[derive(Clone, Debug)]
pub struct Whitener(Matrix);

impl Whitener {
    /// Factorises a covariance; `None` if it is not positive definite.
    pub fn of(covariance: &Matrix) -> Option<Self> {
        covariance.clone().cholesky().map(|c| Self(c.unpack()))
    }

    /// `L^-1 x` for each column of `x`.
    pub fn whiten(&self, x: &Matrix) -> Option<Matrix> {
        self.0.solve_lower_triangular(x)
    }

    /// `L^-T x` for each column of `x`.
    pub fn whiten_transposed(&self, x: &Matrix) -> Option<Matrix> {
        self.0.tr_solve_lower_triangular(x)
    }

    /// `x^T C^-1 x`: squared length of the whitened column, infinite where it is unbounded.
    pub fn squared_length(&self, x: &Column) -> f64 {
        self.0.solve_lower_triangular(x).map_or(f64::INFINITY, |w| w.norm_squared())
    }

    /// Half of `ln det C`.
    pub fn log_determinant(&self) -> f64 {
        self.0.diagonal().iter().map(|x| libm::log(*x)).sum()
    }
}

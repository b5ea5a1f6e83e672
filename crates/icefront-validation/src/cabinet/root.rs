//! Root of a falling function in a bracket: Illinois rule, with bisection where it is slow.

/// Where to look, and how closely.
#[derive(Clone, Copy, Debug)]
pub struct Bracket {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Width at which the root counts as found.
    pub within: f64,
}

const MOST_STEPS: usize = 200;

/// Root of a function that falls; the end of the bracket nearest to it if it lies outside.
pub fn falling_root(bracket: Bracket, f: impl Fn(f64) -> f64) -> f64 {
    let Bracket { mut low, mut high, within } = bracket;
    let (mut f_low, mut f_high) = (f(low), f(high));
    if f_low <= 0.0 {
        return low;
    }
    if f_high >= 0.0 {
        return high;
    }
    // weights of the Illinois rule: an end that stays put counts half each time
    let (mut weight_low, mut weight_high) = (1.0, 1.0);
    for step in 0..MOST_STEPS {
        let (a, b) = (weight_low * f_low, weight_high * f_high);
        let x = if step % 6 == 5 { 0.5 * (low + high) } else { (low * b - high * a) / (b - a) };
        let fx = f(x);
        if fx == 0.0 || high - low <= within {
            return x;
        }
        if fx > 0.0 {
            let moved = x - low;
            (low, f_low, weight_low) = (x, fx, 1.0);
            weight_high *= 0.5;
            if moved.abs() <= within && f(x + within) <= 0.0 {
                return x;
            }
        } else {
            let moved = high - x;
            (high, f_high, weight_high) = (x, fx, 1.0);
            weight_low *= 0.5;
            if moved.abs() <= within && f(x - within) >= 0.0 {
                return x;
            }
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::{Bracket, falling_root};

    #[test]
    fn finds_the_root_or_the_nearest_end() {
        let within = 1e-12;
        let x = falling_root(Bracket { low: 0.0, high: 3.0, within }, f64::cos);
        approx::assert_abs_diff_eq!(x, std::f64::consts::FRAC_PI_2, epsilon = 1e-11);
        // steep on one side of the root, flat on the other
        let x =
            falling_root(Bracket { low: -1.0, high: 1e3, within }, |x| if x < 0.1 { 1e6 * (0.1 - x) } else { 0.1 - x });
        approx::assert_abs_diff_eq!(x, 0.1, epsilon = 1e-9);
        assert_eq!(falling_root(Bracket { low: 2.0, high: 3.0, within }, |x| 1.0 - x), 2.0);
        assert_eq!(falling_root(Bracket { low: 2.0, high: 3.0, within }, |x| 5.0 - x), 3.0);
    }
}

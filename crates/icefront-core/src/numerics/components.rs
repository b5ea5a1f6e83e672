//! Arithmetic over all numbers of a state, one by one: what a time stepper and a linear solver do to a state without
//! knowing what it is made of.

/// A fixed set of named numbers. Two of the same system have the same shape.
pub trait Components {
    /// Replaces each number `x` by `f(x, a, b)`, `a` and `b` being the corresponding numbers of the two others.
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy);

    /// Whether every number is finite.
    fn all_finite(&self) -> bool;

    /// Copies all numbers, without allocating.
    fn copy_from(&mut self, other: &Self) {
        self.combine(other, other, |_, other, _| other);
    }
}

impl Components for f64 {
    #[inline]
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
        *self = f(*self, *a, *b);
    }

    #[inline]
    fn all_finite(&self) -> bool {
        self.is_finite()
    }
}

impl<T: Components> Components for [T] {
    #[inline]
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
        for ((x, a), b) in self.iter_mut().zip(a).zip(b) {
            x.combine(a, b, f);
        }
    }

    #[inline]
    fn all_finite(&self) -> bool {
        self.iter().all(T::all_finite)
    }
}

impl<T: Components, const N: usize> Components for [T; N] {
    #[inline]
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
        self.as_mut_slice().combine(a, b, f);
    }

    #[inline]
    fn all_finite(&self) -> bool {
        self.as_slice().all_finite()
    }
}

impl<T: Components> Components for Vec<T> {
    #[inline]
    fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
        self.as_mut_slice().combine(a, b, f);
    }

    #[inline]
    fn all_finite(&self) -> bool {
        self.as_slice().all_finite()
    }
}

/// Implements [`Components`](crate::numerics::components::Components) for a struct, field by field.
#[macro_export]
macro_rules! components_by_field {
    ($name:ty { $($field:ident),+ $(,)? }) => {
        impl $crate::numerics::components::Components for $name {
            #[inline]
            fn combine(&mut self, a: &Self, b: &Self, f: impl Fn(f64, f64, f64) -> f64 + Copy) {
                $(self.$field.combine(&a.$field, &b.$field, f);)+
            }

            #[inline]
            fn all_finite(&self) -> bool {
                $(self.$field.all_finite())&&+
            }
        }
    };
}
pub use components_by_field;

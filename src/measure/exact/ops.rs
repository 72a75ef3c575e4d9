//! Sums and conversions of exact numbers.

use super::Exact;
use num_rational::BigRational;
use std::ops::{Add, Mul, Neg, Sub};

impl From<i64> for Exact {
    fn from(n: i64) -> Self {
        Self(BigRational::from_integer(n.into()))
    }
}

impl From<i32> for Exact {
    fn from(n: i32) -> Self {
        Self::from(i64::from(n))
    }
}

impl From<u64> for Exact {
    fn from(n: u64) -> Self {
        Self(BigRational::from_integer(n.into()))
    }
}

impl From<i128> for Exact {
    fn from(n: i128) -> Self {
        Self(BigRational::from_integer(n.into()))
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident) => {
        impl $trait<&Exact> for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                Exact($trait::$method(&self.0, &other.0))
            }
        }
        impl $trait<Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                $trait::$method(&self, &other)
            }
        }
        impl $trait<&Exact> for Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                $trait::$method(&self, other)
            }
        }
    };
}
operator!(Add, add);
operator!(Sub, sub);
operator!(Mul, mul);

impl Neg for Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        Exact(-self.0)
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(iter: I) -> Exact {
        iter.fold(Exact::zero(), |total, next| total + next)
    }
}

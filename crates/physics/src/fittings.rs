//! Losses of fittings.

/// Coefficients of the three-constant (3-K) method for one fitting:
/// `K = k1/Re + k_infinity (1 + kd / D_in^0.3)`, all dimensionless, with the bore `D_in` in inches.
///
/// Source: R. Darby, Chemical Engineering 106(7), 1999, p. 101 and 108(4), 2001.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)] // symbols of the equation above
pub struct ThreeK {
    pub k1: f64,
    pub k_infinity: f64,
    pub kd: f64,
}

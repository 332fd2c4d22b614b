//! Losses of fittings.

use crate::units::{Bore, EquivalentLength, Ratio};
use uom::si::{length::inch, ratio::ratio};

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

impl ThreeK {
    /// Resistance coefficient `K` of `dp = K rho v^2 / 2` at a Reynolds number (above 0) in a bore.
    ///
    /// # Example
    /// The 3-K equation worked by hand for a short threaded elbow in a 1 in bore at `Re` = 1e5: 800/1e5 + 0.14 (1 + 4).
    /// ```
    /// use physics::{fittings::ThreeK, units::{Bore, Length, Ratio, unit::{length::inch, ratio::ratio}}};
    /// let elbow = ThreeK { k1: 800.0, k_infinity: 0.14, kd: 4.0 };
    /// let k = elbow.resistance(Ratio::new::<ratio>(1e5), Bore::new(Length::new::<inch>(1.0)));
    /// assert!((k.get::<ratio>() - 0.708).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn resistance(&self, reynolds: Ratio, bore: Bore) -> Ratio {
        let in_this_bore = kernel::ThreeKInBore::new(self, bore.get().get::<inch>());
        Ratio::new::<ratio>(in_this_bore.resistance(reynolds.get::<ratio>()))
    }
}

/// Length of tube with the same loss as a resistance coefficient: `L = K D / f`.
#[must_use]
pub fn equivalent_length(resistance: Ratio, bore: Bore, friction_factor: Ratio) -> EquivalentLength {
    EquivalentLength::new(bore.get() * resistance / friction_factor)
}

pub(crate) mod kernel {
    use super::ThreeK;

    /// A fitting in one bore: the power of the bore is taken once.
    #[derive(Clone, Copy, Debug)]
    pub(crate) struct ThreeKInBore {
        k1: f64,
        turbulent: f64,
    }

    impl ThreeKInBore {
        pub(crate) fn new(coefficients: &ThreeK, bore_in: f64) -> Self {
            let ThreeK { k1, k_infinity, kd } = *coefficients;
            Self { k1, turbulent: k_infinity * (1.0 + kd / bore_in.powf(0.3)) }
        }

        pub(crate) fn resistance(&self, reynolds: f64) -> f64 {
            self.k1 / reynolds + self.turbulent
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use uom::si::length::millimeter;

    const GLOBE_VALVE: ThreeK = ThreeK { k1: 1500.0, k_infinity: 1.7, kd: 3.6 };

    /// The equation worked by hand: 1500/5e4 + 1.7 (1 + 3.6 / 2^0.3).
    #[test]
    fn resistance_falls_with_reynolds_and_with_size() {
        let at = |reynolds: f64, bore_in: f64| {
            let bore = Bore::new(crate::units::Length::new::<inch>(bore_in));
            GLOBE_VALVE.resistance(Ratio::new::<ratio>(reynolds), bore).get::<ratio>()
        };
        assert_relative_eq!(at(5e4, 2.0), 0.03 + 1.7 * (1.0 + 3.6 / 2.0_f64.powf(0.3)), max_relative = 1e-12);
        assert!(at(1e5, 2.0) < at(5e4, 2.0) && at(5e4, 3.0) < at(5e4, 2.0));
    }

    /// Technical Paper 410, problem 7.2: K = 3.6 at f = 0.015 is 240 diameters, 37.0 m of a 154 mm bore.
    #[test]
    fn equivalent_length_is_that_of_the_same_loss() {
        let bore = Bore::new(crate::units::Length::new::<millimeter>(154.0));
        let length = equivalent_length(Ratio::new::<ratio>(3.6), bore, Ratio::new::<ratio>(0.015));
        assert_relative_eq!(length.get().value, 36.96, max_relative = 1e-12);
    }
}

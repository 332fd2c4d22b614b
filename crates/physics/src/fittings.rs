//! Losses of fittings.

use crate::units::{Bore, EquivalentLength, Ratio, VolumeRate};
use thiserror::Error;
use uom::si::{
    length::{inch, millimeter},
    ratio::ratio,
};

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

/// Bores between which there is no reducer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("no reducer joins bores of {from_mm} mm and {to_mm} mm: both must be positive")]
pub struct ImpossibleReducer {
    /// Bore before it, mm.
    pub from_mm: f64,
    /// Bore behind it, mm.
    pub to_mm: f64,
}

/// Resistance coefficient of a change of bore in the direction of flow, referred to the velocity in the **smaller** bore
/// ([`referred_to`] takes it to the line's); 0 between equal bores. With `beta` the smaller bore over the larger:
///
/// - widening: `K = (1 - beta^2)^2` (J.-C. de Borda 1766 and L. Carnot: sudden enlargement, by balance of momentum);
/// - narrowing: `K = 0.5 (1 - beta^2)` (sharp edge; the form of Crane Technical Paper 410).
///
/// Both forms are from memory, with no paper opened; the first follows from momentum alone.
///
/// # Validity
/// Turbulent flow, sudden change. A brazed reducer is a short cone: it narrows with less loss, so the value is on the safe
/// side there. Widening it loses about the same from an included angle of 45° on, less below (Technical Paper 410, from
/// memory); cones near 60° were measured up to a fifth worse than a sudden step (A. H. Gibson 1910, from memory).
///
/// # Errors
/// [`ImpossibleReducer`] unless both bores are positive and finite.
///
/// # Example
/// From 20 mm to 10 mm: 0.5 (1 - 0.25); back to 20 mm: (1 - 0.25)^2.
/// ```
/// use physics::{fittings::reducer, units::{Bore, Length, unit::{length::millimeter, ratio::ratio}}};
/// let bore = |value| Bore::new(Length::new::<millimeter>(value));
/// assert!((reducer(bore(20.0), bore(10.0))?.get::<ratio>() - 0.375).abs() < 1e-12);
/// assert!((reducer(bore(10.0), bore(20.0))?.get::<ratio>() - 0.5625).abs() < 1e-12);
/// # Ok::<(), physics::fittings::ImpossibleReducer>(())
/// ```
pub fn reducer(from: Bore, to: Bore) -> Result<Ratio, ImpossibleReducer> {
    let (from_mm, to_mm) = (from.get().get::<millimeter>(), to.get().get::<millimeter>());
    if !(from_mm > 0.0 && to_mm > 0.0 && from_mm.is_finite() && to_mm.is_finite()) {
        return Err(ImpossibleReducer { from_mm, to_mm });
    }
    let area_ratio = (from_mm.min(to_mm) / from_mm.max(to_mm)).powi(2);
    let narrowed = 1.0 - area_ratio;
    Ok(Ratio::new::<ratio>(if to_mm > from_mm { narrowed * narrowed } else { 0.5 * narrowed }))
}

/// A resistance coefficient that belongs to the velocity in `bore`, as that which belongs to the velocity in `line`:
/// `K_line = K (D_line / D)^4`, the same loss at the same mass rate and density. Plain algebra, any positive bores.
///
/// ```
/// use physics::{fittings::referred_to, units::{Bore, Length, Ratio, unit::{length::millimeter, ratio::ratio}}};
/// let bore = |value| Bore::new(Length::new::<millimeter>(value));
/// let in_the_line = referred_to(Ratio::new::<ratio>(0.375), bore(10.0), bore(20.0));
/// assert!((in_the_line.get::<ratio>() - 6.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn referred_to(resistance: Ratio, bore: Bore, line: Bore) -> Ratio {
    resistance * (line.get() / bore.get()).value.powi(4)
}

/// Resistance coefficient in a bore of a part that is stated by its flow coefficient Kv, the volume rate of water (taken as
/// 1000 kg/m3) that loses 1 bar in it: `K = 2 (1e5 Pa / 1000 kg/m3) A^2 / Kv^2`, from `dp = (Q/Kv)^2 (rho / 1000 kg/m3) bar`
/// (definition of Kv in IEC 60534-1; form from memory).
///
/// A total function: a Kv of 0 is a closed valve with infinite resistance, its sign does not matter, and a Kv that is no
/// number gives a resistance that is none.
///
/// # Validity
/// Turbulent flow of constant density: liquids, and vapour where the part takes only a small share of the pressure.
///
/// # Example
/// Kv 4 m3/h in a 10 mm bore: 200 (7.854e-5 m2)^2 / (1.1111e-3 m3/s)^2.
/// ```
/// use physics::{fittings::resistance_of_flow_coefficient, units::{Bore, Length, VolumeRate, unit::{length::millimeter, ratio::ratio, volume_rate::cubic_meter_per_hour}}};
/// let bore = Bore::new(Length::new::<millimeter>(10.0));
/// let resistance = resistance_of_flow_coefficient(VolumeRate::new::<cubic_meter_per_hour>(4.0), bore);
/// assert!((resistance.get::<ratio>() - 0.9993).abs() < 1e-4);
/// ```
#[must_use]
pub fn resistance_of_flow_coefficient(flow_coefficient: VolumeRate, bore: Bore) -> Ratio {
    /// Square of the velocity that 1 bar gives to water: `2 (1e5 Pa / 1000 kg/m3)`.
    const BAR_OF_WATER_M2_S2: f64 = 200.0;
    let velocity_m_s = flow_coefficient.value / bore.area().value;
    Ratio::new::<ratio>(BAR_OF_WATER_M2_S2 / (velocity_m_s * velocity_m_s))
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
    use proptest::prelude::*;
    use uom::si::{
        pressure::{bar, pascal},
        volume_rate::{cubic_meter_per_hour, cubic_meter_per_second},
    };

    fn bore_mm(value: f64) -> Bore {
        Bore::new(crate::units::Length::new::<millimeter>(value))
    }

    fn reducer_k(from_mm: f64, to_mm: f64) -> f64 {
        reducer(bore_mm(from_mm), bore_mm(to_mm)).unwrap().get::<ratio>()
    }

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
        let bore = bore_mm(154.0);
        let length = equivalent_length(Ratio::new::<ratio>(3.6), bore, Ratio::new::<ratio>(0.015));
        assert_relative_eq!(length.get().value, 36.96, max_relative = 1e-12);
    }
    /// By hand, 3/4 of the bore: beta^2 = 0.5625, so 0.4375^2 and 0.5 x 0.4375.
    #[test]
    fn reducers_worked_by_hand() {
        assert_relative_eq!(reducer_k(15.0, 20.0), 0.191_406_25, max_relative = 1e-12);
        assert_relative_eq!(reducer_k(20.0, 15.0), 0.218_75, max_relative = 1e-12);
        assert_eq!(reducer_k(20.0, 20.0), 0.0);
    }

    #[test]
    fn no_reducer_without_two_bores() {
        for (from_mm, to_mm) in
            [(0.0, 10.0), (10.0, 0.0), (-1.0, 10.0), (f64::NAN, 10.0), (10.0, f64::INFINITY)]
        {
            assert!(reducer(bore_mm(from_mm), bore_mm(to_mm)).is_err(), "{from_mm} {to_mm}");
        }
        let refused = reducer(bore_mm(10.0), bore_mm(-2.0)).unwrap_err();
        assert_eq!(refused.to_string(), "no reducer joins bores of 10 mm and -2 mm: both must be positive");
    }

    /// The definition turned round: water at the rate Kv through the K loses 1 bar.
    #[test]
    fn water_at_the_flow_coefficient_loses_one_bar() {
        for (kv_m3_h, of_bore_mm) in [(0.4, 4.8), (2.1, 7.9), (4.0, 10.0), (63.0, 50.4)] {
            let (kv, bore) = (VolumeRate::new::<cubic_meter_per_hour>(kv_m3_h), bore_mm(of_bore_mm));
            let velocity_m_s = kv.get::<cubic_meter_per_second>() / bore.area().value;
            let k = resistance_of_flow_coefficient(kv, bore).get::<ratio>();
            let drop = crate::units::Pressure::new::<pascal>(k * 1000.0 * velocity_m_s * velocity_m_s / 2.0);
            assert_relative_eq!(drop.get::<bar>(), 1.0, max_relative = 1e-12);
        }
        let closed = VolumeRate::new::<cubic_meter_per_hour>(0.0);
        assert_eq!(resistance_of_flow_coefficient(closed, bore_mm(10.0)).get::<ratio>(), f64::INFINITY);
    }

    proptest! {
        #[test]
        fn a_reducer_loses_less_than_the_whole_velocity_and_more_the_more_it_changes(
            small in 4.0..50.0_f64, wider in 1.001..5.0_f64, more in 1.001..2.0_f64,
        ) {
            let large = small * wider;
            for (k, k_of_more, most) in [
                (reducer_k(small, large), reducer_k(small, large * more), 1.0),
                (reducer_k(large, small), reducer_k(large * more, small), 0.5),
            ] {
                prop_assert!(0.0 < k && k < k_of_more && k_of_more < most);
            }
        }

        #[test]
        fn referring_there_and_back_changes_nothing(k in 0.0..10.0_f64, a in 4.0..100.0_f64, b in 4.0..100.0_f64) {
            let there = referred_to(Ratio::new::<ratio>(k), bore_mm(a), bore_mm(b));
            let back = referred_to(there, bore_mm(b), bore_mm(a)).get::<ratio>();
            prop_assert!((back - k).abs() <= 1e-12 * k);
            prop_assert!((there.get::<ratio>() > k) == (b > a) || k == 0.0);
        }

        /// The same part in a line of twice the bore has sixteen times the resistance coefficient: as a reference to it.
        #[test]
        fn a_flow_coefficient_goes_with_the_fourth_power_of_the_bore(kv in 0.1..100.0_f64, of_bore in 4.0..50.0_f64) {
            let kv = VolumeRate::new::<cubic_meter_per_hour>(kv);
            let of = |mm| resistance_of_flow_coefficient(kv, bore_mm(mm));
            let referred = referred_to(of(of_bore), bore_mm(of_bore), bore_mm(2.0 * of_bore)).get::<ratio>();
            prop_assert!((of(2.0 * of_bore).get::<ratio>() / referred - 1.0).abs() < 1e-12);
        }
    }
}

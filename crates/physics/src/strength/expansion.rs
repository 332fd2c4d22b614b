//! Growth of hot legs, and how a route takes it up.

use super::{StrengthError, TubeMaterial, not_negative, positive};
use crate::units::{Length, OutsideDiameter, Pressure, Ratio, TemperatureInterval};
use uom::si::{length::meter, ratio::ratio, temperature_interval::kelvin};

/// Free growth of a tube: `e = alpha L dT`; negative when it cools.
///
/// ```
/// use physics::{strength::expansion::free_expansion, units::{Length, TemperatureCoefficient, TemperatureInterval, unit::{length::{foot, inch}, temperature_coefficient::per_kelvin, temperature_interval::degree_fahrenheit}}};
/// // 9.4e-6 per °F: 1.128 in on 100 ft and 100 °F (Copper Tube Handbook).
/// let copper = TemperatureCoefficient::new::<per_kelvin>(9.4e-6 * 1.8);
/// let growth = free_expansion(Length::new::<foot>(100.0), copper, TemperatureInterval::new::<degree_fahrenheit>(100.0));
/// assert!((growth.get::<inch>() - 1.128).abs() < 1e-9);
/// ```
#[must_use]
pub fn free_expansion(
    length: Length,
    expansion: crate::units::TemperatureCoefficient,
    warming: TemperatureInterval,
) -> Length {
    length * (expansion.value * warming.get::<kelvin>())
}

/// Developed length of a loop or offset that takes up a growth: `L = sqrt(3 E D e / S)`, a guided cantilever whose bending
/// stress `3 E D e / L^2` reaches the allowable `S` (Copper Tube Handbook; constants from memory). A cantilever with a free
/// end would get by with 29 % less: the two must not be mixed.
///
/// # Errors
/// [`StrengthError::NotPositive`]; a growth of either sign counts by its size.
///
/// # Example
/// 1-1/8 in OD, 35.3 mm of growth, E = 17e6 psi and S = 6000 psi: 2.93 m.
/// ```
/// use physics::{strength::expansion::loop_length, units::{Length, OutsideDiameter, Pressure, unit::{length::{meter, millimeter}, pressure::psi}}};
/// let outside = OutsideDiameter::new(Length::new::<millimeter>(28.575));
/// let developed = loop_length(outside, Length::new::<millimeter>(35.28), Pressure::new::<psi>(17e6), Pressure::new::<psi>(6000.0))?;
/// assert!((developed.get::<meter>() - 2.93).abs() < 0.005);
/// # Ok::<(), physics::strength::StrengthError>(())
/// ```
pub fn loop_length(
    outside: OutsideDiameter,
    growth: Length,
    modulus: Pressure,
    stress: Pressure,
) -> Result<Length, StrengthError> {
    let outside_m = positive("outside diameter", outside.get().value)?;
    let growth_m = not_negative("size of the growth", growth.value.abs())?;
    let strain =
        positive("allowable stress", stress.value)? / positive("modulus of elasticity", modulus.value)?;
    Ok(Length::new::<meter>((3.0 * outside_m * growth_m / strain).sqrt()))
}

/// One straight leg of a route whose both ends are anchored; the next leg leaves it at a right angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Length, which grows with heat.
    pub length: Length,
    /// Length that can bend sideways, from its turns to the first clamp that holds it sideways; at most `length`.
    pub free: Length,
}

/// How the legs beside one take up its growth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegFlexibility {
    /// Growth of the leg.
    pub growth: Length,
    /// Greatest bending stress in the legs beside it over the allowable stress; `None` without a leg beside it.
    pub utilisation: Option<Ratio>,
    /// Developed length of the loop or offset to add; `None` where the turns suffice.
    pub loop_length: Option<Length>,
}

/// Whether the turns of a route take up the growth of its legs, leg by leg.
///
/// Each leg pushes on the legs beside it, guided cantilevers over their free lengths. Between two of them it moves until
/// both push back alike, so the growth is shared as the cubes of their free lengths: the longer one takes more. A leg
/// between two growing ones bears both displacements, which adds them whichever way the turns go (safe side). Where the
/// bending stress of a neighbour, `3 E D e / L^2`, exceeds the allowable stress, an extra loop for the whole growth of the
/// leg is asked for. Standard bending of beams; no torsion, so a turn out of the plane is judged on the safe side too.
///
/// # Errors
/// [`StrengthError::NotPositive`] unless every length, free length (at most the length) and constant is positive.
pub fn flexibility(
    legs: &[Leg],
    outside: OutsideDiameter,
    warming: TemperatureInterval,
    material: &TubeMaterial,
    stress: Pressure,
) -> Result<Vec<LegFlexibility>, StrengthError> {
    let mut lengths_m = Vec::with_capacity(legs.len());
    for leg in legs {
        let length_m = positive("length of a leg", leg.length.value)?;
        let free_m = positive("free length of a leg", leg.free.value)?;
        if free_m > length_m {
            return Err(StrengthError::NotPositive {
                what: "clamped length of a leg",
                value: length_m - free_m,
            });
        }
        lengths_m.push(free_m);
    }
    let growths: Vec<_> =
        legs.iter().map(|leg| free_expansion(leg.length, material.expansion, warming)).collect();
    let bent_m = kernel::displacements_m(
        &growths.iter().map(|growth| growth.value.abs()).collect::<Vec<_>>(),
        &lengths_m,
    );
    let mut used = Vec::with_capacity(legs.len());
    for (bent_m, free_m) in bent_m.iter().zip(&lengths_m) {
        let needed = loop_length(outside, Length::new::<meter>(*bent_m), material.modulus, stress)?;
        used.push((needed.value / free_m).powi(2));
    }
    let judge = |(leg, growth): (usize, &Length)| {
        let utilisation = kernel::beside(leg, legs.len()).map(|beside| used[beside]).reduce(f64::max);
        let suffices = utilisation.map_or(growth.value == 0.0, |used| used <= 1.0);
        let extra =
            if suffices { None } else { Some(loop_length(outside, *growth, material.modulus, stress)?) };
        Ok(LegFlexibility {
            growth: *growth,
            utilisation: utilisation.map(Ratio::new::<ratio>),
            loop_length: extra,
        })
    };
    growths.iter().enumerate().map(judge).collect()
}

mod kernel {
    /// The legs beside one.
    pub(super) fn beside(leg: usize, count: usize) -> impl Iterator<Item = usize> {
        let after = leg + 1;
        leg.checked_sub(1).into_iter().chain((after < count).then_some(after))
    }

    /// How far each leg is bent by the legs beside it.
    pub(super) fn displacements_m(growths_m: &[f64], free_m: &[f64]) -> Vec<f64> {
        let mut bent_m = vec![0.0; free_m.len()];
        for (leg, growth_m) in growths_m.iter().enumerate() {
            let yielding: f64 = beside(leg, free_m.len()).map(|beside| free_m[beside].powi(3)).sum();
            for neighbour in beside(leg, free_m.len()) {
                bent_m[neighbour] += growth_m * free_m[neighbour].powi(3) / yielding;
            }
        }
        bent_m
    }
}

#[cfg(test)]
mod tests {
    use super::{super::material::tests::copper, *};
    use proptest::prelude::*;
    use uom::si::{length::millimeter, pressure::psi};

    fn route(legs_m: &[f64], warming_k: f64) -> Vec<LegFlexibility> {
        let legs: Vec<_> = legs_m
            .iter()
            .map(|length_m| Leg {
                length: Length::new::<meter>(*length_m),
                free: Length::new::<meter>(*length_m),
            })
            .collect();
        flexibility(
            &legs,
            OutsideDiameter::new(Length::new::<millimeter>(28.575)),
            TemperatureInterval::new::<kelvin>(warming_k),
            &copper(),
            Pressure::new::<psi>(6000.0),
        )
        .unwrap()
    }

    #[test]
    fn a_straight_route_between_anchors_needs_a_loop() {
        let straight = route(&[30.0], 70.0);
        assert_eq!(straight[0].utilisation, None);
        approx::assert_relative_eq!(straight[0].loop_length.unwrap().value, 2.93, max_relative = 2e-3);
        assert_eq!(route(&[30.0], 0.0)[0].loop_length, None);
    }

    #[test]
    fn a_long_leg_is_taken_up_by_a_leg_of_the_loops_length_beside_it() {
        // An L: the short leg bends by all of the growth, and its own growth bends the long one hardly.
        assert!(route(&[30.0, 2.95], 70.0)[0].loop_length.is_none());
        let short = route(&[30.0, 2.0], 70.0);
        approx::assert_relative_eq!(short[0].loop_length.unwrap().value, 2.93, max_relative = 2e-3);
        assert!(short[1].loop_length.is_none());
        // Two legs beside it of which each alone is too short.
        assert!(route(&[2.2, 30.0, 2.2], 70.0)[1].loop_length.is_none());
    }

    #[test]
    fn a_leg_between_two_growing_ones_bears_both() {
        assert!(route(&[30.0, 2.95, 30.0], 70.0)[0].loop_length.is_some());
        let both = route(&[30.0, 2.95, 30.0], 70.0)[0].utilisation.unwrap();
        approx::assert_relative_eq!(
            both.value,
            2.0 * route(&[30.0, 2.95], 70.0)[0].utilisation.unwrap().value,
            max_relative = 1e-9
        );
    }

    #[test]
    fn a_leg_freer_than_long_is_refused() {
        let leg = Leg { length: Length::new::<meter>(1.0), free: Length::new::<meter>(2.0) };
        let outside = OutsideDiameter::new(Length::new::<millimeter>(28.575));
        let warming = TemperatureInterval::new::<kelvin>(70.0);
        let refused = flexibility(&[leg], outside, warming, &copper(), Pressure::new::<psi>(6000.0));
        assert!(matches!(refused, Err(StrengthError::NotPositive { .. })), "{refused:?}");
    }

    proptest! {
        #[test]
        fn hotter_never_needs_less(
            legs in proptest::collection::vec(0.3..40.0_f64, 1..6), cold_k in 0.0..100.0_f64, hotter_k in 0.0..100.0_f64,
        ) {
            let (cold, hot) = (route(&legs, cold_k), route(&legs, cold_k + hotter_k));
            for (cold, hot) in cold.iter().zip(&hot) {
                let metres = |leg: &LegFlexibility| leg.loop_length.map_or(0.0, |length| length.value);
                prop_assert!(metres(hot) >= metres(cold) * (1.0 - 1e-12));
            }
        }
    }
}

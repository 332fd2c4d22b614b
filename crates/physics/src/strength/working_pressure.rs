//! Working pressure of a tube.

use super::{StrengthError, not_negative, positive};
use crate::{
    outcome::{Caveats, Method, Outcome},
    tube::Tube,
    units::{GaugePressure, Length, Pressure, ThermodynamicTemperature},
};
use uom::si::{
    length::millimeter,
    pressure::pascal,
    thermodynamic_temperature::{degree_celsius, kelvin},
};

/// Temper of a tube.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Temper {
    /// Soft (R220).
    Annealed,
    /// Half-hard (R250).
    HalfHard,
    /// Hard (R290), drawn.
    Drawn,
}

/// How tubes are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// Brazed (or welded): the heat anneals the tube beside the joint.
    Brazed,
    /// Flared, pressed or clamped: the temper stays.
    Mechanical,
}

impl Temper {
    /// The temper that counts once the tube is joined: annealed when brazed (Copper Tube Handbook, footnote to the rated
    /// internal working pressures).
    #[must_use]
    pub fn joined_by(self, joint: Joint) -> Self {
        match joint {
            Joint::Brazed => Self::Annealed,
            Joint::Mechanical => self,
        }
    }
}

/// Rules by which a working pressure is computed. They differ by up to a quarter: a number goes with its basis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Basis {
    /// `P = 2 S t / (D - 0.8 t)`.
    American,
    /// `P = 2 F t / (D - t)`.
    European,
}

/// How far dimensions may deviate to the weak side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// By which the wall may be thinner.
    pub wall: Length,
    /// By which the outside diameter may be greater.
    pub outside: Length,
}

/// Allowable stress of one temper over temperature, on straight lines between the stated points.
#[derive(Clone, Debug, PartialEq)]
pub struct StressCurve {
    /// K and Pa.
    points: Vec<(f64, f64)>,
}

impl StressCurve {
    /// From stated points in the order of temperature.
    ///
    /// # Errors
    /// [`StrengthError::NoCurve`] without points, at temperatures that do not rise, or at stresses that are not
    /// positive or rise with temperature.
    pub fn new(
        points: impl IntoIterator<Item = (ThermodynamicTemperature, Pressure)>,
    ) -> Result<Self, StrengthError> {
        let points: Vec<_> = points
            .into_iter()
            .map(|(temperature, stress)| (temperature.get::<kelvin>(), stress.get::<pascal>()))
            .collect();
        let good = points.iter().all(|(at_k, stress_pa)| at_k.is_finite() && *stress_pa > 0.0)
            && points.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 >= pair[1].1);
        if good && !points.is_empty() { Ok(Self { points }) } else { Err(StrengthError::NoCurve) }
    }

    /// Lowest and highest temperature stated.
    #[must_use]
    pub fn range(&self) -> (ThermodynamicTemperature, ThermodynamicTemperature) {
        let (low_k, high_k) = self.ends_k();
        (ThermodynamicTemperature::new::<kelvin>(low_k), ThermodynamicTemperature::new::<kelvin>(high_k))
    }

    fn ends_k(&self) -> (f64, f64) {
        (self.points[0].0, self.points[self.points.len() - 1].0)
    }

    /// Allowable stress at a temperature. A line colder than the table is rated at the table's lowest temperature by
    /// asking for that: stress never grows with temperature.
    ///
    /// # Errors
    /// [`StrengthError::StressTemperature`] outside the stated temperatures.
    pub fn at(&self, temperature: ThermodynamicTemperature) -> Result<Pressure, StrengthError> {
        let at_k = temperature.get::<kelvin>();
        // A temperature converted to kelvin and back may miss the end of the table by a last digit.
        let (low_k, high_k) = self.ends_k();
        let inside_k = at_k.clamp(low_k, high_k);
        if at_k.is_nan() || (at_k - inside_k).abs() > 1e-9 {
            let celsius = |value_k| ThermodynamicTemperature::new::<kelvin>(value_k).get::<degree_celsius>();
            let (value_c, low_c, high_c) = (celsius(at_k), celsius(low_k), celsius(high_k));
            return Err(StrengthError::StressTemperature { value_c, low_c, high_c });
        }
        let above = self.points.partition_point(|(point_k, _)| *point_k < inside_k);
        let (warm_k, warm_pa) = self.points[above];
        let stress_pa = match above.checked_sub(1).map(|below| self.points[below]) {
            None => warm_pa,
            Some((cold_k, cold_pa)) => {
                cold_pa + (warm_pa - cold_pa) * (inside_k - cold_k) / (warm_k - cold_k)
            }
        };
        Ok(Pressure::new::<pascal>(stress_pa))
    }
}

/// Working pressure of a tube, above the pressure around it.
///
/// - [`Basis::American`]: `P = 2 S t / (D - 0.8 t)` with the least wall `t` and the greatest outside diameter `D` (Copper
///   Tube Handbook, rated internal working pressures; ASME B31.5 504.1 with y = 0.4, joint efficiency 1 and no corrosion
///   allowance, from memory).
/// - [`Basis::European`]: `P[bar] = 20 F t / (D - t)`, t and D in mm, F in N/mm2 (copper association, EN 1057 tube).
///
/// `stress` is the allowable stress of the temper that counts ([`Temper::joined_by`]) at the line's temperature
/// ([`StressCurve::at`]); nominal dimensions are rated with a tolerance of zero. Bends are not thinned.
///
/// # Errors
/// [`StrengthError::NoWallLeft`] where the tolerance uses up the wall; [`StrengthError::NotPositive`].
///
/// # Example
/// 1/2 in OD coil, annealed, at 100 °F: 727 psi (Copper Tube Handbook, from memory).
/// ```
/// use physics::{strength::*, tube::Tube, units::{Length, OutsideDiameter, Pressure, unit::{length::inch, pressure::psi}}};
/// let inches = Length::new::<inch>;
/// let coil = Tube::new(OutsideDiameter::new(inches(0.5)), inches(0.032))?;
/// let tolerance = Tolerance { wall: inches(0.003), outside: inches(0.002) };
/// let rated = working_pressure(Basis::American, &coil, tolerance, Pressure::new::<psi>(6000.0))?;
/// assert!((rated.value.get().get::<psi>() - 727.0).abs() < 1.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn working_pressure(
    basis: Basis,
    tube: &Tube,
    tolerance: Tolerance,
    stress: Pressure,
) -> Result<Outcome<GaugePressure>, StrengthError> {
    let stress_pa = positive("allowable stress", stress.get::<pascal>())?;
    let thinner_m = not_negative("tolerance of the wall", tolerance.wall.value)?;
    let larger_m = not_negative("tolerance of the outside diameter", tolerance.outside.value)?;
    let (outside_m, wall_m) = (tube.outside().get().value + larger_m, tube.wall().value - thinner_m);
    if wall_m <= 0.0 {
        return Err(StrengthError::NoWallLeft {
            wall_mm: tube.wall().get::<millimeter>(),
            tolerance_mm: tolerance.wall.get::<millimeter>(),
        });
    }
    let (inward, method) = match basis {
        Basis::American => (0.8, Method::WorkingPressureAmerican),
        Basis::European => (1.0, Method::WorkingPressureEuropean),
    };
    let pressure_pa = 2.0 * stress_pa * wall_m / (outside_m - inward * wall_m);
    Ok(Outcome {
        value: GaugePressure::new(Pressure::new::<pascal>(pressure_pa)),
        method,
        caveats: Caveats::default(),
    })
}

#[cfg(test)]
mod tests {
    use super::{super::material::tests::tube, *};
    use proptest::prelude::*;
    use uom::si::{pressure::psi, thermodynamic_temperature::degree_fahrenheit};

    fn fahrenheit(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_fahrenheit>(value)
    }

    fn annealed() -> StressCurve {
        let stated = [(100.0, 6000.0), (150.0, 5100.0), (200.0, 4900.0), (250.0, 4800.0), (300.0, 4700.0)];
        StressCurve::new(stated.map(|(at, stress)| (fahrenheit(at), Pressure::new::<psi>(stress)))).unwrap()
    }

    fn rated_pa(basis: Basis, outside_mm: f64, wall_mm: f64, tolerance_mm: f64, at: f64) -> f64 {
        let tolerance = Tolerance {
            wall: Length::new::<millimeter>(tolerance_mm),
            outside: Length::new::<millimeter>(tolerance_mm),
        };
        let stress = annealed().at(fahrenheit(at)).unwrap();
        working_pressure(basis, &tube(outside_mm, wall_mm), tolerance, stress).unwrap().value.get().value
    }

    #[test]
    fn stress_is_read_on_straight_lines_between_the_points_and_nowhere_else() {
        let stress = |at| annealed().at(fahrenheit(at)).map(|stress| stress.get::<psi>());
        approx::assert_relative_eq!(stress(100.0).unwrap(), 6000.0, max_relative = 1e-9);
        approx::assert_relative_eq!(stress(125.0).unwrap(), 5550.0, max_relative = 1e-9);
        approx::assert_relative_eq!(stress(300.0).unwrap(), 4700.0, max_relative = 1e-9);
        for outside in [99.9, 300.1, f64::NAN] {
            assert!(matches!(stress(outside), Err(StrengthError::StressTemperature { .. })), "{outside}");
        }
        let told = stress(68.0).unwrap_err().to_string();
        assert_eq!(told, "no allowable stress is stated at 20.0 °C, only from 37.8 to 148.9 °C");
    }

    #[test]
    fn a_curve_needs_points_that_rise_in_temperature_and_never_in_stress() {
        let curve = |points: &[(f64, f64)]| {
            StressCurve::new(
                points.iter().map(|(at, stress)| (fahrenheit(*at), Pressure::new::<psi>(*stress))),
            )
        };
        for points in [&[][..], &[(100.0, 0.0)], &[(100.0, 6e3), (100.0, 5e3)], &[(100.0, 5e3), (150.0, 6e3)]]
        {
            assert_eq!(curve(points), Err(StrengthError::NoCurve), "{points:?}");
        }
        assert!(curve(&[(149.0, 8e3)]).is_ok());
    }

    #[test]
    fn brazing_anneals() {
        for temper in [Temper::Annealed, Temper::HalfHard, Temper::Drawn] {
            assert_eq!(temper.joined_by(Joint::Brazed), Temper::Annealed);
            assert_eq!(temper.joined_by(Joint::Mechanical), temper);
        }
    }

    #[test]
    fn a_wall_within_its_tolerance_is_refused() {
        let tolerance =
            Tolerance { wall: Length::new::<millimeter>(0.8), outside: Length::new::<millimeter>(0.0) };
        let refused =
            working_pressure(Basis::American, &tube(12.0, 0.8), tolerance, Pressure::new::<psi>(6000.0));
        assert!(matches!(refused, Err(StrengthError::NoWallLeft { .. })), "{refused:?}");
        let none = Tolerance { wall: Length::new::<millimeter>(0.0), ..tolerance };
        let refused = working_pressure(Basis::American, &tube(12.0, 0.8), none, Pressure::new::<psi>(0.0));
        assert!(matches!(refused, Err(StrengthError::NotPositive { .. })), "{refused:?}");
    }

    proptest! {
        #[test]
        fn a_thicker_wall_bears_more_and_a_hotter_one_never_more(
            outside_mm in 6.0..110.0_f64, share in 0.02..0.2_f64, thicker in 1.001..1.5_f64,
            cold in 100.0..300.0_f64, hotter in 0.0..200.0_f64,
        ) {
            for basis in [Basis::American, Basis::European] {
                let wall_mm = outside_mm * share;
                let rated = |wall_mm: f64, at: f64| rated_pa(basis, outside_mm, wall_mm, 0.05, at.min(300.0));
                prop_assert!(rated(wall_mm * thicker, cold) > rated(wall_mm, cold));
                prop_assert!(rated(wall_mm, cold + hotter) <= rated(wall_mm, cold) * (1.0 + 1e-12));
            }
        }
    }
}

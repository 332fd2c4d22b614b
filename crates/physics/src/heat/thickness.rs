//! Least insulation: against sweating, against gain, against burns.

use super::{
    Conditions, Conductivity, HeatError, Insulation, Pipe, Quantity, Surface, exchange, positive, rise_along,
    within,
};
use crate::{
    outcome::{Caveats, Method, Outcome},
    root,
    units::{
        HeatTransfer, Length, LinearPowerDensity, MassRate, OutsideDiameter, SpecificHeatCapacity,
        TemperatureInterval, ThermalConductivity, ThermodynamicTemperature, delta,
    },
};
use uom::si::{length::meter, thermodynamic_temperature::kelvin};

/// Thinnest wrap that [`least_for`] considers.
const THINNEST_M: f64 = 1e-4;
/// How finely [`least_for`] looks for the first thickness that does.
const LOOKS: u32 = 48;

/// Answer to how thick insulation has to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LeastThickness {
    /// The bare tube does.
    NoneNeeded,
    /// This much, or more.
    AtLeast(Length),
    /// Not even the thickest that was asked about.
    NotReachedWithin(Length),
}

/// What insulation has to achieve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Requirement {
    /// Surface at or above this: no sweat, with the dew point ([`super::moisture::dew_point`]) and a margin.
    SurfaceAtLeast(ThermodynamicTemperature),
    /// Surface at or below this: no burn at a touch.
    SurfaceAtMost(ThermodynamicTemperature),
    /// Heat into the fluid at or below this (negative: it has to give off).
    HeatIntoFluidAtMost(LinearPowerDensity),
    /// The fluid, liquid or gas of one specific heat capacity, warms at most so much along a run.
    RiseAtMost {
        /// Greatest rise of its temperature.
        rise: TemperatureInterval,
        /// Length of the run.
        run: Length,
        /// Mass rate.
        mass_rate: MassRate,
        /// Specific heat capacity.
        specific_heat: SpecificHeatCapacity,
    },
}

/// Radius beyond which more insulation carries less heat: `k/h` of a cylinder with a constant outside coefficient.
///
/// # Errors
/// [`HeatError::OutsideRange`] unless both are positive.
pub fn critical_radius(
    conductivity: ThermalConductivity,
    outside: HeatTransfer,
) -> Result<Length, HeatError> {
    let conductivity_w_m_k = positive(Quantity::Conductivity, conductivity.value)?;
    let film_w_m2_k = positive(Quantity::FilmCoefficient, outside.value)?;
    Ok(Length::new::<meter>(conductivity_w_m_k / film_w_m2_k))
}

/// Least insulation without sweat at a given outside coefficient:
/// `r_o ln(r_o/r_i) >= (k/h)(T_dew - T_tube)/(T_air - T_dew)`, solved for `r_o`.
///
/// The cylinder form of ASTM C680 and ISO 12241 (not opened). The tube is taken to be as cold as its fluid. Use a low
/// coefficient: 6 W/(m² K) stands for still air in a corner. [`least_for`] computes the coefficient instead.
///
/// # Errors
/// [`HeatError::OutsideRange`] unless the conductivity, the coefficient and the size are positive, and the dew point is not
/// above the air.
///
/// # Example
/// 5/8 in tube at -10 °C in air of 30 °C and 80 % (dew point 26.2 °C), 0.036 W/(m K), 9 W/(m² K): 21.1 mm.
/// ```
/// use physics::{heat::{moisture::dew_point, thickness::{LeastThickness, least_without_sweat}}, units::{*, unit::{length::{inch, meter, millimeter}, ratio::ratio, thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::degree_celsius, heat_transfer::watt_per_square_meter_kelvin}}};
/// let air = ThermodynamicTemperature::new::<degree_celsius>(30.0);
/// let least = least_without_sweat(
///     OutsideDiameter::new(Length::new::<inch>(0.625)), ThermodynamicTemperature::new::<degree_celsius>(-10.0), air,
///     dew_point(air, Ratio::new::<ratio>(0.8)).unwrap().value, ThermalConductivity::new::<watt_per_meter_kelvin>(0.036),
///     HeatTransfer::new::<watt_per_square_meter_kelvin>(9.0), Length::new::<meter>(0.1),
/// ).unwrap().value;
/// let LeastThickness::AtLeast(thickness) = least else { panic!("{least:?}") };
/// assert!((thickness.get::<millimeter>() - 21.14).abs() < 0.02);
/// ```
pub fn least_without_sweat(
    outside: OutsideDiameter,
    tube: ThermodynamicTemperature,
    air: ThermodynamicTemperature,
    dew_point: ThermodynamicTemperature,
    conductivity: ThermalConductivity,
    coefficient: HeatTransfer,
    thickest: Length,
) -> Result<Outcome<LeastThickness>, HeatError> {
    let radius_m = 0.5 * positive(Quantity::OutsideDiameter, outside.get().value)?;
    let critical_m = critical_radius(conductivity, coefficient)?.value;
    let thickest_m = positive(Quantity::Thickness, thickest.value)?;
    let dew_k = within(Quantity::DewPoint, dew_point.get::<kelvin>(), 0.0, air.get::<kelvin>())?;
    let tube_k = within(Quantity::FluidTemperature, tube.get::<kelvin>(), 0.0, f64::MAX)?;
    let value = if tube_k >= dew_k {
        LeastThickness::NoneNeeded
    } else {
        // Saturated air asks for endless insulation: the quotient is infinite.
        let sought_m = critical_m * (dew_k - tube_k) / delta(air, dew_point).value;
        let gap = |thickness_m: f64| (radius_m + thickness_m) * (thickness_m / radius_m).ln_1p() - sought_m;
        if gap(thickest_m) >= 0.0 {
            let ends = [(0.0, gap(0.0)), (thickest_m, gap(thickest_m))];
            let thickness_m =
                root::bracketed(ends, 1e-9, |thickness_m| Ok::<_, HeatError>(gap(thickness_m)))?;
            LeastThickness::AtLeast(Length::new::<meter>(thickness_m))
        } else {
            LeastThickness::NotReachedWithin(thickest)
        }
    };
    Ok(Outcome { value, method: Method::Cylinder, caveats: Caveats::default() })
}

/// Least insulation of one material that meets a requirement, with everything that [`exchange()`] takes into account.
///
/// `bare` is looked at first, its own insulation removed; `material` and `jacket` are what would be wrapped around it. A
/// thin wrap can carry more than none (below the [`critical_radius`], or black over bright copper): the answer is the
/// first thickness that does, from 0.1 mm up, good to 1 µm. A first answer of 0.1 mm says that the finish does it.
///
/// # Errors
/// Those of [`exchange()`] and [`rise_along`]; a thickest of 0.1 mm or less, or above 1 m.
pub fn least_for(
    requirement: Requirement,
    bare: &Pipe,
    material: Conductivity,
    jacket: Surface,
    conditions: &Conditions,
    thickest: Length,
) -> Result<Outcome<LeastThickness>, HeatError> {
    let thickest_m = within(Quantity::Thickness, thickest.value, THINNEST_M, 1.0)?;
    let mut caveats = Caveats::default();
    let mut margin_of = |pipe: &Pipe| {
        let outcome = exchange(pipe, conditions)?;
        caveats = outcome.caveats;
        let found = outcome.value;
        Ok::<f64, HeatError>(match requirement {
            Requirement::SurfaceAtLeast(least) => delta(found.surface, least).value,
            Requirement::SurfaceAtMost(most) => delta(most, found.surface).value,
            Requirement::HeatIntoFluidAtMost(most) => (most - found.heat_into_fluid).value,
            Requirement::RiseAtMost { rise, run, mass_rate, specific_heat } => {
                let most_k = within(Quantity::TemperatureDifference, rise.value, 0.0, f64::MAX)?;
                most_k - rise_along(&found.linear, conditions.fluid, run, mass_rate, specific_heat)?.value
            }
        })
    };
    let bare_margin = margin_of(&Pipe { insulation: None, ..*bare })?;
    let value = if bare_margin >= 0.0 {
        LeastThickness::NoneNeeded
    } else {
        let mut wrapped = |thickness_m: f64| {
            let insulation =
                Insulation { thickness: Length::new::<meter>(thickness_m), conductivity: material };
            margin_of(&Pipe { insulation: Some(insulation), surface: jacket, ..*bare })
        };
        first_that_does(thickest_m, &mut wrapped)?
            .map_or(LeastThickness::NotReachedWithin(thickest), |thickness_m| {
                LeastThickness::AtLeast(Length::new::<meter>(thickness_m))
            })
    };
    Ok(Outcome { value, method: Method::HeatExchange, caveats })
}

fn first_that_does(
    thickest_m: f64,
    margin: &mut impl FnMut(f64) -> Result<f64, HeatError>,
) -> Result<Option<f64>, HeatError> {
    let mut before = (THINNEST_M, margin(THINNEST_M)?);
    if before.1 >= 0.0 {
        return Ok(Some(THINNEST_M));
    }
    let growth = (thickest_m / THINNEST_M).powf(1.0 / f64::from(LOOKS));
    for look in 1..=LOOKS {
        let thickness_m = if look == LOOKS { thickest_m } else { before.0 * growth };
        let here = (thickness_m, margin(thickness_m)?);
        if here.1 >= 0.0 {
            return root::bracketed([before, here], 1e-7, margin).map(Some);
        }
        before = here;
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        heat::{Stand, Surroundings, moisture::dew_point},
        tube::Tube,
        units::{AbsolutePressure, Ratio},
    };
    use proptest::prelude::*;
    use uom::si::{
        heat_transfer::watt_per_square_meter_kelvin, length::millimeter, mass_rate::kilogram_per_second,
        ratio::ratio, specific_heat_capacity::joule_per_kilogram_kelvin, temperature_interval,
        thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::degree_celsius,
    };

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn millimetres(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn surface(emissivity: f64, absorptance: f64) -> Surface {
        Surface { emissivity: Ratio::new::<ratio>(emissivity), absorptance: Ratio::new::<ratio>(absorptance) }
    }

    fn bare(outside_mm: f64) -> Pipe {
        Pipe {
            tube: Tube::new(OutsideDiameter::new(millimetres(outside_mm)), millimetres(0.8)).unwrap(),
            wall_conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(339.0),
            insulation: None,
            surface: surface(0.4, 0.5),
            stand: Stand::Level,
        }
    }

    fn elastomer() -> Conductivity {
        Conductivity::constant(ThermalConductivity::new::<watt_per_meter_kelvin>(0.039))
    }

    fn conditions(fluid_c: f64, air_c: f64) -> Conditions {
        Conditions {
            fluid: celsius(fluid_c),
            film: HeatTransfer::new::<watt_per_square_meter_kelvin>(800.0),
            surroundings: Surroundings::still(celsius(air_c), AbsolutePressure::from_pascal(101_325.0)),
        }
    }

    fn least(requirement: Requirement, fluid_c: f64, air_c: f64, thickest_mm: f64) -> LeastThickness {
        let jacket = surface(0.9, 0.92);
        let conditions = conditions(fluid_c, air_c);
        least_for(requirement, &bare(15.9), elastomer(), jacket, &conditions, millimetres(thickest_mm))
            .unwrap()
            .value
    }

    fn rise_at_most(rise_k: f64) -> Requirement {
        Requirement::RiseAtMost {
            rise: TemperatureInterval::new::<temperature_interval::kelvin>(rise_k),
            run: Length::new::<meter>(30.0),
            mass_rate: MassRate::new::<kilogram_per_second>(0.04),
            specific_heat: SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(1500.0),
        }
    }

    #[test]
    fn says_that_none_is_needed_or_that_the_thickest_does_not_do() {
        assert_eq!(
            least(Requirement::SurfaceAtLeast(celsius(20.0)), 25.0, 30.0, 50.0),
            LeastThickness::NoneNeeded
        );
        assert_eq!(
            least(Requirement::SurfaceAtLeast(celsius(29.9)), -10.0, 30.0, 50.0),
            LeastThickness::NotReachedWithin(millimetres(50.0))
        );
        assert_eq!(least(rise_at_most(10.0), 35.0, 55.0, 50.0), LeastThickness::NoneNeeded);
        assert_eq!(
            least(rise_at_most(0.0), 35.0, 55.0, 50.0),
            LeastThickness::NotReachedWithin(millimetres(50.0))
        );
        assert_eq!(
            least(rise_at_most(0.0), 55.0, 35.0, 50.0),
            LeastThickness::NoneNeeded,
            "cooling is no rise"
        );
        let burns = Requirement::SurfaceAtMost(celsius(65.0));
        assert!(matches!(least(burns, 90.0, 30.0, 50.0), LeastThickness::AtLeast(_)));
        assert_eq!(least(burns, 60.0, 30.0, 50.0), LeastThickness::NoneNeeded);
    }

    #[test]
    fn the_answer_just_does() {
        let jacket = surface(0.9, 0.92);
        let humid = dew_point(celsius(30.0), Ratio::new::<ratio>(0.8)).unwrap().value;
        let no_sweat = Requirement::SurfaceAtLeast(humid);
        let LeastThickness::AtLeast(thickness) = least(no_sweat, -10.0, 30.0, 100.0) else { panic!() };
        let with = |off_mm: f64| {
            let thickness = thickness + millimetres(off_mm);
            let insulation = Some(Insulation { thickness, conductivity: elastomer() });
            let wrapped = Pipe { insulation, surface: jacket, ..bare(15.9) };
            exchange(&wrapped, &conditions(-10.0, 30.0)).unwrap().value.above_dew_point(humid).value
        };
        assert!(with(0.01) > 0.0 && with(-0.01) < 0.0, "{} {}", with(0.01), with(-0.01));
        let LeastThickness::AtLeast(for_rise) = least(rise_at_most(2.0), 35.0, 55.0, 50.0) else { panic!() };
        let insulation = Some(Insulation { thickness: for_rise, conductivity: elastomer() });
        let wrapped = Pipe { insulation, surface: jacket, ..bare(15.9) };
        let linear = exchange(&wrapped, &conditions(35.0, 55.0)).unwrap().value.linear;
        let Requirement::RiseAtMost { run, mass_rate, specific_heat, .. } = rise_at_most(2.0) else {
            panic!()
        };
        let rise = rise_along(&linear, celsius(35.0), run, mass_rate, specific_heat).unwrap().value;
        assert!((rise - 2.0).abs() < 1e-4, "{rise}");
    }

    #[test]
    fn refuses_a_dew_point_above_the_air_and_other_nonsense() {
        let sweat = |dew_c: f64, conductivity: f64, thickest_mm: f64| {
            least_without_sweat(
                OutsideDiameter::new(millimetres(15.9)),
                celsius(-10.0),
                celsius(30.0),
                celsius(dew_c),
                ThermalConductivity::new::<watt_per_meter_kelvin>(conductivity),
                HeatTransfer::new::<watt_per_square_meter_kelvin>(9.0),
                millimetres(thickest_mm),
            )
        };
        assert!(sweat(31.0, 0.036, 50.0).is_err());
        assert!(sweat(f64::NAN, 0.036, 50.0).is_err());
        assert!(sweat(25.0, 0.0, 50.0).is_err());
        assert!(sweat(25.0, 0.036, -1.0).is_err());
        let saturated = sweat(30.0, 0.036, 50.0).unwrap().value;
        assert_eq!(saturated, LeastThickness::NotReachedWithin(millimetres(50.0)));
        assert_eq!(sweat(-10.0, 0.036, 50.0).unwrap().value, LeastThickness::NoneNeeded);
        let jacket = surface(0.9, 0.92);
        let (requirement, conditions) = (rise_at_most(1.0), conditions(35.0, 55.0));
        assert!(
            least_for(requirement, &bare(15.9), elastomer(), jacket, &conditions, millimetres(0.0)).is_err()
        );
    }

    proptest! {
        #[test]
        fn damper_air_never_asks_for_less(outside_mm in 6.0..60.0_f64, tube_c in -40.0..15.0_f64, dew_c in 16.0..28.0_f64, damper in 0.0..1.5_f64) {
            let least = |dew_c: f64| least_without_sweat(
                OutsideDiameter::new(millimetres(outside_mm)), celsius(tube_c), celsius(30.0), celsius(dew_c),
                ThermalConductivity::new::<watt_per_meter_kelvin>(0.039), HeatTransfer::new::<watt_per_square_meter_kelvin>(6.0), millimetres(500.0),
            ).unwrap().value;
            let (LeastThickness::AtLeast(dry), LeastThickness::AtLeast(damp)) = (least(dew_c), least(dew_c + damper)) else { panic!() };
            prop_assert!(damp.value >= dry.value - 2e-9);
        }
    }
}

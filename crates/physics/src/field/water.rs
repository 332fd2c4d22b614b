//! Water at the head, and the drain away from it.
//!
//! Codes about potable water are local: the type of the backflow device, reducing valves and air gaps come in as arguments.

use super::{FieldError, plain};
use crate::{
    friction::friction_pressure_drop,
    outcome::{Method, Outcome},
    range::within,
    units::{
        Bore, DynamicViscosity, GaugePressure, Length, MassDensity, Pressure, Ratio, STANDARD_GRAVITY_M_S2,
        ThermodynamicTemperature, Velocity, VolumeRate,
    },
};
use uom::si::{
    dynamic_viscosity::pascal_second, length::meter, mass_density::kilogram_per_cubic_meter,
    pressure::pascal, ratio::ratio, thermodynamic_temperature::degree_celsius,
    volume_rate::cubic_meter_per_second,
};

/// Density of water at atmospheric pressure, 0 °C to 60 °C: G. S. Kell, J. Chem. Eng. Data 20, 1975 (coefficients from memory;
/// it gives the 998.21 kg/m³ at 20 °C of every table).
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn water_density(temperature: ThermodynamicTemperature) -> Result<Outcome<MassDensity>, FieldError> {
    let density_kg_m3 = kernel::density_kg_m3(water_c(temperature)?);
    Ok(plain(MassDensity::new::<kilogram_per_cubic_meter>(density_kg_m3), Method::WaterSupply))
}

/// Viscosity of water at atmospheric pressure, 0 °C to 60 °C: IAPWS, properties of liquid water at 0.1 MPa, 2008 (coefficients
/// from memory; it gives the 1.0016 mPa s at 20 °C of every table).
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn water_viscosity(
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<DynamicViscosity>, FieldError> {
    let viscosity_pa_s = kernel::viscosity_pa_s(water_c(temperature)?);
    Ok(plain(DynamicViscosity::new::<pascal_second>(viscosity_pa_s), Method::WaterSupply))
}

/// A supply tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterTube {
    /// Bore: "3/8 in" is 0.430 in as nominal type L and 0.311 in as outside diameter, and friction differs five-fold.
    pub bore: Bore,
    /// Length with fittings as tube.
    pub length: Length,
    /// Roughness of the wall.
    pub roughness: Length,
}

/// What a flow does in a supply tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterFlow {
    /// Pressure lost by friction.
    pub friction: Pressure,
    /// Velocity.
    pub velocity: Velocity,
}

/// Friction of water in a tube: Darcy-Weisbach with the Colebrook factor ([`friction_pressure_drop`]).
///
/// # Errors
/// [`FieldError::OutOfRange`] for water outside 0 °C to 60 °C, a bore outside 1 to 300 mm, a length outside 0 to 10 km, a flow
/// outside 0 to 1 m³/s.
///
/// # Example
/// 2 gpm of water at 60 °F in 100 ft of 1/2 in type L, bore 0.545 in: 3.45 psi.
/// ```
/// use physics::{field::water::{WaterTube, water_flow}, units::{*, unit::{length::{foot, inch, micrometer}, pressure::psi, thermodynamic_temperature::degree_fahrenheit, volume_rate::gallon_per_minute}}};
/// let tube = WaterTube {
///     bore: Bore::new(Length::new::<inch>(0.545)),
///     length: Length::new::<foot>(100.0),
///     roughness: Length::new::<micrometer>(1.5),
/// };
/// let (flow, water) = (VolumeRate::new::<gallon_per_minute>(2.0), ThermodynamicTemperature::new::<degree_fahrenheit>(60.0));
/// let found = water_flow(&tube, flow, water)?.value;
/// assert!((found.friction.get::<psi>() - 3.451).abs() < 0.003);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn water_flow(
    tube: &WaterTube,
    flow: VolumeRate,
    water: ThermodynamicTemperature,
) -> Result<Outcome<WaterFlow>, FieldError> {
    let bore_m = within("bore of the water tube (m)", tube.bore.get().get::<meter>(), 1e-3, 0.3)?;
    within("length of the water tube (m)", tube.length.get::<meter>(), 0.0, 1e4)?;
    within("roughness of the water tube (m)", tube.roughness.get::<meter>(), 0.0, 0.05 * bore_m)?;
    within("flow of water (m3/s)", flow.get::<cubic_meter_per_second>(), 0.0, 1.0)?;
    let density = water_density(water)?.value;
    let velocity: Velocity = flow / tube.bore.area();
    let reynolds: Ratio = density * velocity * tube.bore.get() / water_viscosity(water)?.value;
    let drop = friction_pressure_drop(tube.length, tube.bore, tube.roughness, density, velocity, reynolds);
    let value = WaterFlow { friction: drop.value, velocity };
    Ok(Outcome { value, method: Method::WaterSupply, caveats: drop.caveats })
}

/// Water from the main to the head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterSupply {
    /// Lowest pressure of the main, for flowing water.
    pub main_least: GaugePressure,
    /// Highest pressure of the main, or what a reducing valve lets through, for standing water.
    pub main_most: GaugePressure,
    /// Height of the head above the point where the main is measured; negative below it.
    pub rise: Length,
    /// Friction of the tubes at the flow of the fill valve ([`water_flow`]).
    pub friction: Pressure,
    /// Drop of the filter at that flow, from its sheet: dirty.
    pub filter: Pressure,
    /// Drop of the backflow device at that flow, from its sheet.
    pub backflow: Pressure,
    /// Temperature of the water.
    pub water: ThermodynamicTemperature,
}

/// Pressures that a head takes, from its nameplate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressureWindow {
    /// Least while water flows.
    pub least: GaugePressure,
    /// Greatest while it stands.
    pub most: GaugePressure,
}

/// Pressures at the head, against its window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadPressure {
    /// While water stands.
    pub standing: GaugePressure,
    /// While it flows.
    pub flowing: GaugePressure,
    /// Whether it is too low while it flows.
    pub too_low: bool,
    /// Whether it is too high while it stands: a reducing valve is missing.
    pub too_high: bool,
}

/// Pressure at the head, standing and flowing: the main less height, and less friction, filter and backflow device.
///
/// # Errors
/// [`FieldError::OutOfRange`] for pressures outside 0 to 2 MPa (most at least least), a rise outside -200 to 200 m, drops outside 0 to
/// 2 MPa.
pub fn head_pressure(
    supply: &WaterSupply,
    window: &PressureWindow,
) -> Result<Outcome<HeadPressure>, FieldError> {
    let drop_pa = |what, drop: Pressure| within(what, drop.get::<pascal>(), 0.0, 2e6);
    let least_pa = drop_pa("lowest pressure of the main (Pa)", supply.main_least.get())?;
    let most_pa =
        within("highest pressure of the main (Pa)", supply.main_most.get().get::<pascal>(), least_pa, 2e6)?;
    let window_least_pa = drop_pa("least pressure at the head (Pa)", window.least.get())?;
    let window_most_pa = within(
        "greatest pressure at the head (Pa)",
        window.most.get().get::<pascal>(),
        window_least_pa,
        2e6,
    )?;
    let rise_m = within("rise to the head (m)", supply.rise.get::<meter>(), -200.0, 200.0)?;
    let density_kg_m3 = water_density(supply.water)?.value.get::<kilogram_per_cubic_meter>();
    let height_pa = density_kg_m3 * STANDARD_GRAVITY_M_S2 * rise_m;
    let lost_pa = drop_pa("friction of the water tubes (Pa)", supply.friction)?
        + drop_pa("drop of the filter (Pa)", supply.filter)?
        + drop_pa("drop of the backflow device (Pa)", supply.backflow)?;
    let (standing_pa, flowing_pa) = (most_pa - height_pa, least_pa - height_pa - lost_pa);
    let gauge = |pa| GaugePressure::new(Pressure::new::<pascal>(pa));
    let value = HeadPressure {
        standing: gauge(standing_pa),
        flowing: gauge(flowing_pa),
        too_low: flowing_pa < window_least_pa,
        too_high: standing_pa > window_most_pa,
    };
    Ok(plain(value, Method::WaterSupply))
}

/// Roughness of a drain in Manning's formula, s/m^(1/3): 0.009 to 0.011 for plastic and copper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ManningRoughness(f64);

impl ManningRoughness {
    /// From s/m^(1/3), 0.005 to 0.05.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`].
    pub fn from_second_per_cube_root_metre(n: f64) -> Result<Self, FieldError> {
        Ok(Self(within("Manning's roughness (s/m^(1/3))", n, 0.005, 0.05)?))
    }
}

/// What a drain carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrainCapacity {
    /// Half full: what it is sized for, so that air passes above the water.
    pub half_full: VolumeRate,
    /// Full.
    pub full: VolumeRate,
}

/// What a sloping round drain carries: Manning, `Q = A/n Rh^(2/3) S^(1/2)` with a quarter of the bore as hydraulic radius, full and
/// half full alike.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a bore outside 5 to 500 mm or a slope outside 0.1 % to 20 %.
pub fn drain_capacity(
    bore: Bore,
    slope: Ratio,
    roughness: ManningRoughness,
) -> Result<Outcome<DrainCapacity>, FieldError> {
    let bore_m = within("bore of the drain (m)", bore.get().get::<meter>(), 0.005, 0.5)?;
    let slope = within("slope of the drain", slope.get::<ratio>(), 0.001, 0.2)?;
    let area_m2 = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
    let full_m3_s = area_m2 / roughness.0 * (0.25 * bore_m).powf(2.0 / 3.0) * slope.sqrt();
    let rate = VolumeRate::new::<cubic_meter_per_second>;
    Ok(plain(DrainCapacity { half_full: rate(0.5 * full_m3_s), full: rate(full_m3_s) }, Method::Manning))
}

/// Least air gap above a receptor: a number of bores of the opening, and no less than a length. Both are the code's.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a bore outside 1 to 500 mm, a factor outside 1 to 10, a length outside 0 to 1 m.
pub fn least_air_gap(opening: Bore, bores: Ratio, least: Length) -> Result<Length, FieldError> {
    let bore_m = within("bore of the opening (m)", opening.get().get::<meter>(), 1e-3, 0.5)?;
    let bores = within("air gap in bores", bores.get::<ratio>(), 1.0, 10.0)?;
    let least_m = within("least air gap (m)", least.get::<meter>(), 0.0, 1.0)?;
    Ok(Length::new::<meter>((bores * bore_m).max(least_m)))
}

fn water_c(temperature: ThermodynamicTemperature) -> Result<f64, FieldError> {
    // A hair below 0 °C: the rounding of 32 °F.
    Ok(within("temperature of the water (°C)", temperature.get::<degree_celsius>(), -1e-9, 60.0)?)
}

mod kernel {
    pub(super) fn density_kg_m3(c: f64) -> f64 {
        let above = 999.839_52
            + c * (16.945_176
                + c * (-7.987_040_1e-3 + c * (-46.170_461e-6 + c * (105.563_02e-9 - c * 280.542_53e-12))));
        above / (1.0 + 16.879_850e-3 * c)
    }

    pub(super) fn viscosity_pa_s(c: f64) -> f64 {
        let t = (c + 273.15) / 300.0;
        let terms = [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.459_03, -40.0)];
        1e-6 * terms.iter().map(|(factor, power)| factor * t.powf(*power)).sum::<f64>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outcome::Caveat;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        length::{foot, inch, millimeter},
        pressure::psi,
        ratio::percent,
        velocity::meter_per_second,
    };

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn psig(value: f64) -> GaugePressure {
        GaugePressure::new(Pressure::new::<psi>(value))
    }

    /// Density and viscosity as tables print them (from memory).
    #[test]
    fn water_is_that_of_the_tables() {
        for (c, density_kg_m3, viscosity_mpa_s) in [
            (0.0, 999.84, 1.7916),
            (4.0, 999.975, 1.5673),
            (20.0, 998.207, 1.0016),
            (25.0, 997.047, 0.8900),
            (60.0, 983.20, 0.4660),
        ] {
            let density = water_density(celsius(c)).unwrap().value.get::<kilogram_per_cubic_meter>();
            assert_relative_eq!(density, density_kg_m3, max_relative = 1e-5);
            let viscosity = 1e3 * water_viscosity(celsius(c)).unwrap().value.get::<pascal_second>();
            assert_relative_eq!(viscosity, viscosity_mpa_s, max_relative = 1e-3);
        }
    }

    fn tube(bore_mm: f64) -> WaterTube {
        WaterTube {
            bore: Bore::new(Length::new::<millimeter>(bore_mm)),
            length: Length::new::<meter>(30.0),
            roughness: Length::new::<meter>(1.5e-6),
        }
    }

    fn flow(bore_mm: f64, litres_per_minute: f64) -> Outcome<WaterFlow> {
        let rate = VolumeRate::new::<cubic_meter_per_second>(litres_per_minute / 60e3);
        water_flow(&tube(bore_mm), rate, celsius(15.0)).unwrap()
    }

    #[test]
    fn a_trickle_is_laminar_and_no_flow_loses_nothing() {
        let trickle = flow(13.84, 0.5);
        assert!(trickle.caveats.has(Caveat::LaminarFlow));
        // Hagen-Poiseuille: 128 eta L Q/(pi d^4).
        let viscosity = water_viscosity(celsius(15.0)).unwrap().value.get::<pascal_second>();
        let expected = 128.0 * viscosity * 30.0 * 0.5 / 60e3 / (std::f64::consts::PI * 0.013_84_f64.powi(4));
        assert_relative_eq!(trickle.value.friction.get::<pascal>(), expected, max_relative = 1e-9);
        assert_eq!(flow(13.84, 0.0).value.friction.get::<pascal>(), 0.0);
        let velocity = flow(10.0, 6.0).value.velocity.get::<meter_per_second>();
        assert_relative_eq!(velocity, 1e-4 / (std::f64::consts::FRAC_PI_4 * 1e-4), max_relative = 1e-12);
    }

    fn supply(main_least: f64, main_most: f64) -> WaterSupply {
        WaterSupply {
            main_least: psig(main_least),
            main_most: psig(main_most),
            rise: Length::new::<foot>(30.0),
            friction: Pressure::new::<psi>(3.0),
            filter: Pressure::new::<psi>(10.0),
            backflow: Pressure::new::<psi>(8.0),
            water: celsius(15.0),
        }
    }

    #[test]
    fn a_head_is_judged_at_its_worst_on_both_sides() {
        let window = PressureWindow { least: psig(10.0), most: psig(80.0) };
        let head = |least, most| head_pressure(&supply(least, most), &window).unwrap().value;
        let good = head(50.0, 90.0);
        assert!(!good.too_low && !good.too_high);
        assert_relative_eq!(good.standing.get().get::<psi>(), 77.0, epsilon = 0.02);
        assert_relative_eq!(good.flowing.get().get::<psi>(), 16.0, epsilon = 0.02);
        assert!(head(40.0, 90.0).too_low && !head(40.0, 90.0).too_high);
        assert!(!head(50.0, 95.0).too_low && head(50.0, 95.0).too_high);
        // Below the main both are higher.
        let cellar = WaterSupply { rise: Length::new::<foot>(-30.0), ..supply(50.0, 60.0) };
        let cellar = head_pressure(&cellar, &window).unwrap().value;
        assert_relative_eq!(cellar.standing.get().get::<psi>(), 73.0, epsilon = 0.02);
    }

    #[test]
    fn an_air_gap_is_the_larger_of_two() {
        let gap = |bore_in| {
            let opening = Bore::new(Length::new::<inch>(bore_in));
            let bores = Ratio::new::<ratio>(2.0);
            least_air_gap(opening, bores, Length::new::<inch>(1.0)).map(|gap| gap.get::<inch>())
        };
        assert_relative_eq!(gap(0.311).unwrap(), 1.0, max_relative = 1e-12);
        assert_relative_eq!(gap(0.75).unwrap(), 1.5, max_relative = 1e-12);
        assert!(gap(0.0).is_err());
    }

    #[test]
    fn refuses_what_is_no_water_and_no_drain() {
        for c in [-1.0, 61.0, f64::NAN] {
            assert!(water_density(celsius(c)).is_err() && water_viscosity(celsius(c)).is_err());
        }
        let rate = VolumeRate::new::<cubic_meter_per_second>(1e-4);
        assert!(water_flow(&tube(0.1), rate, celsius(15.0)).is_err());
        assert!(water_flow(&tube(10.0), -rate, celsius(15.0)).is_err());
        let rough = WaterTube { roughness: Length::new::<meter>(0.001), ..tube(10.0) };
        assert!(water_flow(&rough, rate, celsius(15.0)).is_err());
        let window = PressureWindow { least: psig(10.0), most: psig(80.0) };
        for poor in [
            supply(60.0, 50.0),
            supply(-1.0, 50.0),
            WaterSupply { rise: Length::new::<meter>(f64::NAN), ..supply(50.0, 60.0) },
            WaterSupply { filter: Pressure::new::<psi>(-1.0), ..supply(50.0, 60.0) },
            WaterSupply { water: celsius(90.0), ..supply(50.0, 60.0) },
        ] {
            assert!(head_pressure(&poor, &window).is_err(), "{poor:?}");
        }
        let upside_down = PressureWindow { least: psig(80.0), most: psig(10.0) };
        assert!(head_pressure(&supply(50.0, 60.0), &upside_down).is_err());
        assert!(ManningRoughness::from_second_per_cube_root_metre(0.0).is_err());
        let roughness = ManningRoughness::from_second_per_cube_root_metre(0.011).unwrap();
        let (bore, slope) = (Bore::new(Length::new::<inch>(1.0)), Ratio::new::<percent>(2.0));
        assert!(drain_capacity(bore, Ratio::new::<percent>(0.0), roughness).is_err());
        assert!(drain_capacity(Bore::new(Length::new::<inch>(0.0)), slope, roughness).is_err());
    }

    proptest! {
        #[test]
        fn more_flow_loses_more_and_a_wider_tube_less(bore_mm in 6.0..30.0_f64, flow_l_min in 1.0..30.0_f64) {
            let lost = |bore_mm, flow_l_min| flow(bore_mm, flow_l_min).value.friction;
            prop_assert!(lost(bore_mm, 1.1 * flow_l_min) > lost(bore_mm, flow_l_min));
            prop_assert!(lost(1.1 * bore_mm, flow_l_min) < lost(bore_mm, flow_l_min));
        }

        #[test]
        fn a_steeper_or_wider_drain_carries_more(bore_mm in 10.0..100.0_f64, slope in 0.005..0.1_f64) {
            let roughness = ManningRoughness::from_second_per_cube_root_metre(0.011).unwrap();
            let carried = |bore_mm, slope| {
                let bore = Bore::new(Length::new::<millimeter>(bore_mm));
                drain_capacity(bore, Ratio::new::<ratio>(slope), roughness).unwrap().value
            };
            let one = carried(bore_mm, slope);
            prop_assert!(carried(1.1 * bore_mm, slope).full > one.full);
            let steeper = (carried(bore_mm, 1.44 * slope).half_full / one.half_full).get::<ratio>();
            prop_assert!((steeper - 1.2).abs() < 1e-12);
            prop_assert_eq!(2.0 * one.half_full, one.full);
        }
    }
}

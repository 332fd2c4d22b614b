//! Limits that a charge meets: rooms, rules about leaks and warming, cylinders.
//!
//! Law changes and differs by place: limits come in as arguments, with their date and grade beside them where they are kept.

use super::{FieldError, GAS_CONSTANT_J_MOL_K, molar_mass_kg_mol, plain};
use crate::{
    fluid::Refrigerant,
    outcome::{Caveat, Caveats, Method, Outcome},
    range::{OutOfRange, within},
    units::{BubbleTemperature, Mass, MassDensity, MolarMass, Ratio, ThermodynamicTemperature, Time, Volume},
};
use uom::si::{
    mass::kilogram, mass_density::kilogram_per_cubic_meter, ratio::ratio,
    thermodynamic_temperature::degree_celsius, time::day, volume::cubic_meter,
};

/// Where concentration limits are stated: 25 °C, 101.325 kPa.
const LIMIT_K: f64 = 298.15;
const LIMIT_PA: f64 = 101_325.0;
/// Density of water at 77 °F, the reference of specific gravity there, kg/m³.
const WATER_KG_M3: f64 = 997.045;
/// Fill of a recovery cylinder with liquid at 77 °F, as share of its volume.
const FILL: f64 = 0.8;
/// Within this of the end of the saturation data densities are not good, K.
const NEAR_CRITICAL_K: f64 = 15.0;

/// A concentration limit by mass from one by volume: `RCL = x M p/(R T)` at 25 °C and 101.325 kPa. Tables round to two digits: 2 to
/// 4 % between the two are normal.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a share outside 0 to 1.
pub fn limit_by_mass(by_volume: Ratio, molar_mass: MolarMass) -> Result<Outcome<MassDensity>, FieldError> {
    let share = within("concentration limit by volume", by_volume.get::<ratio>(), 0.0, 1.0)?;
    let gas_kg_m3 = molar_mass_kg_mol(molar_mass)? * LIMIT_PA / (GAS_CONSTANT_J_MOL_K * LIMIT_K);
    let limit = MassDensity::new::<kilogram_per_cubic_meter>(share * gas_kg_m3);
    Ok(plain(limit, Method::ConcentrationLimit))
}

/// A charge in a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concentration {
    /// Whole charge over the volume of the room.
    pub found: MassDensity,
    /// Limit with its factor.
    pub allowed: MassDensity,
    /// Found over allowed: passes up to 1.
    pub share: Ratio,
    /// Greatest charge that passes.
    pub greatest_charge: Mass,
}

/// Concentration if the whole charge of one independent circuit leaks into the smallest occupied space that it can reach:
/// `m/(V RCL f) <= 1`.
///
/// The charge includes what was added for the lines; of several circuits the largest counts. A room that lines only pass
/// through is one that it can reach; add only space that is always open to it. The factor is 1, or 0.5 for institutions (from
/// memory).
///
/// # Errors
/// [`FieldError::OutOfRange`] for a charge outside 0 to 100 t, a room outside 0.1 m³ to 1e6 m³, a limit outside 1e-4 to 10 kg/m³, a
/// factor outside 0.1 to 1.
pub fn concentration(
    charge: Mass,
    room: Volume,
    limit: MassDensity,
    factor: Ratio,
) -> Result<Outcome<Concentration>, FieldError> {
    let charge_kg = mass_kg("charge (kg)", charge)?;
    let room_m3 = within("volume of the room (m3)", room.get::<cubic_meter>(), 0.1, 1e6)?;
    let limit_kg_m3 =
        within("concentration limit (kg/m3)", limit.get::<kilogram_per_cubic_meter>(), 1e-4, 10.0)?;
    let factor = within("factor of the concentration limit", factor.get::<ratio>(), 0.1, 1.0)?;
    let (found, allowed) = (charge_kg / room_m3, limit_kg_m3 * factor);
    let value = Concentration {
        found: MassDensity::new::<kilogram_per_cubic_meter>(found),
        allowed: MassDensity::new::<kilogram_per_cubic_meter>(allowed),
        share: Ratio::new::<ratio>(found / allowed),
        greatest_charge: Mass::new::<kilogram>(allowed * room_m3),
    };
    Ok(plain(value, Method::ConcentrationLimit))
}

/// Leak rate, of the full charge a year: `(added/full) 365/min(days since the last addition, 365)`. One method for a whole site;
/// whether the rule speaks of the equipment at all is its owner's call.
///
/// # Errors
/// [`FieldError::OutOfRange`] for an addition outside 0 to 100 t, a full charge outside 1 g to 100 t, less than a day.
///
/// # Example
/// 1.5 lb into 20 lb after 120 days: 22.8 % a year.
/// ```
/// use physics::{field::charge_limit::leak_rate_of_year, units::{Mass, Time, unit::{mass::pound, ratio::percent, time::day}}};
/// let pounds = Mass::new::<pound>;
/// let rate = leak_rate_of_year(pounds(1.5), pounds(20.0), Time::new::<day>(120.0))?.value;
/// assert!((rate.get::<percent>() - 22.81).abs() < 0.005);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn leak_rate_of_year(added: Mass, full: Mass, since_last: Time) -> Result<Outcome<Ratio>, FieldError> {
    let added_kg = mass_kg("refrigerant added (kg)", added)?;
    let full_kg = within("full charge (kg)", full.get::<kilogram>(), 1e-3, 1e5)?;
    let days = within("time since the last addition (days)", since_last.get::<day>(), 1.0, 36_525.0)?;
    let rate = added_kg / full_kg * (365.0 / days.min(365.0));
    Ok(plain(Ratio::new::<ratio>(rate), Method::LeakRateOfYear))
}

/// Carbon dioxide that warms as much as a charge over 100 years: `m GWP` (definition), with the set of warming potentials that the
/// rule at hand names.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a charge outside 0 to 100 t or a warming potential outside 0 to 30 000.
pub fn carbon_dioxide_equivalent(charge: Mass, warming_potential: Ratio) -> Result<Mass, FieldError> {
    let charge_kg = mass_kg("charge (kg)", charge)?;
    let potential = within("warming potential", warming_potential.get::<ratio>(), 0.0, 30_000.0)?;
    Ok(Mass::new::<kilogram>(charge_kg * potential))
}

/// Charge that warms as much as a mass of carbon dioxide: [`carbon_dioxide_equivalent`] turned round.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a mass outside 0 to 1e9 kg or a warming potential outside 0.01 to 30 000.
pub fn charge_of_equivalent(equivalent: Mass, warming_potential: Ratio) -> Result<Mass, FieldError> {
    let equivalent_kg = within("carbon dioxide (kg)", equivalent.get::<kilogram>(), 0.0, 1e9)?;
    let potential = within("warming potential", warming_potential.get::<ratio>(), 0.01, 30_000.0)?;
    Ok(Mass::new::<kilogram>(equivalent_kg / potential))
}

/// Fill of a recovery cylinder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CylinderFill {
    /// Most refrigerant.
    pub net: Mass,
    /// What the scale then shows.
    pub gross: Mass,
}

/// Most refrigerant in a recovery cylinder: `W = 0.8 WC SG`, gross with its tare, from the stamped water capacity. The older
/// `0.8 WC` is unsafe where the liquid is lighter than water.
///
/// It is a fill at 77 °F: [`hot_liquid_share`] says what becomes of it in a hot van.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a water capacity outside 0.1 to 2000 kg, a tare outside 0 to 2000 kg, a specific gravity
/// outside 0.3 to 2.
pub fn cylinder_fill(
    water_capacity: Mass,
    tare: Mass,
    specific_gravity: Ratio,
) -> Result<Outcome<CylinderFill>, FieldError> {
    let water_kg = within("water capacity (kg)", water_capacity.get::<kilogram>(), 0.1, 2000.0)?;
    let tare_kg = within("tare of the cylinder (kg)", tare.get::<kilogram>(), 0.0, 2000.0)?;
    let gravity = within("specific gravity", specific_gravity.get::<ratio>(), 0.3, 2.0)?;
    let net_kg = FILL * water_kg * gravity;
    let mass = Mass::new::<kilogram>;
    Ok(plain(CylinderFill { net: mass(net_kg), gross: mass(net_kg + tare_kg) }, Method::CylinderFill))
}

/// Specific gravity of the saturated (bubble) liquid at 77 °F against water at 77 °F.
///
/// # Errors
/// [`FieldError::Properties`].
pub fn specific_gravity(fluid: &dyn Refrigerant) -> Result<Outcome<Ratio>, FieldError> {
    let (density_kg_m3, caveats) = liquid(fluid, ThermodynamicTemperature::new::<degree_celsius>(25.0))?;
    let value = Ratio::new::<ratio>(density_kg_m3 / WATER_KG_M3);
    Ok(Outcome { value, method: Method::CylinderFill, caveats })
}

/// Share of a cylinder that is liquid once 80 % at 77 °F have warmed up: `0.8 rho(77 °F)/rho(hot)`, which must stay below 1. At 1 the
/// cylinder is full, and the pressure rises as it likes.
///
/// # Errors
/// [`FieldError::Properties`] outside the saturation data: such a temperature is too hot to judge.
pub fn hot_liquid_share(
    fluid: &dyn Refrigerant,
    hot: ThermodynamicTemperature,
) -> Result<Outcome<Ratio>, FieldError> {
    let (filled, mut caveats) = liquid(fluid, ThermodynamicTemperature::new::<degree_celsius>(25.0))?;
    let (warm, more) = liquid(fluid, hot)?;
    caveats.merge(more);
    Ok(Outcome { value: Ratio::new::<ratio>(FILL * filled / warm), method: Method::CylinderFill, caveats })
}

fn liquid(
    fluid: &dyn Refrigerant,
    temperature: ThermodynamicTemperature,
) -> Result<(f64, Caveats), FieldError> {
    let state = fluid.at_bubble(BubbleTemperature::new(temperature))?;
    let mut caveats = Caveats::default();
    if fluid.distance_to_last_saturation(state.pressure)? < NEAR_CRITICAL_K {
        caveats.add(Caveat::NearCritical);
    }
    Ok((state.density.get::<kilogram_per_cubic_meter>(), caveats))
}

/// Ceiling of the charge of a flammable refrigerant by its class, as one edition of a standard for self-contained appliances has
/// it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ApplianceRule {
    /// Volume that the lower flammability limit is multiplied with: 13 m³, or 8 m³ for closed appliances in the US.
    pub multiplier: Volume,
    /// What it is capped at: 1.2 kg for classes A2 and A2L, nothing for A3.
    pub cap: Option<Mass>,
}

/// A factory-sealed appliance that holds its whole circuit: no line leaves it, nothing is joined in the field.
///
/// The ceilings of flammable charges are those of such appliances. A set with lines is none: for it ASHRAE 15, ISO 5149,
/// EN 378 and the listing of the equipment decide, and no ceiling follows from here. What describes such lines is not taken:
/// ```compile_fail
/// use physics::{charge::LineCharge, field::charge_limit::{ApplianceRule, appliance_ceiling}};
/// fn ceiling(lines: &LineCharge, rule: &ApplianceRule) {
///     let _ = appliance_ceiling(lines, rule);
/// }
/// ```
/// ```compile_fail
/// use physics::{field::charge_limit::{ApplianceRule, appliance_ceiling}, line::Line};
/// fn ceiling(line: &Line, rule: &ApplianceRule) {
///     let _ = appliance_ceiling(line, rule);
/// }
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SelfContainedAppliance {
    lower_flammability_limit_kg_m3: f64,
}

impl SelfContainedAppliance {
    /// An appliance with a refrigerant of this lower flammability limit, at 25 °C and 101.3 kPa.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`] for a limit outside 0.01 to 1 kg/m³.
    pub fn factory_sealed(lower_flammability_limit: MassDensity) -> Result<Self, FieldError> {
        let limit = lower_flammability_limit.get::<kilogram_per_cubic_meter>();
        let lower_flammability_limit_kg_m3 = within("lower flammability limit (kg/m3)", limit, 0.01, 1.0)?;
        Ok(Self { lower_flammability_limit_kg_m3 })
    }
}

/// Greatest charge of one circuit of a self-contained appliance: multiplier times lower flammability limit, up to the cap.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a multiplier outside 0.1 to 100 m³ or a cap outside 0 to 100 kg.
///
/// # Example
/// R-290, 0.038 kg/m³, 13 m³: 494 g.
/// ```
/// use physics::{field::charge_limit::{ApplianceRule, SelfContainedAppliance, appliance_ceiling}, units::{MassDensity, Volume, unit::{mass::gram, mass_density::kilogram_per_cubic_meter, volume::cubic_meter}}};
/// let display_case = SelfContainedAppliance::factory_sealed(MassDensity::new::<kilogram_per_cubic_meter>(0.038))?;
/// let rule = ApplianceRule { multiplier: Volume::new::<cubic_meter>(13.0), cap: None };
/// assert!((appliance_ceiling(&display_case, &rule)?.value.get::<gram>() - 494.0).abs() < 1e-6);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn appliance_ceiling(
    appliance: &SelfContainedAppliance,
    rule: &ApplianceRule,
) -> Result<Outcome<Mass>, FieldError> {
    let multiplier_m3 = within(
        "multiplier of the flammability limit (m3)",
        rule.multiplier.get::<cubic_meter>(),
        0.1,
        100.0,
    )?;
    let ceiling_kg = multiplier_m3 * appliance.lower_flammability_limit_kg_m3;
    let capped_kg = match rule.cap {
        Some(cap) => {
            ceiling_kg.min(within("cap of a flammable charge (kg)", cap.get::<kilogram>(), 0.0, 100.0)?)
        }
        None => ceiling_kg,
    };
    Ok(plain(Mass::new::<kilogram>(capped_kg), Method::ApplianceCeiling))
}

fn mass_kg(what: &'static str, mass: Mass) -> Result<f64, OutOfRange> {
    within(what, mass.get::<kilogram>(), 0.0, 1e5)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::{OutsideRange, Region, test_fluid::TestFluid};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        mass::gram,
        mass_density::gram_per_cubic_meter,
        molar_mass::gram_per_mole,
        ratio::{part_per_million, percent},
    };

    fn kg(value: f64) -> Mass {
        Mass::new::<kilogram>(value)
    }

    fn room(value: f64) -> Volume {
        Volume::new::<cubic_meter>(value)
    }

    fn limit(value: f64) -> MassDensity {
        MassDensity::new::<gram_per_cubic_meter>(value)
    }

    fn number(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    #[test]
    fn a_charge_passes_up_to_the_limit_of_its_room() {
        let found = concentration(kg(8.0), room(20.0), limit(500.0), number(1.0)).unwrap().value;
        assert_relative_eq!(found.share.get::<ratio>(), 0.8, max_relative = 1e-12);
        assert_relative_eq!(found.greatest_charge.get::<kilogram>(), 10.0, max_relative = 1e-12);
        let hospital = concentration(kg(8.0), room(20.0), limit(500.0), number(0.5)).unwrap().value;
        assert_relative_eq!(hospital.share.get::<ratio>(), 1.6, max_relative = 1e-12);
        assert_relative_eq!(hospital.allowed.get::<gram_per_cubic_meter>(), 250.0, max_relative = 1e-12);
        let ppm = Ratio::new::<part_per_million>(50_000.0);
        let by_mass = limit_by_mass(ppm, MolarMass::new::<gram_per_mole>(102.03)).unwrap().value;
        assert_relative_eq!(by_mass.get::<gram_per_cubic_meter>(), 208.5, max_relative = 1e-3);
    }

    #[test]
    fn a_year_is_the_longest_that_an_addition_is_spread_over() {
        let rate = |days| {
            leak_rate_of_year(kg(1.0), kg(10.0), Time::new::<day>(days)).unwrap().value.get::<percent>()
        };
        assert_relative_eq!(rate(73.0), 50.0, max_relative = 1e-12);
        assert_relative_eq!(rate(365.0), 10.0, max_relative = 1e-12);
        assert_relative_eq!(rate(1000.0), 10.0, max_relative = 1e-12);
    }

    #[test]
    fn an_appliance_is_capped_where_its_class_is() {
        let ceiling = |lfl, multiplier, cap: Option<f64>| {
            let appliance = SelfContainedAppliance::factory_sealed(limit(1e3 * lfl)).unwrap();
            let rule = ApplianceRule { multiplier: room(multiplier), cap: cap.map(kg) };
            appliance_ceiling(&appliance, &rule).map(|outcome| outcome.value.get::<gram>())
        };
        assert_relative_eq!(ceiling(0.038, 8.0, None).unwrap(), 304.0, max_relative = 1e-9);
        assert_relative_eq!(ceiling(0.307, 13.0, None).unwrap(), 3991.0, max_relative = 1e-9);
        assert_relative_eq!(ceiling(0.307, 13.0, Some(1.2)).unwrap(), 1200.0, max_relative = 1e-9);
        assert!(ceiling(0.307, 0.0, None).is_err());
        assert!(ceiling(0.307, 13.0, Some(-1.0)).is_err());
        assert!(SelfContainedAppliance::factory_sealed(limit(0.0)).is_err());
    }

    #[test]
    fn a_cylinder_warms_towards_full() {
        let fill = cylinder_fill(kg(10.0), kg(12.0), number(1.2)).unwrap().value;
        assert_relative_eq!(fill.net.get::<kilogram>(), 9.6, max_relative = 1e-12);
        assert_relative_eq!(fill.gross.get::<kilogram>(), 21.6, max_relative = 1e-12);
        // The liquid of the test fluid is 1000 kg/m3 whatever its temperature.
        let gravity = specific_gravity(&TestFluid).unwrap();
        assert_relative_eq!(gravity.value.get::<ratio>(), 1000.0 / 997.045, max_relative = 1e-9);
        let hot = |c| hot_liquid_share(&TestFluid, ThermodynamicTemperature::new::<degree_celsius>(c));
        assert_relative_eq!(hot(40.0).unwrap().value.get::<ratio>(), 0.8, max_relative = 1e-9);
        assert_eq!(hot(40.0).unwrap().caveats, Caveats::default());
        // The data of the test fluid end at 40 bar: dew 103.0 degC.
        assert!(hot(90.0).unwrap().caveats.has(Caveat::NearCritical));
        let too_hot = hot(150.0).unwrap_err();
        assert!(matches!(too_hot, FieldError::Properties(OutsideRange { region: Region::DewPressure, .. })));
    }

    #[test]
    fn refuses_what_is_no_charge_no_room_and_no_cylinder() {
        let one = number(1.0);
        for (charge, room_m3, limit_g_m3, factor) in [
            (-1.0, 20.0, 500.0, 1.0),
            (f64::NAN, 20.0, 500.0, 1.0),
            (1.0, 0.0, 500.0, 1.0),
            (1.0, 20.0, 0.0, 1.0),
            (1.0, 20.0, 500.0, 2.0),
        ] {
            let found = concentration(kg(charge), room(room_m3), limit(limit_g_m3), number(factor));
            assert!(found.is_err(), "{charge} {room_m3} {limit_g_m3} {factor}");
        }
        let molar_mass = MolarMass::new::<gram_per_mole>(100.0);
        assert!(limit_by_mass(number(1.1), molar_mass).is_err());
        assert!(limit_by_mass(number(0.1), MolarMass::new::<gram_per_mole>(f64::NAN)).is_err());
        let month = Time::new::<day>(30.0);
        assert!(leak_rate_of_year(kg(-1.0), kg(1.0), month).is_err());
        assert!(leak_rate_of_year(kg(1.0), kg(0.0), month).is_err());
        assert!(leak_rate_of_year(kg(1.0), kg(1.0), Time::new::<day>(0.0)).is_err());
        assert!(carbon_dioxide_equivalent(kg(1.0), number(-1.0)).is_err());
        assert!(carbon_dioxide_equivalent(kg(-1.0), number(1.0)).is_err());
        assert!(charge_of_equivalent(kg(1.0), number(0.0)).is_err());
        assert!(cylinder_fill(kg(0.0), kg(1.0), one).is_err());
        assert!(cylinder_fill(kg(1.0), kg(-1.0), one).is_err());
        assert!(cylinder_fill(kg(1.0), kg(1.0), number(f64::NAN)).is_err());
    }

    proptest! {
        #[test]
        fn the_greatest_charge_is_the_one_that_just_passes(charge in 0.1..100.0_f64, room_m3 in 1.0..1000.0_f64, limit_g_m3 in 5.0..600.0_f64, factor in 0.5..1.0_f64) {
            let at = |charge| concentration(charge, room(room_m3), limit(limit_g_m3), number(factor)).unwrap().value;
            let one = at(kg(charge));
            prop_assert!((at(one.greatest_charge).share.get::<ratio>() - 1.0).abs() < 1e-12);
            prop_assert!(at(kg(1.1 * charge)).share > one.share);
        }

        #[test]
        fn an_equivalent_goes_there_and_back(charge in 0.1..1000.0_f64, potential in 1.0..10_000.0_f64) {
            let there = carbon_dioxide_equivalent(kg(charge), number(potential)).unwrap();
            let back = charge_of_equivalent(there, number(potential)).unwrap();
            prop_assert!((back.get::<kilogram>() / charge - 1.0).abs() < 1e-12);
        }
    }
}

//! Winter: what floods the condenser of a set in the coldest air, and what of it the plate covers.

use super::{Desk, celsius_words, rated, summer};
use crate::{
    figure,
    job::{HeadPressureMethod, SubcoolingAt},
    study::{resolve::ResolvedSet, wording},
    view::{FloodedView, WinterView},
};
use physics::{
    check::Condition,
    coil_charge::{Coil, Zones, low_and_high},
    condenser::{SaturationReference, air_density},
    fluid::Refrigerant,
    units::{
        BubbleTemperature, MassDensity, Ratio, TemperatureInterval, ThermodynamicTemperature, Volume,
        unit::{
            ratio::ratio, temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::degree_celsius,
        },
    },
    winter::{WinterDuty, circuit_conductance, flooding, winter_charge},
};

pub(super) const NOTHING: &str = "nothing floods";
pub(super) const COVERED: &str = "covered by the plate";
pub(super) const ADDED: &str = "added";
pub(super) const UNKNOWN: &str = "not known";

/// All coils of one circuit as they run in summer.
pub(super) struct Coils {
    pub(super) volume: Volume,
    pub(super) low_kg: f64,
    pub(super) high_kg: f64,
    /// Mean density by the low case: what floods adds the most to it.
    low_density: MassDensity,
}

impl Coils {
    /// `Err` says what is missing.
    pub(super) fn of(desk: &Desk<'_>, index: usize, set: &ResolvedSet<'_>) -> Result<Self, String> {
        let job = desk.resolved.job;
        let name = &set.set.name.value;
        let rated = desk.rated.as_ref().map_err(|why| format!("condensers that can be rated ({why})"))?;
        let mut volume = Volume::default();
        let mut serves = false;
        for (text, rated) in job.condensers.iter().zip(rated) {
            let Some(share) = text.share(name) else { continue };
            serves = true;
            let own = rated.coil_volume.ok_or_else(|| {
                format!("the inside volume of condenser {} (key coil_volume)", text.name.value)
            })?;
            volume += own * share;
        }
        if !serves {
            return Err(format!(
                "the condenser (a table [condenser.NAME] that serves {name}, with rating, air_flow and coil_volume)"
            ));
        }
        debug_assert!(index < desk.resolved.sets.len());
        let coil = coil(set, volume).map_err(|why| format!("states inside the property data ({why})"))?;
        let (low, high) = low_and_high(&set.fluid, &coil)
            .map_err(|error| format!("states inside the property data ({error})"))?;
        Ok(Self {
            volume,
            low_kg: low.value.mass.value,
            high_kg: high.value.mass.value,
            low_density: low.value.mean_density,
        })
    }
}

/// The coil in summer. Its zones have the share of the heat that they give off: heat goes evenly along the tube, as in the
/// mean of the void fraction.
fn coil(set: &ResolvedSet<'_>, volume: Volume) -> Result<Coil, String> {
    let point = summer(set);
    let condensing = point.discharge.pressure;
    let ends = set.fluid.ends(condensing).map_err(wording::outside)?;
    let outlet = match set.set.subcooling.value.at {
        SubcoolingAt::CondenserOutlet if point.liquid.pressure == condensing => point.liquid,
        // Liquid that is subcooled behind the receiver leaves the condenser saturated.
        _ => ends.bubble,
    };
    let all = point.discharge.enthalpy - outlet.enthalpy;
    let share = |heat: physics::units::SpecificEnthalpy| {
        let share = (heat / all).get::<ratio>();
        Ratio::new::<ratio>(if share > 0.0 { share } else { 0.0 })
    };
    let zones = Zones::new(
        share(point.discharge.enthalpy - ends.dew.enthalpy),
        share(ends.bubble.enthalpy - outlet.enthalpy),
    )
    .map_err(|error| error.to_string())?;
    let half = |distance: TemperatureInterval| {
        TemperatureInterval::new::<kelvin_interval>(0.5 * distance.get::<kelvin_interval>().max(0.0))
    };
    Ok(Coil {
        volume,
        zones,
        condensing,
        superheat: half(point.discharge.saturation_distance),
        subcooling: half(outlet.saturation_distance),
    })
}

/// Winter of one set.
pub(super) struct Winter {
    pub(super) state: &'static str,
    /// Whether the head pressure is held by flooding.
    pub(super) floods: bool,
    pub(super) added_kg: Option<f64>,
    pub(super) at_lowest_air: Option<FloodedView>,
    pub(super) at_covered_winter: Option<FloodedView>,
    pub(super) missing: Option<String>,
    /// Whether the plate says what winter it covers.
    covered_stated: bool,
    why: String,
    question: Option<String>,
}

impl Winter {
    pub(super) fn of(
        desk: &Desk<'_>,
        index: usize,
        set: &ResolvedSet<'_>,
        coils: &Result<Coils, String>,
    ) -> Self {
        let units = desk.units();
        let method = set.set.head_pressure.method.value;
        let covered = set.set.maker.as_ref().and_then(|maker| maker.covered_winter).map(|air| air.value);
        let lowest = desk.resolved.job.site.lowest_air.map(|air| air.value);
        let mut winter = Self {
            state: NOTHING,
            floods: method == HeadPressureMethod::FloodingValve,
            added_kg: Some(0.0),
            at_lowest_air: None,
            at_covered_winter: None,
            missing: None,
            covered_stated: covered.is_some(),
            why: String::new(),
            question: None,
        };
        if !winter.floods {
            winter.why = match method {
                HeadPressureMethod::FanCycling => "the fan cycles in cold air: no refrigerant is held back in the condenser",
                HeadPressureMethod::FanSpeed => "the fan slows down in cold air: no refrigerant is held back in the condenser",
                _ => "nothing holds the head pressure up in cold air: no refrigerant is held back in the condenser",
            }
            .to_owned();
            return winter;
        }
        let flooded = |air: Option<ThermodynamicTemperature>| -> Result<FloodedView, String> {
            let air = air.ok_or("the coldest air (key site.lowest_air)")?;
            flooded(desk, index, set, coils.as_ref().map_err(Clone::clone)?, air)
        };
        let at_lowest = flooded(lowest);
        winter.missing = at_lowest.as_ref().err().cloned();
        winter.at_lowest_air = at_lowest.ok();
        winter.at_covered_winter = covered.and_then(|air| flooded(Some(air)).ok());
        let words = |air: ThermodynamicTemperature| celsius_words(air.get::<degree_celsius>(), units);
        match (lowest, covered) {
            (Some(lowest), Some(covered)) if covered <= lowest => {
                winter.state = COVERED;
                winter.why = format!(
                    "the factory charge covers winter down to {}, and the coldest air is {}: nothing is added",
                    words(covered),
                    words(lowest)
                );
            }
            (Some(lowest), Some(covered)) => {
                let both = winter.at_lowest_air.zip(winter.at_covered_winter);
                winter.added_kg = both.map(|(lowest, covered)| lowest.net_kg - covered.net_kg);
                winter.state = if winter.added_kg.is_some() { ADDED } else { UNKNOWN };
                let covers = format!(
                    "the factory charge covers winter down to {} only, and the coldest air is {}",
                    words(covered),
                    words(lowest)
                );
                winter.why = match winter.added_kg {
                    Some(added) => format!(
                        "{covers}: the condenser floods further, which takes {} more",
                        figure::ounces(added).both(units)
                    ),
                    None => {
                        winter.question = Some("what does the maker add for this winter?".to_owned());
                        let missing = winter.missing.as_deref().unwrap_or("states inside the property data");
                        format!("{covers}; what that takes needs {missing}")
                    }
                };
            }
            (_, None) => {
                winter.state = UNKNOWN;
                winter.added_kg = None;
                winter.why = "a valve floods the condenser in cold air, and nothing says which winter the factory charge \
                              covers"
                    .to_owned();
                winter.question = Some(
                    "down to which air does the factory charge cover winter? Ask the maker (key maker.covered_winter)"
                        .to_owned(),
                );
            }
            (None, Some(covered)) => {
                winter.state = UNKNOWN;
                winter.added_kg = None;
                winter.why = format!(
                    "the factory charge covers winter down to {}, and nothing says how cold it gets",
                    words(covered)
                );
                winter.question =
                    Some("how cold is the air on the coldest day? (key site.lowest_air)".to_owned());
            }
        }
        winter
    }

    /// Net and gross of what floods at the most that is in the circuit, in kg: of the colder of the two airs.
    pub(super) fn in_receiver_kg(&self) -> Result<(f64, f64), String> {
        if !self.floods {
            return Ok((0.0, 0.0));
        }
        let all = [self.at_lowest_air, self.at_covered_winter];
        let most = all.into_iter().flatten().max_by(|one, other| one.net_kg.total_cmp(&other.net_kg));
        match most {
            Some(flooded) => Ok((flooded.net_kg, flooded.gross_kg)),
            None => Err(self.missing.clone().unwrap_or_else(|| "the winter charge".to_owned())),
        }
    }

    /// Least and most of the factory charge that is for winter, kg; none where that can not be told.
    pub(super) fn in_factory_charge_kg(&self) -> Option<(f64, f64)> {
        if !self.floods {
            return Some((0.0, 0.0));
        }
        match (self.covered_stated, self.at_covered_winter, self.at_lowest_air) {
            (true, Some(covered), _) => Some((covered.net_kg, covered.net_kg)),
            (false, _, Some(lowest)) => Some((0.0, lowest.net_kg)),
            _ => None,
        }
    }

    pub(super) fn view(&self) -> WinterView {
        WinterView {
            state: self.state.to_owned(),
            why: self.why.clone(),
            question: self.question.clone(),
            added_kg: self.added_kg,
            at_lowest_air: self.at_lowest_air,
            at_covered_winter: self.at_covered_winter,
            missing: self.missing.clone(),
        }
    }
}

/// The circuit of a set in air of a temperature, all its fans at full speed, the other circuits of its housings at rest and
/// their fins of full use to it: what floods the most.
fn flooded(
    desk: &Desk<'_>,
    index: usize,
    set: &ResolvedSet<'_>,
    coils: &Coils,
    air: ThermodynamicTemperature,
) -> Result<FloodedView, String> {
    let night = set.points.iter().find_map(|(condition, point)| {
        point.filter(|_| matches!(condition, Condition::ColdNight | Condition::LowHead))
    });
    // Both have the same held pressure; the cold night comes last, with the gas and the load of that night.
    let night = set
        .points
        .iter()
        .rev()
        .find_map(|(condition, point)| point.filter(|_| *condition == Condition::ColdNight))
        .or(night)
        .ok_or("the pressure that is held (key head_pressure.setting)")?;
    let held = night.liquid.pressure;
    let said = |error: &dyn std::fmt::Display| format!("states that can be computed ({error})");
    let rated = desk.rated.as_ref().map_err(Clone::clone)?;
    let density = air_density(desk.atmosphere(), air).map_err(|error| said(&error))?;
    let (units, _) = rated::units(desk.resolved.job, &desk.resolved.sets, rated, density)?;
    let conductance = circuit_conductance(&units, index).map_err(|error| said(&error))?.value.alone_greatest;
    let duty = WinterDuty { held, heat_rejection: night.heat_rejection(), air };
    let share = flooding(&set.fluid, &duty, conductance).map_err(|error| said(&error))?.value.flooded_share;
    let liquid = BubbleTemperature::new(air);
    let charge = winter_charge(&set.fluid, share, coils.volume, liquid, coils.low_density)
        .map_err(|error| said(&error))?
        .value;
    let mid = SaturationReference::Mid.temperature(&set.fluid, held).map_err(wording::outside)?;
    Ok(FloodedView {
        air_c: air.get::<degree_celsius>(),
        held_c: mid.get::<degree_celsius>(),
        heat_rejection_w: duty.heat_rejection.value,
        conductance_w_k: conductance.value,
        coil_volume_m3: coils.volume.value,
        flooded_share: share.get::<ratio>(),
        liquid_density_kg_m3: charge.liquid_density.value,
        gross_kg: charge.gross.value,
        net_kg: charge.net.value,
    })
}

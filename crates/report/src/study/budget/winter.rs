//! Winter: what floods the condenser of a set in the coldest air, and what of it the plate covers.

use super::{Desk, celsius_words, rated, rated::Rated};
use crate::{
    figure,
    job::HeadPressureMethod,
    study::{coil::Coils, resolve::ResolvedSet, wording},
    view::{FanInWinterView, FloodedView, WinterView},
};
use physics::{
    check::Condition,
    condenser::{SaturationReference, air_density},
    operation::OperatingPoint,
    outcome::Caveat,
    units::{
        MassDensity, Power, Ratio, ThermodynamicTemperature,
        unit::{power::watt, ratio::ratio, thermodynamic_temperature::degree_celsius},
    },
    winter::{WinterDuty, circuit_conductance, fan_cycling, fan_speed, flooding},
};

pub(super) const NOTHING: &str = "nothing floods";
pub(super) const COVERED: &str = "covered by the plate";
pub(super) const ADDED: &str = "added";
pub(super) const UNKNOWN: &str = "not known";
/// Steps of the curve from the coldest air to the held temperature.
const CURVE_STEPS: u32 = 8;

/// Winter of one set.
pub(super) struct Winter {
    pub(super) state: &'static str,
    /// Whether the head pressure is held by flooding.
    pub(super) floods: bool,
    pub(super) added_kg: Option<f64>,
    pub(super) at_lowest_air: Option<FloodedView>,
    pub(super) at_covered_winter: Option<FloodedView>,
    curve: Vec<FloodedView>,
    fans: Option<FanInWinterView>,
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
            curve: Vec::new(),
            fans: None,
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
            if matches!(method, HeadPressureMethod::FanCycling | HeadPressureMethod::FanSpeed) {
                let air = lowest.ok_or_else(|| "the coldest air (key site.lowest_air)".to_owned());
                let slows = method == HeadPressureMethod::FanSpeed;
                let fans = air.and_then(|air| Night::of(desk, index, set)?.fans(slows, air));
                winter.missing = fans.as_ref().err().cloned();
                winter.fans = fans.ok();
            }
            return winter;
        }
        let night = Night::of(desk, index, set);
        let flooded = |air: Option<ThermodynamicTemperature>| -> Result<FloodedView, String> {
            let air = air.ok_or("the coldest air (key site.lowest_air)")?;
            night.as_ref().map_err(Clone::clone)?.flooded(coils.as_ref().map_err(Clone::clone)?, air)
        };
        if let (Some(lowest), Ok(coils), Ok(night)) = (lowest, coils, &night) {
            winter.curve = night.curve(coils, lowest);
        }
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
            curve: self.curve.clone(),
            fans: self.fans.clone(),
            missing: self.missing.clone(),
        }
    }
}

/// A set as it runs at its held pressure in cold air.
struct Night<'a> {
    desk: &'a Desk<'a>,
    index: usize,
    set: &'a ResolvedSet<'a>,
    point: OperatingPoint,
    rated: &'a [Rated],
}

impl<'a> Night<'a> {
    /// `Err` says what is missing.
    fn of(desk: &'a Desk<'a>, index: usize, set: &'a ResolvedSet<'a>) -> Result<Self, String> {
        // Both have the same held pressure; the cold night comes last, with the gas and the load of that night.
        let at = |wanted: Condition| {
            set.points.iter().find_map(|(condition, point)| point.filter(|_| *condition == wanted))
        };
        let point = at(Condition::ColdNight)
            .or_else(|| at(Condition::LowHead))
            .ok_or("the pressure that is held (key head_pressure.setting)")?;
        let rated = desk.rated.as_ref().map_err(Clone::clone)?;
        Ok(Self { desk, index, set, point, rated })
    }

    fn duty(&self, air: ThermodynamicTemperature) -> WinterDuty {
        WinterDuty { held: self.point.liquid.pressure, heat_rejection: self.point.heat_rejection(), air }
    }

    fn density(&self, air: ThermodynamicTemperature) -> Result<MassDensity, String> {
        air_density(self.desk.resolved.air_pressure(), air).map_err(|error| said(&error))
    }

    /// All fans at full speed, the other circuits of its housings at rest and their fins of full use to it: what floods the
    /// most.
    fn flooded(&self, coils: &Coils, air: ThermodynamicTemperature) -> Result<FloodedView, String> {
        let fluid = &self.set.fluid;
        let (units, _) =
            rated::units(self.desk.resolved.job, &self.desk.resolved.sets, self.rated, self.density(air)?)?;
        let conductance = circuit_conductance(&units, self.index).map_err(|error| said(&error))?.value;
        let duty = self.duty(air);
        let share = |conductance| flooding(fluid, &duty, conductance).map(|found| found.value.flooded_share);
        let alone = share(conductance.alone_greatest).map_err(|error| said(&error))?;
        let all_running = share(conductance.all_running).map_err(|error| said(&error))?;
        let charge = coils.flooded(fluid, alone, air).map_err(|error| said(&error))?;
        let mid = SaturationReference::Mid.temperature(fluid, duty.held).map_err(wording::outside)?;
        Ok(FloodedView {
            air_c: air.get::<degree_celsius>(),
            held_c: mid.get::<degree_celsius>(),
            heat_rejection_w: duty.heat_rejection.value,
            conductance_w_k: conductance.alone_greatest.value,
            coil_volume_m3: coils.volume.value,
            flooded_share: alone.get::<ratio>(),
            flooded_share_all_running: all_running.get::<ratio>(),
            liquid_density_kg_m3: charge.liquid_density.value,
            gross_kg: charge.gross.value,
            net_kg: charge.net.value,
        })
    }

    /// From the coldest air in even steps up to where nothing floods any more.
    fn curve(&self, coils: &Coils, lowest: ThermodynamicTemperature) -> Vec<FloodedView> {
        let Ok(held) = SaturationReference::Mid.temperature(&self.set.fluid, self.point.liquid.pressure)
        else {
            return Vec::new();
        };
        let (lowest_c, held_c) = (lowest.get::<degree_celsius>(), held.get::<degree_celsius>());
        let mut curve = Vec::new();
        for step in 0..CURVE_STEPS {
            let air_c = lowest_c + (held_c - lowest_c) * f64::from(step) / f64::from(CURVE_STEPS);
            let air = ThermodynamicTemperature::new::<degree_celsius>(air_c);
            // Air that the data do not reach is told where the coldest air is judged.
            let Ok(flooded) = self.flooded(coils, air) else { continue };
            let ends = flooded.flooded_share <= 0.0;
            curve.push(flooded);
            if ends {
                break;
            }
        }
        curve
    }

    /// What the fans do in the coldest air.
    fn fans(&self, slows: bool, air: ThermodynamicTemperature) -> Result<FanInWinterView, String> {
        let fluid = &self.set.fluid;
        let job = self.desk.resolved.job;
        let density = self.density(air)?;
        let mut view = FanInWinterView {
            air_c: air.get::<degree_celsius>(),
            on_time: None,
            speed: Vec::new(),
            still_air: false,
        };
        if slows {
            // Each condenser takes the share of the heat that it takes at full speed.
            let name = &self.set.set.name.value;
            let serving = || {
                let shares = job.condensers.iter().zip(self.rated);
                shares.filter_map(|(text, rated)| Some((text, rated, text.share(name)?)))
            };
            let conductance = |rated: &Rated, share: Ratio| {
                let full = Ratio::new::<ratio>(1.0);
                rated.condenser.in_air(density, full).map(|found| (found.value.conductance * share).value)
            };
            let all: f64 = serving()
                .map(|(_, rated, share)| conductance(rated, share))
                .sum::<Result<f64, _>>()
                .map_err(|error| said(&error))?;
            for (text, rated, share) in serving() {
                let part = conductance(rated, share).map_err(|error| said(&error))? / all;
                let duty = self.duty(air);
                // The fan moves the air of the whole housing: its other circuits are taken to reject heat as this one does.
                let heat = duty.heat_rejection.value * part / share.get::<ratio>();
                let duty = WinterDuty { heat_rejection: Power::new::<watt>(heat), ..duty };
                let found =
                    fan_speed(fluid, &duty, &rated.condenser, density).map_err(|error| said(&error))?;
                view.still_air |= found.caveats.has(Caveat::StillAir);
                view.speed.push((text.name.value.clone(), found.value.speed.get::<ratio>()));
            }
        } else {
            let (units, _) = rated::units(job, &self.desk.resolved.sets, self.rated, density)?;
            let conductance =
                circuit_conductance(&units, self.index).map_err(|error| said(&error))?.value.all_running;
            let found = fan_cycling(fluid, &self.duty(air), conductance).map_err(|error| said(&error))?;
            view.still_air = found.caveats.has(Caveat::StillAir);
            view.on_time = Some(found.value.on_time.get::<ratio>());
        }
        Ok(view)
    }
}

fn said(error: &dyn std::fmt::Display) -> String {
    format!("states that can be computed ({error})")
}

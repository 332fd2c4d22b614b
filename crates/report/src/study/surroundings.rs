//! What surrounds the legs of a route at each condition: air, sun and wind of their places, and the air of a chase that
//! lines share.

use super::{ledger::Ledger, resolve::ResolvedLine};
use crate::{
    figure,
    job::{INDOORS, Job, Leg, Moisture, Place, Set},
};
use physics::{
    check::Condition,
    fluid::{GridRefrigerant, Refrigerant, State},
    heat::{self, Conditions, Stand, Surroundings, chase, moisture::dew_point},
    operation::OperatingPoint,
    sizing::Service,
    units::{
        AbsolutePressure, ConductancePerLength, HeatFluxDensity, HeatTransfer, MassRate, TemperatureInterval,
        ThermodynamicTemperature, delta,
        unit::{
            heat_flux_density::watt_per_square_meter, temperature_interval,
            thermal_conductivity::watt_per_meter_kelvin,
        },
    },
};
use tables::{Library, limits::Defaults, tubes::TubeProduct};

/// The surroundings of one place at one condition.
#[derive(Clone, Debug)]
pub(crate) struct PlaceAt {
    pub(crate) name: String,
    pub(crate) condition: Condition,
    pub(crate) surroundings: Surroundings,
}

/// Air in which a place is judged for sweating.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moist {
    pub(crate) air: ThermodynamicTemperature,
    pub(crate) dew_point: ThermodynamicTemperature,
    /// Whether the air is there all the year: a room's; that of a muggy day is not there when the head is low.
    pub(crate) all_year: bool,
}

/// All places that the legs of a set lie in.
#[derive(Debug)]
pub(crate) struct Places {
    at: Vec<PlaceAt>,
    moist: Vec<(String, Moist)>,
    pressure: AbsolutePressure,
}

impl Places {
    /// What surrounds a leg.
    pub(crate) fn at(&self, place: &str, condition: Condition) -> Option<Surroundings> {
        let same = |found: &&PlaceAt| found.name == place && found.condition == condition;
        self.at.iter().find(same).map(|found| found.surroundings)
    }

    /// Whether a place lies in the weather, which darkens copper: where the sun reaches it, whatever the condition.
    pub(crate) fn outdoors(&self, place: &str) -> bool {
        self.at.iter().any(|found| found.name == place && found.surroundings.sun.value > 0.0)
    }

    /// Air and dew point that sweating is judged in.
    pub(crate) fn moist(&self, place: &str) -> Option<Moist> {
        self.moist.iter().find(|(name, _)| name == place).map(|(_, moist)| *moist)
    }

    /// Whether people are where the place is: a room, not the roof and not a closed chase.
    pub(crate) fn is_room(&self, place: &str) -> bool {
        place == INDOORS
    }

    /// Pressure of the air.
    pub(crate) fn pressure(&self) -> AbsolutePressure {
        self.pressure
    }
}

/// What the surroundings of a set hang on.
pub(super) struct Site<'a> {
    pub(super) job: &'a Job,
    pub(super) library: &'a Library,
    pub(super) pressure: AbsolutePressure,
}

impl Site<'_> {
    fn defaults(&self) -> &Defaults {
        self.library.limits().defaults()
    }

    /// Surroundings of every place that a leg of the set lies in, at every condition that could be formed. What is assumed is
    /// said.
    pub(super) fn places(
        &self,
        set: &Set,
        fluid: &GridRefrigerant,
        points: &[(Condition, Option<OperatingPoint>)],
        lines: &[ResolvedLine<'_>],
        ledger: &mut Ledger,
        assumptions: &mut Vec<String>,
    ) -> Places {
        let mut names: Vec<&str> = set.route.legs.iter().map(|leg| &*leg.value.place).collect();
        names.sort_unstable();
        names.dedup();
        let mut places = Places { at: Vec::new(), moist: Vec::new(), pressure: self.pressure };
        let cooler_k = cooler_at_low_head_k(fluid, points);
        let mut outdoors = false;
        for name in names {
            let place = self.job.places.iter().find(|place| place.name.value == name);
            let weather = Weather::of(name, place, self, ledger, assumptions);
            outdoors |= !weather.indoors;
            for (condition, point) in points {
                let Some(point) = point else { continue };
                let surroundings = weather.surroundings(*condition, cooler_k, self);
                let surroundings = match place.filter(|place| place.shared) {
                    Some(chase) => self.in_chase(chase, set, fluid, point, lines, surroundings),
                    None => surroundings,
                };
                places.at.push(PlaceAt { name: name.to_owned(), condition: *condition, surroundings });
            }
            places.moist.extend(weather.moist.map(|moist| (name.to_owned(), moist)));
        }
        self.say_chases(set, ledger, assumptions);
        if let (Some(cooler_k), true) = (cooler_k, outdoors) {
            assumptions.push(format!(
                "at low head the air outdoors is {} cooler than on the design day, which is where the head pressure just \
                 comes down to its setting; rooms and chases keep their air",
                figure::temperature_difference(cooler_k).both(self.job.units)
            ));
        }
        places
    }

    /// Surroundings of a line inside a chase: the air that all lines of the set there and the place around settle at.
    fn in_chase(
        &self,
        place: &Place,
        set: &Set,
        fluid: &GridRefrigerant,
        point: &OperatingPoint,
        lines: &[ResolvedLine<'_>],
        around: Surroundings,
    ) -> Surroundings {
        let defaults = self.defaults();
        let u_value = place.u_value.map_or(defaults.chase_heat_transfer.value, |u_value| u_value.value);
        let girth = place.girth.map_or(defaults.chase_girth.value, |girth| girth.value);
        let enclosure = chase::Neighbour {
            conductance: ConductancePerLength::new::<watt_per_meter_kelvin>(u_value.value * girth.value),
            temperature: around.air,
        };
        let stand = set
            .route
            .legs
            .iter()
            .find(|leg| leg.value.place == place.name.value)
            .map_or(Stand::Level, |leg| stand(&leg.value));
        let mut inside = Surroundings::still(around.air, self.pressure);
        // The conductances hang on the air of the chase by its fourth root: a second look settles them.
        for _ in 0..3 {
            let neighbours: Vec<chase::Neighbour> = lines
                .iter()
                .filter_map(|line| {
                    let state = entering(point, line.service)?;
                    let product = line.representative();
                    let pipe = line.pipe(product, stand, false);
                    let film = film(fluid, product, &state, point.mass_rate)?;
                    let conditions = Conditions { fluid: state.temperature, film, surroundings: inside };
                    let exchange = heat::exchange(&pipe, &conditions).ok()?.value;
                    let conductance = exchange.linear.conductance;
                    // The temperature that, through this conductance, gives the air the exact heat.
                    let warmer_k = -exchange.heat_into_fluid.value / conductance.value;
                    Some(chase::Neighbour { conductance, temperature: inside.air + kelvins(warmer_k) })
                })
                .collect();
            if let Ok(shared) = chase::share_a_chase(&neighbours, enclosure) {
                inside = Surroundings::still(shared.value.air, self.pressure);
            }
        }
        inside
    }

    fn say_chases(&self, set: &Set, ledger: &mut Ledger, assumptions: &mut Vec<String>) {
        let defaults = self.defaults();
        for place in self.job.places.iter().filter(|place| place.shared) {
            let name = &place.name.value;
            if !set.route.legs.iter().any(|leg| leg.value.place == *name) {
                continue;
            }
            assumptions.push(format!(
                "in {name} the lines of this set run together and warm or cool one another through its air; lines of other \
                 sets in it are not counted"
            ));
            if place.u_value.is_none() {
                ledger.note("u_value of a chase", &defaults.chase_heat_transfer.source);
            }
            if place.girth.is_none() {
                ledger.note("girth of a chase", &defaults.chase_girth.source);
            }
        }
    }
}

/// How a leg stands.
pub(super) fn stand(leg: &Leg) -> Stand {
    if leg.direction.rise() == 0.0 { Stand::Level } else { Stand::Upright { height: leg.length } }
}

/// State that enters a line of a service.
pub(super) fn entering(point: &OperatingPoint, service: Service) -> Option<State> {
    match service {
        Service::Discharge => Some(point.discharge),
        Service::Liquid | Service::Drain => Some(point.liquid),
        Service::Suction => point.suction,
    }
}

pub(super) fn film(
    fluid: &GridRefrigerant,
    product: &TubeProduct,
    state: &State,
    mass_rate: MassRate,
) -> Option<HeatTransfer> {
    let thermal = fluid.thermal(state).ok()?;
    let bore = product.tube.bore();
    heat::inside_film(bore, mass_rate, state.viscosity, thermal.conductivity, thermal.heat_capacity)
        .ok()
        .map(|film| film.value)
}

/// How much cooler than on the design day it is outdoors where the head pressure has just come down to its setting: the
/// condenser's temperature difference stays as it is.
fn cooler_at_low_head_k(
    fluid: &GridRefrigerant,
    points: &[(Condition, Option<OperatingPoint>)],
) -> Option<f64> {
    let bubble = |wanted: Condition| {
        let point = points.iter().find(|(condition, _)| *condition == wanted)?.1?;
        Some(fluid.bubble_temperature(point.liquid.pressure).ok()?.get())
    };
    let (summer, low) = (bubble(Condition::Summer)?, bubble(Condition::LowHead)?);
    Some(delta(summer, low).get::<temperature_interval::kelvin>().max(0.0))
}

/// A place through the year.
struct Weather {
    design: Surroundings,
    indoors: bool,
    coldest: Option<ThermodynamicTemperature>,
    moist: Option<Moist>,
}

impl Weather {
    fn of(
        name: &str,
        place: Option<&Place>,
        site: &Site<'_>,
        ledger: &mut Ledger,
        assumptions: &mut Vec<String>,
    ) -> Self {
        let defaults = site.defaults();
        // Rooms and chases keep their air in winter; all other places go with the weather.
        let indoors = name == INDOORS || place.is_none_or(|place| place.shared);
        let sunny = place.is_some_and(|place| place.sun);
        let stated = place.and_then(|place| place.air).map(|air| air.value);
        let air = stated.unwrap_or_else(|| {
            if indoors {
                ledger.note(format!("air of {name}"), &defaults.air_indoors.source);
                defaults.air_indoors.value
            } else {
                assumptions.push(format!(
                    "the air of {name} is that entering the condenser (key places.{name}.air)"
                ));
                site.job.site.design_air.value
            }
        });
        let wind = place.and_then(|place| place.wind).map_or_else(
            || {
                let default =
                    if indoors || !sunny { &defaults.wind_indoors } else { &defaults.wind_outdoors };
                ledger.note(format!("wind in {name}"), &default.source);
                default.value
            },
            |wind| wind.value,
        );
        let sun = if sunny {
            ledger.note("sun of a clear day", &defaults.sun_clear_day.source);
            defaults.sun_clear_day.value
        } else {
            HeatFluxDensity::new::<watt_per_square_meter>(0.0)
        };
        let moist = {
            let (air, humidity) = if indoors {
                (air, &defaults.humidity_indoors)
            } else {
                (
                    if air < defaults.air_muggy.value { air } else { defaults.air_muggy.value },
                    &defaults.humidity_outdoors,
                )
            };
            let dew = match place.and_then(|place| place.moisture) {
                Some(Moisture::DewPoint(dew)) => Some(dew.value),
                Some(Moisture::Humidity(humidity)) => {
                    dew_point(air, humidity.value).ok().map(|dew| dew.value)
                }
                None => {
                    ledger.note(format!("humidity in {name}"), &humidity.source);
                    dew_point(air, humidity.value).ok().map(|dew| dew.value)
                }
            };
            dew.map(|dew_point| Moist { air, dew_point, all_year: indoors })
        };
        Self {
            design: Surroundings { wind, sun, ..Surroundings::still(air, site.pressure) },
            indoors,
            coldest: site.job.site.lowest_air.map(|air| air.value),
            moist,
        }
    }

    fn surroundings(&self, condition: Condition, cooler_k: Option<f64>, site: &Site<'_>) -> Surroundings {
        let still_at =
            |air| Surroundings { wind: self.design.wind, ..Surroundings::still(air, site.pressure) };
        match (condition, self.indoors) {
            (Condition::LowHead, false) => {
                let cooler = kelvins(cooler_k.unwrap_or(0.0));
                let air = self.design.air - cooler;
                Surroundings { air, radiant: air, ..self.design }
            }
            (Condition::ColdNight, false) => still_at(self.coldest.unwrap_or(self.design.air)),
            _ => self.design,
        }
    }
}

fn kelvins(difference: f64) -> TemperatureInterval {
    TemperatureInterval::new::<temperature_interval::kelvin>(difference)
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::units::unit::thermodynamic_temperature::degree_celsius;

    #[test]
    fn copper_on_a_roof_stays_dark_on_a_night_without_sun() {
        let pressure = AbsolutePressure::from_pascal(1e5);
        let still = Surroundings::still(ThermodynamicTemperature::new::<degree_celsius>(10.0), pressure);
        let sunny = Surroundings { sun: HeatFluxDensity::new::<watt_per_square_meter>(900.0), ..still };
        let at =
            |name: &str, condition, surroundings| PlaceAt { name: name.to_owned(), condition, surroundings };
        let places = Places {
            at: vec![
                at("roof", Condition::Summer, sunny),
                at("roof", Condition::ColdNight, still),
                at("attic", Condition::Summer, still),
            ],
            moist: Vec::new(),
            pressure,
        };
        assert!(places.outdoors("roof"));
        assert!(!places.outdoors("attic"));
    }
}

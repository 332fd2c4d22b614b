//! Heat between a line and its places: what it does to the line, where it sweats or burns, and how much insulation is enough.

use super::{
    resolve::{ResolvedLine, ResolvedSet, runs_backwards},
    surroundings::stand,
    wording,
};
use crate::{
    figure::{self, Units},
    job::Leg,
    view::{HeatView, LegHeatView, PhaseChangeView, SweatView},
};
use physics::{
    check::{CheckKind, Condition, Verdict},
    flooding::{Condensate, flooding},
    fluid::Refrigerant,
    heat::{Conditions, Insulation, Surroundings, exchange},
    line::{Element, Flow, Outlet, Phase, PhaseChange, Stream},
    sizing::{Case, Judged, Service},
    units::{
        MassRate, ThermodynamicTemperature, delta,
        unit::{
            length::{meter, millimeter},
            ratio::ratio,
            temperature_interval::kelvin as kelvin_interval,
        },
    },
};
use tables::{
    Library,
    insulation::{StockWall, WallSeries},
    tubes::{DimensionUnit, TubeProduct},
};

/// Change of temperature along a line below which heat is not worth a sentence, K.
const WORTH_SAYING_K: f64 = 0.3;

/// The thinnest insulation at which nothing sweats and the flash margin meets with its band.
#[derive(Clone, Copy)]
enum LeastWall<'a> {
    /// Nothing asks for insulation.
    NotAsked,
    /// The bare tube does.
    Bare,
    /// This wall does.
    Stock(&'a StockWall),
    /// No stock wall does.
    NoStockWall,
}

/// The line taken, with what its heat is judged by.
pub(super) struct Taken<'a> {
    pub(super) set: &'a ResolvedSet<'a>,
    pub(super) line: &'a ResolvedLine<'a>,
    pub(super) product: &'a TubeProduct,
    pub(super) case: &'a Case,
    pub(super) judged: &'a Judged,
    pub(super) library: &'a Library,
    pub(super) units: Units,
}

impl Taken<'_> {
    /// What the line exchanges; none where no march or no exchange was found at summer.
    pub(super) fn heat(&self) -> Option<HeatView> {
        let duty = self.case.duty(Condition::Summer)?;
        let outlet = self.summer()?;
        let found = self.set.exchanges(self.line, self.product, &self.case.line, duty).ok()?;
        let legs = self.set.legs(self.line.service);
        let legs = legs.iter().zip(&found).filter_map(|(leg, exchange)| {
            let surroundings = self.set.places.at(&leg.place, Condition::Summer)?;
            Some(LegHeatView {
                direction: self.way(leg),
                length_m: leg.length.value,
                place: leg.place.clone(),
                air_c: celsius(surroundings.air),
                heat_w_m: exchange.heat_into_fluid.value,
                surface_c: celsius(exchange.surface),
            })
        });
        let legs: Vec<LegHeatView> = legs.collect();
        let sweating = self.sweating(self.line.insulation);
        let mut remarks = Vec::new();
        remarks.extend(self.what_heat_does(&outlet));
        remarks.extend(self.what_heat_does_at_other_times(&outlet));
        let least_wall = self.least_wall(&sweating);
        remarks.extend(self.about_wall(&sweating, least_wall));
        remarks.extend(self.touch(&legs));
        Some(HeatView {
            inlet_c: celsius(outlet.inlet.temperature),
            outlet_c: celsius(outlet.outlet.temperature),
            heat_w: outlet.heat.value,
            legs,
            sweating,
            least_wall_mm: match least_wall {
                LeastWall::Bare => Some(0.0),
                LeastWall::Stock(wall) => Some(wall.thickness.value.get::<millimeter>()),
                LeastWall::NotAsked | LeastWall::NoStockWall => None,
            },
            least_wall_name: match least_wall {
                LeastWall::Stock(wall) => Some(wall.printed.to_string()),
                _ => None,
            },
            remarks,
        })
    }

    /// Direction of flow in a leg.
    fn way(&self, leg: &Leg) -> &'static str {
        let direction = leg.direction;
        if runs_backwards(self.line.service) { direction.opposite() } else { direction }.name()
    }

    fn summer(&self) -> Option<Outlet> {
        self.judged.outlet(Condition::Summer)
    }

    fn difference(&self, difference_k: f64) -> String {
        figure::temperature_difference(difference_k).both(self.units)
    }

    fn temperature(&self, temperature_c: f64) -> String {
        figure::temperature(temperature_c).both(self.units)
    }

    /// A stock wall as it is sold, `3/8 in (9.52 mm)`, whatever the units printed first.
    fn wall(wall: &StockWall) -> String {
        let thickness = figure::diameter(wall.thickness.value.get::<millimeter>());
        let other = match wall.series {
            WallSeries::Inch => thickness.si,
            WallSeries::Metric => thickness.us,
        };
        format!("{} ({other})", wall.printed)
    }

    /// Where heat helps and where it harms.
    fn what_heat_does(&self, outlet: &Outlet) -> Option<String> {
        let change_k = delta(outlet.outlet.temperature, outlet.inlet.temperature).get::<kelvin_interval>();
        if change_k.abs() < WORTH_SAYING_K {
            return None;
        }
        let watts = figure::heat(outlet.heat.value.abs()).both(self.units);
        let change = self.difference(change_k.abs());
        Some(match (self.line.service, outlet.heat.value > 0.0) {
            (Service::Liquid | Service::Drain, true) => format!(
                "the liquid takes up {watts} and warms by {change} in summer: so much less flash margin"
            ),
            (Service::Liquid | Service::Drain, false) => format!(
                "heat helps here: the liquid gives off {watts} and cools by {change} in summer, which adds flash margin; \
                 insulation would take that away"
            ),
            (Service::Discharge, false) => format!(
                "heat helps here: the gas gives off {watts} and cools by {change} in summer, which the condenser need not \
                 reject; insulate only where it can be touched, or where it warms a room or the liquid line"
            ),
            (Service::Discharge, true) => format!(
                "the gas takes up {watts} and warms by {change} in summer, which the condenser must reject too"
            ),
            (Service::Suction, gains) => {
                let adiabatic = self.without_heat()?;
                let thinner = 1.0 - (outlet.outlet.density / adiabatic.outlet.density).get::<ratio>();
                let verb = if gains { "takes up" } else { "gives off" };
                let warms = if gains { "warms" } else { "cools" };
                let costs = if gains { "costs" } else { "adds" };
                format!(
                    "the gas {verb} {watts} and {warms} by {change} in summer: the compressor draws gas that is {:.1} % \
                     {}, which {costs} about as much capacity",
                    100.0 * thinner.abs(),
                    if gains { "thinner" } else { "denser" }
                )
            }
        })
    }

    /// Liquid that warms where its flash margin is judged, though not in summer: rooms stay warm while the head pressure
    /// comes down.
    fn what_heat_does_at_other_times(&self, summer: &Outlet) -> Option<String> {
        let (condition, outlet) = self.warmed_where_judged()?;
        let change_k = delta(outlet.outlet.temperature, outlet.inlet.temperature).get::<kelvin_interval>();
        if summer.heat.value > 0.0 || change_k < WORTH_SAYING_K {
            return None;
        }
        Some(format!(
            "at {} the liquid is colder than its surroundings: it takes up {} and warms by {}, so much less flash margin; \
             insulation helps there",
            wording::condition(condition),
            figure::heat(outlet.heat.value).both(self.units),
            self.difference(change_k)
        ))
    }

    /// The condition that governs the flash margin, where the liquid takes up heat at it.
    fn warmed_where_judged(&self) -> Option<(Condition, Outlet)> {
        let margin = self.judged.check(CheckKind::FlashMargin)?;
        let condition = margin.condition?;
        let outlet = self.judged.outlet(condition)?;
        (outlet.heat.value > 0.0).then_some((condition, outlet))
    }

    /// The same line at summer as if it exchanged nothing.
    fn without_heat(&self) -> Option<Outlet> {
        let duty = self.case.duty(Condition::Summer)?;
        let mut duty = duty.clone();
        duty.exchanges.clear();
        self.case.march(&self.set.fluid, &duty).ok().map(|march| march.value)
    }

    /// Each place against its dew point, the refrigerant as cold as it gets and the air still.
    fn sweating(&self, insulation: Option<Insulation>) -> Vec<SweatView> {
        let coldest = |outlet: &Outlet| {
            let (from, to) = (outlet.inlet.temperature, outlet.outlet.temperature);
            if from < to { from } else { to }
        };
        let fluid_in = |all_year: bool| {
            let warm = |condition| !matches!(condition, Condition::LowHead | Condition::ColdNight);
            let readings = self.judged.readings.iter().filter(|reading| all_year || warm(reading.condition));
            let marches = readings.filter_map(|reading| reading.march.as_ref().ok());
            marches.map(|march| coldest(&march.value)).min_by(|a, b| a.value.total_cmp(&b.value))
        };
        let Some(point) = self.case.duty(Condition::Summer) else {
            return Vec::new();
        };
        let mut found: Vec<SweatView> = Vec::new();
        for leg in self.set.legs(self.line.service) {
            let Some(moist) = self.set.places.moist(&leg.place) else { continue };
            let Some(fluid) = fluid_in(moist.all_year) else { continue };
            if fluid >= moist.dew_point || found.iter().any(|sweat| sweat.place == leg.place) {
                continue;
            }
            let surroundings = Surroundings::still(moist.air, self.set.places.pressure());
            let pipe = self.line.pipe_with(self.product, stand(leg), false, insulation);
            let film = self.set.film(self.line.service, self.product, point.mass_rate);
            let surface = film.and_then(|film| {
                exchange(&pipe, &Conditions { fluid, film, surroundings })
                    .ok()
                    .map(|found| found.value.surface)
            });
            let Some(surface) = surface else { continue };
            found.push(SweatView {
                place: leg.place.clone(),
                surface_c: celsius(surface),
                air_c: celsius(moist.air),
                dew_point_c: celsius(moist.dew_point),
                sweats: surface < moist.dew_point,
            });
        }
        found
    }

    fn least_wall(&self, sweating: &[SweatView]) -> LeastWall<'_> {
        let margin = self.judged.check(CheckKind::FlashMargin);
        let warmed_too_far = margin.is_some_and(|check| !matches!(check.verdict, Verdict::Meets))
            && self.warmed_where_judged().is_some();
        let warms = self.summer().is_some_and(|outlet| outlet.heat.value > 0.0);
        let margin_asks = self.line.service == Service::Liquid && (warms || warmed_too_far);
        if sweating.is_empty() && !margin_asks {
            return LeastWall::NotAsked;
        }
        // Insulation is sold in the units of the tube that it goes on.
        let series = match self.product.unit {
            DimensionUnit::Inch => WallSeries::Inch,
            DimensionUnit::Millimetre => WallSeries::Metric,
        };
        let Ok(material) = self.library.insulation().material(None) else { return LeastWall::NotAsked };
        let conductivity =
            self.line.insulation.map_or(material.conductivity.value, |insulation| insulation.conductivity);
        let does = |insulation: Option<Insulation>| {
            let dry = self.sweating(insulation).iter().all(|sweat| !sweat.sweats);
            dry && (!margin_asks || self.margin_meets(insulation))
        };
        if does(None) {
            return LeastWall::Bare;
        }
        let mut walls = self.library.insulation().walls().iter().filter(|wall| wall.series == series);
        walls
            .find(|wall| does(Some(Insulation { thickness: wall.thickness.value, conductivity })))
            .map_or(LeastWall::NoStockWall, LeastWall::Stock)
    }

    fn margin_meets(&self, insulation: Option<Insulation>) -> bool {
        let line = self.line.with_insulation(insulation);
        let judged = self.set.case(&line, self.product, self.library).judge(&self.set.fluid, &line.bands);
        judged.check(CheckKind::FlashMargin).is_some_and(|check| matches!(check.verdict, Verdict::Meets))
    }

    fn about_wall(&self, sweating: &[SweatView], least: LeastWall<'_>) -> Vec<String> {
        let mut said = Vec::new();
        let wet: Vec<&SweatView> = sweating.iter().filter(|sweat| sweat.sweats).collect();
        for sweat in &wet {
            said.push(format!(
                "sweats ({}): surface {}, dew point {} at {} still air",
                sweat.place,
                self.temperature(sweat.surface_c),
                self.temperature(sweat.dew_point_c),
                self.temperature(sweat.air_c)
            ));
        }
        let has = self.line.insulation.map(|insulation| insulation.thickness);
        match least {
            LeastWall::NotAsked => {}
            LeastWall::NoStockWall => said.push(format!(
                "no stock wall of insulation is enough against {}: keep the line out of that place, or cool the liquid \
                 further",
                if sweating.is_empty() { "flashing" } else { "sweat and flashing" }
            )),
            LeastWall::Bare => {
                let why = if sweating.is_empty() { "keeps its flash margin" } else { "stays dry" };
                said.push(format!("needs no insulation: bare, it {why}"));
            }
            LeastWall::Stock(wall) => {
                let enough = has.is_some_and(|has| has.value >= wall.thickness.value.value - 1e-9);
                let verb = if enough { "least stock wall that does" } else { "insulate with at least" };
                let vapour = if sweating.is_empty() { "" } else { "; seal every joint against moisture" };
                said.push(format!("{verb}: {}{vapour}", Self::wall(wall)));
            }
        }
        said
    }

    /// A hot line where people are.
    fn touch(&self, legs: &[LegHeatView]) -> Option<String> {
        let defaults = self.library.limits().defaults();
        let (limit, of) = match self.line.insulation {
            Some(_) => (&defaults.touch_temperature_insulation, "insulation"),
            None => (&defaults.touch_temperature_metal, "bare metal"),
        };
        let limit_c = celsius(limit.value);
        let indoors = legs.iter().filter(|leg| self.set.places.is_room(&leg.place));
        let hottest = indoors.max_by(|a, b| a.surface_c.total_cmp(&b.surface_c))?;
        (hottest.surface_c > limit_c).then(|| {
            format!(
                "burns at a touch: {} ({}), above {} for {of} touched for a second; insulate or guard it where it can be \
                 reached",
                self.temperature(hottest.surface_c),
                hottest.place,
                self.temperature(limit_c)
            )
        })
    }

    /// Where the flow changes its kind, condition by condition.
    pub(super) fn phase_changes(&self) -> Vec<PhaseChangeView> {
        let mut found = Vec::new();
        for reading in &self.judged.readings {
            let Ok(march) = &reading.march else { continue };
            for change in march.value.phase_changes.iter().flatten() {
                let sentence = self.sentence(reading.condition, change, &march.value);
                found.push(PhaseChangeView {
                    condition: wording::condition(reading.condition).to_owned(),
                    position_m: change.position.get::<meter>(),
                    place: self.place_of(change.element),
                    into: wording::phase(change.into),
                    rising: change.rising,
                    sentence,
                });
            }
        }
        found
    }

    /// Place of the leg that an element is, or stands behind.
    fn place_of(&self, element: usize) -> String {
        let before = self.case.line.elements.iter().take(element + 1);
        let legs = before.filter(|element| matches!(element, Element::Leg { .. })).count();
        let places = self.set.legs(self.line.service);
        places.get(legs.saturating_sub(1)).map_or_else(String::new, |leg| leg.place.clone())
    }

    fn sentence(&self, condition: Condition, change: &PhaseChange, outlet: &Outlet) -> String {
        let condition = wording::condition(condition);
        let from = match self.line.service {
            Service::Liquid | Service::Drain => "condenser",
            Service::Discharge => "compressor",
            Service::Suction => "evaporator",
        };
        let at = format!(
            "{} from the {from} ({}) at {condition}",
            figure::length(change.position.get::<meter>()).both(self.units),
            self.place_of(change.element)
        );
        match (change.into, self.line.service.phase()) {
            (Stream::TwoPhase, Phase::Liquid) => format!("liquid flashes {at}: {}", self.why_flash(outlet)),
            (Stream::TwoPhase, Phase::Vapour) => {
                format!(
                    "gas condenses {at}: the line is colder than its dew point there{}",
                    self.runs_back(outlet)
                )
            }
            (Stream::Liquid, _) => format!("all liquid again {at}"),
            (Stream::Vapour, _) => format!("all gas again {at}"),
        }
    }

    /// Which of heat, height and friction takes most of the margin.
    fn why_flash(&self, outlet: &Outlet) -> &'static str {
        let lost_pa = (outlet.friction_drop + outlet.fittings_drop).value;
        let climbed_pa = outlet.static_drop.value.max(0.0);
        // In pressure: what the heat raises the bubble pressure by.
        let raised = |temperature: ThermodynamicTemperature| {
            let bubble = physics::units::BubbleTemperature::new(temperature);
            self.set.fluid.at_bubble(bubble).map(|state| state.pressure.pascal())
        };
        let warmed_pa = match (raised(outlet.outlet.temperature), raised(outlet.inlet.temperature)) {
            (Ok(to), Ok(from)) if outlet.heat.value > 0.0 => (to - from).max(0.0),
            _ => 0.0,
        };
        if climbed_pa >= lost_pa && climbed_pa >= warmed_pa {
            "the climb takes most of the margin"
        } else if warmed_pa >= lost_pa {
            "heat from its surroundings takes most of the margin"
        } else {
            "friction and parts take most of the margin"
        }
    }

    /// What becomes of the condensate where the line rises.
    fn runs_back(&self, outlet: &Outlet) -> String {
        if self.case.line.lift().value <= 0.0 && !self.case.line.has_riser() {
            return String::new();
        }
        let share = match outlet.outlet.flow {
            Flow::TwoPhase { quality, .. } => quality.get::<ratio>(),
            Flow::Liquid => 0.0,
            Flow::Vapour => 1.0,
        };
        let Some(duty) = self.case.duty(Condition::ColdNight) else {
            return String::new();
        };
        let Ok(ends) = self.set.fluid.ends(outlet.outlet.pressure) else { return String::new() };
        let part = |share: f64| MassRate { value: share * duty.mass_rate.value, ..duty.mass_rate };
        let judged = flooding(
            part(share),
            part(1.0 - share),
            self.case.line.bore,
            ends.bubble.density,
            ends.dew.density,
        );
        match judged.map(|judged| judged.value.condensate) {
            Ok(Condensate::DrainsBack) => {
                "; in its riser the condensate drains back to the compressor: insulate it, and keep trap and check valve \
                 at the foot"
            }
            Ok(Condensate::Between) => {
                "; in its riser some condensate runs back and some is carried up: insulate it, and keep trap and check \
                 valve at the foot"
            }
            Ok(Condensate::CarriedUp) => "; the gas carries the condensate up; at standstill it runs back",
            Err(_) => "",
        }
        .to_owned()
    }
}

fn celsius(temperature: ThermodynamicTemperature) -> f64 {
    temperature.value - 273.15
}

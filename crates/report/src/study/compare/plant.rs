//! One layout as physics sees it, and its design day.

use super::super::{
    check::{made, unmade},
    coil::Coils,
};
use super::{Desk, end, kelvins, lines::Lines, rated, summer, told_k};
use crate::{
    job::{self, HeadPressureMethod, Service},
    view::{
        AirPointView, CheckView, CircuitView, CondenserView, CyclePointView, DomePointView, DrawPointView,
        DrawView, LinesCostView, OtherTubeView,
    },
};
use physics::{
    balance::{Balance, Circuit, CircuitState, Tube, balance, balance_from},
    check::{Condition, Sense},
    condenser::{InAir, SaturationReference, air_density},
    fluid::Refrigerant,
    jet,
    layout::{BreakEven, Layout},
    line::Line,
    outcome::{Caveat, Caveats},
    parallel_coils::{Coil, back_up},
    units::{
        AbsolutePressure, Length, Power, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature,
        delta,
        unit::{
            length::meter, ratio::ratio, temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::kelvin,
        },
    },
    year::FanControl,
};

/// Points of a curve of a draw.
const CURVE_POINTS: u32 = 16;
/// Points of the curve against outdoor air.
const AIR_POINTS: u32 = 24;
/// Points of a saturation dome: fifty times the lowest pressure.
const DOME_POINTS: i32 = 80;

/// One layout of the job.
pub(super) struct Plant<'a> {
    pub(super) desk: &'a Desk<'a>,
    pub(super) layout: &'a job::Layout,
    lines: &'a Lines,
    /// Who draws from whom, as indices of the job's condensers.
    draws: Vec<(usize, usize, &'a job::Draw)>,
}

/// Which losses of the lines count.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum LineLosses {
    None,
    /// Pressure alone: what the places of the lines do in other weather than that of the design day is not known.
    Pressure,
    PressureAndHeat,
}

impl<'a> Plant<'a> {
    pub(super) fn new(desk: &'a Desk<'a>, layout: &'a job::Layout, lines: &'a Lines) -> Result<Self, String> {
        let index = |name: &str| {
            let found = desk.job.condensers.iter().position(|one| one.name.value == name);
            found.ok_or_else(|| format!("no condenser is called {name}"))
        };
        let draws = layout
            .draws
            .iter()
            .map(|draw| Ok((index(&draw.value.by)?, index(&draw.value.from)?, &draw.value)))
            .collect::<Result<_, String>>()?;
        Ok(Self { desk, layout, lines, draws })
    }

    /// The condensers in outdoor air of a temperature, each draw with a share of its own choosing.
    pub(super) fn in_air(
        &self,
        outdoor_air: ThermodynamicTemperature,
        share_of: &dyn Fn(usize) -> Ratio,
    ) -> Result<(Layout, Vec<InAir>), String> {
        let job = self.desk.job;
        let density =
            air_density(self.desk.resolved.air_pressure(), outdoor_air).map_err(|error| error.to_string())?;
        let (units, in_air) = rated::units(job, &self.desk.resolved.sets, self.desk.rated, density)?;
        let count = units.len();
        let mut rows = vec![vec![Ratio::new::<ratio>(0.0); count]; count];
        for (index, (by, from, _)) in self.draws.iter().enumerate() {
            rows[*by][*from] += share_of(index);
        }
        let layout =
            Layout::new(units, &rows, self.desk.resolved.sets.len()).map_err(|error| error.to_string())?;
        Ok((layout, in_air))
    }

    fn stated(&self, index: usize) -> Ratio {
        self.draws[index].2.share
    }

    /// The circuits of all sets.
    pub(super) fn circuits(&self, losses: LineLosses) -> Result<Vec<Circuit<'_>>, String> {
        self.circuits_with(losses, None)
    }

    /// The circuits, one line of one set in another tube.
    fn circuits_with<'b>(
        &'b self,
        losses: LineLosses,
        other: Option<(usize, Service, &'b Line)>,
    ) -> Result<Vec<Circuit<'b>>, String> {
        let sets = self.desk.resolved.sets.iter().zip(&self.lines.marched).enumerate();
        sets.map(|(index, (set, marched))| {
            let summer = summer(set);
            let tube = |service: Service| {
                let line = marched.iter().find(|line| line.service == service)?;
                let exchanges: &[_] =
                    if losses == LineLosses::PressureAndHeat { &line.exchanges } else { &[] };
                let swapped = other.filter(|(of, which, _)| (*of, *which) == (index, service));
                let line = swapped.map_or(&line.line, |(.., line)| line);
                Some(Tube { line, exchanges }).filter(|_| losses != LineLosses::None)
            };
            let lowest = set.points.iter().find_map(|(condition, point)| {
                point.filter(|_| *condition == Condition::LowHead).map(|point| point.liquid.pressure)
            });
            Ok(Circuit {
                fluid: &set.fluid,
                suction: summer.suction.ok_or("the cold side is not stated")?,
                compressor: set.load_told.compressor.clone()?,
                subcooling: summer.liquid.saturation_distance,
                lowest,
                suction_line: tube(Service::Suction),
                discharge_line: tube(Service::Discharge),
                liquid_line: tube(Service::Liquid),
            })
        })
        .collect()
    }

    /// What one tube size either way would change of one circuit, in the order of its lines. A tube that leaves no balance
    /// is left out: it is refused as a tube already.
    fn other_tubes(&self, layout: &Layout, index: usize, now: &CircuitState) -> Vec<OtherTubeView> {
        let set = &self.desk.resolved.sets[index];
        let mut views = Vec::new();
        for line in &self.lines.marched[index] {
            for other in &line.others {
                let found = self
                    .circuits_with(LineLosses::PressureAndHeat, Some((index, line.service, &other.line)))
                    .ok()
                    .and_then(|circuits| balance(&circuits, layout, self.desk.outdoor_air).ok());
                let Some(found) = found else { continue };
                let state = &found.value.circuits[index];
                let (Some(then_k), Some(now_k)) =
                    (told_k(set, state.condensing), told_k(set, now.condensing))
                else {
                    continue;
                };
                views.push(OtherTubeView {
                    service: line.service.name().to_owned(),
                    tube: other.name.clone(),
                    larger: other.larger,
                    condensing_k: then_k - now_k,
                    capacity_w: (state.capacity - now.capacity).value,
                    power_w: (state.power - now.power).value,
                });
            }
        }
        views
    }

    fn solve(&self, layout: &Layout, losses: LineLosses) -> Result<(Balance, Caveats), String> {
        let circuits = self.circuits(losses)?;
        let found = balance(&circuits, layout, self.desk.outdoor_air).map_err(|error| self.told(&error))?;
        Ok((found.value, found.caveats))
    }

    /// Balance of circuits in other outdoor air, begun at one in air nearby where there is one.
    pub(super) fn at(
        &self,
        circuits: &[Circuit<'_>],
        outdoor_air: ThermodynamicTemperature,
        near: Option<&Balance>,
    ) -> Result<(Balance, Vec<InAir>), String> {
        let (layout, in_air) = self.in_air(outdoor_air, &|index| self.stated(index))?;
        let found = match near {
            Some(near) => balance_from(circuits, &layout, outdoor_air, near),
            None => balance(circuits, &layout, outdoor_air),
        };
        Ok((found.map_err(|error| self.told(&error))?.value, in_air))
    }

    /// An error of the balance with the name of the set in place of its number.
    fn told(&self, error: &physics::balance::BalanceError) -> String {
        use physics::balance::BalanceError::{Compressor, Line, Property};
        let name = |circuit: usize| self.desk.resolved.sets[circuit].set.name.value.as_str();
        match error {
            Property { circuit, source } => {
                format!("{} finds no balance: {}", name(*circuit), super::wording::outside(*source))
            }
            Compressor { circuit, source } => format!("{} finds no balance: {source}", name(*circuit)),
            Line { circuit, source } => format!("{} finds no balance: {source}", name(*circuit)),
            other => format!("no balance: {other}"),
        }
    }

    pub(super) fn design_day(&self) -> Result<DesignDay<'_>, String> {
        let (layout, in_air) = self.in_air(self.desk.outdoor_air, &|index| self.stated(index))?;
        let (balance, caveats) = self.solve(&layout, LineLosses::PressureAndHeat)?;
        let (still, _) = self.in_air(self.desk.outdoor_air, &|_| Ratio::new::<ratio>(0.0))?;
        let (without_recirculation, _) = self.solve(&still, LineLosses::PressureAndHeat)?;
        let without_lines = self.solve(&layout, LineLosses::None).ok().map(|(balance, _)| balance);
        Ok(DesignDay { plant: self, layout, in_air, balance, caveats, without_recirculation, without_lines })
    }

    /// Condensing temperatures over the outdoor air that the site sees.
    pub(super) fn against_air(&self) -> Vec<AirPointView> {
        let job = self.desk.job;
        let warmest_k = self.desk.outdoor_air.get::<kelvin>() + 5.0;
        let coldest_k = job.site.lowest_air.map_or(warmest_k - 50.0, |air| air.value.get::<kelvin>());
        let sets = &self.desk.resolved.sets;
        let circuits = self.circuits(LineLosses::Pressure).unwrap_or_default();
        // What floods needs the inside of the coils, which a job may leave out.
        let coils: Vec<Option<Coils>> = sets
            .iter()
            .map(|set| {
                let floods = set.set.head_pressure.method.value == HeadPressureMethod::FloodingValve;
                Coils::of(job, self.desk.rated, set).ok().filter(|_| floods)
            })
            .collect();
        let point = |step: u32| {
            let share = f64::from(step) / f64::from(AIR_POINTS);
            let outdoor_air_k = coldest_k + share * (warmest_k - coldest_k);
            let found = self.at(&circuits, ThermodynamicTemperature::new::<kelvin>(outdoor_air_k), None).ok();
            let states = || {
                let state = |index: usize| found.as_ref().map(|(balance, _)| &balance.circuits[index]);
                (0..sets.len()).map(state)
            };
            let air = ThermodynamicTemperature::new::<kelvin>(outdoor_air_k);
            let charges = states().zip(sets).zip(&coils).map(|((state, set), coils)| {
                let share = Ratio::new::<ratio>(1.0 - state?.active_share.get::<ratio>());
                coils.as_ref()?.flooded(&set.fluid, share, air).ok()
            });
            let (winter_gross_kg, winter_net_kg) = charges
                .map(|charge| (charge.map(|it| it.gross.value), charge.map(|it| it.net.value)))
                .unzip();
            AirPointView {
                outdoor_air_k,
                winter_gross_kg,
                winter_net_kg,
                condensing_k: states().zip(sets).map(|(state, set)| told_k(set, state?.condensing)).collect(),
                held: states().map(|state| state.is_some_and(|state| state.held)).collect(),
                active_share: states()
                    .map(|state| state.map_or(1.0, |state| state.active_share.get::<ratio>()))
                    .collect(),
            }
        };
        (0..=AIR_POINTS).map(point).collect()
    }

    /// How the fans of a set follow its head pressure.
    pub(super) fn fan_control(&self, set: usize) -> FanControl {
        match self.desk.resolved.sets[set].set.head_pressure.method.value {
            HeadPressureMethod::FanCycling => FanControl::Cycling,
            HeadPressureMethod::FanSpeed => FanControl::Speed,
            HeadPressureMethod::FloodingValve | HeadPressureMethod::None => FanControl::Full,
        }
    }
}

/// The design day of a layout.
pub(super) struct DesignDay<'a> {
    pub(super) plant: &'a Plant<'a>,
    layout: Layout,
    pub(super) in_air: Vec<InAir>,
    pub(super) balance: Balance,
    caveats: Caveats,
    without_recirculation: Balance,
    without_lines: Option<Balance>,
}

impl DesignDay<'_> {
    fn desk(&self) -> &Desk<'_> {
        self.plant.desk
    }

    pub(super) fn capacity_w(&self) -> f64 {
        self.balance.circuits.iter().map(|state| state.capacity.value).sum()
    }

    pub(super) fn power_w(&self) -> f64 {
        let compressors: f64 = self.balance.circuits.iter().map(|state| state.power.value).sum();
        compressors + self.in_air.iter().map(|unit| unit.fan_power.value).sum::<f64>()
    }

    fn above(&self, warmth: TemperatureInterval) -> f64 {
        (self.desk().outdoor_air + warmth).get::<kelvin>()
    }

    /// In the order of the job; [`super::place`] puts them into the order of the layout.
    pub(super) fn condensers(&self) -> Vec<CondenserView> {
        let desk = self.desk();
        let each = desk.job.condensers.iter().zip(desk.rated).enumerate();
        each.map(|(index, (text, rated))| {
            let (air, state) = (&self.in_air[index], &self.balance.units[index]);
            let branches = &self.layout.units()[index].branches;
            let warmest = branches
                .iter()
                .filter_map(|branch| {
                    told_k(
                        &desk.resolved.sets[branch.circuit],
                        self.balance.circuits[branch.circuit].condensing,
                    )
                })
                .fold(f64::NEG_INFINITY, f64::max);
            CondenserView {
                name: text.name.value.clone(),
                serves: text.serves.iter().map(|set| set.value.clone()).collect(),
                inlet_air_k: self.above(state.inlet),
                outlet_air_k: self.above(state.outlet),
                condensing_k: warmest,
                heat_w: state.heats.iter().map(|heat| heat.value).sum(),
                conductance_w_k: air.conductance.value,
                effectiveness: air.effectiveness().get::<ratio>(),
                air_rate_kg_s: air.air_rate.value,
                fan_power_w: rated.fan_power_known.then_some(air.fan_power.value),
                place: None,
                blows_up: rated.blows_up.unwrap_or(false),
            }
        })
        .collect()
    }

    pub(super) fn circuits(&self) -> Vec<CircuitView> {
        let sets = self.desk().resolved.sets.iter().enumerate();
        sets.filter_map(|(index, set)| {
            let state = &self.balance.circuits[index];
            let condensing_k = told_k(set, state.condensing)?;
            let stated_k = told_k(set, summer(set).discharge.pressure)?;
            let still_k = told_k(set, self.without_recirculation.circuits[index].condensing)?;
            let lines_cost = self.without_lines.as_ref().and_then(|bare| {
                let bare = &bare.circuits[index];
                Some(LinesCostView {
                    condensing_k: condensing_k - told_k(set, bare.condensing)?,
                    capacity_w: (bare.capacity - state.capacity).value,
                    power_w: (state.power - bare.power).value,
                })
            });
            let cycle = cycle(&summer(set), state);
            Some(CircuitView {
                set: set.set.name.value.clone(),
                condensing_k,
                condensing_bubble_k: set
                    .fluid
                    .bubble_temperature(state.condensing)
                    .ok()?
                    .get()
                    .get::<kelvin>(),
                condensing_dew_k: set.fluid.dew_temperature(state.condensing).ok()?.get().get::<kelvin>(),
                condensing_gauge_pa: state.condensing.gauge(self.desk().resolved.air_pressure()).get().value,
                held: state.held,
                above_stated_k: condensing_k - stated_k,
                recirculation_costs_k: condensing_k - still_k,
                capacity_w: state.capacity.value,
                compressor_power_w: state.power.value,
                heat_rejection_w: state.heat_rejection.value,
                mass_rate_kg_s: state.mass_rate.value,
                lines_cost,
                other_tubes: self.plant.other_tubes(&self.layout, index, state),
                dome: dome(&set.fluid, &cycle),
                cycle,
                residual: self.balance.residual,
            })
        })
        .collect()
    }

    /// Heats that the job states.
    fn stated_heats(&self) -> Vec<Power> {
        self.desk().resolved.sets.iter().map(|set| summer(set).heat_rejection()).collect()
    }

    /// How warm each circuit may get above the outdoor air, and in words what limits it.
    fn limits(&self) -> Option<(Vec<TemperatureInterval>, Vec<String>)> {
        let desk = self.desk();
        let (allowed, ..) = desk.allowed();
        let mut limits = Vec::new();
        let mut words = Vec::new();
        for set in &desk.resolved.sets {
            let name = &set.set.name.value;
            let pressure = match set.greatest_condensing {
                Some(greatest) => {
                    words.push(format!("the greatest condensing temperature of {name}"));
                    greatest
                }
                None => {
                    words.push(format!(
                        "{} above the stated condensing of {name}",
                        kelvins(allowed.value, desk.resolved.units())
                    ));
                    warmer_by(set, summer(set).discharge.pressure, allowed)?
                }
            };
            let mid = SaturationReference::Mid.temperature(&set.fluid, pressure).ok()?;
            limits.push(delta(mid, desk.outdoor_air));
        }
        Some((limits, words))
    }

    pub(super) fn draws(&self) -> Result<Vec<DrawView>, String> {
        let plant = self.plant;
        let names = &self.desk().job.condensers;
        let heats = self.stated_heats();
        let limits = self.limits();
        let each = plant.draws.iter().enumerate();
        each.map(|(index, (by, from, draw))| {
            let (break_even, break_even_words) = match &limits {
                None => (None, "not computed: a limit lies outside the property data".to_owned()),
                Some((limits, words)) => {
                    let found = self.layout.break_even(*by, *from, &heats, limits);
                    let limit = words.join(" and ");
                    match found.map_err(|error| error.to_string())? {
                        BreakEven::At(share) => {
                            let first = self.first_to_reach(*by, *from, share, &heats, limits).unwrap_or(0);
                            (
                                Some(share.get::<ratio>()),
                                format!("at the stated heat it reaches {}", words[first]),
                            )
                        }
                        BreakEven::Never => {
                            (Some(0.0), format!("even without this draw the stated heat passes {limit}"))
                        }
                        BreakEven::Beyond(most) => (
                            None,
                            format!(
                                "up to {:.0} %, all the air there is for it, it stays below {limit}",
                                100.0 * most.get::<ratio>()
                            ),
                        ),
                    }
                }
            };
            let jet_bound = self.jet_bound(*by, *from);
            let most = draw.visible_range.map(|range| range.most.get::<ratio>());
            let share = draw.share.get::<ratio>();
            let shown = [Some(0.3), most, Some(1.3 * share), break_even.map(|share| (1.15 * share).min(0.6))];
            let end = shown.into_iter().flatten().fold(0.0, f64::max).min(0.9);
            Ok(DrawView {
                by: names[*by].name.value.clone(),
                from: names[*from].name.value.clone(),
                fraction: share,
                least: draw.visible_range.map(|range| range.least.get::<ratio>()),
                most,
                break_even,
                break_even_words,
                jet_bound,
                curve: self.curve(index, end),
            })
        })
        .collect()
    }

    /// The circuit that is nearest to its limit at a share of one draw.
    fn first_to_reach(
        &self,
        by: usize,
        from: usize,
        share: Ratio,
        heats: &[Power],
        limits: &[TemperatureInterval],
    ) -> Option<usize> {
        let warm = self.layout.with_fraction(by, from, share).ok()?.temperatures(heats).ok()?;
        let left = |index: &usize| (limits[*index] - warm[*index]).get::<kelvin_interval>();
        (0..limits.len()).min_by(|a, b| left(a).total_cmp(&left(b)))
    }

    /// Balances at rising shares of one draw; it ends where there is no more balance, or no more air.
    fn curve(&self, draw: usize, end: f64) -> Vec<DrawPointView> {
        let plant = self.plant;
        let point = |step: u32| {
            let fraction = end * f64::from(step) / f64::from(CURVE_POINTS);
            let share =
                |index| if index == draw { Ratio::new::<ratio>(fraction) } else { plant.stated(index) };
            let (layout, _) = plant.in_air(self.desk().outdoor_air, &share).ok()?;
            let (found, _) = plant.solve(&layout, LineLosses::PressureAndHeat).ok()?;
            let told = found.circuits.iter().zip(&self.desk().resolved.sets);
            Some(DrawPointView {
                fraction,
                condensing_k: told
                    .map(|(state, set)| told_k(set, state.condensing))
                    .collect::<Option<_>>()?,
                capacity_w: found.circuits.iter().map(|state| state.capacity.value).sum(),
            })
        };
        (0..=CURVE_POINTS).map_while(point).collect()
    }

    /// A jet reaches an intake only where the lower of two stacked units blows up at the other.
    fn jet_bound(&self, by: usize, from: usize) -> Option<f64> {
        let (desk, layout) = (self.desk(), self.plant.layout);
        if by == from || !super::stacked(layout) || desk.rated[from].blows_up != Some(true) {
            return None;
        }
        let gap = layout.gap.map_or(Length::new::<meter>(0.0), |gap| gap.value);
        let flows = self.in_air[from].air_rate / self.in_air[by].air_rate;
        let found = jet::greatest_share(gap, desk.rated[from].fan_diameter?, flows).ok()?;
        Some(found.value.get::<ratio>())
    }

    pub(super) fn checks(&self) -> Vec<CheckView> {
        let desk = self.desk();
        let (limit, limit_source, limit_grade) = desk.allowed();
        let several = desk.resolved.sets.len() > 1;
        let range = self.visible_range();
        let mut checks = Vec::new();
        for (index, set) in desk.resolved.sets.iter().enumerate() {
            let at = |condition: &str| {
                if several { format!("{condition}, {}", set.set.name.value) } else { condition.to_owned() }
            };
            let told = |balance: &Balance| told_k(set, balance.circuits[index].condensing);
            let (Some(found_k), Some(stated_k)) =
                (told(&self.balance), told_k(set, summer(set).discharge.pressure))
            else {
                continue;
            };
            let band = range.as_ref().map(|(least, most)| {
                let ends = [told(least), told(most)].into_iter().flatten();
                ends.map(|end| (end - found_k).abs()).fold(0.0, f64::max)
            });
            let mut check =
                made("condensing-above-stated", found_k - stated_k, limit.value, Sense::AtMost, "K", band);
            check.condition = at("summer");
            check.whose = if limit_grade == "job" { "job" } else { "practice" }.to_owned();
            check.source = super::words(&limit_source, &limit_grade);
            settle(&mut check, !self.plant.draws.is_empty());
            checks.push(check);
            let greatest_k = set.greatest_condensing.and_then(|greatest| told_k(set, greatest));
            checks.extend(self.greatest_checks(index, greatest_k, found_k, band, &at));
        }
        checks.extend(self.drop_legs());
        checks
    }

    fn greatest_checks(
        &self,
        index: usize,
        greatest_k: Option<f64>,
        found_k: f64,
        band: Option<f64>,
        at: &dyn Fn(&str) -> String,
    ) -> Vec<CheckView> {
        let set = &self.desk().resolved.sets[index];
        let (summer_kind, peak_kind) = ("below-greatest-condensing", "below-greatest-condensing-at-peak");
        let Some(greatest_k) = greatest_k else {
            let key = "greatest_condensing, which the maker's sheet or the high-pressure control sets";
            return vec![
                needs(summer_kind, &at("summer"), "K", key),
                needs(peak_kind, &at("peak"), "K", key),
            ];
        };
        let mut below = made(summer_kind, greatest_k - found_k, 0.0, Sense::AtLeast, "K", band);
        below.condition = at("summer");
        settle(&mut below, !self.plant.draws.is_empty());
        let peak = match set.set.peak_flow {
            None => needs(peak_kind, &at("peak"), "K", "peak_flow: the mean heat must not size a condenser"),
            Some(flow) => match self.at_peak(index, flow.value) {
                Some(peak_k) => {
                    let mut check = made(peak_kind, greatest_k - peak_k, 0.0, Sense::AtLeast, "K", band);
                    check.condition = at("peak");
                    check.remarks.push(
                        "all heat of the design point times peak_flow, the other sets at theirs; a condenser that has no time \
                         to warm up stays cooler"
                            .to_owned(),
                    );
                    settle(&mut check, !self.plant.draws.is_empty());
                    check
                }
                None => needs(
                    peak_kind,
                    &at("peak"),
                    "K",
                    "property data up to the condensing temperature of the peak",
                ),
            },
        };
        let mut checks = vec![below, peak];
        for check in &mut checks {
            check.whose = "maker".to_owned();
            check.source = "the job file, greatest_condensing".to_owned();
        }
        checks
    }

    /// Condensing temperature where one set rejects the heat of its peak.
    fn at_peak(&self, index: usize, flow: Ratio) -> Option<f64> {
        let set = &self.desk().resolved.sets[index];
        let mut heats: Vec<Power> = self.balance.circuits.iter().map(|state| state.heat_rejection).collect();
        heats[index] = heats[index] * flow;
        let warm = self.layout.temperatures(&heats).ok()?;
        let coil = self.desk().outdoor_air + warm[index];
        told_k(set, SaturationReference::Mid.pressure(&set.fluid, coil).ok()?)
    }

    /// Balances with every draw at the least and at the most that the job calls possible; none where it says none.
    fn visible_range(&self) -> Option<(Balance, Balance)> {
        let plant = self.plant;
        if plant.draws.iter().all(|(.., draw)| draw.visible_range.is_none()) {
            return None;
        }
        let at = |end: &dyn Fn(&job::Draw) -> Ratio| {
            let (layout, _) =
                plant.in_air(self.desk().outdoor_air, &|index| end(plant.draws[index].2)).ok()?;
            plant.solve(&layout, LineLosses::PressureAndHeat).ok().map(|(balance, _)| balance)
        };
        let least = at(&|draw| draw.visible_range.map_or(draw.share, |range| range.least))?;
        let most = at(&|draw| draw.visible_range.map_or(draw.share, |range| range.most))?;
        Some((least, most))
    }

    /// Coils that share a circuit: the one that drops more needs a column of liquid.
    fn drop_legs(&self) -> Vec<CheckView> {
        let desk = self.desk();
        let mut checks = Vec::new();
        for (circuit, set) in desk.resolved.sets.iter().enumerate() {
            let mut coils = Vec::new();
            for (index, unit) in self.layout.units().iter().enumerate() {
                if let Some(place) = unit.branches.iter().position(|branch| branch.circuit == circuit) {
                    coils.push((index, self.balance.units[index].heats[place]));
                }
            }
            if coils.len() < 2 {
                continue;
            }
            let drops: Option<Vec<Pressure>> =
                coils.iter().map(|(index, _)| desk.rated[*index].coil_drop).collect();
            let found = drops.and_then(|drops| {
                let coils: Vec<Coil> = coils
                    .iter()
                    .zip(drops)
                    .map(|((_, heat), drop_at_all_flow)| Coil { heat: *heat, drop_at_all_flow })
                    .collect();
                back_up(&coils, self.balance.circuits[circuit].liquid.density).ok()
            });
            for (place, (index, _)) in coils.iter().enumerate() {
                let name = &desk.job.condensers[*index].name.value;
                let condition = format!("summer, {} through {name}", set.set.name.value);
                let missing = match (&found, desk.rated[*index].drop_leg) {
                    (None, _) => Some("coil_drop of each condenser of the circuit"),
                    (Some(_), None) => Some("drop_leg"),
                    (Some(_), Some(_)) => None,
                };
                if let Some(missing) = missing {
                    checks.push(needs("drop-leg", &condition, "m", &format!("{missing} (condenser.{name})")));
                    continue;
                }
                if let (Some(found), Some(leg)) = (&found, desk.rated[*index].drop_leg) {
                    let needed = found[place].drop_leg_needed.get::<meter>();
                    let mut check = made("drop-leg", leg.get::<meter>(), needed, Sense::AtLeast, "m", None);
                    check.condition = condition;
                    check.whose = "physics".to_owned();
                    check.source = "pressures of coils in parallel at their common outlet".to_owned();
                    check.remarks.push("where it is shorter, liquid backs up into this coil".to_owned());
                    checks.push(check);
                }
            }
        }
        checks
    }

    pub(super) fn warnings(&self) -> Vec<String> {
        let desk = self.desk();
        let mut warnings: Vec<String> = desk.rated.iter().flat_map(|rated| rated.warnings.clone()).collect();
        if self.caveats.has(Caveat::OutsideCompressorMap) {
            warnings.push(
                "the balance lies outside the temperatures that a compressor map was made for".to_owned(),
            );
        }
        if self.caveats.has(Caveat::FarFromMapSuperheat) {
            warnings.push(
                "suction gas is more than 15 K (27 °F) from the superheat of the compressor map".to_owned(),
            );
        }
        for set in &desk.resolved.sets {
            if set.set.peak_flow.is_none() {
                warnings.push(format!(
                    "peak heat of {} is not stated (key peak_flow): harvest or pull-down rejects more than the mean, and the \
                     mean must not size a condenser",
                    set.set.name.value
                ));
            }
        }
        warnings
    }

    /// Air that leaves a condenser, above what enters it.
    pub(super) fn air_rise(&self, index: usize) -> TemperatureInterval {
        self.balance.units[index].outlet - self.balance.units[index].inlet
    }
}

/// A check on what recirculation does is settled by measuring it.
fn settle(check: &mut CheckView, draws: bool) {
    if check.verdict == crate::view::VerdictView::TooCloseToCall && draws {
        check.matters_most = Some("recirculation fraction".to_owned());
        check.settled_by = Some(
            "three thermometers at full load: outdoor air, air into and air out of the unit that draws"
                .to_owned(),
        );
    }
}

/// The pressure whose told temperature is warmer by a difference.
fn warmer_by(
    set: &super::ResolvedSet<'_>,
    pressure: AbsolutePressure,
    by: TemperatureInterval,
) -> Option<AbsolutePressure> {
    let reference = match end(set) {
        job::SaturationEnd::Bubble => SaturationReference::Bubble,
        job::SaturationEnd::Dew => SaturationReference::Dew,
    };
    let temperature = reference.temperature(&set.fluid, pressure).ok()?;
    reference
        .pressure(
            &set.fluid,
            temperature + TemperatureInterval::new::<kelvin_interval>(by.get::<kelvin_interval>()),
        )
        .ok()
}

/// The saturation dome from a little below a cycle up to where the property data end.
fn dome(fluid: &dyn Refrigerant, cycle: &[CyclePointView]) -> Vec<DomePointView> {
    const STEP: f64 = 1.05;
    let least_pa = cycle.iter().map(|point| point.pressure_pa).fold(f64::INFINITY, f64::min);
    let pressures = (0..DOME_POINTS).map(|step| 0.7 * least_pa * STEP.powi(step));
    pressures
        .filter_map(|pressure_pa| {
            let ends = fluid.ends(AbsolutePressure::from_pascal(pressure_pa)).ok()?;
            Some(DomePointView {
                pressure_pa,
                bubble_enthalpy_j_kg: ends.bubble.enthalpy.value,
                dew_enthalpy_j_kg: ends.dew.enthalpy.value,
            })
        })
        .collect()
}

fn cycle(summer: &physics::operation::OperatingPoint, state: &CircuitState) -> Vec<CyclePointView> {
    let point = |at, pressure: AbsolutePressure, enthalpy: f64| CyclePointView {
        at,
        pressure_pa: pressure.pascal(),
        enthalpy_j_kg: enthalpy,
    };
    let mut points = Vec::new();
    if let Some(suction) = summer.suction {
        points.push(point("evaporator inlet", suction.pressure, state.valve_enthalpy.value));
        points.push(point("evaporator outlet", suction.pressure, suction.enthalpy.value));
    }
    points.push(point(
        "compressor inlet",
        state.compressor_inlet.pressure,
        state.compressor_inlet.enthalpy.value,
    ));
    points.push(point("compressor outlet", state.compressor_outlet, state.discharge_enthalpy.value));
    points.push(point("condenser inlet", state.condensing, state.condenser_enthalpy.value));
    points.push(point("condenser outlet", state.liquid.pressure, state.liquid.enthalpy.value));
    points.push(point("valve", state.valve_pressure, state.valve_enthalpy.value));
    points
}

fn needs(kind: &str, condition: &str, unit: &'static str, missing: &str) -> CheckView {
    CheckView { condition: condition.to_owned(), ..unmade(kind, unit, missing.to_owned()) }
}

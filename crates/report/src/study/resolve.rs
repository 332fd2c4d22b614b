//! From names to things: refrigerants, tubes, limits and fittings of a job are looked up in the tables, saturation
//! temperatures become pressures, and what only property data can find wrong is reported.

use super::{
    alternatives::{Connected, End},
    elements::elements,
    ledger::Ledger,
    load::{self, LoadFault, LoadTold, Loaded, Presumed},
    service::{Flows, flows},
    strength::{DesignTemperature, SetStrength},
    surroundings::{Places, Site, entering, film, stand},
    tubes::{NotPicked, meant, pick},
    wording,
};
use crate::figure::{self, Units, in_unit};
use crate::job::{
    ChargePerLength, Duty as LoadText, Fault, FaultKind, Faults, HeadPressureSetting, INDOORS, Job, Leg,
    Line as LineText, Located, PartKind, ReceiverAt, SaturatedTemperature, SaturationEnd, Set, SizeRequest,
    Span, SubcoolingAt, TubeRequest, quantity,
};
use physics::{
    charge::charge_per_length,
    check::{Condition, Limit, Measure, Sense, Whose},
    drain::Column,
    fluid::{GridError, GridRefrigerant, OutsideRange, Refrigerant},
    heat::{Conductivity, Exchange, Insulation, Pipe, Stand, Surface},
    line::{ExchangeError, Line, Setting, exchanges},
    operation::{Evaporator, OperatingPoint, Operation, OperationError},
    sizing::{Case, Duty, Limits, Service},
    uncertainty::Lever,
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, HeatTransfer, Length, LinearMassDensity,
        MassDensity, MassRate, Pressure, Ratio, TemperatureInterval, ThermalConductivity,
        ThermodynamicTemperature, delta, standard_atmosphere,
        unit::{
            length::meter, mass_density::kilogram_per_cubic_meter, pressure::pascal, ratio::ratio,
            temperature_interval,
        },
    },
};
use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex, PoisonError},
};
use tables::{
    Library, Source, Sourced, TableError,
    limits::{self, Bands, Quantity},
    materials::Material,
    properties::GridProvenance,
    refrigerants::Refrigerant as Identity,
    tubes::TubeProduct,
};
use thiserror::Error;

const PSI_KPA: f64 = 6.894_757_293;

/// Glide below which bubble and dew need not be told apart in a job file, K.
pub(super) const NEGLIGIBLE_GLIDE_K: f64 = 0.2;

/// Why a checked job could not be resolved.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ResolveError {
    /// The job asks for what the tables or the property data can not give.
    #[error("{0}")]
    Faults(Box<Faults>),
    /// The tables themselves are at fault.
    #[error(transparent)]
    Tables(#[from] TableError),
}

/// A job with all names looked up.
#[derive(Debug)]
pub struct Resolved<'a> {
    pub(crate) job: &'a Job,
    pub(crate) library: &'a Library,
    pub(crate) sets: Vec<ResolvedSet<'a>>,
    pub(crate) ledger: Ledger,
    pub(crate) units: Units,
    /// The site's atmosphere, against which gauges read.
    pub(crate) atmosphere: Option<AbsolutePressure>,
}

/// One set, ready for physics.
#[derive(Debug)]
pub(crate) struct ResolvedSet<'a> {
    pub(crate) set: &'a Set,
    pub(crate) refrigerant: String,
    pub(crate) fluid: GridRefrigerant,
    pub(crate) points: Vec<(Condition, Option<OperatingPoint>)>,
    pub(crate) places: Places,
    pub(crate) stock: Vec<TubeProduct>,
    pub(crate) lines: Vec<ResolvedLine<'a>>,
    pub(crate) length_band: f64,
    pub(crate) density_band: f64,
    pub(crate) assumptions: Vec<String>,
    pub(crate) longest_run: Option<Limit>,
    pub(crate) highest_rise: Option<Limit>,
    pub(crate) strength: SetStrength,
    /// How the load was found, and the compressor.
    pub(crate) load_told: LoadTold,
    /// Pressure at the condenser never to be exceeded, where the job states one.
    pub(crate) greatest_condensing: Option<AbsolutePressure>,
}

/// One line, ready to be put into any tube.
#[derive(Clone, Debug)]
pub(crate) struct ResolvedLine<'a> {
    pub(crate) text: &'a LineText,
    pub(crate) service: Service,
    /// The tubes to try, smallest bore first.
    pub(crate) candidates: Vec<TubeProduct>,
    /// Which of them the job asks for; none when the tool chooses.
    pub(crate) stated: Option<usize>,
    pub(super) connected: Connected,
    pub(crate) limits: Limits,
    pub(crate) limit_sources: LimitSources,
    pub(crate) good_practice: Option<TemperatureInterval>,
    pub(crate) bands: Vec<(Lever, f64)>,
    pub(crate) insulation: Option<Insulation>,
    finish: Finish,
    wall_conductivity: ThermalConductivity,
    pub(crate) oil_density: MassDensity,
    pub(crate) roughness: Length,
    pub(crate) longest_searched: Length,
}

/// Finishes of a line: of insulation around it, of bare copper indoors and outdoors.
#[derive(Clone, Copy, Debug)]
struct Finish {
    wrapped: Surface,
    indoors: Surface,
    outdoors: Surface,
}

/// Where the limits of a line come from, in words with the grade.
#[derive(Clone, Debug)]
pub(crate) struct LimitSources {
    pub(crate) saturated_temperature_drop: String,
    pub(crate) velocity: String,
    pub(crate) flash_margin: String,
    pub(crate) oil_return: String,
}

/// The limits that `[limits]` of a job may set: those that limit something, in units that a job can state.
pub fn settable_limits(library: &Library) -> impl Iterator<Item = &limits::Limit> {
    library.limits().all().iter().filter(|limit| {
        let unread = matches!(limit.value, Quantity::HeatFlux(_) | Quantity::HeatTransfer(_));
        !limit.sense.is_remark() && !unread
    })
}

/// Looks everything up.
///
/// # Errors
/// [`ResolveError::Faults`] with all that is wrong at once, or [`ResolveError::Tables`].
pub fn resolve<'a>(job: &'a Job, library: &'a Library) -> Result<Resolved<'a>, ResolveError> {
    resolve_among(job, library, &Fluids::default())
}

/// Refrigerants read once for many jobs with one library.
#[derive(Debug, Default)]
pub struct Fluids(Mutex<BTreeMap<String, Arc<Fluid>>>);

/// A refrigerant as read, with what the ledger says of it.
#[derive(Debug)]
struct Fluid {
    fluid: Result<GridRefrigerant, GridError>,
    provenance: GridProvenance,
}

impl Fluids {
    fn of(&self, name: &str, library: &Library) -> Result<Arc<Fluid>, TableError> {
        // What another thread left behind when it broke off is whole all the same: entries are put in complete.
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(fluid) = known.get(name) {
            return Ok(Arc::clone(fluid));
        }
        let table = library.property_table(name)?;
        let fluid =
            Arc::new(Fluid { fluid: GridRefrigerant::new(&table.data), provenance: table.provenance });
        known.insert(name.to_owned(), Arc::clone(&fluid));
        Ok(fluid)
    }
}

/// [`resolve`] for many jobs: refrigerants that an earlier one asked for are not read again.
///
/// # Errors
/// As [`resolve`].
pub fn resolve_among<'a>(
    job: &'a Job,
    library: &'a Library,
    fluids: &Fluids,
) -> Result<Resolved<'a>, ResolveError> {
    let mut desk = Desk { job, library, fluids, faults: Vec::new(), ledger: Ledger::default() };
    let stock = desk.stock();
    let overrides = desk.overrides();
    let sets: Vec<_> =
        job.sets.iter().filter_map(|set| desk.set(set, &stock, &overrides).transpose()).collect();
    let sets = sets.into_iter().collect::<Result<Vec<_>, TableError>>()?;
    match Faults::new(job.source.clone(), desk.faults) {
        Some(faults) => Err(ResolveError::Faults(Box::new(faults))),
        None => {
            let atmosphere = atmosphere(job);
            Ok(Resolved { job, library, sets, ledger: desk.ledger, units: job.units, atmosphere })
        }
    }
}

/// At sea level where no altitude is stated, which is said among the assumptions.
fn atmosphere(job: &Job) -> Option<AbsolutePressure> {
    standard_atmosphere(job.site.altitude.map_or(Length::new::<meter>(0.0), |altitude| altitude.value))
}

/// Pressure of the air itself: that of sea level where the site has none.
fn air_pressure(atmosphere: Option<AbsolutePressure>) -> AbsolutePressure {
    atmosphere.unwrap_or(AbsolutePressure::from_pascal(101_325.0))
}

/// The tubes to try, and what the choice of them assumes.
struct StockChoice {
    products: Vec<TubeProduct>,
    assumption: Option<String>,
}

/// A job's own limit: its key, and its value.
struct Override {
    key: String,
    value: Quantity,
}

struct Desk<'a, 'f> {
    job: &'a Job,
    library: &'a Library,
    fluids: &'f Fluids,
    faults: Vec<Fault>,
    ledger: Ledger,
}

impl<'a> Desk<'a, '_> {
    fn fault(&mut self, kind: FaultKind, span: Span, message: impl Into<String>, help: impl Into<String>) {
        self.faults.push(Fault::new(kind, span, message, help));
    }

    fn stock(&mut self) -> StockChoice {
        let written = &self.job.stock;
        let (descriptions, assumption) = if written.tubes.is_empty() {
            let usual: &[&str] = match self.job.units {
                Units::Us => &["ASTM B280 coil", "ASTM B280 straight"],
                Units::Si => &["EN 12735-1 coil", "EN 12735-1 straight"],
            };
            let said = format!("stock not stated: {} (key stock.tubes)", usual.join(" and "));
            (usual.iter().map(|text| (text.to_string(), None)).collect::<Vec<_>>(), Some(said))
        } else {
            (written.tubes.iter().map(|tube| (tube.value.clone(), Some(tube.span))).collect(), None)
        };
        let mut products: Vec<TubeProduct> = Vec::new();
        for (description, span) in descriptions {
            match self.library.tubes().stock(&description) {
                Ok(found) => {
                    products.extend(found.into_iter().filter(|p| !products.contains(p)).collect::<Vec<_>>())
                }
                Err(error) => {
                    let offers = self.library.tubes().descriptions().join("\", \"");
                    if let Some(span) = span {
                        self.fault(
                            FaultKind::Reference,
                            span,
                            error.to_string(),
                            format!("known are \"{offers}\""),
                        );
                    }
                }
            }
        }
        for left_out in &written.leave_out {
            let before = products.len();
            let gone = meant(&left_out.value, &products);
            products.retain(|product| !gone.contains(product));
            if before == products.len() {
                let message = format!("no tube in stock has the size {}", left_out.value.as_written);
                self.fault(
                    FaultKind::Reference,
                    left_out.span,
                    message,
                    "take the entry out, or add its standard to stock.tubes",
                );
            }
        }
        products.sort_by(|a, b| a.tube.bore().get().value.total_cmp(&b.tube.bore().get().value));
        StockChoice { products, assumption }
    }

    fn overrides(&mut self) -> Vec<Override> {
        let mut overrides = Vec::new();
        for entry in &self.job.limits {
            let row = match self.library.limits().limit(&entry.key.value) {
                Ok(row) if row.sense.is_remark() => {
                    let message =
                        format!("`{}` is a remark or a reference value and limits nothing", entry.key.value);
                    self.fault(FaultKind::Key, entry.key.span, message, "take the entry out");
                    continue;
                }
                Ok(row) => row,
                Err(error) => {
                    let keys =
                        settable_limits(self.library).map(|limit| &*limit.key).collect::<Vec<_>>().join(", ");
                    self.fault(
                        FaultKind::Key,
                        entry.key.span,
                        error.to_string(),
                        format!("known limits: {keys}"),
                    );
                    continue;
                }
            };
            let text = &entry.text.value;
            let read = match row.value {
                Quantity::TemperatureInterval(_) => quantity::read(text).map(Quantity::TemperatureInterval),
                Quantity::Velocity(_) => quantity::read(text).map(Quantity::Velocity),
                Quantity::Ratio(_) => quantity::read(text).map(Quantity::Ratio),
                Quantity::MassDensity(_) => quantity::read(text).map(Quantity::MassDensity),
                Quantity::Length(_) => quantity::read(text).map(Quantity::Length),
                Quantity::Temperature(_) => quantity::read(text).map(Quantity::Temperature),
                Quantity::Pressure(_) => quantity::read(text).map(Quantity::Pressure),
                Quantity::GaugePressure(_) => quantity::read(text).map(Quantity::GaugePressure),
                Quantity::HeatFlux(_) | Quantity::HeatTransfer(_) => {
                    let message = format!("`{}` can not be set in a job file", entry.key.value);
                    let help =
                        "take the entry out; a data folder of your own (--data) can hold another value";
                    self.fault(FaultKind::Key, entry.key.span, message, help);
                    continue;
                }
            };
            let (least, most) = row.range;
            match read {
                Ok(value) if (least..=most).contains(&value) => {
                    overrides.push(Override { key: entry.key.value.clone(), value });
                }
                Ok(_) => {
                    let range = [least, most].map(wording::quantity_words);
                    let message = format!("`{}` is outside the range that makes sense", entry.key.value);
                    let help = format!("write a value from {} to {}", range[0], range[1]);
                    self.fault(FaultKind::Range, entry.text.span, message, help);
                }
                Err(error) => {
                    self.fault(FaultKind::Quantity, entry.text.span, error.to_string(), error.help())
                }
            }
        }
        overrides
    }

    /// `Ok(None)` when faults were found that leave nothing to study.
    fn set(
        &mut self,
        set: &'a Set,
        stock: &StockChoice,
        overrides: &[Override],
    ) -> Result<Option<ResolvedSet<'a>>, TableError> {
        self.check_sizes(set, stock);
        let identity = match self.library.refrigerants().find(&set.refrigerant.value) {
            Ok(identity) => identity,
            Err(error) => {
                let help = wording::KNOWN_REFRIGERANTS;
                self.fault(FaultKind::Reference, set.refrigerant.span, error.to_string(), help);
                return Ok(None);
            }
        };
        if let Some(refusal) = self.library.materials().refusal(identity, Material::Copper) {
            let (message, help) = wording::material(refusal);
            let lines = set.lines.iter().map(|line| (line.tube.span, "a copper tube"));
            let fault = Fault::new(FaultKind::Contradiction, set.refrigerant.span, message, help);
            self.faults.push(lines.fold(fault, |fault, (span, label)| fault.also(span, label)));
            return Ok(None);
        }
        let known = self.library.grids()?;
        if !known.iter().any(|name| **name == *identity.name) {
            let message = format!("there are no property data for {} yet", identity.name);
            let help = format!("property data are there for {}", known.join(", "));
            self.fault(FaultKind::Reference, set.refrigerant.span, message, help);
            return Ok(None);
        }
        let name = identity.name.to_string();
        let table = self.fluids.of(&name, self.library)?;
        let fluid = match &table.fluid {
            Ok(fluid) => fluid.clone(),
            Err(error) => {
                let message = format!("the property data of {name} can not be used: {error}");
                self.fault(
                    FaultKind::Reference,
                    set.refrigerant.span,
                    message,
                    "mend the files in data/properties",
                );
                return Ok(None);
            }
        };
        self.ledger.note(format!("properties of {name}"), &table.provenance.source);
        self.ledger.note_words(
            format!("viscosity of {name}"),
            &table.provenance.viscosity,
            &table.provenance.source.grade.to_string(),
        );
        let mut assumptions: Vec<String> = stock.assumption.iter().cloned().collect();
        if self.job.site.altitude.is_none() {
            assumptions.push("gauge pressures are those at sea level (key site.altitude)".to_owned());
        }
        let operation = self.operation(set, identity, &fluid, overrides, &mut assumptions);
        let Some((operation, load_told)) = operation else { return Ok(None) };
        let greatest_condensing = set.greatest_condensing.as_ref().and_then(|greatest| {
            self.saturation_pressure("greatest_condensing", identity, &fluid, greatest, SaturationEnd::Bubble)
        });
        let Some(points) = self.points(set, &fluid, &operation) else { return Ok(None) };
        if let Some(summer) = points.iter().find_map(|(_, point)| *point) {
            self.check_rate(set, &summer, &stock.products);
        }
        let bands = self.library.bands(&name)?;
        let length_band = bands.length.value.get::<ratio>();
        let maker_limit = |length: &Option<Located<Length>>| {
            length.map(|length| Limit {
                value: Measure::Length(length.value),
                sense: Sense::AtMost,
                whose: Whose::Maker,
            })
        };
        let longest_run = set.maker.as_ref().and_then(|maker| maker_limit(&maker.longest_run));
        let highest_rise = set.maker.as_ref().and_then(|maker| maker_limit(&maker.highest_rise));
        let mut lines = Vec::new();
        for line in &set.lines {
            lines.extend(self.line(
                set,
                line,
                &stock.products,
                overrides,
                &bands,
                longest_run,
                &mut assumptions,
            ));
        }
        self.check_service(set, points.iter().find_map(|(_, point)| point.as_ref()), &stock.products);
        self.check_drain_valves(set, &points);
        let site =
            Site { job: self.job, library: self.library, pressure: air_pressure(atmosphere(self.job)) };
        let places = site.places(set, &fluid, &points, &lines, &mut self.ledger, &mut assumptions);
        let percent = |band: &Sourced<Ratio>| figure::six_digits(100.0 * band.value.get::<ratio>());
        let of_properties = format!(
            "95 % bands of {name}: density {} %, viscosity {} % (liquid), {} % (vapour)",
            percent(&bands.density),
            percent(&bands.liquid_viscosity),
            percent(&bands.vapour_viscosity)
        );
        self.ledger.note(of_properties, &bands.density.source);
        self.ledger
            .note(format!("95 % band of friction: {} %", percent(&bands.friction)), &bands.friction.source);
        self.ledger.note(format!("95 % band of lengths: {} %", percent(&bands.length)), &bands.length.source);
        self.ledger.note(
            format!("95 % band of the oil-return criterion: {} %", percent(&bands.oil_flux)),
            &bands.oil_flux.source,
        );
        self.ledger.note(
            format!("95 % band of heat exchange: {} %", percent(&bands.heat_transfer)),
            &bands.heat_transfer.source,
        );
        let surroundings_k = bands.surroundings.value.get::<temperature_interval::kelvin>();
        self.ledger.note(
            format!("95 % band of the air around lines: {} K", figure::six_digits(surroundings_k)),
            &bands.surroundings.source,
        );
        self.ledger.note(format!("95 % band of the load: {} %", percent(&bands.load)), &bands.load.source);
        Ok(Some(ResolvedSet {
            set,
            refrigerant: name,
            fluid,
            points,
            places,
            stock: stock.products.clone(),
            lines,
            length_band,
            density_band: bands.density.value.get::<ratio>(),
            assumptions,
            longest_run,
            highest_rise,
            strength: self.strength(set, overrides),
            load_told,
            greatest_condensing,
        }))
    }

    /// The temperatures whose pressure the set must hold at standstill, and the one that its lines are fitted at.
    fn strength(&mut self, set: &Set, overrides: &[Override]) -> SetStrength {
        let defaults = self.library.limits().defaults().clone();
        let as_temperature = |quantity: Quantity| match quantity {
            Quantity::Temperature(value) => Some(value),
            _ => None,
        };
        let default = |temperature, rule, source: &Source| DesignTemperature {
            temperature,
            rule: Some((rule, source.clone())),
        };
        let air = self.job.site.design_air.value;
        let (high_side, low_side) = match set.strength.design_temperature {
            Some(stated) => {
                let stated = DesignTemperature { temperature: stated.value, rule: None };
                (stated.clone(), stated)
            }
            None => {
                let above = self.taken(
                    overrides,
                    "design-temperature-above-air",
                    &defaults.design_temperature_above_air,
                    |quantity| match quantity {
                        Quantity::TemperatureInterval(value) => Some(value),
                        _ => None,
                    },
                );
                let high = &defaults.design_temperature_high_side_least;
                let least = self.taken(overrides, "design-temperature-high-side-least", high, as_temperature);
                let above = default(
                    air + above,
                    "the usual rise above the design air",
                    &defaults.design_temperature_above_air.source,
                );
                let high_side =
                    DesignTemperature::warmer(default(least, "the usual least", &high.source), above);
                let low = &defaults.design_temperature_low_side_least;
                let least = match set.line(Service::Suction) {
                    Some(_) => {
                        self.taken(overrides, "design-temperature-low-side-least", low, as_temperature)
                    }
                    None => low.value,
                };
                // At standstill a suction line outdoors is as warm as the air.
                let low_side = DesignTemperature::warmer(
                    default(least, "the usual least", &low.source),
                    default(air, "that of the design air, above the usual least", &low.source),
                );
                (high_side, low_side)
            }
        };
        let low_side_least = match set.line(Service::Suction) {
            Some(_) => self.taken(
                overrides,
                "design-pressure-low-side-least",
                &defaults.design_pressure_low_side_least,
                |quantity| match quantity {
                    Quantity::GaugePressure(value) => Some(value),
                    _ => None,
                },
            ),
            None => defaults.design_pressure_low_side_least.value,
        };
        let indoors = self.job.places.iter().find(|place| place.name.value == INDOORS);
        let stated = indoors.and_then(|place| place.air).map(|air| air.value);
        let fitted = stated
            .unwrap_or_else(|| self.taken(overrides, "air-indoors", &defaults.air_indoors, as_temperature));
        SetStrength {
            atmosphere: atmosphere(self.job),
            high_side,
            low_side,
            low_side_least,
            fitted,
            fitted_by_default: stated.is_none(),
        }
    }

    /// The pressure of a saturation temperature. A blend with glide must say which end is meant.
    fn saturation_pressure(
        &mut self,
        key: &str,
        identity: &Identity,
        fluid: &GridRefrigerant,
        written: &Located<SaturatedTemperature>,
        usual: SaturationEnd,
    ) -> Option<AbsolutePressure> {
        let temperature = written.value.temperature;
        let refrigerant = &identity.name;
        if temperature >= identity.critical_temperature.value {
            let (message, help) = wording::beyond_critical(key, identity);
            self.fault(FaultKind::Range, written.span, message, help);
            return None;
        }
        let end = match written.value.end {
            Some(end) => end,
            None => {
                let glide_k = glide_k(fluid, temperature).unwrap_or(0.0);
                if glide_k > NEGLIGIBLE_GLIDE_K {
                    let message = format!(
                        "{key} of {refrigerant} must say which end is meant: bubble and dew lie {glide_k:.1} K apart there"
                    );
                    let words = self.job.source.written(written.span).trim_matches('"').to_owned();
                    let help = format!("write \"{words} bubble\" or \"{words} dew\"");
                    self.fault(FaultKind::Value, written.span, message, help);
                    return None;
                }
                usual
            }
        };
        let found = match end {
            SaturationEnd::Bubble => fluid.at_bubble(BubbleTemperature::new(temperature)),
            SaturationEnd::Dew => fluid.at_dew(DewTemperature::new(temperature)),
        };
        match found {
            Ok(state) => Some(state.pressure),
            Err(refusal) => {
                self.outside(key, refrigerant, written.span, refusal);
                None
            }
        }
    }

    fn outside(&mut self, key: &str, refrigerant: &str, span: Span, refusal: OutsideRange) {
        let message = format!("{key} lies outside the property data of {refrigerant}");
        let help = format!(
            "{} runs from {} to {}",
            refusal.region.to_string().split(" (").next().unwrap_or_default(),
            wording::in_both_units(refusal, refusal.low),
            wording::in_both_units(refusal, refusal.high)
        );
        self.fault(FaultKind::Range, span, message, help);
    }

    fn operation(
        &mut self,
        set: &Set,
        identity: &Identity,
        fluid: &GridRefrigerant,
        overrides: &[Override],
        assumptions: &mut Vec<String>,
    ) -> Option<(Operation, LoadTold)> {
        let condensing =
            self.saturation_pressure("condensing", identity, fluid, &set.condensing, SaturationEnd::Bubble);
        let evaporator = match (set.duty.evaporating(), set.duty.superheat()) {
            (Some(evaporating), Some(superheat)) => {
                let pressure = self.saturation_pressure(
                    "evaporating",
                    identity,
                    fluid,
                    &evaporating,
                    SaturationEnd::Dew,
                );
                Some((pressure, superheat.value))
            }
            _ => None,
        };
        let low_head = self.low_head(set, identity, fluid);
        let condensing = condensing?;
        let evaporator = match evaporator {
            Some((pressure, superheat)) => Some(Evaporator { pressure: pressure?, superheat }),
            None => None,
        };
        let below_receiver = set.receiver_at.value == ReceiverAt::Condenser
            && set.subcooling.value.at != SubcoolingAt::ReceiverOutlet;
        let subcooling = if below_receiver {
            assumptions.push(
                "receiver at the condenser: the liquid line starts at the bubble line, and has only the static head \
                 below it (write subcooling = \"... at receiver outlet\" if it is subcooled there)"
                    .to_owned(),
            );
            TemperatureInterval::new::<temperature_interval::kelvin>(0.0)
        } else {
            set.subcooling.value.difference
        };
        let stand = load::Stand { fluid, refrigerant: &identity.name, evaporator, condensing, subcooling };
        let presumed = self.presumed(set, overrides);
        let Loaded { load, told } = match load::load(set, &self.job.attached.maps, presumed, &stand) {
            Ok(loaded) => loaded,
            Err(LoadFault { kind, span, message, help }) => {
                self.fault(kind, span, message, help);
                return None;
            }
        };
        assumptions.extend(told.assumptions.iter().cloned());
        if let Ok(ends) = fluid.ends(condensing) {
            let liquid = ends.bubble.temperature - subcooling;
            let air = self.job.site.design_air;
            if liquid < air.value && set.receiver_at.value != ReceiverAt::Condenser {
                let short_k = delta(air.value, liquid).get::<temperature_interval::kelvin>();
                let message = format!(
                    "liquid leaves the condenser {short_k:.1} K ({:.1} °F) colder than the air that cools it",
                    1.8 * short_k
                );
                let greatest =
                    delta(ends.bubble.temperature, air.value).get::<temperature_interval::kelvin>().max(0.0);
                let help = format!(
                    "at this condensing temperature and design air the subcooling stays below {greatest:.1} K ({:.1} °F)",
                    1.8 * greatest
                );
                self.faults.push(
                    Fault::new(FaultKind::Contradiction, set.subcooling.span, message, help)
                        .also(air.span, "the air")
                        .also(set.condensing.span, "the condensing temperature"),
                );
            }
        }
        let operation = Operation {
            evaporator,
            condensing,
            low_head,
            subcooling,
            load,
            peak_flow: set.peak_flow.map(|flow| flow.value),
            least_load: set.least_load.map(|load| load.value),
        };
        Some((operation, told))
    }

    /// What an estimate of the load from ice takes; noted only where there is one.
    fn presumed(&mut self, set: &Set, overrides: &[Override]) -> Presumed {
        let defaults = self.library.limits().defaults().clone();
        let [factor, band, efficiency] =
            [&defaults.ice_load_factor, &defaults.ice_load_band, &defaults.isentropic_efficiency];
        if !matches!(set.duty, LoadText::Ice { .. }) {
            return Presumed {
                ice_load_factor: factor.value,
                ice_load_band: band.value,
                isentropic_efficiency: efficiency.value,
            };
        }
        let as_ratio = |quantity: Quantity| match quantity {
            Quantity::Ratio(value) => Some(value),
            _ => None,
        };
        Presumed {
            ice_load_factor: self.taken(overrides, "ice-load-factor", factor, as_ratio),
            ice_load_band: self.taken(overrides, "ice-load-band", band, as_ratio),
            isentropic_efficiency: match set.compressor {
                Some(_) => efficiency.value,
                None => self.taken(overrides, "isentropic-efficiency", efficiency, as_ratio),
            },
        }
    }

    fn low_head(
        &mut self,
        set: &Set,
        identity: &Identity,
        fluid: &GridRefrigerant,
    ) -> Option<AbsolutePressure> {
        let setting = set.head_pressure.setting.as_ref()?;
        let pressure = match setting.value {
            HeadPressureSetting::Saturated(saturated) => {
                let written = Located { value: saturated, span: setting.span };
                return self.saturation_pressure(
                    "head_pressure.setting",
                    identity,
                    fluid,
                    &written,
                    SaturationEnd::Bubble,
                );
            }
            HeadPressureSetting::Pressure(reading) => reading.absolute(atmosphere(self.job)?),
        };
        if pressure >= identity.critical_pressure.value {
            let (message, help) = wording::beyond_critical("head_pressure.setting", identity);
            self.fault(FaultKind::Range, setting.span, message, help);
            return None;
        }
        Some(pressure)
    }

    fn points(
        &mut self,
        set: &Set,
        fluid: &GridRefrigerant,
        operation: &Operation,
    ) -> Option<Vec<(Condition, Option<OperatingPoint>)>> {
        let mut points = Vec::new();
        for condition in [Condition::Summer, Condition::LowHead, Condition::Peak, Condition::LeastLoad] {
            match operation.at(condition, fluid) {
                Ok(point) => points.push((condition, point)),
                Err(error) => {
                    self.operation_fault(set, condition, error);
                    return None;
                }
            }
        }
        // Where the coldest air is not stated, or the head floats down with it, there is no cold night to look at. Nothing is
        // judged by it, so a night that leaves the data is no fault.
        if self.job.site.lowest_air.is_some()
            && let Ok(Some(night)) = operation.at(Condition::ColdNight, fluid)
        {
            points.push((Condition::ColdNight, Some(night)));
        }
        Some(points)
    }

    fn operation_fault(&mut self, set: &Set, condition: Condition, error: OperationError) {
        let load_span = set.duty.span();
        let (span, message, help) = match error {
            OperationError::NotLifting => (
                set.condensing.span,
                "the evaporating pressure is not below the condensing pressure".to_owned(),
                "check evaporating and condensing",
            ),
            OperationError::Property(refusal) if condition == Condition::LowHead => (
                set.head_pressure.setting.as_ref().map_or(set.condensing.span, |setting| setting.span),
                format!(
                    "the lowest head pressure leads outside the property data: {}",
                    wording::outside(refusal)
                ),
                "check the setting: is it bubble or dew, gauge or absolute?",
            ),
            OperationError::Property(refusal) => (
                load_span,
                format!("discharge gas or liquid can not be computed: {}", wording::outside(refusal)),
                "check capacity against compressor_input (or discharge_gas), superheat and subcooling: an input far \
                 too large for the capacity makes the gas impossibly hot",
            ),
            other => {
                (load_span, other.to_string(), "check capacity, compressor_input, superheat and subcooling")
            }
        };
        self.fault(FaultKind::Contradiction, span, message, help);
    }

    /// Every size of the set that no product has: told even where the refrigerant stops all else.
    fn check_sizes(&mut self, set: &Set, stock: &StockChoice) {
        let of_lines = set.lines.iter().filter_map(|line| match &line.tube.value {
            TubeRequest::Size(request) => Some((request, line.tube.span)),
            TubeRequest::Choose => None,
        });
        let covered = set.maker.iter().flat_map(|maker| &maker.covered_tubes);
        let covered = covered.map(|covered| (&covered.tube.value, covered.tube.span));
        let connections = set.connections.head.iter().chain(&set.connections.condenser);
        let connections = connections.map(|connection| (&connection.size.value, connection.size.span));
        for (request, span) in of_lines.chain(covered).chain(connections) {
            if let Err(NotPicked { message, help }) = pick(request, &stock.products, self.library) {
                self.fault(FaultKind::Size, span, message, help);
            }
        }
    }

    /// The maker's charge per length against ours in the covered tubes: more than twice apart smells of a wrong unit.
    fn check_rate(&mut self, set: &Set, summer: &OperatingPoint, stock: &[TubeProduct]) {
        let Some(rates) = set.maker.as_ref().and_then(|maker| maker.charge_per_length.as_ref()) else {
            return;
        };
        if set.confirmed.iter().any(|key| key == "charge_per_length") {
            return;
        }
        let ours = |service: Service| {
            let covered = set.maker.iter().flat_map(|maker| &maker.covered_tubes);
            let covered = covered.filter(|tube| tube.service == service).map(|tube| &tube.tube.value).next();
            let request = covered.or(match &set.line(service)?.tube.value {
                TubeRequest::Size(request) => Some(request),
                TubeRequest::Choose => None,
            })?;
            let product = pick(request, stock, self.library).ok()?.product;
            let density = match service {
                Service::Discharge => summer.discharge.density,
                Service::Suction => summer.suction?.density,
                Service::Liquid | Service::Drain => summer.liquid.density,
            };
            Some(charge_per_length(density, product.tube.bore()))
        };
        let compared: Vec<(String, Span, LinearMassDensity, Option<LinearMassDensity>)> = match rates {
            ChargePerLength::Each(rates) => rates
                .iter()
                .map(|(service, rate)| {
                    (format!("{} line", service.name()), rate.span, rate.value, ours(*service))
                })
                .collect(),
            ChargePerLength::Together(rate) => {
                let both = set.lines.iter().map(|line| ours(line.service)).sum::<Option<LinearMassDensity>>();
                vec![("lines together".to_owned(), rate.span, rate.value, both)]
            }
        };
        for (what, span, stated, ours) in compared {
            let Some(ours) = ours.filter(|ours| far_apart(stated, *ours)) else {
                continue;
            };
            let [stated, ours] =
                [stated, ours].map(|rate| figure::mass_per_length(rate.value).both(Units::Us));
            let message = format!(
                "the maker's charge per length of the {what}, {stated}, is more than twice away from what the covered tube \
                 holds, {ours}"
            );
            let help = "check number and unit, or add `confirm = [\"charge_per_length\"]` to the set";
            self.fault(FaultKind::Confirm, span, message, help);
        }
    }

    /// The pipe from the roof runs full or drains freely: what receiver and head-pressure valve make of it. Where they leave
    /// both open, the writer has to say that the one written is meant.
    fn check_service(&mut self, set: &Set, summer: Option<&OperatingPoint>, stock: &[TubeProduct]) {
        let written = set.line(Service::Liquid).or(set.line(Service::Drain));
        let (Some(line), Some(summer)) = (written, summer) else { return };
        let found = flows(set);
        let wanted = match found {
            Flows::Full => Some((Service::Liquid, "runs full")),
            Flows::Drains => Some((Service::Drain, "drains freely")),
            Flows::AsBuilt => None,
        };
        let fault = match wanted {
            Some((service, _)) if service == line.service => None,
            Some((service, how)) => Some((
                FaultKind::Contradiction,
                format!(
                    "the pipe from the condenser {how} here, and this line is a {} line",
                    line.service.name()
                ),
                format!("write [set.{}.line.{}]", set.name.value, service.name()),
            )),
            None if set.confirmed.iter().any(|key| key == "service") => None,
            None => {
                let size = |service| self.smallest_by_velocity(service, summer, stock);
                Some((
                    FaultKind::Confirm,
                    "receiver at the head without a flooding valve: the pipe from the condenser may run full or drain \
                     freely, and the sizes lie far apart"
                        .to_owned(),
                    format!(
                        "by velocity alone, full (line.liquid) takes {}, draining freely (line.drain) {}; ask the maker, \
                         write the one it is and add `confirm = [\"service\"]` to the set",
                        size(Service::Liquid),
                        size(Service::Drain)
                    ),
                ))
            }
        };
        if let Some((kind, message, help)) = fault {
            let fault = Fault::new(kind, line.tube.span, message, help);
            self.faults.push(
                fault
                    .also(set.receiver_at.span, "the receiver")
                    .also(set.head_pressure.method.span, "the head pressure"),
            );
        }
    }

    /// The smallest stocked tube that keeps a service's greatest velocity at its greatest flow.
    fn smallest_by_velocity(
        &self,
        service: Service,
        point: &OperatingPoint,
        stock: &[TubeProduct],
    ) -> String {
        let defaults = self.library.limits().defaults();
        let greatest = match service {
            Service::Drain => &defaults.greatest_velocity_drain,
            _ => &defaults.greatest_velocity_liquid,
        };
        let needed = point.mass_rate / (point.liquid.density * greatest.value);
        let fits = |product: &&TubeProduct| product.tube.bore().area() >= needed;
        stock.iter().find(fits).map_or("more than the stock has".to_owned(), TubeProduct::printed_outside)
    }

    /// A check valve in a free drain opens only where the liquid above it is heavy enough.
    fn check_drain_valves(&mut self, set: &Set, points: &[(Condition, Option<OperatingPoint>)]) {
        let Some(line) = set.line(Service::Drain) else { return };
        for part in line.parts.iter().filter(|part| part.value.kind == PartKind::CheckValve) {
            let fall = set.route.lift();
            let Some(cracking) = part.value.cracking else {
                let message = "a check valve in a free drain whose opening pressure is not known";
                let help = "take it out, or add `cracking ... psi`: the liquid above it has to open it by its weight";
                self.fault(FaultKind::Missing, part.span, message, help);
                continue;
            };
            let worst = points.iter().filter_map(|(_, point)| {
                let vapour = point.as_ref()?.discharge.density;
                let column =
                    Column { liquid_density: point.as_ref()?.liquid.density, vapour_density: vapour };
                column.over_check_valve(fall, cracking, Pressure::new::<pascal>(0.0)).ok()
            });
            let least = worst.min_by(|a, b| a.margin.value.total_cmp(&b.margin.value));
            if least.is_none_or(|found| found.margin.value <= 0.0) {
                let kilopascals = least.map_or(0.0, |found| found.static_head.value.max(0.0) / 1e3);
                let message = format!(
                    "the liquid above this check valve presses with {:.1} psi ({kilopascals:.1} kPa) at most, and it opens \
                     at {:.1} psi ({:.1} kPa): a free drain would stand still",
                    kilopascals / PSI_KPA,
                    cracking.value / 1e3 / PSI_KPA,
                    cracking.value / 1e3
                );
                let help = "take the check valve out of the drain, or raise the condenser";
                self.fault(FaultKind::Contradiction, part.span, message, help);
            }
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn line(
        &mut self,
        set: &'a Set,
        line: &'a LineText,
        stock: &[TubeProduct],
        overrides: &[Override],
        bands: &Bands,
        longest_run: Option<Limit>,
        assumptions: &mut Vec<String>,
    ) -> Option<ResolvedLine<'a>> {
        let service = line.service;
        if service == Service::Suction && set.duty.evaporating().is_none() {
            let message = "a suction line needs the evaporating temperature and the superheat";
            let help = format!("add evaporating and superheat to [set.{}]", set.name.value);
            self.fault(FaultKind::Missing, line.tube.span, message, help);
            return None;
        }
        let mut candidates = stock.to_vec();
        let stated = match &line.tube.value {
            TubeRequest::Choose => None,
            TubeRequest::Size(request) => {
                let product = self.product(request, stock, assumptions)?;
                if !candidates.contains(&product) {
                    candidates.push(product.clone());
                    candidates
                        .sort_by(|a, b| a.tube.bore().get().value.total_cmp(&b.tube.bore().get().value));
                }
                candidates.iter().position(|candidate| *candidate == product)
            }
        };
        if candidates.is_empty() {
            let message = "no tube is left in stock for this line";
            self.fault(FaultKind::Contradiction, line.tube.span, message, "shorten stock.leave_out");
            return None;
        }
        let (limits, limit_sources, good_practice) = self.limits(line, overrides, longest_run);
        let viscosity = match service {
            Service::Discharge | Service::Suction => &bands.vapour_viscosity,
            Service::Liquid | Service::Drain => &bands.liquid_viscosity,
        };
        let defaults = self.library.limits().defaults().clone();
        let oil_density = match set.oil_density {
            Some(stated) => stated.value,
            None => {
                let value =
                    self.taken(overrides, "oil-density", &defaults.oil_density, |quantity| match quantity {
                        Quantity::MassDensity(value) => Some(value),
                        _ => None,
                    });
                let said = format!(
                    "oil of {:.0} kg/m3 in the risers (key oil_density; esters are denser, up to about {:.0})",
                    value.get::<kilogram_per_cubic_meter>(),
                    defaults.oil_density_ester.value.get::<kilogram_per_cubic_meter>()
                );
                if !assumptions.contains(&said) {
                    assumptions.push(said);
                }
                value
            }
        };
        let as_length = |quantity: Quantity| match quantity {
            Quantity::Length(value) => Some(value),
            _ => None,
        };
        let roughness = self.taken(overrides, "roughness-copper", &defaults.roughness_copper, as_length);
        let longest_searched =
            self.taken(overrides, "greatest-run-searched", &defaults.greatest_run_searched, as_length);
        let (insulation, finish) = self.surface(line)?;
        let share = |band: &Sourced<Ratio>| band.value.get::<ratio>();
        Some(ResolvedLine {
            text: line,
            service,
            candidates,
            stated,
            connected: Connected::of(set, service, stock, self.library),
            limits,
            limit_sources,
            good_practice,
            bands: vec![
                (Lever::Density, share(&bands.density)),
                (Lever::Viscosity, share(viscosity)),
                (Lever::Friction, share(&bands.friction)),
                (Lever::Length, share(&bands.length)),
                (Lever::OilFlux, share(&bands.oil_flux)),
                (Lever::HeatTransfer, share(&bands.heat_transfer)),
                (Lever::Surroundings, bands.surroundings.value.get::<temperature_interval::kelvin>()),
                (Lever::Load, share(&bands.load)),
            ],
            insulation,
            finish,
            wall_conductivity: self.library.strength().copper().conductivity.value,
            oil_density,
            roughness,
            longest_searched,
        })
    }

    /// Insulation of a line, and its finishes.
    fn surface(&mut self, line: &LineText) -> Option<(Option<Insulation>, Finish)> {
        let tables = self.library.insulation();
        let service = line.service.name();
        let insulation = match line.insulation {
            None => None,
            Some(thickness) => {
                let conductivity = match line.insulation_conductivity {
                    Some(stated) => Conductivity::constant(stated.value),
                    None => {
                        let material = tables.material(None).ok()?;
                        self.ledger.note(
                            format!("conductivity of {}", material.name),
                            &material.conductivity.source,
                        );
                        material.conductivity.value
                    }
                };
                Some(Insulation { thickness: thickness.value, conductivity })
            }
        };
        if let Some(finish) = &line.finish
            && let Err(error) = tables.finish(&finish.value)
        {
            let known: Vec<&str> = tables.finishes().iter().map(|finish| &*finish.name).collect();
            let help = format!("known finishes: {}", known.join(", "));
            self.fault(FaultKind::Reference, finish.span, error.to_string(), help);
            return None;
        }
        let mut finish = |usual: &str, counts: bool| {
            let name = line.finish.as_ref().map_or(usual, |finish| &finish.value);
            let finish = tables.finish(name).ok()?;
            if counts {
                self.ledger.note(format!("emissivity, {service} line, {name}"), &finish.emissivity.source);
            }
            Some(finish.surface())
        };
        // Copper darkens: within some years indoors, sooner in the weather.
        let (bare, wrapped) = (insulation.is_none(), insulation.is_some());
        let finish = Finish {
            wrapped: finish(&tables.material(None).ok()?.surface, wrapped)?,
            indoors: finish("dull copper", bare)?,
            outdoors: finish("oxidised copper", bare)?,
        };
        Some((insulation, finish))
    }

    /// The job's own value under a key, or the default, noted in the ledger.
    fn taken<T: Copy>(
        &mut self,
        overrides: &[Override],
        key: &str,
        default: &Sourced<T>,
        read: impl Fn(Quantity) -> Option<T>,
    ) -> T {
        if let Some(value) =
            overrides.iter().find(|entry| entry.key == key).and_then(|entry| read(entry.value))
        {
            self.ledger.note_words(key, "the job file, [limits]", "job");
            return value;
        }
        self.ledger.note(key, &default.source);
        default.value
    }

    fn limits(
        &mut self,
        line: &LineText,
        overrides: &[Override],
        longest_run: Option<Limit>,
    ) -> (Limits, LimitSources, Option<TemperatureInterval>) {
        let defaults = self.library.limits().defaults().clone();
        let fast_valve = line.parts.iter().any(|part| part.value.kind == PartKind::SolenoidValve);
        let (drop_key, drop, velocity_key, velocity, good_practice) = match line.service {
            Service::Discharge => (
                "saturated-temperature-drop-discharge",
                &defaults.saturated_temperature_drop_discharge,
                "greatest-velocity-discharge",
                &defaults.greatest_velocity_discharge,
                Some(defaults.good_practice_drop_discharge.value),
            ),
            Service::Suction => (
                "saturated-temperature-drop-suction",
                &defaults.saturated_temperature_drop_suction,
                "greatest-velocity-suction",
                &defaults.greatest_velocity_suction,
                None,
            ),
            Service::Liquid if fast_valve => (
                "saturated-temperature-drop-liquid",
                &defaults.saturated_temperature_drop_liquid,
                "greatest-velocity-liquid-fast-valve",
                &defaults.greatest_velocity_liquid_fast_valve,
                Some(defaults.good_practice_drop_liquid.value),
            ),
            Service::Liquid => (
                "saturated-temperature-drop-liquid",
                &defaults.saturated_temperature_drop_liquid,
                "greatest-velocity-liquid",
                &defaults.greatest_velocity_liquid,
                Some(defaults.good_practice_drop_liquid.value),
            ),
            Service::Drain => (
                "saturated-temperature-drop-liquid",
                &defaults.saturated_temperature_drop_liquid,
                "greatest-velocity-drain",
                &defaults.greatest_velocity_drain,
                None,
            ),
        };
        let as_difference = |quantity: Quantity| match quantity {
            Quantity::TemperatureInterval(value) => Some(Measure::TemperatureDifference(value)),
            _ => None,
        };
        let as_velocity = |quantity: Quantity| match quantity {
            Quantity::Velocity(value) => Some(Measure::Velocity(value)),
            _ => None,
        };
        // The criterion is passed with a margin: the limit is on the ratio to its least flow.
        let as_floor = |quantity: Quantity| match quantity {
            Quantity::Ratio(value) => Some(Measure::Ratio(value + Ratio::new::<ratio>(1.0))),
            _ => None,
        };
        let over = |margin: &Sourced<Ratio>| {
            margin.clone().map(|value| Measure::Ratio(value + Ratio::new::<ratio>(1.0)))
        };
        let (drop, drop_words) = self.limit(
            overrides,
            drop_key,
            drop.clone().map(Measure::TemperatureDifference),
            Sense::AtMost,
            Whose::Practice,
            as_difference,
        );
        let (velocity, velocity_words) = self.limit(
            overrides,
            velocity_key,
            velocity.clone().map(Measure::Velocity),
            Sense::AtMost,
            Whose::Practice,
            as_velocity,
        );
        let (flash_margin, flash_words) = self.limit(
            overrides,
            "flash-margin",
            defaults.flash_margin.clone().map(Measure::TemperatureDifference),
            Sense::AtLeast,
            Whose::Physics,
            as_difference,
        );
        let (oil_return, oil_words) = self.limit(
            overrides,
            "oil-return-flux-margin",
            over(&defaults.oil_return_flux_margin),
            Sense::AtLeast,
            Whose::Practice,
            as_floor,
        );
        let limits =
            Limits { saturated_temperature_drop: drop, velocity, flash_margin, oil_return, longest_run };
        let sources = LimitSources {
            saturated_temperature_drop: drop_words,
            velocity: velocity_words,
            flash_margin: flash_words,
            oil_return: oil_words,
        };
        (limits, sources, good_practice)
    }

    fn limit(
        &mut self,
        overrides: &[Override],
        key: &str,
        default: Sourced<Measure>,
        sense: Sense,
        whose: Whose,
        read: impl Fn(Quantity) -> Option<Measure>,
    ) -> (Limit, String) {
        match overrides.iter().find(|entry| entry.key == key).and_then(|entry| read(entry.value)) {
            Some(value) => {
                self.ledger.note_words(format!("limit {key}"), "the job file, [limits]", "job");
                (Limit { value, sense, whose: Whose::Job }, "the job file".to_owned())
            }
            None => {
                self.ledger.note(format!("limit {key}"), &default.source);
                (Limit { value: default.value, sense, whose }, words(&default.source))
            }
        }
    }

    /// The product of a size that [`Desk::check_sizes`] let pass.
    fn product(
        &self,
        request: &SizeRequest,
        stock: &[TubeProduct],
        assumptions: &mut Vec<String>,
    ) -> Option<TubeProduct> {
        let picked = pick(request, stock, self.library).ok()?;
        assumptions.extend(picked.assumption.filter(|said| !assumptions.contains(said)));
        Some(picked.product)
    }
}

impl Resolved<'_> {
    /// The same with other units first in remarks than the job asks for.
    #[must_use]
    pub fn printed_in(self, units: Option<Units>) -> Self {
        Self { units: units.unwrap_or(self.units), ..self }
    }

    /// Pressure of the air at the site.
    pub(crate) fn air_pressure(&self) -> AbsolutePressure {
        air_pressure(self.atmosphere)
    }

    /// Units that remarks print first.
    pub(crate) fn units(&self) -> Units {
        self.units
    }

    /// A value of an SI unit in words, in both systems.
    pub(crate) fn both(&self, value: f64, unit: &str) -> String {
        in_unit(value, unit).both(self.units)
    }
}

impl ResolvedSet<'_> {
    /// The line in one tube, with all that judging it takes.
    pub(crate) fn case(&self, line: &ResolvedLine<'_>, product: &TubeProduct, library: &Library) -> Case {
        self.case_at(line, product, library, &|_| true)
    }

    /// The same at some of the conditions.
    pub(crate) fn case_at(
        &self,
        line: &ResolvedLine<'_>,
        product: &TubeProduct,
        library: &Library,
        wanted: &dyn Fn(Condition) -> bool,
    ) -> Case {
        let into = line.connected.reducer(product, End::Inlet);
        let out_of = line.connected.reducer(product, End::Outlet);
        let (elements, stretch) = elements(self.set, line, product, library);
        let stretch = stretch.map(|index| index + usize::from(into.is_some()));
        let pieces = into.into_iter().chain(elements).chain(out_of).collect();
        let mut duties: Vec<_> =
            self.points.iter().filter_map(|(_, point)| point.as_ref()?.duty(line.service)).collect();
        duties.retain(|duty| wanted(duty.condition));
        let tube = Line::new(product.tube.bore(), line.roughness, pieces);
        for duty in &mut duties {
            let found = self.exchanges(line, product, &tube, duty).unwrap_or_default();
            duty.exchanges = found.iter().map(|exchange| exchange.linear).collect();
        }
        Case {
            service: line.service,
            line: tube,
            duties,
            limits: line.limits,
            oil_density: line.oil_density,
            stretch,
        }
    }

    /// The legs of the route in the direction of flow.
    pub(crate) fn legs(&self, service: Service) -> Vec<&Leg> {
        let mut legs: Vec<&Leg> = self.set.route.legs.iter().map(|leg| &leg.value).collect();
        if runs_backwards(service) {
            legs.reverse();
        }
        legs
    }

    /// Film inside the line of a service at a mass rate, with the properties of what enters it in summer.
    pub(crate) fn film(
        &self,
        service: Service,
        product: &TubeProduct,
        mass_rate: MassRate,
    ) -> Option<HeatTransfer> {
        let summer = self.points.iter().find_map(|(_, point)| *point)?;
        film(&self.fluid, product, &entering(&summer, service)?, mass_rate)
    }

    /// What each leg of a line exchanges with its place.
    ///
    /// # Errors
    /// [`ExchangeError`]; the line is then marched without heat, and the sheet says so.
    pub(crate) fn exchanges(
        &self,
        line: &ResolvedLine<'_>,
        product: &TubeProduct,
        tube: &Line,
        duty: &Duty,
    ) -> Result<Vec<Exchange>, ExchangeError> {
        let settings: Vec<Setting> = self
            .legs(line.service)
            .iter()
            .filter_map(|leg| {
                let surroundings = self.places.at(&leg.place, duty.condition)?;
                let pipe = line.pipe(product, stand(leg), self.places.outdoors(&leg.place));
                Some(Setting { pipe, surroundings })
            })
            .collect();
        let found = exchanges(&self.fluid, tube, &settings, duty.inlet(line.service.phase()))?;
        Ok(found.value)
    }
}

/// Liquid flows the route backwards, from the condenser to the head.
pub(super) fn runs_backwards(service: Service) -> bool {
    matches!(service, Service::Liquid | Service::Drain)
}

impl ResolvedLine<'_> {
    /// The tube that stands for the line where its choice has not been made yet.
    pub(crate) fn representative(&self) -> &TubeProduct {
        &self.candidates[self.stated.unwrap_or(self.candidates.len() / 2)]
    }

    /// The line in one tube as its surroundings see it.
    pub(crate) fn pipe(&self, product: &TubeProduct, stand: Stand, outdoors: bool) -> Pipe {
        self.pipe_with(product, stand, outdoors, self.insulation)
    }

    /// The same line in other insulation.
    pub(crate) fn with_insulation(&self, insulation: Option<Insulation>) -> Self {
        Self { insulation, ..self.clone() }
    }

    /// As [`pipe`](Self::pipe), with other insulation.
    pub(crate) fn pipe_with(
        &self,
        product: &TubeProduct,
        stand: Stand,
        outdoors: bool,
        insulation: Option<Insulation>,
    ) -> Pipe {
        let surface = match insulation {
            Some(_) => self.finish.wrapped,
            None if outdoors => self.finish.outdoors,
            None => self.finish.indoors,
        };
        let (tube, wall_conductivity) = (product.tube, self.wall_conductivity);
        Pipe { tube, wall_conductivity, insulation, surface, stand }
    }
}

pub(crate) fn words(source: &Source) -> String {
    let text = source.text.to_string();
    if text.contains(&source.grade.to_string()) { text } else { format!("{text} ({})", source.grade) }
}

/// Whether two charges per length lie more than twice apart.
pub(super) fn far_apart(stated: LinearMassDensity, ours: LinearMassDensity) -> bool {
    !(0.5..=2.0).contains(&(stated / ours).get::<ratio>())
}

/// Dew less bubble temperature at the pressure whose bubble temperature is given.
pub(super) fn glide_k(fluid: &GridRefrigerant, temperature: ThermodynamicTemperature) -> Option<f64> {
    let pressure = fluid.at_bubble(BubbleTemperature::new(temperature)).ok()?.pressure;
    let dew = fluid.dew_temperature(pressure).ok()?;
    Some(delta(dew.get(), temperature).get::<temperature_interval::kelvin>())
}

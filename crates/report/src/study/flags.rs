//! Charge from flags alone: for somebody on a roof without a job file.

use super::{
    charge::{ChargeFigures, LineFigures, charge_from_figures},
    ledger::Ledger,
    resolve::{far_apart, glide_k},
    tubes::{NotPicked, pick, same_outside},
    wording,
};
use crate::{
    figure::{self, Units},
    job::{
        SaturatedTemperature, SaturationEnd, SizeRequest,
        quantity::{self, Quantity, QuantityError, Range},
        size,
    },
    view::{AssumptionView, ChargeView},
};
use physics::{
    charge::charge_per_length,
    fluid::{GridRefrigerant, OutsideRange, Refrigerant, State},
    sizing::Service,
    units::{
        BubbleTemperature, DewTemperature, Length, LinearMassDensity, TemperatureInterval,
        ThermodynamicTemperature, standard_atmosphere,
        unit::{ratio::ratio, temperature_interval::kelvin, thermodynamic_temperature::degree_celsius},
    },
};
use std::fmt;
use tables::{
    Library, TableError, materials::Material, refrigerants::Refrigerant as Identity, tubes::TubeProduct,
};

/// Tubes that flags choose from, and the table by size shows.
const STOCK: [&str; 2] = ["ASTM B280 coil", "ASTM B280 straight"];
/// What is assumed where no flag says it. Common practice, no source.
const CONDENSING: &str = "110 °F bubble";
const SUBCOOLING: &str = "8 °F";
/// Discharge gas above the condensing bubble temperature: 70 °F.
const GAS_ABOVE_BUBBLE_K: f64 = 70.0 / 1.8;

const TEMPERATURES: Range =
    Range { least: 173.15, most: 473.15, says: "-100 °C to 200 °C (-148 °F to 392 °F)" };
const DIFFERENCES: Range = Range { least: 0.0, most: 50.0, says: "0 to 50 K (0 to 90 °F)" };
const LENGTHS: Range = Range { least: 0.0, most: 1000.0, says: "0 to 1000 m (0 to 3280 ft)" };
const MASSES: Range = Range { least: 0.0, most: 1000.0, says: "0 to 1000 kg (0 to 2200 lb)" };
const RATES: Range = Range { least: 0.0, most: 20.0, says: "0 to 20 kg/m (0 to 215 oz/ft)" };

/// The flags as they were written.
#[derive(Clone, Copy, Debug, Default)]
#[allow(missing_docs)] // each is the option of its name
pub struct ChargeInputs<'a> {
    pub refrigerant: &'a str,
    pub discharge: &'a str,
    pub liquid: &'a str,
    pub run: &'a str,
    pub covered_run: Option<&'a str>,
    pub covered_discharge: Option<&'a str>,
    pub covered_liquid: Option<&'a str>,
    pub condensing: Option<&'a str>,
    pub subcooling: Option<&'a str>,
    pub discharge_gas: Option<&'a str>,
    pub factory_charge: Option<&'a str>,
    pub receiver: Option<bool>,
    pub rate_liquid: Option<&'a str>,
    pub rate_discharge: Option<&'a str>,
    pub rate: Option<&'a str>,
}

/// One flag that can not be understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FlagText {
    /// Name of the flag without its dashes.
    pub flag: &'static str,
    /// What was given.
    pub given: String,
    /// What is wrong.
    pub why: String,
    /// What to write instead.
    pub instead: String,
}

impl fmt::Display for FlagText {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "--{} \"{}\": {}\n  {}", self.flag, self.given, self.why, self.instead)
    }
}

/// The flags that could not be understood so far.
#[derive(Debug, Default)]
pub(super) struct FlagFaults(Vec<FlagText>);

impl FlagFaults {
    pub(super) fn add(
        &mut self,
        flag: &'static str,
        given: &str,
        why: impl Into<String>,
        instead: impl Into<String>,
    ) {
        self.0.push(FlagText { flag, given: given.to_owned(), why: why.into(), instead: instead.into() });
    }

    /// What was read; where nothing could be, the fault is kept.
    pub(super) fn kept<T>(
        &mut self,
        flag: &'static str,
        given: &str,
        read: Result<T, QuantityError>,
    ) -> Option<T> {
        read.map_err(|error| self.add(flag, given, error.to_string(), error.help())).ok()
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn into_texts(self) -> Vec<FlagText> {
        self.0
    }
}

/// Why flags give no answer.
#[derive(Debug)]
pub enum FlagFault {
    /// The tables are at fault.
    Tables(TableError),
    /// Flags are at fault: all of them at once.
    Flags(Vec<FlagText>),
}

impl From<TableError> for FlagFault {
    fn from(error: TableError) -> Self {
        Self::Tables(error)
    }
}

/// Computes the charge from flags.
///
/// # Errors
/// [`FlagFault`].
pub fn charge_from_flags(
    inputs: &ChargeInputs<'_>,
    library: &Library,
    units: Units,
) -> Result<ChargeView, FlagFault> {
    let mut counter = Counter {
        library,
        units,
        faults: FlagFaults::default(),
        assumptions: Vec::new(),
        ledger: Ledger::default(),
    };
    let figures = counter.figures(inputs)?;
    match figures {
        Some(figures) if counter.faults.is_empty() => {
            Ok(charge_from_figures(&figures, counter.ledger.into_view()))
        }
        _ => Err(FlagFault::Flags(counter.faults.into_texts())),
    }
}

struct Counter<'a> {
    library: &'a Library,
    units: Units,
    faults: FlagFaults,
    assumptions: Vec<AssumptionView>,
    ledger: Ledger,
}

impl<'a> Counter<'a> {
    fn assume(&mut self, what: impl Into<String>, option: &str) {
        self.assumptions.push(AssumptionView { what: what.into(), change_with: format!("--{option}") });
    }

    fn quantity<Q: Quantity>(&mut self, flag: &'static str, given: Option<&str>, range: &Range) -> Option<Q> {
        let given = given?;
        let read = quantity::read_within(given, range);
        self.faults.kept(flag, given, read)
    }

    fn figures(&mut self, inputs: &ChargeInputs<'_>) -> Result<Option<ChargeFigures>, TableError> {
        let stock = self.stock()?;
        let run: Option<Length> = self.quantity("run", Some(inputs.run), &LENGTHS);
        let covered_run: Option<Length> = self.quantity("covered-run", inputs.covered_run, &LENGTHS);
        let factory_charge = inputs.factory_charge.and_then(|given| {
            self.faults.kept("factory-charge", given, quantity::read_plate_mass(given, &MASSES))
        });
        let rate: Option<LinearMassDensity> = self.quantity("rate", inputs.rate, &RATES);
        let rate_discharge: Option<LinearMassDensity> =
            self.quantity("rate-discharge", inputs.rate_discharge, &RATES);
        let rate_liquid: Option<LinearMassDensity> = self.quantity("rate-liquid", inputs.rate_liquid, &RATES);
        let discharge = self.tube("discharge", inputs.discharge, &stock);
        let liquid = self.tube("liquid", inputs.liquid, &stock);
        let covered_discharge =
            self.covered("covered-discharge", inputs.covered_discharge, &discharge, &stock);
        let covered_liquid = self.covered("covered-liquid", inputs.covered_liquid, &liquid, &stock);
        if inputs.covered_run.is_some() && factory_charge.is_none() && inputs.factory_charge.is_none() {
            self.assume("the factory charge is not stated, so there is no total with it", "factory-charge");
        }
        let receiver = inputs.receiver.unwrap_or_else(|| {
            self.assume("the circuit has a receiver: nothing is taken out for a short run", "receiver");
            true
        });
        let Some((identity, fluid)) = self.refrigerant(inputs.refrigerant)? else { return Ok(None) };
        let name = identity.name.to_string();
        let states = self.states(inputs, identity, &fluid);
        let bands = self.library.bands(&name)?;
        self.ledger.note("95 % band of density", &bands.density.source);
        self.ledger.note("95 % band of measured length", &bands.length.source);
        let (
            (Some(run), Some((gas, liquid_state))),
            (Some(discharge), Some(covered_discharge)),
            (Some(liquid), Some(covered_liquid)),
        ) = ((run, states), (discharge, covered_discharge), (liquid, covered_liquid))
        else {
            return Ok(None);
        };
        let held =
            |state: &State, product: &TubeProduct| charge_per_length(state.density, product.tube.bore());
        let (in_discharge, in_liquid) =
            (held(&gas, &covered_discharge), held(&liquid_state, &covered_liquid));
        self.check_rate("rate-discharge", inputs.rate_discharge, rate_discharge, in_discharge);
        self.check_rate("rate-liquid", inputs.rate_liquid, rate_liquid, in_liquid);
        self.check_rate("rate", inputs.rate, rate, in_discharge + in_liquid);
        self.assumptions.push(AssumptionView {
            what: "gauge pressures are those at sea level (a job file takes the altitude)".to_owned(),
            change_with: String::new(),
        });
        let mut remarks = wording::near_critical(&fluid, gas.pressure);
        let mut stated = |rate: Option<LinearMassDensity>, product: &TubeProduct, covered: &TubeProduct| {
            let same = same_outside(product, covered);
            if rate.is_some() && !same {
                remarks.push(format!(
                    "the maker's rate belongs to {}; this run is {}, so ours is used",
                    covered.printed_outside(),
                    product.printed_outside()
                ));
            }
            rate.filter(|_| same)
        };
        let rate_discharge = stated(rate_discharge, &discharge, &covered_discharge);
        let rate_liquid = stated(rate_liquid, &liquid, &covered_liquid);
        let together = stated(rate, &liquid, &covered_liquid);
        let maker_rate_together = stated(together, &discharge, &covered_discharge);
        for product in [&discharge, &liquid] {
            self.ledger.note(format!("tube {}", product.printed_name()), &product.source);
        }
        let line = |service, product, covered, state: State, maker_rate| LineFigures {
            service,
            product,
            covered,
            state: state.into(),
            density: state.density,
            maker_rate,
        };
        Ok(Some(ChargeFigures {
            name: "from flags".to_owned(),
            refrigerant: name,
            run,
            covered_run,
            longest_run: None,
            factory_charge,
            receiver,
            lines: vec![
                line(Service::Discharge, discharge, covered_discharge, gas, rate_discharge),
                line(Service::Liquid, liquid, covered_liquid, liquid_state, rate_liquid),
            ],
            incomplete: false,
            maker_rate_together,
            stock,
            density_band: bands.density.value.get::<ratio>(),
            length_band: bands.length.value.get::<ratio>(),
            assumptions: std::mem::take(&mut self.assumptions),
            remarks,
            units: self.units,
            atmosphere: standard_atmosphere(Length::default()),
        }))
    }

    /// The maker's rate against what the covered tubes hold: more than twice apart smells of a wrong unit.
    fn check_rate(
        &mut self,
        flag: &'static str,
        given: Option<&str>,
        stated: Option<LinearMassDensity>,
        ours: LinearMassDensity,
    ) {
        if let (Some(given), Some(stated)) = (given, stated)
            && far_apart(stated, ours)
        {
            let holds = figure::mass_per_length(ours.value).both(self.units);
            let why = format!("more than twice away from what the covered tube holds, {holds}");
            let instead = "check number and unit; a job file can confirm such a rate (confirm = [\"charge_per_length\"])";
            self.faults.add(flag, given, why, instead);
        }
    }

    fn stock(&self) -> Result<Vec<TubeProduct>, TableError> {
        let mut stock = Vec::new();
        for description in STOCK {
            stock.extend(self.library.tubes().stock(description)?);
        }
        stock.sort_by(|a: &TubeProduct, b| a.tube.bore().get().value.total_cmp(&b.tube.bore().get().value));
        Ok(stock)
    }

    fn tube(&mut self, flag: &'static str, given: &str, stock: &[TubeProduct]) -> Option<TubeProduct> {
        let request: SizeRequest = size::read(given)
            .map_err(|error| self.faults.add(flag, given, error.to_string(), error.help()))
            .ok()?;
        match pick(&request, stock, self.library) {
            Ok(picked) => {
                if let Some(said) = picked.assumption {
                    self.assume(said, flag);
                }
                Some(picked.product)
            }
            Err(NotPicked { message, help }) => {
                self.faults.add(flag, given, message, help);
                None
            }
        }
    }

    fn covered(
        &mut self,
        flag: &'static str,
        given: Option<&str>,
        this: &Option<TubeProduct>,
        stock: &[TubeProduct],
    ) -> Option<TubeProduct> {
        match given {
            Some(given) => self.tube(flag, given, stock),
            None => {
                if let Some(this) = this {
                    self.assume(
                        format!("the factory charge covers {}, as this run", this.printed_outside()),
                        flag,
                    );
                }
                this.clone()
            }
        }
    }

    fn refrigerant(&mut self, given: &str) -> Result<Option<(&'a Identity, GridRefrigerant)>, TableError> {
        let known = self.library.grids()?;
        let identity = match self.library.refrigerants().find(given) {
            Ok(identity) => identity,
            Err(error) => {
                self.faults.add("refrigerant", given, error.to_string(), wording::KNOWN_REFRIGERANTS);
                return Ok(None);
            }
        };
        if let Some(refusal) = self.library.materials().refusal(identity, Material::Copper) {
            let (why, instead) = wording::material(refusal);
            self.faults.add("refrigerant", given, why, instead);
            return Ok(None);
        }
        let name = identity.name.to_string();
        if !known.contains(&name) {
            let help = format!("property data are there for {}", known.join(", "));
            self.faults.add("refrigerant", given, format!("there are no property data for {name} yet"), help);
            return Ok(None);
        }
        let table = self.library.property_table(&name)?;
        self.ledger.note(format!("properties of {name}"), &table.provenance.source);
        match GridRefrigerant::new(&table.data) {
            Ok(fluid) => Ok(Some((identity, fluid))),
            Err(error) => {
                self.faults.add("refrigerant", given, error.to_string(), "mend the files in data/properties");
                Ok(None)
            }
        }
    }

    /// Discharge gas and liquid.
    fn states(
        &mut self,
        inputs: &ChargeInputs<'_>,
        identity: &Identity,
        fluid: &GridRefrigerant,
    ) -> Option<(State, State)> {
        let name = &*identity.name;
        let written = inputs.condensing.unwrap_or_else(|| {
            self.assume(format!("condensing at {CONDENSING}"), "condensing");
            CONDENSING
        });
        let read = quantity::read_saturated(written, &TEMPERATURES);
        let SaturatedTemperature { temperature, end } = self.faults.kept("condensing", written, read)?;
        if temperature >= identity.critical_temperature.value {
            let (why, instead) = wording::beyond_critical("condensing", identity);
            self.faults.add("condensing", written, why, instead);
            return None;
        }
        let glide = glide_k(fluid, temperature).unwrap_or(0.0);
        if end.is_none() && glide > super::resolve::NEGLIGIBLE_GLIDE_K {
            let why = format!("{name} has glide: bubble and dew lie {glide:.1} K apart there");
            self.faults.add(
                "condensing",
                written,
                why,
                format!("write \"{written} bubble\" or \"{written} dew\""),
            );
            return None;
        }
        let pressure = match end {
            Some(SaturationEnd::Dew) => fluid.at_dew(DewTemperature::new(temperature)),
            _ => fluid.at_bubble(BubbleTemperature::new(temperature)),
        };
        let pressure = self.inside("condensing", written, name, pressure)?.pressure;
        let subcooling: TemperatureInterval = match inputs.subcooling {
            Some(given) => self.quantity("subcooling", Some(given), &DIFFERENCES)?,
            None => {
                self.assume(format!("liquid {SUBCOOLING} below its bubble line"), "subcooling");
                quantity::read_within(SUBCOOLING, &DIFFERENCES).ok()?
            }
        };
        let bubble = self.inside("condensing", written, name, fluid.ends(pressure))?.bubble;
        let gas_temperature: ThermodynamicTemperature = match inputs.discharge_gas {
            Some(given) => self.quantity("discharge-gas", Some(given), &TEMPERATURES)?,
            None => {
                let gas = bubble.temperature + TemperatureInterval::new::<kelvin>(GAS_ABOVE_BUBBLE_K);
                let words = figure::temperature(gas.get::<degree_celsius>()).both(self.units);
                self.assume(
                    format!("discharge gas at {words}, 70 °F above the bubble temperature"),
                    "discharge-gas",
                );
                gas
            }
        };
        let liquid = if subcooling.value > 0.0 {
            fluid.liquid_at(pressure, bubble.temperature - subcooling)
        } else {
            Ok(bubble)
        };
        let gas = fluid.vapour_at(pressure, gas_temperature);
        let gas = self.inside("discharge-gas", inputs.discharge_gas.unwrap_or("assumed"), name, gas);
        let liquid = self.inside("subcooling", inputs.subcooling.unwrap_or(SUBCOOLING), name, liquid);
        Some((gas?, liquid?))
    }

    fn inside<T>(
        &mut self,
        flag: &'static str,
        given: &str,
        name: &str,
        found: Result<T, OutsideRange>,
    ) -> Option<T> {
        found
            .map_err(|refusal| {
                self.faults.add(
                    flag,
                    given,
                    format!("{name}: {}", wording::outside(refusal)),
                    "check the figure and its unit",
                );
            })
            .ok()
    }
}

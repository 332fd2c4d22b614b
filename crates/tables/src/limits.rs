//! Default limits, the values behind the methods, densities of oils, and bands of the uncertain inputs.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{Grade, Source, Sourced},
    refrigerants::Refrigerant,
    sheet::{Row, Sheet, Unique, Word},
    suggest::nearest,
};
use physics::units::{
    GaugePressure, HeatFluxDensity, HeatTransfer, Length, MassDensity, Pressure, Ratio, TemperatureInterval,
    ThermodynamicTemperature, Velocity, delta,
    unit::{
        heat_flux_density::watt_per_square_meter,
        heat_transfer::watt_per_square_meter_kelvin,
        length::{inch, meter},
        mass_density::kilogram_per_cubic_meter,
        pressure::psi,
        ratio::percent,
        temperature_interval::{degree_fahrenheit, kelvin as kelvin_interval},
        thermodynamic_temperature::{
            degree_celsius, degree_fahrenheit as degree_fahrenheit_of_temperature, kelvin,
        },
        velocity::{foot_per_minute, meter_per_second},
    },
};
use std::{fmt, sync::Arc};

const FILE: &str = "limits/limits.csv";
const OIL_FILE: &str = "limits/oil_density.csv";
const BANDS_FILE: &str = "limits/bands.csv";

/// How a limit binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Refuses a greater value.
    AtMost,
    /// Refuses a smaller value.
    AtLeast,
    /// Remarks on a greater value, never refuses it.
    RemarkAtMost,
    /// Remarks on a smaller value, never refuses it.
    RemarkAtLeast,
    /// No limit: the value that a method takes unless told otherwise.
    Default,
    /// Kept to compare with; nothing takes it.
    Reference,
}

impl Word for Sense {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("at most", Self::AtMost),
        ("at least", Self::AtLeast),
        ("remark at most", Self::RemarkAtMost),
        ("remark at least", Self::RemarkAtLeast),
        ("default", Self::Default),
        ("reference", Self::Reference),
    ];
}

impl Sense {
    /// Whether the row limits nothing and no method takes it: a remark or a reference.
    #[must_use]
    pub fn is_remark(self) -> bool {
        matches!(self, Self::RemarkAtMost | Self::RemarkAtLeast | Self::Reference)
    }
}

/// Line that a limit is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Service {
    /// Compressor to condenser.
    Discharge,
    /// Full liquid.
    Liquid,
    /// Free-draining condensate.
    Drain,
    /// Evaporator to compressor.
    Suction,
    /// Any line.
    Any,
}

impl Word for Service {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("discharge", Self::Discharge),
        ("liquid", Self::Liquid),
        ("drain", Self::Drain),
        ("suction", Self::Suction),
        ("any", Self::Any),
    ];
}

impl fmt::Display for Service {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Value of a limit.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
#[allow(missing_docs)] // each holds the quantity that names it
pub enum Quantity {
    TemperatureInterval(TemperatureInterval),
    Velocity(Velocity),
    Ratio(Ratio),
    MassDensity(MassDensity),
    Length(Length),
    Temperature(ThermodynamicTemperature),
    /// A difference of two pressures.
    Pressure(Pressure),
    GaugePressure(GaugePressure),
    HeatFlux(HeatFluxDensity),
    HeatTransfer(HeatTransfer),
}

/// One row of the limits table.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Stable key: `greatest-velocity-drain`.
    pub key: Arc<str>,
    /// Its value.
    pub value: Quantity,
    /// Least and greatest value that a job may put in its place.
    pub range: (Quantity, Quantity),
    /// How it binds.
    pub sense: Sense,
    /// The line it is about.
    pub service: Service,
    /// When or for what it holds, in words.
    pub condition_note: Arc<str>,
    /// Where it comes from.
    pub source: Source,
}

/// The values that the program cannot do without, each under its quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Defaults {
    /// Greatest saturated temperature drop of a discharge line.
    pub saturated_temperature_drop_discharge: Sourced<TemperatureInterval>,
    /// Greatest saturated temperature drop of a liquid line.
    pub saturated_temperature_drop_liquid: Sourced<TemperatureInterval>,
    /// Greatest saturated temperature drop of a suction line.
    pub saturated_temperature_drop_suction: Sourced<TemperatureInterval>,
    /// Saturated temperature drop of a discharge line that counts as good practice: a remark.
    pub good_practice_drop_discharge: Sourced<TemperatureInterval>,
    /// Saturated temperature drop of a liquid line that counts as good practice: a remark.
    pub good_practice_drop_liquid: Sourced<TemperatureInterval>,
    /// Greatest velocity in a discharge line.
    pub greatest_velocity_discharge: Sourced<Velocity>,
    /// Greatest velocity in a suction line.
    pub greatest_velocity_suction: Sourced<Velocity>,
    /// Greatest velocity in a liquid line without a fast valve.
    pub greatest_velocity_liquid: Sourced<Velocity>,
    /// Greatest velocity in a liquid line that a fast valve closes.
    pub greatest_velocity_liquid_fast_valve: Sourced<Velocity>,
    /// Greatest velocity, full bore, in a line of free-draining condensate.
    pub greatest_velocity_drain: Sourced<Velocity>,
    /// Least flash margin.
    pub flash_margin: Sourced<TemperatureInterval>,
    /// Least margin of the mass flux above the oil-return criterion.
    pub oil_return_flux_margin: Sourced<Ratio>,
    /// Density of an oil of unstated kind.
    pub oil_density: Sourced<MassDensity>,
    /// Density of an ester oil.
    pub oil_density_ester: Sourced<MassDensity>,
    /// Roughness of drawn copper tube.
    pub roughness_copper: Sourced<Length>,
    /// How far the allowable length is searched.
    pub greatest_run_searched: Sourced<Length>,
    /// Saturated temperature of the design pressure above the summer design air: high side, air-cooled condenser.
    pub design_temperature_above_air: Sourced<TemperatureInterval>,
    /// Least saturated temperature of the design pressure: high side, air-cooled condenser.
    pub design_temperature_high_side_least: Sourced<ThermodynamicTemperature>,
    /// Least saturated temperature of the design pressure: low side.
    pub design_temperature_low_side_least: Sourced<ThermodynamicTemperature>,
    /// Least design pressure of the low side.
    pub design_pressure_low_side_least: Sourced<GaugePressure>,
    /// Sun on a surface that faces it on a clear day.
    pub sun_clear_day: Sourced<HeatFluxDensity>,
    /// Wind outdoors, low.
    pub wind_outdoors: Sourced<Velocity>,
    /// Wind indoors.
    pub wind_indoors: Sourced<Velocity>,
    /// Air of a place whose air is not stated.
    pub air_indoors: Sourced<ThermodynamicTemperature>,
    /// Outdoor air on the day on which sweating is judged.
    pub air_muggy: Sourced<ThermodynamicTemperature>,
    /// Relative humidity indoors, for sweating.
    pub humidity_indoors: Sourced<Ratio>,
    /// Relative humidity outdoors and in an attic, for sweating.
    pub humidity_outdoors: Sourced<Ratio>,
    /// Greatest temperature of bare metal that someone can touch for a second.
    pub touch_temperature_metal: Sourced<ThermodynamicTemperature>,
    /// Greatest temperature of plastic or rubber that someone can touch for a second.
    pub touch_temperature_insulation: Sourced<ThermodynamicTemperature>,
    /// Heat transfer through the enclosure of a chase of unstated construction.
    pub chase_heat_transfer: Sourced<HeatTransfer>,
    /// Girth of a chase of unstated size.
    pub chase_girth: Sourced<Length>,
    /// Height of the inverted loop at the top of a rising line.
    pub inverted_loop_height: Sourced<Length>,
    /// Developed length of a trap that can stand full of oil.
    pub trap_length: Sourced<Length>,
    /// Least margin of the opening difference of a bypass above the drop of the branch that it bypasses.
    pub branch_budget_margin: Sourced<Pressure>,
}

/// One measured density of an oil at about atmospheric pressure, free of refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub struct OilDensity {
    /// Stable key of the oil: `polyol-ester-32`.
    pub key: Arc<str>,
    /// The oil.
    pub oil: Arc<str>,
    /// Temperature of the measurement.
    pub temperature: ThermodynamicTemperature,
    /// Density, with its source.
    pub density: Sourced<MassDensity>,
}

/// Half-widths of the 95 % bands of the uncertain inputs, relative unless a temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Bands {
    /// Density, liquid and vapour.
    pub density: Sourced<Ratio>,
    /// Saturation pressure.
    pub pressure: Sourced<Ratio>,
    /// Viscosity of the liquid.
    pub liquid_viscosity: Sourced<Ratio>,
    /// Viscosity of the vapour.
    pub vapour_viscosity: Sourced<Ratio>,
    /// Friction factor.
    pub friction: Sourced<Ratio>,
    /// Measured length of the route.
    pub length: Sourced<Ratio>,
    /// Least flow of the oil-return criterion.
    pub oil_flux: Sourced<Ratio>,
    /// Coefficient between the surface of a line and its surroundings.
    pub heat_transfer: Sourced<Ratio>,
    /// Temperature of the air around a line.
    pub surroundings: Sourced<TemperatureInterval>,
    /// Heat that a set rejects.
    pub load: Sourced<Ratio>,
}

/// Limits, defaults and oil densities.
#[derive(Clone, Debug)]
pub struct Limits {
    rows: Vec<Limit>,
    defaults: Defaults,
    oil_densities: Vec<OilDensity>,
    method_bands: MethodBands,
}

/// Half-widths of the 95 % bands that belong to methods and to measuring, not to a refrigerant.
#[derive(Clone, Debug)]
pub struct MethodBands {
    /// Friction factor.
    pub friction: Sourced<Ratio>,
    /// Measured length of the route.
    pub length: Sourced<Ratio>,
    /// Least flow of the oil-return criterion.
    pub oil_flux: Sourced<Ratio>,
    /// Coefficient between the surface of a line and its surroundings.
    pub heat_transfer: Sourced<Ratio>,
    /// Temperature of the air around a line.
    pub surroundings: Sourced<TemperatureInterval>,
    /// Heat that a set rejects.
    pub load: Sourced<Ratio>,
    /// Stated pressure drop of a condenser coil.
    pub coil_drop: Sourced<Ratio>,
}

impl MethodBands {
    /// Every band with what it is of, in words, in the order of the table.
    #[must_use]
    pub fn all(&self) -> [(&'static str, Quantity, &Source); 7] {
        fn share<'a>(what: &'static str, band: &'a Sourced<Ratio>) -> (&'static str, Quantity, &'a Source) {
            (what, Quantity::Ratio(band.value), &band.source)
        }
        let air = &self.surroundings;
        [
            share("friction", &self.friction),
            share("lengths", &self.length),
            share("the oil-return criterion", &self.oil_flux),
            share("heat exchange", &self.heat_transfer),
            ("the air around lines", Quantity::TemperatureInterval(air.value), &air.source),
            share("the load", &self.load),
            share("the drop of a coil", &self.coil_drop),
        ]
    }
}

impl Limits {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        let columns = [
            "key",
            "value",
            "least",
            "most",
            "unit",
            "sense",
            "service",
            "condition_note",
            "source",
            "grade",
        ];
        let sheet = Sheet::read(folder, FILE, &columns)?;
        let mut seen = Unique::new();
        let mut rows = Vec::new();
        for row in sheet.rows() {
            let key = row.text("key")?;
            seen.insert(row, key, "key", key)?;
            rows.push((row, limit(row)?));
        }
        let defaults = defaults(&rows)?;
        Ok(Self {
            rows: rows.into_iter().map(|(_, limit)| limit).collect(),
            defaults,
            oil_densities: oil_densities(folder)?,
            method_bands: bands(folder)?,
        })
    }

    /// Every limit, in the order of the table.
    #[must_use]
    pub fn all(&self) -> &[Limit] {
        &self.rows
    }

    /// The values that the program cannot do without.
    #[must_use]
    pub fn defaults(&self) -> &Defaults {
        &self.defaults
    }

    /// The limit of that key.
    ///
    /// # Errors
    /// [`TableError::UnknownLimit`] with the keys that come near.
    pub fn limit(&self, key: &str) -> Result<&Limit, TableError> {
        self.rows.iter().find(|limit| &*limit.key == key).ok_or_else(|| TableError::UnknownLimit {
            key: key.to_owned(),
            suggestions: nearest(key, self.rows.iter().map(|limit| &*limit.key)),
        })
    }

    /// Velocities on which a line of `service` is remarked, never refused.
    pub fn velocity_remarks(&self, service: Service) -> impl Iterator<Item = (&Limit, Velocity)> {
        self.rows
            .iter()
            .filter(move |limit| {
                limit.sense.is_remark() && (limit.service == service || limit.service == Service::Any)
            })
            .filter_map(|limit| match limit.value {
                Quantity::Velocity(velocity) => Some((limit, velocity)),
                _ => None,
            })
    }

    /// Every measured oil density.
    #[must_use]
    pub fn oil_densities(&self) -> &[OilDensity] {
        &self.oil_densities
    }

    /// Density of an oil by its key (`polyol-ester-32`), on a straight line between the measurements around
    /// `temperature`; `None` for an unknown key or outside the measured range.
    #[must_use]
    pub fn oil_density(
        &self,
        key: &str,
        temperature: ThermodynamicTemperature,
    ) -> Option<Sourced<MassDensity>> {
        let measured: Vec<_> = self.oil_densities.iter().filter(|row| &*row.key == key).collect();
        measured
            .windows(2)
            .filter_map(|pair| <[_; 2]>::try_from(pair).ok())
            .find(|[colder, warmer]| colder.temperature <= temperature && temperature <= warmer.temperature)
            .map(|[colder, warmer]| {
                let share: Ratio =
                    delta(temperature, colder.temperature) / delta(warmer.temperature, colder.temperature);
                let density = colder.density.value + (warmer.density.value - colder.density.value) * share;
                let text = format!("on a straight line between measurements: {}", colder.density.source.text);
                Sourced::new(density, Source { text: text.into(), grade: Grade::Derived })
            })
    }

    /// Bands that hold for every refrigerant.
    #[must_use]
    pub fn method_bands(&self) -> &MethodBands {
        &self.method_bands
    }

    pub(crate) fn bands(&self, refrigerant: &Refrigerant) -> Bands {
        let property = &refrigerant.bands;
        let sourced = |value| Sourced::new(value, property.source.clone());
        let method = self.method_bands.clone();
        Bands {
            density: sourced(property.value.density),
            pressure: sourced(property.value.pressure),
            liquid_viscosity: sourced(property.value.liquid_viscosity),
            vapour_viscosity: sourced(property.value.vapour_viscosity),
            friction: method.friction,
            length: method.length,
            oil_flux: method.oil_flux,
            heat_transfer: method.heat_transfer,
            surroundings: method.surroundings,
            load: method.load,
        }
    }
}

fn limit(row: Row<'_>) -> Result<Limit, TableError> {
    let unit: Unit = row.word("unit")?;
    let (least, most) = (unit.number(row, "least")?, unit.number(row, "most")?);
    let value = unit.number(row, "value")?;
    if !(least..=most).contains(&value) {
        return Err(row.fault("value", Fault::OutOfRange { value, expected: "least to most of its own row" }));
    }
    Ok(Limit {
        key: row.text("key")?.into(),
        value: unit.quantity(value),
        range: (unit.quantity(least), unit.quantity(most)),
        sense: row.word("sense")?,
        service: row.word("service")?,
        condition_note: row.text("condition_note")?.into(),
        source: row.source("source", "grade")?,
    })
}

/// Unit of a value. A bare `degF` is a difference of temperatures, as `K` is.
#[derive(Clone, Copy, PartialEq)]
enum Unit {
    DegreeFahrenheit,
    Kelvin,
    TemperatureFahrenheit,
    TemperatureCelsius,
    FootPerMinute,
    MetrePerSecond,
    Percent,
    KilogramPerCubicMetre,
    Metre,
    Inch,
    Psi,
    PsiGauge,
    WattPerSquareMetre,
    WattPerSquareMetreKelvin,
}

impl Word for Unit {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("degF", Self::DegreeFahrenheit),
        ("K", Self::Kelvin),
        ("degF temperature", Self::TemperatureFahrenheit),
        ("degC temperature", Self::TemperatureCelsius),
        ("ft/min", Self::FootPerMinute),
        ("m/s", Self::MetrePerSecond),
        ("%", Self::Percent),
        ("kg/m3", Self::KilogramPerCubicMetre),
        ("m", Self::Metre),
        ("in", Self::Inch),
        ("psi", Self::Psi),
        ("psig", Self::PsiGauge),
        ("W/m2", Self::WattPerSquareMetre),
        ("W/(m2 K)", Self::WattPerSquareMetreKelvin),
    ];
}

impl Unit {
    /// A number of this unit: only a temperature may be below zero.
    fn number(self, row: Row<'_>, column: &str) -> Result<f64, TableError> {
        let lowest = match self {
            Self::TemperatureFahrenheit => -459.67,
            Self::TemperatureCelsius => -273.15,
            _ => return row.not_negative(column),
        };
        let value = row.number(column)?;
        if value > lowest {
            Ok(value)
        } else {
            let expected = "a temperature above absolute zero";
            Err(row.fault(column, Fault::OutOfRange { value, expected }))
        }
    }

    fn quantity(self, value: f64) -> Quantity {
        match self {
            Self::DegreeFahrenheit => {
                Quantity::TemperatureInterval(TemperatureInterval::new::<degree_fahrenheit>(value))
            }
            Self::Kelvin => Quantity::TemperatureInterval(TemperatureInterval::new::<kelvin_interval>(value)),
            Self::TemperatureFahrenheit => Quantity::Temperature(ThermodynamicTemperature::new::<
                degree_fahrenheit_of_temperature,
            >(value)),
            Self::TemperatureCelsius => {
                Quantity::Temperature(ThermodynamicTemperature::new::<degree_celsius>(value))
            }
            Self::FootPerMinute => Quantity::Velocity(Velocity::new::<foot_per_minute>(value)),
            Self::MetrePerSecond => Quantity::Velocity(Velocity::new::<meter_per_second>(value)),
            Self::Percent => Quantity::Ratio(Ratio::new::<percent>(value)),
            Self::KilogramPerCubicMetre => {
                Quantity::MassDensity(MassDensity::new::<kilogram_per_cubic_meter>(value))
            }
            Self::Metre => Quantity::Length(Length::new::<meter>(value)),
            Self::Inch => Quantity::Length(Length::new::<inch>(value)),
            Self::Psi => Quantity::Pressure(Pressure::new::<psi>(value)),
            Self::PsiGauge => Quantity::GaugePressure(GaugePressure::new(Pressure::new::<psi>(value))),
            Self::WattPerSquareMetre => {
                Quantity::HeatFlux(HeatFluxDensity::new::<watt_per_square_meter>(value))
            }
            Self::WattPerSquareMetreKelvin => {
                Quantity::HeatTransfer(HeatTransfer::new::<watt_per_square_meter_kelvin>(value))
            }
        }
    }
}

fn defaults(rows: &[(Row<'_>, Limit)]) -> Result<Defaults, TableError> {
    /// `units`: those of the kind that `kind` lets through.
    fn take<T>(
        rows: &[(Row<'_>, Limit)],
        key: &str,
        units: &str,
        kind: impl Fn(Quantity) -> Option<T>,
    ) -> Result<Sourced<T>, TableError> {
        let (row, limit) = rows
            .iter()
            .find(|(_, limit)| &*limit.key == key)
            .ok_or_else(|| TableError::MissingEntry { file: FILE.to_owned(), key: key.to_owned() })?;
        match kind(limit.value) {
            Some(value) => Ok(Sourced::new(value, limit.source.clone())),
            None => Err(wrong_unit(*row, units)),
        }
    }
    macro_rules! taker {
        ($name:ident, $kind:ident, $units:literal) => {
            let $name = |key| {
                take(rows, key, $units, |value| match value {
                    Quantity::$kind(value) => Some(value),
                    _ => None,
                })
            };
        };
    }
    taker!(difference, TemperatureInterval, "degF, K");
    taker!(temperature, Temperature, "degF temperature, degC temperature");
    taker!(velocity, Velocity, "ft/min, m/s");
    taker!(density, MassDensity, "kg/m3");
    taker!(length, Length, "m, in");
    taker!(ratio, Ratio, "%");
    taker!(pressure, Pressure, "psi");
    taker!(gauge_pressure, GaugePressure, "psig");
    taker!(heat_flux, HeatFlux, "W/m2");
    taker!(heat_transfer, HeatTransfer, "W/(m2 K)");
    Ok(Defaults {
        saturated_temperature_drop_discharge: difference("saturated-temperature-drop-discharge")?,
        saturated_temperature_drop_liquid: difference("saturated-temperature-drop-liquid")?,
        saturated_temperature_drop_suction: difference("saturated-temperature-drop-suction")?,
        good_practice_drop_discharge: difference("saturated-temperature-drop-good-practice-discharge")?,
        good_practice_drop_liquid: difference("saturated-temperature-drop-good-practice-liquid")?,
        greatest_velocity_discharge: velocity("greatest-velocity-discharge")?,
        greatest_velocity_suction: velocity("greatest-velocity-suction")?,
        greatest_velocity_liquid: velocity("greatest-velocity-liquid")?,
        greatest_velocity_liquid_fast_valve: velocity("greatest-velocity-liquid-fast-valve")?,
        greatest_velocity_drain: velocity("greatest-velocity-drain")?,
        flash_margin: difference("flash-margin")?,
        oil_return_flux_margin: ratio("oil-return-flux-margin")?,
        oil_density: density("oil-density")?,
        oil_density_ester: density("oil-density-ester")?,
        roughness_copper: length("roughness-copper")?,
        greatest_run_searched: length("greatest-run-searched")?,
        design_temperature_above_air: difference("design-temperature-above-air")?,
        design_temperature_high_side_least: temperature("design-temperature-high-side-least")?,
        design_temperature_low_side_least: temperature("design-temperature-low-side-least")?,
        design_pressure_low_side_least: gauge_pressure("design-pressure-low-side-least")?,
        sun_clear_day: heat_flux("sun-clear-day")?,
        wind_outdoors: velocity("wind-outdoors")?,
        wind_indoors: velocity("wind-indoors")?,
        air_indoors: temperature("air-indoors")?,
        air_muggy: temperature("air-muggy")?,
        humidity_indoors: ratio("humidity-indoors")?,
        humidity_outdoors: ratio("humidity-outdoors")?,
        touch_temperature_metal: temperature("touch-temperature-metal")?,
        touch_temperature_insulation: temperature("touch-temperature-insulation")?,
        chase_heat_transfer: heat_transfer("chase-heat-transfer")?,
        chase_girth: length("chase-girth")?,
        inverted_loop_height: length("inverted-loop-height")?,
        trap_length: length("trap-length")?,
        branch_budget_margin: pressure("branch-budget-margin")?,
    })
}

/// A unit that is known, but of another quantity than the row's.
fn wrong_unit(row: Row<'_>, units: &str) -> TableError {
    let text = row.optional("unit").unwrap_or_default().to_owned();
    row.fault("unit", Fault::UnknownWord { text, expected: units.to_owned() })
}

fn oil_densities(folder: &DataFolder) -> Result<Vec<OilDensity>, TableError> {
    let columns = ["key", "oil", "temperature_k", "density_kg_m3", "source", "grade"];
    let sheet = Sheet::read(folder, OIL_FILE, &columns)?;
    let mut rows: Vec<OilDensity> = Vec::new();
    for row in sheet.rows() {
        let key = row.text("key")?;
        let temperature_k = row.positive("temperature_k")?;
        if let Some(before) = rows.iter().rev().find(|before| &*before.key == key) {
            let previous = before.temperature.get::<kelvin>();
            if temperature_k <= previous {
                return Err(row.fault("temperature_k", Fault::NotRising { previous, value: temperature_k }));
            }
        }
        rows.push(OilDensity {
            key: key.into(),
            oil: row.text("oil")?.into(),
            temperature: ThermodynamicTemperature::new::<kelvin>(temperature_k),
            density: Sourced::new(
                MassDensity::new::<kilogram_per_cubic_meter>(row.positive("density_kg_m3")?),
                row.source("source", "grade")?,
            ),
        });
    }
    Ok(rows)
}

fn bands(folder: &DataFolder) -> Result<MethodBands, TableError> {
    #[derive(Clone, Copy, PartialEq, Eq, Hash)]
    enum Lever {
        Friction,
        Length,
        OilFlux,
        HeatTransfer,
        Surroundings,
        Load,
        CoilDrop,
    }
    impl Word for Lever {
        const WORDS: &'static [(&'static str, Self)] = &[
            ("friction", Self::Friction),
            ("length", Self::Length),
            ("oil-flux", Self::OilFlux),
            ("heat-transfer", Self::HeatTransfer),
            ("surroundings", Self::Surroundings),
            ("load", Self::Load),
            ("coil-drop", Self::CoilDrop),
        ];
    }
    let columns = ["lever", "half_width", "unit", "condition_note", "source", "grade"];
    let sheet = Sheet::read(folder, BANDS_FILE, &columns)?;
    let mut seen = Unique::new();
    let (mut shares, mut surroundings) = (Vec::new(), None);
    for row in sheet.rows() {
        let lever: Lever = row.word("lever")?;
        seen.insert(row, lever, "lever", lever.word())?;
        row.text("condition_note")?;
        let half_width = row.word::<Unit>("unit")?.quantity(row.positive("half_width")?);
        let source = row.source("source", "grade")?;
        match (lever, half_width) {
            (Lever::Surroundings, Quantity::TemperatureInterval(value)) => {
                surroundings = Some(Sourced::new(value, source));
            }
            (Lever::Surroundings, _) => return Err(wrong_unit(row, "degF, K")),
            (_, Quantity::Ratio(value)) => shares.push((lever, Sourced::new(value, source))),
            _ => return Err(wrong_unit(row, "%")),
        }
    }
    let missing =
        |lever: Lever| TableError::MissingEntry { file: BANDS_FILE.to_owned(), key: lever.word().to_owned() };
    let share = |lever| {
        let found = shares.iter().find(|(found, _)| *found == lever);
        found.map(|(_, band)| band.clone()).ok_or_else(|| missing(lever))
    };
    Ok(MethodBands {
        friction: share(Lever::Friction)?,
        length: share(Lever::Length)?,
        oil_flux: share(Lever::OilFlux)?,
        heat_transfer: share(Lever::HeatTransfer)?,
        surroundings: surroundings.ok_or_else(|| missing(Lever::Surroundings))?,
        load: share(Lever::Load)?,
        coil_drop: share(Lever::CoilDrop)?,
    })
}

//! Refrigerants: what the tables say of them, their saturation states, their pressure-temperature card.

use super::{
    flags::{FlagFaults, FlagText},
    ledger::Ledger,
    wording::{self, NEAR_CRITICAL, NEAR_CRITICAL_K},
};
use crate::{
    figure::{self, Units},
    job::{
        PressureReading, SaturationEnd,
        quantity::{self, Range},
    },
    view::{
        AskedView, CardRowView, CardView, ComponentView, EndView, GlideView, GridView, NormalBoilingView,
        NoteView, OriginView, PropertyBandsView, RefrigerantSheetView, RefrigerantView, RefrigerantsView,
        RefusedMaterialView, SaturationView, SiteView,
    },
};
use physics::{
    fluid::{GridError, GridRefrigerant, OutsideRange, Refrigerant, State},
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, Length, Ratio, TemperatureInterval,
        ThermodynamicTemperature, delta, standard_atmosphere,
        unit::{
            length::meter,
            mass_density::kilogram_per_cubic_meter,
            ratio::{part_per_million, percent},
            temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
        },
    },
};
use tables::{
    Library, SafetyFigure, Source, TableError,
    properties::PropertyTable,
    refrigerants::{Kind, Refrigerant as Identity},
};
use thiserror::Error;

const TEMPERATURES: Range =
    Range { least: 73.15, most: 773.15, says: "between -200 °C and 500 °C (-328 °F and 932 °F)" };
const ALTITUDES: Range =
    Range { least: -500.0, most: 5000.0, says: "between -500 m and 5,000 m (-1,640 ft and 16,400 ft)" };
const STEPS: Range = Range { least: 0.1, most: 50.0, says: "between 0.1 and 50 K (0.2 and 90 °F)" };
/// Rows that a card never exceeds: some printed pages.
const MOST_ROWS: usize = 400;
/// Relative difference of dew and bubble pressure that no gauge shows.
const ONE_CURVE: f64 = 1e-4;

/// Whose sheet is asked for, and at which states, as written.
#[derive(Clone, Copy, Debug, Default)]
#[allow(missing_docs)] // each is the option of its name
pub struct SheetInputs<'a> {
    pub name: &'a str,
    pub at: Option<&'a str>,
    pub pressure: Option<&'a str>,
    pub altitude: Option<&'a str>,
}

/// Whose card is asked for, and its range, as written.
#[derive(Clone, Copy, Debug, Default)]
#[allow(missing_docs)] // each is the option of its name
pub struct CardInputs<'a> {
    pub name: &'a str,
    pub from: Option<&'a str>,
    pub to: Option<&'a str>,
    pub step: Option<&'a str>,
    pub altitude: Option<&'a str>,
}

/// Why there is no answer on a refrigerant.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum RefrigerantFault {
    /// No refrigerant has the name, or it has no property grid.
    #[error("{0}")]
    Name(TableError),
    /// Options are at fault: all of them at once.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Flags(Vec<FlagText>),
    /// The tables are at fault.
    #[error(transparent)]
    Tables(TableError),
    /// The property grid is at fault.
    #[error("the property data of {name} can not be used: {source}")]
    Grid {
        /// Trade name.
        name: String,
        /// What is wrong.
        source: GridError,
    },
}

impl From<TableError> for RefrigerantFault {
    fn from(error: TableError) -> Self {
        match error {
            TableError::UnknownRefrigerant { .. } | TableError::NoGrid { .. } => Self::Name(error),
            other => Self::Tables(other),
        }
    }
}

/// Every refrigerant of the tables. No property grid is read for it.
///
/// # Errors
/// [`TableError`] where the folder of the grids can not be listed.
pub fn refrigerants(library: &Library) -> Result<RefrigerantsView, TableError> {
    let grids = library.grids()?;
    let all = library.refrigerants().all().iter();
    Ok(RefrigerantsView {
        refrigerants: all.map(|identity| identity_view(identity, library, &grids)).collect(),
    })
}

/// Identity of one refrigerant, and its saturation states where asked for.
///
/// # Errors
/// [`RefrigerantFault`].
pub fn refrigerant_sheet(
    inputs: &SheetInputs<'_>,
    library: &Library,
) -> Result<RefrigerantSheetView, RefrigerantFault> {
    let identity = library.refrigerants().find(inputs.name)?;
    let grids = library.grids()?;
    let asked = inputs.at.is_some() || inputs.pressure.is_some();
    let table = if asked || grids.iter().any(|name| **name == *identity.name) {
        Some(library.property_table(&identity.name)?)
    } else {
        None
    };
    let mut desk = Desk::new(identity);
    let site = desk.site(inputs.altitude);
    let mut saturations = Vec::new();
    let mut warnings = Vec::new();
    if let Some(table) = table.as_ref().filter(|_| asked) {
        let fluid = fluid(identity, table)?;
        saturations.extend(inputs.at.and_then(|at| desk.at_temperature(at, &fluid, table, site)));
        saturations.extend(inputs.pressure.and_then(|pressure| desk.at_pressure(pressure, &fluid, site)));
        let near = hottest_c(table) - NEAR_CRITICAL_K;
        if saturations.iter().flat_map(|both| &both.ends).any(|end| end.temperature_c > near) {
            warnings.push(near_critical(identity));
        }
    }
    desk.done()?;
    Ok(RefrigerantSheetView {
        refrigerant: identity_view(identity, library, &grids),
        site: site.filter(|_| asked),
        saturations,
        bands: bands_view(identity),
        grid: table.as_ref().map(grid_view),
        warnings,
    })
}

/// Dew and bubble pressure against temperature. Where no range is given, what ice and refrigeration work needs, in
/// steps that suit the units.
///
/// # Errors
/// [`RefrigerantFault`].
pub fn refrigerant_card(
    inputs: &CardInputs<'_>,
    library: &Library,
    units: Units,
) -> Result<CardView, RefrigerantFault> {
    let identity = library.refrigerants().find(inputs.name)?;
    let table = library.property_table(&identity.name)?;
    let fluid = fluid(identity, &table)?;
    let mut desk = Desk::new(identity);
    let site = desk.site(inputs.altitude);
    let mut remarks: Vec<String> = refused_materials(identity, library)
        .map(|refused| format!("NOT IN {}: {}.", refused.material.to_uppercase(), refused.reason))
        .collect();
    let temperatures = desk.temperatures(inputs, &table, units, &mut remarks);
    desk.done()?;
    let (site, temperatures) = site.zip(temperatures).ok_or_else(|| RefrigerantFault::Flags(Vec::new()))?;

    let mut rows = Vec::new();
    for temperature in temperatures {
        let temperature = within_data(temperature, &table);
        let dew = fluid.at_dew(DewTemperature::new(temperature));
        let bubble = fluid.at_bubble(BubbleTemperature::new(temperature));
        let both =
            desk.inside("from", inputs.from.unwrap_or_default(), dew.and_then(|dew| Ok((dew, bubble?))));
        rows.extend(both.map(|(dew, bubble)| (temperature, dew.pressure, bubble.pressure)));
    }
    desk.done()?;
    let gauge = |pressure: AbsolutePressure| pressure.pascal() - site.atmosphere_pa;
    let glides: Vec<GlideView> = rows
        .iter()
        .filter_map(|(temperature, _, bubble)| {
            let dew = fluid.dew_temperature(*bubble).ok()?;
            Some(GlideView {
                gauge_pa: gauge(*bubble),
                bubble_c: temperature.get::<degree_celsius>(),
                dew_c: dew.get().get::<degree_celsius>(),
            })
        })
        .collect();
    let glide_k = glides.iter().map(|glide| glide.dew_c - glide.bubble_c).fold(None, |ends, glide_k| {
        let [least, greatest] = ends.unwrap_or([glide_k, glide_k]);
        Some([glide_k.min(least), glide_k.max(greatest)])
    });
    let near = hottest_c(&table) - NEAR_CRITICAL_K;
    if rows.last().is_some_and(|(temperature, ..)| temperature.get::<degree_celsius>() > near) {
        let above = figure::saturation_temperature(near).both(units);
        remarks.push(format!("Above {above}: {}", near_critical(identity)));
    }
    let mut ledger = Ledger::default();
    ledger.note(format!("pressures of {}", identity.name), &table.provenance.source);
    ledger.note(format!("95 % band of {}", identity.name), &identity.bands.source);
    ledger.note(format!("safety class of {}", identity.name), identity.safety_class.source());
    let (class, unconfirmed) = identity.safety_class.reading().parts();
    Ok(CardView {
        refrigerant: identity.name.to_string(),
        safety_class: class.to_string(),
        safety_class_unconfirmed: unconfirmed,
        site,
        dew_used_for: wording::DEW_USE,
        bubble_used_for: wording::BUBBLE_USE,
        has_glide: rows.iter().any(|(_, dew, bubble)| dew.pascal() < bubble.pascal() * (1.0 - ONE_CURVE)),
        rows: rows
            .iter()
            .map(|(temperature, dew, bubble)| CardRowView {
                temperature_c: temperature.get::<degree_celsius>(),
                dew_pressure_pa: dew.pascal(),
                dew_gauge_pa: gauge(*dew),
                bubble_pressure_pa: bubble.pascal(),
                bubble_gauge_pa: gauge(*bubble),
            })
            .collect(),
        glides,
        glide_k,
        pressure_band_percent: figure::six_digits(identity.bands.value.pressure.get::<percent>()),
        remarks,
        sources: ledger.into_view(),
    })
}

fn fluid(identity: &Identity, table: &PropertyTable) -> Result<GridRefrigerant, RefrigerantFault> {
    GridRefrigerant::new(&table.data)
        .map_err(|source| RefrigerantFault::Grid { name: identity.name.to_string(), source })
}

/// A temperature that misses an end of the data by the rounding of a conversion is that end.
fn within_data(temperature: ThermodynamicTemperature, table: &PropertyTable) -> ThermodynamicTemperature {
    const ROUNDING_K: f64 = 1e-6;
    let rows = &table.data.saturation.temperature_k;
    let value_k = temperature.get::<kelvin>();
    let ends = [rows.first(), rows.last()].into_iter().flatten();
    let end = ends.copied().find(|end_k| (value_k - end_k).abs() < ROUNDING_K);
    end.map_or(temperature, ThermodynamicTemperature::new::<kelvin>)
}

fn coldest_c(table: &PropertyTable) -> f64 {
    table.data.saturation.temperature_k.first().map_or(f64::NAN, |row_k| row_k - 273.15)
}

fn hottest_c(table: &PropertyTable) -> f64 {
    table.data.saturation.temperature_k.last().map_or(f64::NAN, |row_k| row_k - 273.15)
}

fn near_critical(identity: &Identity) -> String {
    let critical = identity.critical_temperature.value.get::<degree_celsius>();
    format!(
        "{NEAR_CRITICAL} (critical temperature of {}: {})",
        identity.name,
        figure::saturation_temperature(critical).both(Units::Us)
    )
}

/// Reads options against one refrigerant and keeps what is wrong with them.
struct Desk<'a> {
    identity: &'a Identity,
    faults: FlagFaults,
}

impl<'a> Desk<'a> {
    fn new(identity: &'a Identity) -> Self {
        Self { identity, faults: FlagFaults::default() }
    }

    fn done(&mut self) -> Result<(), RefrigerantFault> {
        if self.faults.is_empty() {
            Ok(())
        } else {
            Err(RefrigerantFault::Flags(std::mem::take(&mut self.faults).into_texts()))
        }
    }

    fn inside<T>(&mut self, flag: &'static str, given: &str, found: Result<T, OutsideRange>) -> Option<T> {
        found
            .map_err(|refusal| {
                let why = format!("{}: {}", self.identity.name, wording::outside(refusal));
                self.faults.add(flag, given, why, "write a value inside this range");
            })
            .ok()
    }

    fn site(&mut self, altitude: Option<&str>) -> Option<SiteView> {
        let read = match altitude {
            Some(given) => {
                let read = quantity::read_within::<Length>(given, &ALTITUDES);
                self.faults.kept("altitude", given, read)?
            }
            None => Length::new::<meter>(0.0),
        };
        Some(SiteView {
            altitude_m: read.get::<meter>(),
            assumed: altitude.is_none(),
            atmosphere_pa: standard_atmosphere(read)?.pascal(),
        })
    }

    fn at_temperature(
        &mut self,
        given: &str,
        fluid: &GridRefrigerant,
        table: &PropertyTable,
        site: Option<SiteView>,
    ) -> Option<SaturationView> {
        let read = quantity::read_saturated(given, &TEMPERATURES);
        let asked = self.faults.kept("at", given, read)?;
        let temperature = within_data(self.below_critical("at", given, asked.temperature)?, table);
        let bubble = fluid.at_bubble(BubbleTemperature::new(temperature));
        let dew = fluid.at_dew(DewTemperature::new(temperature));
        let (bubble, dew) = self.inside("at", given, bubble.and_then(|bubble| Ok((bubble, dew?))))?;
        let mut ends = vec![end_view("bubble", &bubble, fluid, site?), end_view("dew", &dew, fluid, site?)];
        ends.retain(|end| match asked.end {
            Some(SaturationEnd::Bubble) => end.end == "bubble",
            Some(SaturationEnd::Dew) => end.end == "dew",
            None => true,
        });
        Some(SaturationView { asked: AskedView::Temperature, ends })
    }

    fn at_pressure(
        &mut self,
        given: &str,
        fluid: &GridRefrigerant,
        site: Option<SiteView>,
    ) -> Option<SaturationView> {
        let read = quantity::read_pressure(given);
        let reading = self.faults.kept("pressure", given, read)?;
        let site = site?;
        let pressure = match reading {
            PressureReading::Absolute(pressure) => pressure,
            PressureReading::Gauge(gauge) => {
                gauge.absolute(AbsolutePressure::from_pascal(site.atmosphere_pa))
            }
        };
        if pressure >= self.identity.critical_pressure.value {
            let (why, instead) = wording::beyond_critical("the pressure", self.identity);
            self.faults.add("pressure", given, why, instead);
            return None;
        }
        let ends = self.inside("pressure", given, fluid.ends(pressure))?;
        let ends =
            vec![end_view("bubble", &ends.bubble, fluid, site), end_view("dew", &ends.dew, fluid, site)];
        Some(SaturationView { asked: AskedView::Pressure, ends })
    }

    fn below_critical(
        &mut self,
        flag: &'static str,
        given: &str,
        temperature: ThermodynamicTemperature,
    ) -> Option<ThermodynamicTemperature> {
        if temperature < self.identity.critical_temperature.value {
            return Some(temperature);
        }
        let (why, instead) = wording::beyond_critical("the temperature", self.identity);
        self.faults.add(flag, given, why, instead);
        None
    }

    /// The temperatures of a card. What was not asked for is cut to the data, and the remarks say so; what was asked
    /// for is refused beyond them.
    fn temperatures(
        &mut self,
        inputs: &CardInputs<'_>,
        table: &PropertyTable,
        units: Units,
        remarks: &mut Vec<String>,
    ) -> Option<Vec<ThermodynamicTemperature>> {
        let scale = Scale { units };
        let (usual_from, usual_to, usual_step) = scale.usual();
        let (coldest, hottest) = (scale.of_celsius(coldest_c(table)), scale.of_celsius(hottest_c(table)));
        let step = match inputs.step {
            Some(given) => {
                let read = quantity::read_within::<TemperatureInterval>(given, &STEPS);
                self.faults.kept("step", given, read).map(|step| scale.of_difference(step))
            }
            None => Some(usual_step),
        };
        let from = self.end("from", inputs.from, coldest, hottest, &scale);
        let to = self.end("to", inputs.to, coldest, hottest, &scale);
        let (step, from, to) = (step?, from?, to?);
        // Rounding of a conversion must not cost the last row.
        const SLACK: f64 = 1e-6;
        let first = from.unwrap_or_else(|| (usual_from.max(coldest) / step - SLACK).ceil() * step);
        let last = to.unwrap_or(usual_to.min(hottest));
        if first > last + SLACK {
            let (flag, given) = match (inputs.from, inputs.to) {
                (Some(from), _) => ("from", from),
                (None, to) => ("to", to.unwrap_or_default()),
            };
            let range = format!("{} to {}", scale.words(first), scale.words(last));
            self.faults.add(
                flag,
                given,
                format!("the card would run from {range}"),
                "give --from below --to",
            );
            return None;
        }
        let count = ((last - first) / step + SLACK).floor() as usize + 1;
        if count > MOST_ROWS {
            let why = format!("the card would have {count} rows; {MOST_ROWS} is the most");
            let given = inputs.step.unwrap_or_default();
            self.faults.add("step", given, why, "give a larger step, or a shorter range");
            return None;
        }
        let cut = |said: &str, at: f64| {
            format!("The card {said} at {}: the property data end there", scale.words(at))
        };
        if from.is_none() && first > usual_from + SLACK {
            remarks.push(cut("starts", first));
        }
        if to.is_none() && usual_to > hottest {
            let critical = scale.of_celsius(self.identity.critical_temperature.value.get::<degree_celsius>());
            let near = format!("close to the critical temperature, {}", scale.words(critical));
            remarks.push(format!("{}, {near}", cut("ends", first + step * (count - 1) as f64)));
        }
        Some((0..count).map(|row| scale.temperature(first + step * row as f64)).collect())
    }

    /// One end of a card; `Some(None)` where it was not given.
    fn end(
        &mut self,
        flag: &'static str,
        given: Option<&str>,
        coldest: f64,
        hottest: f64,
        scale: &Scale,
    ) -> Option<Option<f64>> {
        let Some(given) = given else { return Some(None) };
        let read = quantity::read_within::<ThermodynamicTemperature>(given, &TEMPERATURES);
        let read = self.faults.kept(flag, given, read)?;
        let temperature = scale.of(self.below_critical(flag, given, read)?);
        if (coldest - 1e-6..=hottest + 1e-6).contains(&temperature) {
            return Some(Some(temperature));
        }
        let why = format!("outside the property data of {}", self.identity.name);
        let range = format!("write a temperature from {} to {}", scale.words(coldest), scale.words(hottest));
        self.faults.add(flag, given, why, range);
        None
    }
}

/// The thermometer that a card counts its steps on.
struct Scale {
    units: Units,
}

impl Scale {
    /// Range and step of a card that fills one printed page: common practice, no source.
    fn usual(&self) -> (f64, f64, f64) {
        match self.units {
            Units::Us => (-40.0, 150.0, 5.0),
            Units::Si => (-40.0, 64.0, 2.0),
        }
    }

    fn of(&self, temperature: ThermodynamicTemperature) -> f64 {
        match self.units {
            Units::Us => temperature.get::<degree_fahrenheit>(),
            Units::Si => temperature.get::<degree_celsius>(),
        }
    }

    fn of_celsius(&self, celsius: f64) -> f64 {
        self.of(ThermodynamicTemperature::new::<degree_celsius>(celsius))
    }

    fn of_difference(&self, difference: TemperatureInterval) -> f64 {
        let difference_k = difference.get::<kelvin_interval>();
        if self.units == Units::Us { 1.8 * difference_k } else { difference_k }
    }

    fn temperature(&self, reading: f64) -> ThermodynamicTemperature {
        match self.units {
            Units::Us => ThermodynamicTemperature::new::<degree_fahrenheit>(reading),
            Units::Si => ThermodynamicTemperature::new::<degree_celsius>(reading),
        }
    }

    fn words(&self, reading: f64) -> String {
        let celsius = self.temperature(reading).get::<degree_celsius>();
        figure::saturation_temperature(celsius).both(self.units)
    }
}

fn end_view(end: &'static str, state: &State, fluid: &GridRefrigerant, site: SiteView) -> EndView {
    let both = fluid.ends(state.pressure).ok();
    EndView {
        end,
        used_for: if end == "dew" { wording::DEW_USE } else { wording::BUBBLE_USE },
        temperature_c: state.temperature.get::<degree_celsius>(),
        pressure_pa: state.pressure.pascal(),
        gauge_pa: state.pressure.pascal() - site.atmosphere_pa,
        density_kg_m3: state.density.value,
        enthalpy_j_kg: state.enthalpy.value,
        viscosity_pa_s: state.viscosity.value,
        heat_of_vaporisation_j_kg: both.map(|ends| (ends.dew.enthalpy - ends.bubble.enthalpy).value),
        glide_k: both
            .map(|ends| delta(ends.dew.temperature, ends.bubble.temperature).get::<kelvin_interval>()),
    }
}

fn origin(source: &Source) -> OriginView {
    OriginView {
        source: source.text.to_string(),
        grade: source.grade.to_string(),
        unconfirmed: source.grade.is_unconfirmed(),
    }
}

fn bands_view(identity: &Identity) -> PropertyBandsView {
    let bands = &identity.bands.value;
    let in_percent = |band: Ratio| figure::six_digits(band.get::<percent>());
    PropertyBandsView {
        density_percent: in_percent(bands.density),
        pressure_percent: in_percent(bands.pressure),
        liquid_viscosity_percent: in_percent(bands.liquid_viscosity),
        vapour_viscosity_percent: in_percent(bands.vapour_viscosity),
        origin: origin(&identity.bands.source),
    }
}

fn grid_view(table: &PropertyTable) -> GridView {
    let notes = &table.provenance.notes;
    let note = |key: &str| notes.iter().find(|(known, _)| &**known == key).map(|(_, text)| text.to_string());
    let made = notes.iter().filter(|(key, _)| &**key != "refrigerant");
    GridView {
        coldest_c: coldest_c(table),
        hottest_c: hottest_c(table),
        reference_state: note("reference state"),
        made: made.map(|(key, text)| NoteView { key: key.to_string(), text: text.to_string() }).collect(),
    }
}

fn identity_view(identity: &Identity, library: &Library, grids: &[String]) -> RefrigerantView {
    fn split<T>(figure: Option<&SafetyFigure<T>>) -> (Option<&T>, Option<OriginView>) {
        (figure.map(|figure| figure.reading().parts().0), figure.map(|figure| origin(figure.source())))
    }
    let components = identity.components.value.iter().map(|component| ComponentView {
        name: component.name.to_string(),
        mass_percent: figure::six_digits(component.mass_fraction.get::<percent>()),
    });
    let normal_boiling = identity.normal_boiling.as_ref().map(|boiling| {
        let (bubble, dew) = (boiling.value.bubble.get(), boiling.value.dew.get());
        NormalBoilingView {
            bubble_c: bubble.get::<degree_celsius>(),
            dew_c: dew.get::<degree_celsius>(),
            glide_k: delta(dew, bubble).get::<kelvin_interval>(),
        }
    });
    let (flammability, flammability_origin) = split(identity.lower_flammability_limit.as_ref());
    let (concentration, concentration_origin) = split(identity.concentration_limit.as_ref());
    let warming = &identity.warming_potential;
    RefrigerantView {
        name: identity.name.to_string(),
        kind: if identity.kind == Kind::Pure { "pure" } else { "blend" },
        components: components.collect(),
        composition_origin: origin(&identity.components.source),
        safety_class: identity.safety_class.reading().parts().0.to_string(),
        safety_origin: origin(identity.safety_class.source()),
        normal_boiling,
        critical_temperature_c: identity.critical_temperature.value.get::<degree_celsius>(),
        critical_pressure_pa: identity.critical_pressure.value.pascal(),
        thermal_origin: origin(&identity.critical_temperature.source),
        gwp_ar4: warming.value.ar4,
        gwp_ar5: warming.value.ar5,
        gwp_ar6: warming.value.ar6,
        gwp_origin: origin(&warming.source),
        lower_flammability_limit_kg_m3: flammability.map(|limit| limit.get::<kilogram_per_cubic_meter>()),
        lower_flammability_limit_origin: flammability_origin,
        concentration_limit_kg_m3: concentration.map(|limit| limit.density.get::<kilogram_per_cubic_meter>()),
        concentration_limit_ppm: concentration
            .and_then(|limit| limit.by_volume)
            .map(|share| share.get::<part_per_million>()),
        concentration_limit_origin: concentration_origin,
        property_grid: grids.iter().any(|name| **name == *identity.name),
        refused_materials: refused_materials(identity, library).collect(),
    }
}

fn refused_materials(identity: &Identity, library: &Library) -> impl Iterator<Item = RefusedMaterialView> {
    let refused = library.materials().all().iter().filter(|refusal| refusal.refrigerant == identity.name);
    refused.map(|refusal| RefusedMaterialView {
        material: refusal.material.to_string(),
        reason: refusal.reason.to_string(),
        instead: refusal.instead.to_string(),
        origin: origin(&refusal.source),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::RefrigerantView;
    use proptest::prelude::*;
    use std::sync::LazyLock;

    static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().unwrap());

    fn sheet(name: &str, at: Option<&str>, pressure: Option<&str>) -> Result<RefrigerantSheetView, String> {
        let inputs = SheetInputs { name, at, pressure, altitude: None };
        refrigerant_sheet(&inputs, &LIBRARY).map_err(|fault| fault.to_string())
    }

    fn card(inputs: &CardInputs<'_>, units: Units) -> Result<CardView, String> {
        refrigerant_card(inputs, &LIBRARY, units).map_err(|fault| fault.to_string())
    }

    /// Pressures rise down the card, and dew never exceeds bubble; 1e-6 is the rounding of the printed grid.
    fn assert_sound(card: &CardView) {
        for pair in card.rows.windows(2) {
            assert!(pair[0].temperature_c < pair[1].temperature_c, "{}", card.refrigerant);
            assert!(pair[0].dew_pressure_pa < pair[1].dew_pressure_pa, "{}", card.refrigerant);
            assert!(pair[0].bubble_pressure_pa < pair[1].bubble_pressure_pa, "{}", card.refrigerant);
        }
        for row in &card.rows {
            assert!(row.dew_pressure_pa <= row.bubble_pressure_pa * (1.0 + 1e-6), "{}", card.refrigerant);
        }
    }

    #[test]
    fn the_ends_of_the_data_are_inside_them_in_either_scale() {
        for name in LIBRARY.grids().unwrap() {
            let table = LIBRARY.property_table(&name).unwrap();
            for celsius in [coldest_c(&table), hottest_c(&table)] {
                let celsius = (celsius * 1e6).round() / 1e6;
                for (text, units) in [
                    (format!("{celsius} °C"), Units::Si),
                    (format!("{:.6} °F", 32.0 + 1.8 * celsius), Units::Us),
                ] {
                    sheet(&name, Some(&text), None).unwrap();
                    let inputs = CardInputs {
                        name: &name,
                        from: Some(&text),
                        to: Some(&text),
                        ..CardInputs::default()
                    };
                    assert_eq!(card(&inputs, units).unwrap().rows.len(), 1, "{name} {text}");
                }
            }
        }
        // The first row is the one asked for.
        let inputs = CardInputs { name: "R-449A", from: Some("-67 °F"), ..CardInputs::default() };
        let first = card(&inputs, Units::Us).unwrap().rows[0].temperature_c;
        approx::assert_relative_eq!(first, -55.0, epsilon = 1e-6);
    }

    #[test]
    fn every_card_rises_and_keeps_dew_below_bubble() {
        for name in LIBRARY.grids().unwrap() {
            for units in [Units::Us, Units::Si] {
                let card = card(&CardInputs { name: &name, ..CardInputs::default() }, units).unwrap();
                assert!(card.rows.len() > 20, "{name}: {} rows", card.rows.len());
                assert_sound(&card);
                let glide = LIBRARY.refrigerants().find(&name).unwrap().normal_boiling.as_ref();
                let glide = glide.map(|boiling| delta(boiling.value.dew.get(), boiling.value.bubble.get()));
                // 0.05 K of glide is about 0.2 % of pressure; below lies the rounding of the table.
                if glide.is_some_and(|glide| glide.value > 0.05) {
                    assert!(card.has_glide && card.glide_k.unwrap()[0] > 0.0, "{name}");
                }
            }
        }
    }

    /// The table of refrigerants and the grids come from the same equations by different ways. Boiling points are
    /// printed to 0.01 K, which is 0.05 % of pressure there; the rest is rounding of the grid.
    #[test]
    fn bubble_and_dew_at_the_normal_boiling_points_have_the_standard_pressure() {
        for name in LIBRARY.grids().unwrap() {
            let identity = LIBRARY.refrigerants().find(&name).unwrap();
            let Some(boiling) = &identity.normal_boiling else { continue };
            let [bubble, dew] = [boiling.value.bubble.get(), boiling.value.dew.get()].map(|temperature| {
                sheet(&name, Some(&format!("{} °C", temperature.get::<degree_celsius>())), None).unwrap()
            });
            let bubble = bubble.saturations[0].ends.iter().find(|end| end.end == "bubble").unwrap();
            let dew = dew.saturations[0].ends.iter().find(|end| end.end == "dew").unwrap();
            for end in [bubble, dew] {
                let off = end.pressure_pa / 101_325.0 - 1.0;
                // Below 0 °C the pseudo-pure equations know no glide; their table row has one of the true blend.
                let pseudo_pure = bubble.glide_k.is_some_and(|glide| {
                    let stated = delta(boiling.value.dew.get(), boiling.value.bubble.get()).value;
                    (glide - stated).abs() > 0.1
                });
                assert!(off.abs() < 1e-3 || pseudo_pure, "{name} {}: {off}", end.end);
            }
        }
    }

    #[test]
    fn a_pressure_gives_back_the_temperatures_that_gave_it() {
        let both = sheet("R-449A", Some("40 °C"), None).unwrap();
        for end in &both.saturations[0].ends {
            let pressure = format!("{} Pa(a)", end.pressure_pa);
            let back = sheet("R-449A", None, Some(&pressure)).unwrap();
            let same = back.saturations[0].ends.iter().find(|other| other.end == end.end).unwrap();
            approx::assert_relative_eq!(same.temperature_c, 40.0, epsilon = 1e-6);
            approx::assert_relative_eq!(same.density_kg_m3, end.density_kg_m3, max_relative = 1e-6);
            assert_eq!(same.glide_k, back.saturations[0].ends[0].glide_k);
        }
        let [bubble, dew] = both.saturations[0].ends.as_slice() else { panic!("two ends") };
        assert!(bubble.pressure_pa > dew.pressure_pa && bubble.density_kg_m3 > dew.density_kg_m3);
        let dew_only = sheet("R-449A", Some("40 °C dew"), None).unwrap();
        assert_eq!(dew_only.saturations[0].ends, std::slice::from_ref(dew));
    }

    #[test]
    fn gauges_read_against_the_atmosphere_of_the_site() {
        let at = |altitude| {
            let inputs =
                SheetInputs { name: "R-134a", at: Some("40 °F"), altitude, ..SheetInputs::default() };
            refrigerant_sheet(&inputs, &LIBRARY).unwrap()
        };
        let (sea, high) = (at(None), at(Some("5000 ft")));
        assert!(sea.site.unwrap().assumed && !high.site.unwrap().assumed);
        let [sea, high] = [&sea, &high].map(|sheet| &sheet.saturations[0].ends[0]);
        assert_eq!(sea.pressure_pa, high.pressure_pa);
        // U.S. Standard Atmosphere 1976: 84.31 kPa at 5000 ft (from memory); the formula keeps 0.1 %.
        approx::assert_relative_eq!(high.gauge_pa - sea.gauge_pa, 101_325.0 - 84_310.0, max_relative = 5e-3);
    }

    #[test]
    fn nothing_condenses_above_the_critical_point_of_any_refrigerant() {
        for name in LIBRARY.grids().unwrap() {
            let identity = LIBRARY.refrigerants().find(&name).unwrap();
            let critical_c = identity.critical_temperature.value.get::<degree_celsius>();
            let refused = sheet(&name, Some(&format!("{} °C", critical_c + 0.1)), None).unwrap_err();
            assert!(refused.contains("gas cooler"), "{name}: {refused}");
            let pressure = format!("{} Pa(a)", identity.critical_pressure.value.pascal() * 1.001);
            let refused = sheet(&name, None, Some(&pressure)).unwrap_err();
            assert!(refused.contains("gas cooler"), "{name}: {refused}");
            // Between the data and the critical point: a range, and no talk of gas coolers.
            let table = LIBRARY.property_table(&name).unwrap();
            let end_c = hottest_c(&table);
            if end_c + 0.1 < critical_c {
                let refused = sheet(&name, Some(&format!("{} °C", end_c + 0.1)), None).unwrap_err();
                assert!(refused.contains("outside the property data"), "{name}: {refused}");
            }
            let warned = |celsius: f64| {
                !sheet(&name, Some(&format!("{celsius} °C")), None).unwrap().warnings.is_empty()
            };
            assert!(warned(critical_c - 14.9), "{name}");
            assert!(!warned(end_c - 15.1), "{name}");
        }
    }

    #[test]
    fn what_is_recalled_is_unconfirmed_and_nothing_else() {
        let all = refrigerants(&LIBRARY).unwrap().refrigerants;
        let origins = |view: &RefrigerantView| {
            let always =
                [&view.composition_origin, &view.safety_origin, &view.thermal_origin, &view.gwp_origin];
            let limits = [&view.lower_flammability_limit_origin, &view.concentration_limit_origin];
            always.into_iter().chain(limits.into_iter().flatten()).cloned().collect::<Vec<_>>()
        };
        let all: Vec<OriginView> = all.iter().flat_map(origins).collect();
        assert!(all.iter().all(|origin| origin.unconfirmed == (origin.grade == "memory")));
        assert!(all.iter().any(|origin| origin.unconfirmed) && all.iter().any(|origin| !origin.unconfirmed));
    }

    #[test]
    fn cards_that_can_not_be_are_refused_with_what_to_write() {
        for (from, to, step, told) in [
            (
                Some("-200 °F"),
                None,
                None,
                "write a temperature from -67.0 °F (-55.0 °C) to 177.8 °F (81.0 °C)",
            ),
            (None, Some("179 °F"), None, "outside the property data of R-449A"),
            (None, Some("200 °F"), None, "gas cooler"),
            (Some("160 °F"), None, None, "the card would run from 160.0 °F (71.1 °C) to 150.0 °F (65.6 °C)"),
            (Some("50"), None, None, "`50` has no unit"),
            (None, None, Some("0.2 °F"), "the card would have 951 rows; 400 is the most"),
            (None, None, Some("-5 °F"), "it must lie between 0.1 and 50 K"),
        ] {
            let inputs = CardInputs { name: "R-449A", from, to, step, altitude: None };
            let refused = card(&inputs, Units::Us).unwrap_err();
            assert!(refused.contains(told), "{refused}");
        }
        // Both at once.
        let inputs =
            CardInputs { name: "R-449A", step: Some("5"), altitude: Some("9 km"), ..CardInputs::default() };
        assert_eq!(card(&inputs, Units::Us).unwrap_err().matches("--").count(), 2);
    }

    proptest! {
        #[test]
        fn a_card_of_any_range_starts_and_ends_where_asked(from in -54.9_f64..70.0, span in 0.0_f64..10.0, step in 0.1_f64..5.0) {
            let texts = [format!("{from} °C"), format!("{} °C", from + span), format!("{step} K")];
            let [from_text, to_text, step_text] = texts.each_ref().map(|text| Some(text.as_str()));
            let inputs = CardInputs { name: "R-404A", from: from_text, to: to_text, step: step_text, altitude: None };
            match card(&inputs, Units::Us) {
                Ok(card) => {
                    assert_sound(&card);
                    let (first, last) = (card.rows[0].temperature_c, card.rows[card.rows.len() - 1].temperature_c);
                    prop_assert!((first - from).abs() < 1e-6, "{} {}", first, from);
                    prop_assert!(last <= from + span + 1e-5 && last > from + span - step - 1e-5);
                }
                // The data of R-404A end at about 70 °C.
                Err(refused) => prop_assert!(from + span > 69.0, "{}", refused),
            }
        }
    }
}

//! The condensers of a job as physics takes them, from its own figures or a catalogue's.

use super::super::{
    resolve::{NEGLIGIBLE_GLIDE_K, Resolved, ResolvedSet, glide_k},
    wording,
};
use crate::job::{
    Catalogue, CatalogueModel, CondenserFigures, DischargeAir, Fault, FaultKind, Figures, Job, Outline,
    SoundPowerLevel, Span,
};
use physics::{
    condenser::{Condenser, Fit, InAir, RatingPoint, SaturationReference, air_density, fit},
    fluid::GridRefrigerant,
    layout::{Branch, Sharing, Unit},
    units::{
        Length, Mass, MassDensity, Power, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature,
        Volume, VolumeRate, standard_atmosphere,
        unit::{length::meter, power::watt, ratio::ratio},
    },
};
use tables::TableError;

/// One condenser, rated.
pub(in crate::study) struct Rated {
    pub(in crate::study) condenser: Condenser,
    pub(in crate::study) fan_power_known: bool,
    pub(in crate::study) outline: Option<Outline>,
    pub(in crate::study) mass: Option<Mass>,
    pub(in crate::study) fan_diameter: Option<Length>,
    pub(in crate::study) blows_up: Option<bool>,
    pub(in crate::study) sound_power: Option<SoundPowerLevel>,
    pub(in crate::study) air_flow: VolumeRate,
    pub(in crate::study) coil_volume: Option<Volume>,
    pub(in crate::study) coil_drop: Option<Pressure>,
    pub(in crate::study) drop_leg: Option<Length>,
    pub(in crate::study) warnings: Vec<String>,
    pub(in crate::study) assumptions: Vec<String>,
}

/// What a rating says, wherever it stands.
struct Sheet {
    points: Vec<(Power, TemperatureInterval, Option<ThermodynamicTemperature>, Option<Length>)>,
    refrigerant: Option<(String, Span)>,
    td_refers_to: Option<SaturationReference>,
    air_flow: Option<VolumeRate>,
    coil_volume: Option<Volume>,
    fan_power: Option<Power>,
    outline: Option<Outline>,
    mass: Option<Mass>,
    fan_diameter: Option<Length>,
    discharge_air: Option<DischargeAir>,
    sound_power: Option<SoundPowerLevel>,
    span: Span,
}

/// Rates every condenser of a job; faults go into `faults`, and the list is then not to be used.
pub(in crate::study) fn all(
    job: &Job,
    resolved: &Resolved<'_>,
    faults: &mut Vec<Fault>,
) -> Result<Vec<Rated>, TableError> {
    let mut all = Vec::new();
    for text in &job.condensers {
        let name = &text.name.value;
        let sheet = match &text.figures {
            Figures::Stated(figures) => stated(figures, text.name.span),
            Figures::Catalogue { file, model } => {
                let attached = job.attached.catalogues.iter().find(|(read, _)| *read == file.value);
                let Some((_, catalogue)) = attached else {
                    let message = format!("the catalogue {} was not read", file.value);
                    faults.push(Fault::new(
                        FaultKind::Reference,
                        file.span,
                        message,
                        "put the file beside the job",
                    ));
                    continue;
                };
                match catalogue.find(&model.value) {
                    Some(found) => listed(found, model.span),
                    None => {
                        faults.push(no_model(catalogue, &model.value, model.span));
                        continue;
                    }
                }
            }
        };
        let used = text
            .serves
            .first()
            .and_then(|served| resolved.sets.iter().find(|set| set.set.name.value == served.value));
        let Some(used) = used else { continue };
        let mut assumptions = Vec::new();
        let refrigerant = sheet.refrigerant.clone().unwrap_or_else(|| {
            assumptions.push(format!(
                "condenser {name} is taken to be rated with {} (key rating_refrigerant)",
                used.refrigerant
            ));
            (used.refrigerant.clone(), sheet.span)
        });
        let Some(fluid) = fluid(&refrigerant, resolved, faults)? else { continue };
        let Some(reference) = reference(name, &sheet, &fluid, job, faults) else { continue };
        let mut warnings = Vec::new();
        for served in &text.serves {
            if let Some(set) = resolved.sets.iter().find(|set| set.set.name.value == served.value)
                && set.refrigerant != refrigerant.0
            {
                warnings.push(format!(
                    "condenser {name} is rated with {} and used with {}: its rating is carried over as it is; ask the \
                     maker",
                    refrigerant.0, set.refrigerant
                ));
            }
        }
        if let Some(found) =
            rated(name, &sheet, &fluid, reference, job, &mut assumptions, &mut warnings, faults)
        {
            all.push(Rated {
                condenser: found,
                fan_power_known: sheet.fan_power.is_some(),
                outline: sheet.outline,
                mass: sheet.mass,
                fan_diameter: sheet.fan_diameter,
                blows_up: sheet.discharge_air.map(|air| air == DischargeAir::Up),
                sound_power: sheet.sound_power,
                air_flow: sheet.air_flow.unwrap_or_default(),
                coil_volume: sheet.coil_volume,
                coil_drop: text.coil_drop.map(|drop| drop.value),
                drop_leg: text.drop_leg.map(|leg| leg.value),
                warnings,
                assumptions,
            });
        }
    }
    Ok(all)
}

/// The condensers in air of a density, each with the circuits of the sets that it serves.
pub(in crate::study) fn units(
    job: &Job,
    sets: &[ResolvedSet<'_>],
    rated: &[Rated],
    density: MassDensity,
) -> Result<(Vec<Unit>, Vec<InAir>), String> {
    let mut units = Vec::new();
    let mut in_air = Vec::new();
    for (text, rated) in job.condensers.iter().zip(rated) {
        let here = rated
            .condenser
            .in_air(density, Ratio::new::<ratio>(1.0))
            .map_err(|error| format!("{}: {error}", text.name.value))?
            .value;
        let branch = |(circuit, set): (usize, &ResolvedSet<'_>)| {
            let share = text.share(&set.set.name.value)?;
            Some(Branch { circuit, conductance: here.conductance * share })
        };
        let branches = sets.iter().enumerate().filter_map(branch).collect();
        let sharing = text.circuits.map_or(Sharing::Split, |circuits| circuits.value);
        units.push(Unit { air_rate: here.air_rate, branches, sharing });
        in_air.push(here);
    }
    Ok((units, in_air))
}

fn no_model(catalogue: &Catalogue, model: &str, span: Span) -> Fault {
    let message = format!("the catalogue has no model {model}");
    let help = match catalogue.nearest(model) {
        Some(nearest) => format!("did you mean {nearest}?"),
        None => {
            let known: Vec<&str> = catalogue.models.iter().map(|model| &*model.name.value).collect();
            format!("it has {}", known.join(", "))
        }
    };
    Fault::new(FaultKind::Reference, span, message, help)
}

fn stated(figures: &CondenserFigures, span: Span) -> Sheet {
    let (air, altitude) = (figures.rating_air, figures.rating_altitude);
    let point = |point: &crate::job::Located<crate::job::RatingPoint>| {
        let (heat, difference) = (point.value.heat_rejection, point.value.difference);
        (heat, difference, air.map(|air| air.value), altitude.map(|altitude| altitude.value))
    };
    Sheet {
        points: figures.rating.iter().map(point).collect(),
        refrigerant: figures.rating_refrigerant.as_ref().map(|named| (named.value.clone(), named.span)),
        td_refers_to: figures.td_refers_to.map(|refers| refers.value),
        air_flow: figures.air_flow.map(|flow| flow.value),
        coil_volume: figures.coil_volume.map(|volume| volume.value),
        fan_power: figures.fan_power.map(|power| power.value),
        outline: figures.outline.map(|outline| outline.value),
        mass: figures.mass.map(|mass| mass.value),
        fan_diameter: figures.fan_diameter.map(|diameter| diameter.value),
        discharge_air: figures.discharge_air.map(|air| air.value),
        sound_power: figures.sound_power.map(|sound| sound.value),
        span: figures.rating.first().map_or(span, |point| point.span),
    }
}

fn listed(model: &CatalogueModel, span: Span) -> Sheet {
    let first = model.rating.first();
    Sheet {
        points: model
            .rating
            .iter()
            .map(|row| (row.heat_rejection, row.difference, Some(row.air), Some(row.altitude)))
            .collect(),
        refrigerant: first.map(|row| (row.refrigerant.value.clone(), span)),
        td_refers_to: first.and_then(|row| row.td_refers_to.as_ref()).map(|refers| refers.value),
        air_flow: Some(model.air_flow),
        coil_volume: model.coil_volume,
        fan_power: model.fan_power,
        outline: model.outline,
        mass: model.mass,
        fan_diameter: model.fan_diameter,
        discharge_air: model.discharge_air,
        sound_power: model.sound_power,
        span,
    }
}

fn fluid(
    (name, span): &(String, Span),
    resolved: &Resolved<'_>,
    faults: &mut Vec<Fault>,
) -> Result<Option<GridRefrigerant>, TableError> {
    let library = resolved.library;
    let mut fault = |message: String, help: String| {
        faults.push(Fault::new(FaultKind::Reference, *span, message, help));
    };
    let known = library.grids()?;
    let identity = match library.refrigerants().find(name) {
        Ok(identity) => identity,
        Err(error) => {
            fault(error.to_string(), wording::KNOWN_REFRIGERANTS.to_owned());
            return Ok(None);
        }
    };
    if !known.iter().any(|grid| **grid == *identity.name) {
        fault(
            format!("there are no property data for {} yet", identity.name),
            format!("property data are there for {}", known.join(", ")),
        );
        return Ok(None);
    }
    // Mostly it is that of a set, which is read already.
    if let Some(set) = resolved.sets.iter().find(|set| *set.refrigerant == *identity.name) {
        return Ok(Some(set.fluid.clone()));
    }
    match GridRefrigerant::new(&library.property_table(&identity.name)?.data) {
        Ok(fluid) => Ok(Some(fluid)),
        Err(error) => {
            fault(
                format!("the property data of {} can not be used: {error}", identity.name),
                "mend the files in data/properties".to_owned(),
            );
            Ok(None)
        }
    }
}

/// From which temperature the rating counts; a blend with glide must say.
fn reference(
    name: &str,
    sheet: &Sheet,
    fluid: &GridRefrigerant,
    job: &Job,
    faults: &mut Vec<Fault>,
) -> Option<SaturationReference> {
    match sheet.td_refers_to {
        Some(stated) => Some(stated),
        None => {
            let glide = glide_k(fluid, job.site.design_air.value).unwrap_or(0.0);
            if glide <= NEGLIGIBLE_GLIDE_K {
                return Some(SaturationReference::Mid);
            }
            let message = format!(
                "the rating of {name} must say from which temperature its difference counts: bubble and dew lie {glide:.1} K \
                 apart"
            );
            let help = "write td_refers_to = \"dew\", \"mid\" or \"bubble\"; the maker's sheet says which";
            faults.push(Fault::new(FaultKind::Missing, sheet.span, message, help));
            None
        }
    }
}

#[allow(clippy::too_many_arguments)]
fn rated(
    name: &str,
    sheet: &Sheet,
    fluid: &GridRefrigerant,
    reference: SaturationReference,
    job: &Job,
    assumptions: &mut Vec<String>,
    warnings: &mut Vec<String>,
    faults: &mut Vec<Fault>,
) -> Option<Condenser> {
    let mut missing = |key: &str, example: &str| {
        faults.push(Fault::new(
            FaultKind::Missing,
            sheet.span,
            format!("condenser {name} has no {key}"),
            format!("write {key} = {example}"),
        ));
    };
    if sheet.points.is_empty() {
        missing("rating", "[\"10 kW at 15 K\"]");
    }
    if sheet.air_flow.is_none() {
        missing("air_flow", "\"2300 cfm\"");
    }
    let air_flow = sheet.air_flow?;
    let (_, _, air, altitude) = *sheet.points.first()?;
    let air = air.unwrap_or_else(|| {
        assumptions.push(format!(
            "condenser {name} is taken to be rated in air of the design temperature (key rating_air)"
        ));
        job.site.design_air.value
    });
    let altitude = altitude.unwrap_or_else(|| {
        assumptions.push(format!("condenser {name} is taken to be rated at sea level (key rating_altitude)"));
        Length::new::<meter>(0.0)
    });
    let points: Vec<RatingPoint> = sheet
        .points
        .iter()
        .map(|(heat_rejection, difference, point_air, _)| RatingPoint {
            heat_rejection: *heat_rejection,
            difference: *difference,
            reference,
            air: point_air.unwrap_or(air),
        })
        .collect();
    let found = fit(fluid, &points).map_err(|error| error.to_string()).and_then(|fit| {
        let pressure =
            standard_atmosphere(altitude).ok_or_else(|| "the altitude of the rating".to_owned())?;
        let density = air_density(pressure, air).map_err(|error| error.to_string())?;
        let fan_power = sheet.fan_power.unwrap_or(Power::new::<watt>(0.0));
        let condenser = Condenser::new(fit.conductance, air_flow, density, fan_power)
            .map_err(|error| error.to_string())?;
        Ok((fit, condenser))
    });
    match found {
        Ok((fit, condenser)) => {
            warn(name, &fit, &condenser, warnings);
            if sheet.fan_power.is_none() {
                assumptions
                    .push(format!("power of the fans of {name} is not stated and in no sum (key fan_power)"));
            }
            Some(condenser)
        }
        Err(why) => {
            let help = "check heat, temperature difference and air flow, and their units";
            faults.push(Fault::new(
                FaultKind::Contradiction,
                sheet.span,
                format!("the rating of {name} can not be: {why}"),
                help,
            ));
            None
        }
    }
}

fn warn(name: &str, fit: &Fit, condenser: &Condenser, warnings: &mut Vec<String>) {
    let departure = fit.worst_departure.get::<ratio>();
    if departure > 0.1 {
        warnings.push(format!(
            "the rating points of {name} lie up to {:.0} % off one heat for each kelvin: do they count from one end, with one \
             air flow?",
            100.0 * departure
        ));
    }
    let effectiveness = condenser.effectiveness().get::<ratio>();
    if !(0.4..=0.75).contains(&effectiveness) {
        warnings.push(format!(
            "{name} warms its air by {:.0} % of the temperature difference; 40 to 75 % is usual: check rating and air flow",
            100.0 * effectiveness
        ));
    }
}

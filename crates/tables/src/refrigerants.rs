//! Identity of refrigerants: composition, critical point, safety, warming potential, uncertainty of the model.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{SafetyFigure, Sourced},
    sheet::{Row, Sheet, Unique, Word, number},
    suggest::nearest,
};
use physics::units::{
    AbsolutePressure, BubbleTemperature, DewTemperature, MassDensity, Pressure, Ratio,
    ThermodynamicTemperature,
    unit::{
        mass_density::{gram_per_cubic_meter, kilogram_per_cubic_meter},
        pressure::kilopascal,
        ratio::{part_per_million, percent},
        thermodynamic_temperature::degree_celsius,
    },
};
use std::sync::Arc;

const FILE: &str = "refrigerants/refrigerants.csv";

/// Pure fluid or blend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// One component.
    Pure,
    /// Several components; bubble and dew temperature differ by the glide.
    Blend,
}

impl Word for Kind {
    const WORDS: &'static [(&'static str, Self)] = &[("pure", Self::Pure), ("blend", Self::Blend)];
}

/// One component of a refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// Trade name.
    pub name: Arc<str>,
    /// Share of the molecules.
    pub mole_fraction: f64,
    /// Share of the mass.
    pub mass_fraction: Ratio,
}

/// Warming potential over 100 years against carbon dioxide, by the report that a regulation refers to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WarmingPotential {
    /// Fourth assessment report.
    pub ar4: Option<f64>,
    /// Fifth assessment report, without feedback.
    pub ar5: Option<f64>,
    /// Sixth assessment report.
    pub ar6: Option<f64>,
}

/// Where boiling starts and ends at the standard atmosphere, 101.325 kPa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NormalBoiling {
    /// Where it starts.
    pub bubble: BubbleTemperature,
    /// Where it ends; the same for a pure fluid.
    pub dew: DewTemperature,
}

/// Most of a refrigerant that the air of an occupied room may take up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConcentrationLimit {
    /// Mass in the volume of the room.
    pub density: MassDensity,
    /// Share of the volume, where the source gives it.
    pub by_volume: Option<Ratio>,
}

/// Half-widths of the 95 % bands of the property model.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)] // named by what they are
pub struct PropertyBands {
    pub density: Ratio,
    pub pressure: Ratio,
    pub liquid_viscosity: Ratio,
    pub vapour_viscosity: Ratio,
}

/// One refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub struct Refrigerant {
    /// Trade name: `R-449A`.
    pub name: Arc<str>,
    /// Pure fluid or blend.
    pub kind: Kind,
    /// Components, with the source of the composition.
    pub components: Sourced<Vec<Component>>,
    /// Boiling at the standard atmosphere; none for a fluid whose triple point lies above it.
    pub normal_boiling: Option<Sourced<NormalBoiling>>,
    /// Critical temperature; for a blend a prediction, good to about 1 K.
    pub critical_temperature: Sourced<ThermodynamicTemperature>,
    /// Critical pressure.
    pub critical_pressure: Sourced<AbsolutePressure>,
    /// Safety class of ISO 817: `A1`, `A2L`.
    pub safety_class: SafetyFigure<Arc<str>>,
    /// Warming potential.
    pub warming_potential: Sourced<WarmingPotential>,
    /// Lower flammability limit in air, where there is one.
    pub lower_flammability_limit: Option<SafetyFigure<MassDensity>>,
    /// Concentration limit of an occupied room, where one was found.
    pub concentration_limit: Option<SafetyFigure<ConcentrationLimit>>,
    /// Uncertainty of the property model.
    pub bands: Sourced<PropertyBands>,
}

/// All refrigerants.
#[derive(Clone, Debug)]
pub struct Refrigerants(Vec<Refrigerant>);

impl Refrigerants {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        let sheet = Sheet::read(
            folder,
            FILE,
            &[
                "refrigerant",
                "kind",
                "coolprop_source",
                "components",
                "mass_pct",
                "mole_fractions",
                "composition_source",
                "composition_grade",
                "molar_mass_g_mol",
                "normal_bubble_c",
                "normal_dew_c",
                "critical_temperature_c",
                "critical_pressure_kpa",
                "thermo_source",
                "thermo_grade",
                "safety_class",
                "safety_source",
                "safety_grade",
                "gwp_ar4",
                "gwp_ar5",
                "gwp_ar6",
                "gwp_source",
                "gwp_grade",
                "lfl_kg_m3",
                "lfl_source",
                "lfl_grade",
                "rcl_g_m3",
                "rcl_ppm",
                "rcl_source",
                "rcl_grade",
                "density_pct",
                "pressure_pct",
                "liquid_viscosity_pct",
                "vapour_viscosity_pct",
                "uncertainty_source",
                "uncertainty_grade",
            ],
        )?;
        let mut seen = Unique::new();
        let mut refrigerants = Vec::new();
        for row in sheet.rows() {
            let name = row.text("refrigerant")?;
            seen.insert(row, spelling(name), "refrigerant", name)?;
            refrigerants.push(refrigerant(row)?);
        }
        Ok(Self(refrigerants))
    }

    /// Every refrigerant, in the order of the table.
    #[must_use]
    pub fn all(&self) -> &[Refrigerant] {
        &self.0
    }

    /// The refrigerant of that name in any usual spelling: `R-449A`, `r449a`, `R 449A`, `449A`.
    ///
    /// # Errors
    /// [`TableError::UnknownRefrigerant`] with the names that come near.
    pub fn find(&self, name: &str) -> Result<&Refrigerant, TableError> {
        let asked = spelling(name);
        self.0.iter().find(|refrigerant| spelling(&refrigerant.name) == asked).ok_or_else(|| {
            TableError::UnknownRefrigerant {
                name: name.to_owned(),
                suggestions: nearest(
                    &format!("R-{}", asked.trim_start_matches('r')),
                    self.0.iter().map(|refrigerant| &*refrigerant.name),
                ),
            }
        })
    }
}

/// What all spellings of one name share: `r449a`.
fn spelling(name: &str) -> String {
    let letters: String = name.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_lowercase();
    if letters.starts_with(|first: char| first.is_ascii_digit()) { format!("r{letters}") } else { letters }
}

fn refrigerant(row: Row<'_>) -> Result<Refrigerant, TableError> {
    row.positive("molar_mass_g_mol")?;
    let celsius = |column| {
        let value = row.number(column)?;
        if value > -273.15 {
            Ok(ThermodynamicTemperature::new::<degree_celsius>(value))
        } else {
            Err(row.fault(column, Fault::OutOfRange { value, expected: "a temperature in °C" }))
        }
    };
    let band = |column| Ok::<_, TableError>(Ratio::new::<percent>(row.positive(column)?));
    let thermo = row.source("thermo_source", "thermo_grade")?;
    let critical_pressure =
        AbsolutePressure::new(Pressure::new::<kilopascal>(row.positive("critical_pressure_kpa")?));
    let lower_flammability_limit = match row.optional_positive("lfl_kg_m3")? {
        Some(limit) => Some(SafetyFigure::new(
            MassDensity::new::<kilogram_per_cubic_meter>(limit),
            row.source("lfl_source", "lfl_grade")?,
        )),
        None => None,
    };
    let concentration_limit = match row.optional_positive("rcl_g_m3")? {
        Some(limit) => Some(SafetyFigure::new(
            ConcentrationLimit {
                density: MassDensity::new::<gram_per_cubic_meter>(limit),
                by_volume: row.optional_positive("rcl_ppm")?.map(Ratio::new::<part_per_million>),
            },
            row.source("rcl_source", "rcl_grade")?,
        )),
        None => None,
    };
    let normal_boiling = match row.optional("normal_bubble_c").or(row.optional("normal_dew_c")) {
        Some(_) => {
            let (bubble, dew) = (celsius("normal_bubble_c")?, celsius("normal_dew_c")?);
            if dew < bubble {
                let text = row.text("normal_dew_c")?.to_owned();
                let with = "normal_bubble_c, which is never above it".to_owned();
                return Err(row.fault("normal_dew_c", Fault::Disagrees { text, with }));
            }
            let (bubble, dew) = (BubbleTemperature::new(bubble), DewTemperature::new(dew));
            Some(Sourced::new(NormalBoiling { bubble, dew }, thermo.clone()))
        }
        None => None,
    };
    let bands = PropertyBands {
        density: band("density_pct")?,
        pressure: band("pressure_pct")?,
        liquid_viscosity: band("liquid_viscosity_pct")?,
        vapour_viscosity: band("vapour_viscosity_pct")?,
    };
    Ok(Refrigerant {
        name: row.text("refrigerant")?.into(),
        kind: row.word("kind")?,
        components: Sourced::new(components(row)?, row.source("composition_source", "composition_grade")?),
        normal_boiling,
        critical_temperature: Sourced::new(celsius("critical_temperature_c")?, thermo.clone()),
        critical_pressure: Sourced::new(critical_pressure, thermo),
        safety_class: SafetyFigure::new(
            row.text("safety_class")?.into(),
            row.source("safety_source", "safety_grade")?,
        ),
        warming_potential: Sourced::new(
            WarmingPotential {
                ar4: warming(row, "gwp_ar4")?,
                ar5: warming(row, "gwp_ar5")?,
                ar6: warming(row, "gwp_ar6")?,
            },
            row.source("gwp_source", "gwp_grade")?,
        ),
        lower_flammability_limit,
        concentration_limit,
        bands: Sourced::new(bands, row.source("uncertainty_source", "uncertainty_grade")?),
    })
}

fn warming(row: Row<'_>, column: &str) -> Result<Option<f64>, TableError> {
    row.optional(column).map(|_| row.not_negative(column)).transpose()
}

/// Components from the three lists separated by `/`.
fn components(row: Row<'_>) -> Result<Vec<Component>, TableError> {
    let names: Vec<_> = row.text("components")?.split('/').collect();
    let shares = |column: &str, whole: f64, rounding: f64| -> Result<Vec<f64>, TableError> {
        let text = row.text(column)?;
        let disagrees =
            |with: &str| row.fault(column, Fault::Disagrees { text: text.to_owned(), with: with.to_owned() });
        let parts: Vec<f64> = text
            .split('/')
            .map(number)
            .collect::<Result<_, _>>()
            .map_err(|fault| row.fault(column, fault))?;
        if parts.len() != names.len() {
            return Err(disagrees("the number of components"));
        }
        if parts.iter().any(|part| *part <= 0.0) || (parts.iter().sum::<f64>() - whole).abs() > rounding {
            return Err(disagrees("a whole of 1 or 100 %"));
        }
        Ok(parts)
    };
    // Shares are printed to 1e-6 and to 0.1 %.
    let moles = shares("mole_fractions", 1.0, 1e-5)?;
    let masses = shares("mass_pct", 100.0, 0.11)?;
    Ok(names
        .into_iter()
        .zip(moles)
        .zip(masses)
        .map(|((name, mole_fraction), mass)| Component {
            name: name.into(),
            mole_fraction,
            mass_fraction: Ratio::new::<percent>(mass),
        })
        .collect())
}

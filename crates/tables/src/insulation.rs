//! Insulation of lines: materials, stock walls, and finishes of surfaces.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{Source, Sourced},
    sheet::{Row, Sheet, Unique, Word},
    suggest::nearest,
};
use physics::{
    heat::{Conductivity, Surface},
    units::{
        Length, Ratio, TemperatureCoefficient, ThermalConductivity, ThermodynamicTemperature, Time,
        unit::{
            length::{inch, millimeter},
            ratio::ratio,
            temperature_coefficient::per_kelvin,
            thermal_conductivity::watt_per_meter_kelvin,
            thermodynamic_temperature::degree_celsius,
            time::second,
        },
    },
};
use std::{fmt, ops::RangeInclusive, sync::Arc};

const MATERIAL_FILE: &str = "insulation/materials.csv";
const WALL_FILE: &str = "insulation/walls.csv";
const FINISH_FILE: &str = "insulation/finishes.csv";

/// W/(m K) of one Btu in/(h ft2 degF): international table Btu, 1055.055 852 62 J.
const W_M_K_PER_BTU_IN: f64 = 1_055.055_852_62 / 3_600.0 / (0.3048 * 0.3048) * 1.8 * 0.0254;
/// Vapour mass rate per area and per gradient of vapour pressure, kg/(m s Pa): the dimension of a time.
pub type VapourPermeability = Time;

/// A kind of insulation.
#[derive(Clone, Debug, PartialEq)]
pub struct InsulationMaterial {
    /// Its name: `elastomeric foam`.
    pub name: Arc<str>,
    /// Conductivity.
    pub conductivity: Sourced<Conductivity>,
    /// When or for what the conductivity holds, in words.
    pub conductivity_note: Arc<str>,
    /// Finish of its surface without a jacket: the name of one of the [finishes](Insulations::finishes).
    pub surface: Arc<str>,
    /// Coldest to warmest temperature of service.
    pub service: Sourced<RangeInclusive<ThermodynamicTemperature>>,
    /// Greatest permeability for water vapour, where known.
    pub vapour_permeability: Option<Sourced<VapourPermeability>>,
}

/// Units in which walls of insulation are sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WallSeries {
    /// Fractions of an inch.
    Inch,
    /// Whole millimetres.
    Metric,
}

impl Word for WallSeries {
    const WORDS: &'static [(&'static str, Self)] = &[("in", Self::Inch), ("mm", Self::Metric)];
}

impl fmt::Display for WallSeries {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// A wall that is in stock.
#[derive(Clone, Debug, PartialEq)]
pub struct StockWall {
    /// The series it belongs to.
    pub series: WallSeries,
    /// Its thickness.
    pub thickness: Sourced<Length>,
    /// As it is called: `1-1/2 in`.
    pub printed: Arc<str>,
}

/// Finish of a surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Finish {
    /// Its name: `dull copper`.
    pub name: Arc<str>,
    /// Emissivity at the temperature of the surface.
    pub emissivity: Sourced<Ratio>,
    /// Share of sunlight that is absorbed.
    pub absorptance: Sourced<Ratio>,
}

impl Finish {
    /// The surface as the methods of heat take it.
    #[must_use]
    pub fn surface(&self) -> Surface {
        Surface { emissivity: self.emissivity.value, absorptance: self.absorptance.value }
    }
}

/// All tables of insulation.
#[derive(Clone, Debug)]
pub struct Insulations {
    materials: Vec<InsulationMaterial>,
    walls: Vec<StockWall>,
    finishes: Vec<Finish>,
}

impl Insulations {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        let finishes = finishes(folder)?;
        Ok(Self { materials: materials(folder, &finishes)?, walls: walls(folder)?, finishes })
    }

    /// Every material, in the order of the table.
    #[must_use]
    pub fn materials(&self) -> &[InsulationMaterial] {
        &self.materials
    }

    /// The material of that name, in any case of letters; of none, the first of the table.
    ///
    /// # Errors
    /// [`TableError::UnknownInsulation`] with the names that come near.
    pub fn material(&self, name: Option<&str>) -> Result<&InsulationMaterial, TableError> {
        let asked = |row: &&InsulationMaterial| name.is_none_or(|name| same(&row.name, name));
        self.materials.iter().find(asked).ok_or_else(|| {
            let name = name.unwrap_or_default();
            let suggestions = nearest(name, self.materials.iter().map(|row| &*row.name));
            TableError::UnknownInsulation { name: name.to_owned(), suggestions }
        })
    }

    /// Every stock wall; thicknesses rise within a series.
    #[must_use]
    pub fn walls(&self) -> &[StockWall] {
        &self.walls
    }

    /// Every finish, in the order of the table.
    #[must_use]
    pub fn finishes(&self) -> &[Finish] {
        &self.finishes
    }

    /// The finish of that name, in any case of letters.
    ///
    /// # Errors
    /// [`TableError::UnknownFinish`] with the names that come near.
    pub fn finish(&self, name: &str) -> Result<&Finish, TableError> {
        self.finishes.iter().find(|row| same(&row.name, name)).ok_or_else(|| TableError::UnknownFinish {
            name: name.to_owned(),
            suggestions: nearest(name, self.finishes.iter().map(|row| &*row.name)),
        })
    }

    /// Every source with what is taken from it, in the order of the tables.
    pub fn sources(&self) -> impl Iterator<Item = (String, &Source)> {
        let materials = self.materials.iter().flat_map(|row| {
            let vapour = row.vapour_permeability.as_ref().map(|found| ("vapour permeability", &found.source));
            [("conductivity", &row.conductivity.source), ("range of service", &row.service.source)]
                .into_iter()
                .chain(vapour)
                .map(|(what, source)| (format!("{what} of {}", row.name), source))
        });
        let walls = self
            .walls
            .iter()
            .map(|row| (format!("stock walls of insulation in {}", row.series), &row.thickness.source));
        let finishes = self.finishes.iter().flat_map(|row| {
            [("emissivity", &row.emissivity.source), ("absorptance", &row.absorptance.source)]
                .map(|(what, source)| (format!("{what} of {}", row.name), source))
        });
        materials.chain(walls).chain(finishes)
    }
}

fn same(name: &str, asked: &str) -> bool {
    name.eq_ignore_ascii_case(asked.trim())
}

fn materials(folder: &DataFolder, finishes: &[Finish]) -> Result<Vec<InsulationMaterial>, TableError> {
    #[derive(Clone, Copy, PartialEq)]
    enum Unit {
        WattPerMetreKelvin,
        BtuInch,
    }
    impl Word for Unit {
        const WORDS: &'static [(&'static str, Self)] =
            &[("W/(m K)", Self::WattPerMetreKelvin), ("Btu in/(h ft2 degF)", Self::BtuInch)];
    }
    let columns = [
        "material",
        "conductivity",
        "conductivity_unit",
        "reference",
        "reference_unit",
        "slope_1_k",
        "conductivity_note",
        "conductivity_source",
        "conductivity_grade",
        "surface",
        "coldest_c",
        "warmest_c",
        "service_source",
        "service_grade",
        "vapour_permeability_kg_m_s_pa",
        "vapour_source",
        "vapour_grade",
    ];
    let sheet = Sheet::read(folder, MATERIAL_FILE, &columns)?;
    let mut seen = Unique::new();
    let mut materials = Vec::new();
    for row in sheet.rows() {
        let name = row.text("material")?;
        seen.insert(row, name.to_lowercase(), "material", name)?;
        let conductivity = row.positive("conductivity")?;
        let conductivity_w_m_k = match row.word("conductivity_unit")? {
            Unit::WattPerMetreKelvin => conductivity,
            Unit::BtuInch => conductivity * W_M_K_PER_BTU_IN,
        };
        let conductivity = Conductivity {
            value: ThermalConductivity::new::<watt_per_meter_kelvin>(conductivity_w_m_k),
            reference: row.temperature("reference", "reference_unit")?,
            slope: TemperatureCoefficient::new::<per_kelvin>(row.number("slope_1_k")?),
        };
        let surface = row.text("surface")?;
        if !finishes.iter().any(|finish| &*finish.name == surface) {
            let with = format!("the names in {FINISH_FILE}");
            return Err(row.fault("surface", Fault::Disagrees { text: surface.to_owned(), with }));
        }
        let (coldest_c, warmest_c) = (row.number("coldest_c")?, row.number("warmest_c")?);
        if warmest_c <= coldest_c {
            let text = row.text("warmest_c")?.to_owned();
            return Err(row.fault("warmest_c", Fault::Disagrees { text, with: "coldest_c".to_owned() }));
        }
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let service = Sourced::new(
            celsius(coldest_c)..=celsius(warmest_c),
            row.source("service_source", "service_grade")?,
        );
        let vapour_permeability = match row.optional_positive("vapour_permeability_kg_m_s_pa")? {
            Some(value) => {
                Some(Sourced::new(Time::new::<second>(value), row.source("vapour_source", "vapour_grade")?))
            }
            None => None,
        };
        materials.push(InsulationMaterial {
            name: name.into(),
            conductivity: Sourced::new(
                conductivity,
                row.source("conductivity_source", "conductivity_grade")?,
            ),
            conductivity_note: row.text("conductivity_note")?.into(),
            surface: surface.into(),
            service,
            vapour_permeability,
        });
    }
    Ok(materials)
}

fn walls(folder: &DataFolder) -> Result<Vec<StockWall>, TableError> {
    let sheet = Sheet::read(folder, WALL_FILE, &["series", "wall", "printed", "source", "grade"])?;
    let mut walls: Vec<StockWall> = Vec::new();
    let mut greatest = [(WallSeries::Inch, 0.0), (WallSeries::Metric, 0.0)];
    for row in sheet.rows() {
        let series: WallSeries = row.word("series")?;
        let value = row.positive("wall")?;
        for (_, previous) in greatest.iter_mut().filter(|(of, _)| *of == series) {
            if value <= *previous {
                return Err(row.fault("wall", Fault::NotRising { previous: *previous, value }));
            }
            *previous = value;
        }
        let thickness = match series {
            WallSeries::Inch => Length::new::<inch>(value),
            WallSeries::Metric => Length::new::<millimeter>(value),
        };
        walls.push(StockWall {
            series,
            thickness: Sourced::new(thickness, row.source("source", "grade")?),
            printed: row.text("printed")?.into(),
        });
    }
    Ok(walls)
}

fn finishes(folder: &DataFolder) -> Result<Vec<Finish>, TableError> {
    let columns = [
        "finish",
        "emissivity",
        "emissivity_source",
        "emissivity_grade",
        "absorptance",
        "absorptance_source",
        "absorptance_grade",
    ];
    let sheet = Sheet::read(folder, FINISH_FILE, &columns)?;
    let share = |row: Row<'_>, column, source, grade| {
        let value = row.not_negative(column)?;
        if value > 1.0 {
            return Err(row.fault(column, Fault::OutOfRange { value, expected: "0 to 1" }));
        }
        Ok(Sourced::new(Ratio::new::<ratio>(value), row.source(source, grade)?))
    };
    let mut seen = Unique::new();
    let mut finishes = Vec::new();
    for row in sheet.rows() {
        let name = row.text("finish")?;
        seen.insert(row, name.to_lowercase(), "finish", name)?;
        finishes.push(Finish {
            name: name.into(),
            emissivity: share(row, "emissivity", "emissivity_source", "emissivity_grade")?,
            absorptance: share(row, "absorptance", "absorptance_source", "absorptance_grade")?,
        });
    }
    Ok(finishes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Grade;

    fn insulations() -> Insulations {
        Insulations::load(&DataFolder::embedded()).unwrap()
    }

    #[test]
    fn the_material_of_no_name_conducts_more_than_any_but_the_limit_of_the_standard() {
        let insulations = insulations();
        let w_m_k = |name: Option<&str>| {
            let conductivity = &insulations.material(name).unwrap().conductivity;
            (conductivity.value.value.get::<watt_per_meter_kelvin>(), conductivity.source.grade)
        };
        let (unnamed, grade) = w_m_k(None);
        // 0.27 Btu in/(h ft2 degF).
        approx::assert_relative_eq!(unnamed, 0.038_941_53, max_relative = 1e-6);
        assert_eq!(grade, Grade::Memory);
        let read = w_m_k(Some("Elastomeric foam, nitrile data sheet "));
        assert_eq!(read, (0.034, Grade::Published));
        let greatest = w_m_k(Some("elastomeric foam, greatest of the standard")).0;
        assert!(read.0 < unnamed && unnamed < greatest);
        for material in insulations.materials() {
            assert!(insulations.finish(&material.surface).is_ok());
            let service = &material.service.value;
            assert!(service.contains(&material.conductivity.value.reference), "{}", material.name);
        }
    }

    #[test]
    fn a_miss_names_what_comes_near() {
        let insulations = insulations();
        let Err(TableError::UnknownInsulation { suggestions, .. }) =
            insulations.material(Some("elastomeric form"))
        else {
            panic!("no such material")
        };
        assert_eq!(suggestions[0], "elastomeric foam");
        let error = insulations.finish("oxidized copper").unwrap_err();
        let TableError::UnknownFinish { suggestions, .. } = &error else { panic!("no such finish") };
        assert_eq!(suggestions[0], "oxidised copper");
        assert!(error.to_string().starts_with("no finish is called `oxidized copper`; did you mean"));
    }

    #[test]
    fn a_series_of_stock_walls_starts_thin_and_ends() {
        let insulations = insulations();
        let printed = |series| {
            let walls = insulations.walls().iter().filter(move |wall| wall.series == series);
            walls.map(|wall| &*wall.printed).collect::<Vec<_>>()
        };
        let (inches, millimetres) = (printed(WallSeries::Inch), printed(WallSeries::Metric));
        assert_eq!(inches[..3], ["3/8 in", "1/2 in", "3/4 in"]);
        assert!(millimetres.contains(&"13 mm"));
        assert_eq!(millimetres.last(), Some(&"32 mm"));
    }

    /// What is left to the sun and to the room follows from the finish: a mixed-up row would turn this round.
    #[test]
    fn finishes_are_ordered_as_they_look() {
        let insulations = insulations();
        let of = |name| insulations.finish(name).unwrap().surface();
        let copper = ["bright copper", "dull copper", "oxidised copper"].map(of);
        assert!(copper.is_sorted_by(|a, b| a.emissivity < b.emissivity && a.absorptance < b.absorptance));
        assert_eq!(of("white paint").emissivity, of("dark paint").emissivity);
        assert!(of("white paint").absorptance < of("dark paint").absorptance);
        assert!(of("aluminium jacket").emissivity < of("black elastomer").emissivity);
        assert_eq!(insulations.finishes().len(), 7);
    }
}

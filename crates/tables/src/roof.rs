//! What condensers on a roof are judged by: wind, load combinations, loads and spacing.
//!
//! For screening only, as [`physics::wind`] says: local code governs, an engineer signs.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{Source, Sourced},
    sheet::{Row, Sheet, Unique, Word},
};
use physics::{
    units::{
        Length, Pressure, Ratio,
        unit::{
            length::{foot, inch},
            pressure::pound_force_per_square_foot,
            ratio::{percent, ratio},
        },
    },
    wind::{GustCurve, LoadCombination, Terrain},
};
use std::{fmt, sync::Arc};

const WIND_FILE: &str = "limits/wind.csv";
const GUST_FILE: &str = "limits/gust.csv";
const COMBINATION_FILE: &str = "limits/load_combinations.csv";
const ROOF_FILE: &str = "limits/roof.csv";

/// Edition of the American loading standard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Edition {
    /// ASCE 7-16.
    Of2016,
    /// ASCE 7-22.
    Of2022,
}

impl Word for Edition {
    const WORDS: &'static [(&'static str, Self)] =
        &[("ASCE 7-16", Self::Of2016), ("ASCE 7-22", Self::Of2022)];
}

impl Edition {
    /// Both, the older first.
    pub const ALL: [Self; 2] = [Self::Of2016, Self::Of2022];
}

impl fmt::Display for Edition {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Ground that the wind comes over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Exposure {
    /// Towns, suburbs, woods.
    B,
    /// Open country.
    C,
    /// Flat shores.
    D,
}

impl Word for Exposure {
    const WORDS: &'static [(&'static str, Self)] = &[("B", Self::B), ("C", Self::C), ("D", Self::D)];
}

impl Exposure {
    /// All, the most sheltered first.
    pub const ALL: [Self; 3] = [Self::B, Self::C, Self::D];
}

impl fmt::Display for Exposure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// How loads are combined.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Design {
    /// Allowable stress, ASD.
    AllowableStress,
    /// Strength, LRFD.
    Strength,
}

impl Word for Design {
    const WORDS: &'static [(&'static str, Self)] =
        &[("ASD", Self::AllowableStress), ("LRFD", Self::Strength)];
}

impl fmt::Display for Design {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Gust coefficients of equipment on a roof, as one code has them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GustCurves {
    /// Sideways.
    pub lateral: GustCurve,
    /// Upwards.
    pub uplift: GustCurve,
}

/// One code's rule for the gust on equipment on a roof.
#[derive(Clone, Debug, PartialEq)]
pub struct GustRule {
    /// Its name: `ASCE 7`.
    pub name: Arc<str>,
    /// Its coefficients.
    pub curves: Sourced<GustCurves>,
}

/// Single values for condensers on a roof.
#[derive(Clone, Debug, PartialEq)]
pub struct RoofValues {
    /// Directionality factor Kd.
    pub directionality: Sourced<Ratio>,
    /// Topographic factor Kzt of flat ground.
    pub topography: Sourced<Ratio>,
    /// Highest roof for which the gust coefficients are stated: a remark beyond it.
    pub gust_roof_height: Sourced<Length>,
    /// Friction coefficient of feet on a wet roof.
    pub friction: Sourced<Ratio>,
    /// Live load of an ordinary roof, to hold the footprint against.
    pub live_load: Sourced<Pressure>,
    /// Least clear gap between units side by side and to a wall, in unit widths: a remark.
    pub spacing_beside: Sourced<Ratio>,
    /// Least clear gap in a pit or inside three walls, in unit widths: a remark.
    pub spacing_in_pit: Sourced<Ratio>,
    /// Least clear space at the sides that air passes: a remark.
    pub clearance_air_sides: Sourced<Length>,
}

/// All tables of the roof.
#[derive(Clone, Debug)]
pub struct Roof {
    terrains: Vec<(Edition, Exposure, Sourced<Terrain>)>,
    gusts: Vec<GustRule>,
    combinations: Vec<(Design, Sourced<LoadCombination>)>,
    values: RoofValues,
}

impl Roof {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        Ok(Self {
            terrains: terrains(folder)?,
            gusts: gusts(folder)?,
            combinations: combinations(folder)?,
            values: values(folder)?,
        })
    }

    /// How wind grows with height. `None` where the data folder leaves the row out.
    #[must_use]
    pub fn terrain(&self, edition: Edition, exposure: Exposure) -> Option<&Sourced<Terrain>> {
        self.terrains.iter().find(|row| (row.0, row.1) == (edition, exposure)).map(|row| &row.2)
    }

    /// Rules for the gust, in the order of the table: the first is taken unless told otherwise.
    #[must_use]
    pub fn gusts(&self) -> &[GustRule] {
        &self.gusts
    }

    /// Load factors. `None` where the data folder leaves the row out.
    #[must_use]
    pub fn combination(&self, design: Design) -> Option<&Sourced<LoadCombination>> {
        self.combinations.iter().find(|row| row.0 == design).map(|row| &row.1)
    }

    /// Single values.
    #[must_use]
    pub fn values(&self) -> &RoofValues {
        &self.values
    }

    /// Every source with what is taken from it, in the order of the tables.
    pub fn sources(&self) -> impl Iterator<Item = (String, &Source)> {
        let terrains = self.terrains.iter().map(|(edition, exposure, terrain)| {
            (format!("wind by height, {edition}, exposure {exposure}"), &terrain.source)
        });
        let gusts = self.gusts.iter().map(|GustRule { name, curves }| {
            let [lateral, uplift] =
                [curves.value.lateral, curves.value.uplift].map(|curve| curve.small.value);
            (format!("gust coefficients, {name} = {lateral} sideways, {uplift} upwards"), &curves.source)
        });
        let combinations = self.combinations.iter().map(|(design, factors)| {
            let LoadCombination { dead, wind } = factors.value;
            (
                format!("load factors, {design} = {} of weight, {} of wind", dead.value, wind.value),
                &factors.source,
            )
        });
        let values = &self.values;
        let number = |what, value: &'_ Sourced<Ratio>| format!("{what} = {}", value.value.value);
        let singles = [
            (number("directionality factor", &values.directionality), &values.directionality.source),
            (number("topographic factor", &values.topography), &values.topography.source),
            (
                format!(
                    "roof height of gust coefficients = {:.0} ft",
                    values.gust_roof_height.value.get::<foot>()
                ),
                &values.gust_roof_height.source,
            ),
            (number("friction coefficient of feet on a roof", &values.friction), &values.friction.source),
            (
                format!(
                    "roof live load = {:.0} psf",
                    values.live_load.value.get::<pound_force_per_square_foot>()
                ),
                &values.live_load.source,
            ),
            (number("unit widths between units", &values.spacing_beside), &values.spacing_beside.source),
            (number("unit widths in a pit", &values.spacing_in_pit), &values.spacing_in_pit.source),
            (
                format!("clearance of air sides = {:.0} in", values.clearance_air_sides.value.get::<inch>()),
                &values.clearance_air_sides.source,
            ),
        ];
        terrains.chain(gusts).chain(combinations).chain(singles)
    }
}

fn number(row: Row<'_>, column: &str) -> Result<Ratio, TableError> {
    row.positive(column).map(Ratio::new::<ratio>)
}

/// The text of a cell that must come with a smaller or greater one.
fn disagrees(row: Row<'_>, column: &str, with: &str) -> TableError {
    let text = row.optional(column).unwrap_or_default().to_owned();
    row.fault(column, Fault::Disagrees { text, with: with.to_owned() })
}

fn terrains(folder: &DataFolder) -> Result<Vec<(Edition, Exposure, Sourced<Terrain>)>, TableError> {
    let columns = [
        "edition",
        "exposure",
        "factor",
        "alpha",
        "gradient_height_ft",
        "least_height_ft",
        "source",
        "grade",
    ];
    let sheet = Sheet::read(folder, WIND_FILE, &columns)?;
    let mut seen = Unique::new();
    let terrain = |row: Row<'_>| {
        let (edition, exposure): (Edition, Exposure) = (row.word("edition")?, row.word("exposure")?);
        seen.insert(row, (edition, exposure), "exposure", exposure.word())?;
        let feet = |column| row.positive(column).map(Length::new::<foot>);
        let terrain = Terrain {
            factor: number(row, "factor")?,
            alpha: number(row, "alpha")?,
            gradient_height: feet("gradient_height_ft")?,
            least_height: feet("least_height_ft")?,
        };
        if terrain.least_height >= terrain.gradient_height {
            return Err(disagrees(row, "least_height_ft", "gradient_height_ft: it must be lower"));
        }
        Ok((edition, exposure, Sourced::new(terrain, row.source("source", "grade")?)))
    };
    sheet.rows().map(terrain).collect()
}

fn gusts(folder: &DataFolder) -> Result<Vec<GustRule>, TableError> {
    let columns = [
        "rule",
        "lateral_small",
        "lateral_large",
        "uplift_small",
        "uplift_large",
        "small_share_pct",
        "large_share_pct",
        "note",
        "source",
        "grade",
    ];
    let sheet = Sheet::read(folder, GUST_FILE, &columns)?;
    let mut seen = Unique::new();
    let curves = |row: Row<'_>| {
        let rule = row.text("rule")?;
        seen.insert(row, rule.to_lowercase(), "rule", rule)?;
        let share = |column| row.positive(column).map(Ratio::new::<percent>);
        let (small_share, large_share) = (share("small_share_pct")?, share("large_share_pct")?);
        if large_share <= small_share {
            return Err(disagrees(row, "large_share_pct", "small_share_pct: it must be greater"));
        }
        let curve = |small, large| {
            Ok::<_, TableError>(GustCurve {
                small: number(row, small)?,
                large: number(row, large)?,
                small_share,
                large_share,
            })
        };
        let curves = GustCurves {
            lateral: curve("lateral_small", "lateral_large")?,
            uplift: curve("uplift_small", "uplift_large")?,
        };
        Ok(GustRule { name: rule.into(), curves: Sourced::new(curves, row.source("source", "grade")?) })
    };
    sheet.rows().map(curves).collect()
}

fn combinations(folder: &DataFolder) -> Result<Vec<(Design, Sourced<LoadCombination>)>, TableError> {
    let sheet =
        Sheet::read(folder, COMBINATION_FILE, &["design", "dead", "wind", "note", "source", "grade"])?;
    let mut seen = Unique::new();
    let combination = |row: Row<'_>| {
        let design: Design = row.word("design")?;
        seen.insert(row, design, "design", design.word())?;
        let factors = LoadCombination { dead: number(row, "dead")?, wind: number(row, "wind")? };
        Ok((design, Sourced::new(factors, row.source("source", "grade")?)))
    };
    sheet.rows().map(combination).collect()
}

fn values(folder: &DataFolder) -> Result<RoofValues, TableError> {
    let sheet = Sheet::read(folder, ROOF_FILE, &Sheet::CONSTANTS)?;
    let constants = sheet.constants()?;
    let number = |key, unit| Ok::<_, TableError>(constants.take(key, unit)?.map(Ratio::new::<ratio>));
    Ok(RoofValues {
        directionality: number("directionality-factor", "1")?,
        topography: number("topographic-factor", "1")?,
        gust_roof_height: constants.take("roof-height-of-gust-coefficients", "ft")?.map(Length::new::<foot>),
        friction: number("friction-coefficient", "1")?,
        live_load: constants.take("roof-live-load", "psf")?.map(Pressure::new::<pound_force_per_square_foot>),
        spacing_beside: number("spacing-beside", "unit widths")?,
        spacing_in_pit: number("spacing-in-pit", "unit widths")?,
        clearance_air_sides: constants.take("clearance-air-sides", "in")?.map(Length::new::<inch>),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Grade;
    use physics::wind::exposure_coefficient;

    fn roof() -> Roof {
        Roof::load(&DataFolder::embedded()).unwrap()
    }

    #[test]
    fn every_edition_has_every_exposure_and_the_more_open_ground_the_more_wind() {
        let roof = roof();
        for edition in Edition::ALL {
            let coefficients = Exposure::ALL.map(|exposure| {
                let terrain = roof.terrain(edition, exposure).unwrap().value;
                exposure_coefficient(Length::new::<foot>(30.0), &terrain).unwrap().value
            });
            assert!(coefficients.windows(2).all(|pair| pair[0] < pair[1]), "{edition}: {coefficients:?}");
        }
    }

    #[test]
    fn the_first_gust_rule_is_that_of_the_standard_and_others_ask_for_more() {
        let roof = roof();
        let first = &roof.gusts()[0];
        assert_eq!((&*first.name, first.curves.source.grade), ("ASCE 7", Grade::Published));
        let (lateral, uplift) = (first.curves.value.lateral.small, first.curves.value.uplift.small);
        for GustRule { name, curves } in roof.gusts() {
            assert!(curves.value.lateral.small >= lateral, "{name}");
            assert!(curves.value.uplift.small >= uplift, "{name}");
        }
    }

    #[test]
    fn each_design_has_its_load_factors() {
        let factors = |design| {
            let factors = roof().combination(design).unwrap().value;
            (factors.dead.value, factors.wind.value)
        };
        assert_eq!((factors(Design::AllowableStress), factors(Design::Strength)), ((0.6, 0.6), (0.9, 1.0)));
    }
}

//! Losses of fittings: constants of the published methods and handbook equivalent lengths, by fitting key.
//!
//! One key means the same fitting in every table (`elbow-90-short`, `tee-branch`, `ball-valve`); not every table
//! has every fitting.

use crate::{
    error::TableError,
    folder::DataFolder,
    provenance::Sourced,
    sheet::{Row, Sheet, Unique},
    suggest::nearest,
};
use physics::{
    fittings::ThreeK,
    tube::Tube,
    units::{
        EquivalentLength, Length, Ratio,
        unit::{
            length::{inch, meter, millimeter},
            ratio,
        },
    },
};
use std::sync::Arc;

/// One fitting in one table.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting<T> {
    /// Stable key: `elbow-90-short`.
    pub key: Arc<str>,
    /// The fitting as its source calls it.
    pub name: Arc<str>,
    /// Remark on the row.
    pub note: Option<Arc<str>>,
    /// Its loss.
    pub loss: Sourced<T>,
}

/// Constants of the two-constant (2-K) method: `K = k1/Re + k_infinity (1 + 1/D_in)`, dimensionless, with the bore
/// `D_in` in inches. Source: W. B. Hooper, Chemical Engineering, 24 August 1981, p. 97.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)] // symbols of the equation above
pub struct TwoK {
    pub k1: f64,
    pub k_infinity: f64,
}

/// All tables of fittings.
#[derive(Clone, Debug)]
pub struct Fittings {
    three_k: Vec<Fitting<ThreeK>>,
    two_k: Vec<Fitting<TwoK>>,
    length_to_diameter: Vec<Fitting<Ratio>>,
    equivalent_length: Vec<(Length, Fitting<EquivalentLength>)>,
}

impl Fittings {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        let three_k = table(folder, "fittings/three_k.csv", &["k1", "k_infinity", "kd"], |row| {
            Ok(ThreeK {
                k1: row.positive("k1")?,
                k_infinity: row.not_negative("k_infinity")?,
                kd: row.not_negative("kd")?,
            })
        })?;
        let two_k = table(folder, "fittings/two_k.csv", &["k1", "k_infinity"], |row| {
            Ok(TwoK { k1: row.positive("k1")?, k_infinity: row.not_negative("k_infinity")? })
        })?;
        let length_to_diameter =
            table(folder, "fittings/length_to_diameter.csv", &["length_to_diameter"], |row| {
                Ok(Ratio::new::<ratio::ratio>(row.positive("length_to_diameter")?))
            })?;
        Ok(Self { three_k, two_k, length_to_diameter, equivalent_length: equivalent_lengths(folder)? })
    }

    /// Constants of the 3-K method.
    #[must_use]
    pub fn three_k(&self, key: &str) -> Option<&Fitting<ThreeK>> {
        find(&self.three_k, key)
    }

    /// Every fitting of the 3-K method.
    #[must_use]
    pub fn three_k_fittings(&self) -> &[Fitting<ThreeK>] {
        &self.three_k
    }

    /// Constants of the 2-K method, for comparison.
    #[must_use]
    pub fn two_k(&self, key: &str) -> Option<&Fitting<TwoK>> {
        find(&self.two_k, key)
    }

    /// Equivalent length over bore, for fittings that the 3-K method lacks.
    #[must_use]
    pub fn length_to_diameter(&self, key: &str) -> Option<&Fitting<Ratio>> {
        find(&self.length_to_diameter, key)
    }

    /// Equivalent length that the handbook table gives for the size of `tube`; `None` for a size between its rows:
    /// nothing is interpolated.
    #[must_use]
    pub fn equivalent_length(&self, key: &str, tube: &Tube) -> Option<Sourced<EquivalentLength>> {
        let is_size = |outside: Length| (outside - tube.outside().get()).get::<millimeter>().abs() <= 0.02;
        self.equivalent_length
            .iter()
            .find(|(outside, fitting)| &*fitting.key == key && is_size(*outside))
            .map(|(_, fitting)| fitting.loss.clone())
    }

    /// Keys of the 3-K method that resemble `key`.
    #[must_use]
    pub fn suggestions(&self, key: &str) -> Vec<String> {
        nearest(key, self.three_k.iter().map(|fitting| &*fitting.key))
    }
}

fn find<'a, T>(fittings: &'a [Fitting<T>], key: &str) -> Option<&'a Fitting<T>> {
    fittings.iter().find(|fitting| &*fitting.key == key)
}

fn table<T>(
    folder: &DataFolder,
    file: &str,
    value_columns: &[&'static str],
    value: impl Fn(Row<'_>) -> Result<T, TableError>,
) -> Result<Vec<Fitting<T>>, TableError> {
    let columns = [&["key", "fitting", "note", "source", "grade"], value_columns].concat();
    let sheet = Sheet::read(folder, file, &columns)?;
    let mut seen = Unique::new();
    let mut fittings = Vec::new();
    for row in sheet.rows() {
        let key = row.text("key")?;
        seen.insert(row, key, "key", key)?;
        fittings.push(fitting(row, value(row)?)?);
    }
    Ok(fittings)
}

fn equivalent_lengths(folder: &DataFolder) -> Result<Vec<(Length, Fitting<EquivalentLength>)>, TableError> {
    let columns = ["key", "fitting", "nominal", "outside_in", "length_m", "note", "source", "grade"];
    let sheet = Sheet::read(folder, "fittings/equivalent_length.csv", &columns)?;
    let mut seen = Unique::new();
    let mut lengths = Vec::new();
    for row in sheet.rows() {
        let (key, nominal) = (row.text("key")?, row.text("nominal")?);
        seen.insert(row, (key, nominal), "key", &format!("{key} of {nominal}"))?;
        let outside = Length::new::<inch>(row.positive("outside_in")?);
        let length = EquivalentLength::new(Length::new::<meter>(row.positive("length_m")?));
        lengths.push((outside, fitting(row, length)?));
    }
    Ok(lengths)
}

fn fitting<T>(row: Row<'_>, value: T) -> Result<Fitting<T>, TableError> {
    Ok(Fitting {
        key: row.text("key")?.into(),
        name: row.text("fitting")?.into(),
        note: row.optional("note").map(Into::into),
        loss: Sourced::new(value, row.source("source", "grade")?),
    })
}

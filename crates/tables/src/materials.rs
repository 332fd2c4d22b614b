//! Which refrigerant must not touch which material.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::Source,
    refrigerants::{Refrigerant, Refrigerants},
    sheet::{Sheet, Unique, Word},
};
use std::{fmt, sync::Arc};

const FILE: &str = "refrigerants/materials.csv";

/// What a line can be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Material {
    /// Copper, of which every tube of the tables is made.
    Copper,
}

impl Word for Material {
    const WORDS: &'static [(&'static str, Self)] = &[("copper", Self::Copper)];
}

impl fmt::Display for Material {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// What a row says of a pair. A pair without a row is not judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verdict {
    Refused,
}

impl Word for Verdict {
    const WORDS: &'static [(&'static str, Self)] = &[("refused", Self::Refused)];
}

/// A material that a refrigerant must not touch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Trade name of the refrigerant.
    pub refrigerant: Arc<str>,
    /// The material.
    pub material: Material,
    /// What happens.
    pub reason: Arc<str>,
    /// What is taken in its place.
    pub instead: Arc<str>,
    /// Where this comes from.
    pub source: Source,
}

/// All pairs that are refused.
#[derive(Clone, Debug)]
pub struct Materials(Vec<Refusal>);

impl Materials {
    pub(crate) fn load(folder: &DataFolder, refrigerants: &Refrigerants) -> Result<Self, TableError> {
        let columns = ["refrigerant", "material", "verdict", "reason", "instead", "source", "grade"];
        let sheet = Sheet::read(folder, FILE, &columns)?;
        let mut seen = Unique::new();
        let mut refusals = Vec::new();
        for row in sheet.rows() {
            let name = row.text("refrigerant")?;
            // A misspelt name would silently let the pair pass.
            if !refrigerants.all().iter().any(|refrigerant| &*refrigerant.name == name) {
                let with = "the names in refrigerants/refrigerants.csv".to_owned();
                return Err(row.fault("refrigerant", Fault::Disagrees { text: name.to_owned(), with }));
            }
            let material: Material = row.word("material")?;
            seen.insert(row, (name.to_owned(), material), "material", row.text("material")?)?;
            let Verdict::Refused = row.word("verdict")?;
            refusals.push(Refusal {
                refrigerant: name.into(),
                material,
                reason: row.text("reason")?.into(),
                instead: row.text("instead")?.into(),
                source: row.source("source", "grade")?,
            });
        }
        Ok(Self(refusals))
    }

    /// Every refused pair, in the order of the table.
    #[must_use]
    pub fn all(&self) -> &[Refusal] {
        &self.0
    }

    /// Why `material` must not hold `refrigerant`; none where nothing is known against it.
    #[must_use]
    pub fn refusal(&self, refrigerant: &Refrigerant, material: Material) -> Option<&Refusal> {
        self.0.iter().find(|row| row.refrigerant == refrigerant.name && row.material == material)
    }
}

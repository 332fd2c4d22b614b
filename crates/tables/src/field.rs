//! What work in the field is judged by: sizes of overcurrent devices, resistances of conductors, thresholds of rules and
//! habits.
//!
//! Law and code change and differ by place: each threshold carries its source and grade, and the date of its rule where the source
//! states one.

use crate::{
    error::TableError,
    folder::DataFolder,
    provenance::{Source, Sourced},
    sheet::{Row, Sheet, Unique, Word},
};
use physics::{
    field::electrical::resistance_per_length,
    units::{
        AbsolutePressure, ElectricCurrent, ElectricalResistance, GaugePressure, Length, Mass,
        PASCAL_PER_MICRON, Pressure, Ratio, ResistancePerLength, Time, Velocity, Volume,
        unit::{
            electric_current::ampere,
            electrical_resistance::ohm,
            length::{foot, inch, meter},
            mass::{gram, kilogram, pound, ton},
            pressure::psi,
            ratio::{percent, ratio},
            time::{day, hour, minute},
            velocity::foot_per_second,
            volume::cubic_meter,
        },
    },
};
use std::sync::Arc;

const OVERCURRENT_FILE: &str = "field/overcurrent_sizes.csv";
const CONDUCTOR_FILE: &str = "field/conductors.csv";
const METRIC_CONDUCTOR_FILE: &str = "field/metric_conductors.csv";
const THRESHOLD_FILE: &str = "field/thresholds.csv";

/// A copper conductor.
#[derive(Clone, Debug, PartialEq)]
pub struct Conductor {
    /// Its size: `12 AWG`.
    pub gauge: Arc<str>,
    /// Resistance to direct current at 75 °C, stranded and uncoated.
    pub direct: Sourced<ResistancePerLength>,
    /// Resistance to alternating current at 75 °C in plastic conduit.
    pub in_conduit: Sourced<ResistancePerLength>,
}

/// A copper conductor of a metric section.
#[derive(Clone, Debug, PartialEq)]
pub struct MetricConductor {
    /// Its section, mm².
    pub section_mm2: f64,
    /// Greatest resistance to direct current at 20 °C, stranded.
    pub direct: Sourced<ResistancePerLength>,
}

/// Number of whole months.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Months(pub u32);

/// Value of a threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)] // each holds the quantity that names it
pub enum FieldQuantity {
    Mass(Mass),
    Ratio(Ratio),
    Volume(Volume),
    Time(Time),
    Months(Months),
    GaugePressure(GaugePressure),
    AbsolutePressure(AbsolutePressure),
    Length(Length),
    Velocity(Velocity),
}

/// A quantity that a threshold may have.
pub trait FieldValue: Sized {
    /// This quantity out of any; `None` where it is another.
    fn of(value: FieldQuantity) -> Option<Self>;
}

macro_rules! field_value {
    ($($quantity:ident),*) => {$(
        impl FieldValue for $quantity {
            fn of(value: FieldQuantity) -> Option<Self> {
                if let FieldQuantity::$quantity(value) = value { Some(value) } else { None }
            }
        }
    )*};
}
field_value!(Mass, Ratio, Volume, Time, Months, GaugePressure, AbsolutePressure, Length, Velocity);

/// Units of the table of thresholds.
#[derive(Clone, Copy, PartialEq)]
enum Unit {
    One,
    Percent,
    PercentOfYear,
    Slope,
    Gram,
    Kilogram,
    Pound,
    Tonne,
    CubicMetre,
    Minute,
    Hour,
    Day,
    Month,
    Year,
    PsiGauge,
    Micron,
    Inch,
    Foot,
    FootPerSecond,
}

impl Word for Unit {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("1", Self::One),
        ("%", Self::Percent),
        ("%/a", Self::PercentOfYear),
        ("in/ft", Self::Slope),
        ("g", Self::Gram),
        ("kg", Self::Kilogram),
        ("lb", Self::Pound),
        ("t", Self::Tonne),
        ("m3", Self::CubicMetre),
        ("min", Self::Minute),
        ("h", Self::Hour),
        ("d", Self::Day),
        ("month", Self::Month),
        ("a", Self::Year),
        ("psig", Self::PsiGauge),
        ("micron", Self::Micron),
        ("in", Self::Inch),
        ("ft", Self::Foot),
        ("ft/s", Self::FootPerSecond),
    ];
}

impl Unit {
    /// A share a year is held as the share of one year. `None` for months or years that are no whole number.
    fn quantity(self, number: f64) -> Option<FieldQuantity> {
        Some(match self {
            Self::One => FieldQuantity::Ratio(Ratio::new::<ratio>(number)),
            Self::Percent | Self::PercentOfYear => FieldQuantity::Ratio(Ratio::new::<percent>(number)),
            Self::Slope => FieldQuantity::Ratio(Ratio::new::<ratio>(number / 12.0)),
            Self::Gram => FieldQuantity::Mass(Mass::new::<gram>(number)),
            Self::Kilogram => FieldQuantity::Mass(Mass::new::<kilogram>(number)),
            Self::Pound => FieldQuantity::Mass(Mass::new::<pound>(number)),
            Self::Tonne => FieldQuantity::Mass(Mass::new::<ton>(number)),
            Self::CubicMetre => FieldQuantity::Volume(Volume::new::<cubic_meter>(number)),
            Self::Minute => FieldQuantity::Time(Time::new::<minute>(number)),
            Self::Hour => FieldQuantity::Time(Time::new::<hour>(number)),
            Self::Day => FieldQuantity::Time(Time::new::<day>(number)),
            Self::Month => FieldQuantity::Months(whole(number)?),
            Self::Year => FieldQuantity::Months(whole(12.0 * number)?),
            Self::PsiGauge => FieldQuantity::GaugePressure(GaugePressure::new(Pressure::new::<psi>(number))),
            Self::Micron => {
                FieldQuantity::AbsolutePressure(AbsolutePressure::from_pascal(PASCAL_PER_MICRON * number))
            }
            Self::Inch => FieldQuantity::Length(Length::new::<inch>(number)),
            Self::Foot => FieldQuantity::Length(Length::new::<foot>(number)),
            Self::FootPerSecond => FieldQuantity::Velocity(Velocity::new::<foot_per_second>(number)),
        })
    }
}

fn whole(months: f64) -> Option<Months> {
    // Kept only where it is a whole number in range, and there the cast is exact.
    (months.fract() == 0.0 && (1.0..=1200.0).contains(&months)).then_some(Months(months as u32))
}

/// A threshold of a rule or a habit.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Stable key: `leak-repair-charge-hfc`.
    pub key: Arc<str>,
    /// Its value.
    pub value: FieldQuantity,
    /// The value as the table has it: `15 lb`.
    pub printed: Arc<str>,
    /// Date of its rule, as far as the source states one: `2026-01-01`, `2019`.
    pub date: Option<Arc<str>>,
    /// What it is about, in words; may be empty.
    pub note: Arc<str>,
    /// Where it comes from.
    pub source: Source,
}

/// All tables of the field.
#[derive(Clone, Debug)]
pub struct Field {
    overcurrent_sizes: Vec<Sourced<ElectricCurrent>>,
    conductors: Vec<Conductor>,
    metric_conductors: Vec<MetricConductor>,
    thresholds: Vec<Threshold>,
}

impl Field {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        Ok(Self {
            overcurrent_sizes: overcurrent_sizes(folder)?,
            conductors: conductors(folder)?,
            metric_conductors: metric_conductors(folder)?,
            thresholds: thresholds(folder)?,
        })
    }

    /// Standard sizes of overcurrent devices, as the table lists them.
    #[must_use]
    pub fn overcurrent_sizes(&self) -> &[Sourced<ElectricCurrent>] {
        &self.overcurrent_sizes
    }

    /// Conductors, as the table lists them.
    #[must_use]
    pub fn conductors(&self) -> &[Conductor] {
        &self.conductors
    }

    /// Conductor of a gauge, in any spelling of case: `12 AWG`.
    #[must_use]
    pub fn conductor(&self, gauge: &str) -> Option<&Conductor> {
        self.conductors.iter().find(|conductor| conductor.gauge.eq_ignore_ascii_case(gauge))
    }

    /// Conductors of metric sections, as the table lists them.
    #[must_use]
    pub fn metric_conductors(&self) -> &[MetricConductor] {
        &self.metric_conductors
    }

    /// Thresholds, as the table lists them.
    #[must_use]
    pub fn thresholds(&self) -> &[Threshold] {
        &self.thresholds
    }

    /// The threshold of a key, as the quantity asked for.
    ///
    /// # Errors
    /// [`TableError::MissingEntry`] where the data folder leaves it out or has it in a unit of another quantity.
    ///
    /// ```
    /// use physics::units::{Mass, unit::mass::pound};
    /// let library = tables::Library::embedded()?;
    /// let charge = library.field().value::<Mass>("leak-repair-charge-hfc")?;
    /// assert!((charge.value.get::<pound>() - 15.0).abs() < 1e-9);
    /// # Ok::<(), tables::TableError>(())
    /// ```
    pub fn value<V: FieldValue>(&self, key: &str) -> Result<Sourced<V>, TableError> {
        let missing = || TableError::MissingEntry { file: THRESHOLD_FILE.to_owned(), key: key.to_owned() };
        let row = self.thresholds.iter().find(|row| *row.key == *key).ok_or_else(missing)?;
        Ok(Sourced::new(V::of(row.value).ok_or_else(missing)?, row.source.clone()))
    }

    /// Every source with what is taken from it, in the order of the tables.
    pub fn sources(&self) -> impl Iterator<Item = (String, &Source)> {
        let sizes = self
            .overcurrent_sizes
            .iter()
            .map(|size| (format!("overcurrent device of {} A", size.value.get::<ampere>()), &size.source));
        let conductors = self.conductors.iter().flat_map(|conductor| {
            [
                (
                    format!("resistance of {} copper, direct current", conductor.gauge),
                    &conductor.direct.source,
                ),
                (
                    format!("resistance of {} copper in conduit", conductor.gauge),
                    &conductor.in_conduit.source,
                ),
            ]
        });
        let metric = self.metric_conductors.iter().map(|conductor| {
            (format!("resistance of {} mm2 copper", conductor.section_mm2), &conductor.direct.source)
        });
        let thresholds =
            self.thresholds.iter().map(|row| (format!("{} = {}", row.key, row.printed), &row.source));
        sizes.chain(conductors).chain(metric).chain(thresholds)
    }
}

fn overcurrent_sizes(folder: &DataFolder) -> Result<Vec<Sourced<ElectricCurrent>>, TableError> {
    let sheet = Sheet::read(folder, OVERCURRENT_FILE, &["size_a", "note", "source", "grade"])?;
    let mut seen = Unique::new();
    let size = |row: Row<'_>| {
        let size_a = row.positive("size_a")?;
        seen.insert(row, size_a.to_bits(), "size_a", row.text("size_a")?)?;
        Ok(Sourced::new(ElectricCurrent::new::<ampere>(size_a), row.source("source", "grade")?))
    };
    sheet.rows().map(size).collect()
}

fn conductors(folder: &DataFolder) -> Result<Vec<Conductor>, TableError> {
    let columns = [
        "gauge",
        "direct_ohm_per_1000_ft",
        "direct_note",
        "direct_source",
        "direct_grade",
        "conduit_ohm_per_1000_ft",
        "conduit_note",
        "conduit_source",
        "conduit_grade",
    ];
    let sheet = Sheet::read(folder, CONDUCTOR_FILE, &columns)?;
    let mut seen = Unique::new();
    let conductor = |row: Row<'_>| {
        let gauge = row.text("gauge")?;
        seen.insert(row, gauge.to_lowercase(), "gauge", gauge)?;
        let resistance = |column| resistance(row, column, Length::new::<foot>(1000.0));
        Ok(Conductor {
            gauge: gauge.into(),
            direct: Sourced::new(
                resistance("direct_ohm_per_1000_ft")?,
                row.source("direct_source", "direct_grade")?,
            ),
            in_conduit: Sourced::new(
                resistance("conduit_ohm_per_1000_ft")?,
                row.source("conduit_source", "conduit_grade")?,
            ),
        })
    };
    sheet.rows().map(conductor).collect()
}

fn metric_conductors(folder: &DataFolder) -> Result<Vec<MetricConductor>, TableError> {
    let columns = ["section_mm2", "direct_ohm_per_km", "note", "source", "grade"];
    let sheet = Sheet::read(folder, METRIC_CONDUCTOR_FILE, &columns)?;
    let mut seen = Unique::new();
    let conductor = |row: Row<'_>| {
        let section_mm2 = row.positive("section_mm2")?;
        seen.insert(row, section_mm2.to_bits(), "section_mm2", row.text("section_mm2")?)?;
        Ok(MetricConductor {
            section_mm2,
            direct: Sourced::new(
                resistance(row, "direct_ohm_per_km", Length::new::<meter>(1000.0))?,
                row.source("source", "grade")?,
            ),
        })
    };
    sheet.rows().map(conductor).collect()
}

fn resistance(row: Row<'_>, column: &str, of: Length) -> Result<ResistancePerLength, TableError> {
    let ohms = row.positive(column)?;
    let expected = "a resistance of 0.0003 to 300 ohm";
    resistance_per_length(ElectricalResistance::new::<ohm>(ohms), of)
        .map_err(|_| row.fault(column, crate::Fault::OutOfRange { value: ohms, expected }))
}

fn thresholds(folder: &DataFolder) -> Result<Vec<Threshold>, TableError> {
    let sheet =
        Sheet::read(folder, THRESHOLD_FILE, &["key", "value", "unit", "date", "note", "source", "grade"])?;
    let mut seen = Unique::new();
    let threshold = |row: Row<'_>| {
        let key = row.text("key")?;
        seen.insert(row, key.to_owned(), "key", key)?;
        let (number, unit) = (row.positive("value")?, row.word::<Unit>("unit")?);
        let whole = "a whole number of months up to 1200";
        let value = unit
            .quantity(number)
            .ok_or_else(|| row.fault("value", crate::Fault::OutOfRange { value: number, expected: whole }))?;
        let printed = match unit {
            Unit::One => number.to_string(),
            _ => format!("{number} {}", unit.word()),
        };
        Ok(Threshold {
            key: key.into(),
            value,
            printed: printed.into(),
            date: row.optional("date").map(Into::into),
            note: row.optional("note").unwrap_or_default().into(),
            source: row.source("source", "grade")?,
        })
    };
    sheet.rows().map(threshold).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Grade;

    fn field() -> Field {
        Field::load(&DataFolder::embedded()).unwrap()
    }

    #[test]
    fn thicker_copper_resists_less_and_conduit_adds_little() {
        let field = field();
        let direct: Vec<_> = field.conductors().iter().map(|conductor| conductor.direct.value).collect();
        assert!(direct.windows(2).all(|pair| pair[1] < pair[0]), "{direct:?}");
        for conductor in field.conductors() {
            let more = (conductor.in_conduit.value / conductor.direct.value).get::<ratio>() - 1.0;
            // The table of alternating current is printed to two digits.
            assert!((-0.01..0.05).contains(&more), "{}: {more}", conductor.gauge);
        }
        assert!(field.conductor("12 awg").is_some() && field.conductor("13 AWG").is_none());
    }

    #[test]
    fn a_threshold_is_had_as_its_own_quantity_only() {
        let field = field();
        let charge = field.value::<Mass>("leak-repair-charge-hfc").unwrap();
        assert_eq!((charge.source.grade, charge.is_unconfirmed()), (Grade::Published, false));
        let told = field.value::<Time>("leak-repair-charge-hfc").unwrap_err().to_string();
        assert!(told.starts_with("field/thresholds.csv has no entry `leak-repair-charge-hfc`"), "{told}");
        assert!(field.value::<Mass>("leak-repair").is_err());
        assert_eq!(field.value::<Months>("fgas-records").unwrap().value, Months(60));
        let target = field.value::<AbsolutePressure>("evacuation-target").unwrap().value;
        approx::assert_relative_eq!(target.pascal(), 66.661, max_relative = 1e-5);
        let slope = field.value::<Ratio>("drain-slope").unwrap().value;
        approx::assert_relative_eq!(slope.get::<ratio>(), 0.25 / 12.0, max_relative = 1e-12);
    }

    #[test]
    fn thresholds_that_rise_together_do() {
        let field = field();
        let mass = |key: &str| field.value::<Mass>(key).unwrap().value;
        let months = |key: &str| field.value::<Months>(key).unwrap().value;
        for [less, more] in [["small", "medium"], ["medium", "large"]] {
            assert!(mass(&format!("fgas-check-from-{less}")) < mass(&format!("fgas-check-from-{more}")));
            assert!(mass(&format!("hfo-check-from-{less}")) < mass(&format!("hfo-check-from-{more}")));
            for suffix in ["", "-detection"] {
                let interval = |size| months(&format!("fgas-check-interval-{size}{suffix}"));
                assert!(interval(less) > interval(more), "{less} {more} {suffix}");
            }
        }
        let gauge = |key| field.value::<GaugePressure>(key).unwrap().value;
        assert!(gauge("inlet-pressure-least") < gauge("inlet-pressure-most"));
        assert!(gauge("holding-charge-least") < gauge("holding-charge-most"));
    }
}

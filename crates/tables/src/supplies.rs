//! What a material list is counted by: waste, lengths that tube is sold in, brazing filler, habits of start-up and placing.
//!
//! Hardly any of it is published: each row says that it is common practice or recalled.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{Source, Sourced},
    sheet::{Row, Sheet, Unique, Word},
    tubes::Form,
};
use physics::units::{
    Length, OutsideDiameter, Pressure, Ratio, Time, Volume, VolumeRate,
    unit::{
        length::{foot, inch, meter},
        pressure::psi,
        ratio::percent,
        time::{hour, minute, second},
        volume::{cubic_foot, liter},
    },
};
use std::sync::Arc;

const HABIT_FILE: &str = "materials/habits.csv";
const STOCK_FILE: &str = "materials/stock_lengths.csv";
const FILLER_FILE: &str = "materials/filler.csv";

/// Share by which a tube may be thicker than its row says: 15.88 mm is 5/8 in.
const DIAMETER_TOLERANCE: f64 = 1e-3;

/// Habits, each with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Habits {
    /// Share of tube added for waste.
    pub waste_tube: Sourced<Ratio>,
    /// Share of insulation added for waste.
    pub waste_insulation: Sourced<Ratio>,
    /// Share of nitrogen added for waste.
    pub waste_nitrogen: Sourced<Ratio>,
    /// Length that tube insulation is sold in.
    pub insulation_piece: Sourced<Length>,
    /// Tube in an inverted loop, beside the legs.
    pub tube_in_loop: Sourced<Length>,
    /// Tube in one oil trap, beside the legs.
    pub tube_in_trap: Sourced<Length>,
    /// Flow of nitrogen while a joint is brazed, at the pressure of the air.
    pub purge_flow: Sourced<VolumeRate>,
    /// Time that it flows for one joint.
    pub purge_time_of_joint: Sourced<Time>,
    /// Gas in one nitrogen cylinder, at the pressure of the air.
    pub nitrogen_cylinder: Sourced<Volume>,
    /// Pressure of a full nitrogen cylinder, above that of the air.
    pub nitrogen_cylinder_pressure: Sourced<Pressure>,
    /// Length of one rod of brazing filler.
    pub filler_rod: Sourced<Length>,
    /// Oil of one change of a vacuum pump.
    pub pump_oil: Sourced<Volume>,
    /// Room at sides and back of a head.
    pub clearance_head: Sourced<Length>,
    /// Quickest answer of a bin control.
    pub bin_control_least: Sourced<Time>,
    /// Slowest answer of a bin control.
    pub bin_control_most: Sourced<Time>,
}

/// Length that one product is sold in.
#[derive(Clone, Debug, PartialEq)]
struct StockLength {
    standard: Arc<str>,
    form: Form,
    length: Sourced<Length>,
}

/// What a material list is counted by.
#[derive(Clone, Debug)]
pub struct Supplies {
    habits: Habits,
    stock_lengths: Vec<StockLength>,
    /// Outside diameter up to which a row holds, rising, and its filler.
    filler: Vec<(Length, Sourced<Length>)>,
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Inch,
    Foot,
    Metre,
}

impl Word for Unit {
    const WORDS: &'static [(&'static str, Self)] =
        &[("in", Self::Inch), ("ft", Self::Foot), ("m", Self::Metre)];
}

impl Unit {
    fn length(self, number: f64) -> Length {
        match self {
            Self::Inch => Length::new::<inch>(number),
            Self::Foot => Length::new::<foot>(number),
            Self::Metre => Length::new::<meter>(number),
        }
    }
}

impl Supplies {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        Ok(Self { habits: habits(folder)?, stock_lengths: stock_lengths(folder)?, filler: filler(folder)? })
    }

    /// Waste, purge, cylinders, clearances and the like.
    #[must_use]
    pub fn habits(&self) -> &Habits {
        &self.habits
    }

    /// Length that tube of a standard and form is sold in; `None` where the table does not say.
    #[must_use]
    pub fn stock_length(&self, standard: &str, form: Form) -> Option<&Sourced<Length>> {
        let same = |row: &&StockLength| *row.standard == *standard && row.form == form;
        self.stock_lengths.iter().find(same).map(|row| &row.length)
    }

    /// Length of filler rod that one joint of a tube takes; `None` beyond the largest tube of the table.
    #[must_use]
    pub fn filler(&self, outside: OutsideDiameter) -> Option<&Sourced<Length>> {
        let fits = |(up_to, _): &&(Length, Sourced<Length>)| {
            outside.get().value <= up_to.value * (1.0 + DIAMETER_TOLERANCE)
        };
        self.filler.iter().find(fits).map(|(_, rod)| rod)
    }

    /// Source of the filler of the smallest tubes, which stands for the column.
    #[must_use]
    pub fn filler_source(&self) -> Option<&Source> {
        self.filler.first().map(|(_, rod)| &rod.source)
    }

    /// Every source with what is taken from it, in the order of the tables.
    pub fn sources(&self) -> impl Iterator<Item = (String, &Source)> {
        let habits = &self.habits;
        let inches = |length: Length| format!("{:.0} in", length.get::<inch>());
        let feet = |length: Length| format!("{:.0} ft", length.get::<foot>());
        let percentage = |share: Ratio| format!("{:.0} %", share.get::<percent>());
        let of_habits = [
            ("waste of tube", percentage(habits.waste_tube.value), &habits.waste_tube.source),
            (
                "waste of insulation",
                percentage(habits.waste_insulation.value),
                &habits.waste_insulation.source,
            ),
            ("waste of nitrogen", percentage(habits.waste_nitrogen.value), &habits.waste_nitrogen.source),
            ("piece of insulation", feet(habits.insulation_piece.value), &habits.insulation_piece.source),
            ("tube in an inverted loop", feet(habits.tube_in_loop.value), &habits.tube_in_loop.source),
            ("tube in an oil trap", feet(habits.tube_in_trap.value), &habits.tube_in_trap.source),
            (
                "nitrogen while brazing",
                format!(
                    "{:.0} ft3/h",
                    (habits.purge_flow.value * Time::new::<hour>(1.0)).get::<cubic_foot>()
                ),
                &habits.purge_flow.source,
            ),
            (
                "time of nitrogen for one joint",
                format!("{:.0} min", habits.purge_time_of_joint.value.get::<minute>()),
                &habits.purge_time_of_joint.source,
            ),
            (
                "gas in a nitrogen cylinder",
                format!("{:.0} ft3", habits.nitrogen_cylinder.value.get::<cubic_foot>()),
                &habits.nitrogen_cylinder.source,
            ),
            (
                "pressure of a nitrogen cylinder",
                format!("{:.0} psig", habits.nitrogen_cylinder_pressure.value.get::<psi>()),
                &habits.nitrogen_cylinder_pressure.source,
            ),
            ("rod of brazing filler", inches(habits.filler_rod.value), &habits.filler_rod.source),
            (
                "oil of one change of a vacuum pump",
                format!("{} L", habits.pump_oil.value.get::<liter>()),
                &habits.pump_oil.source,
            ),
            ("clearance of the head", inches(habits.clearance_head.value), &habits.clearance_head.source),
            (
                "quickest answer of a bin control",
                format!("{:.0} s", habits.bin_control_least.value.get::<second>()),
                &habits.bin_control_least.source,
            ),
            (
                "slowest answer of a bin control",
                format!("{:.0} s", habits.bin_control_most.value.get::<second>()),
                &habits.bin_control_most.source,
            ),
        ];
        let of_habits =
            of_habits.into_iter().map(|(what, value, source)| (format!("{what} = {value}"), source));
        let of_stock = self.stock_lengths.iter().map(|row| {
            let what = format!(
                "length that {} {} is sold in = {:.1} m",
                row.standard,
                row.form,
                row.length.value.get::<meter>()
            );
            (what, &row.length.source)
        });
        let of_filler = self.filler.iter().map(|(up_to, rod)| {
            let what = format!(
                "filler of one joint up to {} in OD = {} in of rod",
                up_to.get::<inch>(),
                rod.value.get::<inch>()
            );
            (what, &rod.source)
        });
        of_habits.chain(of_stock).chain(of_filler)
    }
}

fn habits(folder: &DataFolder) -> Result<Habits, TableError> {
    let sheet = Sheet::read(folder, HABIT_FILE, &Sheet::CONSTANTS)?;
    let constants = sheet.constants()?;
    let share = |key| Ok::<_, TableError>(constants.take(key, "%")?.map(Ratio::new::<percent>));
    let time = |key| Ok::<_, TableError>(constants.take(key, "s")?.map(Time::new::<second>));
    let feet = |key| Ok::<_, TableError>(constants.take(key, "ft")?.map(Length::new::<foot>));
    let inches = |key| Ok::<_, TableError>(constants.take(key, "in")?.map(Length::new::<inch>));
    Ok(Habits {
        waste_tube: share("waste-tube")?,
        waste_insulation: share("waste-insulation")?,
        waste_nitrogen: share("waste-nitrogen")?,
        insulation_piece: feet("insulation-piece")?,
        tube_in_loop: feet("tube-in-loop")?,
        tube_in_trap: feet("tube-in-trap")?,
        purge_flow: constants
            .take("purge-flow", "ft3/h")?
            .map(|flow| Volume::new::<cubic_foot>(flow) / Time::new::<hour>(1.0)),
        purge_time_of_joint: constants.take("purge-time-of-joint", "min")?.map(Time::new::<minute>),
        nitrogen_cylinder: constants.take("nitrogen-cylinder", "ft3")?.map(Volume::new::<cubic_foot>),
        nitrogen_cylinder_pressure: constants
            .take("nitrogen-cylinder-pressure", "psig")?
            .map(Pressure::new::<psi>),
        filler_rod: inches("filler-rod")?,
        pump_oil: constants.take("pump-oil", "L")?.map(Volume::new::<liter>),
        clearance_head: inches("clearance-head")?,
        bin_control_least: time("bin-control-least")?,
        bin_control_most: time("bin-control-most")?,
    })
}

fn stock_lengths(folder: &DataFolder) -> Result<Vec<StockLength>, TableError> {
    let sheet = Sheet::read(folder, STOCK_FILE, &["standard", "form", "length", "unit", "source", "grade"])?;
    let mut seen = Unique::new();
    let stock_length = |row: Row<'_>| {
        let (standard, form) = (row.text("standard")?, row.word::<Form>("form")?);
        seen.insert(row, (standard.to_owned(), form), "form", &format!("{standard} {form}"))?;
        let length = row.word::<Unit>("unit")?.length(row.positive("length")?);
        Ok(StockLength {
            standard: standard.into(),
            form,
            length: Sourced::new(length, row.source("source", "grade")?),
        })
    };
    sheet.rows().map(stock_length).collect()
}

fn filler(folder: &DataFolder) -> Result<Vec<(Length, Sourced<Length>)>, TableError> {
    let columns = ["outside_up_to", "outside_unit", "rod", "rod_unit", "source", "grade"];
    let sheet = Sheet::read(folder, FILLER_FILE, &columns)?;
    let mut rows: Vec<(Length, Sourced<Length>)> = Vec::new();
    for row in sheet.rows() {
        let up_to = row.word::<Unit>("outside_unit")?.length(row.positive("outside_up_to")?);
        let rod = row.word::<Unit>("rod_unit")?.length(row.positive("rod")?);
        // A thicker tube never takes less: both columns rise.
        if let Some((before, less)) = rows.last() {
            for (column, previous, value) in [("outside_up_to", *before, up_to), ("rod", less.value, rod)] {
                if value <= previous {
                    let (previous, value) = (previous.get::<inch>(), value.get::<inch>());
                    return Err(row.fault(column, Fault::NotRising { previous, value }));
                }
            }
        }
        rows.push((up_to, Sourced::new(rod, row.source("source", "grade")?)));
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Library;
    use physics::units::unit::length::millimeter;

    #[test]
    fn every_form_that_tube_is_sold_in_has_a_length() {
        let library = Library::embedded().unwrap();
        for product in library.tubes().products() {
            let found = library.supplies().stock_length(&product.standard, product.form);
            assert!(found.is_some(), "{} {}", product.standard, product.form);
        }
        assert_eq!(library.supplies().stock_length("ASTM B280", Form::CoilOrStraight), None);
    }

    #[test]
    fn every_tube_has_its_filler_and_a_thicker_one_never_less() {
        let library = Library::embedded().unwrap();
        let mut tubes: Vec<_> =
            library.tubes().products().iter().map(|product| product.tube.outside()).collect();
        tubes.sort_by(|a, b| a.get().value.total_cmp(&b.get().value));
        let rods: Vec<_> =
            tubes.iter().map(|outside| library.supplies().filler(*outside).unwrap().value).collect();
        assert!(rods.windows(2).all(|pair| pair[0] <= pair[1]), "{rods:?}");
        let of = |outside: Length| library.supplies().filler(OutsideDiameter::new(outside));
        assert_eq!(of(Length::new::<inch>(0.5)).unwrap().value, Length::new::<inch>(1.5));
        // 15.88 mm is 5/8 in and not the next size.
        assert_eq!(of(Length::new::<millimeter>(15.88)), of(Length::new::<inch>(0.625)));
        assert_eq!(of(Length::new::<inch>(8.0)), None);
    }

    #[test]
    fn nothing_here_is_called_published() {
        let library = Library::embedded().unwrap();
        for (what, source) in library.supplies().sources() {
            assert!(
                matches!(source.grade, crate::Grade::CommonPractice | crate::Grade::Memory),
                "{what}: {source}"
            );
        }
    }
}

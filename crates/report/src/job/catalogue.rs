//! A catalogue of condensers that the user keeps beside the job: a row a rating point, several rows a model.
//!
//! `data/templates/condensers.csv` has its columns, filled with invented units.

use super::cells::{self, Column, need};
use super::condenser::{self, DIFFERENCES, check_rising};
use super::diagnose::{Fault, FaultKind, Faults, Located, Source};
use super::file::POWERS;
use super::model::*;
use super::outline::Outline;
use super::quantity::{SoundPowerLevel, nearest};
use super::table::{Key, Reader, Table, key};
use physics::units::{
    Length, Mass, Power, TemperatureInterval, ThermodynamicTemperature, Volume, VolumeRate,
};
use std::sync::Arc;

const MODEL: Key = key("model", "L-24");
const REFRIGERANT: Key = key("refrigerant", "R-449A");
const HEAT: Key = key("heat_rejection", "10 kW");
const DIFFERENCE: Key = key("temperature_difference", "15 K");
const RATING_AIR: Key = key("rating_air", "35 °C");
const RATING_ALTITUDE: Key = key("rating_altitude", "0 m");
const AIR_FLOW: Key = key("air_flow", "1.1 m3/s");

const fn words(name: &'static str, example: &'static str, needed: bool) -> Column {
    Column { key: key(name, example), needed, numbers: false }
}

const fn numbers(key: Key, needed: bool) -> Column {
    Column { key, needed, numbers: true }
}

const COLUMNS: &[Column] = &[
    words(MODEL.name, MODEL.example, true),
    words(REFRIGERANT.name, REFRIGERANT.example, true),
    words("td_refers_to", "dew", false),
    numbers(HEAT, true),
    numbers(DIFFERENCE, true),
    numbers(RATING_AIR, true),
    numbers(RATING_ALTITUDE, true),
    numbers(AIR_FLOW, true),
    numbers(key("fan_power", "370 W"), false),
    numbers(key("coil_volume", "5 L"), false),
    numbers(key("mass", "113 kg"), false),
    numbers(key("outline", "1.2 x 0.9 x 0.9 m"), false),
    numbers(key("fan_diameter", "0.6 m"), false),
    words("discharge_air", "level", false),
    numbers(key("sound_power", "75 dB"), false),
];

/// The models of a catalogue.
#[derive(Clone, Debug, PartialEq)]
pub struct Catalogue {
    /// The file, for faults that are found later.
    pub source: Arc<Source>,
    /// At least one, in the order of the file.
    pub models: Vec<CatalogueModel>,
}

/// A condenser as its maker describes it. What may be absent is told as such by what needs it.
#[derive(Clone, Debug, PartialEq)]
pub struct CatalogueModel {
    /// Name.
    pub name: Located<String>,
    /// Its rating points, at least one, in the order of the file.
    pub rating: Vec<CatalogueRating>,
    /// Air through the coil.
    pub air_flow: VolumeRate,
    /// Electrical input of all its fans.
    pub fan_power: Option<Power>,
    /// Volume inside the coil.
    pub coil_volume: Option<Volume>,
    /// Mass.
    pub mass: Option<Mass>,
    /// Outside measures.
    pub outline: Option<Outline>,
    /// Diameter of a fan.
    pub fan_diameter: Option<Length>,
    /// Where the discharge air goes.
    pub discharge_air: Option<DischargeAir>,
    /// Sound power level.
    pub sound_power: Option<SoundPowerLevel>,
}

/// Heat at a temperature difference, and what else the rating was at.
#[derive(Clone, Debug, PartialEq)]
pub struct CatalogueRating {
    /// Name of the refrigerant, as written.
    pub refrigerant: Located<String>,
    /// Which condensing temperature the difference is measured from; a refrigerant with glide needs it.
    pub td_refers_to: Option<Located<SaturationReference>>,
    /// Heat given off.
    pub heat_rejection: Power,
    /// Condensing temperature above the air that enters.
    pub difference: TemperatureInterval,
    /// Air that enters.
    pub air: ThermodynamicTemperature,
    /// Height above the sea.
    pub altitude: Length,
}

impl Catalogue {
    /// The model of a name, in capitals or not.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&CatalogueModel> {
        let name = name.trim().to_lowercase();
        self.models.iter().find(|model| model.name.value.to_lowercase() == name)
    }

    /// The name that is most like one which [`find`](Self::find) does not know.
    #[must_use]
    pub fn nearest(&self, name: &str) -> Option<&str> {
        nearest(name, self.models.iter().map(|model| model.name.value.as_str()))
    }
}

/// Reads a catalogue.
///
/// # Errors
/// All faults of the file at once: columns, cells, rows of a model that contradict each other.
///
/// ```
/// let file = "model,refrigerant,heat_rejection,temperature_difference,rating_air,rating_altitude,air_flow\n\
///             one,R-134a,10 kW,15 K,35 °C,0 m,1.1 m3/s\n";
/// let catalogue = report::job::catalogue::read("units.csv", file.as_bytes())?;
/// assert_eq!(catalogue.models.len(), 1);
/// # Ok::<(), report::job::Faults>(())
/// ```
pub fn read(file_name: &str, bytes: &[u8]) -> Result<Catalogue, Faults> {
    let (source, models) = cells::read(file_name, bytes, COLUMNS, models)?;
    Ok(Catalogue { source, models })
}

/// A row: its rating point with the place of the heat, and what it says of the housing.
struct Row {
    name: Located<String>,
    point: Located<RatingPoint>,
    rating: CatalogueRating,
    figures: CondenserFigures,
}

fn models(reader: &mut Reader<'_>, tables: &[Table<'_>]) -> Option<Vec<CatalogueModel>> {
    // What is known of a model by its first row, whether that could be read or not.
    let mut first_of: Vec<(String, Option<Vec<Row>>)> = vec![];
    for table in tables {
        let row = row(reader, table);
        let name = reader.text(table, &MODEL).map(|name| name.value.to_lowercase()).unwrap_or_default();
        match first_of.iter_mut().find(|(known, _)| *known == name) {
            Some((_, rows)) => {
                if let (Some(rows), Some(row)) = (rows, row) {
                    rows.push(row);
                }
            }
            None => {
                if !table.has(AIR_FLOW.name) {
                    cells::missing(reader, table, &AIR_FLOW);
                }
                first_of.push((name, row.map(|row| vec![row])));
            }
        }
    }
    first_of.into_iter().map(|(_, rows)| model(reader, &rows?)).collect()
}

fn row(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Row> {
    let name = reader.text(table, &MODEL);
    let refrigerant = reader.text(table, &REFRIGERANT);
    let heat = reader.quantity(table, &HEAT, &POWERS);
    let difference = reader.quantity(table, &DIFFERENCE, &DIFFERENCES);
    let figures = condenser::stated(reader, table);
    let name = need(reader, table, &MODEL, name);
    let refrigerant = need(reader, table, &REFRIGERANT, refrigerant);
    let heat = need(reader, table, &HEAT, heat);
    let difference = need(reader, table, &DIFFERENCE, difference);
    let air = need(reader, table, &RATING_AIR, figures.rating_air);
    let altitude = need(reader, table, &RATING_ALTITUDE, figures.rating_altitude);
    let (heat, difference) = (heat?, difference?);
    let (heat_rejection, difference) = (heat.value, difference.value);
    Some(Row {
        name: name?,
        point: heat.map(|heat_rejection| RatingPoint { heat_rejection, difference }),
        rating: CatalogueRating {
            refrigerant: refrigerant?,
            td_refers_to: figures.td_refers_to,
            heat_rejection,
            difference,
            air: air?.value,
            altitude: altitude?.value,
        },
        figures,
    })
}

fn model(reader: &mut Reader<'_>, rows: &[Row]) -> Option<CatalogueModel> {
    let first = rows.first()?;
    let figures = &first.figures;
    for later in &rows[1..] {
        let (said, says) = (figures, &later.figures);
        agree(reader, AIR_FLOW.name, said.air_flow, says.air_flow);
        agree(reader, "fan_power", said.fan_power, says.fan_power);
        agree(reader, "coil_volume", said.coil_volume, says.coil_volume);
        agree(reader, "mass", said.mass, says.mass);
        agree(reader, "outline", said.outline, says.outline);
        agree(reader, "fan_diameter", said.fan_diameter, says.fan_diameter);
        agree(reader, "discharge_air", said.discharge_air, says.discharge_air);
        agree(reader, "sound_power", said.sound_power, says.sound_power);
    }
    // Points of one rating, which differ in nothing but heat and difference, have to rise.
    let mut ratings: Vec<(&CatalogueRating, Vec<Located<RatingPoint>>)> = vec![];
    for row in rows {
        let of_one = |other: &CatalogueRating| {
            let (a, b) = (other, &row.rating);
            let refers = |rating: &CatalogueRating| rating.td_refers_to.map(|refers| refers.value);
            a.refrigerant.value.eq_ignore_ascii_case(&b.refrigerant.value)
                && (refers(a), a.air, a.altitude) == (refers(b), b.air, b.altitude)
        };
        match ratings.iter_mut().find(|(other, _)| of_one(other)) {
            Some((_, points)) => points.push(row.point),
            None => ratings.push((&row.rating, vec![row.point])),
        }
    }
    for (_, points) in &ratings {
        check_rising(reader, HEAT.name, points);
    }
    Some(CatalogueModel {
        name: first.name.clone(),
        rating: rows.iter().map(|row| row.rating.clone()).collect(),
        air_flow: figures.air_flow?.value,
        fan_power: figures.fan_power.map(|said| said.value),
        coil_volume: figures.coil_volume.map(|said| said.value),
        mass: figures.mass.map(|said| said.value),
        outline: figures.outline.map(|said| said.value),
        fan_diameter: figures.fan_diameter.map(|said| said.value),
        discharge_air: figures.discharge_air.map(|said| said.value),
        sound_power: figures.sound_power.map(|said| said.value),
    })
}

/// Tells where a later row of a model says something that its first row does not say, or says otherwise.
fn agree<T: PartialEq>(
    reader: &mut Reader<'_>,
    column: &str,
    first: Option<Located<T>>,
    later: Option<Located<T>>,
) {
    let Some(later) = later else { return };
    let fault = match first {
        Some(first) if first.value == later.value => return,
        Some(first) => Fault::new(
            FaultKind::Contradiction,
            later.span,
            format!("{column}: the first row of this model says otherwise"),
            "leave the cell empty in later rows, or give another housing a name of its own",
        )
        .also(first.span, "the first row"),
        None => Fault::new(
            FaultKind::Contradiction,
            later.span,
            format!("{column}: the first row of this model leaves it open"),
            "write it in the first row",
        ),
    };
    reader.fault(fault);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::quantity::Quantity as _;

    const TEMPLATE: &[u8] = include_bytes!("../../../../data/templates/condensers.csv");
    const HEADER: &str = "model,refrigerant,td_refers_to,heat_rejection,temperature_difference,rating_air,rating_altitude,\
                          air_flow,fan_power\n";

    fn said(text: &str) -> String {
        read("units.csv", text.as_bytes()).unwrap_err().plain()
    }

    fn rows_said(rows: &str) -> String {
        said(&format!("{HEADER}{rows}"))
    }

    #[test]
    fn the_template_is_read() {
        let catalogue = read("condensers.csv", TEMPLATE).unwrap();
        let names: Vec<_> = catalogue.models.iter().map(|model| model.name.value.as_str()).collect();
        assert_eq!(names, ["small (invented)", "tall (invented)", "upward (invented)"]);
        let tall = catalogue.find(" Tall (Invented)").unwrap();
        assert_eq!(tall.rating.len(), 2);
        let rating = &tall.rating[1];
        assert_eq!(rating.refrigerant.value, "R-449A");
        assert_eq!(rating.td_refers_to.unwrap().value, SaturationReference::Mid);
        // 25 °F and 56,500 Btu/h by the definitions of the units.
        assert!((rating.difference.si() - 25.0 / 1.8).abs() < 1e-9);
        assert!((rating.heat_rejection.si() - 56_500.0 * 1_055.055_852_62 / 3600.0).abs() < 1e-6);
        assert!((rating.air.si() - 308.15).abs() < 1e-9);
        assert!((tall.air_flow.si() - 2_900.0 * 0.3048_f64.powi(3) / 60.0).abs() < 1e-9);
        assert!((tall.outline.unwrap().depth.si() - 36.0 * 0.0254).abs() < 1e-12);
        assert_eq!(
            (tall.discharge_air, tall.sound_power.unwrap().decibels()),
            (Some(DischargeAir::Level), 76.0)
        );
        let upward = &catalogue.models[2];
        assert_eq!((upward.rating[0].td_refers_to, upward.discharge_air), (None, Some(DischargeAir::Up)));
        assert_eq!(catalogue.find("wide"), None);
        assert_eq!(catalogue.nearest("smal"), Some("small (invented)"));
    }

    #[test]
    fn optional_columns_may_be_left_out_and_stand_in_any_order() {
        let text = "\u{feff}# invented\r\n\r\nAir flow;Model;rating-air;rating_altitude;refrigerant;temperature_difference;\
                    heat_rejection;\r\n1,1 m3/s;one;35 °C;0 m;R-134a;15 K;10,5 kW;\r\n;;;;;;;\r\n;one;35 °C;0 m;R-134a;\
                    \"10 K\";7 kW;";
        let catalogue = read("units.csv", text.as_bytes()).unwrap();
        let one = &catalogue.models[0];
        assert_eq!((catalogue.models.len(), one.rating.len()), (1, 2));
        assert!(
            (one.air_flow.si() - 1.1).abs() < 1e-12
                && (one.rating[0].heat_rejection.si() - 10_500.0).abs() < 1e-9
        );
        assert_eq!((one.mass, one.outline), (None, None));
    }

    #[test]
    fn every_fault_is_told_at_its_cell() {
        let said = rows_said(
            "a,R-134a,,10 kW,15 K,35,0 m,1.1 m3/s,\na,R-134a,down,,60 K,35 °C,0 m,,370\nb,R-134a,,10 kW,15 K,35 °C,0 m,,\n",
        );
        let told = [
            "units.csv:2:22: rating_air: `35` has no unit; a temperature is wanted; write `35 °F` or `35 °C`",
            "units.csv:3:1: `heat_rejection` is empty in this row; write it, such as `10 kW`",
            "units.csv:3:10: td_refers_to: `down` is not known here; ",
            "units.csv:3:16: temperature_difference: `60 K` is out of range: it must lie between 1 K and 40 K",
            "units.csv:3:32: fan_power: `370` has no unit; a power is wanted; ",
            "units.csv:4:1: `air_flow` is empty in this row; write it, such as `1.1 m3/s`",
        ];
        assert_eq!(said.lines().count(), told.len(), "{said}");
        for (line, told) in said.lines().zip(told) {
            assert!(line.starts_with(told), "{line}");
        }
    }

    #[test]
    fn rows_of_a_model_agree() {
        let good = "a,R-134a,,10 kW,15 K,35 °C,0 m,1.1 m3/s,\n";
        for (row, told) in [
            (
                "A,R-134a,,8 kW,10 K,35 °C,0 m,1.2 m3/s,",
                "units.csv:3:31: air_flow: the first row of this model says otherwise; leave",
            ),
            (
                "a,R-134a,,8 kW,10 K,35 °C,0 m,,370 W",
                "units.csv:3:32: fan_power: the first row of this model leaves it open; write",
            ),
            (
                "a,R-134a,,10 kW,15 K,35 °C,0 m,,",
                "units.csv:3:11: heat_rejection: two points are at the same",
            ),
            ("a,R-134A,,9 kW,16 K,35 °C,0 m,,", "units.csv:3:11: heat_rejection: the heat does not grow"),
        ] {
            let said = rows_said(&format!("{good}{row}\n"));
            assert!(said.starts_with(told) && said.lines().count() == 1, "{said}");
        }
        for row in [
            "a,R-134a,,8 kW,10 K,35 °C,0 m,1.1 m3/s,",
            "a,R-22,,9 kW,16 K,35 °C,0 m,,",
            "a,R-134a,dew,9 kW,16 K,35 °C,0 m,,",
            "a,R-134a,,9 kW,16 K,30 °C,0 m,,",
            "a,R-134a,,9 kW,16 K,35 °C,500 m,,",
            "b,R-134a,,9 kW,16 K,35 °C,0 m,2 m3/s,1 kW",
        ] {
            let text = format!("{HEADER}{good}{row}\n");
            assert!(read("units.csv", text.as_bytes()).is_ok(), "{row}");
        }
    }

    #[test]
    fn the_header_is_judged_before_the_rows() {
        let said =
            said("model,refrigerent,heat_rejection (kW),rating_air,rating_altitude,model,air_flow,zzz\nx\n");
        let told = [
            "units.csv:1:1: the column `temperature_difference` is missing; add `temperature_difference` to the header, and cells such as `15 K`",
            "units.csv:1:7: there is no column `refrigerent`; did you mean `refrigerant`? Units stand in the cells",
            "units.csv:1:19: there is no column `heat_rejection (kW)`; did you mean `heat_rejection`? Units stand in the cells",
            "units.csv:1:66: the column `model` stands here twice; keep one of the two",
            "units.csv:1:81: there is no column `zzz`; columns here: model, refrigerant, ",
        ];
        assert_eq!(said.lines().count(), told.len(), "{said}");
        for (line, told) in said.lines().zip(told) {
            assert!(line.starts_with(told), "{line}");
        }
    }

    #[test]
    fn files_that_are_no_table_are_told() {
        for (text, told) in [
            ("", "units.csv:1:1: the file has no rows; write a header"),
            ("# only a remark\n", "units.csv:1:1: the file has no rows"),
            (HEADER, "units.csv:1:1: the file has no rows"),
            ("model\0,x,y,z", "units.csv:1:1: byte 6 of the file is zero"),
        ] {
            let said = said(text);
            assert!(said.starts_with(told) && said.lines().count() == 1, "{said}");
        }
        let row = |cells: &str| rows_said(&format!("a,R-134a,,{cells}\n"));
        for (cells, told) in [
            (
                "10 kW,15 K,35 °C,0 m,1.1 m3/s",
                "units.csv:2:1: the row has 8 cells, the header 9; end each row",
            ),
            (
                "34,000 Btu/h,15 K,35 °C,0 m,1.1 m3/s,",
                "units.csv:2:1: the row has 10 cells, the header 9; end each row",
            ),
            (
                "\"10,5 kW\",15 K,35 °C,0 m,1.1 m3/s,",
                "units.csv:2:11: heat_rejection: `10,5 kW` has a decimal comma; ",
            ),
        ] {
            assert!(row(cells).starts_with(told), "{}", row(cells));
        }
        let under_none =
            said(&format!("{},\n{}", HEADER.trim_end(), "a,R-134a,,10 kW,15 K,35 °C,0 m,1.1 m3/s,,x"));
        assert!(
            under_none.starts_with("units.csv:2:1: a cell of this row stands under no column"),
            "{under_none}"
        );
        let semicolons = format!("{HEADER}a,R-134a,,10 kW,15 K,35 °C,0 m,\"1,100 m3/s\",")
            .replace(',', ";")
            .replace("1;100", "1,100");
        assert!(
            said(&semicolons).starts_with("units.csv:2:32: air_flow: `1,100` is read in two ways where cells are separated by semicolons or tab stops; write `1100` or `1.1000`"),
            "{}", said(&semicolons)
        );
    }

    #[cfg(feature = "cli")]
    #[test]
    fn faults_are_drawn_under_the_cell() {
        let text = format!("{HEADER}a,R-134a,,\"10 k\",15 K,35 °C,0 m,1.1 m3/s,\n");
        let drawn = read("units.csv", text.as_bytes()).unwrap_err().render(false);
        assert!(drawn.contains("--> units.csv:2:11"), "{drawn}");
        let line = drawn.lines().find(|line| line.contains('^')).unwrap();
        assert_eq!(line.matches('^').count(), "\"10 k\"".len(), "{drawn}");
    }
}

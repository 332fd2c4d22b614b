//! Tube products of the standards, and the stock that a job draws on.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::Source,
    sheet::{Row, Sheet, Unique, Word},
    suggest::nearest,
};
use physics::{
    tube::Tube,
    units::{
        Length, LinearMassDensity, OutsideDiameter,
        unit::{
            length::{inch, millimeter},
            linear_mass_density::kilogram_per_meter,
        },
    },
};
use std::{fmt, sync::Arc};

const FILE: &str = "tubes/tubes.csv";

/// Two outside diameters within this are the same size, mm. The nearest sizes that differ are 2-1/8 in (53.975 mm)
/// and 54 mm, 0.025 apart; the same size in two standards differs by up to 0.015 (5/16 in: 7.925, 7.94 mm).
const SAME_OUTSIDE_MM: f64 = 0.02;

/// Two walls within this are the same, mm: 0.032 in and 0.8 mm, 0.0128 apart, are not.
const SAME_WALL_MM: f64 = 0.01;

/// What a product is delivered as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Soft coil: turns are bent.
    Coil,
    /// Straight lengths: turns are elbows.
    Straight,
    /// Either.
    CoilOrStraight,
}

impl Word for Form {
    const WORDS: &'static [(&'static str, Self)] =
        &[("coil", Self::Coil), ("straight", Self::Straight), ("coil or straight", Self::CoilOrStraight)];
}

impl fmt::Display for Form {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Temper as delivered; brazing anneals a drawn tube at its joints.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Temper {
    /// Soft.
    Annealed,
    /// Hard or half-hard.
    Drawn,
    /// Either.
    AnnealedOrDrawn,
}

impl Word for Temper {
    const WORDS: &'static [(&'static str, Self)] =
        &[("annealed", Self::Annealed), ("drawn", Self::Drawn), ("annealed or drawn", Self::AnnealedOrDrawn)];
}

impl fmt::Display for Temper {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Unit in which a standard states the dimensions of a product.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DimensionUnit {
    /// Inch.
    Inch,
    /// Millimetre.
    Millimetre,
}

impl Word for DimensionUnit {
    const WORDS: &'static [(&'static str, Self)] = &[("in", Self::Inch), ("mm", Self::Millimetre)];
}

impl DimensionUnit {
    fn length(self, value: f64) -> Length {
        match self {
            Self::Inch => Length::new::<inch>(value),
            Self::Millimetre => Length::new::<millimeter>(value),
        }
    }

    /// Print of a wall: thousandths of an inch as the trade writes them (`0.030`), millimetres as short as they are;
    /// neither has more than four decimals.
    fn print(self, wall: Length) -> String {
        let rounded = |value: f64| (value * 1e4).round() / 1e4;
        match self {
            Self::Inch => {
                let inches = rounded(wall.get::<inch>());
                let (thousandths, short) = (format!("{inches:.3}"), format!("{inches}"));
                if short.len() > thousandths.len() { short } else { thousandths }
            }
            Self::Millimetre => format!("{}", rounded(wall.get::<millimeter>())),
        }
    }
}

/// How far a product may deviate from its nominal dimensions, either way.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// Of the wall.
    pub wall: Length,
    /// Of the outside diameter, annealed.
    pub outside_annealed: Option<Length>,
    /// Of the outside diameter, drawn.
    pub outside_drawn: Option<Length>,
    /// Where they come from.
    pub source: Source,
}

/// One size of one product.
#[derive(Clone, Debug, PartialEq)]
pub struct TubeProduct {
    /// Standard, with the type where it has several: `ASTM B88 Type L`.
    pub standard: Arc<str>,
    /// Coil or straight lengths.
    pub form: Form,
    /// Temper as delivered.
    pub temper: Temper,
    /// What the trade calls the outside diameter: `1-1/8 in`, `22 mm`.
    pub designation: Arc<str>,
    /// The plumber's nominal size, where it differs from the outside diameter: `3/4 in` for 7/8 in.
    pub nominal: Option<Arc<str>>,
    /// Unit of the dimensions in the standard.
    pub unit: DimensionUnit,
    /// Nominal dimensions.
    pub tube: Tube,
    /// Mass per length as printed in the source; `None` where it could only be calculated.
    pub listed_weight: Option<LinearMassDensity>,
    /// Tolerances, where known.
    pub tolerances: Option<Tolerances>,
    /// Remark on the data.
    pub note: Option<Arc<str>>,
    /// Where the dimensions come from.
    pub source: Source,
}

impl TubeProduct {
    /// The size as the trade prints it: `1/2 in OD` for inch sizes, `22 x 1 mm` for metric ones.
    #[must_use]
    pub fn printed_outside(&self) -> String {
        match self.designation.strip_suffix(" mm") {
            Some(outside) => format!("{outside} x {} mm", self.unit.print(self.tube.wall())),
            None => format!("{} OD", self.designation),
        }
    }

    /// The size with its wall: `3/4 in OD wall 0.035 in`, `22 x 1 mm`.
    #[must_use]
    pub fn printed_size(&self) -> String {
        if self.designation.ends_with(" mm") {
            return self.printed_outside();
        }
        format!("{} wall {} {}", self.printed_outside(), self.unit.print(self.tube.wall()), self.unit.word())
    }

    /// Size, standard and form: `3/4 in OD wall 0.035 in, ASTM B280 coil`. No two products share it.
    #[must_use]
    pub fn printed_name(&self) -> String {
        format!("{}, {} {}", self.printed_size(), self.standard, self.form)
    }

    /// The shortest name that no other product of `stock` shares: the outside diameter, with its form
    /// (`1/2 in OD coil`), with its wall, with wall and form, the full [`printed_name`](Self::printed_name).
    #[must_use]
    pub fn printed_among(&self, stock: &[Self]) -> String {
        let alone = |print: fn(&Self) -> String, in_form: bool| {
            let printed = print(self);
            // A product made in either form answers to both words, and neither word names it.
            let shares_form = |other: &Self| [self.form, Form::CoilOrStraight].contains(&other.form);
            let shared = stock
                .iter()
                .any(|other| other != self && print(other) == printed && (!in_form || shares_form(other)));
            match (shared, in_form) {
                (true, _) => None,
                (false, true) if self.form == Form::CoilOrStraight => None,
                (false, true) => Some(format!("{printed} {}", self.form)),
                (false, false) => Some(printed),
            }
        };
        alone(Self::printed_outside, false)
            .or_else(|| alone(Self::printed_outside, true))
            .or_else(|| alone(Self::printed_size, false))
            .or_else(|| alone(Self::printed_size, true))
            .unwrap_or_else(|| self.printed_name())
    }

    fn has_outside(&self, outside: OutsideDiameter) -> bool {
        outside_difference_mm(self, outside) <= SAME_OUTSIDE_MM
    }
}

/// Products of `stock` with this outside diameter and, where given, this wall, in the order of the stock.
///
/// 22 mm and 7/8 in (22.225 mm) are different sizes, as are 54 mm and 2-1/8 in (53.975 mm).
#[must_use]
pub fn matching(stock: &[TubeProduct], outside: OutsideDiameter, wall: Option<Length>) -> Vec<&TubeProduct> {
    let has_wall = |product: &TubeProduct| {
        wall.is_none_or(|wall| (product.tube.wall() - wall).get::<millimeter>().abs() <= SAME_WALL_MM)
    };
    stock.iter().filter(|product| product.has_outside(outside) && has_wall(product)).collect()
}

/// The products of `stock` nearest in outside diameter, one a printed size, nearest first: what to offer when
/// nothing matches.
#[must_use]
pub fn nearest_outside(stock: &[TubeProduct], outside: OutsideDiameter, count: usize) -> Vec<&TubeProduct> {
    let mut ranked: Vec<_> = stock.iter().collect();
    ranked.sort_by(|a, b| outside_difference_mm(a, outside).total_cmp(&outside_difference_mm(b, outside)));
    let mut offered: Vec<&TubeProduct> = Vec::with_capacity(count);
    for product in ranked {
        if offered.len() < count
            && offered.iter().all(|other| other.printed_outside() != product.printed_outside())
        {
            offered.push(product);
        }
    }
    offered
}

fn outside_difference_mm(product: &TubeProduct, outside: OutsideDiameter) -> f64 {
    (product.tube.outside().get() - outside.get()).get::<millimeter>().abs()
}

/// All tube products.
#[derive(Clone, Debug)]
pub struct Tubes(Vec<TubeProduct>);

impl Tubes {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        let sheet = Sheet::read(
            folder,
            FILE,
            &[
                "standard",
                "form",
                "temper",
                "designation",
                "nominal",
                "unit",
                "outside",
                "wall",
                "weight_kg_m",
                "weight_basis",
                "wall_tolerance_in",
                "outside_tolerance_annealed_in",
                "outside_tolerance_drawn_in",
                "tolerance_source",
                "tolerance_grade",
                "note",
                "source",
                "grade",
            ],
        )?;
        let mut seen = Unique::new();
        let mut products = Vec::new();
        for row in sheet.rows() {
            let product = product(row)?;
            let name = product.printed_name();
            seen.insert(row, name.clone(), "outside", &name)?;
            products.push(product);
        }
        Ok(Self(products))
    }

    /// Every product, in the order of the table.
    #[must_use]
    pub fn products(&self) -> &[TubeProduct] {
        &self.0
    }

    /// Products of every standard with this outside diameter and wall; see [`matching`].
    #[must_use]
    pub fn find(&self, outside: OutsideDiameter, wall: Option<Length>) -> Vec<&TubeProduct> {
        matching(&self.0, outside, wall)
    }

    /// The products that a description of a stock means: a standard, with or without a form, in any usual spelling
    /// (`ASTM B280 coil`, `b280 straight`, `ASTM B88 Type L`, `EN 12735-1`). Products delivered in either form come
    /// back in the form asked for.
    ///
    /// # Errors
    /// [`TableError::UnknownStock`] with the descriptions that are known.
    pub fn stock(&self, description: &str) -> Result<Vec<TubeProduct>, TableError> {
        let asked = Description::parse(description);
        let stock: Vec<_> = self.0.iter().filter_map(|product| asked.pick(product)).collect();
        if stock.is_empty() {
            let known = self.descriptions();
            let mut suggestions = nearest(description, known.iter().map(String::as_str));
            if suggestions.is_empty() {
                suggestions = known;
            }
            return Err(TableError::UnknownStock { description: description.to_owned(), suggestions });
        }
        Ok(stock)
    }

    /// The descriptions that [`stock`](Self::stock) can be asked with: each standard with each form it comes in.
    #[must_use]
    pub fn descriptions(&self) -> Vec<String> {
        let mut known = Vec::new();
        for product in &self.0 {
            let forms: &[Form] = match product.form {
                Form::CoilOrStraight => &[Form::Coil, Form::Straight],
                Form::Coil => &[Form::Coil],
                Form::Straight => &[Form::Straight],
            };
            for form in forms {
                let description = format!("{} {form}", product.standard);
                if !known.contains(&description) {
                    known.push(description);
                }
            }
        }
        known
    }
}

/// A stock as people describe it.
struct Description {
    standard: Vec<String>,
    form: Option<Form>,
}

impl Description {
    fn parse(text: &str) -> Self {
        let mut description = Self { standard: Vec::new(), form: None };
        for word in words(text) {
            match word.as_str() {
                "coil" | "coils" | "soft" | "annealed" => description.form = Some(Form::Coil),
                "straight" | "hard" | "drawn" | "rigid" => description.form = Some(Form::Straight),
                "length" | "lengths" | "tube" | "tubes" | "copper" => {}
                _ => description.standard.push(word),
            }
        }
        description
    }

    fn pick(&self, product: &TubeProduct) -> Option<TubeProduct> {
        let standard = words(&product.standard);
        // "ASTM" or "type" alone describe no product.
        let says_something =
            self.standard.iter().any(|word| !["astm", "en", "type"].contains(&word.as_str()));
        if !says_something || !self.standard.iter().all(|word| standard.contains(word)) {
            return None;
        }
        let mut picked = product.clone();
        match (self.form, product.form) {
            (None, _) => {}
            (Some(asked), made) if asked == made => {}
            (Some(asked), Form::CoilOrStraight) => {
                picked.form = asked;
                if asked == Form::Coil {
                    picked.temper = Temper::Annealed;
                }
            }
            _ => return None,
        }
        Some(picked)
    }
}

/// Lower-case words; the name of the body that issued a standard is a word of its own (`EN12735`).
fn words(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace("en12735", "en 12735").replace("astmb", "astm b");
    text.split(|character: char| !character.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn product(row: Row<'_>) -> Result<TubeProduct, TableError> {
    let unit: DimensionUnit = row.word("unit")?;
    let outside = unit.length(row.positive("outside")?);
    let designation = row.text("designation")?;
    let called = designated(designation)
        .ok_or_else(|| row.fault("designation", Fault::NotANumber { text: designation.to_owned() }))?;
    if (called - outside).get::<millimeter>().abs() > SAME_OUTSIDE_MM {
        let with = format!("the outside diameter of {} {}", unit.print(outside), unit.word());
        return Err(row.fault("designation", Fault::Disagrees { text: designation.to_owned(), with }));
    }
    let tube = Tube::new(OutsideDiameter::new(outside), unit.length(row.positive("wall")?))
        .map_err(|error| row.fault("wall", error.into()))?;
    let weight = LinearMassDensity::new::<kilogram_per_meter>(row.positive("weight_kg_m")?);
    let inches = |column| Ok::<_, TableError>(row.optional_positive(column)?.map(Length::new::<inch>));
    let tolerances = match inches("wall_tolerance_in")? {
        None => None,
        Some(wall) => Some(Tolerances {
            wall,
            outside_annealed: inches("outside_tolerance_annealed_in")?,
            outside_drawn: inches("outside_tolerance_drawn_in")?,
            source: row.source("tolerance_source", "tolerance_grade")?,
        }),
    };
    Ok(TubeProduct {
        standard: row.text("standard")?.into(),
        form: row.word("form")?,
        temper: row.word("temper")?,
        designation: designation.into(),
        nominal: row.optional("nominal").map(Into::into),
        unit,
        tube,
        listed_weight: (row.word::<WeightBasis>("weight_basis")? == WeightBasis::Listed).then_some(weight),
        tolerances,
        note: row.optional("note").map(Into::into),
        source: row.source("source", "grade")?,
    })
}

#[derive(Clone, Copy, PartialEq)]
enum WeightBasis {
    Listed,
    Calculated,
}

impl Word for WeightBasis {
    const WORDS: &'static [(&'static str, Self)] =
        &[("listed", Self::Listed), ("calculated", Self::Calculated)];
}

/// The length that a designation names: `1-1/8 in`, `22 mm`.
fn designated(text: &str) -> Option<Length> {
    if let Some(millimetres) = text.strip_suffix(" mm") {
        return Some(Length::new::<millimeter>(millimetres.parse().ok()?));
    }
    let (whole, fraction) = match text.strip_suffix(" in")?.split_once('-') {
        Some((whole, fraction)) => (whole.parse::<f64>().ok()?, fraction),
        None => (0.0, text.strip_suffix(" in")?),
    };
    let fraction = match fraction.split_once('/') {
        Some((top, bottom)) => top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?,
        None => fraction.parse().ok()?,
    };
    Some(Length::new::<inch>(whole + fraction)).filter(|length| length.get::<inch>().is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::units::Bore;

    fn tubes() -> Tubes {
        Tubes::load(&DataFolder::embedded()).unwrap()
    }

    fn inches(value: f64) -> OutsideDiameter {
        OutsideDiameter::new(Length::new::<inch>(value))
    }

    fn millimetres(value: f64) -> OutsideDiameter {
        OutsideDiameter::new(Length::new::<millimeter>(value))
    }

    #[test]
    fn every_row_has_a_source_and_a_weight_that_its_section_explains() {
        let tubes = tubes();
        assert_eq!(tubes.products().len(), 81);
        for product in tubes.products() {
            let name = product.printed_name();
            assert!(!product.source.text.is_empty(), "{name}");
            let Some(listed) = product.listed_weight else { continue };
            let (outside, bore) = (Bore::new(product.tube.outside().get()), product.tube.bore());
            let section = outside.area() - bore.area();
            // 8.94 g/cm3, C12200, from memory of the alloy data; 2 % covers the printing of light tubes to 0.001 lb/ft.
            let weight = section * physics::units::MassDensity::new::<uom_density>(8940.0);
            approx::assert_relative_eq!(
                weight.get::<kilogram_per_meter>(),
                listed.get::<kilogram_per_meter>(),
                max_relative = 0.02
            );
        }
        assert_eq!(tubes.products().iter().filter(|product| product.listed_weight.is_some()).count(), 65);
    }

    use physics::units::unit::mass_density::kilogram_per_cubic_meter as uom_density;

    #[test]
    fn sizes_that_look_alike_are_kept_apart() {
        let tubes = tubes();
        for (asked, designations) in [
            (millimetres(22.0), &["22 mm"][..]),
            (inches(0.875), &["7/8 in"]),
            (millimetres(22.225), &["7/8 in"]),
            (millimetres(54.0), &["54 mm"]),
            (inches(2.125), &["2-1/8 in"]),
            (inches(0.3125), &["5/16 in"]),
            (millimetres(8.0), &["8 mm"]),
            (millimetres(22.1), &[]),
        ] {
            let mut found: Vec<_> =
                tubes.find(asked, None).into_iter().map(|product| &*product.designation).collect();
            found.dedup();
            assert_eq!(found, designations, "{asked:?}");
        }
    }

    #[test]
    fn the_wall_chooses_between_products_of_one_outside_diameter() {
        let tubes = tubes();
        let coil = tubes.stock("ASTM B280 coil").unwrap();
        assert_eq!(matching(&coil, inches(0.75), None).len(), 2);
        let thick = matching(&coil, inches(0.75), Some(Length::new::<inch>(0.042)));
        assert_eq!(thick.len(), 1);
        approx::assert_relative_eq!(thick[0].tube.bore().get().get::<inch>(), 0.666, max_relative = 1e-9);
        assert!(matching(&coil, inches(0.75), Some(Length::new::<millimeter>(1.0))).is_empty());
    }

    #[test]
    fn no_two_products_share_a_printed_name() {
        let tubes = tubes();
        let mut names: Vec<_> = tubes.products().iter().map(TubeProduct::printed_name).collect();
        names.sort();
        let all = names.len();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    #[test]
    fn sizes_are_printed_as_the_trade_says_them_and_no_longer_than_needed() {
        let tubes = tubes();
        let coil = tubes.stock("ASTM B280 coil").unwrap();
        let printed: Vec<_> = coil.iter().map(|product| product.printed_among(&coil)).collect();
        assert_eq!(
            printed,
            [
                "1/8 in OD",
                "3/16 in OD",
                "1/4 in OD",
                "5/16 in OD",
                "3/8 in OD",
                "1/2 in OD",
                "5/8 in OD",
                "3/4 in OD wall 0.035 in",
                "3/4 in OD wall 0.042 in",
                "7/8 in OD",
                "1-1/8 in OD",
                "1-3/8 in OD",
                "1-5/8 in OD"
            ]
        );
        let metric = tubes.find(millimetres(22.0), None)[0];
        assert_eq!(metric.printed_outside(), "22 x 1 mm");
        let inch_of_europe = tubes.find(millimetres(9.52), Some(Length::new::<millimeter>(0.8)))[0];
        assert_eq!(inch_of_europe.printed_size(), "3/8 in OD wall 0.8 mm");
        // Two stocks together: the form tells most apart, the wall those of two walls in one form.
        let mut both = coil;
        both.extend(tubes.stock("ASTM B280 straight").unwrap());
        let mut printed: Vec<_> = both.iter().map(|product| product.printed_among(&both)).collect();
        for name in [
            "1/8 in OD",
            "1/2 in OD coil",
            "1/2 in OD straight",
            "3/4 in OD straight",
            "3/4 in OD wall 0.035 in",
            "3/4 in OD wall 0.042 in coil",
            "7/8 in OD coil",
            "4-1/8 in OD",
        ] {
            assert!(printed.contains(&name.to_owned()), "{name} in {printed:?}");
        }
        printed.sort();
        printed.dedup();
        assert_eq!(printed.len(), both.len());
    }

    #[test]
    fn a_stock_is_understood_in_any_usual_spelling() {
        let tubes = tubes();
        for (description, count, form) in [
            ("ASTM B280 coil", 13, Some(Form::Coil)),
            ("b280 soft coil", 13, Some(Form::Coil)),
            ("ASTM B280, straight lengths", 13, Some(Form::Straight)),
            ("ASTM B280", 26, None),
            ("ASTM B88 Type L", 13, None),
            ("type l straight", 13, Some(Form::Straight)),
            // Coils end at 2 in nominal.
            ("ASTM B88 Type L coil", 9, Some(Form::Coil)),
            ("EN 12735-1", 29, None),
            ("EN12735 straight", 19, Some(Form::Straight)),
        ] {
            let stock = tubes.stock(description).unwrap();
            assert_eq!(stock.len(), count, "{description}");
            if let Some(form) = form {
                assert!(stock.iter().all(|product| product.form == form), "{description}");
            }
        }
        for description in ["", "coil", "ASTM", "ASTM B281 coil", "copper tube"] {
            let Err(TableError::UnknownStock { suggestions, .. }) = tubes.stock(description) else {
                panic!("`{description}` describes no product")
            };
            assert!(suggestions.iter().any(|offer| tubes.stock(offer).is_ok()), "{description}");
        }
        let refused = tubes.stock("ASTM B281 coil").unwrap_err().to_string();
        let expected = "no tube product is described by `ASTM B281 coil`; did you mean ASTM B280 coil or ";
        assert!(refused.starts_with(expected), "{refused}");
    }

    #[test]
    fn what_is_not_stocked_is_answered_with_the_next_sizes() {
        let coil = tubes().stock("ASTM B280 coil").unwrap();
        let offered: Vec<_> =
            nearest_outside(&coil, inches(0.45), 2).into_iter().map(TubeProduct::printed_outside).collect();
        assert_eq!(offered, ["1/2 in OD", "3/8 in OD"]);
    }
}

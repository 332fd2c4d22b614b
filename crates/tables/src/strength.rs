//! What strength needs to know of copper tube: allowable stresses, tolerances, supports, bend radii, constants.

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::{Source, Sourced},
    sheet::{Row, Sheet, Word},
    tubes::TubeProduct,
};
use physics::{
    strength::{Basis, StressCurve, Temper, Tolerance, TubeMaterial},
    units::{
        Length, MassDensity, OutsideDiameter, Pressure, Ratio, TemperatureCoefficient, ThermalConductivity,
        unit::{
            length::{foot, inch, meter, millimeter},
            mass_density::kilogram_per_cubic_meter,
            pressure::{megapascal, psi},
            ratio::{percent, ratio},
            temperature_coefficient::per_kelvin,
            thermal_conductivity::watt_per_meter_kelvin,
        },
    },
};
use std::fmt;

const STRESS_FILE: &str = "tubes/allowable_stress.csv";
const TOLERANCE_FILE: &str = "tubes/tolerances.csv";
const SUPPORT_FILE: &str = "tubes/supports.csv";
const BEND_FILE: &str = "tubes/bend_radii.csv";
const COPPER_FILE: &str = "tubes/copper.csv";

/// Two outside diameters within this are the same size, mm (as for tube products).
const SAME_OUTSIDE_MM: f64 = 0.02;

impl Word for Temper {
    const WORDS: &'static [(&'static str, Self)] =
        &[("annealed", Self::Annealed), ("half-hard", Self::HalfHard), ("drawn", Self::Drawn)];
}

/// A set of allowable stresses, and the formula that it belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StressBasis {
    /// Of the American handbook.
    American,
    /// Of the European copper association, from 65 °C up.
    European,
    /// Least tensile strength over 3.5, at 20 °C.
    EuropeanTensile,
}

impl StressBasis {
    /// The formula of the working pressure.
    #[must_use]
    pub fn formula(self) -> Basis {
        match self {
            Self::American => Basis::American,
            Self::European | Self::EuropeanTensile => Basis::European,
        }
    }
}

impl Word for StressBasis {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("american", Self::American),
        ("european", Self::European),
        ("european tensile", Self::EuropeanTensile),
    ];
}

impl fmt::Display for StressBasis {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Which way a tube runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Level, or nearly.
    Horizontal,
    /// Upright.
    Vertical,
}

impl Word for Direction {
    const WORDS: &'static [(&'static str, Self)] =
        &[("horizontal", Self::Horizontal), ("vertical", Self::Vertical)];
}

/// Who says how far supports may stand apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SupportRule {
    /// The mechanical code.
    Code,
    /// The standard for hangers, made for tube full of water.
    Sp58,
    /// The handbook of copper tube.
    Handbook,
    /// The European standard.
    En378,
}

impl Word for SupportRule {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("code", Self::Code),
        ("SP-58", Self::Sp58),
        ("handbook", Self::Handbook),
        ("EN 378-2", Self::En378),
    ];
}

impl fmt::Display for SupportRule {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// What the rules say about one tube. They disagree; the answer shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct SupportSpacing(Vec<(SupportRule, Sourced<Length>)>);

impl SupportSpacing {
    /// Every rule that speaks of this tube.
    #[must_use]
    pub fn rules(&self) -> &[(SupportRule, Sourced<Length>)] {
        &self.0
    }

    /// The spacing to take: the smaller of code and SP-58. `None` where neither speaks of the tube.
    #[must_use]
    pub fn to_take(&self) -> Option<&(SupportRule, Sourced<Length>)> {
        self.0
            .iter()
            .filter(|(rule, _)| matches!(rule, SupportRule::Code | SupportRule::Sp58))
            .min_by(|(_, a), (_, b)| a.value.value.total_cmp(&b.value.value))
    }
}

/// Constants of copper tube.
#[derive(Clone, Debug, PartialEq)]
pub struct Copper {
    /// Linear thermal expansion.
    pub expansion: Sourced<TemperatureCoefficient>,
    /// Modulus of elasticity.
    pub modulus: Sourced<Pressure>,
    /// Poisson's ratio.
    pub poisson: Sourced<Ratio>,
    /// Thermal conductivity.
    pub conductivity: Sourced<ThermalConductivity>,
    /// Density.
    pub density: Sourced<MassDensity>,
    /// Allowable bending stress of expansion loops.
    pub loop_stress: Sourced<Pressure>,
    /// Least radius of a bend made by hand, in outside diameters.
    pub hand_bend_radius: Sourced<Ratio>,
    /// Greatest distance of the first support from a condensing unit.
    pub support_near_unit: Sourced<Length>,
    /// Band around resonant lengths in which gas pulses are remarked on.
    pub pulsation_band: Sourced<Ratio>,
}

impl Copper {
    /// The constants that the methods of strength take.
    #[must_use]
    pub fn material(&self) -> TubeMaterial {
        TubeMaterial {
            expansion: self.expansion.value,
            modulus: self.modulus.value,
            poisson: self.poisson.value,
        }
    }
}

/// All tables of strength.
#[derive(Clone, Debug)]
pub struct Strength {
    stresses: Vec<(StressBasis, Temper, Sourced<StressCurve>)>,
    tolerances: Vec<StandardTolerance>,
    supports: Vec<Support>,
    bends: Vec<(OutsideDiameter, Temper, Sourced<Length>)>,
    copper: Copper,
}

#[derive(Clone, Debug)]
struct StandardTolerance {
    standard: String,
    above_mm: f64,
    up_to_mm: f64,
    wall: Ratio,
    outside: Length,
    source: Source,
}

#[derive(Clone, Debug)]
struct Support {
    rule: SupportRule,
    direction: Direction,
    from_mm: f64,
    below_mm: f64,
    spacing: Sourced<Length>,
}

impl Strength {
    pub(crate) fn load(folder: &DataFolder) -> Result<Self, TableError> {
        Ok(Self {
            stresses: stresses(folder)?,
            tolerances: tolerances(folder)?,
            supports: supports(folder)?,
            bends: bends(folder)?,
            copper: copper(folder)?,
        })
    }

    /// Allowable stress over temperature, for the temper that counts once the tube is joined ([`Temper::joined_by`]).
    /// `None` where the basis has none for it.
    #[must_use]
    pub fn allowable_stress(&self, basis: StressBasis, temper: Temper) -> Option<&Sourced<StressCurve>> {
        self.stresses.iter().find(|row| (row.0, row.1) == (basis, temper)).map(|row| &row.2)
    }

    /// Tolerance of a product rated in a temper: its own, or that of its standard. `None` where neither is known.
    #[must_use]
    pub fn tolerance(&self, product: &TubeProduct, temper: Temper) -> Option<Sourced<Tolerance>> {
        if let Some(own) = &product.tolerances {
            let outside = match temper {
                Temper::Annealed => own.outside_annealed.or(own.outside_drawn),
                Temper::HalfHard | Temper::Drawn => own.outside_drawn.or(own.outside_annealed),
            };
            return outside
                .map(|outside| Sourced::new(Tolerance { wall: own.wall, outside }, own.source.clone()));
        }
        let outside_mm = product.tube.outside().get().get::<millimeter>();
        let of_standard = self.tolerances.iter().find(|row| {
            row.standard == *product.standard && row.above_mm < outside_mm && outside_mm <= row.up_to_mm
        })?;
        let tolerance =
            Tolerance { wall: product.tube.wall() * of_standard.wall, outside: of_standard.outside };
        Some(Sourced::new(tolerance, of_standard.source.clone()))
    }

    /// What the rules say about the spacing of supports.
    #[must_use]
    pub fn support_spacing(&self, outside: OutsideDiameter, direction: Direction) -> SupportSpacing {
        let outside_mm = outside.get().get::<millimeter>() + SAME_OUTSIDE_MM;
        let speaks = |row: &&Support| {
            row.direction == direction && row.from_mm <= outside_mm && outside_mm < row.below_mm
        };
        let spacing = |row: &Support| (row.rule, row.spacing.clone());
        SupportSpacing(self.supports.iter().filter(speaks).map(spacing).collect())
    }

    /// Least radius of a bend made with a bender; `None` for sizes and tempers that the table does not hold (for those
    /// bent by hand see [`Copper::hand_bend_radius`]).
    #[must_use]
    pub fn bend_radius(&self, outside: OutsideDiameter, temper: Temper) -> Option<&Sourced<Length>> {
        let same =
            |row: &OutsideDiameter| (row.get() - outside.get()).get::<millimeter>().abs() <= SAME_OUTSIDE_MM;
        self.bends.iter().find(|row| row.1 == temper && same(&row.0)).map(|row| &row.2)
    }

    /// Constants of copper tube.
    #[must_use]
    pub fn copper(&self) -> &Copper {
        &self.copper
    }

    /// Every source with what is taken from it, in the order of the tables.
    pub fn sources(&self) -> impl Iterator<Item = (String, &Source)> {
        let stresses = self.stresses.iter().map(|(basis, temper, curve)| {
            (format!("allowable stress of {} tube, {basis}", temper.word()), &curve.source)
        });
        let tolerances = self
            .tolerances
            .iter()
            .map(|row| (format!("tolerances of tubes of {}", row.standard), &row.source));
        let supports = self.supports.iter().map(|row| {
            (format!("support spacing, {}, {}", row.direction.word(), row.rule), &row.spacing.source)
        });
        let bends = self
            .bends
            .iter()
            .map(|(_, temper, radius)| (format!("bend radii of {} tube", temper.word()), &radius.source));
        let copper = &self.copper;
        let constants = [
            ("thermal expansion of copper", &copper.expansion.source),
            ("elastic modulus of copper", &copper.modulus.source),
            ("Poisson's ratio of copper", &copper.poisson.source),
            ("thermal conductivity of copper", &copper.conductivity.source),
            ("density of copper", &copper.density.source),
            ("allowable stress of expansion loops", &copper.loop_stress.source),
            ("bend radius by hand", &copper.hand_bend_radius.source),
            ("first support from a condensing unit", &copper.support_near_unit.source),
            ("band around resonant lengths", &copper.pulsation_band.source),
        ];
        let constants = constants.into_iter().map(|(what, source)| (what.to_owned(), source));
        stresses.chain(tolerances).chain(supports).chain(bends).chain(constants)
    }
}

fn stresses(folder: &DataFolder) -> Result<Vec<(StressBasis, Temper, Sourced<StressCurve>)>, TableError> {
    #[derive(Clone, Copy, PartialEq)]
    enum Unit {
        Psi,
        NewtonPerSquareMillimetre,
    }
    impl Word for Unit {
        const WORDS: &'static [(&'static str, Self)] =
            &[("psi", Self::Psi), ("N/mm2", Self::NewtonPerSquareMillimetre)];
    }
    let columns =
        ["basis", "temper", "temperature", "temperature_unit", "stress", "stress_unit", "source", "grade"];
    let sheet = Sheet::read(folder, STRESS_FILE, &columns)?;
    // Points of one curve stand together or apart; the curve is refused at its last row.
    let mut curves: Vec<(StressBasis, Temper, Vec<_>, Source, Row<'_>)> = Vec::new();
    for row in sheet.rows() {
        let (basis, temper) = (row.word("basis")?, row.word("temper")?);
        let temperature = row.temperature("temperature", "temperature_unit")?;
        let stress = row.positive("stress")?;
        let stress = match row.word("stress_unit")? {
            Unit::Psi => Pressure::new::<psi>(stress),
            Unit::NewtonPerSquareMillimetre => Pressure::new::<megapascal>(stress),
        };
        let source = row.source("source", "grade")?;
        match curves.iter_mut().find(|curve| (curve.0, curve.1) == (basis, temper)) {
            Some(curve) => {
                curve.2.push((temperature, stress));
                curve.4 = row;
            }
            None => curves.push((basis, temper, vec![(temperature, stress)], source, row)),
        }
    }
    let curve = |(basis, temper, points, source, last): (_, _, Vec<_>, _, Row<'_>)| {
        let curve = StressCurve::new(points).map_err(|_| {
            let with = "rising temperatures and stresses that never rise with them".to_owned();
            let text = last.optional("stress").unwrap_or_default().to_owned();
            last.fault("stress", Fault::Disagrees { text, with })
        })?;
        Ok((basis, temper, Sourced::new(curve, source)))
    };
    curves.into_iter().map(curve).collect()
}

fn tolerances(folder: &DataFolder) -> Result<Vec<StandardTolerance>, TableError> {
    let columns =
        ["standard", "outside_above_mm", "outside_up_to_mm", "wall_pct", "outside_mm", "source", "grade"];
    let sheet = Sheet::read(folder, TOLERANCE_FILE, &columns)?;
    let tolerance = |row: Row<'_>| {
        Ok(StandardTolerance {
            standard: row.text("standard")?.to_owned(),
            above_mm: row.optional_positive("outside_above_mm")?.unwrap_or(0.0),
            up_to_mm: row.positive("outside_up_to_mm")?,
            wall: Ratio::new::<percent>(row.positive("wall_pct")?),
            outside: Length::new::<millimeter>(row.not_negative("outside_mm")?),
            source: row.source("source", "grade")?,
        })
    };
    sheet.rows().map(tolerance).collect()
}

#[derive(Clone, Copy, PartialEq)]
enum LengthUnit {
    Inch,
    Millimetre,
    Foot,
    Metre,
}

impl Word for LengthUnit {
    const WORDS: &'static [(&'static str, Self)] =
        &[("in", Self::Inch), ("mm", Self::Millimetre), ("ft", Self::Foot), ("m", Self::Metre)];
}

impl LengthUnit {
    fn length(self, value: f64) -> Length {
        match self {
            Self::Inch => Length::new::<inch>(value),
            Self::Millimetre => Length::new::<millimeter>(value),
            Self::Foot => Length::new::<foot>(value),
            Self::Metre => Length::new::<meter>(value),
        }
    }
}

fn supports(folder: &DataFolder) -> Result<Vec<Support>, TableError> {
    let columns = [
        "rule",
        "direction",
        "outside_from",
        "outside_below",
        "outside_unit",
        "spacing",
        "spacing_unit",
        "source",
        "grade",
    ];
    let sheet = Sheet::read(folder, SUPPORT_FILE, &columns)?;
    let support = |row: Row<'_>| {
        let unit: LengthUnit = row.word("outside_unit")?;
        let millimetres = |column| {
            let value = row.optional_positive(column)?;
            Ok::<_, TableError>(value.map(|value| unit.length(value).get::<millimeter>()))
        };
        let spacing: LengthUnit = row.word("spacing_unit")?;
        Ok(Support {
            rule: row.word("rule")?,
            direction: row.word("direction")?,
            from_mm: millimetres("outside_from")?.unwrap_or(0.0),
            below_mm: millimetres("outside_below")?.unwrap_or(f64::INFINITY),
            spacing: Sourced::new(spacing.length(row.positive("spacing")?), row.source("source", "grade")?),
        })
    };
    sheet.rows().map(support).collect()
}

fn bends(folder: &DataFolder) -> Result<Vec<(OutsideDiameter, Temper, Sourced<Length>)>, TableError> {
    let sheet = Sheet::read(folder, BEND_FILE, &["outside_in", "temper", "radius_in", "source", "grade"])?;
    let inches = |row: Row<'_>, column| Ok::<_, TableError>(Length::new::<inch>(row.positive(column)?));
    let bend = |row: Row<'_>| {
        let radius = Sourced::new(inches(row, "radius_in")?, row.source("source", "grade")?);
        Ok((OutsideDiameter::new(inches(row, "outside_in")?), row.word("temper")?, radius))
    };
    sheet.rows().map(bend).collect()
}

fn copper(folder: &DataFolder) -> Result<Copper, TableError> {
    let sheet = Sheet::read(folder, COPPER_FILE, &Sheet::CONSTANTS)?;
    let constants = sheet.constants()?;
    let take = |key, unit| constants.take(key, unit);
    Ok(Copper {
        expansion: take("expansion", "1/K")?.map(TemperatureCoefficient::new::<per_kelvin>),
        modulus: take("elastic-modulus", "psi")?.map(Pressure::new::<psi>),
        poisson: take("poisson-ratio", "1")?.map(Ratio::new::<ratio>),
        conductivity: take("conductivity", "W/(m K)")?.map(ThermalConductivity::new::<watt_per_meter_kelvin>),
        density: take("density", "kg/m3")?.map(MassDensity::new::<kilogram_per_cubic_meter>),
        loop_stress: take("expansion-loop-stress", "psi")?.map(Pressure::new::<psi>),
        hand_bend_radius: take("hand-bend-radius", "outside diameters")?.map(Ratio::new::<ratio>),
        support_near_unit: take("support-near-unit", "ft")?.map(Length::new::<foot>),
        pulsation_band: take("pulsation-band", "%")?.map(Ratio::new::<percent>),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Grade, Library};
    use physics::units::{ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius};

    fn strength() -> Strength {
        Strength::load(&DataFolder::embedded()).unwrap()
    }

    fn inches(value: f64) -> OutsideDiameter {
        OutsideDiameter::new(Length::new::<inch>(value))
    }

    fn millimetres(value: f64) -> OutsideDiameter {
        OutsideDiameter::new(Length::new::<millimeter>(value))
    }

    #[test]
    fn the_smaller_of_code_and_sp_58_is_taken_and_the_others_are_shown() {
        let spacing = |outside| strength().support_spacing(outside, Direction::Horizontal);
        for (outside, rule, feet) in [
            (inches(0.375), SupportRule::Sp58, 5.0),
            (inches(0.875), SupportRule::Sp58, 5.0),
            (inches(1.125), SupportRule::Code, 6.0),
            (inches(1.375), SupportRule::Code, 6.0),
            (inches(1.625), SupportRule::Sp58, 8.0),
            (inches(4.125), SupportRule::Code, 10.0),
            // Between two sizes the shorter spacing.
            (millimetres(28.0), SupportRule::Sp58, 5.0),
            (millimetres(35.0), SupportRule::Code, 6.0),
            (millimetres(54.0), SupportRule::Sp58, 8.0),
        ] {
            let spacing = spacing(outside);
            let (found, length) = spacing.to_take().unwrap();
            assert_eq!((*found, length.value.get::<foot>().round()), (rule, feet), "{outside:?}");
        }
        let rules: Vec<_> = spacing(inches(1.125)).rules().iter().map(|(rule, _)| *rule).collect();
        use SupportRule::{Code, En378, Handbook, Sp58};
        assert_eq!(rules, [Code, Sp58, Handbook, En378]);
        let upright = strength().support_spacing(inches(0.5), Direction::Vertical);
        approx::assert_relative_eq!(
            upright.to_take().unwrap().1.value.get::<foot>(),
            10.0,
            max_relative = 1e-9
        );
    }

    #[test]
    fn bends_are_found_by_exact_size_and_temper() {
        let radius = |outside, temper| {
            strength().bend_radius(outside, temper).map(|radius| radius.value.get::<inch>())
        };
        approx::assert_relative_eq!(radius(inches(0.875), Temper::Drawn).unwrap(), 3.0, max_relative = 1e-9);
        approx::assert_relative_eq!(
            radius(inches(1.375), Temper::Annealed).unwrap(),
            9.0,
            max_relative = 1e-9
        );
        assert_eq!(radius(inches(1.375), Temper::Drawn), None);
        assert_eq!(radius(millimetres(22.0), Temper::Annealed), None);
    }

    #[test]
    fn every_product_has_a_tolerance_that_leaves_a_wall() {
        let library = Library::embedded().unwrap();
        for product in library.tubes().products() {
            let tolerance = library.strength().tolerance(product, Temper::Annealed);
            let tolerance = tolerance.unwrap_or_else(|| panic!("{}", product.printed_name()));
            assert!(tolerance.value.wall < 0.15 * product.tube.wall(), "{}", product.printed_name());
        }
        let coil = library.tubes().find(inches(0.5), None)[0];
        let metric = library.tubes().find(millimetres(22.0), None)[0];
        let grade = |product| library.strength().tolerance(product, Temper::Annealed).unwrap().source.grade;
        assert_eq!((grade(coil), grade(metric)), (Grade::Inferred, Grade::Memory));
    }

    #[test]
    fn stresses_are_kept_apart_by_basis() {
        let strength = strength();
        let at = |basis, temper, celsius| {
            let curve = strength.allowable_stress(basis, temper)?;
            curve
                .value
                .at(ThermodynamicTemperature::new::<degree_celsius>(celsius))
                .ok()
                .map(|stress| stress.get::<megapascal>())
        };
        approx::assert_relative_eq!(
            at(StressBasis::European, Temper::Annealed, 65.0).unwrap(),
            46.0,
            max_relative = 1e-9
        );
        approx::assert_relative_eq!(
            at(StressBasis::EuropeanTensile, Temper::Annealed, 20.0).unwrap(),
            57.14,
            max_relative = 1e-9
        );
        assert_eq!(at(StressBasis::European, Temper::Annealed, 20.0), None);
        assert_eq!(at(StressBasis::American, Temper::HalfHard, 65.0), None);
        assert!(at(StressBasis::American, Temper::Drawn, 65.0).is_some());
    }
}

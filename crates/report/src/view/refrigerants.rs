//! Answers of `lineset refrigerants`: the list, the sheet of one refrigerant, its pressure-temperature card.

use super::SourceView;
use serde::Serialize;

/// Where a figure comes from and what it is worth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OriginView {
    /// The source.
    pub source: String,
    /// Its grade.
    pub grade: String,
    /// Whether the figure is only recalled: not to be relied on before somebody has looked it up.
    pub unconfirmed: bool,
}

/// One component of a refrigerant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ComponentView {
    /// Trade name.
    pub name: String,
    /// Share of the mass, %.
    pub mass_percent: f64,
}

/// Boiling at the standard atmosphere.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct NormalBoilingView {
    /// Where it starts.
    pub bubble_c: f64,
    /// Where it ends.
    pub dew_c: f64,
    /// Dew less bubble temperature.
    pub glide_k: f64,
}

/// Identity of one refrigerant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefrigerantView {
    /// Trade name.
    pub name: String,
    /// `pure` or `blend`.
    pub kind: &'static str,
    /// Components; one for a pure fluid.
    pub components: Vec<ComponentView>,
    /// Source of the composition.
    pub composition_origin: OriginView,
    /// Safety class of ISO 817.
    pub safety_class: String,
    /// Source of the safety class.
    pub safety_origin: OriginView,
    /// Boiling at 101.325 kPa; absent for a fluid that does not boil there.
    pub normal_boiling: Option<NormalBoilingView>,
    /// Critical temperature.
    pub critical_temperature_c: f64,
    /// Critical pressure, absolute.
    pub critical_pressure_pa: f64,
    /// Source of normal boiling and critical point.
    pub thermal_origin: OriginView,
    /// Warming potential over 100 years by the fourth report of the IPCC.
    pub gwp_ar4: Option<f64>,
    /// By the fifth report, without feedback.
    pub gwp_ar5: Option<f64>,
    /// By the sixth report.
    pub gwp_ar6: Option<f64>,
    /// Source of the warming potentials.
    pub gwp_origin: OriginView,
    /// Lower flammability limit in air (LFL); absent where the fluid has none or none was found.
    pub lower_flammability_limit_kg_m3: Option<f64>,
    /// Source of the flammability limit.
    pub lower_flammability_limit_origin: Option<OriginView>,
    /// Concentration limit of an occupied room (RCL); absent where none was found.
    pub concentration_limit_kg_m3: Option<f64>,
    /// The same as share of the volume.
    pub concentration_limit_ppm: Option<f64>,
    /// Source of the concentration limit.
    pub concentration_limit_origin: Option<OriginView>,
    /// Whether a property grid is there, from which states and a card are read.
    pub property_grid: bool,
    /// Materials that must not hold it, each with the reason.
    pub refused_materials: Vec<RefusedMaterialView>,
}

/// A material that a refrigerant must not touch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefusedMaterialView {
    /// `copper`.
    pub material: String,
    /// What happens.
    pub reason: String,
    /// What is taken in its place.
    pub instead: String,
    /// Where this comes from.
    pub origin: OriginView,
}

/// Answer of `lineset refrigerants`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefrigerantsView {
    /// All refrigerants, in the order of the table.
    pub refrigerants: Vec<RefrigerantView>,
}

/// The site that gauges read against.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SiteView {
    /// Altitude.
    pub altitude_m: f64,
    /// Whether it was assumed.
    pub assumed: bool,
    /// Pressure of the standard atmosphere there.
    pub atmosphere_pa: f64,
}

/// One end of the two-phase region: liquid at its bubble point or vapour at its dew point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EndView {
    /// `bubble` or `dew`.
    pub end: &'static str,
    /// What it is compared with, and for what.
    pub used_for: &'static str,
    /// Saturation temperature.
    pub temperature_c: f64,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Above the atmosphere of the site; negative in a vacuum.
    pub gauge_pa: f64,
    /// Density of the saturated liquid or vapour.
    pub density_kg_m3: f64,
    /// Enthalpy; see `reference_state` of the sheet.
    pub enthalpy_j_kg: f64,
    /// Dynamic viscosity.
    pub viscosity_pa_s: f64,
    /// Dew less bubble enthalpy at this end's pressure; absent where the other end leaves the property data.
    pub heat_of_vaporisation_j_kg: Option<f64>,
    /// Dew less bubble temperature at this end's pressure; absent likewise.
    pub glide_k: Option<f64>,
}

/// What a saturation was asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AskedView {
    /// One temperature: the two ends have different pressures.
    Temperature,
    /// One pressure: the two ends have different temperatures.
    Pressure,
}

/// Both ends at one temperature or one pressure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SaturationView {
    /// What both have in common.
    pub asked: AskedView,
    /// Bubble and dew, or the one that was asked for.
    pub ends: Vec<EndView>,
}

/// Half-widths of the 95 % bands of the property model, %.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PropertyBandsView {
    /// Of densities.
    pub density_percent: f64,
    /// Of saturation pressures.
    pub pressure_percent: f64,
    /// Of the liquid's viscosity.
    pub liquid_viscosity_percent: f64,
    /// Of the vapour's viscosity.
    pub vapour_viscosity_percent: f64,
    /// Where they come from.
    pub origin: OriginView,
}

/// Saturation temperatures that the property grid spans, and how it was made.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GridView {
    /// Coldest saturation temperature.
    pub coldest_c: f64,
    /// Hottest saturation temperature.
    pub hottest_c: f64,
    /// What enthalpies count from.
    pub reference_state: Option<String>,
    /// How the grid was made: key and text of each note in its files.
    pub made: Vec<NoteView>,
}

/// One note of a property grid.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NoteView {
    /// What it is about, `viscosity`.
    pub key: String,
    /// What it says.
    pub text: String,
}

/// Answer of `lineset refrigerants NAME`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefrigerantSheetView {
    /// Identity.
    pub refrigerant: RefrigerantView,
    /// The site; absent where no state was asked for.
    pub site: Option<SiteView>,
    /// The states asked for.
    pub saturations: Vec<SaturationView>,
    /// Uncertainty of the property model.
    pub bands: PropertyBandsView,
    /// The property grid, where there is one.
    pub grid: Option<GridView>,
    /// Warnings: near the critical point.
    pub warnings: Vec<String>,
}

/// One row of a card.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CardRowView {
    /// Saturation temperature.
    pub temperature_c: f64,
    /// Dew pressure, absolute: superheat.
    pub dew_pressure_pa: f64,
    /// Dew pressure above the atmosphere of the site.
    pub dew_gauge_pa: f64,
    /// Bubble pressure, absolute: subcooling.
    pub bubble_pressure_pa: f64,
    /// Bubble pressure above the atmosphere of the site.
    pub bubble_gauge_pa: f64,
}

/// Bubble and dew temperature at one pressure.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GlideView {
    /// Above the atmosphere of the site.
    pub gauge_pa: f64,
    /// Bubble temperature.
    pub bubble_c: f64,
    /// Dew temperature.
    pub dew_c: f64,
}

/// Answer of `lineset refrigerants NAME --card`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CardView {
    /// Trade name.
    pub refrigerant: String,
    /// Safety class.
    pub safety_class: String,
    /// Whether the class is only recalled.
    pub safety_class_unconfirmed: bool,
    /// The site.
    pub site: SiteView,
    /// What dew pressures are compared with, and for what.
    pub dew_used_for: &'static str,
    /// What bubble pressures are compared with, and for what.
    pub bubble_used_for: &'static str,
    /// Whether dew and bubble differ by more than a gauge shows.
    pub has_glide: bool,
    /// The rows, coldest first.
    pub rows: Vec<CardRowView>,
    /// Glide at the bubble pressures of the rows, where it is in the data.
    pub glides: Vec<GlideView>,
    /// Least and greatest of them, dew less bubble temperature.
    pub glide_k: Option<[f64; 2]>,
    /// Half-width of the 95 % band of the pressures, %.
    pub pressure_band_percent: f64,
    /// What to know: where the range was cut, nearness of the critical point.
    pub remarks: Vec<String>,
    /// Where the pressures come from.
    pub sources: Vec<SourceView>,
}

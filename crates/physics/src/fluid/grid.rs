//! Property grids: tabulated equations of state, interpolated.

/// Columns of the saturation table: liquid at its bubble point, vapour at its dew point, one row a temperature.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // each name states quantity and unit
pub struct SaturationColumns {
    pub temperature_k: Vec<f64>,
    pub bubble_pressure_pa: Vec<f64>,
    pub dew_pressure_pa: Vec<f64>,
    pub liquid_density_kg_m3: Vec<f64>,
    pub vapour_density_kg_m3: Vec<f64>,
    pub liquid_enthalpy_j_kg: Vec<f64>,
    pub vapour_enthalpy_j_kg: Vec<f64>,
    pub liquid_entropy_j_kg_k: Vec<f64>,
    pub vapour_entropy_j_kg_k: Vec<f64>,
    pub liquid_heat_capacity_j_kg_k: Vec<f64>,
    pub vapour_heat_capacity_j_kg_k: Vec<f64>,
    pub liquid_viscosity_pa_s: Vec<f64>,
    pub vapour_viscosity_pa_s: Vec<f64>,
    pub liquid_conductivity_w_m_k: Vec<f64>,
    pub vapour_conductivity_w_m_k: Vec<f64>,
    pub surface_tension_n_m: Vec<f64>,
}

/// Columns of a single-phase table over saturation temperature (dew for vapour, bubble for liquid) and distance
/// from it (superheat for vapour, subcooling for liquid).
///
/// The value columns hold the full product, row by row: index = `saturation index * distances + distance index`.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // each name states quantity and unit
pub struct SurfaceColumns {
    pub saturation_temperature_k: Vec<f64>,
    pub distance_k: Vec<f64>,
    pub density_kg_m3: Vec<f64>,
    pub enthalpy_j_kg: Vec<f64>,
    pub entropy_j_kg_k: Vec<f64>,
    pub heat_capacity_j_kg_k: Vec<f64>,
    pub viscosity_pa_s: Vec<f64>,
    pub conductivity_w_m_k: Vec<f64>,
}

/// All that a refrigerant's grid is made of.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // named by what it is
pub struct GridData {
    pub saturation: SaturationColumns,
    pub vapour: SurfaceColumns,
    pub liquid: SurfaceColumns,
}

//! The columns that a refrigerant's grid is made of, and what makes none.

use super::interpolation::Axis;
use thiserror::Error;

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

/// Columns of the two-phase table of a blend over bubble temperature and share of the enthalpy between bubble and dew
/// state at one pressure. A pure fluid has none: there quality is the share, and temperature stays.
///
/// The value columns hold the full product, row by row, as those of [`SurfaceColumns`]; all are 0 at the shares 0 and 1.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // each name states quantity and unit
pub struct GlideColumns {
    pub bubble_temperature_k: Vec<f64>,
    pub enthalpy_share: Vec<f64>,
    /// Mass fraction of vapour minus the share.
    pub quality_minus_share: Vec<f64>,
    /// Temperature minus the straight line over the share from bubble to dew temperature, K.
    pub temperature_minus_line_k: Vec<f64>,
}

/// All that a refrigerant's grid is made of.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // named by what it is
pub struct GridData {
    pub saturation: SaturationColumns,
    pub vapour: SurfaceColumns,
    pub liquid: SurfaceColumns,
    /// The way through the two-phase region, for a blend.
    pub glide: Option<GlideColumns>,
    /// Temperatures that the equation behind the columns is stated for, K, where known. Corners of the tables may lie
    /// beyond, to complete the rectangle: states there are refused.
    pub equation_range_k: Option<(f64, f64)>,
}

/// Why columns make no grid.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum GridError {
    /// A column's length does not fit its table.
    #[error("column {column} has {found} values where the table wants {wanted}")]
    Length {
        /// Column name.
        column: &'static str,
        /// Values found.
        found: usize,
        /// Values wanted.
        wanted: usize,
    },
    /// An axis does not rise strictly, or has fewer than five nodes.
    #[error("axis {axis} must hold at least five finite, strictly rising nodes")]
    Axis {
        /// Axis name.
        axis: &'static str,
    },
    /// A value that can not be (negative density, infinite enthalpy...).
    #[error("column {column} holds {value} at position {position}")]
    Value {
        /// Column name.
        column: &'static str,
        /// The value.
        value: f64,
        /// Its position, counted from 0.
        position: usize,
    },
    /// A row of a single-phase table stands at a saturation temperature that the saturation table has not.
    #[error("axis {axis} holds {value_k} K, which is no row of the saturation table")]
    NoSuchRow {
        /// Axis name.
        axis: &'static str,
        /// The temperature, K.
        value_k: f64,
    },
}

/// An axis of a table; at least five nodes, because slopes are of fourth order.
pub(super) fn axis(name: &'static str, nodes: &[f64]) -> Result<Axis, GridError> {
    if nodes.len() < 5 {
        return Err(GridError::Axis { axis: name });
    }
    Axis::new(nodes.to_vec()).ok_or(GridError::Axis { axis: name })
}

/// A column of the wanted length that holds only values that can be.
pub(super) fn checked<'a>(
    column: &'static str,
    values: &'a [f64],
    wanted: usize,
    positive: bool,
) -> Result<&'a [f64], GridError> {
    if values.len() != wanted {
        return Err(GridError::Length { column, found: values.len(), wanted });
    }
    match values.iter().position(|&value| !value.is_finite() || (positive && value <= 0.0)) {
        Some(position) => Err(GridError::Value { column, value: values[position], position }),
        None => Ok(values),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_nodes_make_an_axis_and_four_do_not() {
        assert!(axis("x", &[0.0, 1.0, 2.0, 3.0, 4.0]).is_ok());
        assert_eq!(axis("x", &[0.0, 1.0, 2.0, 3.0]).unwrap_err(), GridError::Axis { axis: "x" });
    }
}

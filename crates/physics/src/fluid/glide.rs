//! The way through the two-phase region at constant pressure.

use super::{
    branch::{Branch, Spot},
    columns::{GlideColumns, GridError, axis, checked},
    interpolation::{Axis, Slice, Surfaces},
    single_phase::row_spot,
    state::{OutsideRange, Region},
};

/// How quality and temperature of a blend leave the straight line over the share of enthalpy.
#[derive(Clone, Debug)]
pub(super) struct Glide {
    rows: Axis,
    columns: Axis,
    /// Quality and temperature, K.
    surfaces: Surfaces<2>,
}

impl Glide {
    pub(super) fn new(bubble: &Branch, data: &GlideColumns) -> Result<Self, GridError> {
        let rows = axis("bubble_temperature_k", &data.bubble_temperature_k)?;
        for &row_k in rows.nodes() {
            row_spot(bubble, row_k)?;
        }
        let columns = axis("enthalpy_share", &data.enthalpy_share)?;
        if columns.low() != 0.0 || columns.high() != 1.0 {
            return Err(GridError::Axis { axis: "enthalpy_share" });
        }
        let (width, cells) = (columns.nodes().len(), rows.nodes().len() * columns.nodes().len());
        let value = |name, values| {
            let values = checked(name, values, cells, false)?;
            let at_end = |cell: usize| [0, width - 1].contains(&(cell % width));
            match values.iter().enumerate().position(|(cell, &value)| at_end(cell) && value != 0.0) {
                Some(position) => Err(GridError::Value { column: name, value: values[position], position }),
                None => Ok(values),
            }
        };
        let quality = value("quality_minus_share", &data.quality_minus_share)?;
        let temperature = value("temperature_minus_line_k", &data.temperature_minus_line_k)?;
        let surfaces = Surfaces::new(&rows, &columns, [quality, temperature]);
        Ok(Self { rows, columns, surfaces })
    }

    /// Quality minus share, and temperature minus the straight line, K.
    pub(super) fn off_line(&self, bubble: Spot, share: f64) -> Result<(f64, f64), OutsideRange> {
        if !self.rows.contains(bubble.temperature_k) {
            let (low, high) = (self.rows.low(), self.rows.high());
            return Err(OutsideRange {
                region: Region::SaturationTemperature,
                value: bubble.temperature_k,
                low,
                high,
            });
        }
        let slice = Slice::new(&self.rows, bubble.temperature_k);
        let (j, t) = self.columns.locate(share);
        let [quality, temperature_k] = self.surfaces.at(&slice, &self.columns, j, t);
        Ok((quality, temperature_k))
    }
}

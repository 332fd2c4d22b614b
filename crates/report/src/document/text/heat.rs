//! Heat of a line on the size sheet: leg by leg in its places, and what follows.

use super::{Grid, Sheet, stacked};
use crate::{
    figure::{Units, heat as figure_of, heat_per_length, length, temperature},
    view::LineView,
};

pub(super) fn print_heat(sheet: &mut Sheet, line: &LineView, units: Units) {
    let Some(heat) = &line.heat else { return };
    sheet.section(&format!("Heat of the {} line, summer", line.service));
    let watts = figure_of(heat.heat_w.abs()).both(units);
    let does = if heat.heat_w < 0.0 { "gives off" } else { "takes up" };
    sheet.paragraph(&format!(
        "Enters at {}, leaves at {}; {does} {watts}.",
        temperature(heat.inlet_c).both(units),
        temperature(heat.outlet_c).both(units)
    ));
    let mut grid = Grid::new(&["leg, in the direction of flow", "air", "surface", "heat into it"]);
    for leg in &heat.legs {
        grid.row([
            format!("{} {}, {}", leg.direction, length(leg.length_m).both(units), leg.place),
            stacked(Some(temperature(leg.air_c)), units),
            stacked(Some(temperature(leg.surface_c)), units),
            stacked(Some(heat_per_length(leg.heat_w_m)), units),
        ]);
    }
    sheet.spaced_grid(grid);
    for remark in &heat.remarks {
        sheet.bullet(remark);
    }
}

//! Chart 8: the cycle of a circuit in pressure and enthalpy, with the saturation dome.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, FAINT, INK, MARGIN, PALE, SMALL, STRONG, Side, WIDTH, below_title, draw, title_lines,
        unbroken,
    },
    labels::{Frame, Ground, Named},
    rule::LABEL_ROW,
};
use crate::{
    figure::{
        Units, absolute_pressure, axis_of_absolute_pressure, axis_of_enthalpy, celsius, enthalpy, power,
        saturation_temperature,
    },
    view::{CircuitView, CyclePointView, DomePointView},
};

const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;
const PLOT: i32 = 330;

/// The cycle of one circuit of a layout; pressure on a logarithmic scale.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn cycle(layout: &str, circuit: &CircuitView, units: Units) -> Result<String, ChartError> {
    let title = title_lines(&finding(layout, circuit, units));
    let points: Vec<&CyclePointView> =
        circuit.cycle.iter().filter(|point| drawable(point.pressure_pa, point.enthalpy_j_kg)).collect();
    let dome: Vec<&DomePointView> = circuit
        .dome
        .iter()
        .filter(|point| drawable(point.pressure_pa, point.bubble_enthalpy_j_kg + point.dew_enthalpy_j_kg))
        .collect();
    let top = below_title(title.len()) + LABEL_ROW + 8;
    let foot = top + PLOT;
    let keys = foot + 2 * LABEL_ROW + 16;
    let scale = Scale::of(&points, &dome, [top, foot], units);

    draw(keys + LABEL_ROW * i32::try_from(points.len()).unwrap_or(0) + MARGIN, |canvas| {
        canvas.title(&title)?;
        scale.draw_axes(canvas, top, foot)?;
        let mut ground =
            Ground::new(Frame { left: LEFT + 2, top: top + 2, right: RIGHT - 2, foot: foot - 2 });
        let bubble = dome.iter().map(|point| scale.pixel(point.pressure_pa, point.bubble_enthalpy_j_kg));
        let dew = dome.iter().map(|point| scale.pixel(point.pressure_pa, point.dew_enthalpy_j_kg));
        // Below its top the dome stays open: the property data end there.
        for side in [bubble.collect::<Vec<_>>(), dew.collect()] {
            let side = sparse(&side);
            canvas.line(&side, 5, None, PALE)?;
            canvas.line(&side, 1, None, INK)?;
            ground.keep_off_line(&side);
        }

        let way = way(&points, &scale);
        canvas.line(&way, 3, None, STRONG)?;
        ground.keep_off_line(&way);
        let at = |point: &CyclePointView| scale.pixel(point.pressure_pa, point.enthalpy_j_kg);
        for point in &points {
            ground.keep_off(Frame::around(at(point), (11, 11)));
            canvas.mark(0, at(point), INK)?;
        }
        for (index, point) in points.iter().enumerate() {
            let named = Named { points: &[at(point)], along: (1.0, 1.0), reach: 6 };
            if let Some(placed) = ground.place(&named, (14, 18)) {
                let Frame { left, top, right, foot } = placed.frame;
                if let Some(leader) = placed.leader {
                    canvas.line(&leader, 1, None, INK)?;
                }
                let middle = ((left + right) / 2, (top + foot) / 2);
                canvas.bold(&(index + 1).to_string(), middle, Side::Middle, SMALL, INK)?;
            }
        }
        for (row, point) in (0..).zip(&points) {
            let words = format!(
                "{} {}: {}, {}",
                row + 1,
                point.at,
                absolute_pressure(point.pressure_pa).first(units),
                enthalpy(point.enthalpy_j_kg).first(units)
            );
            canvas.text(&words, (MARGIN, keys + LABEL_ROW * row), Side::Start, SMALL, INK)?;
        }
        Ok(())
    })
}

/// On whole pixels close points make a rough line.
fn sparse(points: &[(i32, i32)]) -> Vec<(i32, i32)> {
    const SMOOTH: usize = 18;
    let every = points.len().div_ceil(SMOOTH).max(1);
    points.iter().rev().step_by(every).chain(points.first()).copied().collect()
}

fn drawable(pressure_pa: f64, enthalpy_j_kg: f64) -> bool {
    pressure_pa.is_finite() && pressure_pa > 0.0 && enthalpy_j_kg.is_finite()
}

/// Around the cycle and back to its start: what the valve lets through keeps its enthalpy, then evaporates.
fn way(points: &[&CyclePointView], scale: &Scale) -> Vec<(i32, i32)> {
    let mut way: Vec<(i32, i32)> =
        points.iter().map(|point| scale.pixel(point.pressure_pa, point.enthalpy_j_kg)).collect();
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        way.push(scale.pixel(first.pressure_pa, last.enthalpy_j_kg));
        way.push(scale.pixel(first.pressure_pa, first.enthalpy_j_kg));
    }
    way
}

fn finding(layout: &str, circuit: &CircuitView, units: Units) -> String {
    let bubble = unbroken(saturation_temperature(celsius(circuit.condensing_bubble_k)).first(units));
    let capacity = unbroken(power(circuit.capacity_w).first(units));
    let cost = circuit.lines_cost.filter(|cost| cost.capacity_w > 0.0).map_or_else(String::new, |cost| {
        format!("; with lines that lose nothing {} more", unbroken(power(cost.capacity_w).first(units)))
    });
    format!("{}, {layout}: condensing ends at {bubble}, capacity {capacity}{cost}", circuit.set)
}

struct Scale {
    x: Axis,
    /// Of the decimal logarithm of pressure.
    y: Axis,
    ends: [f64; 2],
    enthalpy_si: f64,
    pressure_si: f64,
    names: [&'static str; 2],
}

impl Scale {
    fn of(points: &[&CyclePointView], dome: &[&DomePointView], [top, foot]: [i32; 2], units: Units) -> Self {
        let (pressure, heat) = (axis_of_absolute_pressure(units), axis_of_enthalpy(units));
        let pressures = points.iter().map(|point| point.pressure_pa);
        let pressures =
            pressures.chain(dome.iter().map(|point| point.pressure_pa)).map(|pa| pa / pressure.si);
        let [low, high] = ends(pressures).unwrap_or([1.0, 10.0]);
        let ends_of_dome =
            dome.iter().flat_map(|point| [point.bubble_enthalpy_j_kg, point.dew_enthalpy_j_kg]);
        let enthalpies = points.iter().map(|point| point.enthalpy_j_kg).chain(ends_of_dome);
        let [least, most] = ends(enthalpies.map(|j_kg| j_kg / heat.si)).unwrap_or([0.0, 1.0]);
        let (low, high) = (low / 1.15, high * 1.15);
        Self {
            x: Axis::between(least, most, [LEFT, RIGHT], 5.0),
            y: Axis::exactly(low.log10(), high.log10(), [foot, top], 5.0),
            ends: [low, high],
            enthalpy_si: heat.si,
            pressure_si: pressure.si,
            names: [heat.name, pressure.name],
        }
    }

    fn pixel(&self, pressure_pa: f64, enthalpy_j_kg: f64) -> (i32, i32) {
        let pressure = (pressure_pa / self.pressure_si).log10();
        (self.x.pixel(enthalpy_j_kg / self.enthalpy_si), self.y.pixel(pressure))
    }

    fn draw_axes(&self, canvas: &Canvas<'_>, top: i32, foot: i32) -> Result<(), ChartError> {
        canvas.uprights(&self.x, top, foot)?;
        for value in round_values(self.ends) {
            let y = self.y.pixel(value.log10());
            canvas.line(&[(LEFT - 5, y), (RIGHT, y)], 1, None, FAINT)?;
            canvas.text(&format!("{value}"), (LEFT - 8, y), Side::End, SMALL, INK)?;
        }
        let [heat, pressure] = self.names;
        let middle = ((LEFT + RIGHT) / 2, foot + 15 + LABEL_ROW);
        canvas.text(&format!("enthalpy, {heat}"), middle, Side::Middle, SMALL, INK)?;
        canvas.text(&format!("pressure, {pressure}"), (MARGIN, top - 17), Side::Start, SMALL, INK)
    }
}

fn ends(values: impl Iterator<Item = f64>) -> Option<[f64; 2]> {
    values.fold(None, |ends: Option<[f64; 2]>, value| {
        let [low, high] = ends.unwrap_or([value, value]);
        Some([low.min(value), high.max(value)])
    })
}

/// 1, 2 and 5 times powers of ten between the ends of a logarithmic scale.
fn round_values([low, high]: [f64; 2]) -> Vec<f64> {
    let powers = (low.log10().floor() as i32)..=(high.log10().ceil() as i32);
    powers
        .flat_map(|power| [1.0, 2.0, 5.0].map(|times| times * 10_f64.powi(power)))
        .filter(|value| (low..=high).contains(value))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        chart::looked_at::{leave, text_fits},
        sample,
    };

    #[test]
    fn draw_cycles() {
        let view = sample::compare();
        for (units, name) in [(Units::Us, "us"), (Units::Si, "si")] {
            let svg = cycle("side by side", &view.layouts[1].circuits[0], units).unwrap();
            leave(&format!("{name}-cycle"), &svg);
            text_fits(&svg);
        }
        let svg = cycle("side by side", &view.layouts[1].circuits[0], Units::Si).unwrap();
        for words in
            ["ice-room, side by side", "enthalpy, kJ/kg", "5 condenser inlet: 2020 kPa absolute, 432.0 kJ/kg"]
        {
            assert!(svg.replace('\u{a0}', " ").contains(words), "{words}");
        }
    }

    #[test]
    fn a_logarithmic_scale_has_round_values() {
        assert_eq!(round_values([30.0, 600.0]), [50.0, 100.0, 200.0, 500.0]);
        assert_eq!(round_values([0.9, 1.1]), [1.0]);
    }

    #[test]
    fn draws_without_dome_and_with_numbers_that_are_not_finite() {
        let mut circuit = sample::compare().layouts.remove(0).circuits.remove(0);
        circuit.dome.clear();
        circuit.cycle[2].pressure_pa = -1.0;
        circuit.cycle[3].enthalpy_j_kg = f64::NAN;
        assert!(!cycle("stacked", &circuit, Units::Us).unwrap().contains("NaN"));
        circuit.cycle.clear();
        assert!(cycle("stacked", &circuit, Units::Us).is_ok());
    }
}

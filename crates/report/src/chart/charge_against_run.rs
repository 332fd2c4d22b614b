//! Chart 2: the charge to add against the run, for each pair of tubes.

use super::{
    ChartError,
    axis::Axis,
    canvas::{Canvas, INK, LARGE, MARGIN, SMALL, Side, WIDTH, below_title, draw, unbroken, wrap},
    rule::{self, LABEL_ROW, draw_rules, rules},
    series::{draw_key, finite, look},
};
use crate::{
    figure::{AxisUnit, Units, axis_of_length, axis_of_mass, length, ounces},
    view::{ChargeSeriesView, SetChargeView},
};

const PLOT: i32 = 300;
const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;

/// Added charge against run by pair of tubes, with this run and the covered run marked.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn charge_against_run(set: &SetChargeView, units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(set, units), LARGE, WIDTH - 2 * MARGIN);
    let rules = rules(set.run_m, set.covered_run_m, set.longest_run_m, units);
    let count = |count: usize| i32::try_from(count).unwrap_or(0);
    let top = below_title(title.len()) + rule::height(&rules) + LABEL_ROW + 8;
    let foot = top + PLOT;
    let height = foot + 2 * LABEL_ROW + 16 + LABEL_ROW * count(set.series.len()) + MARGIN;

    let (run, mass) = (axis_of_length(units), axis_of_mass(units));
    let points = || set.series.iter().flat_map(|series| &series.points).filter(|point| finite(point));
    let rules_end = rules.iter().map(|rule| rule.at).fold(0.0, f64::max);
    let longest = points().map(|point| point[0]).fold(rules_end * 1.05, f64::max);
    let masses = points().map(|point| point[1]).chain(set.added_charge_kg);
    let (least, greatest) =
        masses.fold((0.0, 0.0), |(low, high): (f64, f64), kg| (low.min(kg), high.max(kg)));
    let scale = Scale {
        x: Axis::from_zero(longest / run.si, [LEFT, RIGHT], 5.0),
        y: Axis::around_zero(least / mass.si, greatest / mass.si, [foot, top], 5.0),
        run,
        mass,
    };

    draw(height, |canvas| {
        let below = canvas.title(&title)?;
        draw_axes(canvas, &scale, top, foot)?;
        draw_rules(canvas, &rules, |run_m| scale.x(run_m), below, foot)?;
        for (index, series) in set.series.iter().enumerate() {
            draw_series(canvas, &scale, index, series)?;
        }
        if let Some(added) = set.added_charge_kg {
            let at = (scale.x(set.run_m), scale.y(added));
            canvas.line(&[(LEFT, at.1), at], 1, Some((2, 3)), INK)?;
            canvas.mark(0, at, INK)?;
        }
        for (index, series) in set.series.iter().enumerate() {
            let y = foot + 2 * LABEL_ROW + 22 + LABEL_ROW * count(index);
            draw_key(canvas, index, &series.name, series.this.then_some(", this run"), y)?;
        }
        Ok(())
    })
}

struct Scale {
    x: Axis,
    y: Axis,
    run: AxisUnit,
    mass: AxisUnit,
}

impl Scale {
    fn x(&self, run_m: f64) -> i32 {
        self.x.pixel(run_m / self.run.si)
    }

    fn y(&self, mass_kg: f64) -> i32 {
        self.y.pixel(mass_kg / self.mass.si)
    }
}

fn finding(set: &SetChargeView, units: Units) -> String {
    let run = length(set.run_m);
    let this = set.series.iter().find(|series| series.this);
    // Each tube's name stays whole, the pair may part at its plus sign.
    let tubes = this.map_or_else(
        || "these tubes".into(),
        |series| series.name.split(" + ").map(unbroken).collect::<Vec<_>>().join(" + "),
    );
    match set.added_charge_kg {
        Some(added) => {
            let added = ounces(added);
            format!(
                "{}: {} of run in {tubes} take {} of {} more",
                set.name,
                unbroken(run.first(units)),
                unbroken(added.first(units)),
                set.refrigerant
            )
        }
        None => format!("{}: charge of {} of run in {tubes} is not known", set.name, run.first(units)),
    }
}

fn draw_axes(canvas: &Canvas<'_>, scale: &Scale, top: i32, foot: i32) -> Result<(), ChartError> {
    canvas.uprights(&scale.x, top, foot)?;
    canvas.levels(&scale.y, LEFT, RIGHT)?;
    let run = format!("run, {}", scale.run.name);
    canvas.text(&run, ((LEFT + RIGHT) / 2, foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)?;
    let mass = format!("added charge, {}", scale.mass.name);
    canvas.text(&mass, (MARGIN, top - 19), Side::Start, SMALL, INK)
}

fn draw_series(
    canvas: &Canvas<'_>,
    scale: &Scale,
    index: usize,
    series: &ChargeSeriesView,
) -> Result<(), ChartError> {
    let (width, dash, colour) = look(index, series.this);
    let points: Vec<(i32, i32)> = series
        .points
        .iter()
        .filter(|point| finite(point))
        .map(|[run_m, mass_kg]| (scale.x(*run_m), scale.y(*mass_kg)))
        .collect();
    canvas.line(&points, width, dash, colour)?;
    match points.last() {
        Some(end) => canvas.mark(index, *end, colour),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn says_what_was_found_in_both_units() {
        let set = sample::charge().sets.remove(0);
        assert_eq!(
            finding(&set, Units::Us).replace('\u{a0}', " "),
            "ice-room: 92 ft of run in 1/2 in OD + 3/8 in OD take 17.7 oz of R-449A more"
        );
        let svg = charge_against_run(&set, Units::Si).unwrap();
        for text in
            ["added charge, kg", "run, m", "this run 28.0 m", "covered run 20.1 m", "3/8 in OD, this run"]
        {
            assert!(svg.contains(text), "{text}");
        }
    }

    #[test]
    fn draws_without_points_and_with_numbers_that_are_not_finite() {
        let mut set = sample::charge().sets.remove(0);
        set.added_charge_kg = None;
        set.series[0].points.clear();
        set.series[1].points = vec![[f64::NAN, 1.0], [3.0, f64::INFINITY], [4.0, -0.5]];
        assert!(!charge_against_run(&set, Units::Us).unwrap().contains("NaN"));
        set.series.clear();
        assert!(charge_against_run(&set, Units::Us).is_ok());
    }
}

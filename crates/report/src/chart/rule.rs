//! Values drawn across a chart with their words: this run, the covered run, the maker's longest run, a load.

use super::{
    ChartError,
    canvas::{Canvas, Dash, INK, PAPER, SMALL, Side, WARM, WIDTH, text_width},
};
use crate::figure::{Units, length};
use plotters::style::RGBColor;

/// Height of one label.
pub(super) const LABEL_ROW: i32 = 20;
/// Blank pixels between a rule and its label.
const BESIDE: i32 = 6;
/// Labels keep this far from the edge of the picture.
const EDGE: i32 = 4;

/// A vertical rule across the chart with its label above.
pub(super) struct Rule {
    pub(super) label: String,
    /// Value on the axis that the rule stands on.
    pub(super) at: f64,
    pub(super) colour: RGBColor,
    pub(super) width: u32,
    pub(super) dash: Dash,
}

/// The rules of a set, shortest run first.
pub(super) fn rules(run_m: f64, covered_m: Option<f64>, longest_m: Option<f64>, units: Units) -> Vec<Rule> {
    let rule = |name: &str, at_m: f64, colour, width, dash| Rule {
        label: format!("{name} {}", length(at_m).first(units)),
        at: at_m,
        colour,
        width,
        dash,
    };
    let mut rules = vec![rule("this run", run_m, INK, 3, None)];
    rules.extend(covered_m.map(|at_m| rule("covered run", at_m, INK, 2, Some((2, 4)))));
    rules.extend(longest_m.map(|at_m| rule("maker's longest", at_m, WARM, 2, Some((10, 5)))));
    in_order(rules)
}

/// Rules as [`draw_rules`] wants them, least value first.
pub(super) fn in_order(mut rules: Vec<Rule>) -> Vec<Rule> {
    rules.sort_by(|one, other| one.at.total_cmp(&other.at));
    rules
}

/// Height of the labels of all rules.
pub(super) fn height(rules: &[Rule]) -> i32 {
    LABEL_ROW * i32::try_from(rules.len()).unwrap_or(0)
}

/// Draws the rules down to `foot`, their labels from `top`, where `x` gives the pixel of a value; rules come [`in_order`].
pub(super) fn draw_rules(
    canvas: &Canvas<'_>,
    rules: &[Rule],
    x: impl Fn(f64) -> i32,
    top: i32,
    foot: i32,
) -> Result<(), ChartError> {
    let placed: Vec<(i32, &Rule)> = rules.iter().map(|rule| (x(rule.at), rule)).collect();
    let rows: Vec<(i32, (i32, &Rule, Side))> = (0..).zip(in_rows(&placed)).collect();
    for (row, (at, rule, side)) in &rows {
        let y = top + LABEL_ROW * row + LABEL_ROW / 2;
        // A white edge keeps a dark rule apart from a dark bar.
        canvas.line(&[(*at, y + 2), (*at, foot)], rule.width + 2, None, PAPER)?;
        canvas.line(&[(*at, y + 2), (*at, foot)], rule.width, rule.dash, rule.colour)?;
        let start = if let Side::End = side { at - BESIDE } else { at + BESIDE };
        let width = text_width(&rule.label, SMALL);
        let (left, right) =
            if let Side::End = side { (start - width, start) } else { (start, start + width) };
        let above = rows.iter().filter(|(other, _)| other < row);
        if above.map(|(_, (at, _, _))| at).any(|at| (left..=right).contains(at)) {
            canvas.blank((left - 2, y - LABEL_ROW / 2), (right + 2, y + LABEL_ROW / 2))?;
        }
        canvas.text(&rule.label, (start, y), *side, SMALL, rule.colour)?;
    }
    Ok(())
}

/// The rules with the side of their labels, in the order of rows from the top, so that no rule crosses a label: all
/// labels to the right with the leftmost on top, or all to the left with the rightmost on top.
fn in_rows<'a>(placed: &[(i32, &'a Rule)]) -> Vec<(i32, &'a Rule, Side)> {
    let width = |rule: &Rule| BESIDE + text_width(&rule.label, SMALL);
    let fits_right = |&(at, rule): &(i32, &Rule)| at + width(rule) <= WIDTH - EDGE;
    let fits_left = |&(at, rule): &(i32, &Rule)| at - width(rule) >= EDGE;
    let to_the_right = |&(at, rule): &(i32, &'a Rule)| (at, rule, Side::Start);
    let to_the_left = |&(at, rule): &(i32, &'a Rule)| (at, rule, Side::End);
    if placed.iter().all(fits_right) {
        placed.iter().map(to_the_right).collect()
    } else if placed.iter().all(fits_left) {
        placed.iter().rev().map(to_the_left).collect()
    } else {
        // No side holds all: those without room at their right go first and to the left.
        let (right, left): (Vec<_>, Vec<_>) = placed.iter().copied().partition(fits_right);
        left.iter().rev().map(to_the_left).chain(right.iter().map(to_the_right)).collect()
    }
}

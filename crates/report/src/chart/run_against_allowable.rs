//! Chart 1: how far each stocked tube reaches, against the run that is there.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, INK, LARGE, MARGIN, PALE, PAPER, SMALL, STRONG, Side, WIDTH, below_title, draw, shortened,
        text_width, unbroken, wrap,
    },
    rule::{self, LABEL_ROW, Rule, draw_rules, rules},
};
use crate::{
    document::{
        shortlist::{Rest, Shortlist, Shown, shortlist},
        words,
    },
    figure::{AxisUnit, Figure, Units, axis_of_length, length},
    view::{CandidateView, LineView, SetSizeView},
};

/// Height of a bar's row, with a name of one line and of two.
const ROW: [i32; 2] = [28, 38];
const BAR: i32 = 16;
/// Where bars start: room for `wall 0.045 in` at their left.
const LEFT: i32 = 134;
const NAME: i32 = LEFT - MARGIN - 10;
const RIGHT: i32 = WIDTH - 20;

/// Allowable length of the tubes around the choice of every line as bars, the others in words, with this run, the covered run and the maker's
/// longest run drawn across.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn run_against_allowable(set: &SetSizeView, units: Units) -> Result<String, ChartError> {
    let rules = rules(set.run_m, set.covered_run_m, set.longest_run_m, units);
    let title = wrap(&finding(set, units), LARGE, WIDTH - 2 * MARGIN);
    let panel = |line: &LineView| panel_height(line, &rules);
    let height = below_title(title.len()) + set.lines.iter().map(panel).sum::<i32>() + MARGIN;
    draw(height, |canvas| {
        let mut top = canvas.title(&title)?;
        for line in &set.lines {
            draw_panel(canvas, line, &rules, top, units)?;
            top += panel(line);
        }
        Ok(())
    })
}

/// What the picture shows in one sentence.
fn finding(set: &SetSizeView, units: Units) -> String {
    let run = unbroken(length(set.run_m).first(units));
    let reaches: Vec<String> = set
        .lines
        .iter()
        .map(|line| {
            let chosen = line.candidates.iter().find(|candidate| candidate.chosen);
            match chosen.map(|candidate| (candidate, candidate.allowable_length_m)) {
                None => format!("no stocked {} tube is taken", line.service),
                Some((candidate, None)) => {
                    format!("{} {} never meets", line.service, unbroken(&candidate.tube.name))
                }
                Some((candidate, Some(reach))) => {
                    let far = if candidate.not_limited { "beyond " } else { "" };
                    format!(
                        "{} {} to {far}{}",
                        line.service,
                        unbroken(&candidate.tube.name),
                        unbroken(length(reach).first(units))
                    )
                }
            }
        })
        .collect();
    format!("{}: the run is {run}; allowed are {}", set.name, reaches.join(", "))
}

fn rows(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(0)
}

/// A tube's name on one line or two; tubes of one outside diameter differ at the name's end.
fn name_lines(name: &str) -> Vec<String> {
    let mut lines = wrap(name, SMALL, NAME);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(rest);
    }
    lines.iter().map(|line| shortened(line, SMALL, NAME)).collect()
}

fn row_height(shown: &[Shown<'_>]) -> i32 {
    let one_line = shown.iter().all(|shown| name_lines(&shown.name).len() < 2);
    if one_line { ROW[0] } else { ROW[1] }
}

/// What is said of the tubes without a bar, in lines that fit the picture.
fn rest_lines(list: &Shortlist<'_>) -> Vec<String> {
    let rests = list.narrower.iter().chain(&list.wider).map(Rest::sentence);
    rests.flat_map(|sentence| wrap(&sentence, SMALL, WIDTH - 2 * MARGIN)).collect()
}

fn panel_height(line: &LineView, rules: &[Rule]) -> i32 {
    let list = shortlist(&line.candidates);
    // Heading, one row a rule's label, bars, ticks with the unit, the other tubes, space below.
    26 + rule::height(rules)
        + row_height(&list.shown) * rows(list.shown.len())
        + 2 * LABEL_ROW
        + LABEL_ROW * rows(rest_lines(&list).len())
        + 20
}

/// The axis ends where every bar that stops has stopped and every rule fits; bars that go on are cut there with an arrow.
fn end_of_axis(line: &LineView, rules: &[Rule]) -> f64 {
    let shown = shortlist(&line.candidates).shown;
    let reached = shown.iter().map(|shown| shown.candidate).filter(|candidate| !candidate.not_limited);
    let greatest_rule = rules.iter().map(|rule| rule.at).fold(0.0, f64::max);
    // Tubes that reach many times the run would squeeze what matters into the left edge.
    let bars = reached.filter_map(|candidate| candidate.allowable_length_m).fold(0.0, f64::max);
    bars.min(4.0 * greatest_rule).max(1.25 * greatest_rule)
}

fn draw_panel(
    canvas: &Canvas<'_>,
    line: &LineView,
    rules: &[Rule],
    top: i32,
    units: Units,
) -> Result<(), ChartError> {
    let AxisUnit { si, name } = axis_of_length(units);
    let axis = Axis::from_zero(end_of_axis(line, rules) / si, [LEFT, RIGHT], 4.0);
    let x = |at_m: f64| axis.pixel(at_m / si);

    canvas.bold(&format!("{} line", line.service), (MARGIN, top + 10), Side::Start, SMALL + 1, INK)?;
    if line.candidates.iter().any(|candidate| candidate.chosen) {
        taken_mark(canvas, (RIGHT - 64, top + 10))?;
        canvas.text("taken", (RIGHT - 48, top + 10), Side::Start, SMALL, STRONG)?;
    }
    let labels = top + 26;
    let bars = labels + rule::height(rules);
    let list = shortlist(&line.candidates);
    let height = row_height(&list.shown);
    let foot = bars + height * rows(list.shown.len());

    canvas.uprights(&axis, bars, foot)?;
    let unit = format!("allowable length, {name}");
    canvas.text(&unit, ((LEFT + RIGHT) / 2, foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)?;

    for (row, text) in (0..).zip(rest_lines(&list)) {
        let at = (MARGIN, foot + 20 + LABEL_ROW * (2 + row));
        canvas.text(&text, at, Side::Start, SMALL, INK)?;
    }

    for (row, shown) in (0..).zip(&list.shown) {
        draw_bar(canvas, shown, bars + height * row + height / 2, &axis, si)?;
    }
    draw_rules(canvas, rules, x, labels, foot)?;
    // Last, so that no rule strikes through words.
    for (row, shown) in (0..).zip(&list.shown) {
        draw_words(canvas, shown.candidate, bars + height * row + height / 2, &axis, (si, units))?;
    }
    Ok(())
}

fn draw_bar(
    canvas: &Canvas<'_>,
    Shown { name, candidate }: &Shown<'_>,
    middle: i32,
    axis: &Axis,
    si: f64,
) -> Result<(), ChartError> {
    if candidate.chosen {
        taken_mark(canvas, (MARGIN - 8, middle))?;
    }
    let name = name_lines(name);
    let first = middle - 8 * (rows(name.len()) - 1);
    for (row, line) in (0..).zip(&name) {
        let at = (MARGIN + 4, first + 16 * row);
        if candidate.chosen {
            canvas.bold(line, at, Side::Start, SMALL, STRONG)?;
        } else {
            canvas.text(line, at, Side::Start, SMALL, INK)?;
        }
    }
    let Some(reach) = candidate.allowable_length_m else { return Ok(()) };
    let end = axis.pixel(reach / si);
    let fill = if candidate.chosen { STRONG } else { PALE };
    canvas.bar((LEFT, middle - BAR / 2), (end, middle + BAR / 2), fill)?;
    if goes_on(candidate, axis, si) {
        let half = BAR / 2 + 4;
        canvas.polygon(&[(end, middle - half), (end + 12, middle), (end, middle + half)], fill)?;
    }
    Ok(())
}

/// The arrowhead before the tube that the sheet takes.
fn taken_mark(canvas: &Canvas<'_>, (x, y): (i32, i32)) -> Result<(), ChartError> {
    canvas.polygon(&[(x, y - 6), (x + 8, y), (x, y + 6)], STRONG)
}

fn goes_on(candidate: &CandidateView, axis: &Axis, si: f64) -> bool {
    candidate.allowable_length_m.is_some_and(|reach| candidate.not_limited || !axis.holds(reach / si))
}

fn draw_words(
    canvas: &Canvas<'_>,
    candidate: &CandidateView,
    middle: i32,
    axis: &Axis,
    (si, units): (f64, Units),
) -> Result<(), ChartError> {
    let (text, start) = match candidate.allowable_length_m {
        None => {
            let by = candidate.stopped_by.as_deref().map_or_else(|| "not computed".into(), words);
            (format!("never meets: {by}"), LEFT + 2)
        }
        Some(reach) => {
            let Figure { us, si: metric } = length(reach);
            let figure = if units == Units::Us { us } else { metric };
            let far = if goes_on(candidate, axis, si) && candidate.not_limited { "beyond " } else { "" };
            (format!("{far}{figure}"), axis.pixel(reach / si) + 6)
        }
    };
    let text = shortened(&text, SMALL, WIDTH - LEFT - 6);
    let width = text_width(&text, SMALL);
    if start + width <= WIDTH - 4 {
        canvas.blank((start - 2, middle - BAR / 2), (start + width, middle + BAR / 2))?;
        return canvas.text(&text, (start, middle), Side::Start, SMALL, INK);
    }
    // No room behind the bar: inside it, light on dark or dark on light; rules are hidden under the bar's own colour.
    let (fill, ink) = if candidate.chosen { (STRONG, PAPER) } else { (PALE, INK) };
    let end = start - 10;
    canvas.patch((end - width, middle - BAR / 2 + 1), (end, middle + BAR / 2 - 1), fill)?;
    canvas.text(&text, (end - 2, middle), Side::End, SMALL, ink)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn says_what_was_found_and_why_a_tube_never_meets() {
        let set = sample::size().sets.remove(0);
        let svg = run_against_allowable(&set, Units::Us).unwrap();
        for text in
            ["never meets: oil return", "covered run 66 ft", "this run 92 ft", "maker's longest 100 ft"]
        {
            assert!(svg.contains(text) || svg.contains(&text.replace('\'', "&apos;")), "{text} in\n{svg}");
        }
        assert_eq!(
            finding(&set, Units::Si).replace('\u{a0}', " "),
            "ice-room: the run is 28.0 m; allowed are discharge 1/2 in OD to 29.1 m, liquid 3/8 in OD to 86.0 m"
        );
        assert!(run_against_allowable(&set, Units::Si).unwrap().contains("allowable length, m"));
    }

    #[test]
    fn a_long_name_of_a_tube_keeps_its_end() {
        assert_eq!(name_lines("1/2 in OD"), ["1/2 in OD"]);
        assert_eq!(name_lines("1-1/8 in OD wall 0.045 in"), ["1-1/8 in OD", "wall 0.045 in"]);
    }

    #[test]
    fn draws_without_maker_figures_and_without_tubes() {
        let mut set = sample::size().sets.remove(0);
        (set.covered_run_m, set.longest_run_m) = (None, None);
        set.lines[0].candidates.clear();
        set.name = "<&> \" ' & a very long name that goes on and on beyond the width of the chart".into();
        let svg = run_against_allowable(&set, Units::Us).unwrap();
        assert!(svg.contains("&lt;&amp;&gt;"));
        assert!(finding(&set, Units::Us).contains("no stocked discharge tube is taken"));
    }

    #[test]
    fn no_text_is_smaller_than_a_phone_can_show() {
        let set = sample::size().sets.remove(0);
        let svg = run_against_allowable(&set, Units::Us).unwrap();
        let sizes: Vec<f64> = svg
            .split("font-size=\"")
            .skip(1)
            .map(|rest| rest.split('"').next().unwrap().parse().unwrap())
            .collect();
        assert!(sizes.len() > 10);
        assert!(sizes.iter().all(|size| *size >= f64::from(SMALL) - 1e-6), "{sizes:?}");
    }
}

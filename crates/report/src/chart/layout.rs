//! Chart 6: one layout: how its condensers stand, and what a share of discharge air in an intake does to condensing
//! temperature and capacity.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, INK, MARGIN, SMALL, Side, WARM, WIDTH, below_title, draw, shortened, smooth, title_lines,
        unbroken, wrap,
    },
    elevation::Elevation,
    labels::{Frame, Ground, Named, label_width},
    rule::{self, LABEL_ROW, Rule, draw_rules, in_order},
    series::{draw_key, look},
};
use crate::{
    document::verdict_words,
    figure::{
        Units, axis_of_power, axis_of_temperature, celsius, percent, saturation_temperature,
        temperature_difference,
    },
    view::{CompareView, DrawView, LayoutView},
};
use plotters::style::RGBColor;

const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;
/// Heights of the two plots, and of the words above each.
const TEMPERATURE: i32 = 190;
const CAPACITY: i32 = 110;
const WORDS: i32 = 38;
/// Least span of the temperatures drawn, K: a narrower one would blow up what no thermometer reads.
const LEAST_SPAN_K: f64 = 4.0;
/// A limit farther above all curves than this, K, would squeeze them and is left to the sheet.
const LIMIT_IN_SIGHT_K: f64 = 12.0;
/// Ground of the range that a share may lie in: darker than paper, lighter than any line.
const RANGE: RGBColor = RGBColor(226, 232, 236);

/// Elevation of one layout with its air temperatures, and for each draw condensing temperature and capacity against the
/// share drawn.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn layout(view: &CompareView, layout: &LayoutView, units: Units) -> Result<String, ChartError> {
    let title = title_lines(&finding(layout, units));
    let elevation = Elevation::of(view, layout, units);
    let mut top = below_title(title.len()) + elevation.height();
    let mut plots = Vec::new();
    for drawn in &layout.draws {
        let plot = Plot::of(view, layout, drawn, top, units);
        top = plot.end;
        plots.push(plot);
    }
    draw(top + MARGIN, |canvas| {
        let below = canvas.title(&title)?;
        elevation.draw(canvas, layout, below, units)?;
        plots.iter().try_for_each(|plot| plot.draw(canvas, layout, units))
    })
}

fn finding(layout: &LayoutView, units: Units) -> String {
    let share = |share: f64| unbroken(percent(share).first(units));
    let draws = match layout.draws.as_slice() {
        [] => "no unit draws discharge air".to_owned(),
        [draw] => {
            let from = if draw.from == draw.by { "itself" } else { &draw.from };
            format!("{} draws {} from {from}", draw.by, share(draw.fraction))
        }
        several => format!("{} draws of discharge air", several.len()),
    };
    // Where recirculation costs none or all alike, the warmest is told.
    let costly = layout.circuits.iter().max_by(|one, other| {
        let costs = one.recirculation_costs_k.total_cmp(&other.recirculation_costs_k);
        costs.then(one.condensing_k.total_cmp(&other.condensing_k))
    });
    let condensing = costly.map_or_else(String::new, |circuit| {
        let at = unbroken(saturation_temperature(celsius(circuit.condensing_k)).first(units));
        let costs = temperature_difference(circuit.recirculation_costs_k);
        if costs == temperature_difference(0.0) {
            format!(", {} condenses at {at}", circuit.set)
        } else {
            format!(", {} condenses {} warmer, at {at}", circuit.set, unbroken(costs.first(units)))
        }
    });
    let break_even = layout
        .break_even_recirculation
        .map_or_else(String::new, |at| format!("; break-even at {}", share(at)));
    format!("{}: {draws}{condensing}{break_even}; {}", layout.name, verdict_words(layout.verdict))
}

/// Both plots of one draw.
struct Plot<'a> {
    drawn: &'a DrawView,
    rules: Vec<Rule>,
    heading: Vec<String>,
    limits: Vec<(String, f64)>,
    start: i32,
    temperature: [i32; 2],
    capacity: [i32; 2],
    end: i32,
    share: Axis,
    degrees: Axis,
    power: Axis,
}

impl<'a> Plot<'a> {
    fn of(view: &CompareView, layout: &LayoutView, drawn: &'a DrawView, start: i32, units: Units) -> Self {
        let count = |count: usize| i32::try_from(count).unwrap_or(0);
        let rules = rules(drawn, units);
        let from = if drawn.from == drawn.by { "itself" } else { &drawn.from };
        let heading = format!("What {} draws from {from}, against its share", drawn.by);
        let heading = wrap(&heading, SMALL, WIDTH - 2 * MARGIN);
        let labels = start + LABEL_ROW * count(heading.len()) + rule::height(&rules);
        let temperature = [labels + WORDS, labels + WORDS + TEMPERATURE];
        let capacity = [temperature[1] + WORDS, temperature[1] + WORDS + CAPACITY];
        let end = capacity[1] + 2 * LABEL_ROW + 20 + LABEL_ROW * count(layout.circuits.len() + 1);

        let shares = drawn.curve.iter().map(|point| point.fraction);
        let shares = shares.chain(rules.iter().map(|rule| rule.at)).chain(drawn.most);
        let greatest = shares.filter(|share| share.is_finite()).fold(0.05, f64::max).min(1.0);
        let [least_k, most_k] =
            span(drawn.curve.iter().flat_map(|point| point.condensing_k.iter().copied()), LEAST_SPAN_K);
        let limits = limits(view, least_k..most_k + LIMIT_IN_SIGHT_K);
        let most_k = limits.iter().map(|(_, at_k)| *at_k + 0.5).fold(most_k, f64::max);
        let power = axis_of_power(units);
        let capacities = drawn.curve.iter().map(|point| point.capacity_w);
        let [least_w, most_w] = span(capacities, 0.02 * layout.capacity_w.abs());
        let (degrees, _) = axis_of_temperature(units);
        let degrees = |at_k: f64| degrees(celsius(at_k));
        Self {
            drawn,
            rules,
            heading,
            limits,
            start,
            temperature,
            capacity,
            end,
            share: Axis::exactly(0.0, 103.0 * greatest, [LEFT, RIGHT], 6.0),
            degrees: Axis::between(degrees(least_k), degrees(most_k), [temperature[1], temperature[0]], 5.0),
            power: Axis::between(least_w / power.si, most_w / power.si, [capacity[1], capacity[0]], 3.0),
        }
    }

    fn draw(&self, canvas: &Canvas<'_>, layout: &LayoutView, units: Units) -> Result<(), ChartError> {
        let mut y = self.start + LABEL_ROW / 2;
        for row in &self.heading {
            canvas.bold(row, (MARGIN, y), Side::Start, SMALL, INK)?;
            y += LABEL_ROW;
        }
        self.draw_ground(canvas)?;
        let x = |share: f64| self.share.pixel(100.0 * share);
        draw_rules(canvas, &self.rules, x, y - LABEL_ROW / 2, self.capacity[1])?;
        let (degrees, degree) = axis_of_temperature(units);
        for ([top, _], words) in [
            (self.temperature, format!("condensing, {degree}")),
            (self.capacity, format!("capacity of all sets, {}", axis_of_power(units).name)),
        ] {
            canvas.words_on_white(&words, (MARGIN, top - 17), Side::Start, INK)?;
        }
        let mut ground = Ground::new(Frame {
            left: LEFT + 2,
            top: self.temperature[0] + 2,
            right: RIGHT - 2,
            foot: self.temperature[1] - 2,
        });
        for rule in &self.rules {
            ground.keep_off_line(&[(x(rule.at), self.temperature[0]), (x(rule.at), self.temperature[1])]);
        }
        for (_, at_k) in &self.limits {
            let y = self.degrees.pixel(degrees(celsius(*at_k)));
            canvas.line(&[(LEFT, y), (RIGHT, y)], 2, Some((10, 5)), WARM)?;
            ground.keep_off_line(&[(LEFT, y), (RIGHT, y)]);
        }
        let counts = |index: usize| is_drawn_into(layout, self.drawn, index);
        for index in 0..layout.circuits.len() {
            let points = self.drawn.curve.iter().filter_map(|point| {
                let at = degrees(celsius(*point.condensing_k.get(index)?));
                (at.is_finite() && point.fraction.is_finite())
                    .then(|| (x(point.fraction), self.degrees.pixel(at)))
            });
            let (width, dash, colour) = look(index, counts(index));
            let points: Vec<(i32, i32)> = points.collect();
            canvas.line(&smooth(&points), width, dash, colour)?;
            ground.keep_off_line(&points);
            if let Some(end) = points.last() {
                canvas.mark(index, *end, colour)?;
            }
        }
        let along: Vec<i32> = (1..10).rev().map(|step| LEFT + (RIGHT - LEFT) * step / 10).collect();
        for (name, at_k) in &self.limits {
            let y = self.degrees.pixel(degrees(celsius(*at_k)));
            let anchors: Vec<(i32, i32)> = along.iter().map(|x| (*x, y)).collect();
            let words = format!("{name} never above");
            let named = Named { points: &anchors, along: (1.0, 0.0), reach: 0 };
            if let Some(placed) = ground.place(&named, (label_width(&words, SMALL) + 8, 16)) {
                let Frame { left, top, right, foot } = placed.frame;
                if let Some(leader) = placed.leader {
                    canvas.line(&leader, 1, None, WARM)?;
                }
                canvas.text(&words, ((left + right) / 2, (top + foot) / 2), Side::Middle, SMALL, WARM)?;
            }
        }
        let power = axis_of_power(units);
        let points: Vec<(i32, i32)> = self
            .drawn
            .curve
            .iter()
            .filter(|point| point.capacity_w.is_finite() && point.fraction.is_finite())
            .map(|point| (x(point.fraction), self.power.pixel(point.capacity_w / power.si)))
            .collect();
        canvas.line(&smooth(&points), 3, None, INK)?;
        let mut y = self.capacity[1] + 2 * LABEL_ROW + 20;
        for (index, circuit) in layout.circuits.iter().enumerate() {
            draw_key(canvas, index, &circuit.set, counts(index).then_some(""), y)?;
            y += LABEL_ROW;
        }
        if let (Some(least), Some(most)) = (self.drawn.least, self.drawn.most) {
            let share = |share: f64| percent(share).first(units).to_owned();
            canvas.patch((MARGIN, y - 7), (MARGIN + 44, y + 7), RANGE)?;
            let words = format!("the share may be {} to {}", share(least), share(most));
            canvas.text(&words, (MARGIN + 58, y), Side::Start, SMALL, INK)?;
        }
        Ok(())
    }

    /// Range, grid and words.
    fn draw_ground(&self, canvas: &Canvas<'_>) -> Result<(), ChartError> {
        let x = |share: f64| self.share.pixel(100.0 * share);
        for ([top, foot], axis) in [(self.temperature, &self.degrees), (self.capacity, &self.power)] {
            if let (Some(least), Some(most)) = (self.drawn.least, self.drawn.most) {
                canvas.patch((x(least), top), (x(most), foot), RANGE)?;
            }
            canvas.levels(axis, LEFT, RIGHT)?;
        }
        canvas.uprights(&self.share, self.temperature[0], self.capacity[1])?;
        let words = format!("share of the intake of {} that is discharge air, %", self.drawn.by);
        let words = shortened(&words, SMALL, WIDTH - 2 * MARGIN);
        let middle = (WIDTH / 2, self.capacity[1] + 15 + LABEL_ROW);
        canvas.text(&words, middle, Side::Middle, SMALL, INK)
    }
}

/// The greatest condensing temperatures in sight; sets that share one share a rule.
fn limits(view: &CompareView, in_sight_k: std::ops::Range<f64>) -> Vec<(String, f64)> {
    let mut limits: Vec<(String, f64)> = Vec::new();
    for set in &view.sets {
        let Some(at_k) = set.greatest_condensing_k.filter(|at_k| in_sight_k.contains(at_k)) else { continue };
        match limits.iter_mut().find(|(_, other_k)| (at_k - *other_k).abs() < 0.05) {
            Some((names, _)) => names.push_str(&format!(", {}", set.name)),
            None => limits.push((set.name.clone(), at_k)),
        }
    }
    limits
}

/// Whether a circuit lies in the condenser that draws.
fn is_drawn_into(layout: &LayoutView, draw: &DrawView, index: usize) -> bool {
    let by = layout.condensers.iter().find(|condenser| condenser.name == draw.by);
    let set = layout.circuits.get(index).map(|circuit| &circuit.set);
    by.zip(set).is_some_and(|(by, set)| by.serves.contains(set))
}

/// Least and greatest finite value, no nearer to each other than `least_span`.
fn span(values: impl Iterator<Item = f64>, least_span: f64) -> [f64; 2] {
    let ends = values.filter(|value| value.is_finite()).fold(None, |ends: Option<[f64; 2]>, value| {
        let [low, high] = ends.unwrap_or([value, value]);
        Some([low.min(value), high.max(value)])
    });
    let [low, high] = ends.unwrap_or([300.0, 300.0]);
    let wider = (0.5 * (least_span - (high - low))).max(0.0);
    [low - wider, high + wider]
}

/// The share that the job states, its break-even and what a jet can bring.
fn rules(draw: &DrawView, units: Units) -> Vec<Rule> {
    let rule = |name: &str, at: f64, colour, width, dash| Rule {
        label: format!("{name} {}", percent(at).first(units)),
        at,
        colour,
        width,
        dash,
    };
    let mut rules = vec![rule("stated", draw.fraction, INK, 3, None)];
    rules.extend(draw.break_even.map(|at| rule("break-even", at, WARM, 2, Some((10, 5)))));
    rules.extend(draw.jet_bound.map(|at| rule("jet bound", at, INK, 2, Some((2, 4)))));
    in_order(rules)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        chart::looked_at::{leave, text_fits},
        sample,
        view::VerdictView,
    };

    #[test]
    fn draw_layouts() {
        let view = sample::compare();
        for (units, name) in [(Units::Us, "us"), (Units::Si, "si")] {
            for drawn in &view.layouts {
                let svg = layout(&view, drawn, units).unwrap();
                leave(&format!("{name}-layout-{}", drawn.name.replace(' ', "-")), &svg);
                text_fits(&svg);
            }
        }
    }

    #[test]
    fn says_who_draws_and_where_the_limit_is() {
        let view = sample::compare();
        let plain = |index: usize, units| finding(&view.layouts[index], units).replace('\u{a0}', " ");
        assert_eq!(
            plain(0, Units::Us),
            "stacked: upper draws 12 % from lower, cold-store condenses 8.2 °F warmer, at 119.0 °F; break-even at 24 %; \
             too close to call"
        );
        assert!(plain(2, Units::Si).starts_with("apart: no unit draws discharge air, "));
        let svg = layout(&view, &view.layouts[0], Units::Si).unwrap();
        for words in ["stated 12 %", "break-even 24 %", "jet bound 34 %", "the share may be 6.0 % to 22 %"] {
            assert!(svg.contains(words), "{words}");
        }
    }

    #[test]
    fn draws_what_is_absent_or_not_finite() {
        let mut view = sample::compare();
        let stacked = &mut view.layouts[0];
        stacked.verdict = VerdictView::NotChecked;
        stacked.draws[0].curve[3].capacity_w = f64::NAN;
        stacked.draws[0].curve[4].condensing_k = vec![f64::INFINITY];
        (stacked.draws[0].least, stacked.draws[0].break_even) = (None, None);
        stacked.draws.push(DrawView { from: "upper".into(), curve: Vec::new(), ..stacked.draws[0].clone() });
        if let Some(place) = &mut stacked.condensers[0].place {
            place.width_m = f64::NAN;
        }
        let svg = layout(&view, &view.layouts[0], Units::Us).unwrap();
        assert!(!svg.contains("NaN") && svg.contains("No sketch"), "{svg}");
        text_fits(&svg);
        view.layouts[0].condensers.clear();
        view.layouts[0].circuits.clear();
        assert!(layout(&view, &view.layouts[0], Units::Us).is_ok());
    }
}

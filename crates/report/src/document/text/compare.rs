//! The comparison of layouts.

use super::{
    ABSENT, Grid, Sheet, capital,
    columns::{Columns, under, with_unit},
    listed, one_line, print_checks, print_echo, print_list, print_sources, sentence, unbroken,
};
use crate::{
    document::{governing, verdict_words},
    figure::{
        Figure, Units, area, area_load, celsius, conductance, electric_power, energy, force, gauge_pressure,
        hours, length, mass_rate, ounces, percent, plain, pounds_and_ounces, power, saturation_temperature,
        sound_level, temperature, temperature_difference,
    },
    view::{AirPointView, CheckView, CircuitView, CompareView, DrawView, LayoutView, SetLoadView},
};

/// Stands in the table of layouts where a value is absent; what it needs is said below the table.
const NOT_STATED: &str = "not stated";

/// The answer of `compare` for a person: the recommendation, the check that governs and what would change it; all
/// layouts beside each other; then each layout, the loads, and what it all rests on.
#[must_use]
pub fn compare_sheet(view: &CompareView, units: Units) -> String {
    let mut sheet = Sheet::default();
    sheet.paragraph(&format!("{}: {}", verdict_words(view.verdict).to_uppercase(), view.job));
    sheet.paragraph(&ended(&capital(&view.recommendation)));
    print_governing(&mut sheet, view, units);
    if !view.would_change.is_empty() {
        sheet.paragraph("What would change it:");
        view.would_change.iter().for_each(|change| sheet.bullet(change));
    }
    print_layouts(&mut sheet, view, units);
    print_year(&mut sheet, view, units);
    print_roof(&mut sheet, view, units);
    let (first, others): (Vec<_>, Vec<_>) = view.layouts.iter().partition(|layout| view.recommends(layout));
    let shared = shared_warnings(view);
    print_list(&mut sheet, "Mind, in every layout", &shared);
    for layout in first.into_iter().chain(others) {
        print_layout(&mut sheet, view, layout, units);
    }
    sheet.heading("All layouts");
    print_loads(&mut sheet, &view.sets, units);
    print_tags(&mut sheet, view);
    print_list(&mut sheet, "Assumed", &view.assumptions);
    print_list(&mut sheet, "Not in this sheet", &view.not_contained);
    print_sources(&mut sheet, &view.sources);
    print_list(&mut sheet, "Take care", &view.cautions);
    sheet.finish()
}

/// With its full stop, whoever wrote it.
pub(in crate::document) fn ended(sentence: &str) -> String {
    if sentence.ends_with(['.', '?', '!']) { sentence.to_owned() } else { format!("{sentence}.") }
}

/// Tenths, in air too: they tell one layout from another.
fn degrees(temperature_k: f64) -> Figure {
    saturation_temperature(celsius(temperature_k))
}

/// The check that is nearest to its limit: of the layout that is recommended, else of all.
fn print_governing(sheet: &mut Sheet, view: &CompareView, units: Units) {
    let counts = |layout: &&LayoutView| view.recommended.is_none() || view.recommends(layout);
    let checks = view.layouts.iter().filter(counts);
    let checks =
        checks.flat_map(|layout| layout.checks.iter().map(move |check: &CheckView| (&layout.name, check)));
    if let Some((name, check)) = governing(checks) {
        sheet.paragraph(&format!("Governs: {name}, {}", sentence(None, check, units)));
    }
}

/// The layouts in columns, and below them what the cells that are not stated need.
pub(in crate::document) fn print_layouts(sheet: &mut Sheet, view: &CompareView, units: Units) {
    let roof = temperature_difference(view.roof_allowance_k);
    let of_roof = if roof == temperature_difference(0.0) {
        String::new()
    } else {
        format!(", of it {} by the roof", roof.both(units))
    };
    sheet.section(&format!(
        "Layouts on the design day, outdoor air {}{of_roof}",
        temperature(celsius(view.outdoor_air_k)).both(units)
    ));
    let mut columns = Columns::new(&view.layouts, units).absent_as(NOT_STATED);
    columns.texts("checks", |layout| {
        let verdict = verdict_words(layout.verdict);
        Some(if view.recommends(layout) { format!("{verdict}\nrecommended") } else { verdict.to_owned() })
    });
    print_temperatures(&mut columns, view, units);
    columns.figures("capacity", |layout| Some(power(layout.capacity_w)));
    columns.figures("power with fans", |layout| Some(electric_power(layout.power_w)));
    columns.figures("energy a year", |layout| layout.energy_kwh.map(energy));
    columns.texts("break-even share, %", |layout| {
        Some(match layout.break_even_recirculation {
            Some(share) => percent(share).bare(units),
            None if layout.draws.is_empty() => "no draw".into(),
            None => "none".into(),
        })
    });
    print_longest(&mut columns, view);
    columns.figures("added charge", |layout| layout.added_charge_kg.map(ounces));
    columns.figures("roof, frames", |layout| layout.footprint_m2.map(area));
    columns.figures("roof, with room", |layout| layout.taken_m2.map(area));
    columns.figures("anchor tension", |layout| layout.anchor_tension_n.map(force));
    columns.figures("sound power", |layout| layout.sound.map(|sound| sound_level(sound.power_db)));
    columns.figures("sound at listener", |layout| {
        layout.sound.and_then(|sound| sound.level_db).map(sound_level)
    });
    columns.texts("access", |layout| (!layout.access.is_empty()).then(|| layout.access.clone()));
    columns.print(sheet, |layout| layout.name.clone());
    for (names, lacks) in not_stated(view) {
        let of = if names.len() == view.layouts.len() { "any layout".into() } else { listed(&names) };
        sheet.bullet(&format!("not stated of {of}: {}", lacks.join("; ")));
    }
}

/// What is not stated of which layouts; layouts that lack the same share a sentence.
fn not_stated(view: &CompareView) -> Vec<(Vec<String>, Vec<String>)> {
    let mut groups: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for (what, keys, has) in OPTIONAL {
        let names: Vec<String> =
            view.layouts.iter().filter(|layout| !has(layout)).map(|layout| layout.name.clone()).collect();
        let lack = format!("{what} ({keys})");
        match groups.iter_mut().find(|(known, _)| *known == names) {
            _ if names.is_empty() => {}
            Some((_, lacks)) => lacks.push(lack),
            None => groups.push((names, vec![lack])),
        }
    }
    groups
}

type Optional = (&'static str, &'static str, fn(&LayoutView) -> bool);

/// What a layout may lack, and the keys that bring it.
const OPTIONAL: [Optional; 6] = [
    ("energy a year", "key year.weather or year.invented", |layout| layout.energy_kwh.is_some()),
    ("added charge", "key maker.covered_run of each set", |layout| layout.added_charge_kg.is_some()),
    ("roof under the frames", "key outline of each condenser", |layout| layout.footprint_m2.is_some()),
    ("roof with room around", "keys outline of each condenser and clear of the layout", |layout| {
        layout.taken_m2.is_some()
    }),
    ("tension on anchors", "key roof.wind_speed, and outline and mass of each condenser", |layout| {
        layout.anchor_tension_n.is_some()
    }),
    ("sound", "key sound_power of each condenser; roof.neighbour for the level at the listener", |layout| {
        layout.sound.is_some_and(|sound| sound.level_db.is_some())
    }),
];

/// Condensing temperature of each set, and air into each condenser.
fn print_temperatures(columns: &mut Columns<'_, LayoutView>, view: &CompareView, units: Units) {
    columns.heading(&with_unit("condensing", &degrees(view.outdoor_air_k), units));
    for set in &view.sets {
        columns.texts(&under(&format!("{}, {}", set.name, set.condensing_refers_to)), |layout| {
            let circuit = layout.circuits.iter().find(|circuit| circuit.set == set.name)?;
            Some(degrees(circuit.condensing_k).bare(units))
        });
    }
    columns.heading(&with_unit("air into", &degrees(view.outdoor_air_k), units));
    for name in view.condenser_names() {
        columns.texts(&under(name), |layout| {
            let condenser = layout.condensers.iter().find(|condenser| condenser.name == name)?;
            Some(degrees(condenser.inlet_air_k).bare(units))
        });
    }
}

/// Of each service the longest line of a layout, and the greatest drop of any.
fn print_longest(columns: &mut Columns<'_, LayoutView>, view: &CompareView) {
    let mut services: Vec<&str> = Vec::new();
    for line in view.layouts.iter().flat_map(|layout| &layout.lines) {
        if !services.contains(&line.service.as_str()) {
            services.push(&line.service);
        }
    }
    for service in services {
        let longest = |layout: &LayoutView| {
            let lines = layout.lines.iter().filter(|line| line.service == service);
            lines.max_by(|one, other| one.run_m.total_cmp(&other.run_m)).cloned()
        };
        columns
            .figures(&format!("longest {service}"), |layout| longest(layout).map(|line| length(line.run_m)));
        columns.figures(&under("greatest drop"), |layout| {
            let lines = layout.lines.iter().filter(|line| line.service == service);
            let drops = lines.filter_map(|line| line.saturated_temperature_drop_k);
            drops.max_by(f64::total_cmp).map(temperature_difference)
        });
    }
}

/// The weather and what it makes of each layout; nothing without weather.
pub(in crate::document) fn print_year(sheet: &mut Sheet, view: &CompareView, units: Units) {
    let Some(weather) = &view.weather else { return };
    sheet.section("The year");
    let mut columns = Columns::new(&view.layouts, units);
    let mut row = |name: &str, figure: &dyn Fn(&LayoutView) -> Option<Figure>| columns.figures(name, figure);
    row("energy, fans included", &|layout| layout.year.map(|year| energy(year.energy_kwh)));
    row("cold made", &|layout| layout.year.map(|year| energy(year.cold_kwh)));
    row("cold needed and not made", &|layout| layout.year.map(|year| energy(year.short_kwh)));
    row("running, mean of the sets", &|layout| layout.year.map(|year| hours(year.running_h)));
    row("head pressure held up", &|layout| layout.year.map(|year| hours(year.held_h)));
    row("above greatest condensing", &|layout| layout.year.and_then(|year| year.above_limit_h).map(hours));
    row("without a balance", &|layout| {
        layout.year.map(|year| year.unknown_h).filter(|unknown_h| *unknown_h > 0.0).map(hours)
    });
    columns.print(sheet, |layout| layout.name.clone());
    let both = |temperature_k: f64| temperature(celsius(temperature_k)).both(units);
    let missing = match weather.missing_h {
        0.0 => String::new(),
        missing_h => format!("; {} are missing and in no sum", hours(missing_h).first(units)),
    };
    sheet.bullet(&format!(
        "weather: {}, {} from {} to {}, mean {}{missing}",
        weather.what,
        hours(weather.hours).first(units),
        both(weather.coldest_k),
        both(weather.warmest_k),
        both(weather.mean_k)
    ));
}

/// Wind, anchors and weight; nothing without wind.
pub(in crate::document) fn print_roof(sheet: &mut Sheet, view: &CompareView, units: Units) {
    let Some(first) = view.layouts.iter().find_map(|layout| layout.roof.as_ref()) else { return };
    sheet
        .section("Roof and wind, the worst frame: screening only, the local code governs, an engineer signs");
    let mut columns = Columns::new(&view.layouts, units);
    let mut row = |name: &str, figure: &dyn Fn(&LayoutView) -> Option<Figure>| columns.figures(name, figure);
    let of = |layout: &LayoutView| layout.roof.clone();
    row("velocity pressure", &|layout| of(layout).map(|roof| area_load(roof.velocity_pressure_pa)));
    row("sideways", &|layout| of(layout).map(|roof| force(roof.lateral_n)));
    row("uplift", &|layout| of(layout).map(|roof| force(roof.uplift_n)));
    row("tension of an anchor, ASD", &|layout| of(layout).map(|roof| force(roof.tension_n)));
    row("shear of an anchor, ASD", &|layout| of(layout).map(|roof| force(roof.shear_n)));
    row("tension, strength design", &|layout| of(layout).map(|roof| force(roof.tension_strength_n)));
    row("shear, strength design", &|layout| of(layout).map(|roof| force(roof.shear_strength_n)));
    row("weight on the footprint", &|layout| of(layout).map(|roof| area_load(roof.weight_pa)));
    columns
        .texts("anchors of the frame", |layout| layout.roof.as_ref().map(|roof| format!("{}", roof.anchors)));
    columns.print(sheet, |layout| layout.name.clone());
    sheet.bullet(&format!(
        "wind by {}; ASD: allowable-stress design; a tension of 0: the weight holds it",
        first.edition
    ));
    for (remark, names) in remarks(view) {
        let whose =
            if names.len() == view.layouts.len() { String::new() } else { format!("{}: ", listed(&names)) };
        sheet.bullet(&format!("{whose}{remark}"));
    }
}

/// Each remark on roof and wind once, with the layouts that it is made on.
fn remarks(view: &CompareView) -> Vec<(&str, Vec<String>)> {
    let mut remarks: Vec<(&str, Vec<String>)> = Vec::new();
    for layout in &view.layouts {
        for remark in layout.roof.iter().flat_map(|roof| &roof.remarks) {
            match remarks.iter_mut().find(|(known, _)| known == remark) {
                Some((_, names)) => names.push(layout.name.clone()),
                None => remarks.push((remark, vec![layout.name.clone()])),
            }
        }
    }
    remarks
}

/// Warnings that every one of several layouts has.
pub(in crate::document) fn shared_warnings(view: &CompareView) -> Vec<String> {
    match view.layouts.as_slice() {
        [first, others @ ..] if !others.is_empty() => {
            let everywhere = |warning: &&String| others.iter().all(|it| it.warnings.contains(warning));
            first.warnings.iter().filter(everywhere).cloned().collect()
        }
        _ => Vec::new(),
    }
}

/// One layout: warnings, checks, draws, condensers, circuits, lines.
pub(in crate::document) fn print_layout(
    sheet: &mut Sheet,
    view: &CompareView,
    layout: &LayoutView,
    units: Units,
) {
    let arrangement = if layout.arrangement == layout.name || layout.arrangement.is_empty() {
        String::new()
    } else {
        format!(" ({})", layout.arrangement)
    };
    let recommended = if view.recommends(layout) { ", recommended" } else { "" };
    let verdict = verdict_words(layout.verdict);
    sheet.heading(&format!("{}{arrangement}: {verdict}{recommended}", layout.name));
    for warning in layout.warnings.iter().filter(|warning| !shared_warnings(view).contains(warning)) {
        sheet.paragraph(&ended(&format!("Mind: {warning}")));
    }
    if !layout.checks.is_empty() {
        sheet.section("Checks");
        print_checks(sheet, &layout.checks, units);
    }
    if !layout.draws.is_empty() {
        sheet.section(
            "Recirculation, measured on site by three thermometers: r = (T_in - T_amb) / (T_out - T_amb), with T_in at the \
             intake that draws, T_out in the discharge that it draws, T_amb upwind of all units, all in the shade",
        );
    }
    for draw in &layout.draws {
        print_draw(sheet, view, layout, draw, units);
    }
    if layout.draws.is_empty() {
        sheet.section("Recirculation: none, the job says that no unit draws discharge air");
    }
    print_condensers(sheet, layout, units);
    print_circuits(sheet, layout, units);
    print_lines(sheet, layout, units);
}

/// A draw with its bounds, and the reading of three thermometers that settles it.
fn print_draw(sheet: &mut Sheet, view: &CompareView, layout: &LayoutView, draw: &DrawView, units: Units) {
    let share = |share: f64| percent(share).first(units).to_owned();
    let range = match (draw.least, draw.most) {
        (None, None) => "no range stated".to_owned(),
        (least, most) => format!("may be {} to {}", share(least.unwrap_or(0.0)), share(most.unwrap_or(1.0))),
    };
    sheet.section(&format!(
        "{} draws {} of its intake from {} ({range})",
        draw.by,
        share(draw.fraction),
        if draw.from == draw.by { "itself" } else { &draw.from }
    ));
    let break_even = draw.break_even.map_or_else(|| "none".to_owned(), share);
    sheet.bullet(&format!("break-even: {break_even}; {}", draw.break_even_words));
    sheet.bullet(&match draw.jet_bound {
        Some(bound) if draw.fraction > bound => format!(
            "jet bound: {}; the stated share is above what a free jet brings over this distance",
            share(bound)
        ),
        Some(bound) => format!("jet bound: {}; a free jet brings no more over this distance", share(bound)),
        None => "jet bound: none; the jet does not reach the intake, or a size is not stated".to_owned(),
    });
    sheet.bullet(&measured(view, layout, draw, units));
    // The others have theirs in the picture and the CSV.
    if view.recommended.is_some() && !view.recommends(layout) {
        return;
    }
    let mut points = draw.curve.iter().step_by(draw.curve.len().div_ceil(CURVE_ROWS).max(1)).peekable();
    if points.peek().is_none() {
        return;
    }
    let capacity = with_unit("capacity of all sets", &power(layout.capacity_w), units);
    let condensing = layout.circuits.iter().map(|circuit| {
        with_unit(&format!("condensing {}", circuit.set), &degrees(circuit.condensing_k), units)
    });
    let header: Vec<String> =
        std::iter::once("share drawn".to_owned()).chain(condensing).chain([capacity]).collect();
    let mut grid = Grid::new(&header);
    for point in points {
        let condensing = point.condensing_k.iter().map(|at_k| degrees(*at_k).bare(units));
        let first = std::iter::once(share(point.fraction));
        grid.row(first.chain(condensing).chain([power(point.capacity_w).bare(units)]));
    }
    sheet.grid(grid);
}

/// Rows of a curve that a sheet shows; the picture and the CSV show all.
const CURVE_ROWS: usize = 6;

fn measured(view: &CompareView, layout: &LayoutView, draw: &DrawView, units: Units) -> String {
    let mut text = format!("on site r of {} at the intake of {}", draw.from, draw.by);
    let of = |name: &str| layout.condensers.iter().find(|condenser| condenser.name == name);
    if layout.draws.iter().filter(|other| other.by == draw.by).count() > 1 {
        text.push_str(": it draws from several, and the reading is of all together");
    } else if let (Some(by), Some(from)) = (of(&draw.by), of(&draw.from)) {
        text.push_str(&format!(
            ": T_amb {}, T_out {} and T_in {} on the design day confirm {}",
            degrees(view.outdoor_air_k).both(units),
            degrees(from.outlet_air_k).both(units),
            degrees(by.inlet_air_k).both(units),
            percent(draw.fraction).first(units)
        ));
    }
    text
}

fn print_condensers(sheet: &mut Sheet, layout: &LayoutView, units: Units) {
    let order = if layout.arrangement == "stacked" { "bottom to top" } else { "left to right" };
    sheet.section(&format!("Condensers on the design day, {order}"));
    let mut columns = Columns::new(&layout.condensers, units);
    columns.texts("serves", |it| Some(it.serves.join(", ")));
    columns.figures("air in", |it| Some(degrees(it.inlet_air_k)));
    columns.figures("air out", |it| Some(degrees(it.outlet_air_k)));
    columns.figures("condensing, warmest circuit", |it| Some(degrees(it.condensing_k)));
    columns.figures("heat rejected", |it| Some(power(it.heat_w)));
    columns.figures("for each degree in this air", |it| Some(conductance(it.conductance_w_k)));
    columns.figures("effectiveness", |it| Some(plain(it.effectiveness)));
    columns.figures("air moved", |it| Some(mass_rate(it.air_rate_kg_s)));
    columns.figures("fans", |it| it.fan_power_w.map(electric_power));
    columns.print(sheet, |it| it.name.clone());
    let silent = layout.condensers.iter().filter(|it| it.fan_power_w.is_none());
    let silent: Vec<String> = silent.map(|it| format!("condenser.{}.fan_power", it.name)).collect();
    if !silent.is_empty() {
        sheet.bullet(&format!("fans not stated, they count as nothing: key {}", listed(&silent)));
    }
}

fn print_circuits(sheet: &mut Sheet, layout: &LayoutView, units: Units) {
    sheet.section("Circuits on the design day");
    let mut columns = Columns::new(&layout.circuits, units);
    let mut row = |name: &str, figure: &dyn Fn(&CircuitView) -> Option<Figure>| columns.figures(name, figure);
    row("condensing, bubble", &|it| Some(degrees(it.condensing_bubble_k)));
    row("condensing, dew", &|it| Some(degrees(it.condensing_dew_k)));
    row("pressure at the condenser", &|it| Some(gauge_pressure(it.condensing_gauge_pa)));
    row("warmer than the job states", &|it| Some(temperature_difference(it.above_stated_k)));
    row("of it by recirculation", &|it| Some(temperature_difference(it.recirculation_costs_k)));
    row("capacity", &|it| Some(power(it.capacity_w)));
    row("compressor input", &|it| Some(electric_power(it.compressor_power_w)));
    row("heat rejected", &|it| Some(power(it.heat_rejection_w)));
    row("mass rate", &|it| Some(mass_rate(it.mass_rate_kg_s)));
    row("raised by its lines", &|it| it.lines_cost.map(|cost| temperature_difference(cost.condensing_k)));
    row("capacity lost by lines", &|it| it.lines_cost.map(|cost| power(cost.capacity_w)));
    row("input added by lines", &|it| it.lines_cost.map(|cost| electric_power(cost.power_w)));
    columns.texts("head pressure held", |it| Some(if it.held { "yes" } else { "no" }.into()));
    columns.print(sheet, |it| it.set.clone());
    print_other_tubes(sheet, layout, units);
    for (index, circuit) in layout.circuits.iter().enumerate() {
        let held = |point: &&AirPointView| point.held.get(index) == Some(&true);
        let warmest = layout.against_air.iter().filter(held);
        let warmest = warmest.max_by(|one, other| one.outdoor_air_k.total_cmp(&other.outdoor_air_k));
        if let Some(point) = warmest {
            let needs = point.active_share.get(index).map(|share| percent(*share).first(units).to_owned());
            let needs = needs.map_or_else(String::new, |share| format!(", on {share} of its condenser"));
            sheet.bullet(&format!(
                "{}: head pressure is held up at {} of outdoor air and below{needs}",
                circuit.set,
                temperature(celsius(point.outdoor_air_k)).both(units)
            ));
        }
        let coldest = layout.against_air.first();
        let winter = coldest.and_then(|point| {
            let masses = ((*point.winter_gross_kg.get(index)?)?, (*point.winter_net_kg.get(index)?)?);
            Some((point, point.active_share.get(index)?, masses)).filter(|(_, active, _)| **active < 1.0)
        });
        if let Some((point, active, masses)) = winter {
            let mass = |mass_kg: f64| pounds_and_ounces(mass_kg).both(units);
            sheet.bullet(&format!(
                "{}: all sets running, {} of its condenser floods at {}: {} gross, {} net (alone, or at least load, it floods more: \
                 `lineset charge`)",
                circuit.set,
                percent(1.0 - active).first(units),
                temperature(celsius(point.outdoor_air_k)).both(units),
                mass(masses.0),
                mass(masses.1)
            ));
        }
    }
}

/// What one tube size either way would change.
fn print_other_tubes(sheet: &mut Sheet, layout: &LayoutView, units: Units) {
    if layout.circuits.iter().all(|circuit| circuit.other_tubes.is_empty()) {
        return;
    }
    let mut grid = Grid::new(&["line", "one size", "tube", "condensing", "capacity", "input"]);
    for circuit in &layout.circuits {
        for other in &circuit.other_tubes {
            grid.row([
                format!("{}, {}", circuit.set, other.service),
                if other.larger { "larger" } else { "smaller" }.to_owned(),
                other.tube.clone(),
                temperature_difference(other.condensing_k).stacked(units),
                power(other.capacity_w).stacked(units),
                electric_power(other.power_w).stacked(units),
            ]);
        }
    }
    sheet.spaced_grid(grid);
}

fn print_lines(sheet: &mut Sheet, layout: &LayoutView, units: Units) {
    if layout.lines.is_empty() {
        return;
    }
    sheet.section("Lines");
    let difference = temperature_difference(0.0);
    let mut grid = Grid::new(&[
        "line".to_owned(),
        "tube".to_owned(),
        with_unit("run", &length(0.0), units),
        with_unit("lift", &length(0.0), units),
        with_unit("drop", &difference, units),
        with_unit("flash margin", &difference, units),
        "checks".to_owned(),
    ]);
    for line in &layout.lines {
        let bare = |figure: Option<Figure>| {
            figure.map_or_else(|| ABSENT.into(), |figure| unbroken(&figure.bare(units)))
        };
        grid.row([
            format!("{} {}", line.set, line.service),
            line.tube.as_deref().map_or_else(|| "none of the stock".into(), one_line),
            bare(Some(length(line.run_m))),
            bare(Some(length(line.lift_m))),
            bare(line.saturated_temperature_drop_k.map(temperature_difference)),
            bare(line.flash_margin_k.map(temperature_difference)),
            verdict_words(line.verdict).into(),
        ]);
    }
    sheet.grid(grid);
}

/// The sets with their loads and inputs.
pub(in crate::document) fn print_loads(sheet: &mut Sheet, sets: &[SetLoadView], units: Units) {
    sheet.section("Loads, at the operating point that the job states");
    let mut columns = Columns::new(sets, units);
    columns.texts("refrigerant", |set| Some(set.refrigerant.clone()));
    columns.figures("capacity", |set| {
        let capacity = power(set.capacity_w);
        Some(set.capacity_band_w.map_or(capacity.clone(), |band| capacity.with_band(&power(band))))
    });
    columns.figures("compressor input", |set| Some(electric_power(set.compressor_input_w)));
    columns.figures("heat to be rejected", |set| Some(power(set.heat_rejection_w)));
    columns.figures("heat against capacity", |set| Some(plain(set.heat_rejection_factor)));
    columns.figures("heat at the start of freeze", |set| set.peak_heat_w.map(power));
    columns.figures("condensing, stated", |set| Some(degrees(set.stated_condensing_k)));
    columns.figures("never above", |set| set.greatest_condensing_k.map(degrees));
    columns.print(sheet, |set| set.name.clone());
    for set in sets {
        sheet.bullet(&format!("{}: load from {}; compressor: {}", set.name, set.load_from, set.compressor));
        let missing = [
            (set.peak_heat_w.is_none(), "heat at the start of freeze", "peak_flow"),
            (set.greatest_condensing_k.is_none(), "greatest condensing temperature", "greatest_condensing"),
        ];
        for (_, what, key) in missing.into_iter().filter(|(absent, _, _)| *absent) {
            sheet.bullet(&format!("{}: {what} not stated: key set.{}.{key}", set.name, set.name));
        }
    }
    for set in sets.iter().filter(|set| !set.echo.is_empty()) {
        print_echo(sheet, &format!("Inputs of {} as understood", set.name), &set.echo, units);
    }
}

fn print_tags(sheet: &mut Sheet, view: &CompareView) {
    if view.tags.is_empty() {
        return;
    }
    sheet.section("Tags, one at each end of every line");
    let mut grid = Grid::new(&["tag", "set", "line", "condenser"]);
    for tag in &view.tags {
        grid.row([tag.tag.clone(), tag.set.clone(), tag.service.clone(), tag.condenser.clone()]);
    }
    sheet.grid(grid);
}

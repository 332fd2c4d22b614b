//! The size sheet.

use super::{
    ABSENT, Grid, Sheet,
    alternatives::{print_alternatives, print_branch, print_kit, print_reducers},
    heat::print_heat,
    oil_return::print_oil_return,
    one_line, print_checks, print_echo, print_list, print_sources, sentence, stacked,
    strength::print_strength,
    unbroken,
};
use crate::{
    document::{
        checks_of, governing,
        shortlist::{Rest, meets, never_meets, reasons, shortlist},
        verdict_words, words,
    },
    figure::{
        Figure, Units, absolute_pressure, diameter, gauge_pressure, length, mass_rate, ounces,
        pressure_difference, temperature, temperature_difference, velocity,
    },
    view::{CandidateView, ConditionView, LineView, SetSizeView, SizeView, VerdictView},
};

/// The answer of `size` for a person: verdict and governing check first, then tubes, checks, conditions, refused
/// tubes, what does not count yet, assumptions, sources and cautions.
#[must_use]
pub fn size_sheet(view: &SizeView, units: Units) -> String {
    let mut sheet = Sheet::default();
    sheet.paragraph(&format!("{}: {}", verdict_words(view.verdict).to_uppercase(), view.job));
    for set in &view.sets {
        print_set(&mut sheet, set, units);
    }
    print_list(&mut sheet, "Not in this sheet", &view.not_contained);
    print_sources(&mut sheet, &view.sources);
    print_list(&mut sheet, "Take care", &view.cautions);
    sheet.finish()
}

fn print_set(sheet: &mut Sheet, set: &SetSizeView, units: Units) {
    let run = length(set.run_m).both(units);
    sheet.heading(&format!("{}, {}, run {run}: {}", set.name, set.refrigerant, verdict_words(set.verdict)));
    print_governing(sheet, set, units);

    print_lines(sheet, set, units);
    print_not_counted(sheet, set);
    print_echo(sheet, "Inputs as understood", &set.echo, units);
    print_list(sheet, "Assumed", &set.assumptions);
}

/// The lines of a set with their checks, the conditions, the stock, and what follows for fittings.
pub(in crate::document) fn print_lines(sheet: &mut Sheet, set: &SetSizeView, units: Units) {
    sheet.section("Tubes");
    sheet.grid(lines_side_by_side(&set.lines, units));

    if !set.checks.is_empty() {
        sheet.section("Checks of the set");
        print_checks(sheet, &set.checks, units);
    }
    if let Some(branch) = &set.branch {
        print_branch(sheet, branch, units);
    }
    for line in &set.lines {
        sheet.section(&format!("Checks of the {} line", line.service));
        print_checks(sheet, &line.checks, units);
        for change in &line.phase_changes {
            sheet.bullet(&change.sentence);
        }
        for remark in &line.remarks {
            sheet.bullet(remark);
        }
        print_oil_return(sheet, line, units);
        print_heat(sheet, line, units);
        print_strength(sheet, line, units);
    }
    print_conditions(sheet, &set.conditions, units);
    for line in set.lines.iter().filter(|line| !line.candidates.is_empty()) {
        print_candidates(sheet, line, units);
        print_alternatives(sheet, line, units);
    }
    print_reducers(sheet, &set.lines, units);
    if let Some(kit) = &set.kit {
        print_kit(sheet, set, kit, units);
    }
}

/// Inputs that were read and do not count.
pub(in crate::document) fn print_not_counted(sheet: &mut Sheet, set: &SetSizeView) {
    let not_counted: Vec<String> = set
        .lines
        .iter()
        .flat_map(|line| line.not_counted.iter().map(move |text| format!("{} line: {text}", line.service)))
        .collect();
    print_list(sheet, "Read from the job, does not count in these numbers yet", &not_counted);
}

/// The check that governs, the tightest one that was made, and how many could not be.
pub(in crate::document) fn print_governing(sheet: &mut Sheet, set: &SetSizeView, units: Units) {
    let service = |line: Option<&LineView>| line.map(|line| line.service.clone());
    if let Some((line, check)) = governing(checks_of(set)) {
        sheet.paragraph(&format!("Governs: {}", sentence(service(line).as_deref(), check, units)));
        // A check that could not be made says nothing on how close the others are.
        if check.verdict == VerdictView::NotChecked
            && let Some((line, check)) =
                governing(checks_of(set).filter(|(_, check)| check.verdict != VerdictView::NotChecked))
        {
            let text = sentence(service(line).as_deref(), check, units);
            sheet.paragraph(&format!("Tightest of the checks that were made: {text}"));
        }
    }
    let missing = checks_of(set).filter(|(_, check)| check.verdict == VerdictView::NotChecked).count();
    match missing {
        0 => {}
        1 => sheet.paragraph("1 check could not be made; it says below what it needs."),
        several => {
            sheet.paragraph(&format!("{several} checks could not be made; they say below what they need."));
        }
    }
}

/// One column a line, one row a property: as many lines as a set has fit beside each other.
fn lines_side_by_side(lines: &[LineView], units: Units) -> Grid {
    let both = |figure: Option<Figure>| figure.map_or_else(|| ABSENT.into(), |figure| figure.both(units));
    let mut grid = Grid::new(
        &std::iter::once("").chain(lines.iter().map(|line| line.service.as_str())).collect::<Vec<_>>(),
    );
    let mut row = |name: &str, cell: &dyn Fn(&LineView) -> String| {
        let cells: Vec<String> = lines.iter().map(cell).collect();
        if cells.iter().any(|cell| cell != ABSENT) {
            grid.row(std::iter::once(name.to_owned()).chain(cells));
        }
    };
    row("tube", &|line| {
        line.tube.as_ref().map_or_else(|| "none of the stock".into(), |tube| tube.name.clone())
    });
    row("plumber's nominal", &|line| {
        line.tube.as_ref().and_then(|tube| tube.nominal.clone()).unwrap_or_else(|| ABSENT.into())
    });
    row("product", &|line| line.tube.as_ref().map_or_else(|| ABSENT.into(), |tube| tube.product.clone()));
    row("taken by", &|line| if line.chosen_by_tool { "choice of lineset" } else { "the job file" }.into());
    row("allowable length", &|line| taken(line).map_or_else(|| ABSENT.into(), |tube| reach(tube, units)));
    row("stopped there by", &|line| {
        taken(line).and_then(|tube| tube.stopped_by.as_deref()).map_or_else(|| ABSENT.into(), words)
    });
    row("bore", &|line| both(line.tube.as_ref().map(|tube| diameter(tube.bore_mm))));
    row("run", &|line| both(Some(length(line.run_m))));
    row("equivalent length", &|line| both(line.equivalent_length_m.map(length)));
    row("lift", &|line| lift(line, units));
    row("greatest velocity", &|line| both(line.velocity_max_m_s.map(velocity)));
    row("pressure drop", &|line| match line.pressure_drop_pa {
        // What a falling line gains by height can be more than it loses by friction.
        Some(drop) if drop < 0.0 => format!("gains {}", pressure_difference(-drop).both(units)),
        drop => both(drop.map(pressure_difference)),
    });
    row("of it friction", &|line| both(line.friction_drop_pa.map(pressure_difference)));
    row("saturated temperature drop", &|line| {
        both(line.saturated_temperature_drop_k.map(temperature_difference))
    });
    row("least flash margin", &|line| both(line.flash_margin_k.map(temperature_difference)));
    row("refrigerant held", &|line| both(line.charge_kg.map(ounces)));
    grid
}

/// `rises 20 ft (6.1 m)`, `falls ...`, `level`.
pub(in crate::document) fn lift(line: &LineView, units: Units) -> String {
    match line.lift_m {
        lift if length(lift) == length(0.0) => "level".into(),
        lift if lift < 0.0 => format!("falls {}", length(-lift).both(units)),
        lift => format!("rises {}", length(lift).both(units)),
    }
}

fn print_conditions(sheet: &mut Sheet, conditions: &[ConditionView], units: Units) {
    if conditions.is_empty() {
        return;
    }
    sheet.section("Conditions");
    let mut grid = Grid::new(&[
        "condition",
        "bubble",
        "dew",
        "condenser pressure",
        "discharge gas",
        "liquid",
        "mass rate",
    ]);
    for condition in conditions.iter().filter(|condition| condition.missing.is_none()) {
        grid.row([
            condition.name.clone(),
            stacked(condition.condensing_bubble_c.map(temperature), units),
            stacked(condition.condensing_dew_c.map(temperature), units),
            stacked(pressure_at_condenser(condition), units),
            stacked(condition.discharge_gas_c.map(temperature), units),
            stacked(condition.liquid_c.map(temperature), units),
            stacked(condition.mass_rate_kg_s.map(mass_rate), units),
        ]);
    }
    sheet.spaced_grid(grid);
    for condition in conditions {
        if let Some(missing) = &condition.missing {
            sheet.bullet(&format!("{}: can not be formed, needs {missing}", condition.name));
        }
    }
}

/// As a gauge reads it, where the site is known.
fn pressure_at_condenser(condition: &ConditionView) -> Option<Figure> {
    let gauge = condition.condensing_gauge_pa.map(gauge_pressure);
    gauge.or_else(|| condition.condensing_pressure_pa.map(absolute_pressure))
}

fn print_candidates(sheet: &mut Sheet, line: &LineView, units: Units) {
    sheet.section(&format!(
        "Stocked tubes for the {} line, run {}",
        line.service,
        length(line.run_m).both(units)
    ));
    let header = |what: &str, us: &str, si: &str| match units {
        Units::Us => format!("{what}, {us} ({si})"),
        Units::Si => format!("{what}, {si} ({us})"),
    };
    let mut grid = Grid::new(&[
        "tube".to_owned(),
        header("allowable length", "ft", "m"),
        "stopped by".to_owned(),
        header("velocity", "ft/min", "m/s"),
        header("drop", "°F", "K"),
        "at this run".to_owned(),
    ]);
    let list = shortlist(&line.candidates);
    for shown in &list.shown {
        let candidate = shown.candidate;
        let bare = |figure: Option<Figure>| {
            figure.map_or_else(|| ABSENT.into(), |figure| unbroken(&figure.bare(units)))
        };
        grid.row([
            one_line(&shown.name),
            match candidate.allowable_length_m.map(length) {
                None if never_meets(candidate) => "none".into(),
                Some(figure) if candidate.not_limited => format!("over {}", unbroken(&figure.bare(units))),
                figure => bare(figure),
            },
            candidate.stopped_by.as_deref().map_or_else(|| ABSENT.into(), short),
            bare(candidate.velocity_max_m_s.map(velocity)),
            bare(candidate.saturated_temperature_drop_k.map(temperature_difference)),
            at_this_run(candidate),
        ]);
    }
    sheet.grid(grid);
    for rest in list.narrower.iter().chain(&list.wider) {
        sheet.bullet(&Rest::sentence(rest));
    }
}

fn taken(line: &LineView) -> Option<&CandidateView> {
    line.candidates.iter().find(|candidate| candidate.chosen)
}

fn reach(candidate: &CandidateView, units: Units) -> String {
    match candidate.allowable_length_m.map(length) {
        None if never_meets(candidate) => "none: never meets".into(),
        None => ABSENT.into(),
        Some(figure) if candidate.not_limited => format!("over {}", figure.both(units)),
        Some(figure) => figure.both(units),
    }
}

/// The check in a word or two; the column of the drop says which drop.
pub(super) fn short(kind: &str) -> String {
    if kind == "saturated-temperature-drop" { "drop".into() } else { words(kind) }
}

fn at_this_run(candidate: &CandidateView) -> String {
    // The check that stops the tube stands beside already.
    let others: Vec<String> = reasons(candidate)
        .into_iter()
        .filter(|reason| Some(*reason) != candidate.stopped_by.as_deref())
        .map(short)
        .collect();
    let also = if others.is_empty() { String::new() } else { format!(", also {}", others.join(", ")) };
    let bad = if candidate.verdict == VerdictView::TooCloseToCall { "too close" } else { "fails" };
    match (candidate.chosen, meets(candidate)) {
        (true, true) => "taken".into(),
        (true, false) => format!("taken, {bad}{also}"),
        (false, true) => "meets".into(),
        (false, false) => format!("{bad}{also}"),
    }
}

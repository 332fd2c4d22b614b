//! The charge sheet.

use super::{ABSENT, Grid, Sheet, budget, capital, one_line, print_list, print_sources, sentence};
use crate::{
    document::shortlist::{either_form, place, same_section, sizes},
    figure::{
        Figure, Units, density, diameter, gauge_pressure, length, mass_per_length, ounces, pounds_and_ounces,
        pressure, temperature,
    },
    view::{ChargeView, LineChargeView, SetChargeView, TubeChargeView},
};

/// The answer of `charge` for a person: the first lines say how much to add, the total, whether that is allowed and when
/// to stop, and whether the run is within the maker's.
#[must_use]
pub fn charge_sheet(view: &ChargeView, units: Units) -> String {
    let mut sheet = Sheet::default();
    for set in &view.sets {
        let whose = if view.sets.len() > 1 { format!("{}: ", set.name) } else { String::new() };
        sheet.paragraph(&format!("{whose}{}", headline(set, units)));
        sheet.paragraph(&format!("{whose}{}", total(view, set, units)));
        for line in set.budget.iter().flat_map(budget::may_i) {
            sheet.paragraph(&format!("{whose}{line}"));
        }
        for check in set.checks.iter().filter(|check| set.budget.is_none() || check.kind == RUN) {
            sheet.paragraph(&format!("{whose}{}", capital(&sentence(None, check, units))));
        }
    }
    if let Some(job) = &view.job {
        sheet.gap();
        sheet.paragraph(job);
    }
    for set in &view.sets {
        print_set(&mut sheet, set, units);
    }
    print_list(&mut sheet, "Not in this sheet", &view.not_contained);
    print_sources(&mut sheet, &view.sources);
    print_list(&mut sheet, "Take care", &view.cautions);
    sheet.finish()
}

/// The check that stands with the four numbers: the run against the maker's longest.
const RUN: &str = "run";

/// What to weigh in: ounces and kilograms with their band, pounds and ounces beside.
pub(in crate::document) fn headline(set: &SetChargeView, units: Units) -> String {
    let Some(of_lines) = set.added_charge_kg else {
        return format!("Charge to add is not known. {}", set.how);
    };
    let winter = set.budget.as_ref().map_or(Some(0.0), |budget| budget.winter.added_kg);
    let added = of_lines + winter.unwrap_or(0.0);
    let what = match winter {
        None => " for the lines; WHAT WINTER TAKES IS NOT KNOWN",
        Some(winter) if ounces(winter) != ounces(0.0) => " for lines and winter",
        Some(_) => "",
    };
    if ounces(added) == ounces(0.0) {
        return format!("ADD NOTHING{what}");
    }
    let mass = with_band(ounces(added.abs()), set.band_kg.map(ounces));
    let verb = if added < 0.0 { "TAKE OUT" } else { "ADD" };
    let in_pounds = pounds_and_ounces(added.abs()).us;
    let in_pounds =
        if in_pounds == ounces(added.abs()).us { String::new() } else { format!(": {in_pounds}") };
    format!("{verb} {} of {}{in_pounds}{what}", mass.both(units), set.refrigerant)
}

/// The charge with all that is added, or what is missing for it.
pub(in crate::document) fn total(view: &ChargeView, set: &SetChargeView, units: Units) -> String {
    if let Some(total) = set.total_charge_kg {
        return format!("Total charge {}", pounds_and_ounces(total).both(units));
    }
    if let Some(question) = set.budget.as_ref().and_then(|budget| budget.winter.question.as_ref()) {
        return format!("Total not known: {question}");
    }
    if set.factory_charge_kg.is_some() {
        return "Total not known: the charge to add is not known".to_owned();
    }
    let key = if view.job.is_some() { "maker.factory_charge" } else { "--factory-charge" };
    format!("Total not known: the factory charge is not stated ({key})")
}

fn with_band(mass: Figure, band: Option<Figure>) -> Figure {
    band.map_or(mass.clone(), |band| mass.with_band(&band))
}

/// One set: sums, budget, rates.
pub(in crate::document) fn print_set(sheet: &mut Sheet, set: &SetChargeView, units: Units) {
    sheet.heading(&format!("{}, {}, run {}", set.name, set.refrigerant, length(set.run_m).both(units)));
    print_sums(sheet, set, units);
    if let Some(budget) = &set.budget {
        budget::print_budget(sheet, set, budget, units);
    }
    sheet.section("Covered by the factory charge against this run");
    sheet.grid(covered_against_this(set, units));

    sheet.section("Charge per length");
    print_rates(sheet, &set.lines, units);
    if set.lines.iter().any(|line| line.used != COMPUTED) {
        sheet.section("Added charge, computed and by the maker's rate");
        sheet.grid(computed_and_by_maker(set, units));
    }
    if !set.by_tube.is_empty() {
        sheet.section("Charge per length by tube at this condition");
        print_by_tube(sheet, set, units);
    }
    let assumptions: Vec<String> = set
        .assumptions
        .iter()
        .map(|assumption| match &*assumption.change_with {
            "" => assumption.what.clone(),
            key => format!("{} (change with {key})", assumption.what),
        })
        .collect();
    print_list(sheet, "Assumed", &assumptions);
    print_list(sheet, "Remarks", &set.remarks);
}

/// What `used` says of a line without a rate of the maker.
const COMPUTED: &str = "computed";

/// The tubes from two sizes below to two sizes above those in use; coil and straight lengths of one bore once.
fn print_by_tube(sheet: &mut Sheet, set: &SetChargeView, units: Units) {
    const BESIDE: usize = 2;
    let sizes = sizes(set.by_tube.iter().map(|row| &row.tube));
    let used: Vec<usize> = set.lines.iter().map(|line| place(&sizes, line.tube.od_mm)).collect();
    let first = used.iter().min().map_or(0, |least| least.saturating_sub(BESIDE));
    let last = used.iter().max().map_or(usize::MAX, |greatest| greatest + BESIDE);
    let mut shown: Vec<(String, &TubeChargeView)> = Vec::new();
    let mut left_out = 0;
    for row in &set.by_tube {
        if !(first..=last).contains(&place(&sizes, row.tube.od_mm)) {
            left_out += 1;
            continue;
        }
        match shown.last_mut().filter(|(_, before)| same_section(&before.tube, &row.tube)) {
            Some((name, _)) => *name = either_form(name, &row.tube.name),
            None => shown.push((row.tube.name.clone(), row)),
        }
    }
    let rate =
        |rate: Option<f64>| rate.map_or_else(|| ABSENT.into(), |rate| mass_per_length(rate).both(units));
    let mut grid = Grid::new(&["tube", "bore", "discharge", "liquid", "suction"]);
    for (name, row) in shown {
        grid.row([
            one_line(&name),
            diameter(row.tube.bore_mm).both(units),
            rate(row.discharge_kg_m),
            rate(row.liquid_kg_m),
            rate(row.suction_kg_m),
        ]);
    }
    sheet.grid(grid);
    if left_out > 0 {
        sheet.bullet(&format!("{left_out} tubes of other sizes: --format csv"));
    }
}

fn covered_against_this(set: &SetChargeView, units: Units) -> Grid {
    let both = |figure: Figure| figure.both(units);
    let mut grid = Grid::new(&["", "covered", "this", "difference"]);
    grid.row([
        "run".into(),
        set.covered_run_m.map_or_else(|| "not stated".into(), |covered| both(length(covered))),
        both(length(set.run_m)),
        set.covered_run_m.map_or_else(|| ABSENT.into(), |covered| both(length(set.run_m - covered))),
    ]);
    for line in &set.lines {
        let same = line.tube == line.covered_tube;
        grid.row([
            format!("{} tube", line.service),
            line.covered_tube.name.clone(),
            line.tube.name.clone(),
            if same { "same tube".into() } else { "another tube".into() },
        ]);
    }
    for line in &set.lines {
        grid.row([
            format!("{} holds", line.service),
            both(ounces(line.covered_kg)),
            both(ounces(line.this_run_kg)),
            both(ounces(line.computed_added_kg)),
        ]);
    }
    grid
}

fn print_rates(sheet: &mut Sheet, lines: &[LineChargeView], units: Units) {
    let header: Vec<&str> =
        std::iter::once("").chain(lines.iter().map(|line| line.service.as_str())).collect();
    let mut grid = Grid::new(&header);
    let mut row = |name: &str, cell: &dyn Fn(&LineChargeView) -> String| {
        grid.row(std::iter::once(name.to_owned()).chain(lines.iter().map(cell)));
    };
    row("computed", &|line| mass_per_length(line.charge_per_metre_kg_m).both(units));
    if lines.iter().any(|line| line.tube.bore_mm != line.covered_tube.bore_mm) {
        row("computed, covered tube", &|line| {
            mass_per_length(line.covered_charge_per_metre_kg_m).both(units)
        });
    }
    if lines.iter().any(|line| line.maker_rate_kg_m.is_some()) {
        row("the maker states", &|line| {
            line.maker_rate_kg_m.map_or_else(|| "nothing".into(), |rate| mass_per_length(rate).both(units))
        });
    }
    if lines.iter().any(|line| line.used != COMPUTED) {
        row("used", &|line| line.used.clone());
    }
    row("mean density", &|line| density(line.density_kg_m3).both(units));
    row("temperature", &|line| temperature(line.temperature_c).both(units));
    if lines.iter().all(|line| line.gauge_pa.is_some()) {
        row("pressure", &|line| {
            line.gauge_pa.map_or_else(|| ABSENT.into(), |gauge| gauge_pressure(gauge).both(units))
        });
    } else {
        row("absolute pressure", &|line| pressure(line.pressure_pa).both(units));
    }
    row("bore", &|line| diameter(line.tube.bore_mm).both(units));
    sheet.grid(grid);
    sheet.bullet(
        "density is the mean along the line; temperature and pressure are those where a discharge line ends and any other \
         begins",
    );
}

/// Factory charge, added charge and their sum, in every unit a scale may show.
fn print_sums(sheet: &mut Sheet, set: &SetChargeView, units: Units) {
    let oz = |mass: f64| ounces(mass).us;
    let mut grid = Grid::new(match units {
        Units::Us => &["", "oz", "lb and oz", "kg"],
        Units::Si => &["", "kg", "oz", "lb and oz"],
    });
    let mut row = |name: &str, mass: Option<f64>, band: Option<f64>| {
        let Some(mass) = mass else { return };
        let Figure { us, si } = with_band(ounces(mass), band.map(ounces));
        let pounds = match band {
            Some(band) => format!("{} ± {}", pounds_and_ounces(mass).us, oz(band)),
            None => pounds_and_ounces(mass).us,
        };
        grid.row(match units {
            Units::Us => [name.into(), us, pounds, si],
            Units::Si => [name.into(), si, us, pounds],
        });
    };
    row("factory charge", set.factory_charge_kg, None);
    let winter = set.budget.as_ref().and_then(|budget| budget.winter.added_kg).filter(|added| *added != 0.0);
    row(
        if winter.is_some() { "added for the lines" } else { "added charge" },
        set.added_charge_kg,
        set.band_kg,
    );
    row("added for winter", winter, None);
    row("total charge", set.total_charge_kg, set.total_charge_kg.and(set.band_kg));
    sheet.grid(grid);
    if set.band_kg.is_some() {
        sheet.bullet("± is the half-width of the 95 % band");
    }
    if set.added_charge_kg.is_some() {
        sheet.bullet(&set.how);
    }
}

fn computed_and_by_maker(set: &SetChargeView, units: Units) -> Grid {
    let mut grid = Grid::new(&["", "added", "computed", "by the maker's rate", "used"]);
    let cell = |mass: Option<f64>| mass.map_or_else(|| ABSENT.into(), |mass| ounces(mass).both(units));
    for line in &set.lines {
        grid.row([
            line.service.clone(),
            cell(Some(line.added_kg)),
            cell(Some(line.computed_added_kg)),
            cell(line.maker_added_kg),
            line.used.clone(),
        ]);
    }
    grid.row([
        "all lines".into(),
        cell(set.added_charge_kg),
        cell(set.computed_added_kg),
        ABSENT.into(),
        String::new(),
    ]);
    grid
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn first_lines(change: impl FnOnce(&mut SetChargeView)) -> [String; 2] {
        let mut view = sample::charge();
        change(&mut view.sets[0]);
        let sheet = charge_sheet(&view, Units::Us);
        [0, 1].map(|line| sheet.lines().nth(line).unwrap().to_owned())
    }

    #[test]
    fn the_first_lines_are_the_answer() {
        type Change = fn(&mut SetChargeView);
        let cases: [(Change, [&str; 2]); 3] = [
            (
                |_| (),
                [
                    "ADD 17.7 ± 1.4 oz (0.503 ± 0.041 kg) of R-449A: 1 lb 1.7 oz",
                    "Total charge 12 lb 7.7 oz (5.663 kg)",
                ],
            ),
            (
                |set| (set.added_charge_kg, set.total_charge_kg) = (Some(0.0), Some(5.0)),
                ["ADD NOTHING", "Total charge 11 lb 0.4 oz (5.000 kg)"],
            ),
            (
                |set| {
                    (set.added_charge_kg, set.band_kg) = (Some(-0.1), None);
                    (set.total_charge_kg, set.factory_charge_kg) = (None, None);
                },
                [
                    "TAKE OUT 3.5 oz (0.100 kg) of R-449A",
                    "Total not known: the factory charge is not stated (maker.factory_charge)",
                ],
            ),
        ];
        for (change, lines) in cases {
            assert_eq!(first_lines(change), lines);
        }
        assert!(first_lines(|set| set.added_charge_kg = None)[0].starts_with("Charge to add is not known. "));
    }

    #[test]
    fn a_maker_that_states_no_rate_leaves_no_column_for_it() {
        let mut view = sample::charge();
        for line in &mut view.sets[0].lines {
            (line.maker_rate_kg_m, line.maker_added_kg) = (None, None);
            line.used = COMPUTED.into();
        }
        let sheet = charge_sheet(&view, Units::Us);
        assert!(!sheet.contains("the maker states") && !sheet.contains("by the maker's rate"), "{sheet}");
        assert!(charge_sheet(&sample::charge(), Units::Us).contains("by the maker's rate"));
    }

    #[test]
    fn the_table_by_tube_keeps_to_the_sizes_in_use() {
        let mut view = sample::charge();
        let set = &mut view.sets[0];
        let template = set.by_tube[0].clone();
        for (name, od_mm) in [("7/8 in OD", 22.2), ("1-1/8 in OD", 28.6), ("1-3/8 in OD", 34.9)] {
            for form in ["coil", "straight"] {
                let tube = sample::tube(&format!("{name} {form}"), od_mm, od_mm - 2.0);
                set.by_tube.push(TubeChargeView { tube, ..template.clone() });
            }
        }
        let sheet = charge_sheet(&view, Units::Us);
        assert!(
            sheet.contains("\n7/8 in OD  "),
            "coil and straight lengths of one bore are one row\n{sheet}"
        );
        assert!(
            !sheet.contains("1-1/8 in OD") && sheet.contains("4 tubes of other sizes: --format csv"),
            "{sheet}"
        );
    }
}

//! The charge sheet.

use super::{ABSENT, Grid, Sheet, print_checks, print_list, print_sources, sentence, unbroken};
use crate::{
    document::governing,
    figure::{
        Figure, Units, density, diameter, length, mass_per_length, ounces, pounds_and_ounces, pressure,
        temperature,
    },
    view::{ChargeView, LineChargeView, SetChargeView, VerdictView},
};

/// The answer of `charge` for a person: the first line says how much to add and the total.
#[must_use]
pub fn charge_sheet(view: &ChargeView, units: Units) -> String {
    let mut sheet = Sheet::default();
    for set in &view.sets {
        let whose = if view.sets.len() > 1 { format!("{}: ", set.name) } else { String::new() };
        sheet.paragraph(&format!("{whose}{}", headline(set, units)));
    }
    if let Some(job) = &view.job {
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

fn headline(set: &SetChargeView, units: Units) -> String {
    let add = match set.added_charge_kg {
        None => return format!("Charge to add is not known. {}", set.how),
        Some(added) if ounces(added) == ounces(0.0) => "ADD NOTHING".to_owned(),
        Some(added) if added < 0.0 => {
            format!("TAKE OUT {} of {}", ounces(-added).both(units), set.refrigerant)
        }
        Some(added) => format!("ADD {} of {}", ounces(added).both(units), set.refrigerant),
    };
    match set.total_charge_kg {
        Some(total) => format!("{add}; total charge {}", pounds_and_ounces(total).both(units)),
        None => format!("{add}; total not known: the factory charge is not stated"),
    }
}

fn print_set(sheet: &mut Sheet, set: &SetChargeView, units: Units) {
    sheet.heading(&format!("{}, {}, run {}", set.name, set.refrigerant, length(set.run_m).both(units)));
    if let Some(((), check)) = governing(set.checks.iter().map(|check| ((), check)))
        && check.verdict != VerdictView::Meets
    {
        sheet.paragraph(&format!("Look out: {}", sentence(None, check, units)));
    }
    sheet.section("Covered by the factory charge against this run");
    sheet.grid(covered_against_this(set, units));

    sheet.section("Charge per length");
    print_rates(sheet, &set.lines, units);

    sheet.section("Added charge");
    print_added(sheet, set, units);

    if !set.by_tube.is_empty() {
        sheet.section("Charge per length by tube at this condition");
        let mut grid = Grid::new(&["tube", "bore", "discharge", "liquid", "suction"]);
        for row in &set.by_tube {
            let rate = |rate: Option<f64>| {
                rate.map_or_else(|| ABSENT.into(), |rate| mass_per_length(rate).both(units))
            };
            grid.row([
                unbroken(&row.tube.name),
                diameter(row.tube.bore_mm).both(units),
                rate(row.discharge_kg_m),
                rate(row.liquid_kg_m),
                rate(row.suction_kg_m),
            ]);
        }
        sheet.grid(grid);
    }
    if !set.checks.is_empty() {
        sheet.section("Checks");
        print_checks(sheet, &set.checks, units);
    }
    let assumptions: Vec<String> = set
        .assumptions
        .iter()
        .map(|assumption| format!("{} (change with {})", assumption.what, assumption.change_with))
        .collect();
    print_list(sheet, "Assumed", &assumptions);
    print_list(sheet, "Remarks", &set.remarks);
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
    row("mean density", &|line| density(line.density_kg_m3).both(units));
    row("temperature", &|line| temperature(line.temperature_c).both(units));
    row("absolute pressure", &|line| pressure(line.pressure_pa).both(units));
    row("bore", &|line| diameter(line.tube.bore_mm).both(units));
    if lines.iter().any(|line| line.tube != line.covered_tube) {
        row("computed, covered tube", &|line| {
            mass_per_length(line.covered_charge_per_metre_kg_m).both(units)
        });
    }
    row("the maker states", &|line| {
        line.maker_rate_kg_m.map_or_else(|| "nothing".into(), |rate| mass_per_length(rate).both(units))
    });
    row("used", &|line| line.used.clone());
    sheet.grid(grid);
}

fn print_added(sheet: &mut Sheet, set: &SetChargeView, units: Units) {
    sheet.paragraph(&set.how);
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
    sheet.grid(grid);

    sheet.gap();
    let mut grid = Grid::new(&["", "kg", "lb and oz", "oz"]);
    let mut row = |name: &str, mass: Option<f64>, band: Option<f64>| {
        let Some(mass) = mass else { return };
        let with = |text: String, band: Option<String>| match band {
            Some(band) => format!("{text} ± {band}"),
            None => text,
        };
        grid.row([
            name.into(),
            with(ounces(mass).si, band.map(|band| ounces(band).si)),
            with(pounds_and_ounces(mass).us, band.map(|band| pounds_and_ounces(band).us)),
            with(ounces(mass).us, band.map(|band| ounces(band).us)),
        ]);
    };
    row("factory charge", set.factory_charge_kg, None);
    row("added charge", set.added_charge_kg, set.band_kg);
    row("total charge", set.total_charge_kg, set.total_charge_kg.and(set.band_kg));
    sheet.grid(grid);
    if set.band_kg.is_some() {
        sheet.bullet("± is the half-width of the 95 % band");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn first_line(change: impl FnOnce(&mut SetChargeView)) -> String {
        let mut view = sample::charge();
        change(&mut view.sets[0]);
        charge_sheet(&view, Units::Us).lines().next().unwrap().to_owned()
    }

    #[test]
    fn the_first_line_is_the_answer() {
        assert_eq!(
            first_line(|_| ()),
            "ADD 17.7 oz (0.503 kg) of R-449A; total charge 12 lb 7.7 oz (5.663 kg)"
        );
        assert_eq!(
            first_line(|set| (set.added_charge_kg, set.total_charge_kg) = (Some(0.0), Some(5.0))),
            "ADD NOTHING; total charge 11 lb 0.4 oz (5.000 kg)"
        );
        assert_eq!(
            first_line(|set| (set.added_charge_kg, set.total_charge_kg) = (Some(-0.1), None)),
            "TAKE OUT 3.5 oz (0.100 kg) of R-449A; total not known: the factory charge is not"
        );
        assert!(first_line(|set| set.added_charge_kg = None).starts_with("Charge to add is not known. "));
    }
}

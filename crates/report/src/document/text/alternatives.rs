//! One size either way, reducers, the branch of a flooding valve, ready-made tube sets.

use super::{ABSENT, Grid, Sheet, size::short, unbroken};
use crate::{
    document::verdict_words,
    figure::{Figure, Units, diameter, length, ounces, pressure_difference, temperature_difference},
    view::{AlternativeView, BranchView, KitView, LineView, ReducerView, SetSizeView},
};

/// The next smaller size, the tube taken and the next larger size; nothing where no tube is taken.
pub(super) fn print_alternatives(sheet: &mut Sheet, line: &LineView, units: Units) {
    if line.alternatives.len() < 2 {
        return;
    }
    sheet.section(&format!("One size either way, {} line", line.service));
    let header = |what: &str, us: &str, si: &str| match units {
        Units::Us => format!("{what}, {us} ({si})"),
        Units::Si => format!("{what}, {si} ({us})"),
    };
    let mut grid = Grid::new(&[
        "tube".to_owned(),
        header("held", "oz", "kg"),
        header("drop", "°F", "K"),
        header("flash margin", "°F", "K"),
        header("copper", "lb", "kg"),
        "verdict".to_owned(),
    ]);
    for alternative in &line.alternatives {
        let bare = |figure: Option<Figure>| {
            figure.map_or_else(|| ABSENT.into(), |figure| unbroken(&figure.bare(units)))
        };
        grid.row([
            // Beside six columns there is no room to keep a name with its wall on one line.
            unbroken(&alternative.tube.name),
            bare(alternative.charge_kg.map(ounces)),
            bare(alternative.saturated_temperature_drop_k.map(temperature_difference)),
            bare(alternative.flash_margin_k.map(temperature_difference)),
            bare(Some(weight(alternative.copper_kg))),
            verdict(alternative),
        ]);
    }
    sheet.grid(grid);
    for alternative in line.alternatives.iter().filter(|alternative| alternative.which != "taken") {
        sheet.bullet(&changes(alternative, units));
    }
}

/// With tenths: copper is not weighed in.
fn weight(mass_kg: f64) -> Figure {
    Figure { us: format!("{:.1} lb", mass_kg / 0.453_592_37), si: format!("{mass_kg:.1} kg") }
}

fn verdict(alternative: &AlternativeView) -> String {
    let verdict = verdict_words(alternative.verdict);
    let taken = if alternative.which == "taken" { "taken: " } else { "" };
    let reasons: Vec<String> = alternative.refused_by.iter().map(|kind| short(kind)).collect();
    match reasons.as_slice() {
        [] => format!("{taken}{verdict}"),
        _ => format!("{taken}{verdict}, {}", reasons.join(", ")),
    }
}

/// `5/8 in OD in place of it: 3.2 oz more refrigerant, 1.0 °F less drop, 3.1 lb more copper`.
fn changes(alternative: &AlternativeView, units: Units) -> String {
    let signed = |change: f64, figure: fn(f64) -> Figure, what: &str| {
        let amount = figure(change.abs()).both(units);
        let way = if change < 0.0 { "less" } else { "more" };
        format!("{amount} {way} {what}")
    };
    let parts: Vec<String> = [
        alternative.charge_change_kg.map(|change| signed(change, ounces, "refrigerant")),
        alternative.drop_change_k.map(|change| signed(change, temperature_difference, "drop")),
        Some(signed(alternative.copper_change_kg, weight, "copper")),
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("{} against the tube taken: {}", alternative.tube.name, parts.join(", "))
}

/// The reducers of all lines, for the list of material.
pub(super) fn print_reducers(sheet: &mut Sheet, lines: &[LineView], units: Units) {
    let all: Vec<(&LineView, &ReducerView)> =
        lines.iter().flat_map(|line| line.reducers.iter().map(move |reducer| (line, reducer))).collect();
    if all.is_empty() {
        return;
    }
    sheet.section("Reducers to the connections");
    for (line, reducer) in all {
        let Some(tube) = &line.tube else { continue };
        let bores = [&reducer.connection, tube].map(|tube| diameter(tube.bore_mm).both(units));
        sheet.bullet(&format!(
            "{} line at the {}: {} reducer {} to {} (bores {} to {})",
            line.service, reducer.at, reducer.count, reducer.connection.name, tube.name, bores[0], bores[1]
        ));
    }
}

/// Each leg of the sum that the bypass sees.
pub(super) fn print_branch(sheet: &mut Sheet, branch: &BranchView, units: Units) {
    sheet.section(&format!(
        "Pressure across the bypass of the flooding valve at the {}, {}",
        branch.valve_at, branch.condition
    ));
    let mut grid = Grid::new(&["leg", "pressure difference"]);
    let mut row = |name: &str, pressure_pa: f64| {
        grid.row([name.to_owned(), pressure_difference(pressure_pa).both(units)]);
    };
    if branch.valve_at == "head" {
        row("discharge line, all effects", branch.discharge_line_pa);
    }
    row("coil of the condenser", branch.coil_pa);
    if branch.valve_at == "head" {
        row("return line, friction", branch.return_friction_pa);
        row("return line, height (negative: regained)", branch.return_height_pa);
    }
    row("sum across the bypass", branch.total_pa);
    row("the bypass opens at", branch.opens_at_pa);
    row("left to it", branch.margin_pa);
    sheet.grid(grid);
}

/// The ready-made tube set and the lines at its length.
pub(super) fn print_kit(sheet: &mut Sheet, set: &SetSizeView, kit: &KitView, units: Units) {
    let offered: Vec<String> = kit.offered_m.iter().map(|offered| length(*offered).both(units)).collect();
    sheet.section(&format!("Ready-made tube sets on offer for {}: {}", set.name, offered.join(", ")));
    for sentence in &kit.advice {
        sheet.bullet(sentence);
    }
    for line in &kit.lines {
        let drop = line
            .saturated_temperature_drop_k
            .map(|drop| format!(", saturated temperature drop {}", temperature_difference(drop).both(units)));
        let margin = line
            .flash_margin_k
            .map(|margin| format!(", flash margin {}", temperature_difference(margin).both(units)));
        let verdict = match line.refused_for.as_slice() {
            [] => verdict_words(line.verdict).to_owned(),
            reasons => reasons.join("; "),
        };
        sheet.bullet(&format!(
            "{} line, {}, at that length{}{}: {verdict}",
            line.service,
            line.tube.name,
            drop.unwrap_or_default(),
            margin.unwrap_or_default()
        ));
    }
}

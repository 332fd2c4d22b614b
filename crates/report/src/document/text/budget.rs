//! The charge budget in the charge sheet: its four numbers, then what each stands on.

use super::{ABSENT, Grid, Sheet, capital, print_list, sentence};
use crate::{
    figure::{
        Figure, Units, conductance, density, gauge_pressure, heat, ounces, percent, pounds_and_ounces,
        temperature,
    },
    view::{BudgetView, FanInWinterView, FloodedView, NoticeView, ReceiverView, SetChargeView},
};

/// The third and the fourth number: may I, and when to stop.
pub(in crate::document) fn may_i(budget: &BudgetView) -> [String; 2] {
    let allowed = &budget.allowed;
    [
        format!("MAY I? {}: {}", allowed.answer.to_uppercase(), allowed.why),
        format!("STOP once {}", budget.stop),
    ]
}

/// All that the four numbers stand on.
pub(super) fn print_budget(sheet: &mut Sheet, set: &SetChargeView, budget: &BudgetView, units: Units) {
    sheet.section("Where the charge is");
    sheet.grid(parts(budget, units));
    for part in &budget.parts {
        sheet.bullet(&format!("{}: {}", part.part, part.how));
    }
    sheet.section("Winter");
    sheet.bullet(&budget.winter.why);
    if let Some(question) = &budget.winter.question {
        sheet.bullet(&format!("TO ASK: {question}"));
    }
    if let Some(fans) = &budget.winter.fans {
        print_fans(sheet, fans, units);
    }
    sheet.grid(winter(budget, units));
    print_curve(sheet, &budget.winter.curve, units);
    if let Some(receiver) = &budget.receiver {
        print_receiver(sheet, receiver, units);
    }
    print_standstill(sheet, budget, units);
    if !set.checks.is_empty() {
        sheet.section("Checks of the charge");
        for check in &set.checks {
            let source =
                if check.source.is_empty() { String::new() } else { format!(" Limit: {}.", check.source) };
            sheet.bullet(&format!("{}{source}", capital(&sentence(None, check, units))));
            for remark in &check.remarks {
                sheet.bullet(&capital(remark));
            }
        }
    }
    if !budget.notices.is_empty() {
        sheet.section("Rules on leaks (each with its date; confirm before it counts)");
        for notice in &budget.notices {
            sheet.bullet(&notice_words(notice, units));
        }
    }
    print_list(sheet, "Charging", &charging(budget, units));
}

fn parts(budget: &BudgetView, units: Units) -> Grid {
    let mut grid = Grid::new(&["part", "at least", "at most"]);
    let cell = |mass: Option<f64>| mass.map_or_else(|| ABSENT.into(), |mass| ounces(mass).both(units));
    for part in &budget.parts {
        grid.row([part.part.clone(), cell(part.low_kg), cell(part.high_kg)]);
    }
    if let Some(total) = budget.total_kg {
        grid.row(["all of it".into(), cell(Some(total)), cell(Some(total))]);
    }
    grid
}

/// The flooded condenser in the coldest air, beside that which the plate covers.
fn winter(budget: &BudgetView, units: Units) -> Grid {
    let columns: Vec<(&str, FloodedView)> = [
        ("coldest air", budget.winter.at_lowest_air),
        ("covered by the plate", budget.winter.at_covered_winter),
    ]
    .into_iter()
    .filter_map(|(name, flooded)| Some((name, flooded?)))
    .collect();
    let header: Vec<&str> = std::iter::once("").chain(columns.iter().map(|(name, _)| *name)).collect();
    let mut grid = Grid::new(&header);
    if columns.is_empty() {
        return grid;
    }
    let mut row = |name: &str, cell: &dyn Fn(&FloodedView) -> Figure| {
        let cells = columns.iter().map(|(_, flooded)| cell(flooded).both(units));
        grid.row(std::iter::once(name.to_owned()).chain(cells));
    };
    row("air", &|flooded| temperature(flooded.air_c));
    row("held, mid temperature", &|flooded| temperature(flooded.held_c));
    row("heat to reject", &|flooded| heat(flooded.heat_rejection_w));
    row("heat of the coil", &|flooded| conductance(flooded.conductance_w_k));
    row("inside volume", &|flooded| volume(flooded.coil_volume_m3));
    row("flooded share", &|flooded| percent(flooded.flooded_share));
    row("density of that liquid", &|flooded| density(flooded.liquid_density_kg_m3));
    row("winter charge, gross", &|flooded| pounds_and_ounces(flooded.gross_kg));
    row("winter charge, net", &|flooded| pounds_and_ounces(flooded.net_kg));
    grid
}

fn print_fans(sheet: &mut Sheet, fans: &FanInWinterView, units: Units) {
    let air = temperature(fans.air_c).both(units);
    if let Some(on_time) = fans.on_time {
        let share = percent(on_time).both(units);
        sheet.bullet(&format!(
            "in the coldest air, {air}, the fans run {share} of the time, a mean over many cycles"
        ));
    }
    for (condenser, speed) in &fans.speed {
        let share = percent(*speed).both(units);
        sheet.bullet(&format!(
            "in the coldest air, {air}, the fans of {condenser} turn at {share} of their full speed"
        ));
    }
    if fans.still_air {
        sheet.bullet(
            "still air and wind, which are not computed, carry heat off too: fans run less, and where they stand the head \
             pressure may still fall below its setting",
        );
    }
}

/// How the condenser floods from the coldest air up.
fn print_curve(sheet: &mut Sheet, curve: &[FloodedView], units: Units) {
    if curve.is_empty() {
        return;
    }
    let shared = curve.iter().any(|at| at.flooded_share_all_running != at.flooded_share);
    let header = ["air", "flooded", "others running", "gross", "net"];
    let header: Vec<&str> = header.into_iter().filter(|name| shared || *name != "others running").collect();
    let mut grid = Grid::new(&header);
    for at in curve {
        let mass = |mass_kg: f64| pounds_and_ounces(mass_kg).both(units);
        let share = |share: f64| percent(share).first(units).to_owned();
        let mut row = vec![temperature(at.air_c).both(units), share(at.flooded_share)];
        row.extend(shared.then(|| share(at.flooded_share_all_running)));
        row.extend([mass(at.gross_kg), mass(at.net_kg)]);
        grid.row(row);
    }
    sheet.spaced_grid(grid);
    sheet.bullet(
        "difference of temperature throughout: mid of bubble and dew of the held pressure above the entering air; the others \
         at rest, which floods the most",
    );
}

/// A cubic foot and a litre, exact by definition of the foot.
fn volume(volume_m3: f64) -> Figure {
    const CUBIC_METRE_PER_FT3: f64 = 0.028_316_846_592;
    Figure {
        us: format!("{:.3} ft3", volume_m3 / CUBIC_METRE_PER_FT3),
        si: format!("{:.2} L", 1e3 * volume_m3),
    }
}

fn print_receiver(sheet: &mut Sheet, receiver: &ReceiverView, units: Units) {
    sheet.section("Receiver");
    let mut grid = Grid::new(&["", "net", "gross"]);
    let shares = |share: Option<[f64; 2]>| {
        share.map_or_else(
            || [ABSENT.into(), ABSENT.into()],
            |share| share.map(|share| percent(share).both(units)),
        )
    };
    let mut row = |name: String, [net, gross]: [String; 2]| grid.row([name, net, gross]);
    row(
        "liquid in it on a hot day".into(),
        receiver
            .hot_day_kg
            .map_or_else(|| [ABSENT.into(), ABSENT.into()], |mass| mass.map(|mass| ounces(mass).both(units))),
    );
    row(
        format!("full on a hot day, {}", temperature(receiver.hot_c).both(units)),
        shares(receiver.hot_day_fill),
    );
    row("full at 90 °F (32.2 °C)".into(), shares(receiver.fill_at_90_f));
    row("full on a hot day at the end of a harvest".into(), shares(receiver.harvest_fill));
    sheet.grid(grid);
    let mass = |mass: f64| pounds_and_ounces(mass).both(units);
    sheet.bullet(&format!(
        "{} inside; it takes {} at 80 % on a hot day, {} at 90 % and 90 °F (32.2 °C); {} lie under its outlet",
        volume(receiver.volume_m3).both(units),
        mass(receiver.at_80_percent_kg),
        mass(receiver.at_90_percent_kg),
        mass(receiver.seal_kg)
    ));
    if let Some(full) = receiver.liquid_full_c {
        sheet.bullet(&format!(
            "shut in on a hot day it is full of liquid at {}; it must stand {}",
            temperature(full).both(units),
            temperature(receiver.design_c).both(units)
        ));
    }
    if let Some(fill) = receiver.pump_down_fill {
        let words = percent(fill).both(units);
        sheet.bullet(&if fill > 0.9 {
            format!(
                "pump-down: the whole charge would fill it to {words} at 90 °F (32.2 °C): NEVER pump all of it down, recover \
                 the rest into a cylinder"
            )
        } else {
            format!("pump-down: the whole charge fills it to {words} at 90 °F (32.2 °C), were nothing left elsewhere")
        });
    }
}

fn print_standstill(sheet: &mut Sheet, budget: &BudgetView, units: Units) {
    let standstill = &budget.standstill;
    sheet.section("Standstill");
    if let (Some(moved), Some(gauge)) = (standstill.in_the_cold_kg, standstill.gauge_pa) {
        let full = if standstill.cold_side_full { ": all that it holds, full of liquid" } else { "" };
        sheet.bullet(&format!(
            "in the coldest air up to {} can end up in the cold on the roof{full}; the set is then at {}",
            pounds_and_ounces(moved).both(units),
            gauge_pressure(gauge).both(units)
        ));
    }
    for call in &standstill.calls_for {
        sheet.bullet(&format!("it calls for {call}"));
    }
}

fn notice_words(notice: &NoticeView, units: Units) -> String {
    let from = pounds_and_ounces(notice.from_kg).both(units);
    let reached = match notice.reached {
        Some(true) => format!("REACHED: {}", notice.then.join(", ")),
        Some(false) => "not reached".to_owned(),
        None => "the charge is not known".to_owned(),
    };
    let date = notice.date.as_ref().map_or("no date".to_owned(), |date| format!("rule of {date}"));
    let unconfirmed = if notice.unconfirmed { ", UNCONFIRMED" } else { "" };
    format!(
        "{}, from {from}: {reached} ({date}; {} [{}]{unconfirmed})",
        notice.rule, notice.source, notice.grade
    )
}

fn charging(budget: &BudgetView, units: Units) -> Vec<String> {
    let mut said = budget.remarks.clone();
    if let Some(cylinders) = &budget.cylinders {
        if cylinders.to_charge > 0 {
            said.push(format!(
                "to charge: {} of 25 lb (11.34 kg), as cylinders are commonly filled (common practice, no source)",
                counted(cylinders.to_charge)
            ));
        }
        let hot = cylinders.hot_liquid_share.map_or_else(
            || "how full that is at 130 °F (54.4 °C) lies beyond the property data: fill less".to_owned(),
            |share| {
                let words = percent(share).both(units);
                if share < 1.0 {
                    format!("at 130 °F (54.4 °C) that is {words} liquid: not in a hot van for long")
                } else {
                    format!("at 130 °F (54.4 °C) it is FULL OF LIQUID ({words}): fill less")
                }
            },
        );
        said.push(format!(
            "to recover: {} of 26.2 lb (11.88 kg) water capacity, at most {} in each (0.8 times water capacity times specific \
             gravity); {hot}",
            counted(cylinders.to_recover),
            pounds_and_ounces(cylinders.recovery_each_kg).both(units)
        ));
    }
    if let Some(oil) = budget.oil_kg {
        said.push(format!(
            "oil for the added charge by the maker's rule: {} by weight",
            ounces(oil).both(units)
        ));
    }
    said
}

fn counted(cylinders: u32) -> String {
    if cylinders == 1 { "1 cylinder".to_owned() } else { format!("{cylinders} cylinders") }
}

//! Oil return of a line whose gas rises.

use super::{Grid, Sheet, listed};
use crate::{
    figure::{Figure, Units, length, ounces, plain, pressure_difference, velocity},
    view::{DoubleRiserView, LineView},
};

/// Risers, loop and traps, and a double riser where one is proposed; nothing for a line in which no gas rises.
pub(super) fn print_oil_return(sheet: &mut Sheet, line: &LineView, units: Units) {
    let Some(oil) = &line.oil_return else { return };
    sheet.section(&format!("Oil return of the {} line", line.service));
    let heights: Vec<String> = oil.riser_heights_m.iter().map(|height| length(*height).both(units)).collect();
    let risers = if heights.len() == 1 { "riser" } else { "risers" };
    sheet.bullet(&format!("{risers} of {}; {}", listed(&heights), oil.judged_at));
    for sentence in &oil.advice {
        sheet.bullet(sentence);
    }
    if let Some(pair) = &oil.double_riser {
        print_double_riser(sheet, pair, units);
    }
}

fn print_double_riser(sheet: &mut Sheet, pair: &DoubleRiserView, units: Units) {
    let pairs = if pair.pairs == 1 { String::new() } else { format!(", {} pairs", pair.pairs) };
    sheet.section(&format!("Double riser{pairs}, the other legs in {}", pair.other_legs.name));
    let both = |figure: Figure| figure.both(units);
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let mut grid = Grid::new(&["", "small riser", "large riser"]);
    let mut row = |name: &str, small: String, large: String| grid.row([name.to_owned(), small, large]);
    row("tube", pair.small.name.clone(), pair.large.name.clone());
    row("share of the gas at full load", percent(pair.small_share), percent(1.0 - pair.small_share));
    row(
        "velocity at full load",
        both(velocity(pair.small_velocity_m_s)),
        both(velocity(pair.large_velocity_m_s)),
    );
    row(
        "drop at full load",
        both(pressure_difference(pair.drop_pa)),
        both(pressure_difference(pair.drop_pa)),
    );
    let ratio = |ratio: f64| both(plain(ratio));
    row(
        "oil return ratio at full load",
        ratio(pair.small_oil_return_ratio),
        ratio(pair.large_oil_return_ratio),
    );
    row("the same at least load", ratio(pair.small_alone_oil_return_ratio), "closed by its trap".to_owned());
    sheet.grid(grid);
    sheet.bullet(&format!(
        "the saturated temperature drop leaves {} to the risers at full load",
        both(pressure_difference(pair.allowed_drop_pa))
    ));
    sheet.bullet(&format!(
        "below {} of full load the gas no longer carries oil up the large riser, whose trap then fills",
        percent(pair.changeover_share)
    ));
    if let (Some(share), Some(drop)) = (pair.greatest_step_alone_share, pair.greatest_step_alone_drop_pa) {
        sheet.bullet(&format!(
            "the step of {} runs on the small riser alone, which then drops {}",
            percent(share),
            both(pressure_difference(drop))
        ));
    }
    sheet.bullet(&format!(
        "closed, {} of oil stand in the trap and {} above it: the compressor must be able to spare them, and gets them \
         back at once",
        both(ounces(pair.trap_oil_kg)),
        both(ounces(pair.column_oil_kg))
    ));
}

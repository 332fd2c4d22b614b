//! Sheets that list what the tables hold.

use super::{ABSENT, Grid, Sheet, one_line, print_sources_of};
use crate::{
    figure::{Units, diameter},
    view::{SourcesView, TubeView, TubesView},
};

/// The stocked tubes: name, outside diameter, bore, the plumber's nominal.
#[must_use]
pub fn tubes_sheet(view: &TubesView, units: Units) -> String {
    let mut sheet = Sheet::default();
    for product in view.tubes.chunk_by(|one, other| one.product == other.product) {
        sheet.section(product.first().map_or("", |tube| &tube.product));
        let mut grid = Grid::new(&["tube", "outside diameter", "bore", "plumber's nominal"]);
        for tube in product {
            grid.row([
                // The heading names standard and form.
                one_line(tube.name.split(", ").next().unwrap_or(&tube.name)),
                diameter(tube.od_mm).both(units),
                diameter(tube.bore_mm).both(units),
                tube.nominal.clone().unwrap_or_else(|| ABSENT.into()),
            ]);
        }
        sheet.grid(grid);
        for source in sources_of(product) {
            sheet.bullet(&source);
        }
    }
    sheet.finish()
}

/// Each source of a product's rows once, with the tubes that it stands for unless it stands for all.
fn sources_of(product: &[TubeView]) -> Vec<String> {
    let mut sources: Vec<(&str, Vec<&str>)> = Vec::new();
    for tube in product {
        let Some(source) = tube.source.as_deref() else { continue };
        match sources.iter_mut().find(|(known, _)| *known == source) {
            Some((_, names)) => names.push(&tube.name),
            None => sources.push((source, vec![&tube.name])),
        }
    }
    let one = sources.len() == 1;
    let told = sources.into_iter().map(|(source, names)| {
        if one { format!("source: {source}") } else { format!("{}: {source}", names.join("; ")) }
    });
    told.collect()
}

/// The sources of all tables with their grades.
#[must_use]
pub fn sources_sheet(view: &SourcesView) -> String {
    let mut sheet = Sheet::default();
    // Keys as they are: a job file overrides limits by them.
    print_sources_of(&mut sheet, &view.sources, str::to_owned);
    sheet.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn tubes_are_grouped_by_product() {
        let mut tubes: Vec<_> = sample::stock()[1..3].to_vec();
        tubes[1].product = "ASTM B88 type L, drawn".into();
        tubes[1].nominal = Some("3/8 in nominal".into());
        tubes[1].source = Some("an invented table (memory)".into());
        let text = tubes_sheet(&TubesView { tubes }, Units::Us);
        assert_eq!(
            text,
            "ASTM B280, annealed coil\n\
             tube       outside diameter    bore\n\
             ---------- ------------------- -------------------\n\
             3/8 in OD  0.375 in (9.53 mm)  0.311 in (7.90 mm)\n\
             \n\
             ASTM B88 type L, drawn\n\
             tube       outside diameter     bore                 plumber's nominal\n\
             ---------- -------------------- -------------------- ------------------\n\
             1/2 in OD  0.500 in (12.70 mm)  0.436 in (11.07 mm)  3/8 in nominal\n  \
             - source: an invented table (memory)\n"
        );
    }
}

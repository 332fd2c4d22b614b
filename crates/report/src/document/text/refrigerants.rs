//! Sheets of refrigerants: the list, one refrigerant, its pressure-temperature card.

use super::{ABSENT, Grid, Sheet, capital, print_list, print_sources, sheet::no_break};
use crate::{
    document::{MISSING, UNCONFIRMED, UNCONFIRMED_HELP},
    figure::{
        Figure, Units, concentration, density, enthalpy, gauge_pressure, gauge_reading, length, pressure,
        saturation_temperature, temperature_difference, viscosity,
    },
    view::{
        AskedView, CardRowView, CardView, EndView, OriginView, RefrigerantSheetView, RefrigerantView,
        RefrigerantsView, SaturationView, SiteView, SourceView,
    },
};

/// Stands after a figure that is only recalled, where a column has no room for the word.
const MARK: &str = "*";

/// Every refrigerant on one line.
#[must_use]
pub fn refrigerants_sheet(view: &RefrigerantsView, units: Units) -> String {
    let mut sheet = Sheet::default();
    let degree = if units == Units::Us { "°F" } else { "°C" };
    let difference = if units == Units::Us { "°F" } else { "K" };
    let mut grid = Grid::new(&[
        "name".to_owned(),
        "class".to_owned(),
        "made of".to_owned(),
        format!("boils\n{degree}"),
        format!("glide\n{difference}"),
        format!("critical\n{degree}"),
        "GWP\nAR4".to_owned(),
    ]);
    for refrigerant in &view.refrigerants {
        let boiling = refrigerant.normal_boiling;
        grid.row([
            refrigerant.name.clone(),
            marked(&refrigerant.safety_class, &refrigerant.safety_origin),
            made_of(refrigerant),
            boiling.map_or(ABSENT.into(), |boiling| {
                right(&number(&saturation_temperature(boiling.bubble_c), units), 5)
            }),
            boiling.map_or(ABSENT.into(), |boiling| {
                right(&number(&temperature_difference(boiling.glide_k), units), 5)
            }),
            right(&number(&saturation_temperature(refrigerant.critical_temperature_c), units), 5),
            refrigerant
                .gwp_ar4
                .map_or(ABSENT.into(), |gwp| marked(&right(&gwp.to_string(), 4), &refrigerant.gwp_origin)),
        ]);
    }
    sheet.grid(grid);
    sheet.gap();
    let without: Vec<&str> = view
        .refrigerants
        .iter()
        .filter(|refrigerant| !refrigerant.property_grid)
        .map(|refrigerant| refrigerant.name.as_str())
        .collect();
    sheet.paragraph(&match without.as_slice() {
        [] => "Property data (states, card, sizing) are there for all of them.".to_owned(),
        names => format!("Property data (states, card, sizing) are there for all but: {}.", names.join(", ")),
    });
    sheet.paragraph(
        "boils: bubble point at 101.3 kPa absolute (14.7 psi), \"-\" where there is none; glide: dew less bubble there; \
         GWP: 100 years, fourth report (AR4) of the IPCC; AR5 and AR6 are in the sheet of each and in CSV and JSON.",
    );
    sheet.paragraph(&format!("{MARK} {UNCONFIRMED_HELP}"));
    sheet.paragraph("One of them in full: lineset refrigerants NAME");
    sheet.finish()
}

/// The sheet of one refrigerant: states that were asked for first, then what it is.
#[must_use]
pub fn refrigerant_sheet(view: &RefrigerantSheetView, units: Units) -> String {
    let mut sheet = Sheet::default();
    let refrigerant = &view.refrigerant;
    sheet.heading(&format!(
        "{}, class {}",
        refrigerant.name,
        worded(&refrigerant.safety_class, &refrigerant.safety_origin)
    ));
    for warning in &view.warnings {
        sheet.paragraph(&format!("WARNING: {warning}"));
    }
    for refused in &refrigerant.refused_materials {
        sheet.paragraph(&format!(
            "NOT IN {}: {}; take {}.",
            refused.material.to_uppercase(),
            refused.reason,
            refused.instead
        ));
    }
    for saturation in &view.saturations {
        print_saturation(&mut sheet, saturation, units);
    }
    if let Some(site) = &view.site {
        sheet.bullet(&site_words(site, units));
    }
    if let Some(reference) = view
        .grid
        .as_ref()
        .and_then(|grid| grid.reference_state.as_ref())
        .filter(|_| !view.saturations.is_empty())
    {
        sheet.bullet(&format!("enthalpies count from a reference state: {reference}"));
    }
    print_identity(&mut sheet, refrigerant, units);
    let bands = &view.bands;
    print_list(
        &mut sheet,
        "Uncertainty of the property model (95 % bands)",
        &[
            format!(
                "pressure ± {} %, density ± {} %, viscosity ± {} % (liquid), ± {} % (vapour)",
                bands.pressure_percent,
                bands.density_percent,
                bands.liquid_viscosity_percent,
                bands.vapour_viscosity_percent
            ),
            format!("from: {} [{}]", bands.origin.source, bands.origin.grade),
        ],
    );
    let made = match &view.grid {
        Some(grid) => {
            let [coldest, hottest] =
                [grid.coldest_c, grid.hottest_c].map(|end| saturation_temperature(end).both(units));
            // The first of each key is that of the saturation table; all notes are in the JSON.
            let first = |key: &str| {
                let note = grid.made.iter().find(|note| note.key == key);
                note.map(|note| format!("{key}: {}", note.text))
            };
            let repaired = grid.made.iter().filter(|note| note.key == "repaired" && note.text != "none");
            let repaired: usize = repaired.map(|note| note.text.split("; ").count()).sum();
            let range = format!("saturation from {coldest} to {hottest}; states beyond are refused");
            let repaired = match repaired {
                0 => "no point had to be repaired".to_owned(),
                count => format!(
                    "{count} points or rows that the library gave wrongly or not at all are filled from their \
                     neighbours; the files in data/properties and the JSON list them"
                ),
            };
            let told = [Some(range), first("source"), first("viscosity"), Some(repaired)];
            told.into_iter().flatten().collect()
        }
        None => vec!["none: no states, no card, no sizing with this refrigerant yet".to_owned()],
    };
    print_list(&mut sheet, "Property data", &made);
    print_sources(&mut sheet, &sources(refrigerant));
    sheet.finish()
}

/// Dew and bubble pressure against temperature, for a printed page.
#[must_use]
pub fn card_sheet(view: &CardView, units: Units) -> String {
    let mut sheet = Sheet::default();
    let class = match view.safety_class_unconfirmed {
        true => format!("{} ({UNCONFIRMED})", view.safety_class),
        false => view.safety_class.clone(),
    };
    sheet.heading(&format!("{}, class {class}: pressure and temperature", view.refrigerant));
    sheet.paragraph(&capital(&site_words(&view.site, units)));
    if view.has_glide {
        sheet
            .paragraph(&format!("Dew is for {}. Bubble is for {}.", view.dew_used_for, view.bubble_used_for));
    } else {
        sheet.paragraph("Dew and bubble are one here: compare suction gas temperature with it for superheat, liquid temperature for \
             subcooling.",
        );
    }
    if let Some([least, greatest]) = view.glide_k.filter(|_| view.has_glide) {
        let [least, greatest] = [least, greatest].map(temperature_difference);
        let glide = if least == greatest {
            least.both(units)
        } else {
            format!("{} to {}", least.both(units), greatest.both(units))
        };
        sheet.paragraph(&format!("At one pressure dew lies {glide} above bubble."));
    }
    sheet.gap();
    print_rows(&mut sheet, view, units);
    sheet.gap();
    sheet.paragraph(&format!(
        "95 % band of the pressures: ± {} %, of absolute pressure.",
        view.pressure_band_percent
    ));
    for remark in &view.remarks {
        sheet.paragraph(remark);
    }
    if view.safety_class_unconfirmed {
        sheet.paragraph(&capital(UNCONFIRMED_HELP));
    }
    print_sources(&mut sheet, &view.sources);
    sheet.finish()
}

/// Rows beyond which a card is printed in two blocks side by side, so that it fits a page.
const ONE_BLOCK: usize = 40;

fn print_rows(sheet: &mut Sheet, view: &CardView, units: Units) {
    let (degree, pressure) = if units == Units::Us { ("°F", "psig") } else { ("°C", "kPa gauge") };
    let head: Vec<String> = if view.has_glide {
        vec![degree.into(), format!("dew\nsuperheat\n{pressure}"), format!("bubble\nsubcooling\n{pressure}")]
    } else {
        vec![degree.into(), format!("superheat and\nsubcooling\n{pressure}")]
    };
    let temperature = |row: &CardRowView| number(&saturation_temperature(row.temperature_c), units);
    let whole = view.rows.iter().all(|row| temperature(row).ends_with(".0"));
    let cells = |row: &CardRowView| {
        let temperature = temperature(row);
        let shown = if whole { temperature.trim_end_matches(".0") } else { &temperature };
        let mut cells = vec![right(shown, 5)];
        if view.has_glide {
            cells.push(reading(row.dew_gauge_pa, units));
        }
        cells.push(reading(row.bubble_gauge_pa, units));
        cells
    };
    let blocks = if view.rows.len() > ONE_BLOCK { 2 } else { 1 };
    let high = view.rows.len().div_ceil(blocks);
    let mut grid = Grid::new(&vec![head.as_slice(); blocks].concat());
    for index in 0..high {
        let row = (0..blocks).flat_map(|block| match view.rows.get(block * high + index) {
            Some(row) => cells(row),
            None => vec![String::new(); head.len()],
        });
        grid.row(row.collect::<Vec<_>>());
    }
    sheet.grid(grid);
}

/// A gauge pressure for a column of them, the points below one another: the unit of the head is left out, that of a
/// vacuum is not.
fn reading(gauge_pa: f64, units: Units) -> String {
    match units {
        Units::Si => right(&number(&gauge_pressure(gauge_pa), units), 6),
        Units::Us => {
            let number = number(&gauge_reading(gauge_pa), units);
            let tenths = if number.contains('.') { "" } else { "  " };
            let vacuum = if gauge_pa < 0.0 { " inHg vac" } else { "" };
            no_break(&format!("{}{vacuum}", right(&format!("{number}{tenths}"), 6)))
        }
    }
}

fn print_saturation(sheet: &mut Sheet, saturation: &SaturationView, units: Units) {
    let Some(first) = saturation.ends.first() else { return };
    let ends = &saturation.ends;
    let head = match saturation.asked {
        AskedView::Temperature => format!("At {}", saturation_temperature(first.temperature_c).both(units)),
        AskedView::Pressure => format!(
            "At {}, {}",
            gauge_reading(first.gauge_pa).both(units),
            absolute(first.pressure_pa, units)
        ),
    };
    let glide = first.glide_k.filter(|_| saturation.asked == AskedView::Pressure);
    let glide = glide.map(|glide| format!("; glide {}", temperature_difference(glide).both(units)));
    sheet.section(&format!("{head}{}", glide.unwrap_or_default()));
    let names = ends.iter().map(|end| if end.end == "dew" { "dew: vapour" } else { "bubble: liquid" });
    let mut grid = Grid::new(&std::iter::once("").chain(names).collect::<Vec<_>>());
    let mut row = |what: &str, value: &dyn Fn(&EndView) -> Option<Figure>| {
        let cells =
            ends.iter().map(|end| value(end).map_or("beyond the data".into(), |figure| figure.both(units)));
        grid.row(std::iter::once(what.to_owned()).chain(cells).collect::<Vec<_>>());
    };
    match saturation.asked {
        AskedView::Temperature => {
            row("gauge pressure", &|end| Some(gauge_reading(end.gauge_pa)));
            row("absolute", &|end| Some(pressure(end.pressure_pa)));
        }
        AskedView::Pressure => row("temperature", &|end| Some(saturation_temperature(end.temperature_c))),
    }
    row("density", &|end| Some(density(end.density_kg_m3)));
    row("enthalpy", &|end| Some(enthalpy(end.enthalpy_j_kg)));
    row("viscosity", &|end| Some(viscosity(end.viscosity_pa_s)));
    // A pure fluid has none.
    let glides = ends.iter().any(|end| end.glide_k.is_none_or(|glide| glide.abs() > 0.005));
    if saturation.asked == AskedView::Temperature && glides {
        row("glide", &|end| end.glide_k.map(temperature_difference));
    }
    row("heat of vaporisation", &|end| end.heat_of_vaporisation_j_kg.map(enthalpy));
    grid.row(std::iter::once("used for".to_owned()).chain(ends.iter().map(|end| end.used_for.to_owned())));
    sheet.grid(grid);
    if saturation.asked == AskedView::Temperature {
        let both = if glides { "glide and heat of vaporisation" } else { "heat of vaporisation" };
        sheet.bullet(&format!("{both}: dew less bubble at the pressure of the column"));
    }
}

fn print_identity(sheet: &mut Sheet, refrigerant: &RefrigerantView, units: Units) {
    sheet.section("What it is");
    let mut grid = Grid::new(&["", "value"]);
    let mut row = |what: &str, value: String| grid.row([what.to_owned(), value]);
    let by_mass = refrigerant.components.iter().map(|part| format!("{} {} %", part.name, part.mass_percent));
    row(
        "composition, mass",
        match refrigerant.components.as_slice() {
            [_] => "pure".to_owned(),
            _ => worded(&by_mass.collect::<Vec<_>>().join(", "), &refrigerant.composition_origin),
        },
    );
    row("safety class", worded(&refrigerant.safety_class, &refrigerant.safety_origin));
    let sourced = |value: Option<String>, origin: &Option<OriginView>| match (value, origin) {
        (Some(value), Some(origin)) => worded(&value, origin),
        _ => MISSING.to_owned(),
    };
    row(
        "LFL",
        match refrigerant.lower_flammability_limit_kg_m3 {
            // Class 1 of ISO 817: no flame propagation, so there is no limit to state.
            None if refrigerant.safety_class.ends_with('1') => {
                format!("none (class {})", refrigerant.safety_class)
            }
            limit => sourced(
                limit.map(|limit| concentration(limit).both(units)),
                &refrigerant.lower_flammability_limit_origin,
            ),
        },
    );
    let by_volume =
        refrigerant.concentration_limit_ppm.map(|ppm| format!(", {ppm:.0} ppm")).unwrap_or_default();
    row(
        "RCL",
        sourced(
            refrigerant
                .concentration_limit_kg_m3
                .map(|limit| format!("{}{by_volume}", concentration(limit).both(units))),
            &refrigerant.concentration_limit_origin,
        ),
    );
    let gwp = |value: Option<f64>| value.map_or(MISSING.to_owned(), |value| value.to_string());
    row(
        "GWP AR4; AR5; AR6",
        worded(
            &[refrigerant.gwp_ar4, refrigerant.gwp_ar5, refrigerant.gwp_ar6].map(gwp).join("; "),
            &refrigerant.gwp_origin,
        ),
    );
    row(
        "boils at 101.3 kPa",
        refrigerant.normal_boiling.map_or("does not boil there".to_owned(), |boiling| {
            let [bubble, dew] =
                [boiling.bubble_c, boiling.dew_c].map(|end| saturation_temperature(end).both(units));
            if bubble == dew { bubble } else { format!("bubble {bubble}, dew {dew}") }
        }),
    );
    row(
        "critical point",
        format!(
            "{}, {}",
            saturation_temperature(refrigerant.critical_temperature_c).both(units),
            absolute(refrigerant.critical_pressure_pa, units)
        ),
    );
    sheet.grid(grid);
    sheet.bullet(
        "LFL: lower flammability limit in air; RCL: concentration limit of an occupied room; GWP: warming potential over \
         100 years by the fourth, fifth and sixth report of the IPCC; boiling at absolute pressure",
    );
    if origins(refrigerant).any(|(_, origin)| origin.unconfirmed) {
        sheet.bullet(UNCONFIRMED_HELP);
    }
}

fn origins(refrigerant: &RefrigerantView) -> impl Iterator<Item = (&'static str, &OriginView)> {
    [
        ("composition", Some(&refrigerant.composition_origin)),
        ("safety class", Some(&refrigerant.safety_origin)),
        ("LFL", refrigerant.lower_flammability_limit_origin.as_ref()),
        ("RCL", refrigerant.concentration_limit_origin.as_ref()),
        ("GWP", Some(&refrigerant.gwp_origin)),
        ("boiling and critical point", Some(&refrigerant.thermal_origin)),
    ]
    .into_iter()
    .chain(refrigerant.refused_materials.iter().map(|refused| ("refused material", Some(&refused.origin))))
    .filter_map(|(what, origin)| Some((what, origin?)))
}

fn sources(refrigerant: &RefrigerantView) -> Vec<SourceView> {
    origins(refrigerant)
        .map(|(what, origin)| SourceView {
            what: what.to_owned(),
            source: origin.source.clone(),
            grade: origin.grade.clone(),
        })
        .collect()
}

/// `32/125/1234yf/134a`: the components of a blend without what all their names share.
fn made_of(refrigerant: &RefrigerantView) -> String {
    let short = |name: &str| name.trim_start_matches("R-").split('(').next().unwrap_or(name).to_owned();
    match refrigerant.components.as_slice() {
        [_] => refrigerant.kind.to_owned(),
        parts => parts.iter().map(|part| short(&part.name)).collect::<Vec<_>>().join("/"),
    }
}

fn site_words(site: &SiteView, units: Units) -> String {
    let atmosphere = absolute(site.atmosphere_pa, units);
    match site.assumed {
        true => format!("gauge pressures are those at sea level, {atmosphere} (assumed; option --altitude)"),
        false => {
            format!("gauge pressures are those at {}, {atmosphere}", length(site.altitude_m).both(units))
        }
    }
}

fn marked(value: &str, origin: &OriginView) -> String {
    if origin.unconfirmed { format!("{value}{MARK}") } else { value.to_owned() }
}

fn worded(value: &str, origin: &OriginView) -> String {
    if origin.unconfirmed { format!("{value} ({UNCONFIRMED})") } else { value.to_owned() }
}

/// A text set against the right edge of a column this wide.
fn right(text: &str, width: usize) -> String {
    no_break(&format!("{text:>width$}"))
}

fn number(figure: &Figure, units: Units) -> String {
    figure.first(units).split(' ').next().unwrap_or_default().to_owned()
}

fn absolute(pressure_pa: f64, units: Units) -> String {
    format!("{} absolute", pressure(pressure_pa).both(units))
}

//! Tables for a spreadsheet: one record a row, SI units, column names with their unit, absent values empty.

use crate::{
    figure::six_digits,
    view::{
        AskedView, CardView, ChargeView, CheckView, CompareView, FieldView, OriginView, PackView,
        RefrigerantSheetView, RefrigerantView, SizeView, SourcesView, TubeView, TubesView, VerdictView,
    },
};
use thiserror::Error;

/// A table that could not be written; only a lack of memory leads here.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum CsvError {
    /// The writer refused a record.
    #[error("a record of the table could not be written")]
    Record(#[from] csv::Error),
    /// The end of the table could not be written out.
    #[error("the table could not be finished")]
    Finish(#[from] std::io::Error),
    /// The table is no valid text.
    #[error("the table is not valid UTF-8")]
    Text(#[from] std::string::FromUtf8Error),
}

/// Every stocked tube of every line: allowable length, what stops it, why it is refused.
///
/// # Errors
/// See [`CsvError`].
pub fn candidates(view: &SizeView) -> Result<String, CsvError> {
    let header = [
        "set",
        "line",
        "tube",
        "product",
        "od_mm",
        "bore_mm",
        "chosen",
        "allowable_length_m",
        "not_limited",
        "stopped_by",
        "refused_for",
        "velocity_max_m_s",
        "saturated_temperature_drop_k",
        "charge_kg",
    ];
    table(&header, |rows| {
        for set in &view.sets {
            for line in &set.lines {
                for candidate in &line.candidates {
                    let mut row = vec![set.name.clone(), line.service.clone()];
                    row.extend(tube(&candidate.tube));
                    row.extend([
                        yes_no(candidate.chosen),
                        number(candidate.allowable_length_m),
                        yes_no(candidate.not_limited),
                        candidate.stopped_by.clone().unwrap_or_default(),
                        candidate.refused_for.join("; "),
                        number(candidate.velocity_max_m_s),
                        number(candidate.saturated_temperature_drop_k),
                        number(candidate.charge_kg),
                    ]);
                    rows.write_record(row)?;
                }
            }
        }
        Ok(())
    })
}

const CHECK_COLUMNS: [&str; 16] = [
    "set",
    "line",
    "check",
    "value",
    "sense",
    "limit",
    "unit",
    "margin",
    "band",
    "verdict",
    "condition",
    "whose",
    "source",
    "missing",
    "matters_most",
    "settled_by",
];

/// Every check of a size sheet; `line` is empty for those of the whole route.
///
/// # Errors
/// See [`CsvError`].
pub fn size_checks(view: &SizeView) -> Result<String, CsvError> {
    table(&CHECK_COLUMNS, |rows| {
        for set in &view.sets {
            for (line, check) in super::checks_of(set) {
                let service = line.map_or("", |line| &line.service);
                rows.write_record(check_row(&set.name, service, check))?;
            }
        }
        Ok(())
    })
}

/// Every check of a charge sheet.
///
/// # Errors
/// See [`CsvError`].
pub fn charge_checks(view: &ChargeView) -> Result<String, CsvError> {
    table(&CHECK_COLUMNS, |rows| {
        for set in &view.sets {
            for check in &set.checks {
                rows.write_record(check_row(&set.name, "", check))?;
            }
        }
        Ok(())
    })
}

/// Charge of each line: this run, the covered run, what is added.
///
/// # Errors
/// See [`CsvError`].
pub fn charge_lines(view: &ChargeView) -> Result<String, CsvError> {
    let header = [
        "set",
        "line",
        "tube",
        "product",
        "od_mm",
        "bore_mm",
        "covered_tube",
        "temperature_c",
        "pressure_pa",
        "density_kg_m3",
        "charge_per_metre_kg_m",
        "covered_charge_per_metre_kg_m",
        "this_run_kg",
        "covered_kg",
        "computed_added_kg",
        "maker_rate_kg_m",
        "maker_added_kg",
        "used",
        "added_kg",
    ];
    table(&header, |rows| {
        for set in &view.sets {
            for line in &set.lines {
                let mut row = vec![set.name.clone(), line.service.clone()];
                row.extend(tube(&line.tube));
                row.push(line.covered_tube.name.clone());
                row.extend(
                    [
                        line.temperature_c,
                        line.pressure_pa,
                        line.density_kg_m3,
                        line.charge_per_metre_kg_m,
                        line.covered_charge_per_metre_kg_m,
                        line.this_run_kg,
                        line.covered_kg,
                        line.computed_added_kg,
                    ]
                    .map(|value| number(Some(value))),
                );
                row.extend([
                    number(line.maker_rate_kg_m),
                    number(line.maker_added_kg),
                    line.used.clone(),
                    number(Some(line.added_kg)),
                ]);
                rows.write_record(row)?;
            }
        }
        Ok(())
    })
}

/// Parts of the charge of each set, winter and all.
///
/// # Errors
/// See [`CsvError`].
pub fn charge_budget(view: &ChargeView) -> Result<String, CsvError> {
    table(&["set", "part", "least_kg", "most_kg", "how"], |rows| {
        for set in &view.sets {
            let Some(budget) = &set.budget else { continue };
            for part in &budget.parts {
                let mut record = vec![set.name.clone(), part.part.clone()];
                record.extend([part.low_kg, part.high_kg].map(number));
                record.push(part.how.clone());
                rows.write_record(record)?;
            }
            let sums = [
                ("factory charge", set.factory_charge_kg, "the plate"),
                ("added for the lines", set.added_charge_kg, &*set.how),
                ("added for winter", budget.winter.added_kg, &*budget.winter.why),
                ("total", budget.total_kg, "by scale"),
                ("never above", budget.stop_kg, &*budget.stop),
            ];
            for (part, mass, how) in sums {
                let cells = [set.name.clone(), part.to_owned(), number(mass), number(mass), how.to_owned()];
                rows.write_record(cells)?;
            }
        }
        Ok(())
    })
}

/// Charge per metre of every stocked tube.
///
/// # Errors
/// See [`CsvError`].
pub fn charge_by_tube(view: &ChargeView) -> Result<String, CsvError> {
    let header =
        ["set", "tube", "product", "od_mm", "bore_mm", "discharge_kg_m", "liquid_kg_m", "suction_kg_m"];
    table(&header, |rows| {
        for set in &view.sets {
            for row in &set.by_tube {
                let mut record = vec![set.name.clone()];
                record.extend(tube(&row.tube));
                record.extend([row.discharge_kg_m, row.liquid_kg_m, row.suction_kg_m].map(number));
                rows.write_record(record)?;
            }
        }
        Ok(())
    })
}

/// Every figure and check of a sheet of the field; figures have no verdict.
///
/// # Errors
/// See [`CsvError`].
pub fn field(view: &FieldView) -> Result<String, CsvError> {
    let header: Vec<&str> =
        ["set", "part", "what"].into_iter().chain(CHECK_COLUMNS.into_iter().skip(3)).collect();
    table(&header, |rows| {
        for set in &view.sets {
            for part in &set.parts {
                for figure in &part.figures {
                    let mut row = vec![String::new(); header.len()];
                    row[0].clone_from(&set.name);
                    row[1].clone_from(&part.name);
                    row[2].clone_from(&figure.what);
                    row[3] = number(Some(figure.value));
                    row[6] = figure.unit.into();
                    rows.write_record(row)?;
                }
                for check in &part.checks {
                    rows.write_record(check_row(&set.name, &part.name, check))?;
                }
            }
        }
        Ok(())
    })
}

/// Every check of a pack, the one that governs first.
///
/// # Errors
/// See [`CsvError`].
pub fn pack_checks(view: &PackView) -> Result<String, CsvError> {
    let header: Vec<&str> =
        ["of", "part", "check"].into_iter().chain(CHECK_COLUMNS.into_iter().skip(3)).collect();
    table(&header, |rows| {
        for it in &view.summary {
            rows.write_record(check_row(&it.of, &it.part, &it.check))?;
        }
        Ok(())
    })
}

/// The material of a pack, set by set; `set` is empty for what all sets take together.
///
/// # Errors
/// See [`CsvError`].
pub fn pack_materials(view: &PackView) -> Result<String, CsvError> {
    let header = [
        "set", "group", "line", "what", "size", "counted", "waste", "quantity", "unit", "how", "missing",
        "source", "grade",
    ];
    let of_sets = view.sets.iter().map(|set| (set.name.as_str(), &set.materials.items));
    table(&header, |rows| {
        for (set, items) in std::iter::once(("", &view.materials)).chain(of_sets) {
            for item in items {
                rows.write_record([
                    set,
                    item.group,
                    &item.line,
                    &item.what,
                    &item.size,
                    &number(item.counted),
                    &number(Some(item.waste)),
                    &number(item.quantity),
                    item.unit,
                    &item.how,
                    item.missing.as_deref().unwrap_or_default(),
                    &item.source,
                    &item.grade,
                ])?;
            }
        }
        Ok(())
    })
}

/// The layouts of a comparison, one a row, with the condensing temperature of each set and the air into each condenser.
///
/// # Errors
/// See [`CsvError`].
pub fn layouts(view: &CompareView) -> Result<String, CsvError> {
    let condensers = view.condenser_names();
    let fixed = [
        "layout",
        "arrangement",
        "recommended",
        "verdict",
        "outdoor_air_k",
        "capacity_w",
        "power_w",
        "energy_kwh",
        "break_even_recirculation",
        "added_charge_kg",
        "anchor_tension_n",
        "footprint_m2",
        "taken_m2",
        "sound_power_db",
        "sound_level_db",
        "above_limit_h",
        "access",
    ];
    let of_sets = view.sets.iter().map(|set| format!("condensing_k {}", set.name));
    let of_condensers = condensers.iter().map(|name| format!("inlet_air_k {name}"));
    let header: Vec<String> =
        fixed.into_iter().map(String::from).chain(of_sets).chain(of_condensers).collect();
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    table(&header, |rows| {
        for layout in &view.layouts {
            let mut row = vec![
                layout.name.clone(),
                layout.arrangement.clone(),
                yes_no(view.recommends(layout)),
                verdict(layout.verdict).into(),
            ];
            let numbers = [
                Some(view.outdoor_air_k),
                Some(layout.capacity_w),
                Some(layout.power_w),
                layout.energy_kwh,
                layout.break_even_recirculation,
                layout.added_charge_kg,
                layout.anchor_tension_n,
                layout.footprint_m2,
                layout.taken_m2,
                layout.sound.map(|sound| sound.power_db),
                layout.sound.and_then(|sound| sound.level_db),
                layout.year.and_then(|year| year.above_limit_h),
            ];
            row.extend(numbers.map(number));
            row.push(layout.access.clone());
            row.extend(view.sets.iter().map(|set| {
                let circuit = layout.circuits.iter().find(|circuit| circuit.set == set.name);
                number(circuit.map(|circuit| circuit.condensing_k))
            }));
            row.extend(condensers.iter().map(|name| {
                let condenser = layout.condensers.iter().find(|condenser| condenser.name == *name);
                number(condenser.map(|condenser| condenser.inlet_air_k))
            }));
            rows.write_record(row)?;
        }
        Ok(())
    })
}

/// Condensing temperature of every circuit, and capacity of all, against the share of every draw of every layout.
///
/// # Errors
/// See [`CsvError`].
pub fn layout_curve(view: &CompareView) -> Result<String, CsvError> {
    let header = [
        "layout",
        "by",
        "from",
        "stated_fraction",
        "least",
        "most",
        "break_even",
        "jet_bound",
        "fraction",
        "set",
        "condensing_k",
        "capacity_w",
    ];
    table(&header, |rows| {
        for layout in &view.layouts {
            for draw in &layout.draws {
                let stated = [Some(draw.fraction), draw.least, draw.most, draw.break_even, draw.jet_bound];
                for point in &draw.curve {
                    for (circuit, condensing_k) in layout.circuits.iter().zip(&point.condensing_k) {
                        let mut row = vec![layout.name.clone(), draw.by.clone(), draw.from.clone()];
                        row.extend(stated.map(number));
                        row.extend([number(Some(point.fraction)), circuit.set.clone()]);
                        row.extend([*condensing_k, point.capacity_w].map(|value| number(Some(value))));
                        rows.write_record(row)?;
                    }
                }
            }
        }
        Ok(())
    })
}

/// The stocked tubes.
///
/// # Errors
/// See [`CsvError`].
pub fn tubes(view: &TubesView) -> Result<String, CsvError> {
    table(&["tube", "product", "od_mm", "bore_mm", "nominal", "source"], |rows| {
        for stocked in &view.tubes {
            let mut record = tube(stocked).to_vec();
            record.push(stocked.nominal.clone().unwrap_or_default());
            record.push(stocked.source.clone().unwrap_or_default());
            rows.write_record(record)?;
        }
        Ok(())
    })
}

/// The sources of the tables.
///
/// # Errors
/// See [`CsvError`].
pub fn sources(view: &SourcesView) -> Result<String, CsvError> {
    table(&["what", "source", "grade"], |rows| {
        for source in &view.sources {
            rows.write_record([&source.what, &source.source, &source.grade])?;
        }
        Ok(())
    })
}

/// Identity of refrigerants, one a row, each figure with its source and grade.
///
/// # Errors
/// See [`CsvError`].
pub fn refrigerants<'a>(views: impl IntoIterator<Item = &'a RefrigerantView>) -> Result<String, CsvError> {
    let header = [
        "refrigerant",
        "kind",
        "composition_mass_percent",
        "composition_source",
        "composition_grade",
        "safety_class",
        "safety_source",
        "safety_grade",
        "normal_bubble_c",
        "normal_dew_c",
        "normal_glide_k",
        "critical_temperature_c",
        "critical_pressure_pa",
        "thermal_source",
        "thermal_grade",
        "gwp_ar4",
        "gwp_ar5",
        "gwp_ar6",
        "gwp_source",
        "gwp_grade",
        "lfl_kg_m3",
        "lfl_source",
        "lfl_grade",
        "rcl_kg_m3",
        "rcl_ppm",
        "rcl_source",
        "rcl_grade",
        "property_grid",
        "refused_materials",
    ];
    let from = |origin: &OriginView| [origin.source.clone(), origin.grade.clone()];
    let from_any = |origin: &Option<OriginView>| origin.as_ref().map(from).unwrap_or_default();
    table(&header, |rows| {
        for view in views {
            let parts = view.components.iter().map(|part| format!("{} {}", part.name, part.mass_percent));
            let refused = view.refused_materials.iter().map(|refused| refused.material.clone());
            let boiling = view.normal_boiling;
            let mut row = vec![view.name.clone(), view.kind.into(), parts.collect::<Vec<_>>().join("; ")];
            row.extend(from(&view.composition_origin));
            row.push(view.safety_class.clone());
            row.extend(from(&view.safety_origin));
            row.extend(
                [
                    boiling.map(|boiling| boiling.bubble_c),
                    boiling.map(|boiling| boiling.dew_c),
                    boiling.map(|boiling| boiling.glide_k),
                    Some(view.critical_temperature_c),
                    Some(view.critical_pressure_pa),
                ]
                .map(number),
            );
            row.extend(from(&view.thermal_origin));
            row.extend([view.gwp_ar4, view.gwp_ar5, view.gwp_ar6].map(number));
            row.extend(from(&view.gwp_origin));
            row.push(number(view.lower_flammability_limit_kg_m3));
            row.extend(from_any(&view.lower_flammability_limit_origin));
            row.extend([view.concentration_limit_kg_m3, view.concentration_limit_ppm].map(number));
            row.extend(from_any(&view.concentration_limit_origin));
            row.extend([yes_no(view.property_grid), refused.collect::<Vec<_>>().join("; ")]);
            rows.write_record(row)?;
        }
        Ok(())
    })
}

/// The saturation states of a refrigerant, one end a row; its identity where no state was asked for.
///
/// # Errors
/// See [`CsvError`].
pub fn refrigerant_sheet(view: &RefrigerantSheetView) -> Result<String, CsvError> {
    if view.saturations.is_empty() {
        return refrigerants([&view.refrigerant]);
    }
    let header = [
        "refrigerant",
        "asked",
        "end",
        "temperature_c",
        "pressure_pa",
        "gauge_pa",
        "altitude_m",
        "density_kg_m3",
        "enthalpy_j_kg",
        "viscosity_pa_s",
        "glide_k",
        "heat_of_vaporisation_j_kg",
        "used_for",
        "source",
        "grade",
    ];
    let note = |key: &str| {
        let made = view.grid.iter().flat_map(|grid| &grid.made);
        made.filter(|note| note.key == key).map(|note| note.text.clone()).next().unwrap_or_default()
    };
    table(&header, |rows| {
        for saturation in &view.saturations {
            let asked = match saturation.asked {
                AskedView::Temperature => "temperature",
                AskedView::Pressure => "pressure",
            };
            for end in &saturation.ends {
                let mut row = vec![view.refrigerant.name.clone(), asked.into(), end.end.into()];
                row.extend(
                    [
                        Some(end.temperature_c),
                        Some(end.pressure_pa),
                        Some(end.gauge_pa),
                        view.site.map(|site| site.altitude_m),
                        Some(end.density_kg_m3),
                        Some(end.enthalpy_j_kg),
                        Some(end.viscosity_pa_s),
                        end.glide_k,
                        end.heat_of_vaporisation_j_kg,
                    ]
                    .map(number),
                );
                row.extend([end.used_for.into(), note("source"), note("grade")]);
                rows.write_record(row)?;
            }
        }
        Ok(())
    })
}

/// A pressure-temperature card.
///
/// # Errors
/// See [`CsvError`].
pub fn card(view: &CardView) -> Result<String, CsvError> {
    let header = [
        "refrigerant",
        "altitude_m",
        "temperature_c",
        "dew_gauge_pa",
        "bubble_gauge_pa",
        "dew_pressure_pa",
        "bubble_pressure_pa",
    ];
    table(&header, |rows| {
        for row in &view.rows {
            let numbers = [
                view.site.altitude_m,
                row.temperature_c,
                row.dew_gauge_pa,
                row.bubble_gauge_pa,
                row.dew_pressure_pa,
                row.bubble_pressure_pa,
            ];
            let numbers = numbers.map(|value| number(Some(value)));
            rows.write_record(std::iter::once(view.refrigerant.clone()).chain(numbers))?;
        }
        Ok(())
    })
}

fn table(
    header: &[&str],
    fill: impl FnOnce(&mut csv::Writer<Vec<u8>>) -> Result<(), csv::Error>,
) -> Result<String, CsvError> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    rows.write_record(header)?;
    fill(&mut rows)?;
    let bytes = rows.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8(bytes)?)
}

fn tube(tube: &TubeView) -> [String; 4] {
    [tube.name.clone(), tube.product.clone(), number(Some(tube.od_mm)), number(Some(tube.bore_mm))]
}

fn check_row(set: &str, service: &str, check: &CheckView) -> [String; 16] {
    [
        set.into(),
        service.into(),
        check.kind.clone(),
        number(check.value),
        check.sense.into(),
        number(check.limit),
        check.unit.into(),
        number(check.margin),
        number(check.band),
        verdict(check.verdict).into(),
        check.condition.clone(),
        check.whose.clone(),
        check.source.clone(),
        check.missing.clone().unwrap_or_default(),
        check.matters_most.clone().unwrap_or_default(),
        check.settled_by.clone().unwrap_or_default(),
    ]
}

/// As the JSON spells it, so that both can be matched by one rule.
fn verdict(verdict: VerdictView) -> &'static str {
    match verdict {
        VerdictView::Meets => "meets",
        VerdictView::TooCloseToCall => "too-close-to-call",
        VerdictView::Fails => "fails",
        VerdictView::NotChecked => "not-checked",
    }
}

/// An empty cell for what is absent or not finite: a spreadsheet would take `NaN` for text.
fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map(|value| six_digits(value).to_string()).unwrap_or_default()
}

fn yes_no(yes: bool) -> String {
    if yes { "yes" } else { "no" }.into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn read(text: &str) -> Vec<Vec<String>> {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().unwrap().iter().map(String::from).collect();
        let rows = reader.records().map(|record| record.unwrap().iter().map(String::from).collect());
        std::iter::once(header).chain(rows).collect()
    }

    #[test]
    fn a_sheet_of_the_field_has_figures_and_checks() {
        let rows = read(&field(&sample::field()).unwrap());
        assert_eq!(&rows[0][..4], ["set", "part", "what", "value"]);
        assert_eq!(&rows[1][..4], ["ice-room", "pressure-test", "test-pressure", "2070000"]);
        assert_eq!((rows[1][6].as_str(), rows[1][9].as_str()), ("Pa(g)", ""));
        let gone = rows.iter().find(|row| row[2] == "pressure-gone").unwrap();
        assert_eq!((gone[6].as_str(), gone[9].as_str()), ("Pa", "too-close-to-call"));
    }

    #[test]
    fn candidates_read_back_with_every_tube_of_every_line() {
        let view = sample::size();
        let rows = read(&candidates(&view).unwrap());
        let expected: usize =
            view.sets.iter().flat_map(|set| &set.lines).map(|line| line.candidates.len()).sum();
        assert_eq!(rows.len(), expected + 1);
        let chosen: Vec<&str> =
            rows.iter().filter(|row| row[6] == "yes").map(|row| row[2].as_str()).collect();
        assert_eq!(chosen, ["1/2 in OD", "3/8 in OD"]);
    }

    #[test]
    fn checks_that_were_not_made_have_empty_cells() {
        let rows = read(&size_checks(&sample::size()).unwrap());
        let row = rows.iter().find(|row| row[9] == "not-checked").unwrap();
        assert_eq!((row[3].as_str(), row[7].as_str()), ("", ""));
        assert!(row[13].contains("head_pressure"));
    }

    #[test]
    fn layouts_have_a_row_each_and_name_their_sets_and_condensers() {
        let view = sample::compare();
        let rows = read(&layouts(&view).unwrap());
        assert_eq!(
            rows[0][17..],
            ["condensing_k ice-room", "condensing_k cold-store", "inlet_air_k lower", "inlet_air_k upper"]
        );
        assert_eq!(rows.len(), 4);
        assert_eq!(rows[2][..4], ["side by side", "side by side", "yes", "meets"]);
        assert_eq!((rows[3][7].as_str(), rows[3][13].as_str()), ("", ""), "what is not stated is empty");
        let curve = read(&layout_curve(&view).unwrap());
        // Two layouts draw; eleven shares, two sets.
        assert_eq!(curve.len(), 1 + 2 * 11 * 2);
        assert_eq!(curve[1][..4], ["stacked", "upper", "lower", "0.12"]);
        assert_eq!(curve[2][9..], ["cold-store", "316.9", "14650"]);
    }

    #[test]
    fn charge_tables_are_compared_whole() {
        let view = sample::charge();
        assert_eq!(
            charge_by_tube(&view).unwrap(),
            "set,tube,product,od_mm,bore_mm,discharge_kg_m,liquid_kg_m,suction_kg_m\n\
             ice-room,1/4 in OD,\"ASTM B280, annealed coil\",6.35,4.826,0.00152,0.0187,\n\
             ice-room,3/8 in OD,\"ASTM B280, annealed coil\",9.525,7.899,0.00407,0.0502,\n\
             ice-room,1/2 in OD,\"ASTM B280, annealed coil\",12.7,11.074,0.008,0.0986,\n\
             ice-room,5/8 in OD,\"ASTM B280, annealed coil\",15.875,13.843,0.0125,0.1541,\n"
        );
        assert_eq!(read(&charge_lines(&view).unwrap()).len(), 3);
        assert_eq!(read(&charge_checks(&view).unwrap()).len(), 2);
    }

    #[test]
    fn numbers_that_are_not_finite_are_empty() {
        assert_eq!(number(Some(f64::NAN)), "");
        assert_eq!(number(Some(0.1 + 0.2)), "0.3");
    }
}

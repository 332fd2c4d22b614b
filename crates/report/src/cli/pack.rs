//! `lineset pack`: all sheets of a job as one folder.

use super::{Answer, EdgeFault, Ends, Engine, PackRequest, arguments::PackArguments, existing, status};
use crate::{
    chart::Chart,
    deliver::{self, File},
    document::{csv, html, json::json},
    view::{PackView, SourcesView},
};
use std::path::{Component, Path};

const PAGE: &str = "index.html";
const JSON: &str = "pack.json";
const CHARTS: &str = "charts";
const TABLES: &str = "tables";

pub(super) fn pack(
    arguments: &PackArguments,
    engine: &dyn Engine,
    ends: &mut Ends<'_>,
) -> Result<u8, EdgeFault> {
    let request = PackRequest {
        job: arguments.job.clone(),
        quiet: ends.quiet,
        units: arguments.units,
        data: arguments.data.clone(),
    };
    deliver::may_write_folder(&arguments.folder, existing(arguments.replace), &ours)?;
    let Answer { view, units, remarks } = engine.pack(&request)?;
    let units = arguments.units.or(units).unwrap_or_default();
    let charts = html::charts(&view, units)?;
    let page = html::page(&view, &charts, units);
    let mut files = vec![File { path: PAGE.into(), content: page }];
    files.push(File { path: JSON.into(), content: json(&view)? });
    files.extend(tables(&view)?);
    files.extend(charts.into_iter().map(in_folder));
    deliver::folder(&arguments.folder, &files, existing(arguments.replace), &ours)?;
    for remark in &remarks {
        ends.remark(remark);
    }
    let page = arguments.folder.join(PAGE);
    ends.remark(&format!("wrote {} and {} files beside it", page.display(), files.len() - 1));
    Ok(status(view.verdict))
}

fn in_folder(chart: Chart) -> File {
    File { path: Path::new(CHARTS).join(chart.file_name), content: chart.svg }
}

/// The tables of all sheets, as their own commands write them.
fn tables(view: &PackView) -> Result<Vec<File>, csv::CsvError> {
    let sources = SourcesView { sources: view.sources.clone() };
    let mut tables = vec![
        ("summary", csv::pack_checks(view)?),
        ("materials", csv::pack_materials(view)?),
        ("sources", csv::sources(&sources)?),
        ("candidates", csv::candidates(&view.size)?),
        ("checks", csv::size_checks(&view.size)?),
        ("charge-lines", csv::charge_lines(&view.charge)?),
        ("charge-by-tube", csv::charge_by_tube(&view.charge)?),
        ("charge-budget", csv::charge_budget(&view.charge)?),
        ("charge-checks", csv::charge_checks(&view.charge)?),
        ("prove", csv::field(&view.prove)?),
        ("supply", csv::field(&view.supply)?),
    ];
    if let Some(compare) = &view.compare {
        tables.push(("layouts", csv::layouts(compare)?));
        tables.push(("layout-curve", csv::layout_curve(compare)?));
    }
    let file = |(name, content)| File { path: Path::new(TABLES).join(format!("{name}.csv")), content };
    Ok(tables.into_iter().map(file).collect())
}

/// Whether a file of a folder is one that a pack may hold.
fn ours(path: &Path) -> bool {
    let parts: Vec<&str> = path
        .components()
        .filter_map(|part| match part {
            Component::Normal(name) => name.to_str(),
            _ => None,
        })
        .collect();
    match parts.as_slice() {
        [PAGE | JSON] => true,
        [TABLES, name] => TABLE_NAMES.iter().any(|table| *name == format!("{table}.csv")),
        [CHARTS, name] => name.ends_with(".svg") && CHART_NAMES.iter().any(|kind| name.starts_with(kind)),
        _ => false,
    }
}

/// Every table that a pack may hold.
const TABLE_NAMES: [&str; 13] = [
    "summary",
    "materials",
    "sources",
    "candidates",
    "checks",
    "charge-lines",
    "charge-by-tube",
    "charge-budget",
    "charge-checks",
    "prove",
    "supply",
    "layouts",
    "layout-curve",
];

/// How the names of its charts begin.
const CHART_NAMES: [&str; 8] = [
    "run-against-allowable-",
    "line-profile-",
    "riser-flux-",
    "isometric-",
    "charge-against-run-",
    "layout-",
    "head-pressure-",
    "cycle-",
];

//! Any bytes are rows of a table or a fault of the whole; any row is put into the template as a job, or its faults are told.
#![no_main]

use report::{
    batch::{Columns, Rows},
    job,
};
use std::sync::LazyLock;
use tables::Library;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().expect("the tables are sound"));

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let mut rows = match Rows::new(bytes) {
        Ok(rows) => rows,
        Err(fault) => return assert!(!fault.to_string().is_empty()),
    };
    let template = job::read("template", job::STARTER.as_bytes()).expect("the starter is a job");
    let columns = Columns::new(rows.header(), rows.separator(), job::STARTER, &template, &LIBRARY);
    let mut last = rows.header().number;
    while let Ok(Some(row)) = rows.next_row() {
        assert!(row.number > last && row.cells.iter().any(|cell| !cell.is_empty()));
        last = row.number;
        let Ok(columns) = &columns else { continue };
        match columns.compose(&row) {
            Ok(composed) => {
                if let Err(faults) = job::read("row", composed.text.as_bytes()) {
                    assert_eq!(columns.told(&faults, &composed).len(), faults.len());
                }
            }
            Err(faults) => assert!(!faults.is_empty()),
        }
    }
});

//! The library's refrigerants, parsed once.

use physics::fluid::{GridData, GridRefrigerant};
use std::{collections::BTreeMap, sync::LazyLock};
use tables::Library;

pub(crate) static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().unwrap());

static FLUIDS: LazyLock<BTreeMap<String, (GridData, GridRefrigerant)>> = LazyLock::new(|| {
    let parse = |name: String| {
        let data = LIBRARY.grid(&name).unwrap();
        let fluid = GridRefrigerant::new(&data).unwrap();
        (name, (data, fluid))
    };
    LIBRARY.grids().unwrap().into_iter().map(parse).collect()
});

/// The property model of a refrigerant by its trade name.
pub(crate) fn refrigerant(name: &str) -> &'static GridRefrigerant {
    &FLUIDS.get(name).unwrap_or_else(|| panic!("the library has no grid of {name}")).1
}

/// The table behind it.
pub(crate) fn grid(name: &str) -> &'static GridData {
    &FLUIDS.get(name).unwrap_or_else(|| panic!("the library has no grid of {name}")).0
}

/// Trade names of all refrigerants that the library has a grid of.
pub(crate) fn refrigerants() -> Vec<&'static str> {
    FLUIDS.keys().map(String::as_str).collect()
}

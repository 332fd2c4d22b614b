//! The generator's equations and component models against published values, by `data/generate/check_published.py`:
//! what the grids cannot answer (components of blends, states of a given density, residual Helmholtz energies).

use crate::support::generator;

#[test]
fn the_generator_meets_published_values() {
    let Some(table) = generator::run("check_published.py", &[]) else { return };
    // 1,055 + 51 rows: a table must not lose its rows unseen.
    assert!(table.contains("1049 rows compared, 57 rejected"), "{table}");
}

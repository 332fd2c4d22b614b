//! Rebuilds the crate when a data file appears or disappears: the embedding macro does not watch its folders.

fn main() {
    for folder in
        ["tubes", "fittings", "insulation", "refrigerants", "limits", "field", "materials", "properties"]
    {
        println!("cargo::rerun-if-changed=../../data/{folder}");
    }
}

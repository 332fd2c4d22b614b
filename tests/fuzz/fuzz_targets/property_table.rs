//! Any bytes as one file of a property grid give a grid or a typed fault; a grid gives a refrigerant or a typed fault,
//! and a refrigerant answers.
#![no_main]

use libfuzzer_sys::fuzz_target;
use physics::{
    fluid::{GridRefrigerant, Refrigerant},
    units::{AbsolutePressure, SpecificEnthalpy, unit::available_energy::joule_per_kilogram},
};
use std::{fs, path::Path, sync::LazyLock};
use tables::Library;
use tempfile::TempDir;

const NAME: &str = "R-448A";
const FILES: [&str; 4] = ["saturation", "vapour", "liquid", "glide"];
/// Rows kept of a sound grid: five nodes an axis, the fewest that make a refrigerant, so that one run is short.
const NODES: usize = 5;

struct Place {
    folder: TempDir,
    library: Library,
    sound: [String; 4],
}

static PLACE: LazyLock<Place> = LazyLock::new(|| {
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data");
    let folder = tempfile::tempdir().expect("a folder for the run");
    for table in ["tubes", "fittings", "insulation", "refrigerants", "limits"] {
        fs::create_dir(folder.path().join(table)).expect("a folder");
        for entry in fs::read_dir(data.join(table)).expect("the project's data") {
            let entry = entry.expect("an entry");
            fs::copy(entry.path(), folder.path().join(table).join(entry.file_name())).expect("a copy");
        }
    }
    fs::create_dir_all(folder.path().join("properties").join(NAME)).expect("a folder");
    let sound = FILES.map(|file| {
        let text = fs::read_to_string(data.join(format!("properties/{NAME}/{file}.csv")))
            .expect("the project's grid");
        shortened(&text)
    });
    let library = Library::open(folder.path()).expect("the project's tables");
    let place = Place { folder, library, sound };
    for (file, text) in FILES.iter().zip(&place.sound) {
        place.write(file, text.as_bytes());
    }
    GridRefrigerant::new(&place.library.grid(NAME).expect("a sound grid")).expect("a sound refrigerant");
    place
});

impl Place {
    fn write(&self, file: &str, bytes: &[u8]) {
        let path = self.folder.path().join(format!("properties/{NAME}/{file}.csv"));
        fs::write(path, bytes).expect("the folder of the run takes files");
    }
}

/// Notes, header and all rows up to the fifth node of the first column that a coarser table has too.
fn shortened(text: &str) -> String {
    let mut kept = String::new();
    let (mut seen, mut last) = (0, "");
    for line in text.lines() {
        let node = line.split(',').next().unwrap_or_default();
        if node.parse::<f64>().is_ok() && node != last {
            (seen, last) = (seen + 1, node);
        }
        // Saturation stands every 1 K, the coarsest table every 8 K.
        let limit = if text.contains("surface_tension_n_m") { 8 * (NODES - 1) + 1 } else { NODES };
        if seen > limit {
            break;
        }
        kept.push_str(line);
        kept.push('\n');
    }
    kept
}

/// Bytes that begin a table of their own, or else edits of a sound one: replace the rest of a cell somewhere.
fn edited(sound: &str, bytes: &[u8]) -> Vec<u8> {
    let Some((&[high, low, cut], put)) = bytes.split_first_chunk::<3>() else { return bytes.to_vec() };
    let at = usize::from(u16::from_be_bytes([high, low])) % sound.len();
    let resume = (at + usize::from(cut)).min(sound.len());
    let sound = sound.as_bytes();
    [&sound[..at], put, &sound[resume..]].concat()
}

fuzz_target!(|input: (u8, bool, &[u8])| {
    let (which, edit, bytes) = input;
    let place = &*PLACE;
    let which = usize::from(which) % FILES.len();
    let bytes = if edit { edited(&place.sound[which], bytes) } else { bytes.to_vec() };
    place.write(FILES[which], &bytes);
    let read = place.library.property_table(NAME);
    place.write(FILES[which], place.sound[which].as_bytes());

    match read {
        Ok(table) => match GridRefrigerant::new(&table.data) {
            Ok(fluid) => {
                for pressure_pa in [7e4, 1e5, 1.7e5] {
                    for enthalpy_j_kg in [1e5, 1.3e5, 2.5e5, 3.8e5, 4e5] {
                        let _ = fluid.state(
                            AbsolutePressure::from_pascal(pressure_pa),
                            SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy_j_kg),
                        );
                    }
                }
            }
            Err(fault) => assert!(!fault.to_string().is_empty()),
        },
        Err(fault) => assert!(fault.to_string().contains(NAME), "{fault}"),
    }
});

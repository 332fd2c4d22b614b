//! `--data DIR`: one changed row changes the answer, so the tables are data and not code.

use crate::command::{answer, line, number, repo, run};
use std::{fs, path::Path};

const JOB: &str = "data/jobs/plate-says.toml";

fn copied(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copied(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// A copy of `data/` with one piece of text of one file changed.
fn changed(file: &str, from: &str, to: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for part in
        ["tubes", "fittings", "insulation", "refrigerants", "limits", "field", "materials", "properties"]
    {
        copied(&repo("data").join(part), &folder.path().join(part));
    }
    let path = folder.path().join(file);
    let text = fs::read_to_string(&path).unwrap();
    assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {file}");
    fs::write(&path, text.replace(from, to)).unwrap();
    folder
}

#[test]
fn a_copy_of_the_tables_gives_the_built_in_answer() {
    for command in ["size", "charge"] {
        assert_eq!(run(&[command, JOB, "--data", "data"]).out, run(&[command, JOB]).out);
    }
}

/// Whoever asks where a number comes from must find it: the text of every row's source stands in the list.
#[test]
fn sources_lists_every_row_of_the_limits() {
    let listed = answer(&["sources"]);
    let listed: Vec<_> = listed["sources"].as_array().unwrap().iter().map(|row| &row["source"]).collect();
    let mut rows = 0;
    for entry in fs::read_dir(repo("data/limits")).unwrap() {
        let path = entry.unwrap().path();
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).unwrap();
        let source = reader.headers().unwrap().iter().position(|column| column == "source").unwrap();
        for row in reader.records() {
            let row = row.unwrap();
            assert!(listed.iter().any(|listed| **listed == row[source]), "{}: {row:?}", path.display());
            rows += 1;
        }
    }
    assert!(rows >= 72, "{rows} rows");
}

#[test]
fn a_thicker_wall_holds_less() {
    // 3/8 in OD soft coil, wall 0.032 in (0.1980 kg/m), with a wall of 0.040 in. The weight of copper with it:
    // pi x 8940 kg/m3 x wall x (outside diameter - wall) = 0.243 kg/m.
    let folder = changed(
        "tubes/tubes.csv",
        "ASTM B280,coil,annealed,3/8 in,,in,0.375,0.032,0.1980,",
        "ASTM B280,coil,annealed,3/8 in,,in,0.375,0.040,0.2430,",
    );
    let before = answer(&["charge", JOB]);
    let after = answer(&["charge", JOB, "--data", folder.path().to_str().unwrap()]);
    let (before, after) = (line(&before, "liquid"), line(&after, "liquid"));
    let ratio = number(after, "/charge_per_metre_kg_m") / number(before, "/charge_per_metre_kg_m");
    // Charge goes with the square of the bore. The drop of pressure along the line has some part in the mean density
    // of the liquid: 1e-4 of it over 10 kPa more, from the compressibility of the liquid (about 1e-8 1/Pa).
    let bores: f64 = (0.375 - 2.0 * 0.040) / (0.375 - 2.0 * 0.032);
    approx::assert_relative_eq!(ratio, bores * bores, max_relative = 1e-3);
    approx::assert_relative_eq!(
        number(after, "/tube/bore_mm"),
        25.4 * (0.375 - 2.0 * 0.040),
        max_relative = 1e-9
    );
}

#[test]
fn a_stricter_limit_turns_the_verdict() {
    let row = "saturated-temperature-drop-discharge,2,0.1,20,degF,";
    let folder = changed("limits/limits.csv", row, "saturated-temperature-drop-discharge,0.5,0.1,20,degF,");
    assert_eq!(run(&["size", JOB]).status, 0);
    let data = folder.path().to_str().unwrap();
    let ran = run(&["size", JOB, "--data", data]);
    assert_eq!(ran.status, 1, "{}", ran.remarks);
    let size = answer(&["size", JOB, "--data", data]);
    let governing = &line(&size, "discharge")["checks"][0];
    assert_eq!(
        (&governing["kind"], &governing["verdict"]),
        (&"saturated-temperature-drop".into(), &"fails".into())
    );
    approx::assert_relative_eq!(number(governing, "/limit"), 0.5 / 1.8, max_relative = 1e-12);
}

#[test]
fn a_broken_row_is_told_with_file_and_line() {
    let folder = changed(
        "tubes/tubes.csv",
        "ASTM B280,coil,annealed,3/8 in,,in,0.375,0.032,",
        "ASTM B280,coil,annealed,3/8 in,,in,0.375,thin,",
    );
    let ran = run(&["size", JOB, "--data", folder.path().to_str().unwrap()]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    // The fifth tube of the table stands in its sixth line.
    for told in ["tubes.csv", "line 6", "wall", "`thin`"] {
        assert!(ran.remarks.contains(told), "{told}: {}", ran.remarks);
    }
}

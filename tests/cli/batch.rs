//! `lineset batch`: many jobs from a table, good rows beside bad ones, and runs that are broken off.

use crate::command::{Ran, answer, lineset, repo, run};
use report::batch::{self, Earlier, Request};
use serde_json::Value;
use std::{
    fs,
    path::{Path, PathBuf},
};
use tables::Library;
use tempfile::TempDir;

const EXAMPLE: &str = "data/jobs/many-roofs.csv";
const EXAMPLE_TEMPLATE: &str = "data/jobs/harbour-fish-counter.toml";

/// A small job, quick to compute.
const TEMPLATE: &str = "format = 1
[job]
name = \"Roofs (invented)\"
[site]
altitude = \"160 ft\"
design_air = \"88 °F\"
lowest_air = \"20 °F\"
[stock]
tubes = [\"ASTM B280 coil\"]
[set.boat-house]
refrigerant = \"R-134a\"
compressor_at = \"head\"
receiver_at = \"head\"
confirm = [\"service\"]
heat_rejection = \"24 000 Btu/h\"
discharge_gas = \"175 °F\"
condensing = \"105 °F\"
subcooling = \"6 °F at condenser outlet\"
peak_flow = 1.4
least_load = \"70 %\"
head_pressure = { method = \"fan cycling\", setting = \"80 °F\" }
[set.boat-house.maker]
factory_charge = \"9 lb\"
covered_run = \"50 ft\"
covered_tubes = { discharge = \"5/8 in OD\", liquid = \"3/8 in OD\" }
covered_winter = \"-20 °F\"
longest_run = \"100 ft\"
highest_rise = \"40 ft\"
[set.boat-house.route]
run = \"62 ft\"
lift = \"16 ft\"
elbows = 4
[set.boat-house.line.discharge]
tube = \"5/8 in OD\"
[set.boat-house.line.liquid]
tube = \"1/2 in OD\"
";

/// A folder with a template and a table in it.
struct Desk {
    folder: TempDir,
}

impl Desk {
    fn new(table: impl AsRef<[u8]>) -> Self {
        let desk = Self { folder: tempfile::tempdir().unwrap() };
        fs::write(desk.path("job.toml"), TEMPLATE).unwrap();
        fs::write(desk.path("table.csv"), table).unwrap();
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn command(&self, options: &[&str]) -> std::process::Command {
        let mut command = lineset();
        command.arg("batch").arg(self.path("table.csv")).arg("--job").arg(self.path("job.toml"));
        command.arg("--out").arg(self.path("out.csv")).args(options);
        command
    }

    fn run(&self, options: &[&str]) -> Ran {
        self.command(options).output().unwrap().into()
    }

    fn out(&self) -> String {
        fs::read_to_string(self.path("out.csv")).unwrap()
    }
}

/// A table of results: the cell of a column in each row.
struct Results {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Results {
    fn read(text: &str) -> Self {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
        Self { header, rows }
    }

    fn cell(&self, row: usize, column: &str) -> &str {
        let place = self.header.iter().position(|name| name == column);
        &self.rows[row][place.unwrap_or_else(|| panic!("no column {column}: {:?}", self.header))]
    }

    fn column(&self, column: &str) -> Vec<&str> {
        (0..self.rows.len()).map(|row| self.cell(row, column)).collect()
    }
}

#[test]
fn the_example_tells_its_story() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("results.csv");
    let out_path = out.to_str().unwrap();
    let ran = run(&["batch", EXAMPLE, "--job", EXAMPLE_TEMPLATE, "--out", out_path, "--allowable-lengths"]);
    assert_eq!((ran.status, ran.out.as_str()), (1, ""), "{}", ran.remarks);
    assert!(ran.remarks.contains("8 rows: "), "{}", ran.remarks);
    let results = Results::read(&fs::read_to_string(&out).unwrap());
    assert!(results.column("name").iter().all(|name| name.ends_with("(invented)")));
    let row = |name: &str| results.column("name").iter().position(|found| found.starts_with(name)).unwrap();
    assert_eq!(results.cell(row("Harbour"), "verdict"), "meets");
    let customs = row("Customs");
    assert_eq!(
        (results.cell(customs, "verdict"), results.cell(customs, "governing_check")),
        ("fails", "run")
    );
    let smokehouse = row("Smokehouse");
    assert_eq!(results.cell(smokehouse, "verdict"), "fails");
    assert_eq!(results.cell(smokehouse, "discharge_tube"), "3/8 in OD");
    assert_eq!(results.cell(smokehouse, "discharge_stopped_by"), "saturated-temperature-drop");
    assert!(results.column("fault").iter().all(|fault| fault.is_empty()));
    // The file itself says that it is invented.
    assert!(fs::read_to_string(repo(EXAMPLE)).unwrap().starts_with("# INVENTED example"));
}

/// 300 rows, 3 % of them bad, each in its own way.
#[test]
fn bad_rows_are_told_by_column_while_the_others_run() {
    let bad: [(usize, &str, &str, &[&str]); 9] = [
        (10, "160,88 °F,,60 ft", "site.altitude", &["`160 ft`", "`160 m`"]),
        (
            40,
            "160 ft,88 °F,18 quarts,60 ft",
            "set.boat-house.heat_rejection",
            &["quarts", "known units: Btu/h"],
        ),
        (77, "160 ft,88 °F,,66 kilometre", "set.boat-house.route.run", &["known units: m, cm"]),
        (100, "160 ft,cold,,60 ft", "site.design_air", &["write"]),
        (133, "160 ft,88 °F,[24,60 ft", "set.boat-house.heat_rejection", &["is no whole list"]),
        (150, "160 ft,88 °F,,60 ft,9", "", &["5 cells and the header 4", "quotation marks"]),
        (200, "160 ft,110 °F,,60 ft", "site.design_air", &["condensing"]),
        (250, "160 ft,88 °F,,\"1 ft, perhaps\"", "set.boat-house.route.run", &["did you mean `1 ft`?"]),
        (299, "90 000 ft,88 °F,,60 ft", "site.altitude", &["between -500 m and 5,000 m"]),
    ];
    let mut table =
        "site.altitude,site.design_air,set.boat-house.heat_rejection,set.boat-house.route.run\n".to_owned();
    for row in 0..300 {
        let line = match bad.iter().find(|(at, ..)| *at == row) {
            Some((_, line, ..)) => (*line).to_owned(),
            None => format!(
                "{} ft,{} °F,{} Btu/h,{} ft",
                10 * row,
                70 + row % 20,
                20_000 + 10 * row,
                50 + row % 40
            ),
        };
        table.push_str(&line);
        table.push('\n');
    }
    let desk = Desk::new(table);
    let ran = desk.run(&[]);
    assert_eq!(ran.status, 1, "{}", ran.remarks);
    assert!(ran.remarks.contains("fault 9"), "{}", ran.remarks);
    let results = Results::read(&desk.out());
    assert_eq!(results.rows.len(), 300);
    for row in 0..300 {
        assert_eq!(results.cell(row, "row"), (row + 2).to_string());
        let fault = results.cell(row, "fault");
        match bad.iter().find(|(at, ..)| *at == row) {
            None => {
                assert_eq!(fault, "", "row {row}");
                assert!(!results.cell(row, "added_kg").is_empty(), "row {row}");
            }
            Some((_, line, column, words)) => {
                assert_eq!(results.cell(row, "verdict"), "fault", "{line}");
                let column = if column.is_empty() { String::new() } else { format!("column `{column}`") };
                for word in [&[column.as_str()], *words].concat() {
                    assert!(fault.contains(word), "{line}: `{word}` is not in: {fault}");
                }
                assert!(ran.remarks.contains(&format!("row {}: {fault}", row + 2)), "{}", ran.remarks);
            }
        }
    }
    // The order is that of the table, however many work on it.
    let alone = Desk::new(fs::read(desk.path("table.csv")).unwrap());
    assert_eq!(alone.command(&[]).env("RAYON_NUM_THREADS", "1").status().unwrap().code(), Some(1));
    assert_eq!(alone.out(), desk.out());
}

#[test]
fn dates_are_offered_as_what_they_may_have_been() {
    let key = "set.boat-house.line.liquid.tube";
    for (cell, offer) in [
        ("01. Feb", "`1/2 in OD`"),
        ("2-Jan", "`1/2 in OD`"),
        ("8-Mar", "`3/8 in OD`"),
        ("45293", "`1/2 in OD`"),
        ("2024-03-08", "`3/8 in OD`"),
        ("8. Mrz", "`3/8 in OD`"),
    ] {
        let desk = Desk::new(format!("{key}\n{cell}\n"));
        assert_eq!(desk.run(&[]).status, 1);
        let out = desk.out();
        let fault = Results::read(&out).cell(0, "fault").to_owned();
        assert!(fault.contains(offer) && fault.contains(&format!("column `{key}`")), "{cell}: {fault}");
        assert!(fault.contains("format the column as text"), "{cell}: {fault}");
    }
    let desk = Desk::new("set.boat-house.maker.covered_run,name\n2-Jan,2-Jan\n");
    assert_eq!(desk.run(&[]).status, 1);
    let results = Results::read(&desk.out());
    assert_eq!(results.cell(0, "name"), "2-Jan", "a name is what it is");
    assert!(results.cell(0, "fault").contains("(`1/2 in`?)"), "{}", results.cell(0, "fault"));
}

/// The same jobs, as different spreadsheets write them.
#[test]
fn dialects_of_spreadsheets_mean_the_same() {
    let plain = "name,site.altitude,set.boat-house.route.run,set.boat-house.line.liquid.tube\n\
                 one,12.5 m,18.5 m,\"1/2\"\" OD\"\ntwo,,61 ft,\n";
    let results = |table: &[u8]| {
        let desk = Desk::new(table);
        let ran = desk.run(&[]);
        assert!(ran.status < 2, "{}", ran.remarks);
        assert!(!desk.out().contains("fault,"), "{}", ran.remarks);
        let read = Results::read(&desk.out());
        assert!(read.column("fault").iter().all(|fault| fault.is_empty()), "{}", ran.remarks);
        desk.out()
    };
    let expected = results(plain.as_bytes());
    let semicolons = "name;site.altitude;set.boat-house.route.run;set.boat-house.line.liquid.tube;;\r\n\
                      one;12,5\u{a0}m;18,5 m;1/2\" OD;;\r\ntwo;;61 ft;;;\r\n;;;;;\r\n\r\n";
    let utf_16: Vec<u8> =
        "\u{feff}".encode_utf16().chain(semicolons.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    for table in [
        semicolons.as_bytes().to_vec(),
        [b"\xef\xbb\xbf", semicolons.as_bytes()].concat(),
        [b"sep=;\r\n", semicolons.as_bytes()].concat(),
        utf_16,
        semicolons.replace(';', "\t").into_bytes(),
    ] {
        assert_eq!(results(&table), expected, "{}", String::from_utf8_lossy(&table));
    }
    let broken_cell = "name,set.boat-house.route.run\n\"two\nlines\",61 ft\nlast,62 ft\n";
    let desk = Desk::new(broken_cell);
    assert!(desk.run(&[]).status < 2);
    let read = Results::read(&desk.out());
    assert_eq!(read.column("name"), ["two lines", "last"]);
    assert_eq!(read.column("row"), ["2", "3"]);
    let thousands = Desk::new("site.altitude;name\n1,100 m;x\n");
    assert_eq!(thousands.run(&[]).status, 1);
    let fault = Results::read(&thousands.out()).cell(0, "fault").to_owned();
    assert!(fault.contains("`1100`") && fault.contains("`1.1000`"), "{fault}");
}

#[test]
fn cells_are_texts_numbers_flags_and_lists() {
    let legs = "set.boat-house.route.run,set.boat-house.route.elbows,set.boat-house.peak_flow,set.boat-house.confirm,\
                set.boat-house.route.foot_trap,stock.tubes\n\
                62 ft,2,1.5,\"[\"\"service\"\"]\",TRUE,\"[\"\"ASTM B280 coil\"\", \"\"ASTM B280 straight\"\"]\"\n,,,,,\nx,,,,,\n";
    let desk = Desk::new(legs);
    desk.run(&[]);
    let results = Results::read(&desk.out());
    assert_eq!(results.rows.len(), 2, "a row of empty cells is none");
    assert_eq!(results.cell(0, "fault"), "");
    assert!(results.cell(1, "fault").contains("set.boat-house.route.run"));
    assert_eq!(results.column("row"), ["2", "4"]);
}

#[test]
fn a_wrong_header_is_one_fault_of_the_whole_table() {
    for (header, words) in [
        ("set.boat-house.capcity", &["column 1 (`set.boat-house.capcity`)", "did you mean `capacity`?"][..]),
        ("set.boathouse.route.run", &["did you mean `set.boat-house.route.run`?"]),
        ("altitude", &["belongs in [site]"]),
        ("site.altitude,name,site.altitude", &["column 3 (`site.altitude`)", "column 1 already"]),
        ("set.boat-house.maker", &["table"]),
        (
            "limits.saturated-temperature-dorp-liquid",
            &["did you mean `limits.saturated-temperature-drop-liquid`?"],
        ),
        ("Run (ft)", &["this is no key"]),
    ] {
        let desk = Desk::new(format!("{header}\n1\n"));
        let ran = desk.run(&[]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{header}: {}", ran.remarks);
        for word in words {
            assert!(ran.remarks.contains(word), "{header}: `{word}` is not in: {}", ran.remarks);
        }
        assert!(!desk.path("out.csv").exists() && !desk.path("out.csv.part").exists());
    }
    for (table, word) in [
        ("", "is empty"),
        ("site.altitude\n", "no row stands below the header"),
        ("site.altitude\n\"12 m\n", "never closed"),
    ] {
        let ran = Desk::new(table).run(&[]);
        assert!(ran.status == 2 && ran.remarks.contains(word), "{table}: {}", ran.remarks);
    }
    let desk = Desk::new("site.altitude\n12 m\n");
    fs::write(desk.path("job.toml"), TEMPLATE.replace("condensing", "condensate")).unwrap();
    let ran = desk.run(&[]);
    assert!(
        ran.status == 2 && ran.remarks.contains("whole job by itself") && ran.remarks.contains("condensate")
    );
}

#[test]
fn status_0_where_every_row_meets() {
    let desk = Desk::new("set.boat-house.route.run\n55 ft\n60 ft\n");
    let ran = desk.run(&[]);
    let results = Results::read(&desk.out());
    assert_eq!(results.column("verdict"), ["meets", "meets"], "{}", desk.out());
    assert_eq!(ran.status, 0, "{}", ran.remarks);
    assert!(ran.remarks.contains("2 rows: meets 2"), "{}", ran.remarks);
}

/// A part of the results, cut at every line and at places within lines, is gone on with to the very same bytes.
#[test]
fn a_run_broken_off_at_any_byte_is_gone_on_with() {
    let rows: String = (0..6).map(|row| format!("{} ft,\"roof, {row}\"\n", 50 + 3 * row)).collect();
    let table = format!("set.boat-house.route.run,name\n{rows}x,bad\n");
    let desk = Desk::new(&table);
    let part_path = desk.path("out.csv.part");
    assert_eq!(desk.run(&["--resume"]).status, 1, "with nothing to go on from it begins");
    let whole = desk.out();
    assert!(!part_path.exists());
    let refused = desk.run(&[]);
    assert!(refused.status == 2 && refused.remarks.contains("--replace"), "{}", refused.remarks);

    let part = first_line(&desk) + &whole;
    let line_ends = part.match_indices('\n').map(|(at, _)| at + 1);
    let within = [0, 1, 17, part.len() / 3, part.len() / 2, part.len() - 1];
    for cut in line_ends.chain(within) {
        fs::remove_file(desk.path("out.csv")).unwrap();
        fs::write(&part_path, &part.as_bytes()[..cut]).unwrap();
        assert_eq!(desk.run(&[]).status, 2, "a part is not overwritten unasked");
        let ran = desk.run(&["--resume"]);
        assert_eq!(ran.status, 1, "cut at {cut}: {}", ran.remarks);
        assert_eq!(desk.out(), whole, "cut at {cut}");
        assert!(!part_path.exists());
    }

    let resumed = |table: &str, content: &str| {
        let desk = Desk::new(table);
        fs::write(desk.path("out.csv.part"), content).unwrap();
        let ran = desk.run(&["--resume"]);
        assert_eq!(fs::read_to_string(desk.path("out.csv.part")).unwrap(), content, "it is left as it is");
        (ran.status, ran.remarks)
    };
    let (status, remarks) = resumed(&table.replace("50 ft", "51 ft"), &part);
    assert!(status == 2 && remarks.contains("was not made from this table"), "{remarks}");
    let third_row_gone: String =
        part.split_inclusive('\n').enumerate().filter(|(line, _)| *line != 4).map(|(_, line)| line).collect();
    let (status, remarks) = resumed(&table, &third_row_gone);
    assert!(status == 2 && remarks.contains("line 5"), "{remarks}");

    fs::write(&part_path, "something else").unwrap();
    assert_eq!(desk.run(&["--replace"]).status, 1);
    assert_eq!(desk.out(), whole);
}

/// What the part file begins with, seen before the first row is written.
fn first_line(desk: &Desk) -> String {
    let other = Desk::new(fs::read(desk.path("table.csv")).unwrap());
    let (table, template, out) = (other.path("table.csv"), other.path("job.toml"), other.path("out.csv"));
    let (earlier, allowable_lengths) = (Earlier::Refuse, false);
    let request =
        Request { table: &table, template: &template, out: &out, earlier, allowable_lengths, data: None };
    let mut part = String::new();
    let mut look = |_| {
        if part.is_empty() {
            part = fs::read_to_string(other.path("out.csv.part")).unwrap();
        }
    };
    batch::run(&request, &Library::embedded().unwrap(), &mut look).unwrap();
    assert!(part.starts_with("# lineset ") && part.lines().count() == 2, "{part}");
    part.split_inclusive('\n').next().unwrap().to_owned()
}

#[test]
fn allowable_lengths_may_be_asked_for_and_nothing_else_changes() {
    let table = "set.boat-house.route.run\n55 ft\n60 ft\n";
    let (with, without) = (Desk::new(table), Desk::new(table));
    assert_eq!((with.run(&["--allowable-lengths"]).status, without.run(&[]).status), (0, 0));
    let (with, without) = (Results::read(&with.out()), Results::read(&without.out()));
    let gone: Vec<&String> = with.header.iter().filter(|name| !without.header.contains(name)).collect();
    assert!(
        gone.len() == 6 && gone.iter().all(|name| name.contains("allowable") || name.contains("stopped_by"))
    );
    for row in 0..2 {
        assert!(without.header.iter().all(|column| with.cell(row, column) == without.cell(row, column)));
        assert!(!with.cell(row, "liquid_allowable_length_m").is_empty());
    }
}

#[test]
fn inputs_are_never_replaced() {
    let desk = Desk::new("site.altitude\n12 m\n");
    for input in ["table.csv", "job.toml"] {
        let mut command = lineset();
        command.arg("batch").arg(desk.path("table.csv")).arg("--job").arg(desk.path("job.toml"));
        let ran: Ran = command.arg("--out").arg(desk.path(input)).arg("--replace").output().unwrap().into();
        assert!(ran.status == 2 && ran.remarks.contains("comes from"), "{}", ran.remarks);
    }
}

/// Every number of a row is the one that `size` and `charge` give for the same job.
#[test]
fn a_row_says_what_size_and_charge_say() {
    let mut random = 1_u64;
    let mut next = |below: u64| {
        // Numbers of a linear congruence (Knuth's MMIX constants, from memory): any spread of jobs will do.
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (random >> 33) % below
    };
    let jobs: Vec<[String; 5]> = (0..50)
        .map(|_| {
            let tube = |choice| ["choose", "5/8 in OD", "7/8 in OD", "choose"][choice as usize].to_owned();
            [
                format!("{} ft", next(3000)),
                format!("{} Btu/h", 12_000 + 500 * next(40)),
                format!("{} ft", 30 + next(100)),
                tube(next(4)),
                ["choose", "3/8 in OD"][next(2) as usize].to_owned(),
            ]
        })
        .collect();
    let mut table = "site.altitude,set.boat-house.heat_rejection,set.boat-house.route.run,\
                     set.boat-house.line.discharge.tube,set.boat-house.line.liquid.tube\n"
        .to_owned();
    for job in &jobs {
        table.push_str(&job.join(","));
        table.push('\n');
    }
    let desk = Desk::new(table);
    assert_eq!(desk.run(&["--allowable-lengths"]).status, 1);
    let results = Results::read(&desk.out());
    for (row, [altitude, heat, run_length, discharge, liquid]) in jobs.iter().enumerate() {
        let text = TEMPLATE
            .replace("160 ft", altitude)
            .replace("24 000 Btu/h", heat)
            .replace("run = \"62 ft\"", &format!("run = \"{run_length}\""))
            .replace("tube = \"5/8 in OD\"", &format!("tube = \"{discharge}\""))
            .replace("tube = \"1/2 in OD\"", &format!("tube = \"{liquid}\""));
        let path = desk.path("one.toml");
        fs::write(&path, text).unwrap();
        same_as_alone(&results, row, &path);
    }
}

fn same_as_alone(results: &Results, row: usize, job: &Path) {
    let job = job.to_str().unwrap();
    let (size, charge) = (answer(&["size", job]), answer(&["charge", job]));
    let (sized, charged) = (&size["sets"][0], &charge["sets"][0]);
    let words = |verdict: &Value| match verdict.as_str().unwrap() {
        "not-checked" => "not checked".to_owned(),
        "too-close-to-call" => "too close to call".to_owned(),
        other => other.to_owned(),
    };
    let number =
        |value: &Value| value.as_f64().map_or_else(String::new, |value| format!("{}", six_digits(value)));
    let same = |column: &str, expected: String| {
        assert_eq!(results.cell(row, column), expected, "row {row}, {column}");
    };
    same("size_verdict", words(&size["verdict"]));
    same("charge_verdict", words(&charge["verdict"]));
    for line in sized["lines"].as_array().unwrap() {
        let service = line["service"].as_str().unwrap();
        same(&format!("{service}_tube"), line["tube"]["name"].as_str().unwrap_or("none").to_owned());
        let candidates = line["candidates"].as_array().unwrap();
        if let Some(taken) = candidates.iter().find(|candidate| candidate["chosen"] == true) {
            same(&format!("{service}_allowable_length_m"), number(&taken["allowable_length_m"]));
            if let Some(stopped_by) = taken["stopped_by"].as_str() {
                same(&format!("{service}_stopped_by"), stopped_by.to_owned());
            }
        }
    }
    same("added_for_lines_kg", number(&charged["added_charge_kg"]));
    same("added_kg", number(&charged["budget"]["added_kg"]));
    same("total_kg", number(&charged["total_charge_kg"]));
    // The governing check is one of the sheets', with its very numbers.
    let of_lines =
        sized["lines"].as_array().unwrap().iter().flat_map(|line| line["checks"].as_array().unwrap());
    let all = sized["checks"]
        .as_array()
        .unwrap()
        .iter()
        .chain(of_lines)
        .chain(charged["checks"].as_array().unwrap());
    let governs = |check: &&Value| {
        check["kind"] == results.cell(row, "governing_check")
            && number(&check["value"]) == results.cell(row, "value")
            && number(&check["limit"]) == results.cell(row, "limit")
            && number(&check["margin"]) == results.cell(row, "margin")
    };
    assert!(all.into_iter().any(|check| governs(&check)), "row {row}: {:?}", results.rows[row]);
}

fn six_digits(value: f64) -> f64 {
    format!("{value:.5e}").parse::<f64>().unwrap() + 0.0
}

use super::*;
use crate::sample;
use crate::study::FlagText;
use clap::CommandFactory;
use std::{cell::RefCell, fs};
use unicode_width::UnicodeWidthStr;

/// Answers with the invented samples and keeps what it was asked.
#[derive(Default)]
struct SampleEngine {
    verdict: Option<VerdictView>,
    asked: RefCell<Vec<ChargeRequest>>,
}

impl Engine for SampleEngine {
    fn starter_job(&self) -> String {
        "format = 1\n".into()
    }

    fn prove(&self, _: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault> {
        Ok(Answer::plain(sample::field()))
    }

    fn supply(&self, _: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault> {
        Ok(Answer::plain(sample::field()))
    }

    fn size(&self, request: &SizeRequest) -> Result<Answer<SizeView>, EdgeFault> {
        if !request.job.exists() {
            return Err(EdgeFault::Read {
                path: request.job.clone(),
                source: std::io::ErrorKind::NotFound.into(),
            });
        }
        let mut view = sample::size();
        view.verdict = self.verdict.unwrap_or(view.verdict);
        Ok(Answer { view, units: Some(Units::Si), remarks: vec!["remark: 66 m is a long run".into()] })
    }

    fn charge(&self, request: &ChargeRequest) -> Result<Answer<ChargeView>, EdgeFault> {
        self.asked.borrow_mut().push(request.clone());
        Ok(Answer::plain(sample::charge()))
    }

    fn compare(&self, _: &CompareRequest) -> Result<Answer<CompareView>, EdgeFault> {
        Ok(Answer::plain(sample::compare()))
    }

    fn pack(&self, request: &PackRequest) -> Result<Answer<PackView>, EdgeFault> {
        Workshop.pack(request)
    }

    fn tubes(&self, _: &ListRequest) -> Result<Answer<TubesView>, EdgeFault> {
        Ok(Answer::plain(TubesView { tubes: sample::stock().to_vec() }))
    }

    fn refrigerants(&self, request: &ListRequest) -> Result<Answer<RefrigerantsView>, EdgeFault> {
        Workshop.refrigerants(request)
    }

    fn refrigerant(&self, request: &SheetRequest) -> Result<Answer<RefrigerantSheetView>, EdgeFault> {
        Workshop.refrigerant(request)
    }

    fn card(&self, request: &CardRequest) -> Result<Answer<CardView>, EdgeFault> {
        Workshop.card(request)
    }

    fn sources(&self, _: &ListRequest) -> Result<Answer<SourcesView>, EdgeFault> {
        Ok(Answer::plain(SourcesView { sources: sample::size().sources }))
    }

    fn schema(&self, request: &ListRequest) -> Result<serde_json::Value, EdgeFault> {
        Workshop.schema(request)
    }
}

struct Ran {
    status: u8,
    out: String,
    remarks: String,
}

fn ran(engine: &SampleEngine, arguments: &[&str]) -> Ran {
    let (mut out, mut remarks) = (Vec::new(), Vec::new());
    let arguments = std::iter::once("lineset").chain(arguments.iter().copied());
    let status = run_with(arguments, engine, &mut out, &mut remarks);
    Ran { status, out: String::from_utf8(out).unwrap(), remarks: String::from_utf8(remarks).unwrap() }
}

fn sample_run(arguments: &[&str]) -> Ran {
    ran(&SampleEngine::default(), arguments)
}

/// A folder with a job file in it.
fn folder() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    fs::write(&job, "format = 1\n").unwrap();
    let job = job.to_str().unwrap().to_owned();
    (folder, job)
}

#[test]
fn the_definition_of_the_command_is_sound() {
    Cli::command().debug_assert();
}

#[test]
fn every_help_fits_the_width_and_shows_an_example() {
    for command in [
        &[][..],
        &["new"],
        &["size"],
        &["charge"],
        &["compare"],
        &["prove"],
        &["supply"],
        &["batch"],
        &["tubes"],
        &["refrigerants"],
        &["sources"],
        &["schema"],
        &["completions"],
        &["manual"],
    ] {
        for help in ["--help", "-h"] {
            let arguments: Vec<&str> = command.iter().copied().chain([help]).collect();
            let Ran { status, out, remarks } = sample_run(&arguments);
            assert_eq!((status, remarks.as_str()), (0, ""), "{arguments:?}");
            for line in out.lines() {
                assert!(line.width() <= 80, "{} columns in {arguments:?}: {line}", line.width());
            }
            let example =
                command.first().map_or("  lineset size ".into(), |name| format!("  lineset {name}"));
            assert!(out.contains(&example), "{arguments:?} has no example:\n{out}");
            assert!(!out.contains('\u{1b}'), "no colour into a pipe");
        }
    }
}

#[test]
fn help_and_version_are_answers_and_a_wrong_flag_is_a_fault() {
    assert_eq!(sample_run(&["--version"]).out, format!("lineset {}\n", env!("CARGO_PKG_VERSION")));
    let wrong = sample_run(&["size", "job.toml", "--unit", "si"]);
    assert_eq!((wrong.status, wrong.out.as_str()), (2, ""));
    assert!(wrong.remarks.contains("--units"), "{}", wrong.remarks);
    assert_eq!(sample_run(&[]).status, 2);
}

#[test]
fn the_status_follows_the_verdict() {
    let (_folder, job) = folder();
    for (verdict, status) in [
        (VerdictView::Meets, 0),
        (VerdictView::Fails, 1),
        (VerdictView::TooCloseToCall, 1),
        (VerdictView::NotChecked, 1),
    ] {
        let engine = SampleEngine { verdict: Some(verdict), ..SampleEngine::default() };
        assert_eq!(ran(&engine, &["size", &job]).status, status, "{verdict:?}");
    }
    let unread = sample_run(&["size", "nowhere.toml"]);
    assert_eq!(unread.status, 2);
    assert!(unread.remarks.starts_with("nowhere.toml can not be read: "), "{}", unread.remarks);
}

#[test]
fn the_option_wins_over_the_units_of_the_job() {
    let (_folder, job) = folder();
    assert!(sample_run(&["size", &job]).out.contains("run 28.0 m (92 ft)"));
    let us = sample_run(&["size", &job, "--units", "us"]);
    assert!(us.out.contains("run 92 ft (28.0 m)"));
    assert_eq!(us.remarks, "remark: 66 m is a long run\n");
}

#[test]
fn quiet_tells_faults_alone() {
    let (_folder, job) = folder();
    let told = sample_run(&["size", &job]);
    assert!(told.remarks.contains("remark: "));
    for arguments in [["--quiet", "size", &job], ["size", &job, "-q"]] {
        let quiet = sample_run(&arguments);
        assert_eq!((quiet.status, quiet.out.as_str(), quiet.remarks.as_str()), (told.status, &*told.out, ""));
    }
    let fault = sample_run(&["size", "no-such-job.toml", "--quiet"]);
    assert_eq!(fault.status, FAULT);
    assert!(fault.remarks.contains("no-such-job.toml"), "{}", fault.remarks);
}

#[test]
fn formats_and_tables() {
    let (_folder, job) = folder();
    let json: serde_json::Value =
        serde_json::from_str(&sample_run(&["size", &job, "--format", "json"]).out).unwrap();
    assert_eq!(json["sets"][0]["name"], "ice-room");
    let first = |arguments: &[&str]| sample_run(arguments).out.lines().next().unwrap().to_owned();
    assert!(first(&["size", &job, "--format", "csv"]).starts_with("set,line,tube,"));
    assert!(first(&["size", &job, "--format", "csv", "--table", "checks"]).starts_with("set,line,check,"));
    assert!(first(&["charge", &job, "--format", "csv"]).starts_with("set,tube,"));
    assert!(first(&["charge", &job, "--format", "csv", "--table", "lines"]).starts_with("set,line,tube,"));
    assert!(first(&["charge", &job, "--format", "csv", "--table", "checks"]).starts_with("set,line,check,"));
    assert!(first(&["tubes", "--format", "csv"]).starts_with("tube,product,"));
    assert!(first(&["sources", "--format", "csv"]).starts_with("what,source,"));
    let one = ["refrigerants", "R-449A", "--format", "csv"];
    assert!(first(&["refrigerants", "--format", "csv"]).starts_with("refrigerant,kind,"));
    assert!(first(&one).starts_with("refrigerant,kind,"));
    assert!(first(&[&one[..], &["--at", "40 °C"]].concat()).starts_with("refrigerant,asked,end,"));
    assert!(first(&[&one[..], &["--card"]].concat()).starts_with("refrigerant,altitude_m,temperature_c,"));
    assert!(sample_run(&["tubes"]).out.contains("1/2 in OD"));
    assert!(sample_run(&["sources", "--format", "json"]).out.contains("\"grade\": \"published\""));

    let no_csv = sample_run(&["size", &job, "--table", "checks"]);
    assert!(no_csv.status == 2 && no_csv.remarks.contains("add --format csv"), "{}", no_csv.remarks);
    let none = sample_run(&["size", &job, "--format", "csv", "--table", "by-tube"]);
    assert!(none.remarks.contains("write --table candidates or --table checks"), "{}", none.remarks);
}

#[test]
fn files_are_written_whole_and_never_over_others_unasked() {
    let (folder, job) = folder();
    let (out, charts) = (folder.path().join("sheet.txt"), folder.path().join("deep/charts"));
    let (out, charts) = (out.to_str().unwrap(), charts.to_str().unwrap());
    let arguments = ["size", &job, "--out", out, "--folder", charts];
    let first = sample_run(&arguments);
    assert_eq!((first.status, first.out.as_str()), (1, ""));
    assert!(
        first.remarks.contains("wrote ") && first.remarks.contains("run-against-allowable-1-ice-room.svg")
    );
    assert!(fs::read_to_string(out).unwrap().starts_with("TOO CLOSE TO CALL: "));

    fs::write(out, "mine").unwrap();
    let again = sample_run(&arguments);
    assert!(again.status == 2 && again.remarks.contains("--replace"), "{}", again.remarks);
    assert_eq!(fs::read_to_string(out).unwrap(), "mine");
    let replacing: Vec<&str> = arguments.iter().copied().chain(["--replace"]).collect();
    assert_eq!(sample_run(&replacing).status, 1);
    assert!(fs::read_to_string(out).unwrap().starts_with("TOO CLOSE TO CALL: "));

    let over_job = sample_run(&["size", &job, "--out", &job, "--replace"]);
    assert!(over_job.status == 2 && over_job.remarks.contains("is the job file itself"));
    assert_eq!(fs::read_to_string(&job).unwrap(), "format = 1\n");
}

#[test]
fn compare_answers_in_every_form_and_draws_its_charts() {
    let (folder, job) = folder();
    let text = sample_run(&["compare", &job]);
    assert_eq!(text.status, 0);
    assert!(
        text.out.starts_with("MEETS: Two rooms on one roof (invented)\nSet the condensers side by side: ")
    );
    let csv = |table: &str| sample_run(&["compare", &job, "--format", "csv", "--table", table]).out;
    assert!(csv("layouts").starts_with("layout,arrangement,"));
    assert!(csv("curve").starts_with("layout,by,from,"));
    let json: serde_json::Value =
        serde_json::from_str(&sample_run(&["compare", &job, "--format", "json"]).out).unwrap();
    assert_eq!(json["layouts"][1]["circuits"][0]["dome"][0]["pressure_pa"], 2e5);
    let none = sample_run(&["compare", &job, "--format", "csv", "--table", "lines"]);
    assert!(none.remarks.contains("write --table layouts or --table curve"), "{}", none.remarks);
    let charts = folder.path().join("charts");
    assert_eq!(sample_run(&["compare", &job, "--folder", charts.to_str().unwrap()]).status, 0);
    for name in ["layout-2-side-by-side.svg", "head-pressure-1-ice-room.svg", "cycle-2-cold-store.svg"] {
        assert!(charts.join(name).is_file(), "{name}");
    }
    let over_job = sample_run(&["compare", &job, "--out", &job, "--replace"]);
    assert!(over_job.status == 2 && over_job.remarks.contains("is the job file itself"));
}

#[test]
fn a_new_job_is_printed_or_written_once() {
    let (folder, _) = folder();
    let file = folder.path().join("new.toml");
    let file = file.to_str().unwrap();
    assert_eq!(sample_run(&["new"]).out, "format = 1\n");
    assert_eq!(sample_run(&["new", file]).status, 0);
    assert_eq!(sample_run(&["new", file]).status, 2);
    assert_eq!(sample_run(&["new", file, "--replace"]).status, 0);
}

#[test]
fn charge_takes_flags_as_they_are_written() {
    let engine = SampleEngine::default();
    let answer = ran(
        &engine,
        &[
            "charge",
            "--refrigerant",
            "R-449A",
            "--discharge",
            "1/2 in OD",
            "--liquid",
            "3/8",
            "--run",
            "92 ft",
            "--covered-run",
            "66 ft",
            "--receiver",
            "no",
            "--rate",
            "0.7 oz/ft",
            "--data",
            "tables",
        ],
    );
    assert_eq!(answer.status, 0, "{}", answer.remarks);
    assert!(answer.out.starts_with(
        "ADD 17.7 ± 1.4 oz (0.503 ± 0.041 kg) of R-449A: 1 lb 1.7 oz\nTotal charge 12 lb 7.7 oz (5.663 kg)\n"
    ));
    let expected = ChargeFlags {
        refrigerant: "R-449A".into(),
        discharge: "1/2 in OD".into(),
        liquid: "3/8".into(),
        run: "92 ft".into(),
        covered_run: Some("66 ft".into()),
        receiver: Some(false),
        rate: Some("0.7 oz/ft".into()),
        ..ChargeFlags::default()
    };
    let request = ChargeRequest {
        from: ChargeFrom::Flags(Box::new(expected)),
        units: None,
        data: Some(PathBuf::from("tables")),
    };
    assert_eq!(engine.asked.take(), [request]);
}

#[test]
fn charge_tells_plainly_what_does_not_go_together_and_what_is_missing() {
    let both = sample_run(&["charge", "job.toml", "--run", "92 ft", "--receiver", "yes"]);
    assert_eq!(both.status, 2);
    assert!(both.remarks.contains("job.toml came together with --run, --receiver"), "{}", both.remarks);
    let some = sample_run(&["charge", "--run", "92 ft", "--liquid", "3/8 in OD"]);
    assert!(
        some.remarks.starts_with("charge needs --refrigerant, --discharge\n(or a job file"),
        "{}",
        some.remarks
    );
    assert!(sample_run(&["charge"]).remarks.contains("--refrigerant, --discharge, --liquid, --run"));
    let rates = sample_run(&["charge", "--rate", "1 oz/ft", "--rate-liquid", "1 oz/ft"]);
    assert!(rates.status == 2 && rates.remarks.contains("cannot be used with"), "{}", rates.remarks);
}

#[test]
fn a_fault_of_a_study_is_told_with_its_causes() {
    let wrong = EdgeFault::Study {
        doing: "sizing the liquid line of ice-room".into(),
        source: Box::new(crate::deliver::DeliverError::Print(std::io::ErrorKind::StorageFull.into())),
    };
    assert!(
        wrong.to_string().starts_with("sizing the liquid line of ice-room: the answer can not be printed: ")
    );
    let text = |flag, given: &str| FlagText {
        flag,
        given: given.into(),
        why: "a length needs a unit".into(),
        instead: "write \"92 ft\" or \"28 m\"".into(),
    };
    let flags = EdgeFault::Flags { faults: vec![text("run", "92"), text("covered-run", "66")] };
    assert_eq!(
        flags.to_string(),
        "--run \"92\": a length needs a unit\n  write \"92 ft\" or \"28 m\"\n\
         --covered-run \"66\": a length needs a unit\n  write \"92 ft\" or \"28 m\""
    );
}

/// The sheets of the starter job and of flags, as the real studies fill them.
#[test]
fn real_sheets_fit_the_width_and_hold_the_same_numbers_in_both_unit_orders() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("starter.toml");
    fs::write(&job, crate::job::STARTER).unwrap();
    let job = job.to_str().unwrap();
    let flags = [
        "charge",
        "--refrigerant",
        "R-449A",
        "--discharge",
        "1/2 in OD straight",
        "--liquid",
        "3/8 in OD",
        "--run",
        "92 ft",
        "--covered-run",
        "66 ft",
        "--condensing",
        "110 °F bubble",
    ];
    let roof = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/jobs/two-on-the-roof.toml");
    let cellar = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/jobs/tight-and-dry.toml");
    let (proving, supplying) = (["prove", cellar], ["supply", cellar]);
    for arguments in [
        &["size", job][..],
        &["charge", job],
        &["compare", roof],
        &proving,
        &supplying,
        &["prove", job],
        &flags,
    ] {
        let printed = |units: &str| {
            let (mut out, mut remarks) = (Vec::new(), Vec::new());
            let whole = ["lineset"].into_iter().chain(arguments.iter().copied()).chain(["--units", units]);
            let status = run_with(whole, &Workshop, &mut out, &mut remarks);
            assert!(status < FAULT, "{}", String::from_utf8_lossy(&remarks));
            String::from_utf8(out).unwrap()
        };
        let numbers = |text: &str| {
            let parts = text.split(|c: char| !(c.is_ascii_digit() || c == '.'));
            let mut numbers: Vec<String> =
                parts.filter(|part| part.contains(|c: char| c.is_ascii_digit())).map(String::from).collect();
            numbers.sort();
            numbers
        };
        let (us, si) = (printed("us"), printed("si"));
        assert_eq!(numbers(&us), numbers(&si), "{arguments:?}");
        for line in us.lines().chain(si.lines()) {
            assert!(line.width() <= text::WIDTH, "{} columns: {line}", line.width());
        }
        for heading in ["Stocked tubes for the", "Charge per length by tube"] {
            for table in us.split("\n\n").filter(|part| part.starts_with(heading)) {
                assert!(table.lines().count() <= 26, "{table}");
            }
        }
    }
}

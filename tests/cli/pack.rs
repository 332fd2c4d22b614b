//! `lineset pack`: what the folder holds, that the page stands by itself, and that no other folder is lost.

use crate::command::{repo, run};
use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

const ONE: &str = "data/jobs/plate-says.toml";
const TWO: &str = "data/jobs/two-on-the-roof.toml";

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Every file under a folder, relative to it.
fn files(folder: &Path) -> BTreeSet<PathBuf> {
    let mut found = BTreeSet::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(inner) = folders.pop() {
        for entry in fs::read_dir(inner).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.insert(path.strip_prefix(folder).unwrap().to_path_buf());
            }
        }
    }
    found
}

fn packed(job: &str, path: &Path) -> String {
    let ran = run(&["pack", job, "--folder", text(path)]);
    assert!(ran.status < 2 && ran.out.is_empty(), "{}", ran.remarks);
    assert!(ran.remarks.contains("wrote "), "{}", ran.remarks);
    fs::read_to_string(path.join("index.html")).unwrap()
}

/// The values of an attribute wherever it stands in a tag.
fn attributes<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    let key = format!(" {name}=\"");
    page.split('<')
        .filter_map(|tag| tag.split_once('>').map(|(tag, _)| tag))
        .flat_map(|tag| tag.split(&key).skip(1).filter_map(|rest| rest.split('"').next()))
        .collect()
}

#[test]
fn a_pack_holds_page_json_tables_and_charts_and_each_chart_is_in_the_page() {
    let folder = tempfile::tempdir().unwrap();
    for (job, layouts) in [(ONE, false), (TWO, true)] {
        let path = folder.path().join(if layouts { "two" } else { "one" });
        let page = packed(job, &path);
        let files = files(&path);
        for name in [
            "index.html",
            "pack.json",
            "tables/materials.csv",
            "tables/candidates.csv",
            "tables/checks.csv",
            "tables/charge-budget.csv",
        ] {
            assert!(files.contains(Path::new(name)), "{name} in {files:?}");
        }
        assert_eq!(files.contains(Path::new("tables/layouts.csv")), layouts);
        let charts: Vec<_> =
            files.iter().filter(|path| path.extension().is_some_and(|it| it == "svg")).collect();
        assert!(charts.len() >= 4, "{charts:?}");
        for chart in charts {
            let svg = fs::read_to_string(path.join(chart)).unwrap();
            let (_, drawing) = svg.trim_end().split_once('>').unwrap();
            assert!(page.contains(drawing), "{} is not in the page", chart.display());
        }
        let json: serde_json::Value =
            serde_json::from_str(&fs::read_to_string(path.join("pack.json")).unwrap()).unwrap();
        assert!(json["size"]["sets"][0]["lines"].is_array() && json["verdict"].is_string());
    }
}

#[test]
fn the_page_loads_nothing_and_its_links_lead_somewhere() {
    let folder = tempfile::tempdir().unwrap();
    let page = packed(TWO, &folder.path().join("pack"));
    let ids: Vec<&str> = attributes(&page, "id");
    assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len(), "an id stands twice");
    let links = attributes(&page, "href");
    assert!(links.len() > 12, "{links:?}");
    for link in links {
        assert!(link.strip_prefix('#').is_some_and(|id| ids.contains(&id)), "{link} leads nowhere");
    }
    assert!(attributes(&page, "src").is_empty());
    for loads in ["<script", "<link", "<iframe", "<img", "<object", "@import", "url(", "<form"] {
        assert!(!page.contains(loads), "{loads}");
    }
    for section in [
        "fitter",
        "summary",
        "placing",
        "isometric",
        "lines",
        "charge",
        "layout",
        "roof",
        "supply",
        "materials",
        "tags",
        "prove",
        "records",
        "start-up",
        "assumptions",
        "sources",
        "cautions",
    ] {
        assert!(ids.contains(&section), "{section} in {ids:?}");
    }
    assert!(page.contains("Local code and licensed practice govern"));
}

#[test]
fn two_runs_write_the_same_files() {
    let folder = tempfile::tempdir().unwrap();
    let [first, second] = ["first", "second"].map(|name| folder.path().join(name));
    packed(ONE, &first);
    packed(ONE, &second);
    assert_eq!(files(&first), files(&second));
    for file in files(&first) {
        assert_eq!(
            fs::read(first.join(&file)).unwrap(),
            fs::read(second.join(&file)).unwrap(),
            "{}",
            file.display()
        );
    }
}

#[test]
fn both_unit_orders_are_on_the_page_and_the_one_asked_for_comes_first() {
    let folder = tempfile::tempdir().unwrap();
    for (units, first, second) in [("us", " ft (", " m)"), ("si", " m (", " ft)")] {
        let path = folder.path().join(units);
        assert!(run(&["pack", ONE, "--units", units, "--folder", text(&path)]).status < 2);
        let page = fs::read_to_string(path.join("index.html")).unwrap();
        let lengths = page
            .split(first)
            .skip(1)
            .filter(|rest| rest.chars().take(12).collect::<String>().contains(second));
        assert!(lengths.count() > 5, "{units}");
    }
}

#[test]
fn the_status_is_that_of_the_checks() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pack");
    let ran = run(&["pack", "data/jobs/too-far.toml", "--folder", text(&path)]);
    assert_eq!(ran.status, 1, "{}", ran.remarks);
    let ran = run(&["pack", "data/jobs/no-such.toml", "--folder", text(&folder.path().join("none"))]);
    assert_eq!(ran.status, 2, "{}", ran.remarks);
    assert!(!folder.path().join("none").exists());
}

#[test]
fn names_of_the_user_are_escaped() {
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    let written =
        fs::read_to_string(repo(ONE)).unwrap().replace("Clinic kitchen", "<b>&\\\"'</b><script>x</script>");
    assert!(written.contains("<script>"), "the example has another name by now");
    fs::write(&job, written).unwrap();
    let page = packed(text(&job), &folder.path().join("pack"));
    assert!(page.contains("&lt;b&gt;&amp;&quot;'&lt;/b&gt;&lt;script&gt;"), "the name is there");
    assert!(!page.contains("<b>") && !page.contains("<script"));
}

#[test]
fn an_existing_folder_is_replaced_only_when_asked_and_only_when_it_is_a_pack() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("pack");
    packed(TWO, &path);
    let before = files(&path);
    let pack = |options: &[&str]| run(&[&["pack", ONE, "--folder", text(&path)], options].concat());
    let refused = pack(&[]);
    assert_eq!((refused.status, refused.out.as_str()), (2, ""));
    assert!(
        refused.remarks.contains("exists already") && refused.remarks.contains("--replace"),
        "{}",
        refused.remarks
    );
    assert_eq!(files(&path), before);

    let kept = path.join("charts/holiday.svg");
    fs::write(&kept, "mine").unwrap();
    let refused = pack(&["--replace"]);
    assert_eq!(refused.status, 2);
    assert!(refused.remarks.contains("holiday.svg"), "{}", refused.remarks);
    assert_eq!(fs::read_to_string(&kept).unwrap(), "mine");
    fs::remove_file(&kept).unwrap();
    assert_eq!(files(&path), before);

    assert!(pack(&["--replace"]).status < 2);
    assert!(!path.join("tables/layouts.csv").exists(), "nothing of the older pack stays");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing temporary stays");
}

#[test]
fn a_file_in_the_way_and_a_parent_that_can_not_be_written_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("notes");
    fs::write(&file, "mine").unwrap();
    for path in [file.clone(), file.join("pack"), PathBuf::from("/proc/pack")] {
        for options in [&[][..], &["--replace"]] {
            let ran = run(&[&["pack", ONE, "--folder", text(&path)], options].concat());
            assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{}", path.display());
            assert!(ran.remarks.contains(text(&file)) || ran.remarks.contains("/proc"), "{}", ran.remarks);
        }
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

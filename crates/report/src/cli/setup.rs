//! What sets up an editor, a shell and the manual for the command: schema, completions, man pages.

use super::{ALL_MEET, EdgeFault, Ends, Engine, ListRequest, arguments::Cli, deliver, existing, json};
use crate::deliver::File;
use clap::{Args, Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct SchemaArguments {
    /// Write the schema to this file instead of printing it
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "out")]
    replace: bool,
    /// Folder with tables to use in place of the built-in ones
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CompletionsArguments {
    /// Shell that completes: bash, elvish, fish, powershell or zsh
    #[arg(value_enum, value_name = "SHELL", hide_possible_values = true)]
    shell: Shell,
}

#[derive(Debug, Args)]
pub(super) struct ManualArguments {
    /// Folder for the pages of the command and of its subcommands; without it the
    /// page of the command is printed
    #[arg(long, value_name = "DIR")]
    folder: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long, requires = "folder")]
    replace: bool,
}

pub(super) fn schema(
    arguments: &SchemaArguments,
    engine: &dyn Engine,
    ends: &mut Ends<'_>,
) -> Result<u8, EdgeFault> {
    let schema = engine.schema(&ListRequest { data: arguments.data.clone() })?;
    let content = json(&schema)?;
    match &arguments.out {
        None => deliver::print(ends.out, &content)?,
        Some(path) => write(vec![File { path: path.clone(), content }], arguments.replace, ends)?,
    }
    Ok(ALL_MEET)
}

fn write(files: Vec<File>, replace: bool, ends: &mut Ends<'_>) -> Result<(), EdgeFault> {
    deliver::write(&files, existing(replace))?;
    for file in &files {
        ends.remark(&format!("wrote {}", file.path.display()));
    }
    Ok(())
}

pub(super) fn completions(arguments: &CompletionsArguments, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Cli::command(), "lineset", &mut script);
    deliver::print(ends.out, &String::from_utf8_lossy(&script))?;
    Ok(ALL_MEET)
}

pub(super) fn manual(arguments: &ManualArguments, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let mut command = Cli::command();
    command.build();
    let Some(folder) = &arguments.folder else {
        deliver::print(ends.out, &page(&command).content)?;
        return Ok(ALL_MEET);
    };
    let all = [&command].into_iter().chain(command.get_subcommands());
    let pages = all.map(page).map(|page| File { path: folder.join(page.path), ..page }).collect();
    deliver::make_folder(folder)?;
    write(pages, arguments.replace, ends)?;
    Ok(ALL_MEET)
}

/// The page of one command, in the language of manuals.
fn page(command: &Command) -> File {
    let man = Man::new(command.clone()).manual("lineset");
    let mut content = Vec::new();
    // Writing into memory does not fail.
    let sections = [
        Man::render_title,
        Man::render_name_section,
        Man::render_synopsis_section,
        Man::render_description_section,
        Man::render_options_section,
    ];
    sections.iter().for_each(|section| drop(section(&man, &mut content)));
    if command.has_subcommands() {
        drop(man.render_subcommands_section(&mut content));
    }
    let mut content = String::from_utf8_lossy(&content).into_owned();
    let after = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    after.split("\n\n").filter(|block| !block.trim().is_empty()).for_each(|block| push(&mut content, block));
    File { path: man.get_filename().into(), content }
}

/// A block of the text behind the help: a heading with lines that stay as they are, or running text.
fn push(page: &mut String, block: &str) {
    let (heading, lines) = match block.split_once('\n') {
        Some((first, lines)) if first.ends_with(':') => (first.trim_end_matches(':').to_uppercase(), lines),
        _ => ("NOTES".to_owned(), block),
    };
    page.push_str(&format!(".SH \"{heading}\"\n.nf\n"));
    for line in lines.lines() {
        // A backslash, and a point or a quote at the start of a line, are commands there.
        let line = line.replace('\\', "\\e").replace('-', "\\-");
        page.push_str(&format!("\\&{line}\n"));
    }
    page.push_str(".fi\n");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::{Workshop, run_with};
    use std::{collections::BTreeSet, fs, process};

    fn ran(arguments: &[&str]) -> (u8, String, String) {
        let (mut out, mut remarks) = (Vec::new(), Vec::new());
        let arguments = ["lineset"].iter().chain(arguments).copied();
        let status = run_with(arguments, &Workshop, &mut out, &mut remarks);
        (status, String::from_utf8(out).unwrap(), String::from_utf8(remarks).unwrap())
    }

    #[test]
    fn the_schema_is_printed_or_written_once() {
        let (status, out, remarks) = ran(&["schema"]);
        assert_eq!((status, remarks.as_str()), (ALL_MEET, ""));
        let schema: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        let limits = &schema["properties"]["limits"]["properties"];
        assert!(limits["saturated-temperature-drop-discharge"].is_object());
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("job.schema.json");
        let path = file.to_str().unwrap();
        assert_eq!(ran(&["schema", "--out", path]), (ALL_MEET, String::new(), format!("wrote {path}\n")));
        assert_eq!(fs::read_to_string(&file).unwrap(), out);
        assert_eq!(ran(&["schema", "--out", path]).0, crate::cli::FAULT);
        assert_eq!(ran(&["schema", "--out", path, "--replace"]).0, ALL_MEET);
    }

    #[test]
    fn every_shell_completes_every_command() {
        let command = Cli::command();
        for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
            let (status, script, _) = ran(&["completions", shell]);
            assert_eq!(status, ALL_MEET);
            for sub in command.get_subcommands() {
                assert!(script.contains(sub.get_name()), "{shell}: {}", sub.get_name());
            }
        }
        assert_eq!(ran(&["completions", "tcsh"]).0, crate::cli::FAULT);
    }

    /// Where there is a bash, it reads the script without complaint.
    #[cfg(unix)]
    #[test]
    fn bash_reads_its_completions() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("lineset.bash");
        fs::write(&file, ran(&["completions", "bash"]).1).unwrap();
        let checked = process::Command::new("bash").arg("-n").arg(&file).output();
        let checked = checked.expect("a bash to check its completions with");
        assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stderr));
    }

    #[test]
    fn every_command_has_its_page() {
        let folder = tempfile::tempdir().unwrap();
        let folder = folder.path().join("man1");
        let path = folder.to_str().unwrap();
        let (status, out, remarks) = ran(&["manual", "--folder", path]);
        assert_eq!((status, out.as_str()), (ALL_MEET, ""));
        let command = Cli::command();
        let subs = command.get_subcommands().map(|sub| format!("lineset-{}.1", sub.get_name()));
        let wanted: BTreeSet<_> = subs.chain(["lineset.1".to_owned()]).collect();
        let pages =
            fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
        assert_eq!(pages.collect::<BTreeSet<_>>(), wanted);
        assert_eq!(remarks.lines().count(), wanted.len());
        let main = fs::read_to_string(folder.join("lineset.1")).unwrap();
        for page in &wanted {
            let text = fs::read_to_string(folder.join(page)).unwrap();
            for section in ["NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS"] {
                assert!(text.contains(&format!("\n.SH {section}\n")), "{page}: {section}");
            }
            let name = page.trim_end_matches(".1").replace('-', "\\-");
            assert!(main.contains(&name), "{page} is not in the page of the command");
        }
        assert_eq!(ran(&["manual"]).1, main);
        assert_eq!(ran(&["manual", "--folder", path]).0, crate::cli::FAULT, "nothing is replaced unasked");
        assert_eq!(ran(&["manual", "--folder", path, "--replace"]).0, ALL_MEET);
    }

    #[test]
    fn lines_of_a_page_are_no_commands_to_its_reader() {
        let mut page = String::new();
        push(&mut page, "Examples:\n  .hidden \\\n'quoted' --out a");
        assert_eq!(page, ".SH \"EXAMPLES\"\n.nf\n\\&  .hidden \\e\n\\&'quoted' \\-\\-out a\n.fi\n");
    }
}

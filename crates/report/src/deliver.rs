//! How an answer leaves the program: to stdout or into files that appear whole or not at all.

use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
};
use tempfile::{Builder, NamedTempFile, TempDir};
use thiserror::Error;

/// What to do with a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Existing {
    /// Refuse; nothing is written.
    Refuse,
    /// Put the new file in its place.
    Replace,
}

/// An answer that could not be handed over.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum DeliverError {
    /// The file is there and may not be replaced.
    #[error("{} exists already; give another name, or --replace to replace it", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The path is there and is no plain file, so that no file can take its place.
    #[error("{} is not a plain file; give the name of a file", path.display())]
    NotAFile {
        /// The path.
        path: PathBuf,
    },
    /// Two answers would land in the same file.
    #[error("{} would be written twice; give different names", path.display())]
    Twice {
        /// The file.
        path: PathBuf,
    },
    /// The folder could not be made or written to.
    #[error("folder {} can not be used: {source}", path.display())]
    Folder {
        /// The folder.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The folder is there and may not be replaced.
    #[error("{} exists already; give another name, or --replace to replace an older answer there", path.display())]
    FolderExists {
        /// The folder.
        path: PathBuf,
    },
    /// The path is there and is no folder, so that no folder can take its place.
    #[error("{} is not a folder; give the name of a folder", path.display())]
    NotAFolder {
        /// The path.
        path: PathBuf,
    },
    /// The folder holds what an older answer does not, which would be lost with it.
    #[error(
        "{} is not replaced: it holds {}, which this command does not write. Give the name of a new folder",
        path.display(), foreign.display()
    )]
    Foreign {
        /// The folder.
        path: PathBuf,
        /// The first thing in it that is not ours.
        foreign: PathBuf,
    },
    /// The new folder is in its place, but the older one could not be removed.
    #[error("{} is written; the older one could not be removed and is left at {}: {source}", path.display(), left.display())]
    OldLeft {
        /// The folder.
        path: PathBuf,
        /// Where the older one is.
        left: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// Neither the new folder nor the older one could be moved into place.
    #[error("{} can not be written, and the older one is left at {}: {source}", path.display(), left.display())]
    OldAside {
        /// The folder.
        path: PathBuf,
        /// Where the older one is.
        left: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The file could not be written.
    #[error("{} can not be written: {source}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// Stdout refused.
    #[error("the answer can not be printed: {0}")]
    Print(#[source] io::Error),
}

/// A file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Where.
    pub path: PathBuf,
    /// What.
    pub content: String,
}

/// Prints a text. A reader that has gone away (`| head`) is no error.
///
/// # Errors
/// [`DeliverError::Print`] for any other failure.
pub fn print(out: &mut dyn Write, text: &str) -> Result<(), DeliverError> {
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.map_err(DeliverError::Print),
    }
}

/// Makes a folder with all folders above it, unless it is there.
///
/// # Errors
/// [`DeliverError::Folder`].
pub fn make_folder(path: &Path) -> Result<(), DeliverError> {
    fs::create_dir_all(path).map_err(|source| DeliverError::Folder { path: path.into(), source })
}

/// Writes files: first all into temporary files beside their places, then each is moved into place. No file is ever
/// seen half-written. Where one is refused before moving begins, none is written; where a move fails, new files that
/// were put in place before it are taken back.
///
/// # Errors
/// Any [`DeliverError`] but `Print`.
pub fn write(files: &[File], existing: Existing) -> Result<(), DeliverError> {
    for (index, file) in files.iter().enumerate() {
        may_be_written(&file.path, existing)?;
        if files[..index].iter().any(|earlier| earlier.path == file.path) {
            return Err(DeliverError::Twice { path: file.path.clone() });
        }
    }
    let stage_file = |file: &File| stage(&file.path, &mut file.content.as_bytes());
    let staged = files.iter().map(stage_file).collect::<Result<Vec<_>, _>>()?;
    let mut put: Vec<&Path> = Vec::new();
    for (file, staged) in files.iter().zip(staged) {
        if let Err(error) = place(staged, &file.path, existing) {
            if existing == Existing::Refuse {
                // The failure is what is told; a leftover that can not be removed is at least whole.
                put.iter().for_each(|path| drop(fs::remove_file(path)));
            }
            return Err(error);
        }
        put.push(&file.path);
    }
    Ok(())
}

/// Writes one file from a reader, in the same way: never seen half-written.
///
/// # Errors
/// Any [`DeliverError`] but `Print`.
pub(crate) fn write_from(
    path: &Path,
    existing: Existing,
    content: &mut dyn io::Read,
) -> Result<(), DeliverError> {
    may_be_written(path, existing)?;
    place(stage(path, content)?, path, existing)
}

/// Writes a whole folder: all its files into a temporary folder beside it, which is then moved into place. `files` have
/// paths relative to the folder. An older folder is replaced only where `ours` knows every file in it, so that nobody
/// loses a folder of another kind; it is moved aside first, removed after, and put back where the new one can not be
/// moved into place.
///
/// # Errors
/// Any [`DeliverError`] but `Print`.
pub fn folder(
    path: &Path,
    files: &[File],
    existing: Existing,
    ours: &dyn Fn(&Path) -> bool,
) -> Result<(), DeliverError> {
    let old = folder_may_be_written(path, existing, ours)?;
    for (index, file) in files.iter().enumerate() {
        if files[..index].iter().any(|earlier| earlier.path == file.path) {
            return Err(DeliverError::Twice { path: path.join(&file.path) });
        }
    }
    let beside = folder_of(path);
    make_folder(beside)?;
    let staged = staging(beside)?;
    for file in files {
        let place = staged.path().join(&file.path);
        let told = |source| DeliverError::Write { path: path.join(&file.path), source };
        if let Some(inner) = place.parent() {
            fs::create_dir_all(inner).map_err(told)?;
        }
        let mut written = fs::File::create_new(place).map_err(told)?;
        written.write_all(file.content.as_bytes()).and_then(|()| written.sync_all()).map_err(told)?;
    }
    match old {
        None => move_in(staged, path).map_err(|source| DeliverError::Write { path: path.into(), source }),
        Some(old) => swap(staged, path, &old),
    }
}

/// Whether [`folder`] may write there, to be asked before long work.
///
/// # Errors
/// Those of an older folder, or of a file in its place.
pub fn may_write_folder(
    path: &Path,
    existing: Existing,
    ours: &dyn Fn(&Path) -> bool,
) -> Result<(), DeliverError> {
    folder_may_be_written(path, existing, ours).map(drop)
}

/// Files of a folder and the folders in it, relative to it; inner folders come after what they hold.
#[derive(Default)]
struct Inside {
    files: Vec<PathBuf>,
    folders: Vec<PathBuf>,
}

/// What is in the folder that is to be replaced; none where there is no folder yet.
fn folder_may_be_written(
    path: &Path,
    existing: Existing,
    ours: &dyn Fn(&Path) -> bool,
) -> Result<Option<Inside>, DeliverError> {
    let Ok(found) = fs::symlink_metadata(path) else { return Ok(None) };
    // A link to a folder is no folder either: replacing it would leave alone what it points to.
    if !found.is_dir() {
        return Err(DeliverError::NotAFolder { path: path.into() });
    }
    if existing == Existing::Refuse {
        return Err(DeliverError::FolderExists { path: path.into() });
    }
    let mut inside = Inside::default();
    look_into(path, Path::new(""), &mut inside)
        .map_err(|source| DeliverError::Folder { path: path.into(), source })?;
    inside.files.sort();
    match inside.files.iter().find(|file| !ours(file)) {
        Some(foreign) => Err(DeliverError::Foreign { path: path.into(), foreign: foreign.clone() }),
        None => Ok(Some(inside)),
    }
}

fn look_into(root: &Path, within: &Path, inside: &mut Inside) -> io::Result<()> {
    for entry in fs::read_dir(root.join(within))? {
        let entry = entry?;
        let path = within.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            look_into(root, &path, inside)?;
            inside.folders.push(path);
        } else {
            inside.files.push(path);
        }
    }
    Ok(())
}

fn staging(beside: &Path) -> Result<TempDir, DeliverError> {
    let mut builder = Builder::new();
    builder.prefix(".lineset-");
    #[cfg(unix)]
    let permissions = <fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o777);
    #[cfg(unix)]
    builder.permissions(permissions);
    builder
        .tempdir_in(beside)
        .map_err(|source| DeliverError::Folder { path: beside.into(), source: bare(source) })
}

/// One rename; a staged folder that can not be moved removes itself.
fn move_in(staged: TempDir, path: &Path) -> io::Result<()> {
    fs::rename(staged.path(), path)?;
    // It is no longer there to be removed.
    drop(staged.keep());
    Ok(())
}

fn swap(staged: TempDir, path: &Path, old: &Inside) -> Result<(), DeliverError> {
    // From here on the older folder lies in `aside`, which therefore must not remove itself.
    let aside = staging(folder_of(path))?.keep();
    let left = aside.join("old");
    let told = |source| DeliverError::Write { path: path.into(), source };
    if let Err(error) = fs::rename(path, &left) {
        // Still empty; the failure is what is told.
        let _ = fs::remove_dir(&aside);
        return Err(told(error));
    }
    if let Err(source) = move_in(staged, path) {
        return Err(match fs::rename(&left, path).and_then(|()| fs::remove_dir(&aside)) {
            Ok(()) => told(source),
            Err(_) => DeliverError::OldAside { path: path.into(), left, source },
        });
    }
    remove(&left, old).and_then(|()| fs::remove_dir(&aside)).map_err(|source| DeliverError::OldLeft {
        path: path.into(),
        left,
        source,
    })
}

/// Removes what was looked at and nothing else: a file that came in since stays, with its folder.
fn remove(root: &Path, inside: &Inside) -> io::Result<()> {
    for file in &inside.files {
        fs::remove_file(root.join(file))?;
    }
    for folder in &inside.folders {
        fs::remove_dir(root.join(folder))?;
    }
    fs::remove_dir(root)
}

/// Whether a file may come to be at a path.
///
/// # Errors
/// [`DeliverError::Exists`] and [`DeliverError::NotAFile`].
pub(crate) fn may_be_written(path: &Path, existing: Existing) -> Result<(), DeliverError> {
    let Ok(found) = fs::symlink_metadata(path) else { return Ok(()) };
    // A device such as /dev/null must not be replaced by a file, nor a link by what it does not point to.
    if !found.is_file() {
        return Err(DeliverError::NotAFile { path: path.into() });
    }
    match existing {
        Existing::Refuse => Err(DeliverError::Exists { path: path.into() }),
        Existing::Replace => Ok(()),
    }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn stage(path: &Path, content: &mut dyn io::Read) -> Result<NamedTempFile, DeliverError> {
    let folder = folder_of(path);
    let mut builder = Builder::new();
    builder.prefix(".lineset-");
    // Temporary files are private by default; the answer gets what the user's mask allows.
    #[cfg(unix)]
    let permissions = <fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o666);
    #[cfg(unix)]
    builder.permissions(permissions);
    let mut staged = builder
        .tempfile_in(folder)
        .map_err(|source| DeliverError::Folder { path: folder.into(), source: bare(source) })?;
    io::copy(content, &mut staged)
        .and_then(|_| staged.as_file().sync_all())
        .map_err(|source| DeliverError::Write { path: path.to_owned(), source })?;
    Ok(staged)
}

/// Without the name of the temporary file, which tells a user nothing.
fn bare(error: io::Error) -> io::Error {
    error.kind().into()
}

fn place(staged: NamedTempFile, path: &Path, existing: Existing) -> Result<(), DeliverError> {
    let placed = match existing {
        Existing::Replace => staged.persist(path),
        // Refuses a file that came into being since it was looked for.
        Existing::Refuse => staged.persist_noclobber(path),
    };
    placed.map(drop).map_err(|refused| match refused.error.kind() {
        io::ErrorKind::AlreadyExists => DeliverError::Exists { path: path.into() },
        _ => DeliverError::Write { path: path.into(), source: refused.error },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(path: PathBuf, content: &str) -> File {
        File { path, content: content.into() }
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn an_existing_file_is_refused_and_with_it_all_others() {
        let folder = tempfile::tempdir().unwrap();
        let (old, new) = (folder.path().join("old.txt"), folder.path().join("new.txt"));
        fs::write(&old, "mine").unwrap();
        let files = [file(new.clone(), "a"), file(old.clone(), "b")];
        assert!(matches!(write(&files, Existing::Refuse), Err(DeliverError::Exists { path }) if path == old));
        assert_eq!(
            (names(folder.path()), fs::read_to_string(&old).unwrap()),
            (vec!["old.txt".into()], "mine".into())
        );
        write(&files, Existing::Replace).unwrap();
        assert_eq!(fs::read_to_string(&old).unwrap(), "b");
        assert_eq!(names(folder.path()), ["new.txt", "old.txt"]);
    }

    #[test]
    fn what_is_no_plain_file_is_never_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let inside = folder.path().join("folder");
        fs::create_dir(&inside).unwrap();
        for path in [inside, PathBuf::from("/dev/null")] {
            let error = write(&[file(path, "x")], Existing::Replace).unwrap_err();
            assert!(matches!(error, DeliverError::NotAFile { .. }), "{error}");
        }
    }

    #[test]
    fn a_missing_folder_names_itself_and_leaves_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let files = [file(folder.path().join("a.txt"), "a"), file(folder.path().join("none/b.txt"), "b")];
        let error = write(&files, Existing::Refuse).unwrap_err();
        assert!(error.to_string().contains("none can not be used: "), "{error}");
        assert!(!error.to_string().contains(".lineset-"), "{error}");
        assert!(names(folder.path()).is_empty());
    }

    #[test]
    fn one_file_twice_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let twice = file(folder.path().join("a.txt"), "a");
        assert!(matches!(write(&[twice.clone(), twice], Existing::Replace), Err(DeliverError::Twice { .. })));
    }

    fn pack(content: &str) -> [File; 2] {
        [file("index.html".into(), content), file("tables/checks.csv".into(), "1")]
    }

    fn ours(path: &Path) -> bool {
        path == Path::new("index.html") || path.starts_with("tables")
    }

    #[test]
    fn a_folder_appears_whole_and_is_replaced_only_when_asked() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("above/pack");
        folder(&path, &pack("old"), Existing::Refuse, &ours).unwrap();
        let refused = folder(&path, &pack("new"), Existing::Refuse, &ours).unwrap_err();
        assert!(matches!(refused, DeliverError::FolderExists { .. }), "{refused}");
        assert_eq!(fs::read_to_string(path.join("index.html")).unwrap(), "old");
        folder(&path, &pack("new")[..1], Existing::Replace, &ours).unwrap();
        assert_eq!(fs::read_to_string(path.join("index.html")).unwrap(), "new");
        assert_eq!(names(&path), ["index.html"], "nothing of the older one stays");
        assert_eq!(names(path.parent().unwrap()), ["pack"], "nothing temporary stays");
    }

    #[test]
    fn a_folder_with_anything_of_another_kind_is_never_replaced() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("home");
        folder(&path, &pack("old"), Existing::Refuse, &ours).unwrap();
        fs::create_dir(path.join("letters")).unwrap();
        fs::write(path.join("letters/one.txt"), "dear").unwrap();
        let refused = folder(&path, &pack("new"), Existing::Replace, &ours).unwrap_err();
        assert!(refused.to_string().contains("it holds letters/one.txt"), "{refused}");
        assert_eq!(fs::read_to_string(path.join("letters/one.txt")).unwrap(), "dear");
        assert_eq!(fs::read_to_string(path.join("index.html")).unwrap(), "old");
        assert_eq!(names(root.path()), ["home"]);
    }

    #[test]
    fn what_is_no_folder_stays() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("file");
        fs::write(&path, "mine").unwrap();
        for existing in [Existing::Refuse, Existing::Replace] {
            let refused = folder(&path, &pack("new"), existing, &ours).unwrap_err();
            assert!(matches!(refused, DeliverError::NotAFolder { .. }), "{refused}");
            // Nor can a folder stand in a file.
            assert!(matches!(
                folder(&path.join("pack"), &pack("new"), existing, &ours),
                Err(DeliverError::Folder { .. })
            ));
        }
        assert_eq!(
            (names(root.path()), fs::read_to_string(&path).unwrap()),
            (vec!["file".into()], "mine".into())
        );
    }

    #[test]
    fn a_file_that_can_not_be_written_leaves_no_folder_and_the_older_one_in_place() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("pack");
        let bad = [file("index.html".into(), "new"), file("index.html/inside".into(), "x")];
        for (existing, left) in [(Existing::Refuse, vec![]), (Existing::Replace, vec!["pack"])] {
            let failed = folder(&path, &bad, existing, &ours).unwrap_err();
            assert!(matches!(failed, DeliverError::Write { .. }), "{failed}");
            assert_eq!(names(root.path()), left);
            if existing == Existing::Refuse {
                folder(&path, &pack("old"), Existing::Refuse, &ours).unwrap();
            }
        }
        assert_eq!(fs::read_to_string(path.join("index.html")).unwrap(), "old");
        let twice = [file("a".into(), "1"), file("a".into(), "2")];
        assert!(matches!(folder(&path, &twice, Existing::Replace, &ours), Err(DeliverError::Twice { .. })));
    }

    #[test]
    fn a_move_that_fails_puts_the_older_folder_back() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("pack");
        folder(&path, &pack("old"), Existing::Refuse, &ours).unwrap();
        let old = folder_may_be_written(&path, Existing::Replace, &ours).unwrap().unwrap();
        let staged = staging(root.path()).unwrap();
        // What is not there can not be moved.
        fs::remove_dir(staged.path()).unwrap();
        let failed = swap(staged, &path, &old).unwrap_err();
        assert!(matches!(failed, DeliverError::Write { .. }), "{failed}");
        assert_eq!(fs::read_to_string(path.join("index.html")).unwrap(), "old");
        assert_eq!(names(root.path()), ["pack"]);
    }

    #[test]
    fn what_came_into_the_older_folder_since_it_was_looked_at_is_kept() {
        let root = tempfile::tempdir().unwrap();
        let path = root.path().join("pack");
        folder(&path, &pack("old"), Existing::Refuse, &ours).unwrap();
        let old = folder_may_be_written(&path, Existing::Replace, &ours).unwrap().unwrap();
        fs::write(path.join("late.txt"), "mine").unwrap();
        match swap(staging(root.path()).unwrap(), &path, &old).unwrap_err() {
            DeliverError::OldLeft { left, .. } => {
                assert_eq!(fs::read_to_string(left.join("late.txt")).unwrap(), "mine");
            }
            other => panic!("{other}"),
        }
    }

    #[test]
    fn a_reader_that_has_gone_is_no_error() {
        struct Refusing(io::ErrorKind);
        impl Write for Refusing {
            fn write(&mut self, _: &[u8]) -> io::Result<usize> {
                Err(self.0.into())
            }
            fn flush(&mut self) -> io::Result<()> {
                Ok(())
            }
        }
        assert!(print(&mut Refusing(io::ErrorKind::BrokenPipe), "text").is_ok());
        let full = print(&mut Refusing(io::ErrorKind::StorageFull), "text");
        assert!(matches!(full, Err(DeliverError::Print(_))));
    }

    #[cfg(unix)]
    #[test]
    fn others_may_read_the_file_as_far_as_the_mask_allows() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (ours, plain) = (folder.path().join("ours"), folder.path().join("plain"));
        write(&[file(ours.clone(), "x")], Existing::Refuse).unwrap();
        fs::write(&plain, "x").unwrap();
        let mode = |path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(ours), mode(plain));
    }
}

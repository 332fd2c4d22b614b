//! How an answer leaves the program: to stdout or into files that appear whole or not at all.

use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
};
use tempfile::{Builder, NamedTempFile};
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

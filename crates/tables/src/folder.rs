//! Where the data files are: in the program, or in a folder on disk with the same layout.

use crate::error::TableError;
use include_dir::{Dir, include_dir};
use std::{borrow::Cow, fs, io, path::Path, path::PathBuf};

static EMBEDDED: [(&str, Dir<'static>); 8] = [
    ("tubes", include_dir!("$CARGO_MANIFEST_DIR/../../data/tubes")),
    ("fittings", include_dir!("$CARGO_MANIFEST_DIR/../../data/fittings")),
    ("insulation", include_dir!("$CARGO_MANIFEST_DIR/../../data/insulation")),
    ("refrigerants", include_dir!("$CARGO_MANIFEST_DIR/../../data/refrigerants")),
    ("limits", include_dir!("$CARGO_MANIFEST_DIR/../../data/limits")),
    ("field", include_dir!("$CARGO_MANIFEST_DIR/../../data/field")),
    ("materials", include_dir!("$CARGO_MANIFEST_DIR/../../data/materials")),
    ("properties", include_dir!("$CARGO_MANIFEST_DIR/../../data/properties")),
];

/// A set of data files. Paths inside it are relative and use `/`: `tubes/tubes.csv`.
#[derive(Clone, Debug)]
pub struct DataFolder(Place);

#[derive(Clone, Debug)]
enum Place {
    Embedded,
    Disk(PathBuf),
}

impl DataFolder {
    /// The files that the program carries.
    #[must_use]
    pub fn embedded() -> Self {
        Self(Place::Embedded)
    }

    /// A folder on disk.
    ///
    /// # Errors
    /// [`TableError::Unreadable`] if `path` is no folder.
    pub fn open(path: &Path) -> Result<Self, TableError> {
        if path.is_dir() {
            Ok(Self(Place::Disk(path.to_owned())))
        } else {
            let source = io::Error::new(io::ErrorKind::NotADirectory, "no folder of that name");
            Err(TableError::Unreadable { file: path.display().to_string(), source })
        }
    }

    /// Content of a file.
    ///
    /// # Errors
    /// [`TableError::FileMissing`], or [`TableError::Unreadable`] for any other failure.
    pub fn read(&self, file: &str) -> Result<Cow<'static, [u8]>, TableError> {
        let missing = || TableError::FileMissing { file: file.to_owned() };
        match &self.0 {
            Place::Embedded => {
                let (folder, inside) = file.split_once('/').ok_or_else(missing)?;
                let (_, folder) = EMBEDDED.iter().find(|(name, _)| *name == folder).ok_or_else(missing)?;
                Ok(Cow::Borrowed(folder.get_file(inside).ok_or_else(missing)?.contents()))
            }
            Place::Disk(root) => match fs::read(root.join(file)) {
                Ok(bytes) => Ok(Cow::Owned(bytes)),
                Err(error) if error.kind() == io::ErrorKind::NotFound => Err(missing()),
                Err(source) => Err(TableError::Unreadable { file: file.to_owned(), source }),
            },
        }
    }

    /// Names of the folders directly inside `folder`, sorted.
    pub(crate) fn folders(&self, folder: &str) -> Result<Vec<String>, TableError> {
        let mut names = match &self.0 {
            Place::Embedded => EMBEDDED
                .iter()
                .filter(|(name, _)| *name == folder)
                .flat_map(|(_, directory)| directory.dirs())
                .map(|directory| directory.path().to_string_lossy().into_owned())
                .collect(),
            Place::Disk(root) => match fs::read_dir(root.join(folder)) {
                Ok(entries) => entries
                    .filter_map(Result::ok)
                    .filter(|entry| entry.path().is_dir())
                    .map(|entry| entry.file_name().to_string_lossy().into_owned())
                    .collect(),
                Err(error) if error.kind() == io::ErrorKind::NotFound => Vec::new(),
                Err(source) => return Err(TableError::Unreadable { file: folder.to_owned(), source }),
            },
        };
        names.sort();
        Ok(names)
    }
}

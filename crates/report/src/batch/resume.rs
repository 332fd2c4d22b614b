//! The results so far: a part file that grows in the order of the rows, and may be gone on from wherever it broke off.
//!
//! Its first line says what it was made from. What counts is whole lines: a torn last one is cut off.

use super::results::{FAULT, VERDICT};
use crate::deliver::{self, DeliverError, Existing};
use std::{
    fs::{self, File, OpenOptions},
    hash::{DefaultHasher, Hasher},
    io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write},
    path::{Path, PathBuf},
};
use thiserror::Error;

/// Why results so far can not be gone on from.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PartFault {
    /// There are some, and nobody said what to do with them.
    #[error(
        "{} holds the first rows of an earlier run; --resume goes on from it, --replace begins anew",
        path.display()
    )]
    Exists {
        /// The part file.
        path: PathBuf,
    },
    /// They come from something else.
    #[error(
        "{} was not made from this table and template by this version; --replace begins anew",
        path.display()
    )]
    OtherOrigin {
        /// The part file.
        path: PathBuf,
    },
    /// They do not follow the rows of the table.
    #[error("line {line} of {} is not the result of the table's next row; --replace begins anew", path.display())]
    OutOfStep {
        /// The part file.
        path: PathBuf,
        /// The line.
        line: usize,
    },
    /// The part file can not be read or written.
    #[error("{} can not be used: {source}", path.display())]
    File {
        /// The part file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The results can not be put in their place.
    #[error(transparent)]
    Deliver(#[from] DeliverError),
}

/// Digest of what results are made from. It is compared within one version of the program only.
pub struct Origin(DefaultHasher);

impl Origin {
    /// Of nothing but the version.
    #[must_use]
    pub fn new() -> Self {
        let mut origin = Self(DefaultHasher::new());
        origin.add(env!("CARGO_PKG_VERSION").as_bytes());
        origin
    }

    /// Adds a text, apart from those before it.
    pub fn add(&mut self, bytes: &[u8]) {
        self.0.write_u64(bytes.len() as u64);
        self.0.write(bytes);
    }

    /// Adds what a reader has left, in blocks; gives how much that was.
    ///
    /// # Errors
    /// Those of the reader.
    pub fn add_all(&mut self, mut input: impl Read) -> io::Result<()> {
        let (mut block, mut length) = (vec![0; 1 << 16], 0);
        loop {
            let read = match input.read(&mut block) {
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                other => other?,
            };
            if read == 0 {
                self.0.write_u64(length);
                return Ok(());
            }
            self.0.write(&block[..read]);
            length += read as u64;
        }
    }

    /// The first line of a part file.
    #[must_use]
    pub fn line(&self) -> String {
        format!("# lineset {} batch {:016x}\n", env!("CARGO_PKG_VERSION"), self.0.finish())
    }
}

impl Default for Origin {
    fn default() -> Self {
        Self::new()
    }
}

/// What to do with results that are there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Earlier {
    /// Refuse them.
    Refuse,
    /// Go on from a part of them.
    Resume,
    /// Begin anew.
    Replace,
}

/// A result that is there already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// Its row.
    pub row: u64,
    /// Its verdict.
    pub verdict: String,
}

/// The part file, open behind its last whole line.
#[derive(Debug)]
pub struct Part {
    path: PathBuf,
    out: PathBuf,
    existing: Existing,
    file: File,
    /// Length of the first line, which is no part of the results.
    preamble: u64,
}

impl Part {
    /// Opens the part file of `out` and finds the results in it.
    ///
    /// # Errors
    /// [`PartFault`].
    pub fn open(
        out: &Path,
        earlier: Earlier,
        origin: &str,
        header: &str,
    ) -> Result<(Self, Vec<Done>), PartFault> {
        let existing = if earlier == Earlier::Replace { Existing::Replace } else { Existing::Refuse };
        deliver::may_be_written(out, existing)?;
        let path = part_path(out);
        let failed = |source| PartFault::File { path: path.clone(), source };
        let there = fs::symlink_metadata(&path).is_ok_and(|found| found.is_file());
        if there && earlier == Earlier::Refuse {
            return Err(PartFault::Exists { path });
        }
        let mut options = OpenOptions::new();
        options.read(true).write(true);
        // A part that came into being since it was looked for is another run's.
        let mut file =
            if there { options.open(&path) } else { options.create_new(true).open(&path) }.map_err(failed)?;
        let (done, whole) = if there && earlier == Earlier::Resume {
            results(&file, origin, header).map_err(|error| match error {
                Unfit::Read(source) => failed(source),
                Unfit::OtherOrigin => PartFault::OtherOrigin { path: path.clone() },
                Unfit::Line(line) => PartFault::OutOfStep { path: path.clone(), line },
            })?
        } else {
            (Vec::new(), 0)
        };
        let begun = file.set_len(whole).and_then(|()| file.seek(SeekFrom::Start(whole))).and_then(|_| {
            if whole == 0 {
                file.write_all(origin.as_bytes()).and_then(|()| file.write_all(header.as_bytes()))
            } else {
                Ok(())
            }
        });
        begun.map_err(failed)?;
        let out = out.to_owned();
        Ok((Self { path, out, existing, file, preamble: origin.len() as u64 }, done))
    }

    /// Where the results are until they are whole.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes lines behind those that are there.
    ///
    /// # Errors
    /// [`PartFault::File`].
    pub fn append(&mut self, lines: &str) -> Result<(), PartFault> {
        self.file
            .write_all(lines.as_bytes())
            .map_err(|source| PartFault::File { path: self.path.clone(), source })
    }

    /// Puts the results in their place, whole, and takes the part away.
    ///
    /// # Errors
    /// [`PartFault`].
    pub fn finish(mut self) -> Result<(), PartFault> {
        let failed = |source| PartFault::File { path: self.path.clone(), source };
        self.file.seek(SeekFrom::Start(self.preamble)).map_err(failed)?;
        deliver::write_from(&self.out, self.existing, &mut self.file)?;
        fs::remove_file(&self.path).map_err(failed)
    }
}

/// Name of the part file.
fn part_path(out: &Path) -> PathBuf {
    let mut name = out.as_os_str().to_owned();
    name.push(".part");
    name.into()
}

enum Unfit {
    Read(io::Error),
    OtherOrigin,
    Line(usize),
}

/// The results in a part file, and the length of its whole lines; nothing where not even the header is whole.
fn results(file: &File, origin: &str, header: &str) -> Result<(Vec<Done>, u64), Unfit> {
    let mut input = BufReader::new(file);
    let (mut done, mut whole) = (Vec::new(), 0);
    let first = [origin, header];
    for number in 1.. {
        let mut line = Vec::new();
        input.read_until(b'\n', &mut line).map_err(Unfit::Read)?;
        let expected = first.get(number - 1);
        if !line.ends_with(b"\n") {
            // Torn, or the end.
            return match expected {
                Some(expected) if !expected.as_bytes().starts_with(&line) => Err(Unfit::OtherOrigin),
                Some(_) => Ok((Vec::new(), 0)),
                None => Ok((done, whole)),
            };
        }
        match expected {
            Some(expected) if expected.as_bytes() != line => return Err(Unfit::OtherOrigin),
            Some(_) => {}
            None => done.push(result(&line).ok_or(Unfit::Line(number))?),
        }
        whole += line.len() as u64;
    }
    Ok((done, whole))
}

fn result(line: &[u8]) -> Option<Done> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(line);
    let record = reader.records().next()?.ok()?;
    Some(Done { row: record.get(0)?.parse().ok()?, verdict: record.get(VERDICT)?.to_owned() })
}

impl Done {
    /// Whether the row was read and computed.
    #[must_use]
    pub fn is_fault(&self) -> bool {
        self.verdict == FAULT
    }
}

//! The files of a scenario: read once, kept for the messages.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The most a file may hold.
pub const MOST_BYTES: u64 = 16 * 1024 * 1024;

/// A place in one of the files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Number of the file in [`Sources`].
    pub file: usize,
    /// Bytes.
    pub span: Range<usize>,
}

/// A file that was read.
#[derive(Debug, Clone)]
pub struct Source {
    /// Its path as shown in messages: as given, or relative to the file that named it.
    pub path: PathBuf,
    /// What it says.
    pub text: String,
    /// Where its lines end, in bytes.
    line_ends: Vec<usize>,
}

/// All files, in the order they were read. Each is read once; a clone shares what was read.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    list: Vec<Arc<Source>>,
    by_path: BTreeMap<PathBuf, usize>,
}

/// Why a file could not be read.
#[derive(Debug)]
pub enum ReadProblem {
    /// Something a person can mend in a file or on the command line.
    Mend(String),
    /// The system refused.
    System(String),
}

impl Sources {
    /// Reads a file.
    ///
    /// # Errors
    /// If there is none, it is a directory, too big, empty, not UTF-8, or the system refuses.
    pub fn read(&mut self, path: &Path) -> Result<usize, ReadProblem> {
        if let Some(file) = self.by_path.get(path) {
            return Ok(*file);
        }
        let text = read_text(path)?;
        Ok(self.add(path.to_path_buf(), text))
    }

    /// Keeps a text that was read; its number.
    pub fn add(&mut self, path: PathBuf, text: String) -> usize {
        let line_ends = text.match_indices('\n').map(|(at, _)| at).collect();
        self.by_path.insert(path.clone(), self.list.len());
        self.list.push(Arc::new(Source {
            path,
            text,
            line_ends,
        }));
        self.list.len() - 1
    }

    /// The file of that number.
    #[must_use]
    pub fn get(&self, file: usize) -> Option<&Source> {
        self.list.get(file).map(Arc::as_ref)
    }

    /// The text of a file; empty if there is no such file.
    #[must_use]
    pub fn text(&self, file: usize) -> &str {
        self.get(file).map_or("", |source| &source.text)
    }

    /// Number of the file and line of a place, counting lines from 1.
    #[must_use]
    pub fn line(&self, place: &Place) -> Option<(usize, usize)> {
        let ends = &self.get(place.file)?.line_ends;
        Some((
            place.file,
            ends.partition_point(|&end| end < place.span.start) + 1,
        ))
    }

    /// The paths, in the order they were read.
    #[must_use]
    pub fn paths(&self) -> Vec<PathBuf> {
        self.list.iter().map(|source| source.path.clone()).collect()
    }
}

fn read_text(path: &Path) -> Result<String, ReadProblem> {
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|e| of_system(&e))?;
    let about = file.metadata().map_err(|e| of_system(&e))?;
    if about.is_dir() {
        return Err(ReadProblem::Mend("it is a directory, not a file".into()));
    }
    if about.len() > MOST_BYTES {
        return Err(too_big());
    }
    let limit = MOST_BYTES + 1;
    file.take(limit)
        .read_to_end(&mut bytes)
        .map_err(|e| of_system(&e))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_big());
    }
    let text = String::from_utf8(bytes).map_err(|e| not_text(&e))?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(ReadProblem::Mend("it is empty".into()));
    }
    Ok(text)
}

fn too_big() -> ReadProblem {
    ReadProblem::Mend("it is larger than 16 MiB".into())
}

fn not_text(error: &std::string::FromUtf8Error) -> ReadProblem {
    let good = error.utf8_error().valid_up_to();
    let line = error.as_bytes()[..good]
        .iter()
        .filter(|&&b| b == b'\n')
        .count()
        + 1;
    ReadProblem::Mend(format!("it is not UTF-8 text (line {line})"))
}

fn of_system(error: &std::io::Error) -> ReadProblem {
    match error.kind() {
        std::io::ErrorKind::NotFound => ReadProblem::Mend("there is no such file".into()),
        std::io::ErrorKind::IsADirectory => {
            ReadProblem::Mend("it is a directory, not a file".into())
        }
        std::io::ErrorKind::NotADirectory => {
            ReadProblem::Mend("a part of its path is not a directory".into())
        }
        std::io::ErrorKind::InvalidInput | std::io::ErrorKind::InvalidFilename => {
            ReadProblem::Mend("that cannot be the name of a file".into())
        }
        _ => ReadProblem::System(error.to_string()),
    }
}

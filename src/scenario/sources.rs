//! The files of a scenario: read once, kept for the messages.
//!
//! Whoever names a file in another may not own it, and may not be the one who reads the message: a wrong
//! path must not print what stands at its end. So a file that was reached through another, and does not
//! look like one of ours, is [hidden](Sources::hide): messages say where in it something is wrong, and do
//! not show the line. What looks like ours: a scenario without a mistake of syntax whose keys at the top are
//! all known, a CSV file with the right columns.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::hash::Hasher;
use std::io::Read;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use siphasher::sip128::{Hasher128 as _, SipHasher13};

use super::{regular, shipped};

/// What stands for the path of standard input. Paths in it start at the working folder.
pub const STDIN: &str = "<stdin>";
/// The most files that are read for one scenario or study.
pub const MAX_FILES: usize = 256;
/// The most MiB that all of them may hold.
const MAX_MIB_TOGETHER: usize = 64;
const MIB: usize = 1024 * 1024;

/// What a file is to be read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// A scenario, what it includes, or a study.
    Toml,
    /// A log or a table.
    Csv,
}

impl Format {
    /// The most MiB that such a file may hold. The longest scenario that makes sense has some
    /// hundred kB; 200,000 rows of a log have some MB.
    #[must_use]
    pub const fn most_mib(self) -> usize {
        match self {
            Self::Toml => 1,
            Self::Csv => 16,
        }
    }

    const fn most(self) -> usize {
        self.most_mib() * MIB
    }
}

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
    hidden: BTreeSet<usize>,
    unversioned: BTreeSet<usize>,
    is_closed: bool,
}

/// Why a file could not be read.
#[derive(Debug)]
pub enum ReadProblem {
    /// Something a person can mend in a file or on the command line.
    Mend(String),
    /// There is something, but not a file.
    NoFile(&'static str),
    /// It is named by a text that stands in no folder.
    NoFolder,
    /// Nothing of that name comes with the program.
    NotShipped,
    /// The system refused.
    System(String),
}

impl Sources {
    /// Reads a file.
    ///
    /// # Errors
    /// If there is none, it is a directory, a pipe or a device, too big, empty, not UTF-8, or one too many,
    /// or if the system refuses.
    pub fn read(&mut self, path: &Path, format: Format) -> Result<usize, ReadProblem> {
        if let Some(file) = self.by_path.get(path) {
            let fits = self.text(*file).len() <= format.most();
            return fits.then_some(*file).ok_or_else(|| too_big(format));
        }
        if shipped::is_shipped(path) {
            let text = shipped::text(path).ok_or(ReadProblem::NotShipped)?;
            return self.add_if_it_fits(path, text.to_owned());
        }
        if self.is_closed {
            return Err(ReadProblem::NoFolder);
        }
        if self.list.len() >= MAX_FILES {
            let why = format!("more than {MAX_FILES} files are included");
            return Err(ReadProblem::Mend(why));
        }
        let text = text_of(open(path)?, format)?;
        self.add_if_it_fits(path, text)
    }

    /// Reads a scenario or a study from standard input, or whatever stands for it; its path is [`STDIN`].
    ///
    /// # Errors
    /// If it is too big, empty, not UTF-8, or the system refuses.
    pub fn read_from(&mut self, from: impl Read) -> Result<usize, ReadProblem> {
        let text = text_of(from, Format::Toml)?;
        self.add_if_it_fits(Path::new(STDIN), text)
    }

    /// Takes a text for a file of that path, without looking whether there is one.
    ///
    /// # Errors
    /// If it is too big or empty.
    pub fn read_text(&mut self, path: &Path, text: &str) -> Result<usize, ReadProblem> {
        let text = text_of(text.as_bytes(), Format::Toml)?;
        self.add_if_it_fits(path, text)
    }

    /// Reads no more files.
    pub fn close(&mut self) {
        self.is_closed = true;
    }

    fn add_if_it_fits(&mut self, path: &Path, text: String) -> Result<usize, ReadProblem> {
        let together: usize = self.list.iter().map(|source| source.text.len()).sum();
        if together + text.len() > MAX_MIB_TOGETHER * MIB {
            let why = format!("with the other files it is more than {MAX_MIB_TOGETHER} MiB");
            return Err(ReadProblem::Mend(why));
        }
        Ok(self.add(path.to_path_buf(), text))
    }

    /// Notes that a file does not say which version of the language it is written in.
    pub fn note_unversioned(&mut self, file: usize) {
        self.unversioned.insert(file);
    }

    /// The paths of those files.
    #[must_use]
    pub fn unversioned(&self) -> Vec<PathBuf> {
        let files = self.unversioned.iter();
        files
            .filter_map(|file| Some(self.get(*file)?.path.clone()))
            .collect()
    }

    /// Keeps the text of a file out of all messages.
    pub fn hide(&mut self, file: usize) {
        self.hidden.insert(file);
    }

    /// Whether messages may not show the text of a file.
    #[must_use]
    pub fn is_hidden(&self, file: usize) -> bool {
        self.hidden.contains(&file)
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

    /// Line and column of a place, both counted from 1, the column in characters.
    #[must_use]
    pub fn line_and_column(&self, place: &Place) -> Option<(usize, usize)> {
        let text = &self.get(place.file)?.text;
        let (_, line) = self.line(place)?;
        let start = text.get(..place.span.start)?;
        let line_start = start.rfind('\n').map_or(0, |at| at + 1);
        Some((line, start[line_start..].chars().count() + 1))
    }

    /// A digest of what stands before, and of the text of every file. `SipHash` 1-3 with 128 bits; it detects accidents,
    /// not forgeries.
    #[must_use]
    pub fn digest(&self, before: &[&str]) -> String {
        let mut hasher = SipHasher13::new_with_keys(0, 1);
        let files = self.list.iter().map(|source| source.text.as_str());
        for text in before.iter().copied().chain(files) {
            hasher.write(&(text.len() as u64).to_le_bytes());
            hasher.write(text.as_bytes());
        }
        format!("{:032x}", hasher.finish128().as_u128())
    }

    /// The paths, in the order they were read.
    #[must_use]
    pub fn paths(&self) -> Vec<PathBuf> {
        self.list.iter().map(|source| source.path.clone()).collect()
    }
}

/// The name of what a file is about: its own without the ending.
#[must_use]
pub fn stem(path: &Path) -> String {
    if path == Path::new(STDIN) {
        return "stdin".to_string();
    }
    let stem = path.file_stem().unwrap_or(path.as_os_str());
    let stem = stem.to_string_lossy();
    stem.strip_prefix(shipped::LIBRARY).unwrap_or(&stem).into()
}

/// Opens a file, and nothing else: what is no file might keep us waiting for ever.
fn open(path: &Path) -> Result<File, ReadProblem> {
    let about = std::fs::metadata(path).map_err(|e| of_system(&e))?;
    if about.is_dir() {
        return Err(ReadProblem::Mend("it is a directory, not a file".into()));
    }
    if !about.is_file() {
        return Err(ReadProblem::NoFile(regular::sort_of(about.file_type())));
    }
    File::open(path).map_err(|e| of_system(&e))
}

fn text_of(from: impl Read, format: Format) -> Result<String, ReadProblem> {
    let mut bytes = Vec::new();
    from.take(format.most() as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| of_system(&e))?;
    if bytes.len() > format.most() {
        return Err(too_big(format));
    }
    let text = String::from_utf8(bytes).map_err(|e| not_text(&e))?;
    if text.trim_start_matches('\u{feff}').trim().is_empty() {
        return Err(ReadProblem::Mend("it is empty".into()));
    }
    Ok(text)
}

fn too_big(format: Format) -> ReadProblem {
    ReadProblem::Mend(format!("it is larger than {} MiB", format.most_mib()))
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

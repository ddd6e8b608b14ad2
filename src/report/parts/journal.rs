//! The evenings of a choice that is under way, so that it can go on after an interrupt.
//!
//! Lines are sealed ([`seal`]): `h` the stamp, then an `r` for each evening: design, replication, whether it was
//! finished, the values of the measures. A run that was killed leaves a last line without its end, which is cut
//! off. The file goes when the choice has come to its end; a choice that was interrupted leaves it.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::stamp::Stamp;
use super::{Problem, lock, seal};
use crate::report::ReportError;
use crate::study::design::Study;
use crate::study::replications::Replication;

const FILE: &str = "evenings.txt";

/// The file, held by this run alone.
#[derive(Debug)]
pub struct Journal {
    file: File,
    path: PathBuf,
    sum: u64,
}

/// What an earlier run has played of each design.
type Earlier = Vec<Vec<Replication>>;

/// What a journal holds.
struct Read {
    stamp: Option<Stamp>,
    /// Whether it is of this study; if not, only the stamp matters.
    is_ours: bool,
    earlier: Earlier,
    /// Bytes up to the last line that is whole, and the checksum there.
    good: (u64, u64),
}

impl Journal {
    /// Opens it in a folder, which it makes, and gives what an earlier run has played of each design.
    ///
    /// # Errors
    /// If another run has it, if it is of another study or damaged, or if the disk would not.
    pub fn open(folder: &Path, study: &Study) -> Result<(Self, Earlier), Problem> {
        let path = folder.join(FILE);
        let failed = |cause| {
            let path = path.clone();
            Problem::Report(ReportError::File { path, cause })
        };
        std::fs::create_dir_all(folder).map_err(failed)?;
        let mut file = lock::to_write(&path)?;
        let stamp = Stamp::of(study, 1, false);
        let read = read(&file, study, &stamp).map_err(failed)?;
        let read = read.map_err(|line| {
            Problem::refused(
                format!("line {line} of {} is not as it was written", path.display()),
                "discard what it holds with --restart: its evenings are then played again",
            )
        })?;
        let differs = read.stamp.as_ref().and_then(|there| stamp.differs(there));
        if let (Some(how), Some(there)) = (differs, &read.stamp) {
            return Err(Problem::refused(
                format!(
                    "the choice that was interrupted in {} is {how}",
                    folder.display()
                ),
                stamp.cure(there),
            ));
        }
        let (end, sum) = read.good;
        file.set_len(end).map_err(failed)?;
        file.seek(SeekFrom::End(0)).map_err(failed)?;
        let mut journal = Self { file, path, sum };
        if read.stamp.is_none() {
            journal.write(b'h', [stamp.text()].into_iter())?;
        }
        Ok((journal, read.earlier))
    }

    /// Adds evenings of a design.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn add(&mut self, design: usize, played: &[Replication]) -> Result<(), ReportError> {
        self.write(b'r', played.iter().map(|one| row(design, one)))
    }

    /// The choice has come to its end: nothing is to go on with.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn remove(self) -> Result<(), ReportError> {
        let Self { path, .. } = self;
        match std::fs::remove_file(&path) {
            Err(cause) if cause.kind() != io::ErrorKind::NotFound => {
                return Err(ReportError::File { path, cause });
            }
            _ => {}
        }
        // The folder goes with it, unless parts of a sweep lie there.
        let _ = path.parent().map(std::fs::remove_dir);
        Ok(())
    }

    fn write(&mut self, kind: u8, texts: impl Iterator<Item = String>) -> Result<(), ReportError> {
        let mut bytes = Vec::new();
        for text in texts {
            self.sum = seal::add(&mut bytes, self.sum, kind, &text);
        }
        let path = self.path.clone();
        let written = self.file.write_all(&bytes);
        written.map_err(|cause| ReportError::File { path, cause })
    }
}

/// Throws away what an interrupted choice left in a folder, unless a run is still writing.
///
/// # Errors
/// If one is, or the disk would not.
pub fn throw_away(folder: &Path) -> Result<(), Problem> {
    let path = folder.join(FILE);
    let Some(_held) = lock::to_remove(&path)? else {
        return Ok(());
    };
    std::fs::remove_file(&path).map_err(|cause| ReportError::File { path, cause }.into())
}

fn row(design: usize, played: &Replication) -> String {
    let value = |value: &Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let values: Vec<String> = played.values.iter().map(value).collect();
    let finished = u8::from(played.finished);
    format!("{design},{},{finished},{}", played.number, values.join(","))
}

/// The design and the evening of a row.
fn evening(text: &str) -> Option<(usize, Replication)> {
    let mut cells = text.split(',');
    let design = cells.next()?.parse().ok()?;
    let number = cells.next()?.parse().ok()?;
    let finished = cells.next()? == "1";
    let value = |cell: &str| match cell {
        "" => Some(None),
        cell => cell.parse::<f64>().ok().filter(|v| v.is_finite()).map(Some),
    };
    let values = cells.map(value).collect::<Option<Vec<_>>>()?;
    Some((
        design,
        Replication {
            number,
            values,
            finished,
        },
    ))
}

/// Reads a journal; the number of the first line that does not fit, if there is one.
fn read(file: &File, study: &Study, ours: &Stamp) -> io::Result<Result<Read, u64>> {
    let mut reader = BufReader::with_capacity(1 << 16, file);
    let mut read = Read {
        stamp: None,
        is_ours: true,
        earlier: vec![Vec::new(); study.points() as usize],
        good: (0, seal::START),
    };
    let (mut line, mut number) = (Vec::new(), 0);
    loop {
        line.clear();
        let bytes = reader.read_until(b'\n', &mut line)? as u64;
        // What has no end was being written when the run was killed.
        if bytes == 0 || !line.ends_with(b"\n") {
            return Ok(Ok(read));
        }
        number += 1;
        let sealed = seal::read(&line, read.good.1);
        let Some(sum) = sealed.and_then(|(line, sum)| read.take(&line, study, ours).then_some(sum))
        else {
            return Ok(Err(number));
        };
        read.good = (read.good.0 + bytes, sum);
    }
}

impl Read {
    /// Whether a line may stand where it stands.
    fn take(&mut self, line: &seal::SealedLine, study: &Study, ours: &Stamp) -> bool {
        if line.kind == b'h' && self.stamp.is_none() {
            self.stamp = Stamp::read(&line.text);
            self.is_ours = self.stamp.as_ref() == Some(ours);
            return self.stamp.is_some();
        }
        if line.kind != b'r' || self.stamp.is_none() {
            return false;
        }
        if !self.is_ours {
            return true;
        }
        let Some((design, played)) = evening(&line.text) else {
            return false;
        };
        let Some(earlier) = self.earlier.get_mut(design) else {
            return false;
        };
        let fits =
            played.number == earlier.len() as u64 && played.values.len() == study.measures.len();
        if fits {
            earlier.push(played);
        }
        fits
    }
}

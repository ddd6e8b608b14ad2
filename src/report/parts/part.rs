//! The file of a part: locked while a run writes it, gone on with where an earlier run stopped.
//!
//! Lines are sealed ([`seal`]): `h` the stamp and which part, `r` a row of a replication, then `p` the row of
//! a design point or `a` the number of a point of the tornado, which commit the `r` before them, and `e` at
//! the end. A run that was killed leaves a last line without its end, or `r` that nothing commits: they
//! are cut off. Anything else that does not fit is refused. The lock is the system's own on the open file,
//! so a run that was killed leaves none behind.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::share::Share;
use super::stamp::Stamp;
use super::{Problem, lock, rows, seal};
use crate::report::ReportError;
use crate::scenario::regular;
use crate::study::design::Study;
use crate::study::sweep::Played;

/// Stamp and share of a part, as its head says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// Of which study.
    pub stamp: Stamp,
    /// Its number, counted from 1.
    pub part: u64,
}

/// Where a finished point stands in a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Record {
    /// Number of the design point.
    pub point: u64,
    /// Where its lines begin in the file, bytes.
    pub offset: u64,
    /// Length of its lines, bytes.
    pub length: u64,
}

/// What a part holds.
#[derive(Debug)]
pub struct Scan {
    /// Its head; nothing if not even that was written.
    pub head: Option<Head>,
    /// Where each finished point lies in it.
    pub records: Vec<Record>,
    /// Whether it has its end.
    pub whole: bool,
    /// Bytes up to the last point that is finished, and the checksum there.
    good: (u64, u64),
    /// The first line that is not as it was written.
    pub damaged: Option<u64>,
}

/// The path of a part.
#[must_use]
pub fn path(folder: &Path, share: Share) -> PathBuf {
    folder.join(format!("part-{}-of-{}.txt", share.part, share.of))
}

/// Reads a part to its end, or to the first line that does not fit.
///
/// # Errors
/// If it cannot be read.
pub fn scan(file: &File) -> io::Result<Scan> {
    let mut reader = BufReader::with_capacity(1 << 16, file);
    let mut scan = Scan {
        head: None,
        records: Vec::new(),
        whole: false,
        good: (0, seal::START),
        damaged: None,
    };
    let (mut at, mut sum, mut number) = (0_u64, seal::START, 0_u64);
    let mut line = Vec::new();
    loop {
        line.clear();
        let bytes = reader.read_until(b'\n', &mut line)? as u64;
        // What has no end was being written when the run was killed.
        if bytes == 0 || !line.ends_with(b"\n") {
            return Ok(scan);
        }
        number += 1;
        let read = seal::read(&line, sum).filter(|_| !scan.whole);
        let Some((line, next)) = read.filter(|(line, _)| scan.fits(line)) else {
            scan.damaged = Some(number);
            return Ok(scan);
        };
        (at, sum) = (at + bytes, next);
        scan.take(&line, at, sum);
    }
}

impl Scan {
    /// Whether a line may stand where it stands.
    fn fits(&self, line: &seal::SealedLine) -> bool {
        match line.kind {
            b'h' => self.head.is_none() && head(&line.text).is_some(),
            b'p' | b'a' => self.head.is_some() && point(&line.text).is_some(),
            b'r' | b'e' => self.head.is_some(),
            _ => false,
        }
    }

    fn take(&mut self, line: &seal::SealedLine, end: u64, sum: u64) {
        match line.kind {
            b'h' => self.head = head(&line.text),
            b'e' => self.whole = true,
            b'r' => return,
            _ => {
                let offset = self.good.0;
                self.records.extend(point(&line.text).map(|point| Record {
                    point,
                    offset,
                    length: end - offset,
                }));
            }
        }
        self.good = (end, sum);
    }
}

/// The point of a row: its first cell.
fn point(text: &str) -> Option<u64> {
    text.split(',').next()?.parse().ok()
}

fn head(text: &str) -> Option<Head> {
    let (part, stamp) = text.split_once(' ')?;
    Some(Head {
        part: part.parse().ok()?,
        stamp: Stamp::read(stamp)?,
    })
}

/// A part that is being written.
#[derive(Debug)]
pub struct Part {
    file: File,
    path: PathBuf,
    sum: u64,
    /// How many of its points are finished.
    pub finished: u64,
    /// Whether nothing is left to do.
    pub whole: bool,
}

impl Part {
    /// Opens a part to write it, or to go on with it.
    ///
    /// # Errors
    /// If another run has it, if it is of something else, if it is damaged, or if the disk would not.
    pub fn open(folder: &Path, stamp: &Stamp, share: Share) -> Result<Self, Problem> {
        let path = path(folder, share);
        let failed = |cause| {
            let path = path.clone();
            Problem::Report(ReportError::File { path, cause })
        };
        let mut file = lock::to_write(&path)?;
        let scan = scan(&file).map_err(failed)?;
        fits(&scan, stamp, share, &path)?;
        let (end, mut sum) = scan.good;
        file.set_len(end).map_err(failed)?;
        file.seek(SeekFrom::End(0)).map_err(failed)?;
        if scan.head.is_none() {
            let mut bytes = Vec::new();
            let text = format!("{} {}", share.part, stamp.text());
            sum = seal::add(&mut bytes, sum, b'h', &text);
            file.write_all(&bytes).map_err(failed)?;
        }
        Ok(Self {
            file,
            path,
            sum,
            finished: scan.records.len() as u64,
            whole: scan.whole,
        })
    }

    /// Adds a point. With `each`, or if it is one of the tornado's, its replications too.
    ///
    /// # Errors
    /// [`ReportError::File`]; the next run cuts off what was written of it.
    pub fn add(&mut self, study: &Study, played: &Played, each: bool) -> Result<(), ReportError> {
        let mut bytes = Vec::new();
        let alone = played.point >= study.points();
        if each || alone {
            for row in rows::replication_rows(study, played) {
                self.sum = seal::add(&mut bytes, self.sum, b'r', &rows::csv_line(&row));
            }
        }
        self.sum = if alone {
            seal::add(&mut bytes, self.sum, b'a', &played.point.to_string())
        } else {
            let row = rows::point_row(study, played);
            seal::add(&mut bytes, self.sum, b'p', &rows::csv_line(&row))
        };
        self.write(&bytes)
    }

    /// Writes the end, and makes sure that all of it is on the disk.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn end(&mut self) -> Result<(), ReportError> {
        let mut bytes = Vec::new();
        self.sum = seal::add(&mut bytes, self.sum, b'e', "");
        self.write(&bytes)?;
        self.whole = true;
        let path = self.path.clone();
        self.file
            .sync_all()
            .map_err(|cause| ReportError::File { path, cause })
    }

    fn write(&mut self, bytes: &[u8]) -> Result<(), ReportError> {
        let path = self.path.clone();
        let written = self.file.write_all(bytes);
        written.map_err(|cause| ReportError::File { path, cause })
    }
}

/// How many points of a part an earlier run has finished; none if it is not of this study.
#[must_use]
pub fn finished(folder: &Path, stamp: &Stamp, share: Share) -> u64 {
    let scan = regular::open_to_read(&path(folder, share)).and_then(|file| scan(&file));
    let same = |scan: &Scan| {
        let head = scan.head.as_ref();
        scan.damaged.is_none() && head.is_some_and(|head| head.stamp == *stamp)
    };
    scan.ok()
        .filter(same)
        .map_or(0, |scan| scan.records.len() as u64)
}

/// Whether an earlier run's part can be gone on with.
fn fits(scan: &Scan, stamp: &Stamp, share: Share, path: &Path) -> Result<(), Problem> {
    let shown = path.display();
    if let Some(line) = scan.damaged {
        return Err(Problem::refused(
            format!("line {line} of {shown} is not as it was written"),
            "delete that file: its points are then played again",
        ));
    }
    let Some(head) = &scan.head else {
        return Ok(());
    };
    if let Some(how) = stamp.differs(&head.stamp) {
        return Err(Problem::refused(
            format!("{shown} is {how}"),
            stamp.cure(&head.stamp),
        ));
    }
    let wanted = share.points(stamp.points);
    let same = scan
        .records
        .iter()
        .zip(wanted)
        .all(|(record, point)| record.point == point);
    if head.part != share.part || !same {
        return Err(Problem::refused(
            format!("{shown} is another part under this name"),
            "give it its own name back, or delete it",
        ));
    }
    Ok(())
}

/// Throws away what earlier runs left in the folder of the parts, unless one is still writing.
///
/// # Errors
/// If one is, or the disk would not.
pub fn throw_away(folder: &Path) -> Result<(), Problem> {
    let failed = |path: &Path| {
        let path = path.to_path_buf();
        move |cause| Problem::Report(ReportError::File { path, cause })
    };
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(failed(folder)(error)),
    };
    let paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    let ours = |path: &&PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name == "study.json" || name.starts_with("part-") && name.ends_with(".txt")
    };
    // All are asked before the first goes, one after the other: there may be more than can be open at once.
    for path in paths.iter().filter(ours) {
        lock::to_remove(path)?;
    }
    // Each is held until it is gone, so that no run begins to write to what is thrown away.
    for path in paths.iter().filter(ours) {
        if let Some(_held) = lock::to_remove(path)? {
            std::fs::remove_file(path).map_err(failed(path))?;
        }
    }
    Ok(())
}

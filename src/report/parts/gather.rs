//! All parts of a study checked and put together into its tables.
//!
//! Every part must be there, of this study, whole, with its end and every checksum right; all that is not so
//! is reported at once. Then the rows are sorted by point, a stretch of points at a time, so that memory stays
//! small, and written as they stand.

use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::part::{self, Record};
use super::share::{Share, part_of};
use super::stamp::{Stamp, counted};
use super::{Problem, rows, seal};
use crate::report::ReportError;
use crate::report::csv_files::{CsvFile, CsvFiles};
use crate::report::out::OutputFolder;
use crate::report::points::{PointPlayed, Written};
use crate::scenario::regular;
use crate::study::design::Study;
use crate::study::replications::Replication;
use crate::study::summary;
use crate::study::swept::{Cell, Verdict};

/// Bytes of the parts that are held at once.
const STRETCH: u64 = 32 * 1024 * 1024;
/// Things that are wrong, listed one by one.
const MAX_LISTED: usize = 20;
/// Design points up to which a study is drawn.
const MAX_DRAWN: u64 = 100_000;

/// Parts that are all there, whole and of one study.
#[derive(Debug)]
pub struct Gathered {
    /// Where each part lies, and its points.
    parts: Vec<(PathBuf, Vec<Record>)>,
}

/// Checks the parts of a study.
///
/// # Errors
/// All that is wrong with them.
pub fn check(folder: &Path, stamp: &Stamp) -> Result<Gathered, Problem> {
    let mut wrong = Wrong::default();
    let mut parts = Vec::new();
    for index in 1..=stamp.parts {
        let share = Share {
            part: index,
            of: stamp.parts,
        };
        let path = part::path(folder, share);
        let scan = match regular::open_to_read(&path).and_then(|file| part::scan(&file)) {
            Ok(scan) => scan,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                wrong.missing.push(index);
                continue;
            }
            Err(cause) => return Err(ReportError::File { path, cause }.into()),
        };
        let wanted = share.points(stamp.points).count();
        if let Some(line) = scan.damaged {
            wrong.add(format!(
                "line {line} of {} is not as it was written",
                path.display()
            ));
        } else if let Some(how) = scan
            .head
            .as_ref()
            .and_then(|head| stamp.differs(&head.stamp))
        {
            wrong.add(format!("{} is {how}", path.display()));
        } else if scan.head.as_ref().is_some_and(|head| head.part != index) {
            wrong.add(format!(
                "{} is another part under this name",
                path.display()
            ));
        } else if !scan.whole {
            let (done, shown) = (scan.records.len(), path.display());
            wrong.add(format!(
                "{shown} is not finished: {done} of {wanted} points"
            ));
        } else if !scan
            .records
            .iter()
            .map(|record| record.point)
            .eq(share.points(stamp.points))
        {
            wrong.add(format!("{} does not hold its points", path.display()));
        }
        parts.push((path, scan.records));
    }
    others(folder, stamp, &mut wrong);
    wrong.into_problem(stamp.parts)?;
    Ok(Gathered { parts })
}

/// Parts of another cutting lie among them.
fn others(folder: &Path, stamp: &Stamp, wrong: &mut Wrong) {
    let ending = format!("-of-{}.txt", stamp.parts);
    let names = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut names: Vec<String> = names
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| {
            name.starts_with("part-") && name.ends_with(".txt") && !name.ends_with(&ending)
        })
        .collect();
    names.sort();
    for name in names {
        let parts = counted(stamp.parts);
        wrong.add(format!("{name} lies among {parts} and is none of them"));
    }
}

/// What is wrong with the parts.
#[derive(Default)]
struct Wrong {
    missing: Vec<u64>,
    listed: Vec<String>,
    count: usize,
}

impl Wrong {
    fn add(&mut self, what: String) {
        self.count += 1;
        if self.listed.len() < MAX_LISTED {
            self.listed.push(what);
        }
    }

    fn into_problem(mut self, parts: u64) -> Result<(), Problem> {
        if let [_, ..] = &self.missing[..] {
            let (count, list) = (self.missing.len(), ranges(&self.missing));
            let verb = if count == 1 { "is" } else { "are" };
            self.listed.insert(
                0,
                format!("{count} of {} {verb} missing: {list}", counted(parts)),
            );
        }
        if self.count > MAX_LISTED {
            self.listed
                .push(format!("and {} more", self.count - MAX_LISTED));
        }
        if self.listed.is_empty() {
            return Ok(());
        }
        let cure = "run the missing and unfinished parts again with --part; delete parts that are damaged, of \
                    another study or of another version first";
        Err(Problem::Refused(self.listed, cure.to_string()))
    }
}

/// `1-3, 7, 9-12`.
fn ranges(numbers: &[u64]) -> String {
    let mut ranges: Vec<(u64, u64)> = Vec::new();
    for number in numbers {
        match ranges.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => ranges.push((*number, *number)),
        }
    }
    let words = ranges.iter().map(|(first, last)| {
        if first == last {
            first.to_string()
        } else {
            format!("{first}-{last}")
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

impl Gathered {
    /// Writes `points.csv`, `one-at-a-time.csv` if factors were moved alone, with `each`
    /// `replications.csv`, and their data dictionary. Gives what the terminal shows; of a large study all of it only if wanted `whole`.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn write(
        &self,
        study: &Study,
        each: bool,
        whole: bool,
        folder: &OutputFolder,
    ) -> Result<Written, ReportError> {
        let alone = self.alone(study).map_err(|cause| ReportError::File {
            path: folder.path().join("one-at-a-time.csv"),
            cause,
        })?;
        let mut seen = Seen {
            draws: whole || study.points() <= MAX_DRAWN,
            ..Seen::default()
        };
        let mut files = vec![CsvFile::kept(rows::points_described(study), |to| {
            self.lines(study, b'p', to, &mut |text| seen.see(study, text))
        })];
        let mut without = Vec::new();
        if each {
            let described = rows::replications_described(study);
            files.push(CsvFile::kept(described, |to| {
                self.lines(study, b'r', to, &mut |_| {})
            }));
        } else {
            without.push("replications.csv");
        }
        if alone.is_empty() {
            without.push("one-at-a-time.csv");
        } else {
            files.push(CsvFile::made(rows::alone_described(study), |table| {
                let rows = rows::alone_rows(study, &alone);
                rows.iter().try_for_each(|row| table.row(row))
            }));
        }
        let files = CsvFiles {
            title: study.title.clone(),
            seed: study.seed,
            files,
            without,
        };
        files.write(folder)?;
        Ok(seen.into_written(study, &alone))
    }

    /// Writes the lines of one kind of all points of the design, and shows each to `see`.
    fn lines(
        &self,
        study: &Study,
        of: u8,
        to: &mut dyn Write,
        see: &mut dyn FnMut(&str),
    ) -> io::Result<()> {
        self.pour(0..study.points(), &mut |kind, text| {
            if kind != of {
                return Ok(());
            }
            see(text);
            writeln!(to, "{text}")
        })
    }

    /// The replications of the points of the tornado.
    fn alone(&self, study: &Study) -> io::Result<Vec<Vec<Replication>>> {
        let mut alone = Vec::new();
        let mut played = Vec::new();
        self.pour(study.points()..study.to_play(), &mut |kind, text| {
            match kind {
                b'a' => alone.push(std::mem::take(&mut played)),
                _ => played.extend(rows::replication(study, &rows::cells(text))),
            }
            Ok(())
        })?;
        Ok(alone)
    }

    /// Gives the lines of these points to `take`, in the order of the points.
    fn pour(
        &self,
        points: std::ops::Range<u64>,
        take: &mut dyn FnMut(u8, &str) -> io::Result<()>,
    ) -> io::Result<()> {
        let mut next = points.start;
        while next < points.end {
            let end = self.stretch(next, points.end);
            for bytes in self.read(next, end)? {
                for line in bytes.split_inclusive(|byte| *byte == b'\n') {
                    if let Some(line) = seal::unsealed(line) {
                        take(line.kind, &line.text)?;
                    }
                }
            }
            next = end;
        }
        Ok(())
    }

    fn record(&self, point: u64) -> Option<(usize, &Record)> {
        let of = self.parts.len() as u64;
        let part = (part_of(point, of) - 1) as usize;
        let record = self.parts.get(part)?.1.get((point / of) as usize)?;
        Some((part, record))
    }

    /// Where a stretch of points ends that is small enough to be held; it has one point at least.
    fn stretch(&self, first: u64, last: u64) -> u64 {
        let mut bytes = 0;
        let mut end = first;
        while end < last {
            bytes += self.record(end).map_or(0, |(_, record)| record.length);
            if bytes > STRETCH && end > first {
                return end;
            }
            end += 1;
        }
        end
    }

    /// The bytes of a stretch of points; each part is opened once.
    fn read(&self, first: u64, end: u64) -> io::Result<Vec<Vec<u8>>> {
        let mut bytes = vec![Vec::new(); (end - first) as usize];
        for (part, (path, records)) in self.parts.iter().enumerate() {
            let from = records.partition_point(|record| record.point < first);
            let to = records.partition_point(|record| record.point < end);
            if from == to {
                continue;
            }
            let mut file = regular::open_to_read(path)?;
            for record in &records[from..to] {
                debug_assert_eq!(self.record(record.point).map(|(at, _)| at), Some(part));
                let slot = &mut bytes[(record.point - first) as usize];
                slot.resize(record.length as usize, 0);
                file.seek(SeekFrom::Start(record.offset))?;
                file.read_exact(slot)?;
            }
        }
        Ok(bytes)
    }
}

/// What table and charts need of the rows of `points.csv`, seen as they go by.
#[derive(Default)]
struct Seen {
    /// Whether estimates are kept, to be drawn.
    draws: bool,
    estimates: Vec<Vec<Cell>>,
    played: Vec<PointPlayed>,
    keeping: u64,
    unfinished: Vec<u64>,
}

impl Seen {
    fn see(&mut self, study: &Study, row: &str) {
        let cells = rows::cells(row);
        let played = rows::played(study, &cells);
        self.keeping += u64::from(played.keeps());
        if played.unfinished > 0 {
            let point = cells.first().and_then(|point| point.parse::<u64>().ok());
            self.unfinished.extend(point);
        }
        if self.draws {
            self.estimates.push(rows::estimates(study, &cells));
            self.played.push(played);
        }
    }

    fn into_written(self, study: &Study, alone: &[Vec<Replication>]) -> Written {
        let (estimates, played) = (self.estimates, self.played);
        let verdict = |point: &PointPlayed| Verdict {
            is_cut_off: point.unfinished > 0,
            keeps: point.keeps(),
            is_unsafe: point.is_unsafe(),
        };
        let verdicts = played.iter().map(verdict).collect();
        let swept = self.draws.then(|| {
            let swings = summary::swings(study, alone);
            summary::swept(study, estimates, verdicts, swings)
        });
        Written {
            swept,
            played,
            keeping: self.keeping,
            unfinished: self.unfinished,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_written_as_ranges() {
        assert_eq!(ranges(&[1, 2, 3, 7, 9, 10]), "1-3, 7, 9-10");
    }
}

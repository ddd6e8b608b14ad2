//! What makes two parts those of the same study: a digest of every file that was read, the version and the
//! commit of the program, and how the work was cut.
//!
//! It stands at the head of every part, and by itself in the folder, where the first run leaves it and all
//! others compare.

use std::io::{self, Write};
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::Problem;
use crate::report::{ReportError, out};
use crate::scenario::regular;
use crate::study::design::Study;
use crate::version;

/// Name of the file in the folder of the parts.
const FILE: &str = "study.json";

/// What to do about results of something else.
const CURE: &str = "choose another folder with --out, or discard these results with --restart";

/// What parts of the same study have in common.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// Digest of the study, the scenarios and logs it reads, seed, replications and version.
    pub study: String,
    /// Version of the program.
    pub version: String,
    /// The commit it was built from, where there is one; earlier versions wrote none.
    pub commit: Option<String>,
    /// How many parts.
    pub parts: u64,
    /// How many points are played in all.
    pub points: u64,
    /// Whether every replication is kept.
    pub each: bool,
}

impl Stamp {
    /// Of a study cut in so many parts.
    #[must_use]
    pub fn of(study: &Study, parts: u64, each: bool) -> Self {
        Self {
            study: study.digest(),
            version: version::NUMBER.to_string(),
            commit: version::COMMIT.map(str::to_owned),
            parts,
            points: study.to_play(),
            each,
        }
    }

    /// As one line.
    #[must_use]
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// From one line.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        serde_json::from_str(text).ok()
    }

    /// In what another differs, in words; nothing if in nothing.
    #[must_use]
    pub fn differs(&self, other: &Self) -> Option<String> {
        if self.is_of_another_build(other) {
            let (theirs, ours) = (other.build(), self.build());
            return Some(format!("of version {theirs}, this is {ours}"));
        }
        if self.study != other.study {
            return Some(format!(
                "of another study, or of this one before a file, the seed or the replications changed (digest {}, now {})",
                other.study, self.study
            ));
        }
        if self.parts != other.parts {
            return Some(format!(
                "cut in {}, not in {}",
                counted(other.parts),
                counted(self.parts)
            ));
        }
        if self.each != other.each {
            let kept = if other.each { "with" } else { "without" };
            return Some(format!("{kept} a row for each replication"));
        }
        (self.points != other.points).then(|| format!("of {} points", other.points))
    }

    /// What to do about results that differ.
    #[must_use]
    pub fn cure(&self, other: &Self) -> &'static str {
        if self.is_of_another_build(other) {
            "finish and gather them with the program that began them, choose another folder with \
             --out, or discard them with --restart and start again"
        } else {
            CURE
        }
    }

    fn is_of_another_build(&self, other: &Self) -> bool {
        (&self.version, &self.commit) != (&other.version, &other.commit)
    }

    fn build(&self) -> String {
        version::words(&self.version, self.commit.as_deref())
    }

    /// The one that an earlier run left in the folder of the parts.
    ///
    /// # Errors
    /// If there is none, or it is not as it was written.
    pub fn there(folder: &Path) -> Result<Self, Problem> {
        let path = folder.join(FILE);
        let text = regular::text_of(&path).map_err(|cause| {
            if regular::is_no_file(&cause) {
                let path = path.clone();
                return Problem::Report(ReportError::File { path, cause });
            }
            Problem::refused(
                format!("there are no parts in {}", folder.display()),
                "give the folder the parts were written to with --out",
            )
        })?;
        Self::read(&text).ok_or_else(|| {
            Problem::refused(
                format!("{} is not as it was written", path.display()),
                "delete it, and run any part again: it writes it again",
            )
        })
    }

    /// Leaves it in the folder of the parts, or compares with the one that is there.
    ///
    /// # Errors
    /// If that is of something else, or the disk would not.
    pub fn agree(&self, folder: &Path) -> Result<(), Problem> {
        let path = folder.join(FILE);
        let file = |cause: io::Error| {
            let path = path.clone();
            Problem::Report(ReportError::File { path, cause })
        };
        let mut aside = out::aside(folder).map_err(file)?;
        writeln!(aside, "{}", self.text()).map_err(file)?;
        match aside.persist_noclobber(&path) {
            Ok(_) => Ok(()),
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => {
                let there = regular::text_of(&path).map_err(file)?;
                let Some(there) = Self::read(&there) else {
                    return Err(Problem::refused(
                        format!("{} is not as it was written", path.display()),
                        CURE,
                    ));
                };
                self.differs(&there).map_or(Ok(()), |how| {
                    let what = format!("{} holds results {how}", folder.display());
                    Err(Problem::refused(what, self.cure(&there)))
                })
            }
            Err(error) => Err(file(error.error)),
        }
    }
}

/// "1 part", "64 parts".
#[must_use]
pub fn counted(parts: u64) -> String {
    if parts == 1 {
        "1 part".to_string()
    } else {
        format!("{parts} parts")
    }
}

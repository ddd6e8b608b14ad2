//! Where a run keeps its files until all of them are whole, and how they get to their places: all or none.
//!
//! Each run has a folder of its own, `.scullery-XXXXXX`, within the output folder, and holds a lock on a file
//! in it. In it lie the new files by number, and while they are put in their places
//!
//! | name | is |
//! |---|---|
//! | `journal` | the names of all files, in order, and the folders that are made for them |
//! | `old-N` | the earlier file of that name |
//!
//! The lock is removed last, so a folder without it holds nothing that anybody still needs.
//!
//! As long as the journal is there the earlier results hold: whoever finds it, this run after a failure or
//! the next one after a kill, takes every new file back and puts the earlier one in its place. Removing the
//! journal is the moment at which the new results hold.
//!
//! Files of earlier runs that the new results do not have go in the same step. Each has a number and an empty new file,
//! so that taking them back is the same as for the others.

use super::hold::Hold;
use crate::report::ReportError;
use crate::scenario::regular;
use serde::{Deserialize, Serialize};
use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Component, Path, PathBuf};
use std::time::Duration;

/// How all begin that a run leaves when it is killed.
pub const PREFIX: &str = ".scullery-";
const LOCK: &str = "lock";
const JOURNAL: &str = "journal";
/// Single files set aside have no owner that could be asked; after so long nobody is writing them.
const FORGOTTEN: Duration = Duration::from_secs(3600);

/// Puts one file in its place: a rename, which tests let fail.
pub type Put<'a> = &'a mut dyn FnMut(&Path, &Path) -> io::Result<()>;

/// The files of a run that wait to be put in their places.
#[derive(Debug)]
pub struct Staging {
    /// The output folder.
    folder: PathBuf,
    own: Own,
    names: Vec<String>,
    /// Names of earlier files that go.
    stale: Vec<String>,
}

/// The folder of a run, which goes when this is dropped.
#[derive(Debug)]
struct Own {
    path: PathBuf,
    /// Held until the folder is gone.
    _lock: File,
    /// Left for the next run, which tries again what failed.
    stays: bool,
}

impl Drop for Own {
    fn drop(&mut self) {
        if !self.stays {
            remove_own(&self.path);
        }
    }
}

#[derive(Debug, Default, Serialize, Deserialize)]
struct Journal {
    files: Vec<String>,
    folders: Vec<PathBuf>,
}

impl Staging {
    /// A folder of this run's own within `folder`.
    pub fn new(folder: &Path) -> io::Result<Self> {
        // Nobody may find the folder before it is locked.
        let _hold = Hold::take(folder)?;
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX);
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o777));
        let own = builder.tempdir_in(folder)?;
        let lock = File::create(own.path().join(LOCK))?;
        // Without locks nobody takes it for a leftover, as nobody can lock it.
        let _ = lock.try_lock();
        Ok(Self {
            folder: folder.to_path_buf(),
            own: Own {
                path: own.keep(),
                _lock: lock,
                stays: false,
            },
            names: Vec::new(),
            stale: Vec::new(),
        })
    }

    /// Writes a file and closes it.
    pub fn write(
        &mut self,
        name: &str,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> io::Result<()> {
        let path = new(&self.own.path, self.names.len());
        let mut to = BufWriter::new(File::create(path)?);
        fill(&mut to)?;
        to.flush()?;
        self.names.push(name.to_owned());
        Ok(())
    }

    /// If there is a file of this name, it goes when the others are put in their places.
    pub fn remove(&mut self, name: &str) {
        self.stale.push(name.to_owned());
    }

    /// Puts all files in their places; how many. On failure everything is as it was.
    pub fn keep(mut self, put: Put<'_>) -> Result<usize, ReportError> {
        let folder = |cause| ReportError::Folder {
            path: self.folder.clone(),
            cause,
        };
        let hold = Hold::take(&self.folder).map_err(folder)?;
        if hold.is_some() {
            remove_leftovers(&self.folder);
        }
        for path in self.names.iter().map(|name| self.folder.join(name)) {
            if path.is_dir() {
                let cause = io::ErrorKind::IsADirectory.into();
                return Err(ReportError::File { path, cause });
            }
        }
        self.stale.retain(|name| {
            let about = self.folder.join(name).symlink_metadata();
            !self.names.contains(name) && about.is_ok_and(|about| !about.is_dir())
        });
        let journal = self.begin().map_err(folder)?;
        let done = self.put_all(&journal, put).and_then(|()| {
            let path = self.own.path.join(JOURNAL);
            fs::remove_file(&path).map_err(|cause| ReportError::File { path, cause })
        });
        match done {
            Ok(()) => Ok(self.names.len()),
            Err(error) => {
                if undo(&self.folder, &self.own.path, &journal).is_err() {
                    self.own.stays = true;
                }
                Err(error)
            }
        }
    }

    /// Writes down what is about to be done.
    fn begin(&self) -> io::Result<Journal> {
        let mut folders: Vec<PathBuf> = Vec::new();
        for name in &self.names {
            let above: Vec<&Path> = Path::new(name).ancestors().skip(1).collect();
            for path in above.into_iter().rev() {
                let is_there = path.as_os_str().is_empty() || self.folder.join(path).exists();
                if !is_there && !folders.iter().any(|known| known == path) {
                    folders.push(path.to_path_buf());
                }
            }
        }
        for number in 0..self.stale.len() {
            File::create(new(&self.own.path, self.names.len() + number))?;
        }
        let journal = Journal {
            files: [&self.names[..], &self.stale].concat(),
            folders,
        };
        let text = serde_json::to_vec(&journal)?;
        fs::write(self.own.path.join(JOURNAL), text)?;
        Ok(journal)
    }

    fn put_all(&self, journal: &Journal, put: Put<'_>) -> Result<(), ReportError> {
        // Those that are there already are made sure of, too: a file may be in the way.
        let names = self.names.iter().map(Path::new);
        for within in names.filter_map(Path::parent).map(|p| self.folder.join(p)) {
            fs::create_dir_all(&within).map_err(|cause| ReportError::Folder {
                path: within,
                cause,
            })?;
        }
        let file = |path: &Path| {
            let path = path.to_path_buf();
            move |cause| ReportError::File { path, cause }
        };
        let own = &self.own.path;
        let targets: Vec<PathBuf> = journal.files.iter().map(|n| self.folder.join(n)).collect();
        for (number, target) in targets.iter().enumerate() {
            if is_there(target) {
                set_aside(target, &old(own, number)).map_err(file(target))?;
            }
        }
        let (targets, stale) = targets.split_at(self.names.len());
        for (number, target) in (targets.len()..).zip(stale) {
            remove(&new(own, number)).map_err(file(target))?;
            remove(target).map_err(file(target))?;
        }
        for (number, target) in targets.iter().enumerate() {
            put(&new(own, number), target).map_err(file(target))?;
        }
        Ok(())
    }
}

fn new(own: &Path, number: usize) -> PathBuf {
    own.join(number.to_string())
}

fn old(own: &Path, number: usize) -> PathBuf {
    own.join(format!("old-{number}"))
}

/// Whether there is anything, be it a link to nowhere.
fn is_there(path: &Path) -> bool {
    path.symlink_metadata().is_ok()
}

/// Removes a file that may be gone already.
fn remove(file: &Path) -> io::Result<()> {
    match fs::remove_file(file) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

/// A second name for a file, so that it never misses its first; where there are no such names, it is moved.
fn set_aside(file: &Path, aside: &Path) -> io::Result<()> {
    fs::hard_link(file, aside).or_else(|_| fs::rename(file, aside))
}

/// Takes the new files back and puts the earlier ones in their places. Cut off and done again, it comes to the
/// same: a new file that lies in the run's own folder has not been put, or was taken back.
fn undo(folder: &Path, own: &Path, journal: &Journal) -> io::Result<()> {
    for (number, name) in journal.files.iter().enumerate() {
        let (target, new, old) = (folder.join(name), new(own, number), old(own, number));
        if !is_there(&new) && is_there(&target) {
            fs::rename(&target, &new)?;
        }
        if is_there(&old) {
            fs::rename(&old, &target)?;
        }
    }
    for made in journal.folders.iter().rev() {
        // One that holds something else stays.
        let _ = fs::remove_dir(folder.join(made));
    }
    remove(&own.join(JOURNAL))
}

/// Whether killed runs may have left something.
pub fn has_leftovers(folder: &Path) -> bool {
    leftovers(folder).next().is_some()
}

fn leftovers(folder: &Path) -> impl Iterator<Item = fs::DirEntry> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    entries.filter(|entry| entry.file_name().to_string_lossy().starts_with(PREFIX))
}

/// Removes what killed runs left, earlier results first put back where a run was killed amid its renames.
/// What belongs to a run that goes on, or cannot be removed, stays. The caller has the [`Hold`].
pub fn remove_leftovers(folder: &Path) {
    for entry in leftovers(folder) {
        let path = entry.path();
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => remove_run(folder, &path),
            Ok(kind) if kind.is_file() => remove_file(&path),
            _ => {}
        }
    }
}

fn remove_run(folder: &Path, own: &Path) {
    let lock = match regular::open_to_read(&own.join(LOCK)) {
        Ok(lock) => lock,
        // Killed before it was locked, or while its last files were removed.
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if !is_there(&own.join(JOURNAL)) {
                remove_own(own);
            }
            return;
        }
        Err(_) => return,
    };
    if lock.try_lock().is_err() {
        return;
    }
    let undone = read_journal(own).and_then(|journal| undo(folder, own, &journal));
    if undone.is_ok() {
        remove_own(own);
    }
}

/// Removes the folder of a run with what runs put there; with anything else in it, it stays. The journal goes
/// first, as it must not be followed once a new file is gone, and the lock last.
fn remove_own(own: &Path) {
    let _ = fs::remove_file(own.join(JOURNAL));
    for entry in fs::read_dir(own).into_iter().flatten().flatten() {
        if is_numbered(&entry.file_name().to_string_lossy()) {
            let _ = fs::remove_file(entry.path());
        }
    }
    let _ = fs::remove_file(own.join(LOCK));
    let _ = fs::remove_dir(own);
}

/// Whether a name is that of a new or an earlier file.
fn is_numbered(name: &str) -> bool {
    let number = name.strip_prefix("old-").unwrap_or(name);
    !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())
}

/// What a run was about to do: nothing if it was killed before it had written all of that down.
fn read_journal(own: &Path) -> io::Result<Journal> {
    let text = match regular::text_of(&own.join(JOURNAL)) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Journal::default()),
        // Cut off within a letter.
        Err(error) if error.kind() == io::ErrorKind::InvalidData => String::new(),
        text => text?,
    };
    let journal: Journal = serde_json::from_str(&text).unwrap_or_default();
    let is_within = |path: &Path| path.components().all(|c| matches!(c, Component::Normal(_)));
    let files = journal.files.iter().map(Path::new);
    let mut all = files.chain(journal.folders.iter().map(PathBuf::as_path));
    let is_ours = all.all(is_within);
    Ok(if is_ours { journal } else { Journal::default() })
}

fn remove_file(path: &Path) {
    let age = path.metadata().and_then(|about| about.modified()).ok();
    let age = age.and_then(|at| at.elapsed().ok());
    if age.is_some_and(|age| age > FORGOTTEN) {
        let _ = fs::remove_file(path);
    }
}

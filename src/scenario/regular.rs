//! Files that are opened only if they are files: a pipe or a device might keep us waiting for ever.

use std::fmt;
use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, ErrorKind};
use std::path::Path;

/// What there is in place of a file: the error within those of [`open`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoFile(pub &'static str);

impl fmt::Display for NoFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

impl std::error::Error for NoFile {}

/// Whether an error of [`open`] says that something else is in place of the file.
#[must_use]
pub fn is_no_file(error: &io::Error) -> bool {
    error.get_ref().is_some_and(|inner| inner.is::<NoFile>())
}

/// Opens a file if it is one; what is not there is for `options` to make.
///
/// # Errors
/// [`ErrorKind::IsADirectory`]; one of which [`is_no_file`] holds; those of the system.
pub fn open(path: &Path, options: &OpenOptions) -> io::Result<File> {
    match std::fs::metadata(path) {
        Ok(about) => check(&about)?,
        Err(error) if error.kind() == ErrorKind::NotFound => {}
        Err(error) => return Err(error),
    }
    options.open(path)
}

/// Opens a file to read it.
///
/// # Errors
/// Those of [`open`].
pub fn open_to_read(path: &Path) -> io::Result<File> {
    open(path, OpenOptions::new().read(true))
}

/// All that a file of ours says.
///
/// # Errors
/// Those of [`open`], and [`ErrorKind::InvalidData`] if it is not UTF-8.
pub fn text_of(path: &Path) -> io::Result<String> {
    io::read_to_string(open_to_read(path)?)
}

fn check(about: &Metadata) -> io::Result<()> {
    if about.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    if about.is_file() {
        return Ok(());
    }
    let what = NoFile(sort_of(about.file_type()));
    Err(io::Error::new(ErrorKind::InvalidInput, what))
}

/// What is there instead of a file or a folder.
#[cfg(unix)]
#[must_use]
pub fn sort_of(sort: std::fs::FileType) -> &'static str {
    use std::os::unix::fs::FileTypeExt;
    if sort.is_fifo() {
        "it is a pipe, not a file"
    } else if sort.is_socket() {
        "it is a socket, not a file"
    } else {
        "it is a device, not a file"
    }
}

/// What is there instead of a file or a folder.
#[cfg(not(unix))]
#[must_use]
pub fn sort_of(_: std::fs::FileType) -> &'static str {
    "it is not a file"
}

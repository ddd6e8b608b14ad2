//! What can go wrong while results are written: values, which the command line turns into an exit code.

use std::fmt;
use std::io;
use std::path::PathBuf;

use crate::scenario::regular;

/// Results could not be written.
#[derive(Debug)]
#[non_exhaustive]
pub enum ReportError {
    /// The output folder cannot be made, or nothing can be written to it.
    Folder {
        /// The folder.
        path: PathBuf,
        /// Why.
        cause: io::Error,
    },
    /// A file could not be written; the earlier one of that name, if any, is untouched.
    File {
        /// The file.
        path: PathBuf,
        /// Why.
        cause: io::Error,
    },
    /// Standard output could not be written.
    Stdout(io::Error),
    /// A chart could not be drawn.
    Chart {
        /// File stem of the chart.
        name: &'static str,
        /// Why.
        cause: String,
    },
    /// The JSON document could not be made.
    Json(serde_json::Error),
}

impl ReportError {
    /// What one might do about it.
    #[must_use]
    pub fn cure(&self) -> &'static str {
        match self {
            Self::File { cause, .. } if regular::is_no_file(cause) => {
                "remove it, or choose another folder with --out"
            }
            Self::Folder { cause, .. } | Self::File { cause, .. } => cure_of(cause.kind()),
            Self::Stdout(_) => "send standard output somewhere that can be written",
            Self::Chart { .. } | Self::Json(_) => {
                "this is a fault of the program; the other files are complete"
            }
        }
    }
}

fn cure_of(kind: io::ErrorKind) -> &'static str {
    use io::ErrorKind as Kind;
    match kind {
        Kind::PermissionDenied | Kind::ReadOnlyFilesystem => {
            "choose a folder you may write to with --out"
        }
        Kind::StorageFull | Kind::QuotaExceeded => {
            "make room on the disk, or choose another with --out"
        }
        Kind::AlreadyExists | Kind::NotADirectory => {
            "a file is in the way: move it, or choose another folder with --out"
        }
        Kind::ResourceBusy => {
            "another run is putting its files there: wait for it, or choose another folder with --out"
        }
        Kind::IsADirectory => "a folder of that name is in the way: move it",
        _ => "choose another folder with --out",
    }
}

impl fmt::Display for ReportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Folder { path, cause } => {
                write!(f, "cannot write to the folder {}: {cause}", path.display())
            }
            Self::File { path, cause } => write!(f, "cannot write {}: {cause}", path.display()),
            Self::Stdout(cause) => write!(f, "cannot write standard output: {cause}"),
            Self::Chart { name, cause } => write!(f, "cannot draw the chart {name}: {cause}"),
            Self::Json(cause) => write!(f, "cannot make the JSON document: {cause}"),
        }?;
        write!(f, "\nhelp: {}", self.cure())
    }
}

impl std::error::Error for ReportError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Folder { cause, .. } | Self::File { cause, .. } | Self::Stdout(cause) => {
                Some(cause)
            }
            Self::Json(cause) => Some(cause),
            Self::Chart { .. } => None,
        }
    }
}
